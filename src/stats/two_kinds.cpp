// Two kinds of taster: given A answers from those who tell, the count is A plus a binomial of the rest. The binomial tails by A
// come from one recurrence (positive terms only), the law of A from one binomial a group of tasters. Tests:
// tests/unit/stats/two_kinds.test.cpp

#include "oddplate/stats/two_kinds.hpp"

#include <algorithm>
#include <cmath>
#include <map>

#include "lattice.hpp"
#include "oddplate/stats/binomial.hpp"
#include "oddplate/stats/link.hpp"
#include "oddplate/stats/normal.hpp"
#include "oddplate/stats/promise.hpp"

namespace oddplate::stats {
namespace {

constexpr double k_keep_for_roots = 1e-20;
constexpr double k_smallest_log = -660.0;   // exp of less comes near underflow
constexpr double k_nothing = 1e-290;        // smaller terms add nothing, and numbers near underflow are slow

// By A = 0..correct: P(Binomial(N - A, c) <= correct - A). Going down from A = correct each step adds (1 - c) b(A),
// b(A) = P(Binomial(N - A - 1, c) = correct - A).
std::vector<double> lower_tails(std::int64_t correct, std::int64_t answers, double chance) {
    std::vector<double> tails(static_cast<std::size_t>(correct) + 1, correct == answers ? 1.0 : 0.0);
    if (correct == answers) return tails;
    const auto log_b = [&](std::int64_t a) { return log_binomial_pmf(correct - a, answers - a - 1, chance); };
    // Near A = correct the terms may underflow; they rise from there, so the first that does not is found by halving.
    std::int64_t start = correct;
    if (log_b(correct) < k_smallest_log) {
        std::int64_t low = 0;
        while (low < start) {
            const std::int64_t middle = low + (start - low + 1) / 2;
            const bool rising = static_cast<double>(correct - middle) <= chance * static_cast<double>(answers - middle);
            if (!rising || log_b(middle) >= k_smallest_log)
                low = middle;
            else
                start = middle - 1;
        }
    }
    double tail = start == correct ? std::exp(log_binomial_pmf(0, answers - correct, chance)) : 0.0;
    double b = std::exp(log_b(start));
    tails[static_cast<std::size_t>(start)] = tail;
    if (start < correct) tails[static_cast<std::size_t>(start)] = tail = binomial_lower(correct - start, answers - start, chance);
    for (std::int64_t a = start - 1; a >= 0; --a) {
        b *= chance * static_cast<double>(answers - a - 1) / static_cast<double>(correct - a);
        tail += (1.0 - chance) * b;
        tails[static_cast<std::size_t>(a)] = std::min(1.0, tail);
        if (b < k_nothing) b = 0.0;
    }
    return tails;
}

// By A = 0..correct: P(Binomial(N - A, c) >= correct - A). Going up from A = 0 each step adds (1 - c) g(A),
// g(A) = P(Binomial(N - A - 1, c) = correct - A - 1).
std::vector<double> upper_tails(std::int64_t correct, std::int64_t answers, double chance) {
    std::vector<double> tails(static_cast<std::size_t>(correct) + 1, 0.0);
    tails.back() = 1.0;
    const auto log_g = [&](std::int64_t a) { return log_binomial_pmf(correct - a - 1, answers - a - 1, chance); };
    std::int64_t start = 0;
    if (correct > 0 && log_g(0) < k_smallest_log) {
        std::int64_t high = correct - 1;
        while (start < high) {
            const std::int64_t middle = start + (high - start) / 2;
            const bool rising = static_cast<double>(correct - middle) >= chance * static_cast<double>(answers - middle);
            if (!rising || log_g(middle) >= k_smallest_log)
                high = middle;
            else
                start = middle + 1;
        }
    }
    if (correct == 0) return tails;
    double tail = binomial_upper(correct - start, answers - start, chance);
    double g = std::exp(log_g(start));
    tails[static_cast<std::size_t>(start)] = tail;
    for (std::int64_t a = start; a + 1 < correct; ++a) {
        tail += (1.0 - chance) * g;
        tails[static_cast<std::size_t>(a) + 1] = std::min(1.0, tail);
        g *= static_cast<double>(correct - a - 1) / (static_cast<double>(answers - a - 1) * chance);
        if (g < k_nothing) g = 0.0;
    }
    return tails;
}

// Number of answers of those who tell.
Lattice tellers_answers(std::span<const SetGroup> groups, double pd, double keep) {
    Lattice law;
    for (const SetGroup& group : groups) {
        law = add_lattices(law, binomial_lattice(group.tasters, pd, keep), group.sets);
        if (groups.size() > 1) trim(law, keep);
    }
    return law;
}

// Root in 0..1 of a tail that rises (or falls) in x, compared on the normal quantile's scale, where it is nearly straight. `near`
// is a first guess and `reach` how far off it may well be.
template <class Tail>
double tail_root(Tail tail, double goal, double near, double reach) {
    const auto score = [](double p) { return normal_upper_quantile(std::clamp(p, 1e-300, 1.0 - 1e-16)); };
    const double target = score(goal);
    const auto off = [&](double x) { return score(tail(x)) - target; };
    double low = std::max(0.0, near - reach);
    double high = std::min(1.0, near + reach);
    double at_low = off(low);
    double at_high = off(high);
    if (std::signbit(at_low) == std::signbit(at_high)) {
        at_low = off(low = 0.0);
        at_high = off(high = 1.0);
        if (std::signbit(at_low) == std::signbit(at_high)) return std::fabs(at_low) < std::fabs(at_high) ? low : high;
    }
    for (int i = 0; i < 200 && high - low > 1e-14 * high; ++i) {
        double x = (low * at_high - high * at_low) / (at_high - at_low);
        if (i % 4 == 3 || !(low < x && x < high)) x = low + (high - low) / 2.0;
        const double at = off(x);
        if (std::fabs(at) < 1e-13) return x;
        if (std::signbit(at) == std::signbit(at_low)) {
            low = x;
            at_low = at;
            at_high /= 2.0;   // Illinois: keeps the other end moving
        } else {
            high = x;
            at_high = at;
            at_low /= 2.0;
        }
    }
    return low + (high - low) / 2.0;
}

}   // namespace

std::vector<SetGroup> set_groups(std::span<const std::int64_t> sets_of_each_taster) {
    std::map<std::int64_t, std::int64_t> tasters_by_sets;
    for (const std::int64_t sets : sets_of_each_taster) {
        promise(sets >= 0);
        if (sets > 0) ++tasters_by_sets[sets];
    }
    std::vector<SetGroup> groups;
    for (const auto& [sets, tasters] : tasters_by_sets) groups.push_back({tasters, sets});
    return groups;
}

TwoKinds::TwoKinds(std::int64_t correct, std::span<const SetGroup> groups, double chance)
    : m_correct(correct), m_groups(groups.begin(), groups.end()), m_chance(chance) {
    promise(!groups.empty() && 0.0 < chance && chance < 1.0);
    // The groups with the fewest tasters first: windows stay short while they are added up.
    std::sort(m_groups.begin(), m_groups.end(), [](const SetGroup& a, const SetGroup& b) { return a.tasters < b.tasters; });
    for (const SetGroup& group : m_groups) {
        promise(group.tasters >= 1 && group.sets >= 1);
        m_answers += group.tasters * group.sets;
    }
    promise(0 <= correct && correct <= m_answers);
    m_upper_given = upper_tails(correct, m_answers, chance);
    m_lower_given = lower_tails(correct, m_answers, chance);
}

double TwoKinds::upper(double pd, double keep) const {
    const Lattice law = tellers_answers(m_groups, pd, keep);
    double sum = 0.0;
    for (std::size_t i = 0; i < law.weights.size(); ++i) {
        const std::int64_t a = law.first + static_cast<std::int64_t>(i);
        sum += law.weights[i] * (a < m_correct ? m_upper_given[static_cast<std::size_t>(a)] : 1.0);
    }
    return std::min(1.0, sum);
}

double TwoKinds::lower(double pd, double keep) const {
    const Lattice law = tellers_answers(m_groups, pd, keep);
    double sum = 0.0;
    for (std::size_t i = 0; i < law.weights.size(); ++i) {
        const std::int64_t a = law.first + static_cast<std::int64_t>(i);
        if (a > m_correct) break;
        sum += law.weights[i] * m_lower_given[static_cast<std::size_t>(a)];
    }
    return std::min(1.0, sum);
}

double pooled_lower_tail(std::int64_t correct, std::span<const SetGroup> groups, double chance, double pd) {
    const TwoKinds two(correct, groups, chance);
    return std::max(two.lower(pd), binomial_lower(correct, two.answers(), proportion_from_discriminators(chance, pd)));
}

double pooled_upper_tail(std::int64_t correct, std::span<const SetGroup> groups, double chance, double pd) {
    const TwoKinds two(correct, groups, chance);
    return std::max(two.upper(pd), binomial_upper(correct, two.answers(), proportion_from_discriminators(chance, pd)));
}

Interval interval_by_tasters(std::int64_t correct, std::span<const SetGroup> groups, double chance, double confidence) {
    const TwoKinds two(correct, groups, chance);
    Interval result = clopper_pearson(correct, two.answers(), confidence);
    const double side = (1.0 - confidence) / 2.0 * (1.0 + 1e-12);   // the rule of `significant`
    std::int64_t tasters = 0;
    for (const SetGroup& group : groups) tasters += group.tasters;
    const double reach = 2.0 / std::sqrt(static_cast<double>(tasters));
    if (result.lower > chance) {
        const double near = discriminators_from_proportion(chance, result.lower);
        const double pd = tail_root([&](double x) { return two.upper(x, k_keep_for_roots); }, side, near, reach);
        result.lower = std::min(result.lower, proportion_from_discriminators(chance, pd));
    }
    if (result.upper > chance && correct < two.answers()) {
        const double near = discriminators_from_proportion(chance, result.upper);
        const double pd = tail_root([&](double x) { return two.lower(x, k_keep_for_roots); }, side, near, reach);
        result.upper = std::max(result.upper, proportion_from_discriminators(chance, pd));
    }
    return result;
}

std::int64_t pooled_most_correct(std::span<const SetGroup> groups, double chance, double pd, double alpha) {
    std::int64_t answers = 0;
    for (const SetGroup& group : groups) answers += group.tasters * group.sets;
    // The pooled tail is never below the binomial's, so the binomial's most is an upper end.
    std::int64_t low = -1;
    std::int64_t high = most_correct(answers, proportion_from_discriminators(chance, pd), alpha).value_or(-1);
    while (low < high) {
        const std::int64_t middle = low + (high - low + 1) / 2;
        if (significant(pooled_lower_tail(middle, groups, chance, pd), alpha))
            low = middle;
        else
            high = middle - 1;
    }
    return low;
}

}   // namespace oddplate::stats
