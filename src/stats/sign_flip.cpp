// The sign-flip test: the sum of the net votes whose sign was turned is a convolution of one binomial a size of net vote; the
// interval is made of quantiles of random subsets' own shares (derived in the header). Tests: tests/unit/stats/sign_flip.test.cpp

#include "oddplate/stats/sign_flip.hpp"

#include <algorithm>
#include <bit>
#include <cmath>
#include <map>
#include <numeric>
#include <utility>
#include <vector>

#include "lattice.hpp"
#include "oddplate/core/philox.hpp"
#include "oddplate/stats/promise.hpp"

namespace oddplate::stats {
namespace {

constexpr double k_keep = 1e-60;
constexpr double k_most_steps = 3e7;
constexpr int k_subsets = 9999;

// Tasters with the same votes.
struct Alike {
    std::int64_t votes, for_new, tasters;
};

std::vector<Alike> alike_tasters(std::span<const Votes> tasters) {
    std::map<std::pair<std::int64_t, std::int64_t>, std::int64_t> counts;
    for (const Votes& votes : tasters) {
        promise(votes.for_new >= 0 && votes.for_current >= 0);
        const std::int64_t all = votes.for_new + votes.for_current;
        if (all > 0) ++counts[{all, votes.for_new}];
    }
    std::vector<Alike> groups;
    for (const auto& [key, count] : counts) groups.push_back({key.first, key.second, count});
    return groups;
}

// A subset's share and how likely the subset is.
struct Share {
    double share, weight;
};

// Law of (votes, votes for the new one) of a random subset, on the grid of their greatest common divisors.
class SubsetLaw {
public:
    explicit SubsetLaw(const std::vector<Alike>& groups) : m_groups(groups) {
        std::int64_t all = 0;
        std::int64_t news = 0;
        for (const Alike& group : groups) {
            m_step_all = std::gcd(m_step_all, group.votes);
            m_step_new = std::gcd(m_step_new, group.for_new);
            all += group.votes * group.tasters;
            news += group.for_new * group.tasters;
        }
        m_step_new = std::max<std::int64_t>(1, m_step_new);
        m_rows = static_cast<std::size_t>(all / m_step_all) + 1;
        m_columns = static_cast<std::size_t>(news / m_step_new) + 1;
    }
    [[nodiscard]] double steps() const {
        double tasters = 0.0;
        for (const Alike& group : m_groups) tasters += static_cast<double>(group.tasters + 1);
        return tasters * static_cast<double>(m_rows) * static_cast<double>(m_columns);
    }
    [[nodiscard]] std::vector<Share> shares() const {
        std::vector<double> law(m_rows * m_columns, 0.0);
        law[0] = 1.0;
        std::size_t used = 0;   // the last cell that can hold weight
        for (const Alike& group : m_groups) {
            const std::size_t jump = static_cast<std::size_t>(group.votes / m_step_all) * m_columns +
                                     static_cast<std::size_t>(group.for_new / m_step_new);
            law = with_group(law, used, jump, group.tasters);
            used += jump * static_cast<std::size_t>(group.tasters);
        }
        return as_shares(law);
    }

private:
    [[nodiscard]] static std::vector<double> with_group(const std::vector<double>& law, std::size_t used, std::size_t jump,
                                                        std::int64_t tasters) {
        std::vector<double> next(law.size(), 0.0);
        const Lattice chosen = binomial_lattice(tasters, 0.5, 1e-30);
        for (std::size_t j = 0; j < chosen.weights.size(); ++j) {
            double* out = next.data() + jump * (static_cast<std::size_t>(chosen.first) + j);
            for (std::size_t cell = 0; cell <= used; ++cell) out[cell] += chosen.weights[j] * law[cell];
        }
        return next;
    }
    [[nodiscard]] std::vector<Share> as_shares(const std::vector<double>& law) const {
        std::vector<Share> shares;
        for (std::size_t cell = 1; cell < law.size(); ++cell) {
            if (law[cell] <= 0.0) continue;
            const double votes = static_cast<double>(cell / m_columns) * static_cast<double>(m_step_all);
            const double news = static_cast<double>(cell % m_columns) * static_cast<double>(m_step_new);
            shares.push_back({news / votes, law[cell]});
        }
        return shares;
    }

