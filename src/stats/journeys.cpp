// Things split over the sittings of one person, by search. Tests: tests/unit/stats/blocks.test.cpp

#include <algorithm>
#include <cmath>
#include <map>
#include <mutex>
#include <numeric>

#include "oddplate/core/philox.hpp"
#include "oddplate/stats/blocks.hpp"

namespace oddplate::stats {
namespace {

constexpr std::uint64_t k_seed = 19;
constexpr int k_exchanges = 40'000;
constexpr std::uint64_t k_starts = 6;
constexpr double k_warm = 3, k_cold = 0.2;

std::size_t at(int index) { return static_cast<std::size_t>(index); }

/// Splits of the things: `sitting[split][thing]`.
using Splits = std::vector<std::vector<int>>;

/// Splits in which each two things share a sitting.
std::vector<int> meetings(const Splits& splits, int things) {
    std::vector<int> met;
    for (int a = 0; a < things; ++a)
        for (int b = a + 1; b < things; ++b)
            met.push_back(static_cast<int>(std::count_if(splits.begin(), splits.end(), [&](const auto& split) { return split[at(a)] == split[at(b)]; })));
    return met;
}

int spread_of(const std::vector<int>& counts) { return *std::max_element(counts.begin(), counts.end()) - *std::min_element(counts.begin(), counts.end()); }

/// Pairs take turns as in a round robin: thing 0 stays, the others go round it.
Splits round_robin(int things) {
    Splits splits;
    for (int round = 0; round + 1 < things; ++round) {
        std::vector<int> sitting(at(things), 0);
        for (int pair = 1; 2 * pair < things; ++pair)
            for (const int seat : {pair, things - 1 - pair}) sitting[at(1 + (seat + round) % (things - 1))] = pair;
        sitting[at(1 + round % (things - 1))] = 0;
        splits.push_back(std::move(sitting));
    }
    return splits;
}

/// Sum over pairs of squared meetings, least where they are most even, by exchanging two things of a split; cooled from warm to cold (Kirkpatrick, Gelatt &
/// Vecchi 1983, Science 220:671).
Splits cooled(int things, int size, int count, std::uint64_t start) {
    core::PhiloxStream stream(k_seed, static_cast<std::uint64_t>(((things * 100 + size) * 1000 + count) * 100) + start);
    Splits now(at(count), std::vector<int>(at(things)));
    for (int split = 0; split < count; ++split)
        for (int thing = 0; thing < things; ++thing) now[at(split)][at((thing + split) % things)] = thing / size;
    std::vector<std::vector<int>> met(at(things), std::vector<int>(at(things), 0));
    long cost = 0, least = 0;
    const auto meet = [&](const std::vector<int>& split, int thing, int more) {
        for (int other = 0; other < things; ++other)
            if (other != thing && split[at(other)] == split[at(thing)]) {
                int& times = met[at(std::min(thing, other))][at(std::max(thing, other))];
                cost += 2L * times * more + 1;
                times += more;
            }
    };
    for (const auto& split : now)
        for (int a = 0; a < things; ++a)
            for (int b = a + 1; b < things; ++b)
                if (split[at(a)] == split[at(b)]) ++met[at(a)][at(b)];
    for (const auto& row : met)
        for (const int times : row) cost += static_cast<long>(times) * times;
    least = cost;
    Splits best = now;
    for (int step = 0; step < k_exchanges; ++step) {
        auto& split = now[stream.below(static_cast<std::uint32_t>(count))];
        const int a = static_cast<int>(stream.below(static_cast<std::uint32_t>(things))), b = static_cast<int>(stream.below(static_cast<std::uint32_t>(things)));
        if (split[at(a)] == split[at(b)]) continue;
        const auto exchange = [&] {
            meet(split, a, -1);
            meet(split, b, -1);
            std::swap(split[at(a)], split[at(b)]);
            meet(split, a, 1);
            meet(split, b, 1);
        };
        const long before = cost;
        exchange();
        const double heat = k_warm * (1 - static_cast<double>(step) / k_exchanges) + k_cold;
        if (cost > before && stream.uniform() >= std::exp(static_cast<double>(before - cost) / heat)) {
            exchange();
            continue;
        }
        if (cost < least) least = cost, best = now;
    }
    return best;
}

Splits searched(int things, int size, int count) {
    if (size == 2 && count == things - 1) return round_robin(things);
    Splits best;
    int least = 1 << 30;
    for (std::uint64_t start = 0; start < k_starts && least > 0; ++start) {
        Splits found = cooled(things, size, count, start);
        const int spread = spread_of(meetings(found, things));
        if (spread < least) least = spread, best = std::move(found);
    }
    return best;
}

Journeys laid_out(int things, int size, const Splits& splits) {
    const int sittings = things / size, count = static_cast<int>(splits.size());
    const Design orders = williams_rows(size);
    const int rows = static_cast<int>(orders.size());
    Journeys found{.rows = {}, .batch = count * sittings, .splits = count, .pairs_spread = spread_of(meetings(splits, things))};
    for (int first = 0; first < rows; ++first)
        for (int split = 0; split < count; ++split)
            for (int turn = 0; turn < sittings; ++turn) {
                const auto& order = orders[at((first + split * sittings + turn) % rows)];
                std::vector<int> row;
                for (int sitting = 0; sitting < sittings; ++sitting) {
                    std::vector<int> tray;
                    for (int thing = 0; thing < things; ++thing)
                        if (splits[at(split)][at(thing)] == (sitting + turn) % sittings) tray.push_back(thing);
                    for (const int place : order) row.push_back(tray[at(place)]);
                }
                found.rows.push_back(std::move(row));
            }
    return found;
}

Journeys find(int things, int size) {
    const int fewest = (things - 1) / std::gcd(things - 1, size - 1);
    const Splits few = searched(things, size, fewest);
    if (spread_of(meetings(few, things)) == 0) return laid_out(things, size, few);
    const Splits more = searched(things, size, 2 * fewest);
    return laid_out(things, size, spread_of(meetings(more, things)) <= spread_of(meetings(few, things)) ? more : few);
}

}   // namespace

Journeys journeys(int things, int size) {
    static std::mutex guard;
    static std::map<std::pair<int, int>, Journeys> known;   // a search of a few hundredths of a second, asked for again and again
    const std::scoped_lock lock(guard);
    const auto at_hand = known.find({things, size});
    return at_hand != known.end() ? at_hand->second : known.emplace(std::pair{things, size}, find(things, size)).first->second;
}

}   // namespace oddplate::stats
