// Tests: tests/unit/draw/small_trays.test.cpp

#include "small_trays.hpp"

#include <algorithm>
#include <numeric>
#include <set>
#include <utility>

namespace oddplate::draw {
namespace {

std::size_t versions_in(std::span<const methods::Order> orders) {
    int highest = -1;
    for (const methods::Order& order : orders)
        for (const int version : order.versions) highest = std::max(highest, version);
    return static_cast<std::size_t>(highest + 1);
}

/// The count becomes `by` more; `squares` follows.
void add(int& count, int by, long& squares) {
    squares += static_cast<long>(by) * (2L * count + by);
    count += by;
}

}   // namespace

bool are_small_trays(std::span<const methods::Order> orders) {
    const std::size_t versions = versions_in(orders);
    return versions >= 3 && std::all_of(orders.begin(), orders.end(), [&](const methods::Order& order) {
        const std::set<int> unlike(order.versions.begin(), order.versions.end());
        return unlike.size() == order.versions.size() && unlike.size() >= 2 && unlike.size() < versions && order.versions.size() == orders.front().versions.size();
    });
}

int even_run(std::span<const methods::Order> orders) {
    constexpr int k_least = 8;   // with fewer to choose from, a person's trays at several spots come out alike
    const std::size_t versions = versions_in(orders);
    const int shortest = static_cast<int>(versions / std::gcd(versions, orders.front().versions.size()));
    return (k_least + shortest - 1) / shortest * shortest;
}

TrayCounts::TrayCounts(std::span<const methods::Order> orders, int sittings)
    : m_orders(orders), m_versions(versions_in(orders)), m_sittings(static_cast<std::size_t>(sittings)), m_size(orders.front().versions.size() / m_sittings),
      m_pairs(m_versions * m_versions, 0), m_all_pairs(m_pairs), m_in_sittings(m_versions * m_sittings, 0), m_places(m_versions * m_size, 0), m_followers(m_versions * m_versions, 0) {}

TrayCounts::Step TrayCounts::count(int order, int by) {
    const std::vector<int>& served = m_orders[static_cast<std::size_t>(order)].versions;
    Step step{};
    for (std::size_t next = 0; next < served.size(); ++next) {
        const std::size_t sitting = next / m_size, place = next % m_size;
        const std::span<const int> tray(served.data() + sitting * m_size, m_size);
        const int here = tray[place];
        add(m_pairs[cell(here, here)], by, step[0]);
        add(m_all_pairs[cell(here, here)], by, step[2]);
        for (std::size_t other = 0; other < place; ++other) {
            add(m_pairs[cell(here, tray[other])], by, step[1]);
            add(m_all_pairs[cell(here, tray[other])], by, step[3]);
            m_pairs[cell(tray[other], here)] += by;
            m_all_pairs[cell(tray[other], here)] += by;
        }
        add(m_in_sittings[static_cast<std::size_t>(here) * m_sittings + sitting], by, step[4]);
        add(m_places[static_cast<std::size_t>(here) * m_size + place], by, step[5]);
        if (place > 0) add(m_followers[cell(tray[place - 1], here)], by, step[6]);
    }
    for (std::size_t i = 0; i < step.size(); ++i) m_sums[i] += step[i];
    return step;
}

long TrayCounts::parts() const {
    std::vector<bool> seen(m_versions, false);
    long parts = 0;
    for (std::size_t start = 0; start < m_versions; ++start) {
        if (seen[start]) continue;
        ++parts;
        std::vector<std::size_t> next{start};
        seen[start] = true;
        while (!next.empty()) {
            const std::size_t here = next.back();
            next.pop_back();
            for (std::size_t other = 0; other < m_versions; ++other)
                if (!seen[other] && together(here, other) > 0) seen[other] = true, next.push_back(other);
        }
    }
    return parts;
}

TrayCounts::Evenness TrayCounts::evenness() const {
    Evenness now{.parts = parts(), .recipes = m_sums[0], .pairs = m_sums[1], .all_recipes = m_sums[2], .all_pairs = m_sums[3], .sittings = m_sums[4], .places = m_sums[5], .followers = m_sums[6]};
    for (std::size_t a = 0; a < m_versions; ++a)
        for (std::size_t b = 0; b < m_versions; ++b) {
            long twice = 0;
            for (std::size_t c = 0; c < m_versions; ++c) twice += together(a, c) * together(c, b);
            now.cubes += twice * together(a, b);
            now.fourths += twice * twice;
        }
    return now;
}

void TrayCounts::serve_in_turn(std::span<int> candidates, std::size_t served) {
    for (std::size_t next = 0; next < served; ++next) {
        std::size_t best = next;
        Step least{};
        for (std::size_t candidate = next; candidate < candidates.size(); ++candidate) {
            const Step step = count(candidates[candidate], 1);
            count(candidates[candidate], -1);
            if (candidate == next || step < least) best = candidate, least = step;
        }
        count(candidates[best], 1);
        const auto at = [&](std::size_t i) { return candidates.begin() + static_cast<std::ptrdiff_t>(i); };
        std::rotate(at(next), at(best), at(best) + 1);
    }
}

TrayCounts::Evenness TrayCounts::exchange(std::span<int> block, std::size_t served) {
    Evenness now = evenness();
    bool gained = true;
    for (int sweep = 0; sweep < k_most_sweeps && gained; ++sweep) {
        gained = false;
        for (std::size_t out = 0; out < served; ++out)
            for (std::size_t in = served; in < block.size(); ++in) {
                count(block[out], -1);
                count(block[in], 1);
                // One part is the least there is: where recipes or pairs are worse, nothing else is looked at.
                const bool hopeless = now.parts == 1 && std::pair(m_sums[0], m_sums[1]) > std::pair(now.recipes, now.pairs);
                const Evenness then = hopeless ? now : evenness();
                if (then < now) {
                    now = then;
                    gained = true;
                    std::swap(block[out], block[in]);
                } else {
                    count(block[in], -1);
                    count(block[out], 1);
                }
            }
    }
    return now;
}

void TrayCounts::take_back(std::span<const int> trays) {
    for (const int order : trays) count(order, -1);
}

void TrayCounts::next_stream() {
    for (auto* counts : {&m_pairs, &m_in_sittings, &m_places, &m_followers}) std::fill(counts->begin(), counts->end(), 0);
    for (const std::size_t own : {0u, 1u, 4u, 5u, 6u}) m_sums[own] = 0;
}

void TrayCounts::deal(std::span<int> block, std::size_t served) {
    if (served >= block.size()) return serve_in_turn(block, block.size());
    std::vector<int> best;
    Evenness least{};
    for (std::size_t start = 0; start < k_starts; ++start) {
        std::vector<int> turned(block.begin(), block.end());
        std::rotate(turned.begin(), turned.begin() + static_cast<std::ptrdiff_t>(start * block.size() / k_starts), turned.end());
        serve_in_turn(turned, served);
        const Evenness reached = exchange(turned, served);
        take_back(std::span(turned).first(served));
        if (start == 0 || reached < least) best = std::move(turned), least = reached;
    }
    std::copy(best.begin(), best.end(), block.begin());
    serve_in_turn(block.first(served), served);   // whoever stays away, those who came had even trays
}

void TrayCounts::reorder(std::span<int> dealt, const std::function<std::span<int>(int)>& ahead) {
    bool gained = true;
    for (int sweep = 0; sweep < k_most_sweeps && gained; ++sweep) {
        gained = false;
        for (int& mine : dealt)
            for (int& other : ahead(mine)) {
                const std::pair before(m_sums[5], m_sums[6]);
                count(mine, -1);
                count(other, 1);
                if (std::pair(m_sums[5], m_sums[6]) < before) {
                    std::swap(mine, other);
                    gained = true;
                } else {
                    count(other, -1);
                    count(mine, 1);
                }
            }
    }
    take_back(dealt);
    serve_in_turn(dealt, dealt.size());
}

}   // namespace oddplate::draw
