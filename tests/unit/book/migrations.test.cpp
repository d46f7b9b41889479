// From one format of the book to the next, with a book of format 1 that was written once and is kept as text.

#include <array>
#include <fstream>

#include "../../../src/book/connection.hpp"
#include "oddplate/tasting/keeper.hpp"
#include "shelves.hpp"

using namespace oddplate;
using namespace oddplate::book::testing;

namespace {

constexpr const char* k_id = "ngpcwdpx";

std::string text_of(const std::string& path) {
    std::ifstream file(path, std::ios::binary);
    return {std::istreambuf_iterator<char>(file), {}};
}

/// A file with the kept book in it.
class OldBook {
public:
    OldBook() { OtherHand(path()).does(text_of(ODDPLATE_SOURCE_DIR "/tests/unit/book/format_1.sql")); }
    [[nodiscard]] std::string path() const { return m_folder.file("old.sqlite"); }
    /// What opening it by a program with these scripts came to: "" or a fault's code.
    [[nodiscard]] std::string opened_by(book::Scripts scripts) const {
        const auto db = book::connect(path(), book::WhenMissing::refuse, scripts);
        return db ? "" : db.faults().front().code;
    }
    [[nodiscard]] std::string reads(const std::string& sql) const { return OtherHand(path()).reads(sql); }

private:
    Folder m_folder;
};

// A later program's second and third step: a column, and a table made anew under its old name while rows point to it.
constexpr std::string_view k_column = "ALTER TABLE tasting ADD COLUMN mark TEXT NOT NULL DEFAULT 'none'";
constexpr std::string_view k_anew =
    "CREATE TABLE fresh (number INTEGER PRIMARY KEY, id TEXT NOT NULL UNIQUE, mark TEXT NOT NULL) STRICT;"
    "INSERT INTO fresh SELECT number, id, mark FROM tasting; DROP TABLE tasting; ALTER TABLE fresh RENAME TO tasting";

}   // namespace

TEST_CASE("migrations: the kept book of format 1 opens in this program, is sound and answers", "[book][migrations]") {
    const OldBook old;
    CHECK(book::check_book(old.path())->empty());
    auto opened = book::open_book(old.path(), book::WhenMissing::refuse);
    REQUIRE(opened);
    const core::SystemClock clock;
    tasting::Keeper keeper(**opened, clock);
    const auto state = keeper.load(k_id);
    REQUIRE(state);
    CHECK(state->stage == tasting::Stage::closed);
    CHECK(state->answers.size() == 3);
    CHECK(keeper.key(*state).ok());
    CHECK(old.reads("PRAGMA user_version") == std::to_string(book::migrations().size()));
}

TEST_CASE("migrations: a later program brings it to its format in one go, with every row", "[book][migrations]") {
    const OldBook old;
    const std::string rows = "SELECT group_concat(hash || body) FROM log";
    const std::string before = old.reads(rows);
    const std::array<std::string_view, 3> later{book::migrations()[0], k_column, k_anew};
    CHECK(old.opened_by(later).empty());
    CHECK(old.reads("PRAGMA user_version") == "3");
    CHECK(old.reads("SELECT mark FROM tasting") == "none");
    CHECK(old.reads(rows) == before);
    CHECK(old.reads("SELECT count(*) FROM pragma_foreign_key_check") == "0");
    CHECK(old.opened_by(later).empty());   // nothing is left to do
    CHECK(old.opened_by(book::migrations()) == "newer-book");
}

TEST_CASE("migrations: one that fails leaves the book as it was, to the last byte", "[book][migrations]") {
    const OldBook old;
    const std::string before = text_of(old.path());
    const auto broken = [&](std::string_view last) {
        const std::array<std::string_view, 3> later{book::migrations()[0], k_column, last};
        CAPTURE(last);
        CHECK(old.opened_by(later) == "migration-failed");
        CHECK(text_of(old.path()) == before);
    };
    broken("CREATE TABLE half (a); this is no SQL");
    broken("INSERT INTO tasting (id) SELECT id FROM tasting");
    broken("DELETE FROM tasting");   // the log's rows would belong to nothing
    CHECK(book::check_book(old.path())->empty());
}

TEST_CASE("migrations: a book that goes all the way and one that begins today have the same tables", "[book][migrations]") {
    const Folder folder;
    REQUIRE(book::connect(folder.file("new"), book::WhenMissing::create));
    const OldBook old;
    REQUIRE(old.opened_by(book::migrations()).empty());
    const std::string tables = "SELECT group_concat(sql, char(10)) FROM (SELECT sql FROM sqlite_schema WHERE sql IS NOT NULL ORDER BY name)";
    CHECK(old.reads(tables) == OtherHand(folder.file("new")).reads(tables));
}
