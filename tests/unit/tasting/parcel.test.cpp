// One tasting as one file: identity, growth, forks, tampering, and what it must not hold.

#include <catch2/catch.hpp>

#include "oddplate/tasting/parcel.hpp"
#include "oddplate/tasting/proof.hpp"
#include "sealing.hpp"

namespace oddplate::tasting {
namespace {

using namespace testing;

/// Takes text into another kitchen's book.
TakenIn sent(Kitchen& to, const std::string& text) { return good(take_in(to.keeper, good(unpack(text, "sent.json")))); }

void answer(Kitchen& kitchen, const std::string& id, const std::string& ballot, std::size_t code) {
    State state = kitchen.state(id);
    const auto& set = state.room.ballots[static_cast<std::size_t>(state.ballot_of(ballot))].sets[0];
    const Intake intake = good(kitchen.keeper.enter(state, {{.line = 2, .ballot = ballot, .set = "1", .answer = set.codes[code]}}, "csv", false, false));
    REQUIRE(intake.accepted == 1);
}

std::string closed(Kitchen& kitchen) {
    const std::string id = kitchen.planned();
    good(kitchen.keeper.draw(id, {}));
    answer(kitchen, id, "1", 0);
    good(kitchen.keeper.close(id, true));
    return id;
}

TEST_CASE("parcel: export, import, export gives the same bytes, before the draw, before close and after", "[tasting]") {
    Kitchen here;
    const std::string id = here.planned();
    for (int step = 0; step < 3; ++step) {
        if (step == 1) good(here.keeper.draw(id, {}));
        if (step == 2) good(here.keeper.close(id, true));
        Kitchen there;
        const std::string text = good(pack(here.keeper, id));
        CHECK(sent(there, text) == TakenIn::new_tasting);
        CHECK(good(pack(there.keeper, id)) == text);
        CHECK(sent(there, text) == TakenIn::there_already);
        CHECK(good(pack(there.keeper, id)) == text);
    }
}

TEST_CASE("parcel: before close it holds no seed, no salt and no key", "[tasting]") {
    Kitchen here;
    const std::string id = here.planned();
    good(here.keeper.draw(id, {}));
    const KeyPaper key = good(here.keeper.key(here.state(id), true));
    const std::string before = good(pack(here.keeper, id));
    CHECK(before.find(core::to_hex(key.seed)) == std::string::npos);
    CHECK(before.find(core::to_hex(key.salt)) == std::string::npos);
    CHECK(before.find("\"key\"") == std::string::npos);
    good(here.keeper.close(id, true));
    CHECK(good(pack(here.keeper, id)).find(core::to_hex(key.seed)) != std::string::npos);
}

TEST_CASE("parcel: answers typed elsewhere come home onto the history that is shared", "[tasting]") {
    Kitchen home, away;
    const std::string id = home.planned();
    good(home.keeper.draw(id, {}));
    sent(away, good(pack(home.keeper, id)));
    answer(away, id, "2", 1);
    CHECK(sent(home, good(pack(away.keeper, id))) == TakenIn::further_acts);
    CHECK(home.state(id).answers.size() == 1);
    CHECK(home.keeper.key(home.state(id), true).ok());   // the book that drew it still has the list of codes
    CHECK(code_of(away.keeper.key(away.state(id), true)) == "key-elsewhere");
}

TEST_CASE("parcel: an older file changes nothing, and a history that forked is refused", "[tasting]") {
    Kitchen home, away;
    const std::string id = home.planned();
    good(home.keeper.draw(id, {}));
    const std::string old = good(pack(home.keeper, id));
    sent(away, old);
    answer(home, id, "1", 0);
    const std::string now = good(pack(home.keeper, id));
    CHECK(sent(home, old) == TakenIn::older_than_here);
    CHECK(good(pack(home.keeper, id)) == now);
    answer(away, id, "1", 1);
    CHECK(code_of(take_in(home.keeper, good(unpack(good(pack(away.keeper, id)), "sent.json")))) == "other-history");
    CHECK(good(pack(home.keeper, id)) == now);
}

TEST_CASE("parcel: a file cut short anywhere is refused in one sentence", "[tasting]") {
    Kitchen here;
    const std::string text = good(pack(here.keeper, closed(here)));
    for (std::size_t n = 0; n + 2 < text.size(); n += 1 + n / 40) {
        CAPTURE(n);
        CHECK_FALSE(unpack(std::string_view(text).substr(0, n), "cut.json").ok());
    }
}

TEST_CASE("parcel: a changed answer, time or hash in the log is refused", "[tasting]") {
    Kitchen here;
    const Parcel whole = good(unpack(good(pack(here.keeper, closed(here))), "sent.json"));
    for (std::size_t i = 0; i < whole.rows.size(); ++i) {
        CAPTURE(i);
        for (std::string LogRow::*part : {&LogRow::kind, &LogRow::at, &LogRow::body, &LogRow::hash}) {
            Parcel changed = whole;
            std::string& text = changed.rows[i].*part;
            text[text.size() / 2] = text[text.size() / 2] == 'a' ? 'b' : 'a';
            CHECK_FALSE(check_chain(changed.id, changed.rows).ok());
        }
    }
}

TEST_CASE("parcel: a list of codes that was changed is not taken in", "[tasting]") {
    Kitchen here, there;
    Parcel parcel = good(unpack(good(pack(here.keeper, closed(here))), "sent.json"));
    KeyPaper key = good(key_from_text(*parcel.key));
    key.key.ballots[0].sets[0].portions[0].version ^= 1;   // not a swap: two portions of a triangle may be alike
    parcel.key = key_to_text(key);
    CHECK(code_of(take_in(there.keeper, parcel)) == "seal-broken");
    CHECK(good(there.book.tastings()).empty());
}

TEST_CASE("parcel: ballots, codes and log that don't speak of the same room are refused, whatever their hashes", "[tasting]") {
    Kitchen here;
    const Parcel whole = good(unpack(good(pack(here.keeper, closed(here))), "sent.json"));
    const auto refused = [&](auto change) {
        Parcel parcel = whole;
        draw::Room room = good(room_from_text(*parcel.room));
        KeyPaper key = good(key_from_text(*parcel.key));
        change(parcel, room, key);
        parcel.room = room_to_text(room);
        parcel.key = key_to_text(key);
        std::string before;
        for (LogRow& row : parcel.rows) row.hash = before = chain_hash(before, parcel.id, row);
        Kitchen there;
        const std::string code = code_of(take_in(there.keeper, parcel));
        CHECK(good(there.book.tastings()).empty());
        return code;
    };
    CHECK(refused([](Parcel&, draw::Room& room, KeyPaper&) { room.ballots.pop_back(); }) == "at-odds");
    CHECK(refused([](Parcel&, draw::Room& room, KeyPaper&) { room.ballots[0].sets[0].spot = 2; }) == "at-odds");
    CHECK(refused([](Parcel&, draw::Room& room, KeyPaper&) { room.ballots[0].sets[0].round = -1; }) == "at-odds");
    CHECK(refused([](Parcel&, draw::Room& room, KeyPaper&) { room.ballots[0].sets.clear(); }) == "at-odds");   // the log has an answer there
    CHECK(refused([](Parcel&, draw::Room&, KeyPaper& key) { key.key.ballots[1].sets.pop_back(); }) == "at-odds");
    CHECK(refused([](Parcel&, draw::Room&, KeyPaper& key) { key.key.ballots[1].sets[0].order = 6; }) == "at-odds");
    CHECK(refused([](Parcel&, draw::Room&, KeyPaper& key) { key.key.ballots[1].sets[0].portions[0].version = 2; }) == "at-odds");
    CHECK(refused([](Parcel&, draw::Room&, KeyPaper& key) { key.key.ballots[1].sets[0].portions[0].piece = 1; }) == "at-odds");
    CHECK(refused([](Parcel&, draw::Room&, KeyPaper& key) { key.key.tubs.pop_back(); }) == "at-odds");
    CHECK(refused([](Parcel& parcel, draw::Room&, KeyPaper&) { parcel.rows[2].body = R"({"answers":[["999",1,"417"]],"from":"csv"})"; }) == "row-unreadable");
    CHECK(refused([](Parcel& parcel, draw::Room&, KeyPaper&) { parcel.rows[2].body = R"({"answers":[["6",3,"417"]],"from":"csv"})"; }) == "at-odds");
    CHECK(refused([](Parcel& parcel, draw::Room&, KeyPaper&) { parcel.rows[2].kind = kinds::planned; }) == "row-unreadable");
}

TEST_CASE("parcel: what verify would refuse before close is not taken in, sealed or not", "[tasting][guests]") {
    for (const bool sealed : {false, true}) {
        Kitchen here, there;
        const std::string id = here.planned();
        const auto host = good(here.keeper.commit_host(id));
        DrawOptions options{.guests = GuestsPart{.host = host, .lines = {"three sevens"}}};
        if (sealed) options.seal = k_seal;
        good(here.keeper.draw(id, options));
        Parcel parcel = good(unpack(good(pack(here.keeper, id)), "sent.json"));
        REQUIRE(parcel.rows[1].kind == kinds::host_committed);
        parcel.rows.erase(parcel.rows.begin() + 1);   // as if no number of the host had stood there before the guests spoke
        std::string before;
        std::int64_t seq = 0;
        for (LogRow& row : parcel.rows) {
            row.seq = ++seq;
            row.hash = before = chain_hash(before, parcel.id, row);
        }
        CHECK(code_of(take_in(there.keeper, parcel)) == "not-proved");
        CHECK(good(there.book.tastings()).empty());
    }
}

TEST_CASE("fingerprint: any change of plan, ballots, key, seed or salt gives another", "[tasting]") {
    Kitchen here;
    const std::string id = here.planned();
    good(here.keeper.draw(id, {}));
    const State state = here.state(id);
    const KeyPaper paper = good(here.keeper.key(state, true));
    const std::string seal = fingerprint(state.plan, state.room, paper, draw::k_draw_version);
    CHECK(seal == state.draw().fingerprint);
    const auto differs = [&](auto change) {
        methods::Plan plan = state.plan;
        draw::Room room = state.room;
        KeyPaper key = paper;
        int version = draw::k_draw_version;
        change(plan, room, key, version);
        CHECK(fingerprint(plan, room, key, version) != seal);
    };
    differs([](auto& plan, auto&, auto&, auto&) { plan.title += "!"; });
    differs([](auto& plan, auto&, auto&, auto&) { plan.versions[1].label += "!"; });
    differs([](auto& plan, auto&, auto&, auto&) { plan.rounds[0].alpha = 0.06; });
    differs([](auto&, auto&, auto&, auto& version) { version += 1; });
    for (std::size_t bit = 0; bit < 256; bit += 7) {
        differs([&](auto&, auto&, auto& key, auto&) { key.seed[bit / 8] = static_cast<std::uint8_t>(key.seed[bit / 8] ^ (1u << bit % 8)); });
        differs([&](auto&, auto&, auto& key, auto&) { key.salt[bit / 8] = static_cast<std::uint8_t>(key.salt[bit / 8] ^ (1u << bit % 8)); });
    }
    for (std::size_t b = 0; b < state.room.ballots.size(); ++b)
        for (std::size_t s = 0; s < state.room.ballots[b].sets.size(); ++s)
            for (std::size_t p = 0; p < 3; ++p) {
                differs([&](auto&, auto& room, auto&, auto&) { room.ballots[b].sets[s].codes[p][2] ^= 1; });
                differs([&](auto&, auto&, auto& key, auto&) { key.key.ballots[b].sets[s].portions[p].version ^= 1; });
                differs([&](auto&, auto&, auto& key, auto&) { key.key.ballots[b].sets[s].portions[p].piece += 1; });
            }
}

TEST_CASE("proof: a whole tasting holds, and a seal of other paper does not", "[tasting]") {
    Kitchen here;
    const std::string id = closed(here);
    const State state = here.state(id);
    const KeyPaper key = good(here.keeper.key(state));
    const auto rows = good(here.book.rows(id, 0));
    for (const auto& proof : prove(state, rows, key, core::printed_seal(state.draw().fingerprint))) {
        CAPTURE(proof.id, proof.says);
        CHECK(proof.holds != std::optional<bool>(false));
    }
    KeyPaper other = key;
    other.seed[0] ^= 1;
    bool draw_holds = true;
    for (const auto& proof : prove(state, rows, other, ""))
        if (proof.id == "draw") draw_holds = proof.holds.value_or(true);
    CHECK_FALSE(draw_holds);
}

}   // namespace
}   // namespace oddplate::tasting
