// Levels are standardised before the curve is fitted, so that salt in percent and in grams give the same steps. Tests: tests/unit/stats/{ladder,threshold}.test.cpp

#include "oddplate/stats/rise.hpp"

#include <algorithm>
#include <array>
#include <cmath>
#include <limits>
#include <map>
#include <utility>
#include <vector>

#include <boost/math/distributions/chi_squared.hpp>
#include <boost/math/distributions/students_t.hpp>

#include "policy.hpp"

namespace oddplate::stats {
namespace {

constexpr double k_steepest = 50;         // log odds a standard deviation of the levels: from here on a level parts the answers
constexpr double k_above_luck = 0.1;      // log likelihood that a curve without a top gains on luck alone, at least, to be more than it

struct Two {
    double a{0}, b{0};
};
/// Symmetric.
struct Square {
    double aa{0}, ab{0}, bb{0};

    [[nodiscard]] double determinant() const { return aa * bb - ab * ab; }
    [[nodiscard]] Square inverse() const { return {bb / determinant(), -ab / determinant(), aa / determinant()}; }
};

double logistic(double eta) { return 1 / (1 + std::exp(-eta)); }

/// One answer's part of the likelihood's slope and of the expected curvature, along eta.
struct Part {
    double score{0}, weight{0};
};

class Likelihood {
public:
    Likelihood(std::vector<Placed> scaled, double guess) : m_answers(std::move(scaled)), m_guess(guess) {}

    [[nodiscard]] const std::vector<Placed>& answers() const { return m_answers; }

    [[nodiscard]] double height(Two at) const {
        double sum = 0;
        for (const Placed& answer : m_answers) {
            const double eta = at.a + at.b * answer.x;
            const double none = eta > 0 ? eta + std::log1p(std::exp(-eta)) : std::log1p(std::exp(eta));   // -log of what is not tasted
            if (!answer.yes) sum += std::log1p(-m_guess) - none;
            else sum += m_guess > 0 ? std::log(m_guess + (1 - m_guess) * logistic(eta)) : eta - none;
        }
        return sum;
    }

    [[nodiscard]] Part part(const Placed& answer, Two at) const {
        const double told = logistic(at.a + at.b * answer.x), share = m_guess + (1 - m_guess) * told;
        const double kept = m_guess > 0 ? told / share : 1;   // of the logit's own score, what a right answer that may be a guess leaves
        return {((answer.yes ? 1 : 0) - share) * kept, (1 - m_guess) * told * (1 - told) * kept};
    }

    [[nodiscard]] Square curvature(Two at) const {
        Square curve;
        for (const Placed& answer : m_answers) {
            const double w = part(answer, at).weight;
            curve = {curve.aa + w, curve.ab + w * answer.x, curve.bb + w * answer.x * answer.x};
        }
        return curve;
    }

