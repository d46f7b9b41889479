// Maximum likelihood of the chance-corrected beta-binomial: for each gamma the best pd, over them the best gamma. Both ranges are
// closed, and a top at an end is a result. Tests: tests/unit/stats/beta_binomial.test.cpp

#include <algorithm>
#include <cmath>

#include "chi_square.hpp"
#include "oddplate/stats/beta_binomial.hpp"
#include "oddplate/stats/promise.hpp"
#include "optimise.hpp"

namespace oddplate::stats {
namespace {

constexpr double k_within = 1e-7;        // of pd and gamma; the likelihood is then exact to its last digits
constexpr int k_looks = 8;
constexpr double k_end_of_range = 1e-5;   // of gamma; a likelihood no lower at the end itself has its top there

class Likelihood {
public:
    Likelihood(double chance, std::span<const AlikeCounts> counts, double start) : m_chance(chance), m_counts(counts), m_near(start) {}
    double at(double pd, double gamma) const { return beta_binomial_likelihood(m_chance, {pd, gamma}, m_counts); }
    // The best pd at this gamma; neighbouring gammas have neighbouring tops, so each search starts from the last one.
    Hilltop best_pd(double gamma) {
        const Hilltop top = maximise_near([&](double pd) { return at(pd, gamma); }, m_near, 0.05, 0.0, 1.0, k_within);
        m_near = top.x;
        return top;
    }
    // Away from the fit the profile may have two tops, so a coarse look at the whole range comes first.
    Hilltop best_gamma(double pd) {
        const auto here = [&](double gamma) { return at(pd, gamma); };
        Hilltop best{0.0, here(0.0)};
        for (int i = 1; i <= k_looks; ++i)
            if (const Hilltop look{static_cast<double>(i) / k_looks, here(static_cast<double>(i) / k_looks)}; look.value > best.value)
                best = look;
        const double step = 1.0 / k_looks;
        const Hilltop top = maximise(here, std::max(0.0, best.x - step), std::min(1.0, best.x + step), k_within);
        return top.value > best.value ? top : best;
    }

private:
    double m_chance;
    std::span<const AlikeCounts> m_counts;
    double m_near;
};

// Where a profile falls below `floor` on the way from its top to `end`; the end itself where it never does.
template <class Profile>
double fall(Profile profile, double top, double end, double floor) {
    if (top == end || profile(end) >= floor) return end;
    return crossing([&](double x) { return profile(x) - floor; }, top, end, k_within);
}

NoSpread known_before(const CountTotals& all) {
    if (all.tasters == 1) return NoSpread::one_taster;
    if (!all.repeats) return NoSpread::one_answer_each;
    if (all.correct == all.answers) return NoSpread::all_right;
    return NoSpread::has_one;
}

}   // namespace

BetaBinomialFit fit_beta_binomial(double chance, std::span<const AlikeCounts> counts, double confidence) {
    promise(!counts.empty() && 0.0 < confidence && confidence < 1.0);
    const CountTotals all = totals(counts);
    const double share = static_cast<double>(all.correct) / static_cast<double>(all.answers);
    Likelihood likelihood(chance, counts, std::max(0.0, (share - chance) / (1.0 - chance)));
    BetaBinomialFit fit;
    const Hilltop alike = likelihood.best_pd(0.0);
    fit.log_likelihood_alike = alike.value;
    fit.at = {alike.x, 0.0};
    fit.log_likelihood = alike.value;
    fit.why = known_before(all);
    const double fall_by = profile_fall(confidence);
    const bool spread = fit.why == NoSpread::has_one;
    const auto over_gamma = [&](double gamma) { return likelihood.best_pd(gamma).value; };
    if (spread) {
        const Hilltop top = maximise(over_gamma, 0.0, 1.0, k_within);
        const double gamma = top.x < k_end_of_range && over_gamma(0.0) >= top.value - 1e-9 ? 0.0 : top.x;
        const Hilltop best = likelihood.best_pd(gamma);
        fit.at = {best.x, gamma};
        fit.log_likelihood = best.value;
        const double floor = best.value - fall_by;
        const Interval gammas{fall(over_gamma, gamma, 0.0, floor), fall(over_gamma, gamma, 1.0, floor)};
        if (fit.at.pd < 1e-6)
            fit.why = NoSpread::not_above_chance;
        else if (gammas.lower == 0.0 && gammas.upper == 1.0)
            fit.why = NoSpread::flat;
        else
            fit.gamma = gammas;
    }
    // A spread that can't be estimated may still be there; only where everybody gave one answer does it change nothing.
    const auto over_pd = [&](double pd) { return all.repeats ? likelihood.best_gamma(pd).value : likelihood.at(pd, 0.0); };
    const double floor = fit.log_likelihood - fall_by;
    fit.pd = {fall(over_pd, fit.at.pd, 0.0, floor), fall(over_pd, fit.at.pd, 1.0, floor)};
    return fit;
}

}   // namespace oddplate::stats
