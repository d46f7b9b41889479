// Blocks by search: cyclic ones first, then exchanges. Tests: tests/unit/stats/blocks.test.cpp

#include <algorithm>
#include <cstdint>
#include <numeric>
#include <utility>

#include "oddplate/core/philox.hpp"
#include "oddplate/stats/blocks.hpp"

namespace oddplate::stats {
namespace {

constexpr std::uint64_t k_seed = 9;
constexpr int k_most_initial = 5'000;   // tuples of first blocks tried
constexpr int k_exchanges = 20'000;

std::size_t at(int index) { return static_cast<std::size_t>(index); }

/// How uneven: squares of replications first, then squares of the pairs' counts. Both are least when counts are within one of one another.
struct Unevenness {
    long things{0}, pairs{0};
    friend auto operator<=>(const Unevenness&, const Unevenness&) = default;
};

class Counted {
public:
    Counted(Design blocks, int things) : m_blocks(std::move(blocks)), m_things(at(things)), m_count(m_things, 0), m_pairs(m_things * m_things, 0) {
        for (std::size_t block = 0; block < m_blocks.size(); ++block) {
            const std::vector<int> all = std::exchange(m_blocks[block], {});
            for (const int thing : all) put(block, thing);
        }
    }

    void put(std::size_t block, int thing) {
        add(m_count[at(thing)], 1, m_uneven.things);
        for (const int other : m_blocks[block]) add(m_pairs[pair(thing, other)], 1, m_uneven.pairs);
        m_blocks[block].push_back(thing);
    }
    void take(std::size_t block, int thing) {
        std::erase(m_blocks[block], thing);
        add(m_count[at(thing)], -1, m_uneven.things);
        for (const int other : m_blocks[block]) add(m_pairs[pair(thing, other)], -1, m_uneven.pairs);
    }
    [[nodiscard]] const Unevenness& uneven() const { return m_uneven; }
    [[nodiscard]] const Design& blocks() const { return m_blocks; }

private:
    static void add(int& count, int more, long& squares) {
        squares += 2L * count * more + 1;
        count += more;
    }
    [[nodiscard]] std::size_t pair(int a, int b) const { return at(std::min(a, b)) * m_things + at(std::max(a, b)); }

    Design m_blocks;
    std::size_t m_things;
    std::vector<int> m_count, m_pairs;
    Unevenness m_uneven;
};

/// Counts within one of one another: no design is more even.
Unevenness least_uneven(long things, long size, long count) {
    const auto squares = [](long total, long cells) {
        const long each = total / cells, more = total % cells;
        return (cells - more) * each * each + more * (each + 1) * (each + 1);
    };
    return {squares(count * size, things), squares(count * size * (size - 1) / 2, things * (things - 1) / 2)};
}

Unevenness uneven(const Design& blocks, int things) { return Counted(blocks, things).uneven(); }

/// All blocks of that size that hold 0, as words are sorted.
Design first_blocks(int things, int size) {
    Design blocks;
    std::vector<int> block(at(size));
    std::iota(block.begin(), block.end(), 0);
    for (;;) {
        blocks.push_back(block);
        int place = size - 1;
        while (place > 0 && block[at(place)] == things - size + place) --place;
        if (place <= 0) return blocks;
        int next = block[at(place)] + 1;
        for (; place < size; ++place) block[at(place)] = next++;
    }
}

Design turned(const std::vector<int>& first, int things) {
    Design blocks;
    for (int shift = 0; shift < things; ++shift) {
        blocks.emplace_back();
        for (const int thing : first) blocks.back().push_back((thing + shift) % things);
    }
    return blocks;
}

/// The most even design made of whole cycles (Bose 1939: differences of the first blocks tell the pairs), then of what is left over of another.
Design cyclic(int things, int size, int count) {
    const Design firsts = first_blocks(things, size);
    const int cycles = (count + things - 1) / things;
    std::vector<std::size_t> chosen(at(cycles), 0);
    Design best;
    Unevenness least{};
    for (int tried = 0; tried < k_most_initial; ++tried) {
        Design blocks;
        for (const std::size_t first : chosen)
            for (auto& block : turned(firsts[first], things)) blocks.push_back(std::move(block));
        blocks.resize(at(count));
        const Unevenness now = uneven(blocks, things);
        if (best.empty() || now < least) best = blocks, least = now;
        if (least == least_uneven(things, size, count)) break;
        std::size_t digit = 0;   // the next multiset of first blocks: digits don't fall
        while (digit < chosen.size() && chosen[digit] + 1 == firsts.size()) ++digit;
        if (digit == chosen.size()) break;
        std::fill(chosen.begin(), chosen.begin() + static_cast<std::ptrdiff_t>(digit) + 1, chosen[digit] + 1);
    }
    return best;
}

}   // namespace

Design searched_blocks(int things, int size, int count) {
    Counted now(cyclic(things, size, count), things);
    Design best = now.blocks();
    Unevenness least = now.uneven();
    core::PhiloxStream stream(k_seed, static_cast<std::uint64_t>((things * 100 + size) * 1000 + count));
    const Unevenness perfect = least_uneven(things, size, count);
    for (int step = 0; step < k_exchanges && size < things && least != perfect; ++step) {
        const std::size_t block = stream.below(static_cast<std::uint32_t>(count));
        const int out = now.blocks()[block][stream.below(static_cast<std::uint32_t>(size))];
        const int in = static_cast<int>(stream.below(static_cast<std::uint32_t>(things)));
        const auto& members = now.blocks()[block];
        if (std::find(members.begin(), members.end(), in) != members.end()) continue;
        const Unevenness before = now.uneven();
        now.take(block, out);
        now.put(block, in);
        const Unevenness after = now.uneven();
        // A step that spoils a little is kept one time in thirty, so that the search gets out of hollows.
        const bool keeps = after <= before || (after.things + after.pairs <= before.things + before.pairs + 4 && stream.below(30) == 0);
        if (!keeps) {
            now.take(block, in);
            now.put(block, out);
        }
        if (now.uneven() < least) best = now.blocks(), least = now.uneven();
    }
    for (auto& block : best) std::sort(block.begin(), block.end());
    return best;
}

}   // namespace oddplate::stats
