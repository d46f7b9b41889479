// "Not less than this share" where tasters have several votes each. A subset A of tasters has its own share of votes, and "A's
// share <= s" is sum over A of (net - c chose) <= 0 with c = 2s - 1: one table over (votes in A, net of A). Test: unit.methods,
// votes_not_less.test.cpp.

#include <algorithm>
#include <cmath>
#include <cstdlib>

#include "oddplate/stats/preference.hpp"
#include "votes.hpp"

namespace oddplate::methods::votes {
namespace {

constexpr double k_most_steps = 6e7;   // about a tenth of a second

double steps(std::span<const Pile> tasters) {
    double chose = 0, work = 0;
    for (const Pile& taster : tasters) {
        chose += static_cast<double>(taster.chose());
        work += chose * (2 * chose + 1);
    }
    return work;
}

using Row = std::vector<double>;

/// [votes in A][net of A + most]: the probability of such a subset when each taster is in or out by an even coin.
std::vector<Row> subsets(std::span<const Pile> tasters, std::int64_t most) {
    std::vector<Row> table(static_cast<std::size_t>(most + 1), Row(static_cast<std::size_t>(2 * most + 1), 0.0));
    table[0][static_cast<std::size_t>(most)] = 1;
    std::int64_t so_far = 0;
    for (const Pile& taster : tasters) {
        const std::int64_t chose = taster.chose();
        if (chose == 0) continue;   // in or out, he changes nothing
        const std::int64_t taster_net = taster.for_new - taster.for_current;
        for (std::int64_t votes = so_far; votes >= 0; --votes) {   // downwards: each row is read before it is added to
            Row& from = table[static_cast<std::size_t>(votes)];
            Row& into = table[static_cast<std::size_t>(votes + chose)];
            for (std::int64_t net = -votes; net <= votes; ++net) {
                double& p = from[static_cast<std::size_t>(most + net)];
                p /= 2;
                into[static_cast<std::size_t>(most + net + taster_net)] += p;
            }
        }
        so_far += chose;
    }
    return table;
}

double subset_tail(std::span<const Pile> tasters, std::int64_t most, double share) {
    const double c = 2 * share - 1;
    double tail = 0;
    std::int64_t votes = 0;
    for (const Row& row : subsets(tasters, most)) {
        const double edge = c * static_cast<double>(votes);
        for (std::int64_t net = -votes; net <= votes; ++net) {
            if (static_cast<double>(net) <= edge + 1e-9) tail += row[static_cast<std::size_t>(most + net)];
        }
        ++votes;
    }
    return std::min(1.0, tail);
}

double kept_tail(std::span<const Pile> tasters, std::int64_t chose, double share) {
    std::vector<std::int64_t> sizes;
    std::int64_t all = 0, observed = 0;
    for (const Pile& taster : tasters) {
        const std::int64_t net = taster.for_new - taster.for_current;
        if (net == 0) continue;
        sizes.push_back(std::abs(net));
        all += std::abs(net);
        observed += std::max<std::int64_t>(net, 0);
    }
    if (all == 0) return 1;
    const double q = std::clamp(0.5 + (share - 0.5) * static_cast<double>(chose) / static_cast<double>(all), 0.0, 1.0);
    Row p(static_cast<std::size_t>(all + 1), 0.0);   // by the sum of the sizes that went to the new recipe
    p[0] = 1;
    std::int64_t so_far = 0;
    for (const std::int64_t size : sizes) {
        so_far += size;
        for (std::int64_t sum = so_far; sum >= 0; --sum) {
            const double before = sum >= size ? p[static_cast<std::size_t>(sum - size)] : 0.0;
            double& now = p[static_cast<std::size_t>(sum)];
            now = now * (1 - q) + before * q;
        }
    }
    double tail = 0;
    for (std::int64_t sum = all; sum >= observed; --sum) tail += p[static_cast<std::size_t>(sum)];
    return std::min(1.0, tail);
}

}   // namespace

std::optional<double> not_less_p(std::span<const Pile> tasters, double share) {
    Pile pooled;
    for (const Pile& taster : tasters) pooled += taster;
    const std::int64_t chose = pooled.chose();
    if (chose == 0) return 1.0;
    const double binomial = stats::not_less_p(pooled.for_new, chose, share);
    if (std::all_of(tasters.begin(), tasters.end(), [](const Pile& taster) { return taster.chose() <= 1; })) return binomial;
    if (steps(tasters) > k_most_steps) return std::nullopt;
    return std::max({binomial, subset_tail(tasters, chose, share), kept_tail(tasters, chose, share)});
}

}   // namespace oddplate::methods::votes
