// All three are choices among alternatives whose log odds are linear in the worths. Tests: tests/unit/stats/worths.test.cpp

#include "oddplate/stats/worths.hpp"

#include <Eigen/Dense>
#include <boost/math/distributions/chi_squared.hpp>

#include <algorithm>
#include <cmath>
#include <map>
#include <numeric>
#include <tuple>

#include "oddplate/stats/normal.hpp"
#include "policy.hpp"

namespace oddplate::stats {
namespace {

using Vector = Eigen::VectorXd;
using Matrix = Eigen::MatrixXd;

std::size_t at(int index) { return static_cast<std::size_t>(index); }

/// One choice: a row of coefficients an alternative, and how often each was taken.
struct Choice {
    Matrix rows;
    Vector times;
    std::int32_t taster{0};
};

struct Fit {
    Vector beta;
    Matrix information;
    std::map<std::int32_t, Vector> scores;   // by taster
    double log_likelihood{0};
};

/// Log-likelihood, its slope and its curvature at beta: multinomial logit (McFadden 1974).
void evaluate(std::span<const Choice> choices, Fit& fit) {
    const auto size = fit.beta.size();
    fit.information = Matrix::Zero(size, size);
    fit.scores.clear();
    fit.log_likelihood = 0;
    for (const Choice& choice : choices) {
        const Vector odds = choice.rows * fit.beta;
        const double top = odds.maxCoeff();
        const Vector weights = (odds.array() - top).exp();
        const double sum = weights.sum(), all = choice.times.sum();
        const Vector p = weights / sum;
        fit.log_likelihood += choice.times.dot(Vector(odds.array() - top - std::log(sum)));
        const Vector mean = choice.rows.transpose() * p;
        fit.information += all * (choice.rows.transpose() * p.asDiagonal() * choice.rows - mean * mean.transpose());
        const Vector slope = choice.rows.transpose() * choice.times - all * mean;
        fit.scores.try_emplace(choice.taster, Vector::Zero(size)).first->second += slope;
    }
}

/// Newton's steps from 0, halved where the likelihood would fall; it is concave. Worths are fixed by their sum: what adds to all alike is held at 0.
Fit climbed(std::span<const Choice> choices, int samples, Eigen::Index size) {
    Fit fit{.beta = Vector::Zero(size), .information = {}, .scores = {}};
    evaluate(choices, fit);
    Vector level = Vector::Zero(size);
    level.head(samples).setOnes();
    for (int step = 0; step < 200; ++step) {
        Vector slope = Vector::Zero(size);
        for (const auto& [taster, score] : fit.scores) slope += score;
        const Matrix pinned = fit.information + level * level.transpose();
        const Vector move = pinned.ldlt().solve(slope);
        Fit next = fit;
        double part = 1;
        for (int half = 0; half < 40; ++half, part /= 2) {
            next.beta = fit.beta + part * move;
            evaluate(choices, next);
            if (next.log_likelihood >= fit.log_likelihood - 1e-12 * std::fabs(fit.log_likelihood)) break;
        }
        fit = next;
        if ((part * move).cwiseAbs().maxCoeff() < 1e-12) break;
    }
    return fit;
}

/// Whether from every sample every other is reached along "was put before": no group is always first (Ford 1957).
NoWorths reachable(const std::vector<std::vector<bool>>& before) {
    const auto reaches_all = [&](bool forward) {
        std::vector<bool> seen(before.size(), false);
        std::vector<std::size_t> open{0};
        seen[0] = true;
        while (!open.empty()) {
            const std::size_t from = open.back();
            open.pop_back();
            for (std::size_t to = 0; to < before.size(); ++to)
                if (!seen[to] && (forward ? before[from][to] : before[to][from])) {
                    seen[to] = true;
                    open.push_back(to);
                }
        }
        return std::all_of(seen.begin(), seen.end(), [](bool one) { return one; });
    };
    if (reaches_all(true) && reaches_all(false)) return NoWorths::has_some;
    std::vector<std::vector<bool>> met = before;
    for (std::size_t a = 0; a < met.size(); ++a)
        for (std::size_t b = 0; b < met.size(); ++b) met[a][b] = before[a][b] || before[b][a];
    std::vector<bool> seen(met.size(), false);
    std::vector<std::size_t> open{0};
    seen[0] = true;
    while (!open.empty()) {
        const std::size_t from = open.back();
        open.pop_back();
        for (std::size_t to = 0; to < met.size(); ++to)
            if (!seen[to] && met[from][to]) seen[to] = true, open.push_back(to);
    }
    return std::all_of(seen.begin(), seen.end(), [](bool one) { return one; }) ? NoWorths::one_sided : NoWorths::apart;
}

/// Worths with their errors: `variance` is of beta, samples first.
void describe(Worths& worths, const Vector& beta, const Matrix& variance, int samples, double confidence, bool shares) {
    const double z = normal_upper_quantile((1 - confidence) / 2), mean = beta.head(samples).mean();
    const double top = beta.head(samples).maxCoeff();
    const Vector weights = (beta.head(samples).array() - top).exp();
    const Vector share = weights / weights.sum();
    for (int j = 0; j < samples; ++j) {
        constexpr double k_fitted = 1e-12;   // nearer to nought than the fit is to its top
        Worth worth{.log_worth = std::abs(beta[j] - mean) < k_fitted ? 0 : beta[j] - mean};
        Vector contrast = Vector::Zero(beta.size());
        contrast.head(samples).setConstant(-1.0 / samples);
        contrast[j] += 1;
        worth.standard_error = std::sqrt(std::max(0.0, contrast.dot(variance * contrast)));
        if (shares) {
            // logit(share_j) = beta_j - log sum of the others' worths; its slope is 1 at j and -share_i/(1 - share_j) at i.
            Vector slope = Vector::Zero(beta.size());
            for (int i = 0; i < samples; ++i) slope[i] = i == j ? 1 : -share[i] / (1 - share[j]);
            const double error = std::sqrt(std::max(0.0, slope.dot(variance * slope))), logit = std::log(share[j] / (1 - share[j]));
            worth.share_first = share[j];
            worth.lower = 1 / (1 + std::exp(-(logit - z * error)));
            worth.upper = 1 / (1 + std::exp(-(logit + z * error)));
        }
        worths.samples.push_back(worth);
    }
}

Matrix inverse_of(const Matrix& information, int samples) {
    Vector level = Vector::Zero(information.rows());
    level.head(samples).setOnes();
    return (information + level * level.transpose()).ldlt().solve(Matrix::Identity(information.rows(), information.rows()));
}

/// The inverse information; over several tasters the sandwich, as a taster's choices may be alike.
Matrix variance_of(const Fit& fit, int samples) {
    const Matrix inverse = inverse_of(fit.information, samples);
    if (fit.scores.size() < 2) return inverse;
    Matrix meat = Matrix::Zero(inverse.rows(), inverse.cols());
    for (const auto& [taster, score] : fit.scores) meat += score * score.transpose();
    const auto tasters = static_cast<double>(fit.scores.size());
    return tasters / (tasters - 1) * inverse * meat * inverse;   // few tasters: as a variance divides by n - 1
}

/// Steps run off where nothing bounds a log odds. `most`: what no finite maximum reaches with fewer than millions of comparisons.
bool is_bounded(const Vector& beta, double most) { return beta.allFinite() && beta.cwiseAbs().maxCoeff() < most; }

using Before = std::vector<std::vector<bool>>;

Before nobody_before(int samples) { return Before(at(samples), std::vector<bool>(at(samples), false)); }

double chi_square_tail(double x, int df) {
    if (df < 1) return 1;
    const boost::math::chi_squared_distribution<double, Quiet> law(df);
    return boost::math::cdf(boost::math::complement(law, std::max(0.0, x)));
}

using PairKey = std::tuple<int, int, std::int32_t>;   // a, b, taster

/// Comparisons of a pair in either order of service, added where the order is not looked at.
std::map<PairKey, PairCount> gathered(std::span<const PairCount> pairs, bool served_order, bool by_taster) {
    std::map<PairKey, PairCount> all;
    for (PairCount pair : pairs) {
        if (!served_order && pair.a > pair.b) {
            std::swap(pair.a, pair.b);
            std::swap(pair.for_a, pair.for_b);
        }
        const std::int32_t taster = by_taster ? pair.taster : -1;
        PairCount& sum = all.try_emplace({pair.a, pair.b, taster}, PairCount{.a = pair.a, .b = pair.b, .taster = taster}).first->second;
        sum.for_a += pair.for_a;
        sum.for_b += pair.for_b;
        sum.ties += pair.ties;
    }
    return all;
}

struct PairFacts {
    NoWorths why{NoWorths::nothing};
    std::int64_t ties{0};
    double saturated{0};   // log-likelihood with every pair for itself
    int cells{0};          // its free numbers
};

PairFacts facts_of(const std::map<PairKey, PairCount>& pairs, int samples, bool with_ties) {
    PairFacts facts;
    Before before = nobody_before(samples);
    const auto term = [](double times, double all) { return times > 0 ? times * std::log(times / all) : 0.0; };
    for (const auto& [key, pair] : pairs) {
        facts.ties += pair.ties;
        if (pair.for_a > 0 || pair.ties > 0) before[at(pair.a)][at(pair.b)] = true;
        if (pair.for_b > 0 || pair.ties > 0) before[at(pair.b)][at(pair.a)] = true;
        const double a = static_cast<double>(pair.for_a), b = static_cast<double>(pair.for_b), t = static_cast<double>(pair.ties);
        if (a + b + t == 0) continue;
        facts.why = NoWorths::has_some;
        facts.saturated += with_ties ? term(a, a + b + t) + term(b, a + b + t) + term(t, a + b + t) : term(a + t / 2, a + b + t) + term(b + t / 2, a + b + t);
        ++facts.cells;
    }
    if (facts.why == NoWorths::has_some) facts.why = reachable(before);
    return facts;
}

void tell_order(Worths& worths, const Vector& beta, const Matrix& variance, Eigen::Index at) {
    worths.served_first = beta[at];
    worths.served_first_error = std::sqrt(variance(at, at));
}

/// The likelihood is known; `df`: the pairs' free numbers less the model's.
void tell_fit(Worths& worths, const PairFacts& facts, int df) {
    worths.deviance = 2 * (facts.saturated - worths.log_likelihood);
    worths.deviance_df = df;
    worths.deviance_p = chi_square_tail(worths.deviance, df);
}

}   // namespace

Worths plackett_luce(std::span<const RankedTray> trays, int samples, double confidence) {
    Worths worths;
    std::vector<Choice> choices;
    Before before = nobody_before(samples);
    for (const RankedTray& tray : trays) {
        const std::vector<double> ranks = midranks(tray.ranks);
        std::vector<std::size_t> order(ranks.size());
        std::iota(order.begin(), order.end(), std::size_t{0});
        std::sort(order.begin(), order.end(), [&](std::size_t x, std::size_t y) { return ranks[x] < ranks[y]; });
        for (std::size_t place = 0; place + 1 < order.size(); ++place) {
            if (ranks[order[place]] == ranks[order[place + 1]]) {
                worths.why = NoWorths::ties;
                return worths;
            }
            Choice choice{.rows = Matrix::Zero(static_cast<Eigen::Index>(order.size() - place), samples),
                          .times = Vector::Zero(static_cast<Eigen::Index>(order.size() - place)), .taster = tray.taster};
            choice.times[0] = 1;
            for (std::size_t i = place; i < order.size(); ++i) {
                choice.rows(static_cast<Eigen::Index>(i - place), tray.samples[order[i]]) = 1;
                if (i > place) before[at(tray.samples[order[place]])][at(tray.samples[order[i]])] = true;
            }
            choices.push_back(std::move(choice));
        }
    }
    if (choices.empty()) return worths;
    worths.why = reachable(before);
    if (worths.why != NoWorths::has_some) return worths;
    const Fit fit = climbed(choices, samples, samples);
    describe(worths, fit.beta, variance_of(fit, samples), samples, confidence, true);
    worths.log_likelihood = fit.log_likelihood;
    return worths;
}

Worths bradley_terry(std::span<const PairCount> pairs, int samples, const PairSettings& settings) {
    Worths worths;
    const PairFacts facts = facts_of(gathered(pairs, settings.served_order, false), samples, true);
    const auto all = gathered(pairs, settings.served_order, true);
    worths.why = facts.why;
    if (worths.why != NoWorths::has_some) return worths;
    const bool ties = facts.ties > 0;
    const Eigen::Index size = samples + (ties ? 1 : 0) + (settings.served_order ? 1 : 0), order_at = samples + (ties ? 1 : 0);
    std::vector<Choice> choices;
    for (const auto& [key, pair] : all) {
        Choice choice{.rows = Matrix::Zero(ties ? 3 : 2, size), .times = Vector::Zero(ties ? 3 : 2), .taster = pair.taster};
        choice.rows(0, pair.a) = 1;
        choice.rows(1, pair.b) = 1;
        if (settings.served_order) choice.rows(0, order_at) = 1;
        choice.times[0] = static_cast<double>(pair.for_a);
        choice.times[1] = static_cast<double>(pair.for_b);
        if (ties) {
            choice.rows.row(2) = (choice.rows.row(0) + choice.rows.row(1)) / 2;
            choice.rows(2, samples) = 1;
            choice.times[2] = static_cast<double>(pair.ties);
        }
        choices.push_back(std::move(choice));
    }
    const Fit fit = climbed(choices, samples, size);
    if (!is_bounded(fit.beta, 15)) {
        worths.why = NoWorths::one_sided;
        return worths;
    }
    const Matrix variance = variance_of(fit, samples);
    describe(worths, fit.beta, variance, samples, settings.confidence, true);
    worths.log_likelihood = fit.log_likelihood;
    if (ties) worths.tie = fit.beta[samples];
    if (settings.served_order) tell_order(worths, fit.beta, variance, order_at);
    tell_fit(worths, facts, facts.cells * (ties ? 2 : 1) - static_cast<int>(size - 1));
    return worths;
}

Worths thurstone_v(std::span<const PairCount> pairs, int samples, const PairSettings& settings) {
    Worths worths;
    const PairFacts facts = facts_of(gathered(pairs, settings.served_order, false), samples, false);
    const auto all = gathered(pairs, settings.served_order, true);
    worths.why = facts.why;
    if (worths.why != NoWorths::has_some) return worths;
    const Eigen::Index size = samples + (settings.served_order ? 1 : 0);
    Vector level = Vector::Zero(size);
    level.head(samples).setOnes();
    Fit fit{.beta = Vector::Zero(size), .information = {}, .scores = {}};
    for (int step = 0; step < 100; ++step) {   // Fisher scoring; the probit likelihood is concave
        Vector slope = Vector::Zero(size);
        fit.scores.clear();
        fit.information = Matrix::Zero(size, size);
        worths.log_likelihood = 0;
        for (const auto& [key, pair] : all) {
            Vector row = Vector::Zero(size);
            row[pair.a] = 1;
            row[pair.b] = -1;
            if (settings.served_order) row[samples] = 1;
            const double eta = row.dot(fit.beta), p = normal_cdf(eta), q = normal_upper(eta), density = normal_density(eta);
            const double hits = static_cast<double>(pair.for_a) + static_cast<double>(pair.ties) / 2, n = static_cast<double>(pair.for_a + pair.for_b + pair.ties);
            worths.log_likelihood += (hits > 0 ? hits * std::log(p) : 0) + (n > hits ? (n - hits) * std::log(q) : 0);
            const Vector score = row * density * (hits - n * p) / (p * q);
            slope += score;
            fit.scores.try_emplace(pair.taster, Vector::Zero(size)).first->second += score;
            fit.information += n * density * density / (p * q) * row * row.transpose();
        }
        const Vector move = (fit.information + level * level.transpose()).ldlt().solve(slope);
        fit.beta += move;
        if (move.cwiseAbs().maxCoeff() < 1e-13) break;
    }
    if (!is_bounded(fit.beta, 6)) {   // on the probit scale
        worths.why = NoWorths::one_sided;
        return worths;
    }
    const Matrix variance = variance_of(fit, samples);
    describe(worths, fit.beta, variance, samples, settings.confidence, false);
    if (settings.served_order) tell_order(worths, fit.beta, variance, samples);
    tell_fit(worths, facts, facts.cells - static_cast<int>(size - 1));
    return worths;
}

}   // namespace oddplate::stats
