#include "oddplate/tasting/outcome.hpp"

#include <utility>

#include "oddplate/tasting/evenings.hpp"

namespace oddplate::tasting {
namespace {

/// Pieces of another lot are other pieces: counts them on (or, with -1, back) by the lots before.
void shift_lots(const methods::Plan& plan, draw::Key& key, int sign) {
    if (plan.lots() == 1) return;
    for (std::size_t b = 0; b < key.ballots.size(); ++b) {
        const int by = sign * plan.pieces * plan.lot_at(plan.evening_at(static_cast<int>(b)));
        for (draw::KeySet& set : key.ballots[b].sets) {
            set.reference_piece += by;
            for (draw::KeyPortion& portion : set.portions) portion.piece += by;
        }
    }
}

/// What `look` makes of the case; room and key are lent to it, since they are large.
template <class Look>
auto lent(State& state, KeyPaper& paper, AnswersAs answers, Look look) {
    judge::Case subject = case_of(state, answers);
    const auto exchange = [&] {
        std::swap(subject.room, state.room);
        std::swap(subject.key, paper.key);
    };
    exchange();
    shift_lots(state.plan, subject.key, 1);
    auto found = look(subject);
    shift_lots(state.plan, subject.key, -1);
    exchange();
    return found;
}

core::Result<judge::Judged> judged_as(State& state, KeyPaper& paper, AnswersAs answers) {
    return lent(state, paper, answers, judge::judge);
}

}   // namespace

judge::Case case_of(const State& state, AnswersAs answers) {
    judge::Case subject;
    subject.plan = state.plan;
    subject.plan.pieces = state.plan.whole_pieces();
    for (methods::Round& round : subject.plan.rounds) round.alpha *= alpha_share(state);
    const std::size_t ballots = state.room.ballots.size();
    subject.tasters.resize(ballots);
    subject.void_ballots.resize(ballots, false);
    subject.told_beforehand.resize(ballots);
    for (const auto& [ballot, name] : state.tasters) subject.tasters[static_cast<std::size_t>(ballot)] = name;
    subject.handed.resize(ballots, false);
    for (const int ballot : state.handed) subject.handed[static_cast<std::size_t>(ballot)] = true;
    for (const auto& stop : state.stops) subject.stopped_spots.push_back(stop.spot);
    for (const auto& made : state.withdrawals) {
        judge::Withdrawal one{.version = state.plan.version_index(made.version), .from = made.from};
        if (made.until) one.until = *made.until;
        else subject.plan.withdrawn.push_back(one.version);   // what was served again lasted
        subject.withdrawals.push_back(one);
    }
    for (const auto& spoiled : state.spoiled) subject.void_ballots[static_cast<std::size_t>(spoiled.ballot)] = true;
    for (const auto& [ballot, told] : state.told) subject.told_beforehand[static_cast<std::size_t>(ballot)] = told;
    subject.answers.reserve(state.answers.size());
    for (const auto& [place, kept] : state.answers) {
        const std::string& text = answers == AnswersAs::now || kept.late ? kept.text : kept.at_close;
        subject.answers.push_back({.ballot = place.first, .set = place.second, .text = text, .late = kept.late, .note = kept.note});
    }
    for (const auto& swap : state.swaps) subject.swaps.push_back({swap.ballot_a, swap.ballot_b, swap.set});
    for (const auto& tub : state.tubs) subject.tubs.push_back({tub.spot, tub.letter, state.plan.version_index(tub.version)});
    for (const auto& reveal : state.reveals) subject.opened_sets.emplace_back(reveal.ballot, reveal.set);
    return subject;
}

core::Result<Outcome> outcome_of(State& state, KeyPaper& paper) {
    auto first = judged_as(state, paper, AnswersAs::at_close);
    if (!first) return first.faults();
    Outcome outcome{.at_close = std::move(*first), .corrected = std::nullopt};
    if (state.corrections_after_opening == 0) return outcome;
    auto second = judged_as(state, paper, AnswersAs::now);
    if (!second) return second.faults();
    outcome.corrected = std::move(*second);
    return outcome;
}

core::Result<std::vector<judge::AnswerRow>> answers_at_close(State& state, KeyPaper& paper) {
    return lent(state, paper, AnswersAs::at_close, judge::answer_rows);
}

core::Result<std::vector<Earlier>> earlier_of(Keeper& keeper, const State& state) {
    std::vector<Earlier> found;
    for (std::string id = state.follows; !id.empty();) {
        auto earlier = keeper.load(id);
        if (!earlier && core::exit_code(earlier.faults()) == 1) return earlier.faults();
        found.push_back({.id = id, .verdict = {}});
        if (!earlier) break;   // it is in another book
        if (earlier->stage == Stage::closed) {
            if (auto paper = keeper.key(*earlier); paper) {
                const auto outcome = outcome_of(*earlier, *paper);
                if (!outcome) return outcome.faults();
                found.back().verdict = outcome->at_close.verdict;
            }
        }
        id = earlier->follows;
    }
    return found;
}

}   // namespace oddplate::tasting
