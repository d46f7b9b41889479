// What a tasting may rely on, whatever keeps it. Every test runs against the file and against the book in memory.

#include "oddplate/tasting/keeper.hpp"
#include "oddplate/tasting/parcel.hpp"
#include "oddplate/tasting/plan_json.hpp"
#include "shelves.hpp"

using namespace oddplate;
using namespace oddplate::book::testing;
using tasting::Paper;

namespace {

constexpr const char* k_id = "bcdfghjk";
constexpr const char* k_other = "bcdfghjm";

void begin(tasting::Book& book, const std::string& id, std::int64_t rows) {
    tasting::Transaction act(book);
    REQUIRE(act.begin());
    REQUIRE(book.begin_tasting(id));
    for (std::int64_t seq = 1; seq <= rows; ++seq) REQUIRE(book.append(id, row(seq, "{\"n\":" + std::to_string(seq) + "}")));
    REQUIRE(act.commit());
}

std::vector<std::string> bodies(tasting::Book& book, const std::string& id, std::int64_t after = 0) {
    std::vector<std::string> out;
    const auto rows = book.rows(id, after);
    REQUIRE(rows);
    for (const auto& each : *rows) out.push_back(each.body);
    return out;
}

bool is_ours(const core::Status& status) { return !status && status.faults().front().kind == core::ErrorKind::internal; }

/// Every body, paper and kind of a tasting, ids and times aside.
std::string story_of(tasting::Book& book, const std::string& id) {
    std::string out;
    const auto rows = book.rows(id, 0);
    for (const auto& each : *rows) out += each.kind + " " + (each.kind == "drawn" ? "" : each.body) + "\n";
    const auto room = book.paper(id, Paper::room, 1);
    return out + **room;
}

}   // namespace

TEMPLATE_TEST_CASE("book: an act is there once it is committed", "[book]", FileShelf, MemoryShelf) {
    TestType shelf;
    begin(shelf.book(), k_id, 2);
    shelf.again();
    CHECK(*shelf.book().tastings() == std::vector<std::string>{k_id});
    const auto rows = shelf.book().rows(k_id, 0);
    REQUIRE(rows->size() == 2);
    CHECK(rows->front().seq == 1);
    CHECK(rows->front().kind == "printed");
    CHECK(rows->front().at == "2026-06-14T12:00:00Z");
    CHECK(rows->front().hash == std::string(64, 'a'));
    CHECK(bodies(shelf.book(), k_id) == std::vector<std::string>{"{\"n\":1}", "{\"n\":2}"});
}

TEMPLATE_TEST_CASE("book: an act that is dropped leaves nothing behind", "[book]", FileShelf, MemoryShelf) {
    TestType shelf;
    begin(shelf.book(), k_id, 1);
    {
        tasting::Transaction act(shelf.book());
        REQUIRE(act.begin());
        REQUIRE(shelf.book().begin_tasting(k_other));
        REQUIRE(shelf.book().append(k_id, row(2)));
        REQUIRE(shelf.book().keep(k_id, Paper::key, 1, "secret"));
        CHECK(bodies(shelf.book(), k_id).size() == 2);   // within the act it is seen
    }
    CHECK(bodies(shelf.book(), k_id).size() == 1);
    shelf.again();
    CHECK(*shelf.book().tastings() == std::vector<std::string>{k_id});
    CHECK(bodies(shelf.book(), k_id).size() == 1);
    CHECK_FALSE(*shelf.book().paper(k_id, Paper::key, 1));
    begin(shelf.book(), k_other, 1);   // and the next act finds the book free
}

TEMPLATE_TEST_CASE("book: rows come in the order of their numbers, those above a given one", "[book]", FileShelf, MemoryShelf) {
    TestType shelf;
    begin(shelf.book(), k_id, 12);
    CHECK(bodies(shelf.book(), k_id, 9) == std::vector<std::string>{"{\"n\":10}", "{\"n\":11}", "{\"n\":12}"});
    CHECK(bodies(shelf.book(), k_id, 12).empty());
    CHECK(bodies(shelf.book(), k_id, 99).empty());
    CHECK(bodies(shelf.book(), "unknown1").empty());
}

