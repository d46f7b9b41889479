// The large steps of a tasting's life: planned, closed, opened early, begun again, wiped. (Drawing has a file of its own.)

#include <algorithm>

#include "oddplate/core/text.hpp"
#include "oddplate/tasting/keeper.hpp"
#include "oddplate/tasting/names.hpp"
#include "oddplate/tasting/plan_json.hpp"
#include "refusals.hpp"

namespace oddplate::tasting {
namespace {

using core::Json;

/// Sets on all ballots but the spares.
int sets_of_tasters(const State& state) {
    int sets = 0;
    for (const draw::RoomBallot& ballot : state.room.ballots) sets += ballot.spare ? 0 : static_cast<int>(ballot.sets.size());
    return sets;
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

core::Status Keeper::open_early(const std::string& id, const std::string& why) {
    if (auto status = check_reason(why, "--unblind-early"); !status) return status;
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
        counts = reconcile(state);
        if (counts.missing > 0 && !even_if_missing) {
            return core::fault(core::ErrorKind::conflict, "answers-missing",
                               std::to_string(counts.missing) + (counts.missing == 1 ? " answer is" : " answers are") + " missing of ballots that were dealt (ballot/set: " +
                                   core::joined(counts.missing_sets, ", ") + (counts.missing > static_cast<int>(counts.missing_sets.size()) ? ", ..." : "") +
                                   "): enter them, or close all the same with --yes");
        }
        if (counts.missing == 0 && state.answers.empty() && !even_if_missing) {
            const int expected = sets_of_tasters(state);
            return core::fault(core::ErrorKind::conflict, "answers-missing",
                               "no answer was entered: " + (expected == 1 ? "the one answer that was planned is" : "all " + core::with_commas(expected) + " answers that were planned are") +
                                   " missing; enter them, or close all the same with --yes");
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
