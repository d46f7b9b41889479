// Quadratures are trapezoidal sums over the whole line, which converge faster than any power for such integrands (Trefethen & Weideman 2014, SIAM
// Review 56:385), and are sums of tails throughout, so that small p-values keep their digits. Tests: tests/unit/stats/max_t.test.cpp

#include "oddplate/stats/max_t.hpp"

#include <Eigen/Dense>

#include <algorithm>
#include <array>
#include <cmath>
#include <map>
#include <memory>
#include <mutex>
#include <optional>
#include <utility>

#include "oddplate/core/philox.hpp"
#include "oddplate/stats/normal.hpp"
#include "oddplate/stats/promise.hpp"
#include "oddplate/stats/test_laws.hpp"
#include "optimise.hpp"

namespace oddplate::stats {
namespace {

constexpr double k_same = 1e-7;   // correlations nearer than this are equal: they come from fitted covariances
constexpr std::size_t k_shifts = 8, k_directions = 4096, k_bins = 512;
constexpr double k_many_df = 1e8;

/// Normal vectors, a column each, shift after shift. They hang on nothing but the space and the seed, and cost more than all that is done with them: panels that are tried out by the
/// thousand share them.
std::shared_ptr<const Eigen::MatrixXd> directions_of(Eigen::Index rank, std::uint64_t seed) {
    constexpr std::array<double, 16> primes{2, 3, 5, 7, 11, 13, 17, 19, 23, 29, 31, 37, 41, 43, 47, 53};
    constexpr Eigen::Index k_kept_rank = 12;
    constexpr std::size_t k_kept = 12;
    static std::mutex guard;
    static std::map<std::pair<Eigen::Index, std::uint64_t>, std::shared_ptr<const Eigen::MatrixXd>> kept;
    {
        const std::scoped_lock lock(guard);
        if (const auto found = kept.find({rank, seed}); found != kept.end()) return found->second;
    }
    const auto made = std::make_shared<Eigen::MatrixXd>(rank, static_cast<Eigen::Index>(k_shifts * k_directions));
    Eigen::VectorXd shift(rank);
    for (std::size_t s = 0; s < k_shifts; ++s) {
        core::PhiloxStream chance(seed, s);
        for (double& at : shift) at = chance.uniform();
        for (std::size_t i = 0; i < k_directions; ++i)
            for (Eigen::Index d = 0; d < rank; ++d) {
                // Richtmyer's lattice, square roots of primes; in spaces of more dimensions than primes, chance.
                const double at = static_cast<std::size_t>(d) < primes.size() ? static_cast<double>(i) * std::sqrt(primes[static_cast<std::size_t>(d)]) + shift(d) : chance.uniform();
                (*made)(d, static_cast<Eigen::Index>(s * k_directions + i)) = normal_quantile(std::clamp(at - std::floor(at), 1e-12, 1.0 - 1e-12));
            }
    }
    if (rank > k_kept_rank) return made;
    const std::scoped_lock lock(guard);
    if (kept.size() >= k_kept) kept.clear();
    return kept[{rank, seed}] = made;
}

// E[tail(S)], S the square root of a chi-square of df over df; the sum runs over log S.
template <class Tail>
double over_scale(Tail tail, double df) {
    if (df > k_many_df) return tail(1.0);
    const double h = std::min(0.15, 0.35 / std::sqrt(df));
    const double constant = std::log(2.0) + df / 2.0 * std::log(df / 2.0) - std::lgamma(df / 2.0);
    const auto density = [&](double x) { return std::exp(constant + df * x - df / 2.0 * std::exp(2.0 * x)); };
    double sum = 0.0;
    // Downward until the law of S itself has nothing left beside the sum: a far tail lives at small S.
    for (double x = 0.0;; x -= h) {
        const double weight = density(x);
        if (weight <= 1e-17 * std::min(df, 1.0) * sum || weight < 1e-300) break;
        sum += weight * tail(std::exp(x));
    }
    for (double x = h;; x += h) {
        const double term = density(x) * tail(std::exp(x));
        sum += term;
        if (term <= 1e-17 * sum) break;
    }
    return h * sum;
}

double range_upper(double w, std::size_t k) {
    const double n = static_cast<double>(k - 1), end = std::max(9.0, w / 2.0 + 8.0);
    constexpr double h = 0.2;
    double sum = 0.0;
    for (double z = -9.0; z <= end; z += h) {
        const double below = normal_cdf(z), far = normal_cdf(z - w);
        if (below <= 0.0) continue;
        sum -= normal_density(z) * std::pow(below, n) * std::expm1(n * std::log1p(-std::min(far / below, 1.0)));
    }
    return std::min(1.0, h * static_cast<double>(k) * sum);
}

double one_factor_upper(double t, const std::vector<double>& factors) {
    double largest = 0.0;
    for (const double factor : factors) largest = std::max(largest, factor * factor);
    const double h = std::min(0.2, 0.4 * std::sqrt(1.0 - largest));
    const double end = std::max(9.0, t + 8.0);
    double sum = 0.0;
    for (double z = -end; z <= end; z += h) {
        double log_none = 0.0;
        for (const double factor : factors) {
            const double own = std::sqrt(1.0 - factor * factor);
            log_none += std::log1p(-std::min(1.0, normal_upper((t - factor * z) / own) + normal_upper((t + factor * z) / own)));
        }
        sum -= normal_density(z) * std::expm1(log_none);
    }
    return std::min(1.0, h * sum);
}

Eigen::MatrixXd correlation_of(std::span<const double> covariance, std::size_t size) {
    promise(size > 0 && covariance.size() == size * size);
    const Eigen::MatrixXd c = Eigen::Map<const Eigen::MatrixXd>(covariance.data(), static_cast<Eigen::Index>(size), static_cast<Eigen::Index>(size));
    promise((c.diagonal().array() > 0.0).all());
    const Eigen::VectorXd scale = c.diagonal().array().sqrt().inverse();
    return scale.asDiagonal() * c * scale.asDiagonal();
}

// Factors whose products are the correlations; none where there are none.
std::optional<std::vector<double>> factors_of(const Eigen::MatrixXd& r) {
    const Eigen::Index size = r.rows();
    std::vector<double> factors(static_cast<std::size_t>(size), 0.0);
    if (size == 2) {
        factors = {std::sqrt(std::fabs(r(0, 1))), std::copysign(std::sqrt(std::fabs(r(0, 1))), r(0, 1))};
    } else if ((r - Eigen::MatrixXd::Identity(size, size)).cwiseAbs().maxCoeff() > k_same) {
        // The most correlated pair and a third give the first factor; the rest follows from it.
        Eigen::Index a = 0, b = 1;
        for (Eigen::Index i = 0; i < size; ++i)
            for (Eigen::Index j = 0; j < i; ++j)
                if (std::fabs(r(i, j)) > std::fabs(r(a, b))) a = j, b = i;
        Eigen::Index c = -1;
        for (Eigen::Index i = 0; i < size; ++i)
            if (i != a && i != b && (c < 0 || std::fabs(r(i, b)) > std::fabs(r(c, b)))) c = i;
        if (std::fabs(r(c, b)) < k_same) return std::nullopt;
        const double first = r(a, b) * r(a, c) / r(b, c);
        if (!(first > 0.0)) return std::nullopt;
        factors[static_cast<std::size_t>(a)] = std::sqrt(first);
        for (Eigen::Index i = 0; i < size; ++i)
            if (i != a) factors[static_cast<std::size_t>(i)] = r(a, i) / std::sqrt(first);
    }
    for (Eigen::Index i = 0; i < size; ++i) {
        if (std::fabs(factors[static_cast<std::size_t>(i)]) > 0.9999) return std::nullopt;
        for (Eigen::Index j = 0; j < i; ++j)
            if (std::fabs(r(i, j) - factors[static_cast<std::size_t>(i)] * factors[static_cast<std::size_t>(j)]) > k_same) return std::nullopt;
    }
    return factors;
}

}   // namespace

double studentized_range_upper(double q, std::size_t k, double df) {
    promise(k >= 2 && q >= 0.0 && df > 0.0);
    return std::min(1.0, over_scale([&](double s) { return range_upper(q * s, k); }, df));
}

MaxT MaxT::of(std::span<const double> covariance, std::size_t contrasts, std::uint64_t seed) {
    const Eigen::MatrixXd r = correlation_of(covariance, contrasts);
    MaxT law;
    if (contrasts == 1) return law;
    if (auto factors = factors_of(r)) {
        law.m_kind = MaxTKind::one_factor;
        law.m_factors = *std::move(factors);
        return law;
    }
    law.m_kind = MaxTKind::integrated;
    law.draw_directions({r.data(), static_cast<std::size_t>(r.size())}, contrasts, seed);
    return law;
}

MaxT MaxT::pairs(std::span<const double> covariance, std::size_t means, std::uint64_t seed) {
    promise(means >= 2 && covariance.size() == means * means);
    const auto size = static_cast<Eigen::Index>(means);
    const Eigen::Map<const Eigen::MatrixXd> c(covariance.data(), size, size);
    Eigen::MatrixXd l = Eigen::MatrixXd::Zero(size, size * (size - 1) / 2);
    Eigen::Index k = 0;
    for (Eigen::Index i = 0; i < size; ++i)
        for (Eigen::Index j = i + 1; j < size; ++j, ++k) l(i, k) = 1.0, l(j, k) = -1.0;
    const Eigen::MatrixXd of_pairs = l.transpose() * c * l;
    const auto variances = of_pairs.diagonal();
    if (means > 2 && variances.maxCoeff() - variances.minCoeff() <= k_same * variances.maxCoeff()) {
        MaxT law;
        law.m_kind = MaxTKind::range;
        law.m_means = means;
        return law;
    }
    return of({of_pairs.data(), static_cast<std::size_t>(of_pairs.size())}, static_cast<std::size_t>(k), seed);
}

MaxT MaxT::against(std::span<const double> covariance, std::size_t means, std::size_t control, std::uint64_t seed) {
    promise(means >= 2 && control < means && covariance.size() == means * means);
    const auto size = static_cast<Eigen::Index>(means);
    Eigen::MatrixXd l = Eigen::MatrixXd::Zero(size, size - 1);
    Eigen::Index k = 0;
    for (Eigen::Index i = 0; i < size; ++i)
        if (i != static_cast<Eigen::Index>(control)) l(i, k) = 1.0, l(static_cast<Eigen::Index>(control), k++) = -1.0;
    const Eigen::MatrixXd c = l.transpose() * Eigen::Map<const Eigen::MatrixXd>(covariance.data(), size, size) * l;
    return of({c.data(), static_cast<std::size_t>(c.size())}, means - 1, seed);
}

void MaxT::draw_directions(std::span<const double> correlation, std::size_t contrasts, std::uint64_t seed) {
    const auto size = static_cast<Eigen::Index>(contrasts);
    const Eigen::SelfAdjointEigenSolver<Eigen::MatrixXd> axes(Eigen::Map<const Eigen::MatrixXd>(correlation.data(), size, size));
    Eigen::Index rank = 0;
    while (rank < size && axes.eigenvalues()(size - 1 - rank) > 1e-9 * axes.eigenvalues()(size - 1)) ++rank;
    m_rank = static_cast<std::size_t>(rank);
    const Eigen::MatrixXd rows = axes.eigenvectors().rightCols(rank) * axes.eigenvalues().tail(rank).cwiseSqrt().asDiagonal();
    std::vector<double> sums(k_bins, 0.0);
    std::vector<std::vector<double>> counts(k_bins, std::vector<double>(k_shifts, 0.0));
    const std::shared_ptr<const Eigen::MatrixXd> directions = directions_of(rank, seed);
    for (std::size_t s = 0; s < k_shifts; ++s) {
        for (std::size_t i = 0; i < k_directions; ++i) {
            const auto u = directions->col(static_cast<Eigen::Index>(s * k_directions + i));
            const double largest = (rows * u).cwiseAbs().maxCoeff() / u.norm();
            const std::size_t bin = std::min(k_bins - 1, static_cast<std::size_t>(largest * static_cast<double>(k_bins)));
            sums[bin] += largest;
            counts[bin][s] += 1.0;
        }
    }
    for (std::size_t b = 0; b < k_bins; ++b) {
        double all = 0.0;
        for (const double count : counts[b]) all += count;
        if (all == 0.0) continue;
        m_bins.push_back({sums[b] / all, counts[b]});
        for (double& weight : m_bins.back().weights) weight /= static_cast<double>(k_directions);
    }
}

MaxTail MaxT::upper(double t, double df) const {
    promise(t >= 0.0 && df > 0.0);
    if (t == 0.0) return {1.0, 0.0};
    switch (m_kind) {
        case MaxTKind::single: return {student_two_sided(t, df), 0.0};
        case MaxTKind::range: return {studentized_range_upper(t * std::sqrt(2.0), m_means, df), 0.0};
        case MaxTKind::one_factor: return {std::min(1.0, over_scale([&](double s) { return one_factor_upper(t * s, m_factors); }, df)), 0.0};
        case MaxTKind::integrated: break;
    }
    std::array<double, k_shifts> by_shift{};
    const auto rank = static_cast<double>(m_rank);
    for (const Bin& bin : m_bins) {
        const double tail = f_upper(t * t / (rank * bin.largest * bin.largest), rank, df);
        for (std::size_t s = 0; s < k_shifts; ++s) by_shift[s] += bin.weights[s] * tail;
    }
    double mean = 0.0, scatter = 0.0;
    for (const double value : by_shift) mean += value / static_cast<double>(k_shifts);
    for (const double value : by_shift) scatter += (value - mean) * (value - mean);
    return {mean, std::sqrt(scatter / static_cast<double>(k_shifts * (k_shifts - 1)))};
}

double MaxT::quantile(double p, double df) const {
    promise(0.0 < p && p < 1.0 && df > 0.0);
    const auto beyond = [&](double t) { return std::log(upper(t, df).value) - std::log(p); };
    const double low = student_upper_quantile(std::max(p / 2.0, 1e-300), df);   // one contrast alone
    double high = low * 1.5 + 0.1;
    while (beyond(high) > 0.0) high *= 1.5;
    return m_kind == MaxTKind::single ? low : crossing(beyond, low, high, 1e-9);
}

}   // namespace oddplate::stats
