// Every act of a tasting on a disk that fails at its n-th call, for every n until the act gets through: afterwards the book is sound, it holds the
// old state or the new one, and what was acknowledged is there.

#include <catch2/catch.hpp>

#include <algorithm>
#include <cstdlib>
#include <filesystem>
#include <functional>
#include <string>
#include <vector>

#include <unistd.h>

#include "disk.hpp"
#include "oddplate/book/book_file.hpp"
#include "oddplate/tasting/keeper.hpp"
#include "oddplate/tasting/plan_json.hpp"
#include "unit/tasting/memory_book.hpp"

using namespace oddplate;
using testing::Disk;
using testing::Failure;
namespace fs = std::filesystem;

namespace {

const char* const k_plan = R"({"title":"Which crust?","versions":[{"id":"current"},{"id":"new"}],"tasters":4,"spares":1,
    "rounds":[{"method":"triangle","spots":["edge","centre"],"detect_pd":0.4}]})";

/// A folder that lasts as long as the test.
struct Folder {
    fs::path path;
    Folder() {
        // In memory where that can be: thousands of acts each wait for the disk, and the disk that fails here is ours.
        const fs::path memory("/dev/shm");
        std::string name = ((access(memory.c_str(), W_OK) == 0 ? memory : fs::temp_directory_path()) / "oddplate-disk-XXXXXX").string();
        if (mkdtemp(name.data()) == nullptr) std::abort();
        path = name;
    }
    Folder(const Folder&) = delete;
    Folder& operator=(const Folder&) = delete;
    ~Folder() { fs::remove_all(path); }
    std::string book() const { return (path / "book.sqlite").string(); }
};

/// All that a book holds, as text: two books with one text are in one state.
struct Holdings {
    std::vector<std::string> ids, rows, papers;
    friend bool operator==(const Holdings&, const Holdings&) = default;
};

Holdings holdings(tasting::Book& book) {
    Holdings out;
    out.ids = *book.tastings();
    for (const auto& id : out.ids) {
        const auto rows = *book.rows(id, 0);
        for (const auto& row : rows) out.rows.push_back(id + " " + row.kind + " " + row.hash);
        for (const auto paper : {tasting::Paper::room, tasting::Paper::key})
            if (const auto text = *book.paper(id, paper, 1)) out.papers.push_back(*text);
    }
    return out;
}

Holdings holdings_at(const std::string& path) {
    const auto book = book::open_book(path, book::WhenMissing::refuse);
    REQUIRE(book);
    return holdings(**book);
}

core::Status status_of(bool ok, const core::Faults* faults) { return ok ? core::Status(core::Done{}) : core::Status(*faults); }
template <class T>
core::Status status_of(const core::Result<T>& result) {
    return status_of(result.ok(), result.ok() ? nullptr : &result.faults());
}

/// An act on the first tasting of the book. `rows` and `papers`: what the book has more of when it is done.
struct Act {
    std::string name;
    std::function<core::Status(tasting::Keeper&, const std::string& id)> run;
    std::size_t rows, papers;
};

std::string code_of(const tasting::State& state, std::size_t ballot, std::size_t set, std::size_t place) {
    return state.room.ballots.at(ballot).sets.at(set).codes.at(place);
}

core::Status enter_all(tasting::Keeper& keeper, const std::string& id) {
    auto state = keeper.load(id);
    if (!state) return state.faults();
    std::vector<tasting::IncomingAnswer> answers;
    for (std::size_t ballot = 0; ballot < 4; ++ballot)
        for (std::size_t set = 0; set < 2; ++set)
            answers.push_back({.ballot = std::to_string(ballot + 1), .set = std::to_string(set + 1), .answer = code_of(*state, ballot, set, 0), .note = std::string(3000, 'n')});
    return status_of(keeper.enter(*state, answers, "csv", false, false));
}

core::Status correct_one(tasting::Keeper& keeper, const std::string& id) {
    const auto state = keeper.load(id);
    if (!state) return state.faults();
    return keeper.correct(id, {.ballot = "1", .set = "1", .answer = code_of(*state, 0, 0, 1), .why = "misread"});
}

const std::vector<Act>& acts() {
    static const std::vector<Act> k_acts{
        {"new", [](tasting::Keeper& keeper, const std::string&) { return status_of(keeper.plan(*tasting::read_plan(k_plan, "plan"))); }, 1, 0},
        {"draw", [](tasting::Keeper& keeper, const std::string& id) { return status_of(keeper.draw(id, {})); }, 1, 2},
        {"hand", [](tasting::Keeper& keeper, const std::string& id) { return keeper.hand(id, "1", "Ada"); }, 1, 0},
        {"enter", enter_all, 1, 0},
        {"correct", correct_one, 1, 0},
        {"close", [](tasting::Keeper& keeper, const std::string& id) { return status_of(keeper.close(id, false)); }, 1, 0},
    };
    return k_acts;
}

