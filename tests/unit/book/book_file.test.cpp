// What only a file can meet: other programs, damage, hands that change it.

#include <sys/stat.h>

#include <fstream>

#include "shelves.hpp"

using namespace oddplate;
using namespace oddplate::book::testing;
namespace fs = std::filesystem;

namespace {

constexpr const char* k_id = "bcdfghjk";

/// A sound tasting of two rows, so that only what a test does is wrong.
void fill(tasting::Book& book) {
    tasting::Transaction act(book);
    REQUIRE(act.begin());
    REQUIRE(book.begin_tasting(k_id));
    tasting::LogRow first{.seq = 1, .kind = tasting::kinds::planned, .at = "2026-06-14T12:00:00Z",
                          .body = R"({"plan":{"rounds":[{"method":"triangle"}],"tasters":4,"title":"Which crust?","versions":[{"id":"current"},{"id":"new"}]}})", .hash = {}};
    first.hash = tasting::chain_hash("", k_id, first);
    REQUIRE(book.append(k_id, first));
    tasting::LogRow second{.seq = 2, .kind = tasting::kinds::follows, .at = "2026-06-14T12:00:01Z", .body = R"({"tasting":"zzzzzzzz"})", .hash = {}};
    second.hash = tasting::chain_hash(first.hash, k_id, second);
    REQUIRE(book.append(k_id, second));
    REQUIRE(act.commit());
}

std::vector<std::string> problems_of(const std::string& path) {
    const auto problems = book::check_book(path);
    REQUIRE(problems);
    return *problems;
}

void check_fault(const core::Faults& faults, const std::string& code, int exit) {
    REQUIRE(faults.size() == 1);
    CHECK(faults.front().code == code);
    CHECK(core::exit_code(faults) == exit);
    CHECK(faults.front().line().find('\n') == std::string::npos);
}

}   // namespace

TEST_CASE("book file: it is its owner's alone and leaves no other file behind", "[book]") {
    FileShelf shelf;
    fill(shelf.book());
    struct stat about {};
    REQUIRE(stat(shelf.path().c_str(), &about) == 0);
    CHECK((about.st_mode & 0777) == 0600);
    for (const auto& beside : fs::directory_iterator(fs::path(shelf.path()).parent_path())) {
        REQUIRE(stat(beside.path().c_str(), &about) == 0);
        CHECK((about.st_mode & 0077) == 0);
    }
    shelf.put_away();
    CHECK(std::distance(fs::directory_iterator(fs::path(shelf.path()).parent_path()), fs::directory_iterator{}) == 1);
}

TEST_CASE("book file: while another program writes, reading goes on and writing waits, then says so", "[book][slow]") {
    FileShelf shelf;
    fill(shelf.book());
    OtherHand other(shelf.path());
    other.does("BEGIN IMMEDIATE; INSERT INTO tasting (id) VALUES ('cdfghjkm')");
    CHECK(shelf.book().tastings()->size() == 1);   // what is not committed is not seen
    const auto begun = shelf.book().begin_write();
    REQUIRE_FALSE(begun);
    check_fault(begun.faults(), "locked", 1);
    other.does("ROLLBACK");
    CHECK(shelf.book().begin_write());
    shelf.book().roll_back();
}

TEST_CASE("book file: what is no book is refused by what it is", "[book]") {
    const Folder folder;
    const auto refused = [&](const std::string& name, const std::string& code, book::WhenMissing when = book::WhenMissing::refuse) {
        CAPTURE(name);
        const auto opened = book::open_book(folder.file(name), when);
        REQUIRE_FALSE(opened);
        check_fault(opened.faults(), code, 2);
    };
    refused("missing", "no-book");
    CHECK_FALSE(fs::exists(folder.file("missing")));
    fs::create_directory(folder.file("folder"));
    refused("folder", "not-a-book", book::WhenMissing::create);
    std::ofstream(folder.file("text")) << "Shopping: salt, pork, patience.\n";
    refused("text", "not-a-book", book::WhenMissing::create);
    std::ofstream(folder.file("empty"));
    refused("empty", "not-a-book");
    OtherHand(folder.file("recipes")).does("CREATE TABLE recipe (name TEXT)");
    refused("recipes", "not-a-book", book::WhenMissing::create);
    OtherHand(folder.file("newer")).does("PRAGMA application_id=0x6f646470; PRAGMA user_version=3; CREATE TABLE tasting (id TEXT)");
    refused("newer", "newer-book", book::WhenMissing::create);
    OtherHand(folder.file("unborn")).does("PRAGMA journal_mode=WAL");
    refused("unborn", "no-book");
    CHECK(book::open_book(folder.file("unborn"), book::WhenMissing::create));
    CHECK(book::open_book(folder.file("unborn"), book::WhenMissing::refuse));
}