    /// With a guessing rate the likelihood is not concave: the best of some curves to begin with.
    [[nodiscard]] Two beginning() const {
        if (m_guess == 0) return {};
        Two best;
        double top = height(best);
        for (const double b : {0.3, 1.0, 2.0, 4.0, 8.0, 16.0})
            for (double middle = -2; middle <= 2; middle += 0.5) {
                const Two other{-b * middle, b};
                if (const double reached = height(other); reached > top) {
                    top = reached;
                    best = other;
                }
            }
        return best;
    }

private:
    std::vector<Placed> m_answers;
    double m_guess;
};

struct Fit {
    Two at;
    double top{0};
    bool settled{false};   ///< false: there is no top (a level parts the answers, or luck explains them all)
};

/// Fisher's scoring (Newton's steps without a guessing rate), halved while it does not rise.
Fit fit(const Likelihood& likelihood) {
    Fit now{.at = likelihood.beginning()};
    now.top = likelihood.height(now.at);
    for (int step = 0; step < 500; ++step) {
        Two slope;
        for (const Placed& answer : likelihood.answers()) {
            const double score = likelihood.part(answer, now.at).score;
            slope.a += score;
            slope.b += score * answer.x;
        }
        const Square curve = likelihood.curvature(now.at);
        if (!(curve.determinant() >= 1e-10 * static_cast<double>(likelihood.answers().size()))) return now;
        const Square inverse = curve.inverse();
        Two move{inverse.aa * slope.a + inverse.ab * slope.b, inverse.ab * slope.a + inverse.bb * slope.b};
        double reached = likelihood.height({now.at.a + move.a, now.at.b + move.b});
        for (int half = 0; half < 30 && !(reached >= now.top); ++half) {
            move = {move.a / 2, move.b / 2};
            reached = likelihood.height({now.at.a + move.a, now.at.b + move.b});
        }
        now.at = {now.at.a + move.a, now.at.b + move.b};
        now.top = reached;
        if (std::abs(now.at.b) > k_steepest) return now;
        if (std::max(std::abs(move.a), std::abs(move.b)) < 1e-12) {
            now.settled = true;
            return now;
        }
    }
    return now;
}

/// bread^-1 meat bread^-1, the meat summed by taster.
Square clustered(const Likelihood& likelihood, Two at, std::size_t tasters) {
    std::map<std::int32_t, Two> scores;
    for (const Placed& answer : likelihood.answers()) {
        const double score = likelihood.part(answer, at).score;
        Two& mine = scores[answer.taster];
        mine.a += score;
        mine.b += score * answer.x;
    }
    Square meat;
    for (const auto& [taster, s] : scores) meat = {meat.aa + s.a * s.a, meat.ab + s.a * s.b, meat.bb + s.b * s.b};
    const Square in = likelihood.curvature(at).inverse();
    const auto g = static_cast<double>(tasters);
    const double small = g / (g - 1);
    // Rows of in * meat, then times in.
    const double r1a = in.aa * meat.aa + in.ab * meat.ab, r1b = in.aa * meat.ab + in.ab * meat.bb, r2a = in.ab * meat.aa + in.bb * meat.ab, r2b = in.ab * meat.ab + in.bb * meat.bb;
    return {small * (r1a * in.aa + r1b * in.ab), small * (r1a * in.ab + r1b * in.bb), small * (r2a * in.ab + r2b * in.bb)};
}

/// All x at which (a - c + b x)^2 <= t^2 Var(a + b x): an interval only where the slope is clear of nought.
std::optional<Interval> fieller(Two at, const Square& v, double c, double t) {
    const double a = at.a - c, b = at.b;
    const double qa = b * b - t * t * v.bb, qb = 2 * (a * b - t * t * v.ab), qc = a * a - t * t * v.aa;
    const double inside = qb * qb - 4 * qa * qc;
    if (!(qa > 0) || !(inside >= 0)) return std::nullopt;
    const double root = std::sqrt(inside);
    return Interval{(-qb - root) / (2 * qa), (-qb + root) / (2 * qa)};
}

double misfit(std::span<const Placed> answers, const RiseCurve& curve) {
    std::map<double, std::array<double, 2>> levels;   // yes, of
    for (const Placed& answer : answers) {
        levels[answer.x][0] += answer.yes;
        levels[answer.x][1] += 1;
    }
    double deviance = 0;
    for (const auto& [x, seen] : levels) {
        const double p = curve.share(x), yes = seen[0], no = seen[1] - seen[0];
        const auto part = [](double count, double expected) { return count > 0 ? count * std::log(count / expected) : 0.0; };
        deviance += 2 * (part(yes, seen[1] * p) + part(no, seen[1] * (1 - p)));
    }
    const auto df = static_cast<double>(levels.size()) - 2;
    return df < 1 ? 1 : cdf(complement(boost::math::chi_squared_distribution<double, Quiet>(df), std::max(0.0, deviance)));
}

}   // namespace

double RiseCurve::share(double x) const { return guess + (1 - guess) * logistic(a + b * (x - mean) / scale); }

Rise rise(std::span<const Placed> answers, double guess, double at, double confidence, double low, double high) {
    Rise found;
    const auto n = static_cast<double>(answers.size());
    double mean = 0, squares = 0;
    for (const Placed& answer : answers) mean += answer.x / n;
    for (const Placed& answer : answers) squares += (answer.x - mean) * (answer.x - mean);
    const double scale = std::sqrt(squares / n);
    const auto [least, most] = std::minmax_element(answers.begin(), answers.end(), [](const Placed& one, const Placed& other) { return one.x < other.x; });
    if (answers.empty() || !(least->x < most->x) || !(scale > 0)) return found;
    const auto yes = std::count_if(answers.begin(), answers.end(), [](const Placed& answer) { return answer.yes; });
    if (yes == 0 || yes == std::ssize(answers)) {
        found.why = yes == 0 && guess > 0 ? NoPoint::at_luck : NoPoint::not_reached;
        found.above = yes == 0;
        return found;
    }
    std::vector<Placed> scaled;
    std::map<std::int32_t, int> tasters;
    for (const Placed& answer : answers) {
        scaled.push_back({answer.taster, (answer.x - mean) / scale, answer.yes});
        ++tasters[answer.taster];
    }
    const Likelihood likelihood(std::move(scaled), guess);
    const Fit best = fit(likelihood);
    const double wanted = std::log(at / (1 - at)), point = mean + scale * (wanted - best.at.a) / best.at.b;
    if (!best.settled) {
        const double luck = guess > 0 ? static_cast<double>(yes) * std::log(guess) + (n - static_cast<double>(yes)) * std::log1p(-guess) : -std::numeric_limits<double>::infinity();
        if (best.top - luck < k_above_luck) found.why = NoPoint::at_luck;
        else if (best.at.b > 0 && (point < low || point > high)) found.why = NoPoint::not_reached;
        else found.why = best.at.b > 0 ? NoPoint::all_one_way : NoPoint::no_slope;
        found.above = point > high;
        return found;
    }
    found.curve = RiseCurve{best.at.a, best.at.b, mean, scale, guess};
    found.misfit_p = misfit(answers, *found.curve);
    if (tasters.size() < 2) {
        found.why = NoPoint::one_taster;
        return found;
    }
    if (best.at.b <= 0) {
        found.why = NoPoint::no_slope;
        return found;
    }
    const double t = quantile(complement(boost::math::students_t_distribution<double, Quiet>(static_cast<double>(tasters.size()) - 1), (1 - confidence) / 2));
    const auto limits = fieller(best.at, clustered(likelihood, best.at, tasters.size()), wanted, t);
    constexpr double k_open = std::numeric_limits<double>::infinity();
    found.limits = {-k_open, k_open};
    if (limits) {
        const Interval back{mean + scale * limits->lower, mean + scale * limits->upper};
        found.limits = {back.lower < low ? -k_open : back.lower, back.upper > high ? k_open : back.upper};
    }
    if (point < low || point > high) {
        found.why = NoPoint::not_reached;
        found.above = point > high;
        return found;
    }
    found.why = NoPoint::has_one;
    found.point = point;
    return found;
}

}   // namespace oddplate::stats
