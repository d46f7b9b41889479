// Laws of a tasting whatever happened in the room: a file that is sent, taken in and sent on is the same file, and the fingerprint
// changes with any byte of plan, draw, seed and salt. The generator's seed is fixed; RC_PARAMS in the environment sets another.

#include <rapidcheck.h>

#include <cstdlib>

#include "oddplate/tasting/parcel.hpp"
#include "oddplate/tasting/plan_json.hpp"
#include "oddplate/tasting/proof.hpp"
#include "unit/tasting/memory_book.hpp"

using namespace oddplate;
using namespace oddplate::tasting;

namespace {

struct Kitchen {
    testing::MemoryBook book;
    testing::TickingClock clock;
    Keeper keeper{book, clock};
};

methods::Plan any_plan() {
    core::Json plan = core::Json::object();
    plan.set("title", "Made up " + std::to_string(*rc::gen::inRange(0, 1000)));
    core::Json versions = core::Json::array();
    for (const char* id : {"current", "new"}) versions.push(core::Json::object().set("id", id));
    plan.set("versions", versions);
    plan.set("tasters", *rc::gen::inRange(1, 12));
    plan.set("spares", *rc::gen::inRange(0, 3));
    core::Json rounds = core::Json::array();
    for (int left = *rc::gen::inRange(1, 3); left > 0; --left) {
        core::Json round = core::Json::object();
        round.set("method", *rc::gen::element<std::string>("triangle", "paired-preference"));
        if (*rc::gen::arbitrary<bool>()) round.set("spots", core::Json(core::Json::Array{"edge", "centre"}));
        rounds.push(round);
    }
    plan.set("rounds", rounds);
    auto read = read_plan(core::to_text(plan), "plan");
    if (!read) RC_FAIL(read.faults().front().line());
    return *read;
}

std::string packed(Keeper& keeper, const std::string& id) {
    const auto text = pack(keeper, id);
    if (!text) RC_FAIL(text.faults().front().line());
    return *text;
}

void sent_on_it_is_the_same(Kitchen& here, const std::string& id) {
    const std::string text = packed(here.keeper, id);
    Kitchen there;
    const auto parcel = unpack(text, "sent.json");
    RC_ASSERT(parcel.ok());
    const auto taken = take_in(there.keeper, *parcel);
    if (!taken) RC_FAIL(taken.faults().front().line());
    RC_ASSERT(*taken == TakenIn::new_tasting);
    RC_ASSERT(packed(there.keeper, id) == text);
}

/// Something that happens in a room; many are refused, and then nothing may have changed.
void happen(Kitchen& kitchen, const std::string& id) {
    auto state = kitchen.keeper.load(id);
    RC_ASSERT(state.ok());
    const auto any = [&] { return std::to_string(*rc::gen::inRange(1, state->plan.ballots() + 1)); };
    const std::string ballot = any();
    const auto index = static_cast<std::size_t>(state->ballot_of(ballot));
    const auto set = static_cast<std::size_t>(*rc::gen::inRange(0, static_cast<int>(state->room.ballots[index].sets.size())));
    const std::string number = std::to_string(set + 1), code = state->room.ballots[index].sets[set].codes[0];
    switch (*rc::gen::inRange(0, 9)) {
        case 0:
        case 1:
        case 2:
            (void)kitchen.keeper.enter(*state, {{.line = 2, .ballot = ballot, .set = number, .answer = code, .note = "warm \"plate\"\n\xC3\xA9"}}, "csv", true,
                                       state->stage == Stage::closed);
            return;
        case 3:
            (void)kitchen.keeper.correct(id, {ballot, number, "blank", "misread", state->is_opened()});
            return;
        case 4:
            (void)kitchen.keeper.hand(id, ballot, *rc::gen::element<std::string>("", "Kim"));
            return;
        case 5:
            (void)kitchen.keeper.spoil(id, ballot, "wet");
            return;
        case 6:
            (void)kitchen.keeper.swap(id, ballot, any(), number, "mixed up");
            return;
        case 7:
            (void)kitchen.keeper.reveal(id, ballot, code, "allergy");
            return;
        default:
            if (*rc::gen::inRange(0, 4) == 0) (void)kitchen.keeper.close(id, true);
    }
}

void any_history_is_sent_whole() {
    Kitchen kitchen;
    const auto id = kitchen.keeper.plan(any_plan());
    RC_ASSERT(id.ok());
    sent_on_it_is_the_same(kitchen, *id);
    RC_ASSERT(kitchen.keeper.draw(*id, {}).ok());
    for (int left = *rc::gen::inRange(0, 12); left > 0; --left) happen(kitchen, *id);
    sent_on_it_is_the_same(kitchen, *id);
    (void)kitchen.keeper.close(*id, true);
    sent_on_it_is_the_same(kitchen, *id);
    const auto state = kitchen.keeper.load(*id);
    const auto key = kitchen.keeper.key(*state);
    RC_ASSERT(state.ok() && key.ok());
    for (const Proof& proof : prove(*state, *kitchen.book.rows(*id, 0), *key, {})) RC_ASSERT(proof.holds.value_or(true));
}

/// The text with one digit changed, wherever it stands.
std::string one_digit_off(std::string text) {
    std::vector<std::size_t> digits;
    for (std::size_t i = 0; i < text.size(); ++i)
        if (text[i] >= '0' && text[i] <= '9') digits.push_back(i);
    char& digit = text[*rc::gen::elementOf(digits)];
    digit = static_cast<char>('0' + (digit - '0' + *rc::gen::inRange(1, 10)) % 10);
    return text;
}

void any_byte_changes_the_fingerprint() {
    const methods::Plan plan = any_plan();
    core::Bytes32 seed{}, salt{};
    for (auto& byte : seed) byte = static_cast<std::uint8_t>(*rc::gen::inRange(0, 256));
    const auto drawn = draw::draw(plan, seed);
    RC_ASSERT(drawn.ok());
    const KeyPaper paper{.seed = seed, .salt = salt, .key = drawn->key};
    const std::string before = fingerprint(plan, drawn->room, paper, draw::k_draw_version);
    RC_ASSERT(fingerprint(plan, drawn->room, paper, draw::k_draw_version) == before);
    RC_ASSERT(fingerprint(plan, drawn->room, paper, draw::k_draw_version + 1) != before);
    if (const auto room = room_from_text(one_digit_off(room_to_text(drawn->room))); room && !(*room == drawn->room))
        RC_ASSERT(fingerprint(plan, *room, paper, draw::k_draw_version) != before);
    if (const auto key = key_from_text(one_digit_off(key_to_text(paper))); key && key_to_text(*key) != key_to_text(paper))
        RC_ASSERT(fingerprint(plan, drawn->room, *key, draw::k_draw_version) != before);
    const auto at = static_cast<std::size_t>(*rc::gen::inRange(0, 32));
    const auto bit = static_cast<std::uint8_t>(1 << *rc::gen::inRange(0, 8));
    KeyPaper other = paper;
    other.seed[at] = static_cast<std::uint8_t>(other.seed[at] ^ bit);
    RC_ASSERT(fingerprint(plan, drawn->room, other, draw::k_draw_version) != before);
    other = paper;
    other.salt[at] = static_cast<std::uint8_t>(other.salt[at] ^ bit);
    RC_ASSERT(fingerprint(plan, drawn->room, other, draw::k_draw_version) != before);
    methods::Plan renamed = plan;
    renamed.title.back() = '!';
    RC_ASSERT(fingerprint(renamed, drawn->room, paper, draw::k_draw_version) != before);
}

}   // namespace

int main() {
    setenv("RC_PARAMS", "seed=20261125 max_success=120", 0);
    bool held = true;
    held &= rc::check("any history, sent and taken in and sent on, is the same file", any_history_is_sent_whole);
    held &= rc::check("the fingerprint changes with any byte of plan, draw, seed and salt", any_byte_changes_the_fingerprint);
    return held ? 0 : 1;
}
