// One taster at a time is added to a table from packed totals to probability. With alike spots totals are sorted first, which
// merges up to s! states. The table keeps the order of insertion, so sums are made in the same order everywhere. Tests:
// tests/unit/stats/cochran.test.cpp

#include "spot_law.hpp"

#include <algorithm>
#include <array>

#include "oddplate/stats/promise.hpp"

namespace oddplate::stats {
namespace {

double choose(std::int64_t n, std::int64_t k) {
    double product = 1.0;
    for (std::int64_t i = 1; i <= k; ++i) product = product * static_cast<double>(n - k + i) / static_cast<double>(i);
    return product;
}

void place(std::span<const std::int64_t> sets, std::size_t spot, std::int64_t left, Fall& so_far, std::vector<Fall>& falls,
           std::size_t most) {
    if (falls.size() > most) return;
    if (spot + 1 == sets.size()) {
        if (left > sets[spot]) return;
        Fall done = so_far;
        done.right.push_back(left);
        done.weight *= choose(sets[spot], left);
        falls.push_back(std::move(done));
        return;
    }
    std::int64_t later = 0;   // no way leads on where the spots to come cannot hold the rest
    for (std::size_t j = spot + 1; j < sets.size(); ++j) later += sets[j];
    for (std::int64_t here = std::max<std::int64_t>(0, left - later); here <= std::min(left, sets[spot]); ++here) {
        so_far.right.push_back(here);
        const double before = so_far.weight;
        so_far.weight *= choose(sets[spot], here);
        place(sets, spot + 1, left - here, so_far, falls, most);
        so_far.weight = before;
        so_far.right.pop_back();
    }
}

constexpr std::size_t k_most_spots = 16;
using Totals = std::array<std::uint64_t, k_most_spots>;

// Packs totals into 64 bits, `bits` each.
struct Packing {
    std::size_t spots;
    unsigned bits;

    [[nodiscard]] std::uint64_t pack(const Totals& totals) const {
        std::uint64_t key = 0;
        for (std::size_t j = 0; j < spots; ++j) key = key << bits | totals[j];
        return key;
    }
    [[nodiscard]] Totals unpack(std::uint64_t key) const {
        Totals totals{};
        const std::uint64_t mask = (std::uint64_t{1} << bits) - 1;
        for (std::size_t j = spots; j-- > 0; key >>= bits) totals[j] = key & mask;
        return totals;
    }
};

// Insertion-ordered sums by key: a list of entries and an open-addressing index into it.
class Sums {
public:
    struct Entry {
        std::uint64_t key;
        double weight;
    };
    explicit Sums(std::size_t expected) {
        std::size_t size = 64;
        while (size < 3 * expected) size *= 2;
        m_index.assign(size, 0);
    }
    void add(std::uint64_t key, double weight) {
        if (2 * m_entries.size() >= m_index.size()) grow();
        std::uint32_t& slot = find(key);
        if (slot == 0) {
            m_entries.push_back({key, weight});
            slot = static_cast<std::uint32_t>(m_entries.size());
        } else {
            m_entries[slot - 1].weight += weight;
        }
    }
    [[nodiscard]] const std::vector<Entry>& entries() const { return m_entries; }

private:
    std::uint32_t& find(std::uint64_t key) {
        const std::size_t mask = m_index.size() - 1;
        std::size_t at = static_cast<std::size_t>((key * 0x9E3779B97F4A7C15u) >> 20) & mask;   // Fibonacci hashing
        while (m_index[at] != 0 && m_entries[m_index[at] - 1].key != key) at = (at + 1) & mask;
        return m_index[at];
    }
    void grow() {
        m_index.assign(m_index.size() * 4, 0);
        for (std::size_t i = 0; i < m_entries.size(); ++i) find(m_entries[i].key) = static_cast<std::uint32_t>(i + 1);
    }

    std::vector<Entry> m_entries;
    std::vector<std::uint32_t> m_index;   // 1 + place in m_entries, 0 where free
};

Sums add_taster(const Sums& before, const std::vector<Fall>& falls, const Packing& packing, bool symmetric) {
    Sums after(before.entries().size());
    for (const Sums::Entry& entry : before.entries()) {
        const Totals totals = packing.unpack(entry.key);
        for (const Fall& fall : falls) {
            Totals next = totals;
            for (std::size_t j = 0; j < packing.spots; ++j) next[j] += static_cast<std::uint64_t>(fall.right[j]);
            if (symmetric) std::sort(next.begin(), next.begin() + static_cast<std::ptrdiff_t>(packing.spots));
            after.add(packing.pack(next), entry.weight * fall.weight);
        }
    }
    return after;
}

std::optional<Packing> packing_for(std::span<const std::int64_t> most_right) {
    const std::size_t spots = most_right.size();
    if (spots > k_most_spots) return std::nullopt;
    const auto bits = static_cast<unsigned>(64 / spots);
    const auto highest = static_cast<std::uint64_t>(*std::max_element(most_right.begin(), most_right.end()));
    if (bits < 63 && highest >> bits != 0) return std::nullopt;
    return Packing{spots, std::min(bits, 32u)};
}

}   // namespace

std::vector<Fall> all_falls(std::span<const std::int64_t> sets, std::int64_t right, std::size_t most) {
    std::vector<Fall> falls;
    Fall start{{}, 1.0};
    place(sets, 0, right, start, falls, most);
    if (falls.size() > most) return {};
    double sum = 0.0;
    for (const Fall& fall : falls) sum += fall.weight;
    for (Fall& fall : falls) fall.weight /= sum;
    return falls;
}

std::optional<std::vector<WeightedTotals>> exact_spot_law(std::span<const SpotGroup> groups, std::span<const std::int64_t> fixed,
                                                          std::span<const std::int64_t> most_right, bool symmetric,
                                                          double most_steps) {
    const auto packing = packing_for(most_right);
    double still = 0.0;   // falls of the tasters to come: states only grow, so states x falls is work that is sure to come
    for (const SpotGroup& group : groups) {
        if (group.falls.empty()) return std::nullopt;
        still += static_cast<double>(group.tasters) * static_cast<double>(group.falls.size());
    }
    if (!packing || still > most_steps) return std::nullopt;
    Totals start{};
    for (std::size_t j = 0; j < fixed.size(); ++j) start[j] = static_cast<std::uint64_t>(fixed[j]);
    if (symmetric) std::sort(start.begin(), start.begin() + static_cast<std::ptrdiff_t>(fixed.size()));
    Sums law(1);
    law.add(packing->pack(start), 1.0);
    for (const SpotGroup& group : groups) {
        for (std::int64_t taster = 0; taster < group.tasters; ++taster) {
            if (static_cast<double>(law.entries().size()) * still > most_steps) return std::nullopt;
            law = add_taster(law, group.falls, *packing, symmetric);
            still -= static_cast<double>(group.falls.size());
        }
    }
    std::vector<WeightedTotals> result;
    for (const Sums::Entry& entry : law.entries()) {
        const Totals totals = packing->unpack(entry.key);
        std::vector<std::int64_t> plain;
        for (std::size_t j = 0; j < fixed.size(); ++j) plain.push_back(static_cast<std::int64_t>(totals[j]));
        result.push_back({std::move(plain), entry.weight});
    }
    return result;
}

}   // namespace oddplate::stats