TEMPLATE_TEST_CASE("book: tastings come in the order in which they came in", "[book]", FileShelf, MemoryShelf) {
    TestType shelf;
    for (const char* id : {"zzzzzzzz", "bbbbbbbb", "kkkkkkkk"}) begin(shelf.book(), id, 1);
    shelf.again();
    CHECK(*shelf.book().tastings() == std::vector<std::string>{"zzzzzzzz", "bbbbbbbb", "kkkkkkkk"});
}

TEMPLATE_TEST_CASE("book: papers are kept apart by kind and draw, to the byte", "[book]", FileShelf, MemoryShelf) {
    TestType shelf;
    begin(shelf.book(), k_id, 1);
    const std::string large(3u << 20, 'x');
    {
        tasting::Transaction act(shelf.book());
        REQUIRE(act.begin());
        REQUIRE(shelf.book().keep(k_id, Paper::room, 1, "the room's, \"caf\u00e9\"\n'; DROP TABLE key; --"));
        REQUIRE(shelf.book().keep(k_id, Paper::key, 1, large));
        REQUIRE(shelf.book().keep(k_id, Paper::room, 2, ""));
        REQUIRE(act.commit());
    }
    shelf.again();
    CHECK(**shelf.book().paper(k_id, Paper::room, 1) == "the room's, \"caf\u00e9\"\n'; DROP TABLE key; --");
    CHECK(**shelf.book().paper(k_id, Paper::key, 1) == large);
    CHECK(**shelf.book().paper(k_id, Paper::room, 2) == "");
    CHECK_FALSE(*shelf.book().paper(k_id, Paper::sealed, 1));
    CHECK_FALSE(*shelf.book().paper(k_id, Paper::key, 2));
    CHECK_FALSE(*shelf.book().paper(k_other, Paper::room, 1));
}

TEMPLATE_TEST_CASE("book: nothing is written twice", "[book]", FileShelf, MemoryShelf) {
    TestType shelf;
    begin(shelf.book(), k_id, 1);
    tasting::Transaction act(shelf.book());
    REQUIRE(act.begin());
    REQUIRE(shelf.book().keep(k_id, Paper::room, 1, "first"));
    CHECK(is_ours(shelf.book().begin_tasting(k_id)));
    CHECK(is_ours(shelf.book().append(k_id, row(1, "another"))));
    CHECK(is_ours(shelf.book().keep(k_id, Paper::room, 1, "another")));
    CHECK(bodies(shelf.book(), k_id) == std::vector<std::string>{"{\"n\":1}"});
    CHECK(**shelf.book().paper(k_id, Paper::room, 1) == "first");
}

TEMPLATE_TEST_CASE("book: nothing is written for a tasting that is not there", "[book]", FileShelf, MemoryShelf) {
    TestType shelf;
    begin(shelf.book(), k_id, 1);
    tasting::Transaction act(shelf.book());
    REQUIRE(act.begin());
    CHECK(is_ours(shelf.book().append(k_other, row(1))));
    CHECK(is_ours(shelf.book().keep(k_other, Paper::room, 1, "ballots")));
    CHECK(bodies(shelf.book(), k_other).empty());
}

TEMPLATE_TEST_CASE("book: nothing is written outside of an act, and acts do not nest", "[book]", FileShelf, MemoryShelf) {
    TestType shelf;
    begin(shelf.book(), k_id, 1);
    CHECK(is_ours(shelf.book().append(k_id, row(2))));
    CHECK(is_ours(shelf.book().keep(k_id, Paper::room, 1, "ballots")));
    CHECK(is_ours(shelf.book().begin_tasting(k_other)));
    CHECK(is_ours(shelf.book().forget(k_id)));
    CHECK(is_ours(shelf.book().commit()));
    shelf.book().roll_back();   // with nothing begun there is nothing to do
    REQUIRE(shelf.book().begin_write());
    CHECK(is_ours(shelf.book().begin_write()));
    REQUIRE(shelf.book().append(k_id, row(2)));
    REQUIRE(shelf.book().commit());
    shelf.again();
    CHECK(bodies(shelf.book(), k_id).size() == 2);
    CHECK(*shelf.book().tastings() == std::vector<std::string>{k_id});
}