TEST_CASE("book file: check finds a row that was changed, a row that is gone and a row of nobody's", "[book]") {
    FileShelf shelf;
    fill(shelf.book());
    shelf.put_away();
    CHECK(problems_of(shelf.path()).empty());
    SECTION("changed") {
        OtherHand(shelf.path()).does("UPDATE log SET body = replace(body, 'crust', 'crumb')");
        REQUIRE(problems_of(shelf.path()).size() == 1);
        CHECK(problems_of(shelf.path()).front().find("row 1") != std::string::npos);
    }
    SECTION("gone") {
        OtherHand(shelf.path()).does("DELETE FROM log WHERE seq = 1");
        CHECK(problems_of(shelf.path()).front().find("row 1") != std::string::npos);
    }
    SECTION("of nobody") {
        OtherHand(shelf.path()).does("PRAGMA foreign_keys=OFF; INSERT INTO room VALUES ('zzzzzzzz', 1, '[]')");
        REQUIRE(problems_of(shelf.path()).size() == 1);
        CHECK(problems_of(shelf.path()).front().find("table room") != std::string::npos);
    }
    SECTION("without a log") {
        OtherHand(shelf.path()).does("DELETE FROM log");
        CHECK(problems_of(shelf.path()).front().find("no log") != std::string::npos);
    }
    SECTION("another table") {
        OtherHand(shelf.path()).does("CREATE TABLE recipe (name TEXT)");
        CHECK(problems_of(shelf.path()).front().find("tables") != std::string::npos);
    }
}

TEST_CASE("book file: tables are strict, and our own connection keeps foreign keys", "[book]") {
    FileShelf shelf;
    fill(shelf.book());
    CHECK(OtherHand(shelf.path()).reads("PRAGMA journal_mode") == "wal");
    CHECK(OtherHand(shelf.path()).reads("SELECT count(*) FROM pragma_table_list WHERE schema = 'main' AND strict") == "6");
    CHECK(OtherHand(shelf.path()).reads("SELECT count(*) FROM pragma_table_list WHERE schema = 'main' AND NOT strict AND name NOT LIKE 'sqlite_%'") == "0");
    tasting::Transaction act(shelf.book());
    REQUIRE(act.begin());
    CHECK_FALSE(shelf.book().append("zzzzzzzz", row(1)));
}

TEST_CASE("book file: damage on any page is a fault or a problem, never a crash and never silence", "[book]") {
    FileShelf shelf;
    fill(shelf.book());
    shelf.put_away();
    std::string whole;
    {
        std::ifstream file(shelf.path(), std::ios::binary);
        whole.assign(std::istreambuf_iterator<char>(file), {});
    }
    constexpr std::size_t k_page = 4096;
    REQUIRE(whole.size() >= 5 * k_page);
    for (std::size_t page = 0; page < whole.size() / k_page; ++page) {
        CAPTURE(page);
        std::string damaged = whole;
        const std::size_t header = page * k_page + (page == 0 ? 100 : 0);   // page 1 begins with the file's own header
        damaged.replace(header, 8, 8, '\xff');
        std::ofstream(shelf.path(), std::ios::binary | std::ios::trunc) << damaged;
        const auto problems = book::check_book(shelf.path());
        if (problems) CHECK_FALSE(problems->empty());
        else CHECK(core::exit_code(problems.faults()) == 1);
    }
    // Cut off in the middle.
    std::ofstream(shelf.path(), std::ios::binary | std::ios::trunc) << whole.substr(0, whole.size() / 2);
    const auto problems = book::check_book(shelf.path());
    if (problems) CHECK_FALSE(problems->empty());
    else CHECK(core::exit_code(problems.faults()) == 1);
}
