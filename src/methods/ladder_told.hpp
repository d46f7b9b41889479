#pragma once
// A ladder told: from which level on would people rather have the usual one? Tables and rounds share it.

#include <cstdint>
#include <map>
#include <set>
#include <string>
#include <vector>

#include "oddplate/core/sentence.hpp"
#include "oddplate/methods/findings.hpp"
#include "oddplate/stats/ladder.hpp"

namespace oddplate::methods::ladders {

inline constexpr double k_reject_at = 0.75;   ///< half of the way from an even split to everybody (common practice)

struct Votes {
    std::vector<stats::LadderVote> votes;
    std::int64_t undecided{0};
    std::size_t tasters{0};
};
struct Told {
    Votes votes;
    stats::Ladder found;
    double at, alpha, confidence;
    /// Of recipes whose salt is the level (in percent of their weight): their names; empty where levels are bare numbers.
    std::map<double, std::string> names{};
    std::set<double> ran_out{};            ///< levels that ran out: what was voted before stays
    std::map<double, double> pieces_p{};   ///< by level, one-sided: with pieces taken as a sample of many; empty where that can't be asked
    bool pieces_hold_back{false};          ///< people show a level that the pieces don't bear out

    [[nodiscard]] bool rejected() const;   ///< the usual one is shown to be preferred at the highest level at least
};
/// As stats::ladder; `at` is the share at the point.
[[nodiscard]] Told told(const Votes& votes, double at, double alpha, double confidence);
/// From here on a level counts as shown only where its pieces, and those of every higher one, bear it out too.
void hold_to_pieces(Told& told, std::map<double, double> pieces_p);
/// `rejection` with its limits, `first_rejected` (the lowest level shown), `slope`, `fit.p_value`, the list `steps`, and what a picture needs.
void add(Findings& findings, const Told& told);
[[nodiscard]] std::vector<core::Sentence> words_of(const Told& told);

}   // namespace oddplate::methods::ladders