/// Opens the book, acts, closes it.
core::Status act_on(const std::string& path, const Act& act) {
    const tasting::testing::TickingClock clock;
    auto book = book::open_book(path, act.name == "new" ? book::WhenMissing::create : book::WhenMissing::refuse);
    if (!book) return book.faults();
    tasting::Keeper keeper(**book, clock);
    const auto ids = (*book)->tastings();
    if (!ids) return ids.faults();
    return act.run(keeper, ids->empty() ? std::string() : ids->front());
}

bool is_prefix(const std::vector<std::string>& a, const std::vector<std::string>& b) {
    return a.size() <= b.size() && std::equal(a.begin(), a.end(), b.begin());
}

void lay(const fs::path& from, const fs::path& to) {
    for (const char* tail : {"", "-wal", "-shm", "-journal"}) fs::remove(to.string() + tail);
    if (fs::exists(from)) fs::copy_file(from, to);
}

/// The fault that a user reads: one sentence of ours, exit 1.
void check_sentence(const core::Status& done) {
    REQUIRE(done.faults().size() == 1);
    CHECK(core::exit_code(done.faults()) == 1);
    const std::string line = done.faults().front().line();
    CAPTURE(line);
    CHECK(line.find('\n') == std::string::npos);
    CHECK((line.find("disk") != std::string::npos));
    for (const char* library : {"SQL", "sqlite3", "I/O", "malformed"}) CHECK(line.find(library) == std::string::npos);
}

struct Seen {
    int old_state{0}, new_state{0}, faults{0};
};

/// One act at every point of failure, from a book that holds `before`.
Seen try_every_point(const Folder& folder, const fs::path& base, const Act& act, Failure how, const Holdings& before) {
    Disk& disk = Disk::instance();
    Seen seen;
    for (long at = 1; at < 1000; ++at) {
        CAPTURE(act.name, static_cast<int>(how), at);
        lay(base, folder.book());
        disk.fail(how, at);
        const core::Status done = act_on(folder.book(), act);
        const bool reached = disk.calls() >= at;
        disk.mend();
        if (!done) {
            check_sentence(done);
            ++seen.faults;
        }
        // A book that was never born may be missing; it can be begun again then.
        const auto reopened = book::open_book(folder.book(), act.name == "new" ? book::WhenMissing::create : book::WhenMissing::refuse);
        REQUIRE(reopened);
        const Holdings after = holdings(**reopened);
        const bool is_old = after == before;
        const bool is_new = is_prefix(before.rows, after.rows) && after.rows.size() == before.rows.size() + act.rows && is_prefix(before.papers, after.papers) &&
                            after.papers.size() == before.papers.size() + act.papers;
        CHECK((is_old || is_new));
        if (done) CHECK(is_new);
        if (!done && done.faults().front().text.find("nothing was changed") != std::string::npos) CHECK(is_old);
        (is_old ? seen.old_state : seen.new_state) += 1;
        const auto problems = book::check_book(folder.book());
        REQUIRE(problems);
        CHECK(problems->empty());
        if (!reached) return seen;
    }
    FAIL("the act never got through");
    return seen;
}

/// Each act in turn at every point of every failure; done well it is the ground for the next one.
void try_every_act() {
    const Folder folder;
    const fs::path base = folder.path / "base.sqlite";
    Holdings before;
    for (const Act& act : acts()) {
        int old_state = 0, new_state = 0;
        for (const Failure how : {Failure::full, Failure::broken_once, Failure::broken_for_good, Failure::power_cut, Failure::power_cut_some}) {
            const Seen seen = try_every_point(folder, base, act, how, before);
            CHECK(seen.faults > 0);
            old_state += seen.old_state;
            new_state += seen.new_state;
        }
        CHECK(old_state > 0);
        CHECK(new_state > 0);
        lay(base, folder.book());
        REQUIRE(act_on(folder.book(), act));
        lay(folder.book(), base);
        before = holdings_at(base.string());
    }
    CHECK(before.rows.size() == acts().size());
}

}   // namespace

TEST_CASE("a disk that fails at the n-th call leaves the old state or the new one, for every act and every n", "[fault]") {
    Disk::instance().share_memory(true);
    try_every_act();
}

TEST_CASE("a disk that fails at the n-th call does no harm where there is no write-ahead log either", "[fault]") {
    Disk::instance().share_memory(false);
    try_every_act();
    Disk::instance().share_memory(true);
}
