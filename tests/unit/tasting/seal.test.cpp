// A sealed tasting from draw to verdict: where the list of codes stands, who may open it, and when.

#include <algorithm>

#include "oddplate/core/sealed_box.hpp"
#include "oddplate/tasting/outcome.hpp"
#include "oddplate/tasting/parcel.hpp"
#include "oddplate/tasting/proof.hpp"
#include "sealing.hpp"

using namespace oddplate;
using namespace oddplate::tasting;
using namespace oddplate::tasting::testing;

TEST_CASE("seal: a sealed draw leaves nothing readable of its key anywhere in the book", "[tasting][seal]") {
    Kitchen kitchen;
    const std::string id = kitchen.sealed();
    const State state = kitchen.state(id);
    CHECK(state.draw().sealed);
    CHECK_FALSE(good(kitchen.book.paper(id, Paper::key, 1)).has_value());
    CHECK(good(kitchen.book.paper(id, Paper::sealed, 1)).has_value());
    CHECK(good(kitchen.keeper.is_locked(state)));

    const KeyPaper paper = good(kitchen.keeper.key(state, true, k_seal));
    const std::string everything = kitchen.book.everything();
    CHECK(everything.find(core::to_hex(paper.seed)) == std::string::npos);
    CHECK(everything.find(core::to_hex(paper.salt)) == std::string::npos);
    CHECK(everything.find("\"tubs\"") == std::string::npos);
    for (const auto& word : k_seal) CHECK(everything.find(word) == std::string::npos);
    CHECK(everything.find(core::to_canonical_text(core::parse_json(key_to_text(paper))->at("ballots"))) == std::string::npos);
    // The same looks at an open draw find what they look for.
    const std::string open = kitchen.planned();
    good(kitchen.keeper.draw(open, {}));
    const KeyPaper seen = good(kitchen.keeper.key(kitchen.state(open), true));
    CHECK(kitchen.book.everything().find(core::to_hex(seen.seed)) != std::string::npos);
    CHECK(kitchen.book.everything().find("\"tubs\"") != std::string::npos);
}

TEST_CASE("seal: before close only the words open the key, and only where it may be opened", "[tasting][seal]") {
    Kitchen kitchen;
    const std::string id = kitchen.sealed();
    const State state = kitchen.state(id);
    const std::string before = kitchen.book.everything();
    CHECK(code_of(kitchen.keeper.key(state, false, k_seal)) == "still-closed");
    CHECK(code_of(kitchen.keeper.key(state, true)) == "words-needed");
    CHECK(code_of(kitchen.keeper.key(state, true, k_other_words)) == "wrong-words");
    const KeyPaper paper = good(kitchen.keeper.key(state, true, k_seal));
    CHECK(fingerprint(state.plan, state.room, paper, state.draw().draw_version) == state.draw().fingerprint);
    CHECK(code_of(kitchen.keeper.unlock(id, paper)) == "still-closed");
    CHECK(kitchen.book.everything() == before);
}

TEST_CASE("seal: after close the words are needed once", "[tasting][seal]") {
    Kitchen kitchen;
    const std::string id = kitchen.sealed();
    good(kitchen.keeper.close(id, true));
    CHECK(code_of(kitchen.keeper.key(kitchen.state(id))) == "words-needed");
    KeyPaper paper = good(kitchen.keeper.key(kitchen.state(id), false, k_seal));
    good(kitchen.keeper.unlock(id, paper));
    good(kitchen.keeper.unlock(id, paper));   // a second hand changes nothing
    CHECK(kitchen.kinds_of(id) == std::vector<std::string>{"planned", "drawn", "closed", "unsealed"});

    State state = kitchen.state(id);
    CHECK(state.unsealed);
    CHECK_FALSE(good(kitchen.keeper.is_locked(state)));
    CHECK(key_to_text(good(kitchen.keeper.key(state))) == key_to_text(paper));
    CHECK(outcome_of(state, paper).ok());
    for (const auto& proof : prove(state, good(kitchen.book.rows(id, 0)), paper, core::printed_seal(state.draw().fingerprint))) {
        CAPTURE(proof.id, proof.says);
        CHECK(proof.holds == true);
    }
}

