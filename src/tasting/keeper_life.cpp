// The large steps of a tasting's life: planned, drawn, closed, opened early, begun again, wiped.

#include "oddplate/core/text.hpp"
#include <algorithm>

#include "oddplate/tasting/keeper.hpp"
#include "oddplate/tasting/names.hpp"
#include "oddplate/tasting/plan_json.hpp"
#include "refusals.hpp"

namespace oddplate::tasting {
namespace {

using core::Json;

std::size_t servings_of(const draw::Room& room) {
    std::size_t n = 0;
    for (const auto& ballot : room.ballots)
        for (const auto& set : ballot.sets) n += set.codes.size() + (set.reference.empty() ? 0 : 1);
    return n;
}

std::size_t sets_of(const draw::Room& room) {
    std::size_t n = 0;
    for (const auto& ballot : room.ballots) n += ballot.sets.size();
    return n;
}

core::Status may_draw(const State& state) {
    const auto refuse = [&](const std::string& why) {
        return core::fault(core::ErrorKind::conflict, "too-late-to-draw", state.id + " " + why + "; `oddplate again " + state.id + "` makes a fresh tasting of the same plan");
    };
    if (state.stage == Stage::closed) return refuse("is closed");
    if (!state.early_openings.empty()) return refuse("was opened early");
    if (!state.answers.empty() || !state.told.empty()) return refuse("has answers already, and they belong to the draw that stands");
    return core::Done{};
}

}   // namespace

core::Result<std::string> Keeper::plan(const methods::Plan& plan, const std::string& follows) {
    Transaction transaction(m_book);
    if (auto begun = transaction.begin(); !begun) return begun.faults();
    State state;
    auto taken = m_book.tastings();
    if (!taken) return taken.faults();
    do {
        state.id = new_id(core::random_bytes32());
    } while (std::find(taken->begin(), taken->end(), state.id) != taken->end());
    if (auto status = m_book.begin_tasting(state.id); !status) return status.faults();
    Json body = Json::object();
    body.set("plan", plan_to_json(plan));
    LogRow row;
    if (auto status = append(state, kinds::planned, body, &row); !status) return status.faults();
    if (!follows.empty()) {
        state.last_seq = row.seq;
        state.head = row.hash;
        Json link = Json::object();
        link.set("tasting", follows);
        if (auto status = append(state, kinds::follows, link, nullptr); !status) return status.faults();
    }
    if (auto status = transaction.commit(); !status) return status.faults();
    return state.id;
}

core::Result<std::string> Keeper::again(const std::string& id) {
    const auto state = load(id);
    if (!state) return state.faults();
    return plan(state->plan, id);
}

core::Result<DrawAnswer> Keeper::draw(const std::string& id, const DrawOptions& options) {
    Transaction transaction(m_book);
    if (auto begun = transaction.begin(); !begun) return begun.faults();
    auto state = load(id);
    if (!state) return state.faults();
    if (auto status = may_draw(*state); !status) return status.faults();
    KeyPaper paper;
    paper.seed = options.seed ? *options.seed : core::random_bytes32();
    paper.salt = core::random_bytes32();
    auto drawn = draw::draw(state->plan, paper.seed);
    if (!drawn) return drawn.faults();
    paper.key = std::move(drawn->key);

    DrawAnswer answer;
    answer.ballots = static_cast<int>(drawn->room.ballots.size());
    answer.sets = static_cast<int>(sets_of(drawn->room));
    answer.servings = static_cast<int>(servings_of(drawn->room));
    answer.number = static_cast<int>(state->draws.size()) + 1;
    answer.fingerprint = fingerprint(state->plan, drawn->room, paper, draw::k_draw_version);
    answer.spreads = std::move(drawn->spreads);
    answer.codes_dealt_again = drawn->codes_dealt_again;

    Json body = Json::object();
    body.set("draw", answer.number);
    body.set("draw_version", draw::k_draw_version);
    body.set("fingerprint", answer.fingerprint);
    body.set("seed_given", options.seed.has_value());
    body.set("sealed", false);
    body.set("ballots", answer.ballots);
    body.set("sets", answer.sets);
    body.set("servings", answer.servings);
    if (auto status = m_book.keep(id, Paper::room, answer.number, room_to_text(drawn->room)); !status) return status.faults();
    if (auto status = m_book.keep(id, Paper::key, answer.number, key_to_text(paper)); !status) return status.faults();
    if (auto status = append(*state, kinds::drawn, body, nullptr); !status) return status.faults();
    if (auto status = transaction.commit(); !status) return status.faults();
    return answer;
}

core::Status Keeper::open_early(const std::string& id, const std::string& why) {
    if (auto status = check_reason(why); !status) return status;
    return act(id, kinds::opened_early, [&](State& state) -> core::Result<Json> {
        if (state.draws.empty()) return not_drawn_yet(state);
        if (state.stage == Stage::closed)
            return core::fault(core::ErrorKind::conflict, "closed", state.id + " is closed, so it can be judged without --unblind-early");
        Json body = Json::object();
        body.set("why", why);
        return body;
    });
}

core::Result<Reconciliation> Keeper::close(const std::string& id, bool even_if_missing) {
    Reconciliation counts;
    auto status = act(id, kinds::closed, [&](State& state) -> core::Result<Json> {
        if (state.draws.empty()) return not_drawn_yet(state);
        if (state.stage == Stage::closed) return core::fault(core::ErrorKind::conflict, "closed", state.id + " is closed already");
        auto reconciled = reconcile(state);
        if (!reconciled) return reconciled.faults();
        counts = *reconciled;
        if (counts.missing > 0 && !even_if_missing) {
            return core::fault(core::ErrorKind::conflict, "answers-missing",
                               std::to_string(counts.missing) + (counts.missing == 1 ? " answer is" : " answers are") + " missing of ballots that were dealt (ballot/set: " +
                                   core::joined(counts.missing_sets, ", ") + (counts.missing > static_cast<int>(counts.missing_sets.size()) ? ", ..." : "") +
                                   "): enter them, or close all the same with --yes");
        }
        Json body = Json::object();
        const std::pair<const char*, int> numbers[] = {{"printed", counts.printed},   {"dealt", counts.dealt},     {"left_over", counts.left_over},
                                                       {"spoiled", counts.spoiled},   {"sets_dealt", counts.sets_dealt}, {"answered", counts.answered},
                                                       {"blank", counts.blank},       {"void", counts.void_},      {"not_served", counts.not_served},
                                                       {"missing", counts.missing}};
        for (const auto& [key, value] : numbers) body.set(key, value);
        return body;
    });
    if (!status) return status.faults();
    return counts;
}

core::Status Keeper::wipe(const std::string& id) {
    Transaction transaction(m_book);
    if (auto begun = transaction.begin(); !begun) return begun;
    const auto state = load(id);
    if (!state) return state.faults();
    if (auto status = m_book.forget(id); !status) return status;
    return transaction.commit();
}

}   // namespace oddplate::tasting
