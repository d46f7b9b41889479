// Tests: tests/unit/stats/rank_test.test.cpp

#include "oddplate/stats/rank_test.hpp"

#include <Eigen/Dense>
#include <boost/math/distributions/chi_squared.hpp>

#include <algorithm>
#include <cmath>
#include <map>
#include <numeric>
#include <unordered_map>

#include "oddplate/core/philox.hpp"
#include "oddplate/stats/holm.hpp"
#include "oddplate/stats/score_flip.hpp"
#include "policy.hpp"
#include "rank_law.hpp"
#include "rank_rows.hpp"
#include "sampling.hpp"

namespace oddplate::stats {
namespace {

constexpr std::size_t k_most_merged = 2'000'000;   // steps of the walk over unmerged columns
constexpr double k_share_merged = 0.05;   // of a budget: a merged state costs that much more
constexpr double k_near = 1e-9;                    // statistics this near are equal

std::size_t at(int index) { return static_cast<std::size_t>(index); }

/// U'V^-U with V's inverse on its range.
class Form {
public:
    Form(const RankRows& all, int samples) : m_inverse(Eigen::MatrixXd::Zero(samples, samples)) {
        Eigen::MatrixXd v = Eigen::MatrixXd::Zero(samples, samples);
        for (const RankRow& row : all.rows) {
            const auto k = static_cast<double>(row.samples.size());
            if (k < 2) continue;
            double squares = 0;
            for (const double score : row.scores) squares += row.weight * row.weight * score * score;
            for (const int a : row.samples)
                for (const int b : row.samples) v(a, b) += squares / (k - 1) * ((a == b ? 1 : 0) - 1 / k);
        }
        const Eigen::SelfAdjointEigenSolver<Eigen::MatrixXd> parts(v);
        const double largest = std::max(parts.eigenvalues().maxCoeff(), 0.0);
        for (int i = 0; i < samples; ++i) {
            if (parts.eigenvalues()[i] <= 1e-10 * largest) continue;
            ++m_rank;
            m_inverse += parts.eigenvectors().col(i) * parts.eigenvectors().col(i).transpose() / parts.eigenvalues()[i];
        }
    }