TEST_CASE("seal: an early opening unlocks as a close does", "[tasting][seal]") {
    Kitchen kitchen;
    const std::string id = kitchen.sealed();
    const KeyPaper paper = good(kitchen.keeper.key(kitchen.state(id), true, k_seal));
    good(kitchen.keeper.open_early(id, "a guest fell ill"));
    good(kitchen.keeper.unlock(id, paper));
    CHECK(kitchen.kinds_of(id) == std::vector<std::string>{"planned", "drawn", "opened-early", "unsealed"});
    CHECK(kitchen.keeper.key(kitchen.state(id)).ok());
}

TEST_CASE("seal: a box or ballots that were exchanged do not pass", "[tasting][seal]") {
    Kitchen kitchen;
    const std::string id = kitchen.sealed(), other = kitchen.sealed();
    const std::string box = *good(kitchen.book.paper(id, Paper::sealed, 1));
    kitchen.book.overwrite(id, Paper::sealed, 1, *good(kitchen.book.paper(other, Paper::sealed, 1)));
    CHECK(code_of(kitchen.keeper.key(kitchen.state(id), true, k_seal)) == "seal-broken");
    kitchen.book.overwrite(id, Paper::sealed, 1, box);
    CHECK(kitchen.keeper.key(kitchen.state(id), true, k_seal).ok());
    kitchen.book.overwrite(id, Paper::room, 1, *good(kitchen.book.paper(other, Paper::room, 1)));
    CHECK(code_of(kitchen.keeper.key(kitchen.state(id), true, k_seal)) == "seal-broken");
    kitchen.book.overwrite(id, Paper::sealed, 1, "nothing");
    CHECK(code_of(kitchen.keeper.key(kitchen.state(id), true, k_seal)) == "not-a-box");
    kitchen.book.remove(id, Paper::sealed, 1);
    CHECK(code_of(kitchen.keeper.key(kitchen.state(id), true, k_seal)) == "key-elsewhere");
}

TEST_CASE("seal: a key that is not the one that was drawn cannot be kept", "[tasting][seal]") {
    Kitchen kitchen;
    const std::string id = kitchen.sealed(), other = kitchen.sealed();
    const KeyPaper theirs = good(kitchen.keeper.key(kitchen.state(other), true, k_seal));
    good(kitchen.keeper.close(id, true));
    CHECK(code_of(kitchen.keeper.unlock(id, theirs)) == "seal-broken");
    CHECK(kitchen.kinds_of(id).back() == "closed");
}

TEST_CASE("seal: the tubs and one code open with the words, and without them nothing is written", "[tasting][seal]") {
    Kitchen kitchen;
    const std::string id = kitchen.sealed();
    const State state = kitchen.state(id);
    const KeyPaper paper = good(kitchen.keeper.key(state, true, k_seal));
    const std::string letter = paper.key.tubs.front().letters.front(), code = state.room.ballots[2].sets[1].codes[0];
    const std::string before = kitchen.book.everything();
    CHECK(code_of(kitchen.keeper.tubs_found(id, "edge", letter, "new", "cards read")) == "words-needed");
    CHECK(code_of(kitchen.keeper.tubs_found(id, "edge", letter, "new", "cards read", k_other_words)) == "wrong-words");
    CHECK(code_of(kitchen.keeper.tubs_found(id, "edge", "?", "new", "cards read", k_seal)) == "bad-value");
    CHECK(code_of(kitchen.keeper.reveal(id, "3", code, "allergy")) == "words-needed");
    CHECK(code_of(kitchen.keeper.reveal(id, "3", code, "allergy", k_other_words)) == "wrong-words");
    CHECK(kitchen.book.everything() == before);
    good(kitchen.keeper.tubs_found(id, "edge", letter, "new", "cards read", k_seal));
    const int version = paper.key.ballots[2].sets[1].portions[0].version;
    CHECK(good(kitchen.keeper.reveal(id, "3", code, "allergy", k_seal)) ==
          state.plan.versions[static_cast<std::size_t>(version)].id);
    CHECK(kitchen.kinds_of(id) == std::vector<std::string>{"planned", "drawn", "tubs-found", "revealed"});
    CHECK(good(kitchen.keeper.is_locked(kitchen.state(id))));   // one code was opened, not the list
}

