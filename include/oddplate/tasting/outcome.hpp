#pragma once
// From what the book holds to what judging needs, and the two verdicts where something changed after opening.

#include <optional>
#include <string>
#include <vector>

#include "oddplate/judge/answers.hpp"
#include "oddplate/judge/judge.hpp"
#include "oddplate/tasting/drawn_json.hpp"
#include "oddplate/tasting/keeper.hpp"
#include "oddplate/tasting/state.hpp"

namespace oddplate::tasting {

enum class AnswersAs { at_close, now };

/// Everything but the room and the key: those are large, so whoever judges lends or copies them.
[[nodiscard]] judge::Case case_of(const State& state, AnswersAs answers);

/// The verdict of the answers as they stood at close stands first; where they were corrected after opening the one as of now stands beside.
struct Outcome {
    judge::Judged at_close;
    std::optional<judge::Judged> corrected;
};
/// Both are lent to the case while it is judged, and are as they were afterwards.
[[nodiscard]] core::Result<Outcome> outcome_of(State& state, KeyPaper& paper);

/// Every set that was dealt, with the answer as it stood at close; state and key are lent as above.
[[nodiscard]] core::Result<std::vector<judge::AnswerRow>> answers_at_close(State& state, KeyPaper& paper);

/// An earlier tasting of the same question. Its verdict stands beside, and is never added up with a later one.
struct Earlier {
    std::string id;
    std::string verdict;   ///< empty: it was not closed, its list of codes is not here, or it is in another book
};

/// The tastings that this one follows (`again`), the latest first.
[[nodiscard]] core::Result<std::vector<Earlier>> earlier_of(Keeper& keeper, const State& state);

}   // namespace oddplate::tasting