    [[nodiscard]] int rank() const { return m_rank; }
    [[nodiscard]] double of(std::span<const double> u) const {
        const Eigen::Map<const Eigen::VectorXd> sums(u.data(), static_cast<Eigen::Index>(u.size()));
        return sums.dot(m_inverse * sums);
    }

private:
    Eigen::MatrixXd m_inverse;
    int m_rank{0};
};

std::vector<int> groups_of(const RankRows& all, int samples) {
    std::vector<int> group(at(samples));
    std::iota(group.begin(), group.end(), 0);
    for (const RankRow& row : all.rows)
        for (const int sample : row.samples) {
            const int from = group[at(sample)], to = group[at(row.samples.front())];
            std::replace(group.begin(), group.end(), std::max(from, to), std::min(from, to));
        }
    return group;
}

/// Least squares with a level a row: C t = U, C the sum over rows of (I - J/k), each group's effects adding up to 0.
std::vector<double> effects_of(const RankRows& all, int samples) {
    Eigen::MatrixXd information = Eigen::MatrixXd::Zero(samples, samples);
    Eigen::VectorXd sums = Eigen::VectorXd::Zero(samples);
    for (const RankRow& row : all.rows) {
        const auto k = static_cast<double>(row.samples.size());
        for (std::size_t i = 0; i < row.samples.size(); ++i) {
            sums[row.samples[i]] += row.scores[i];
            for (const int other : row.samples) information(row.samples[i], other) += (row.samples[i] == other ? 1 : 0) - 1 / k;
        }
    }
    const Eigen::VectorXd effects = information.completeOrthogonalDecomposition().solve(sums);
    return {effects.data(), effects.data() + samples};
}

/// Trays of a taster who had the same samples on each count once among his rows, so effects are divided by them.
void count_trays(std::span<const RankedTray> trays, RankStatistic& found) {
    for (const RankedTray& tray : trays) {
        const std::vector<double> ranks = midranks(tray.ranks);
        for (std::size_t i = 0; i < ranks.size(); ++i) {
            found.sums[at(tray.samples[i])] += ranks[i];
            ++found.trays[at(tray.samples[i])];
        }
    }
    for (std::size_t j = 0; j < found.sums.size(); ++j)
        if (found.trays[j] > 0) found.means[j] = found.sums[j] / static_cast<double>(found.trays[j]);
}

// ---- complete rows: whole numbers for the exact walk
std::optional<double> walked(const RankRows& all, std::span<const double> sums, int samples, double budget) {
    if (samples > 10) return std::nullopt;
    std::vector<ScorePattern> patterns;
    std::int64_t total = 0;
    for (const RankRow& row : all.rows) {
        ScorePattern pattern;
        const double least = *std::min_element(row.scores.begin(), row.scores.end());
        for (const double score : row.scores) pattern.push_back(static_cast<int>(std::lround(2 * (score - least))));   // midranks: halves
        std::sort(pattern.begin(), pattern.end());
        for (const int value : pattern) total += value;
        patterns.push_back(std::move(pattern));
    }
    bool even = true;
    for (const ScorePattern& pattern : patterns)
        for (const int value : pattern) even = even && value % 2 == 0;
    const double unit = even ? 1 : 2;
    if (even) {
        total /= 2;
        for (ScorePattern& pattern : patterns)
            for (int& value : pattern) value /= 2;
    }
    // Sum of squares about the mean is k^-1 (k sum R^2 - total^2); observed R = total/k + sums.
    double about = 0;
    for (const double u : sums) about += unit * u * unit * u;
    const double squares = about + static_cast<double>(total) * static_cast<double>(total) / samples;
    return square_sum_tail(patterns, std::llround(squares), budget);
}

// ---- any rows: columns can't change places, so states are vectors of sums
struct VectorHash {
    std::size_t operator()(const std::vector<std::int64_t>& numbers) const {
        std::uint64_t hash = 1469598103934665603U;   // FNV-1a over whole numbers
        for (const std::int64_t x : numbers) hash = (hash ^ static_cast<std::uint64_t>(x)) * 1099511628211U ^ (hash >> 29);
        return static_cast<std::size_t>(hash);
    }
};
using Masses = std::unordered_map<std::vector<std::int64_t>, double, VectorHash>;
constexpr double k_grid = 1 << 20;   // scores as whole multiples of 2^-20: midranks exactly, weighted ones near enough to compare

std::vector<std::int64_t> on_grid(const RankRow& row) {
    std::vector<std::int64_t> scores;
    for (const double score : row.scores) scores.push_back(std::llround(row.weight * score * k_grid));
    std::sort(scores.begin(), scores.end());
    return scores;
}

double orders_of(const std::vector<std::int64_t>& sorted) {
    double orders = 1, run = 0;
    for (std::size_t i = 0; i < sorted.size(); ++i) {
        run = i > 0 && sorted[i] == sorted[i - 1] ? run + 1 : 1;
        orders *= static_cast<double>(i + 1) / run;
    }
    return orders;
}

std::optional<double> counted(const RankRows& all, const Form& form, double observed, int samples, double budget) {
    Masses now{{std::vector<std::int64_t>(at(samples), 0), 1.0}};
    std::size_t steps = 0;
    for (const RankRow& row : all.rows) {
        const std::vector<std::int64_t> scores = on_grid(row);
        const double orders = orders_of(scores);
        steps += static_cast<std::size_t>(std::min(1e15, static_cast<double>(now.size()) * orders));
        if (static_cast<double>(steps) > std::min<double>(k_most_merged, budget * k_share_merged)) return std::nullopt;
        Masses next;
        std::vector<std::int64_t> order = scores;
        do {
            for (const auto& [sums, mass] : now) {
                std::vector<std::int64_t> end = sums;
                for (std::size_t i = 0; i < order.size(); ++i) end[at(row.samples[i])] += order[i];
                next[std::move(end)] += mass / orders;
            }
        } while (std::next_permutation(order.begin(), order.end()));
        now = std::move(next);
    }
    double tail = 0;
    std::vector<double> u(at(samples));
    for (const auto& [sums, mass] : now) {
        for (std::size_t j = 0; j < u.size(); ++j) u[j] = static_cast<double>(sums[j]) / k_grid;
        if (form.of(u) >= observed - 1e-5 * std::max(1.0, observed)) tail += mass;   // the grid's own rounding is below 1e-6
    }
    return std::min(1.0, tail);
}

/// Hits after which drawing stops: p is then known to a fiftieth of itself, or better where all draws are made.
std::int64_t enough_hits(std::int64_t draws) { return draws / 40; }

PValue shuffled(const RankRows& all, const Form& form, double observed, int samples, std::uint64_t seed, std::int64_t draws) {
    std::int64_t hits = 0;
    std::vector<double> u(at(samples));
    std::vector<std::vector<double>> scores;
    for (const RankRow& row : all.rows) {
        scores.emplace_back();
        for (const double score : row.scores) scores.back().push_back(row.weight * score);
    }
    for (std::int64_t draw = 0; draw < draws; ++draw) {
        core::PhiloxStream stream(seed, static_cast<std::uint64_t>(draw));
        std::fill(u.begin(), u.end(), 0.0);
        for (std::size_t r = 0; r < scores.size(); ++r) {
            std::vector<double>& row = scores[r];   // shuffled on from where the last draw left it: as random
            for (std::size_t i = row.size(); i > 1; --i) std::swap(row[i - 1], row[stream.below(static_cast<std::uint32_t>(i))]);
            for (std::size_t i = 0; i < row.size(); ++i) u[at(all.rows[r].samples[i])] += row[i];
        }
        hits += form.of(u) >= observed * (1 - k_near);
        if (hits == enough_hits(draws)) return stopped_early_p(hits, draw + 1);
    }
    return monte_carlo_p(hits, draws);
}

// ---- tasters whose trays hold unlike samples
std::vector<std::vector<double>> taster_columns(const RankRows& all, int samples) {
    std::map<std::int32_t, std::vector<double>> columns;
    for (std::size_t r = 0; r < all.rows.size(); ++r) {
        std::vector<double>& column = columns.try_emplace(all.taster[r], at(samples), 0.0).first->second;
        for (std::size_t i = 0; i < all.rows[r].samples.size(); ++i)
            column[at(all.rows[r].samples[i])] += all.rows[r].weight * all.rows[r].scores[i];
    }
    std::vector<std::vector<double>> answer;
    for (auto& [taster, column] : columns) answer.push_back(std::move(column));
    return answer;
}

PValue turned(const RankRows& all, const Form& form, double observed, int samples, std::uint64_t seed, std::int64_t draws) {
    const std::vector<std::vector<double>> columns = taster_columns(all, samples);
    std::vector<double> u(at(samples));
    const auto reached = [&](auto&& turn) {
        std::fill(u.begin(), u.end(), 0.0);
        for (std::size_t t = 0; t < columns.size(); ++t) {
            const double sign = turn(t) ? -1 : 1;
            for (std::size_t j = 0; j < u.size(); ++j) u[j] += sign * columns[t][j];
        }
        return form.of(u) >= observed * (1 - k_near);
    };
    if (columns.size() <= 18) {
        const std::uint64_t patterns = std::uint64_t{1} << columns.size();
        std::uint64_t hits = 0;
        for (std::uint64_t pattern = 0; pattern < patterns; ++pattern) hits += reached([&](std::size_t t) { return (pattern >> t & 1U) != 0; });
        return {static_cast<double>(hits) / static_cast<double>(patterns), Found::exact, 0, 0};
    }
    std::int64_t hits = 0;
    for (std::int64_t draw = 0; draw < draws; ++draw) {
        core::PhiloxStream stream(seed, static_cast<std::uint64_t>(draw));
        std::uint32_t bits = 0;
        hits += reached([&](std::size_t t) {
            if (t % 32 == 0) bits = stream.next();
            return (bits >> (t % 32) & 1U) != 0;
        });
        if (hits == enough_hits(draws)) return stopped_early_p(hits, draw + 1);
    }
    return monte_carlo_p(hits, draws);
}

}   // namespace

RankStatistic rank_statistic(std::span<const RankedTray> trays, int samples) {
    const auto zeros = std::vector<double>(at(samples), 0);
    RankStatistic found{.sums = zeros, .means = zeros, .effects = zeros, .trays = std::vector<std::int64_t>(at(samples), 0), .concordance = {}, .group = {}};
    const RankRows all = rank_rows(trays, samples);
    const Form form(all, samples);
    count_trays(trays, found);
    found.df = form.rank();
    found.statistic = form.of(all.sums(samples));
    found.group = groups_of(all, samples);
    std::vector<int> names = found.group;
    std::sort(names.begin(), names.end());
    found.groups = static_cast<int>(std::unique(names.begin(), names.end()) - names.begin());
    RankRows single = all;
    if (all.dealt) {   // effects are of one tray, so every tray is a row
        single = {};
        for (const RankedTray& tray : trays) {
            const RankRows one = rank_rows(std::span(&tray, 1), samples);
            single.rows.insert(single.rows.end(), one.rows.begin(), one.rows.end());
        }
    }
    found.effects = effects_of(single, samples);
    if (found.df > 0) {
        const boost::math::chi_squared_distribution<double, Quiet> law(found.df);
        found.p_chi_square = boost::math::cdf(boost::math::complement(law, std::max(0.0, found.statistic)));
        if (all.complete) found.concordance = found.statistic / (static_cast<double>(all.rows.size()) * found.df);
    }
    return found;
}

PValue rank_p(std::span<const RankedTray> trays, int samples, std::uint64_t seed, double budget, std::int64_t draws) {
    const RankRows all = rank_rows(trays, samples);
    const Form form(all, samples);
    if (form.rank() == 0) return {};
    const std::vector<double> sums = all.sums(samples);
    const double observed = form.of(sums);
    if (!all.dealt) return turned(all, form, observed, samples, seed, draws);
    if (all.complete)
        if (const auto p = walked(all, sums, samples, budget)) return {*p, Found::exact, 0, 0};
    if (!all.complete)
        if (const auto p = counted(all, form, observed, samples, budget)) return {*p, Found::exact, 0, 0};
    return shuffled(all, form, observed, samples, seed, draws);
}

std::vector<RankPair> rank_pairs(std::span<const RankedTray> trays, int samples, std::uint64_t seed) {
    struct Met {
        double difference{0}, trays{0};
    };
    std::map<std::pair<int, int>, std::map<std::int32_t, Met>> met;
    for (const RankedTray& tray : trays) {
        const std::vector<double> ranks = midranks(tray.ranks);
        for (std::size_t i = 0; i < ranks.size(); ++i)
            for (std::size_t j = 0; j < ranks.size(); ++j) {
                if (tray.samples[i] >= tray.samples[j]) continue;
                Met& mine = met[{tray.samples[i], tray.samples[j]}][tray.taster];
                mine.difference += ranks[j] - ranks[i];
                ++mine.trays;
            }
    }
    std::vector<RankPair> pairs;
    std::vector<double> p_values;
    for (int a = 0; a < samples; ++a)
        for (int b = a + 1; b < samples; ++b) {
            RankPair pair{.a = a, .b = b, .p = {}};
            std::vector<double> differences;
            for (const auto& [taster, mine] : met[{a, b}]) {
                differences.push_back(mine.difference / mine.trays);
                pair.difference += differences.back();
                pair.a_first += differences.back() > 0;
                pair.b_first += differences.back() < 0;
            }
            pair.tasters = static_cast<std::int64_t>(differences.size());
            if (pair.tasters > 0) {
                if (pair.difference < 0)
                    for (double& x : differences) x = -x;
                pair.difference /= static_cast<double>(pair.tasters);
                pair.p = score_flip_p(differences, 0, seed);
                pair.p.p = pair.difference == 0 ? 1 : std::min(1.0, 2 * pair.p.p);
                pair.p.error *= 2;
                p_values.push_back(pair.p.p);
            }
            pairs.push_back(pair);
        }
    const std::vector<double> adjusted = holm_adjusted(p_values);
    std::size_t next = 0;
    for (RankPair& pair : pairs)
        if (pair.tasters > 0) pair.p_adjusted = adjusted[next++];
    return pairs;
}

std::vector<int> leading_group(const RankStatistic& found, std::span<const RankPair> pairs, double alpha) {
    std::vector<int> by_effect;
    for (std::size_t j = 0; j < found.trays.size(); ++j)
        if (found.trays[j] > 0) by_effect.push_back(static_cast<int>(j));
    std::stable_sort(by_effect.begin(), by_effect.end(), [&](int a, int b) { return found.effects[at(a)] < found.effects[at(b)]; });
    std::erase_if(by_effect, [&](int sample) {
        return std::any_of(pairs.begin(), pairs.end(), [&](const RankPair& pair) {
            const int behind = pair.difference > 0 ? pair.b : pair.a;
            return sample == behind && pair.difference != 0 && pair.tasters > 0 && pair.p_adjusted <= alpha * (1 + 1e-12);
        });
    });
    return by_effect;
}

}   // namespace oddplate::stats