TEST_CASE("seal: an export before close carries the box, and a machine with the words opens it after close", "[tasting][seal]") {
    Kitchen here, there;
    const std::string id = here.sealed();
    const std::string file = good(pack(here.keeper, id));
    CHECK(core::parse_json(file)->find("key") == nullptr);
    CHECK(core::parse_json(file)->at("sealed").as_string() == *good(here.book.paper(id, Paper::sealed, 1)));
    CHECK(good(take_in(there.keeper, good(unpack(file, "a.json")))) == TakenIn::new_tasting);
    CHECK(good(pack(there.keeper, id)) == file);

    good(here.keeper.close(id, true));
    CHECK(good(take_in(there.keeper, good(unpack(good(pack(here.keeper, id)), "b.json")))) == TakenIn::further_acts);
    CHECK(code_of(there.keeper.key(there.state(id))) == "words-needed");
    good(there.keeper.unlock(id, good(there.keeper.key(there.state(id), false, k_seal))));
    const std::string opened = good(pack(there.keeper, id));
    CHECK(core::parse_json(opened)->find("key") != nullptr);
    CHECK(good(take_in(here.keeper, good(unpack(opened, "c.json")))) ==
          TakenIn::further_acts);   // and back: no words needed here any more
    CHECK(here.keeper.key(here.state(id)).ok());
    CHECK(good(pack(here.keeper, id)) == opened);
}

TEST_CASE("seal: a file whose box has no sealed draw, or no shape, is refused whole", "[tasting][seal]") {
    Kitchen here, there;
    const std::string id = here.sealed(), open = here.planned();
    good(here.keeper.draw(open, {}));
    Parcel parcel = good(unpack(good(pack(here.keeper, id)), "a.json"));
    Parcel unsealed_draw = good(unpack(good(pack(here.keeper, open)), "b.json"));
    unsealed_draw.sealed = parcel.sealed;
    CHECK(code_of(take_in(there.keeper, unsealed_draw)) == "box-without-draw");
    parcel.sealed = "{}";
    CHECK(code_of(take_in(there.keeper, parcel)) == "not-a-box");
    CHECK(there.book.everything().empty());
}

TEST_CASE("seal: a known seed cannot be sealed", "[tasting][seal]") {
    Kitchen kitchen;
    const std::string id = kitchen.planned();
    const core::Bytes32 seed{};
    CHECK(code_of(kitchen.keeper.draw(id, {.seed = seed, .seal = k_seal})) == "seed-known");
    CHECK(code_of(kitchen.keeper.draw(id, {.seed = seed, .guests = GuestsPart{.host = {}, .lines = {"six"}}})) == "seed-known");
    CHECK(kitchen.kinds_of(id) == std::vector<std::string>{"planned"});
}

TEST_CASE("seal: drawn anew without a seal the words are needed no more", "[tasting][seal]") {
    Kitchen kitchen;
    const std::string id = kitchen.sealed();
    good(kitchen.keeper.draw(id, {}));
    CHECK_FALSE(good(kitchen.keeper.is_locked(kitchen.state(id))));
    CHECK(kitchen.keeper.key(kitchen.state(id), true).ok());
    good(kitchen.keeper.draw(id, {.seal = k_other_words}));
    CHECK(code_of(kitchen.keeper.key(kitchen.state(id), true, k_seal)) == "wrong-words");
    CHECK(kitchen.keeper.key(kitchen.state(id), true, k_other_words).ok());
    CHECK(kitchen.state(id).draws.size() == 3);
}

TEST_CASE("seal: whichever write fails, a sealed draw or an unlocking is there whole or not at all", "[tasting][seal]") {
    Kitchen kitchen;
    const std::string id = kitchen.planned();
    const std::string before = kitchen.book.everything();
    int failures = 0;
    for (int n = 1;; ++n) {
        kitchen.book.fail_at = kitchen.book.calls + n;
        const auto drawn = kitchen.keeper.draw(id, {.seal = k_seal});
        if (drawn) break;
        ++failures;
        CHECK(code_of(drawn) == "no-room");
        CHECK(kitchen.book.everything() == before);
    }
    CHECK(failures == 5);   // begin, two papers, the row, the commit
    kitchen.book.fail_at.reset();
    good(kitchen.keeper.close(id, true));
    const KeyPaper paper = good(kitchen.keeper.key(kitchen.state(id), false, k_seal));
    const std::string closed = kitchen.book.everything();
    for (int n = 1; n <= 4; ++n) {
        kitchen.book.fail_at = kitchen.book.calls + n;
        CHECK(code_of(kitchen.keeper.unlock(id, paper)) == "no-room");
        CHECK(kitchen.book.everything() == closed);
    }
    kitchen.book.fail_at.reset();
    CHECK(kitchen.keeper.unlock(id, paper).ok());
}