    const std::vector<Alike>& m_groups;
    std::int64_t m_step_all{0};
    std::int64_t m_step_new{0};
    std::size_t m_rows{0};
    std::size_t m_columns{0};
};

std::int64_t random_subset_size(core::PhiloxStream& stream, std::int64_t tasters) {
    std::int64_t chosen = 0;
    for (; tasters >= 32; tasters -= 32) chosen += std::popcount(stream.next());
    if (tasters > 0) chosen += std::popcount(stream.next() >> (32 - tasters));
    return chosen;
}

std::vector<Share> sampled_shares(const std::vector<Alike>& groups, std::uint64_t seed) {
    std::vector<Share> shares;
    shares.reserve(k_subsets);
    for (int draw = 0; draw < k_subsets; ++draw) {
        core::PhiloxStream stream(seed, static_cast<std::uint64_t>(draw));
        std::int64_t votes = 0;
        std::int64_t news = 0;
        for (const Alike& group : groups) {
            const std::int64_t chosen = random_subset_size(stream, group.tasters);
            votes += chosen * group.votes;
            news += chosen * group.for_new;
        }
        // An empty subset is as likely as 2^-tasters: with this many tasters it does not come up; were it to, it counts at both
        // ends.
        if (votes > 0) shares.push_back({static_cast<double>(news) / static_cast<double>(votes), 1.0 / (k_subsets + 1.0)});
    }
    return shares;
}

// The first share, in the order given, at which `base` and the weights so far are more than `side`.
double quantile(const std::vector<Share>& in_order, double base, double side, double otherwise) {
    double sum = base;
    for (std::size_t i = 0; i < in_order.size(); ++i) {
        sum += in_order[i].weight;
        const bool last_of_equals = i + 1 == in_order.size() || in_order[i + 1].share != in_order[i].share;
        if (last_of_equals && sum > side) return in_order[i].share;
    }
    return otherwise;
}

}   // namespace

double sign_flip_p(std::span<const Votes> tasters) {
    std::map<std::int64_t, std::int64_t> tasters_by_net;
    std::int64_t sum = 0;
    std::int64_t total = 0;
    for (const Votes& votes : tasters) {
        promise(votes.for_new >= 0 && votes.for_current >= 0);
        const std::int64_t net = votes.for_new - votes.for_current;
        sum += net;
        total += std::abs(net);
        if (net != 0) ++tasters_by_net[std::abs(net)];
    }
    if (sum == 0) return 1.0;
    // |sum| is reached when the net votes with a negative sign add up to (total - |sum|)/2 or fewer, or the mirror image.
    Lattice negative;
    for (const auto& [net, count] : tasters_by_net) {
        negative = add_lattices(negative, binomial_lattice(count, 0.5, k_keep), net);
        trim(negative, k_keep);
    }
    const std::int64_t most = (total - std::abs(sum)) / 2;
    double tail = 0.0;
    for (std::int64_t x = negative.first; x <= std::min(most, negative.last()); ++x) tail += negative.at(x);
    return std::min(1.0, 2.0 * tail);
}

ShareInterval sign_flip_interval(std::span<const Votes> tasters, double confidence, std::uint64_t seed) {
    promise(0.0 < confidence && confidence < 1.0);
    const std::vector<Alike> groups = alike_tasters(tasters);
    std::int64_t count = 0;
    for (const Alike& group : groups) count += group.tasters;
    const double side = (1.0 - confidence) / 2.0 * (1.0 + 1e-12);   // the rule of `significant`
    const double none_flipped = std::exp2(-static_cast<double>(count));
    if (none_flipped > side) return {std::nullopt, NoInterval::too_few_tasters, Found::exact};
    const bool alike = std::all_of(groups.begin(), groups.end(), [&](const Alike& group) {
        return group.for_new * groups.front().votes == groups.front().for_new * group.votes;
    });
    if (alike) return {std::nullopt, NoInterval::all_alike, Found::exact};

    ShareInterval result;
    const SubsetLaw law(groups);
    result.found = law.steps() <= k_most_steps ? Found::exact : Found::monte_carlo;
    std::vector<Share> shares = result.found == Found::exact ? law.shares() : sampled_shares(groups, seed);
    const double base = result.found == Found::exact ? none_flipped : 1.0 / (k_subsets + 1.0);
    std::sort(shares.begin(), shares.end(), [](const Share& a, const Share& b) { return a.share < b.share; });
    Interval interval;
    interval.lower = quantile(shares, base, side, 0.0);
    std::reverse(shares.begin(), shares.end());
    interval.upper = quantile(shares, base, side, 1.0);
    result.interval = interval;
    return result;
}

}   // namespace oddplate::stats
