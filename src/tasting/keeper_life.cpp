// The large steps of a tasting's life: planned, closed, opened early, begun again, wiped. (Drawing has a file of its own.)

#include <algorithm>
#include <span>

#include "oddplate/core/text.hpp"
#include "oddplate/tasting/evenings.hpp"
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

/// Is there anything on this ballot that was served, as far as the plan goes?
bool was_served(const State& state, const draw::RoomBallot& ballot) {
    return std::any_of(ballot.sets.begin(), ballot.sets.end(), [&](const draw::RoomSet& set) {
        const methods::Round& round = state.plan.rounds[static_cast<std::size_t>(set.round)];
        return !state.is_stopped(round.spots[static_cast<std::size_t>(set.spot)]);
    });
}

/// Every answer of a dealt ballot is there, and there is one at all.
core::Status check_complete(const Reconciliation& counts, const State& state) {
    if (counts.missing > 0) {
        return core::fault(core::ErrorKind::conflict, "answers-missing",
                           std::to_string(counts.missing) + (counts.missing == 1 ? " answer is" : " answers are") + " missing of ballots that were dealt (ballot/set: " +
                               core::joined(counts.missing_sets, ", ") + (counts.missing > static_cast<int>(counts.missing_sets.size()) ? ", ..." : "") +
                               "): enter them, or close all the same with --yes");
    }
    if (!state.answers.empty()) return core::Done{};
    const int expected = sets_of_tasters(state);
    return core::fault(core::ErrorKind::conflict, "answers-missing",
                       "no answer was entered: " + (expected == 1 ? "the one answer that was planned is" : "all " + core::with_commas(expected) + " answers that were planned are") +
                           " missing; enter them, or close all the same with --yes");
}

/// All evenings but the last were ended, each by itself: who closes the whole of it now doesn't mean only tonight.
core::Status check_evenings(const State& state) {
    std::vector<std::string> open;
    for (int e = 0; e < static_cast<int>(state.plan.evenings.size()); ++e)
        if (!state.is_over(e)) open.push_back(std::to_string(e + 1));
    if (open.size() < 2) return core::Done{};
    return core::fault(core::ErrorKind::conflict, "evenings-open",
                       "evenings " + some_names(open) + " of " + state.id + " are not over, and closing opens the list of codes of all: end one with `oddplate close " + state.id +
                           " --evening " + open.front() + "`, or the whole tasting with --yes");
}

Json body_of(const Reconciliation& counts) {
    Json body = Json::object();
    const std::pair<const char*, int> numbers[] = {{"printed", counts.printed},   {"dealt", counts.dealt},     {"left_over", counts.left_over},
                                                   {"spoiled", counts.spoiled},   {"sets_dealt", counts.sets_dealt}, {"answered", counts.answered},
                                                   {"blank", counts.blank},       {"void", counts.void_},      {"not_served", counts.not_served},
                                                   {"missing", counts.missing}};
    for (const auto& [key, value] : numbers) body.set(key, value);
    return body;
}

}   // namespace

std::string some_names(const std::vector<std::string>& names) {
    constexpr std::size_t k_most = 20;
    if (names.size() > k_most) return core::joined(std::span(names).first(k_most), ", ") + ", ...";
    if (names.size() < 2) return core::joined(names, "");
    return core::joined(std::span(names).first(names.size() - 1), ", ") + " and " + names.back();
}

Pile pile_of(const State& state) {
    Pile pile;
    std::vector<std::string> since;
    int expected = 0;
    for (std::size_t i = 0; i < state.room.ballots.size(); ++i) {
        const draw::RoomBallot& ballot = state.room.ballots[i];
        const int number = static_cast<int>(i);
        if (ballot.spare) continue;
        ++pile.planned;
        const bool spoiled = state.is_spoiled(number), served = !spoiled && was_served(state, ballot);
        expected += served ? 1 : 0;
        const auto first = state.answers.lower_bound({number, 0});
        const bool has_answer = first != state.answers.end() && first->first.first == number;
        if (has_answer || spoiled) {   // either way it was dealt
            if (has_answer && !spoiled) pile.answered.push_back(state.ballot_name(number));
            pile.gaps.insert(pile.gaps.end(), since.begin(), since.end());
            since.clear();
        } else if (served) {
            since.push_back(state.ballot_name(number));
        }
    }
    pile.thin = 2 * static_cast<int>(pile.answered.size()) < expected;
    return pile;
}

std::string short_of(const State& state) {
    const Pile pile = pile_of(state);
    if (pile.thin) {
        const bool one = pile.answered.size() == 1;
        return (pile.planned == 1 ? "one person was" : core::with_commas(pile.planned) + " people were") + " planned; " +
               (pile.answered.empty() ? "none of their ballots has" : std::string("only ") + (one ? "ballot " : "ballots ") + some_names(pile.answered) + (one ? " has" : " have")) + " answers";
    }
    if (pile.gaps.empty()) return {};
    const bool one = pile.gaps.size() == 1;
    return std::string(one ? "ballot " : "ballots ") + some_names(pile.gaps) + (one ? " has" : " have") + " no answer, but a later one has";
}

core::Status look_at_pile(const State& state) {
    const std::string lacks = short_of(state);
    if (lacks.empty()) return core::Done{};
    const std::string evening = state.plan.evening > 0 ? " --evening " + std::to_string(state.plan.evening) : std::string();
    return core::fault(core::ErrorKind::conflict, "answers-missing",
                       lacks + ". Still a slip to type? `oddplate enter " + state.id + "`. Nobody else came? `oddplate close " + state.id + evening + " --yes`.");
}

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
        if (!even_if_missing)
            if (auto held = check_evenings(state); !held) return held.faults();
        counts = reconcile(state);
        if (!even_if_missing)
            if (auto whole = check_complete(counts, state); !whole) return whole.faults();
        return body_of(counts);
    });
    if (!status) return status.faults();
    return counts;
}

core::Result<EveningClosed> Keeper::close_evening(const std::string& id, int evening, bool even_if_missing) {
    EveningClosed closed;
    auto status = act(id, kinds::evening_over, [&](State& state) -> core::Result<Json> {
        if (auto open = must_be_open(state); !open) return open.faults();
        const int many = static_cast<int>(state.plan.evenings.size());
        if (many == 0) return core::fault(core::ErrorKind::conflict, "one-evening", state.id + " has one evening: `oddplate close " + state.id + "` ends it");
        if (evening < 0 || evening >= many) return core::found("--evening", std::to_string(evening + 1), "an evening from 1 to " + std::to_string(many));
        if (state.is_over(evening))
            return core::fault(core::ErrorKind::conflict, "evening-over", "evening " + std::to_string(evening + 1) + " of " + state.id + " is over already");
        const Part part = part_of(state, evening);
        closed.counts = reconcile(part.state);
        if (!even_if_missing)
            if (auto whole = check_complete(closed.counts, part.state); !whole) return whole.faults();
        closed.left = -1;
        for (int e = 0; e < many; ++e) closed.left += state.is_over(e) ? 0 : 1;
        return body_of(closed.counts).set("evening", evening + 1);
    });
    if (!status) return status.faults();
    return closed;
}

core::Status Keeper::note_look(const std::string& id, int evening, bool may_end) {
    return act(id, kinds::looked, [&](State& state) -> core::Result<Json> {
        if (state.looks.contains(evening)) return core::fault(core::ErrorKind::conflict, "looked-already", "the look after evening " + std::to_string(evening + 1) + " was made already");
        return Json::object().set("evening", evening + 1).set("may_end", may_end);
    });
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
