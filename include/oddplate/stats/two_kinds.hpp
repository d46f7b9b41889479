#pragma once
// The pooled count when tasters gave several answers each: two kinds of taster, and what the tests make of it.

#include <cstdint>
#include <span>
#include <vector>

#include "oddplate/stats/interval.hpp"

namespace oddplate::stats {

/// Tasters who gave the same number of answers.
struct SetGroup {
    std::int64_t tasters{0};   ///< 1 or more
    std::int64_t sets{0};      ///< answers of each of them in the count, 1 or more
};

/// Groups from each taster's own number of answers (zeros are left out), smallest number first.
[[nodiscard]] std::vector<SetGroup> set_groups(std::span<const std::int64_t> sets_of_each_taster);

/// "Two kinds of taster": each taster tells with probability pd and then all his answers are right; else each answer is right
/// with the chance p0. With A the number of answers of those who tell and N of all,
///     correct = A + Binomial(N - A, p0),
/// so both tails are sums over A of P(A) times a binomial tail that does not depend on pd. Those tails are found once, by
/// recurrences with positive terms; each further pd costs one pass over P(A), itself a convolution of one binomial a group.
/// At pd = 0 both tails are the binomial's. The upper tail rises and the lower tail falls in pd (a taster who tells can only
/// add). Terms of P(A) below 1e-60 of the largest are left out, so tails above 1e-40 keep 1e-12 relative. The chance-corrected
/// extreme of Brockhoff & Schlich's (1998) and Ennis & Bi's (1998) beta-binomial (gamma = 1).
class TwoKinds {
public:
    /// 0 <= correct <= N, chance in 0..1 (open), at least one group.
    TwoKinds(std::int64_t correct, std::span<const SetGroup> groups, double chance);
    /// P(correct or more) and P(correct or fewer), pd in 0..1. `keep` may be raised to 1e-20 where only tails above 1e-8 matter.
    [[nodiscard]] double upper(double pd, double keep = 1e-60) const;
    [[nodiscard]] double lower(double pd, double keep = 1e-60) const;
    [[nodiscard]] std::int64_t answers() const noexcept { return m_answers; }

private:
    std::int64_t m_correct;
    std::vector<SetGroup> m_groups;
    std::int64_t m_answers{0};
    double m_chance;
    std::vector<double> m_upper_given;   // by A: P(count >= correct | A)
    std::vector<double> m_lower_given;   // by A: P(count <= correct | A), A <= correct
};

/// The tail of S for a pooled count: the larger of the binomial's and two-kinds' P(count <= correct) at pd. Where every taster
/// gave one answer the two are equal.
[[nodiscard]] double pooled_lower_tail(std::int64_t correct, std::span<const SetGroup> groups, double chance, double pd);
/// The larger of the two upper tails at pd.
[[nodiscard]] double pooled_upper_tail(std::int64_t correct, std::span<const SetGroup> groups, double chance, double pd);

/// The interval of the proportion correct "by tasters": inverts both pooled tails, each side allowed (1 - confidence)/2. Below
/// chance, where nobody can be said to tell, it is the binomial's (Clopper-Pearson), so at chance it agrees with the test.
[[nodiscard]] Interval interval_by_tasters(std::int64_t correct, std::span<const SetGroup> groups, double chance,
                                           double confidence);

/// The most correct whose pooled lower tail at pd is significant at alpha; -1 where none is.
[[nodiscard]] std::int64_t pooled_most_correct(std::span<const SetGroup> groups, double chance, double pd, double alpha);

}   // namespace oddplate::stats
