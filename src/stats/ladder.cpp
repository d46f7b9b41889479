// Levels are standardised before the curve is fitted, so that salt in percent and in grams give the same steps. Tests: tests/unit/stats/ladder.test.cpp

#include "oddplate/stats/ladder.hpp"

#include <algorithm>
#include <cmath>
#include <iterator>
#include <limits>
#include <map>

#include <boost/math/distributions/chi_squared.hpp>
#include <boost/math/distributions/students_t.hpp>

#include "oddplate/stats/binomial.hpp"
#include "oddplate/stats/sign_flip.hpp"
#include "policy.hpp"

namespace oddplate::stats {
namespace {

struct Two {
    double a{0}, b{0};
};
/// Symmetric.
struct Square {
    double aa{0}, ab{0}, bb{0};

    [[nodiscard]] double determinant() const { return aa * bb - ab * ab; }
    [[nodiscard]] Square inverse() const { return {bb / determinant(), -ab / determinant(), aa / determinant()}; }
};

struct Scaled {
    std::int32_t taster;
    double x;
    double y;
};

/// Newton's steps on a concave likelihood, halved while they don't rise; nothing where it has no top (a level parts the votes).
std::optional<Two> fit(const std::vector<Scaled>& votes) {
    const auto height = [&](Two at) {
        double sum = 0;
        for (const Scaled& vote : votes) {
            const double eta = at.a + at.b * vote.x;
            sum += vote.y * eta - (eta > 0 ? eta + std::log1p(std::exp(-eta)) : std::log1p(std::exp(eta)));
        }
        return sum;
    };
    Two now;
    double top = height(now);
    for (int step = 0; step < 100; ++step) {
        Two slope;
        Square curve;
        for (const Scaled& vote : votes) {
            const double p = 1 / (1 + std::exp(-(now.a + now.b * vote.x))), w = p * (1 - p);
            slope.a += vote.y - p;
            slope.b += (vote.y - p) * vote.x;
            curve.aa += w;
            curve.ab += w * vote.x;
            curve.bb += w * vote.x * vote.x;
        }
        if (curve.determinant() < 1e-10 * static_cast<double>(votes.size())) return std::nullopt;
        const Square inverse = curve.inverse();
        Two move{inverse.aa * slope.a + inverse.ab * slope.b, inverse.ab * slope.a + inverse.bb * slope.b};
        double reached = height({now.a + move.a, now.b + move.b});
        for (int half = 0; half < 30 && reached < top; ++half) {
            move = {move.a / 2, move.b / 2};
            reached = height({now.a + move.a, now.b + move.b});
        }
        now = {now.a + move.a, now.b + move.b};
        top = reached;
        if (std::abs(now.b) > 50) return std::nullopt;
        if (std::max(std::abs(move.a), std::abs(move.b)) < 1e-12) return now;
    }
    return std::nullopt;
}

/// bread^-1 meat bread^-1, the meat summed by taster.
Square clustered(const std::vector<Scaled>& votes, Two at, std::size_t tasters) {
    Square curve;
    std::map<std::int32_t, Two> scores;
    for (const Scaled& vote : votes) {
        const double p = 1 / (1 + std::exp(-(at.a + at.b * vote.x))), w = p * (1 - p);
        curve = {curve.aa + w, curve.ab + w * vote.x, curve.bb + w * vote.x * vote.x};
        Two& mine = scores[vote.taster];
        mine.a += vote.y - p;
        mine.b += (vote.y - p) * vote.x;
    }
    Square meat;
    for (const auto& [taster, s] : scores) meat = {meat.aa + s.a * s.a, meat.ab + s.a * s.b, meat.bb + s.b * s.b};
    const Square in = curve.inverse();
    const auto g = static_cast<double>(tasters);
    const double small = g / (g - 1);
    // Rows of in * meat, then times in.
    const double r1a = in.aa * meat.aa + in.ab * meat.ab, r1b = in.aa * meat.ab + in.ab * meat.bb, r2a = in.ab * meat.aa + in.bb * meat.ab, r2b = in.ab * meat.ab + in.bb * meat.bb;
    return {small * (r1a * in.aa + r1b * in.ab), small * (r1a * in.ab + r1b * in.bb), small * (r2a * in.ab + r2b * in.bb)};
}

/// Levels x at which (a - c + b x)^2 <= t^2 Var(a + b x): an interval only where the slope is clear of nought.
std::optional<Interval> fieller(Two at, const Square& v, double c, double t) {
    const double a = at.a - c, b = at.b;
    const double qa = b * b - t * t * v.bb, qb = 2 * (a * b - t * t * v.ab), qc = a * a - t * t * v.aa;
    const double inside = qb * qb - 4 * qa * qc;
    if (qa <= 0 || inside < 0) return std::nullopt;
    const double root = std::sqrt(inside);
    return Interval{(-qb - root) / (2 * qa), (-qb + root) / (2 * qa)};
}

std::vector<LadderStep> steps_of(std::span<const LadderVote> votes, double alpha) {
    std::map<double, std::map<std::int32_t, Votes>> levels;
    for (const LadderVote& vote : votes)
        if (vote.undecided) levels[vote.level];   // tasted, though nobody may have chosen there
        else (vote.for_control ? levels[vote.level][vote.taster].for_current : levels[vote.level][vote.taster].for_new) += 1;
    std::vector<LadderStep> steps;
    for (const auto& [level, tasters] : levels) {
        LadderStep step{.level = level};
        std::vector<Votes> all;
        for (const auto& [taster, mine] : tasters) {
            step.for_control += mine.for_current;
            step.for_sample += mine.for_new;
            all.push_back(mine);
        }
        // The law is symmetric, so one side of it is half of both; nothing speaks for the control where it has no more votes.
        step.p_value = step.for_control > step.for_sample ? sign_flip_p(all) / 2 : 1;
        steps.push_back(step);
    }
    for (std::size_t i = steps.size(); i-- > 0;) steps[i].shown = significant(steps[i].p_value, alpha) && (i + 1 == steps.size() || steps[i + 1].shown);
    return steps;
}

double misfit(const std::vector<LadderStep>& steps, Two at, double mean, double scale) {
    double deviance = 0;
    for (const LadderStep& step : steps) {
        const double n = static_cast<double>(step.for_control + step.for_sample), k = static_cast<double>(step.for_control);
        const double p = 1 / (1 + std::exp(-(at.a + at.b * (step.level - mean) / scale)));
        const auto part = [](double seen, double expected) { return seen > 0 ? seen * std::log(seen / expected) : 0.0; };
        deviance += 2 * (part(k, n * p) + part(n - k, n * (1 - p)));
    }
    const auto df = static_cast<double>(steps.size()) - 2;
    return df < 1 ? 1 : cdf(complement(boost::math::chi_squared_distribution<double, Quiet>(df), std::max(0.0, deviance)));
}

}   // namespace

Ladder ladder(std::span<const LadderVote> all, double at, double alpha, double confidence) {
    Ladder found;
    found.steps = steps_of(all, alpha);
    std::vector<LadderVote> votes;
    std::copy_if(all.begin(), all.end(), std::back_inserter(votes), [](const LadderVote& vote) { return !vote.undecided; });
    if (found.steps.size() < 2 || votes.empty()) {
        found.why = NoLadder::one_level;
        return found;
    }
    const double low = found.steps.front().level, high = found.steps.back().level;
    double mean = 0, squares = 0;
    for (const LadderVote& vote : votes) mean += vote.level / static_cast<double>(votes.size());
    for (const LadderVote& vote : votes) squares += (vote.level - mean) * (vote.level - mean);
    const double scale = std::sqrt(squares / static_cast<double>(votes.size()));
    if (!(scale > 0)) {   // all who chose did so at one level
        found.why = NoLadder::one_level;
        return found;
    }
    std::vector<Scaled> scaled;
    std::map<std::int32_t, int> tasters;
    for (const LadderVote& vote : votes) {
        scaled.push_back({vote.taster, (vote.level - mean) / scale, vote.for_control ? 1.0 : 0.0});
        ++tasters[vote.taster];
    }
    const auto curve = fit(scaled);
    if (!curve) {
        found.why = NoLadder::all_one_way;
        return found;
    }
    found.slope = curve->b / scale;
    found.misfit_p = misfit(found.steps, *curve, mean, scale);
    if (tasters.size() < 2) {
        found.why = NoLadder::one_taster;
        return found;
    }
    const double wanted = std::log(at / (1 - at)), t = quantile(complement(boost::math::students_t_distribution<double, Quiet>(static_cast<double>(tasters.size()) - 1), (1 - confidence) / 2));
    if (curve->b <= 0) {
        found.why = NoLadder::no_slope;
        return found;
    }
    const auto back = [&](double x) { return mean + scale * x; };
    const double point = back((wanted - curve->a) / curve->b);
    const auto limits = fieller(*curve, clustered(scaled, *curve, tasters.size()), wanted, t);
    constexpr double k_open = std::numeric_limits<double>::infinity();
    found.limits = {-k_open, k_open};
    if (limits) found.limits = {back(limits->lower) < low ? -k_open : back(limits->lower), back(limits->upper) > high ? k_open : back(limits->upper)};
    if (point < low || point > high) {
        found.why = NoLadder::not_reached;
        found.above = point > high;
        return found;
    }
    found.rejection = point;
    return found;
}

}   // namespace oddplate::stats