TEMPLATE_TEST_CASE("book: forgetting takes all of one tasting and nothing of another", "[book]", FileShelf, MemoryShelf) {
    TestType shelf;
    for (const char* id : {k_id, k_other}) {
        begin(shelf.book(), id, 3);
        tasting::Transaction act(shelf.book());
        REQUIRE(act.begin());
        for (const Paper paper : {Paper::room, Paper::key, Paper::sealed}) REQUIRE(shelf.book().keep(id, paper, 1, id));
        REQUIRE(act.commit());
    }
    {
        tasting::Transaction act(shelf.book());
        REQUIRE(act.begin());
        REQUIRE(shelf.book().forget(k_id));
        REQUIRE(act.commit());
    }
    shelf.again();
    CHECK(*shelf.book().tastings() == std::vector<std::string>{k_other});
    CHECK(bodies(shelf.book(), k_id).empty());
    CHECK(bodies(shelf.book(), k_other).size() == 3);
    for (const Paper paper : {Paper::room, Paper::key, Paper::sealed}) {
        CHECK_FALSE(*shelf.book().paper(k_id, paper, 1));
        CHECK(**shelf.book().paper(k_other, paper, 1) == k_other);
    }
}

namespace {

/// Plan, draw from a seed, answer, correct, close: the id.
std::string whole_tasting(tasting::Book& book) {
    const tasting::testing::TickingClock clock;
    tasting::Keeper keeper(book, clock);
    const auto plan = tasting::read_plan(R"({"title":"Which crust?","versions":[{"id":"current"},{"id":"new"}],"tasters":4,"spares":1,
        "rounds":[{"method":"triangle","detect_pd":0.4}]})", "plan");
    REQUIRE(plan);
    const auto id = keeper.plan(*plan);
    REQUIRE(id);
    REQUIRE(keeper.draw(*id, {.seed = core::Bytes32{7}}));
    auto state = keeper.load(*id);
    REQUIRE(state);
    std::vector<tasting::IncomingAnswer> answers;
    for (std::size_t ballot = 0; ballot < 4; ++ballot)
        answers.push_back({.ballot = std::to_string(ballot + 1), .set = "1", .answer = state->room.ballots[ballot].sets[0].codes[0]});
    REQUIRE(keeper.enter(*state, answers, "csv", false, false));
    REQUIRE(keeper.correct(*id, {.ballot = "1", .set = "1", .answer = state->room.ballots[0].sets[0].codes[1], .why = "misread"}));
    REQUIRE(keeper.close(*id, false));
    return *id;
}

}   // namespace

TEST_CASE("book: a whole tasting reads the same from the file and from memory", "[book]") {
    FileShelf file;
    MemoryShelf memory;
    const std::string in_file = whole_tasting(file.book());
    const std::string in_memory = whole_tasting(memory.book());
    file.again();
    CHECK(story_of(file.book(), in_file) == story_of(memory.book(), in_memory));
}

TEST_CASE("book: a tasting sent from memory to a file and back is the same to the byte", "[book]") {
    FileShelf file;
    MemoryShelf memory, other;
    const tasting::testing::TickingClock clock;
    const std::string id = whole_tasting(memory.book());
    tasting::Keeper from(memory.book(), clock), into(file.book(), clock), back(other.book(), clock);
    const auto sent = tasting::pack(from, id);
    REQUIRE(sent);
    REQUIRE(tasting::take_in(into, *tasting::unpack(*sent, "sent")));
    const auto returned = tasting::pack(into, id);
    REQUIRE(returned);
    REQUIRE(tasting::take_in(back, *tasting::unpack(*returned, "returned")));
    CHECK(*returned == *sent);
    CHECK(*tasting::pack(back, id) == *sent);
}
