// For each spread the best place, over them the best spread; the limits of d' and of the median are sought along the edge of the
// region that the data do not rule out. Tests: tests/unit/stats/population.test.cpp

#include <algorithm>
#include <cmath>
#include <limits>

#include "chi_square.hpp"
#include "oddplate/stats/population.hpp"
#include "oddplate/stats/promise.hpp"
#include "optimise.hpp"

namespace oddplate::stats {
namespace {

constexpr double k_most_spread = 5.0;
constexpr double k_place_within = 1e-5;
constexpr double k_spread_within = 1e-5;
constexpr double k_edge_within = 0.01;   // of the spreads' range, where a limit is found: it errs by the square of that

class Ridge {
public:
    Ridge(const Population& population, double start) : m_population(population), m_near(start) {
        if (population.law() == TasterLaw::normal) m_least = -(m_most = 40.0);
    }
    double height(double place, double spread) const { return m_population.log_likelihood({place, spread}); }
    Hilltop best_place(double spread) {
        const Hilltop top = maximise_near([&](double place) { return height(place, spread); }, m_near, m_step, m_least, m_most, k_place_within);
        m_step = std::clamp(2.0 * std::fabs(top.x - m_near), 1e-3, 0.2);   // neighbouring spreads have neighbouring tops
        m_near = top.x;
        return top;
    }
    // The place at this spread, on the given side of the best one, where the likelihood has fallen to `floor`.
    double edge(double spread, double side, double floor) {
        const Hilltop top = best_place(spread);
        if (top.value <= floor) return top.x;
        const double end = side < 0.0 ? m_least : m_most;
        double inside = top.x;
        // The first step is a fifth beyond the last edge's distance from its own top.
        for (double step = m_reach;; step *= 2.0) {
            const double outside = side < 0.0 ? std::max(end, top.x - step) : std::min(end, top.x + step);
            if (height(outside, spread) < floor) {
                const double x = crossing([&](double place) { return height(place, spread) - floor; }, inside, outside, 1e-4);
                m_reach = std::max(0.02, 1.2 * std::fabs(x - top.x));
                return x;
            }
            if (outside == end) return end;
            inside = outside;
        }
    }
    // Nothing bounds the place on this side. Where log d' ends, d' is 0, and that is a bound.
    [[nodiscard]] bool is_end(double place, double side) const {
        return side > 0.0 ? place >= m_most : place <= m_least && m_population.law() == TasterLaw::normal;
    }

private:
    const Population& m_population;
    double m_near;
    double m_step{0.2};
    double m_reach{0.25};
    double m_least{-8.0};   // log d': nobody can tell
    double m_most{60.0};
};

struct Region {
    double floor;
    Interval spreads;
};

// The largest (side 1) or least (side -1) value of a quantity that rises with the place, within the region.
template <class Quantity>
double limit(Ridge& ridge, const Region& region, double side, Quantity quantity) {
    bool unbounded = false;
    const auto at_edge = [&](double spread) {
        const double place = ridge.edge(spread, side, region.floor);
        if (ridge.is_end(place, side)) unbounded = true;
        return side * quantity(Place{place, spread});
    };
    const Hilltop top = maximise(at_edge, region.spreads.lower, region.spreads.upper, k_edge_within * (region.spreads.upper - region.spreads.lower) + 1e-6);
    return side * (unbounded ? std::numeric_limits<double>::infinity() : top.value);
}

double spread_fall(Ridge& ridge, double from, double to, double floor) {
    const auto above = [&](double spread) { return ridge.best_place(spread).value - floor; };
    return from == to || above(to) >= 0.0 ? to : crossing(above, from, to, 1e-4);
}

NoSpread known_before(const CountTotals& all, bool is_signed) {
    if (all.correct == all.answers) return NoSpread::all_right;
    if (is_signed && all.correct == 0) return NoSpread::all_wrong;
    if (all.tasters == 1) return NoSpread::one_taster;
    return all.repeats ? NoSpread::has_one : NoSpread::one_answer_each;
}

double start_of(const Population& population, const CountTotals& all) {
    const double answers = static_cast<double>(all.answers);
    const double share = std::clamp(static_cast<double>(all.correct) / answers, 0.5 / answers, 1.0 - 0.5 / answers);
    const double d = d_from_proportion(population.link(), share).value_or(0.0);
    return population.law() == TasterLaw::normal ? d : std::log(std::max(d, 0.01));
}

/// The least population mean of Pc at which everybody is right all along with the chance `side`. Of all laws of Pc from `floor` to 1 with that mean
/// the one of two kinds, at the floor and at 1, makes it likeliest, since powers are convex: the product of w + (1 - w) floor^n over tasters, w the
/// share at 1.
double least_mean_all_right(std::span<const AlikeCounts> counts, double floor, double side) {
    const auto log_chance = [&](double w) {
        double sum = 0.0;
        for (const AlikeCounts& count : counts)
            sum += static_cast<double>(count.tasters) * std::log(w + (1.0 - w) * std::pow(floor, static_cast<double>(count.of)));
        return sum;
    };
    const double wanted = std::log(side);
    if (log_chance(0.0) >= wanted) return floor;
    return floor + (1.0 - floor) * crossing([&](double w) { return log_chance(w) - wanted; }, 1.0, 0.0, 1e-12);
}

/// Where everybody was right (or wrong) all along, the limit is exact: a likelihood's fall from its edge says too much there.
void bound_at_the_edge(const Population& population, double confidence, PopulationFit& fit) {
    const Link& link = population.link();
    const double side = (1.0 - confidence) / 2.0;
    if (fit.why == NoSpread::all_right)
        fit.d_prime_limits.lower = d_from_proportion(link, least_mean_all_right(population.counts(), link.is_signed ? 0.0 : link.chance, side)).value_or(0.0);
    if (fit.why == NoSpread::all_wrong)
        fit.d_prime_limits.upper = d_from_proportion(link, 1.0 - least_mean_all_right(population.counts(), 0.0, side)).value_or(0.0);
}

void add_limits(const Population& population, Ridge& ridge, const Region& region, PopulationFit& fit) {
    const auto d_prime = [&](const Place& at) { return population.d_prime(at); };
    fit.d_prime_limits = {limit(ridge, region, -1.0, d_prime), limit(ridge, region, 1.0, d_prime)};
    if (fit.why != NoSpread::has_one) return;
    fit.typical = median_d(fit.law, fit.at);
    const auto typical = [&](const Place& at) { return median_d(fit.law, at); };
    fit.typical_limits = {limit(ridge, region, -1.0, typical), limit(ridge, region, 1.0, typical)};
}

}   // namespace

PopulationFit fit_population(const Population& population, double confidence) {
    promise(0.0 < confidence && confidence < 1.0);
    const CountTotals all = totals(population.counts());
    PopulationFit fit;
    fit.law = population.law();
    fit.why = known_before(all, population.link().is_signed);
    Ridge ridge(population, start_of(population, all));
    const bool spread = fit.why == NoSpread::has_one;
    const auto over_spread = [&](double s) { return ridge.best_place(s).value; };
    Hilltop top{0.0, over_spread(0.0)};
    if (spread) top = maximise(over_spread, 0.0, k_most_spread, k_spread_within);
    const Hilltop place = ridge.best_place(top.x);
    fit.at = {place.x, top.x};
    fit.log_likelihood = place.value;
    Region region{place.value - profile_fall(confidence), {top.x, top.x}};
    if (spread) {
        region.spreads = {spread_fall(ridge, top.x, 0.0, region.floor), spread_fall(ridge, top.x, k_most_spread, region.floor)};
        fit.spread_limits = region.spreads;
        if (region.spreads.upper == k_most_spread) fit.spread_limits.upper = std::numeric_limits<double>::infinity();
        const bool nobody = population.law() != TasterLaw::normal && population.d_prime(fit.at) < 1e-3;
        if (nobody)
            fit.why = NoSpread::not_above_chance;
        else if (region.spreads.upper == k_most_spread)
            fit.why = NoSpread::flat;
        else
            fit.spread = top.x;
    }
    if (fit.why != NoSpread::all_right && fit.why != NoSpread::all_wrong) fit.d_prime = population.d_prime(fit.at);
    if (population.law() != TasterLaw::normal && fit.d_prime && *fit.d_prime < 1e-3) fit.d_prime = 0.0;
    if (fit.d_prime && std::abs(*fit.d_prime) < 1e-9) fit.d_prime = 0.0;   // half of the answers right, to within rounding
    add_limits(population, ridge, region, fit);
    bound_at_the_edge(population, confidence, fit);
    if (population.law() != TasterLaw::normal && fit.d_prime_limits.lower < 1e-3) fit.d_prime_limits.lower = 0.0;
    return fit;
}

}   // namespace oddplate::stats
