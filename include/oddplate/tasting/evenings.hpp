#pragma once
// One evening of several, as the people in the room see it: its own ballots and papers, counted from its own first one; and the looks at the
// result that a plan may name between evenings.

#include <string>
#include <vector>

#include "oddplate/draw/draw.hpp"
#include "oddplate/tasting/keeper.hpp"
#include "oddplate/tasting/state.hpp"

namespace oddplate::tasting {

struct Part {
    State state;                    ///< as if this evening were the whole tasting; ballots keep their names
    std::vector<int> ballots;       ///< of the whole tasting, 0-based, in the order of the part's
};

/// `evening` counts from 0. Of a plan without evenings the part is the whole.
[[nodiscard]] Part part_of(const State& state, int evening);

/// The list of codes of a part: `ballots` as part_of answers them.
[[nodiscard]] draw::Key key_part(const draw::Key& key, const std::vector<int>& ballots);

/// A ballot's name as typed: of several evenings a bare number is tonight's.
[[nodiscard]] std::string ballot_typed(const State& state, const std::string& text);

/// When people tasted, as the papers of evenings that were held say it; without such dates the day on which entry was closed.
[[nodiscard]] std::string held_on(const State& state);

/// The share of a round's alpha at which this state is judged at its end: a look's where a look let the tasting end and nobody tasted after it.
[[nodiscard]] double alpha_share(const State& state);

/// Whether the answers so far settle the first course's question at a look's level. State and paper are lent as to outcome_of.
/// Faults: as outcome_of's.
[[nodiscard]] core::Result<bool> may_end(State& state, KeyPaper& paper, int evening);

}   // namespace oddplate::tasting
