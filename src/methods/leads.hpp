#pragma once
// Verdicts about several recipes at once: who leads, and who can't be told from the first.

#include <span>
#include <string>
#include <string_view>
#include <vector>

#include "oddplate/core/sentence.hpp"
#include "oddplate/methods/findings.hpp"
#include "oddplate/methods/plan.hpp"
#include "oddplate/stats/binomial.hpp"
#include "oddplate/stats/own_tastes.hpp"

namespace oddplate::methods::leads {

inline constexpr std::string_view k_one = "one-leads", k_some = "some-lead", k_none = "no-clear-order";
inline constexpr std::string_view k_verdicts[] = {k_one, k_some, k_none};

[[nodiscard]] inline bool claims_difference(std::string_view verdict) { return verdict == k_one || verdict == k_some; }

/// What the leading group of `compared` samples makes of a test of all of them. One or some lead only where the test holds and somebody is shown to be behind.
[[nodiscard]] std::string_view verdict_of(bool differ, std::size_t leading, std::size_t compared);

/// Whether everyone that leads over the whole cut is shown to be behind somebody at some spot (`behind`: by spot): an average over such spots says nothing of them. Where one of
/// those in front is behind nowhere, the whole cut has its recipe.
[[nodiscard]] bool turns(std::span<const int> overall, std::span<const std::vector<int>> behind);

/// "A", "A and B", "A, B and C".
[[nodiscard]] core::Argument names_of(std::span<const std::string> names);

/// Behind the first sentence, that what ran out leads nothing.
void say_withdrawn(std::vector<core::Sentence>& words, const Plan& plan);

/// Whether a spot shows who leads, all spots allowed for; spots with a verdict each, beside them their p by Holm.
template <class Spots>
[[nodiscard]] bool leads_at_a_spot(const Spots& spots, std::span<const double> adjusted, double alpha) {
    for (std::size_t i = 0; spots.size() > 1 && i < spots.size(); ++i)
        if (claims_difference(spots[i].verdict) && stats::significant(adjusted[i], alpha)) return true;
    return false;
}
/// The last sentence where one recipe was tasted against itself: told apart where anything was shown, over the whole cut or at a spot.
[[nodiscard]] core::Sentence same_recipe_step(bool any_shown);

/// By everybody or by half? Whether people stick to tastes of their own, and of the first two recipes who sticks to which.
struct Split {
    stats::OwnTastes tastes;
    stats::PairHabit habit;   ///< of a and b
    std::string a, b;      ///< names of the first two, or of the two that people are split over most
    std::string on;        ///< the one that people differ in most; empty where none stands out
    stats::SampleHabit on_habit;

    [[nodiscard]] bool is_shown(double alpha) const;
};
/// `first`, `second`: the two in front; `smaller_is_first`: ranks.
[[nodiscard]] Split split_of(std::span<const stats::TasteTray> trays, const std::vector<std::string>& names, int first, int second, bool smaller_is_first);
void add_split(Findings& findings, const Split& split);
/// `leader`: the one that leads alone, where one does; what people are split over behind it is told as that.
void say_split(std::vector<core::Sentence>& words, double alpha, const Split& split, const std::string& leader = {});

}   // namespace oddplate::methods::leads
