// Blocks by search: cyclic ones first, then exchanges. Tests: tests/unit/stats/blocks.test.cpp

#include <algorithm>
#include <cmath>
#include <cstdint>
#include <numeric>
#include <span>
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
    [[nodiscard]] int count(int thing) const { return m_count[at(thing)]; }
    /// The things that come least and most often.
    [[nodiscard]] std::pair<int, int> extremes() const {
        const auto [least, most] = std::minmax_element(m_count.begin(), m_count.end());
        return {static_cast<int>(least - m_count.begin()), static_cast<int>(most - m_count.begin())};
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

/// Whole cycles of these first blocks over 0..turning-1; a first block of one thing less goes with the last thing, which stays where it is (John & Williams 1995, ch. 3: cyclic and
/// one-rotational designs).
Design cycles(const Design& firsts, std::span<const std::size_t> chosen, int turning, int things, int size) {
    Design blocks;
    for (const std::size_t first : chosen)
        for (auto& block : turned(firsts[first], turning)) {
            if (static_cast<int>(block.size()) < size) block.push_back(things - 1);
            blocks.push_back(std::move(block));
        }
    return blocks;
}

/// The most even design made of whole cycles (Bose 1939: differences of the first blocks tell the pairs), then of what is left over of another. Sets of first blocks are tried at random. `turning`: `things`, or one less.
Design cyclic(int things, int size, int count, int turning, core::PhiloxStream& stream) {
    Design firsts = first_blocks(turning, size);
    const std::size_t turns = firsts.size();
    if (turning < things && size > 1)
        for (auto& first : first_blocks(turning, size - 1)) firsts.push_back(std::move(first));
    const auto cycles_in = static_cast<std::size_t>((count + turning - 1) / turning);
    // With the last thing go as many cycles as let it come as often as the others.
    const std::size_t with_last = turning < things ? std::min<std::size_t>(cycles_in, static_cast<std::size_t>(std::lround(static_cast<double>(count) * size / (static_cast<double>(things) * turning)))) : 0;
    std::vector<std::size_t> chosen(cycles_in, 0);
    Design best;
    Unevenness least{};
    const Unevenness perfect = least_uneven(things, size, count);
    for (int tried = 0; tried < k_most_initial; ++tried) {
        for (std::size_t i = 0; i < cycles_in; ++i)
            chosen[i] = i < with_last ? turns + stream.below(static_cast<std::uint32_t>(firsts.size() - turns)) : stream.below(static_cast<std::uint32_t>(turns));
        Design blocks = cycles(firsts, chosen, turning, things, size);
        blocks.resize(at(count));
        const Unevenness now = uneven(blocks, things);
        if (best.empty() || now < least) best = blocks, least = now;
        if (least == perfect) break;
    }
    return best;
}

/// A thing that comes most often gives way to one that comes least often, in a block where that spoils pairs least, until none comes twice more than another.
void level(Counted& now) {
    for (;;) {
        const auto [least, most] = now.extremes();
        if (now.count(most) - now.count(least) < 2) return;
        std::size_t best = now.blocks().size();
        Unevenness best_after{};
        for (std::size_t block = 0; block < now.blocks().size(); ++block) {
            const auto& members = now.blocks()[block];
            const auto has = [&](int thing) { return std::find(members.begin(), members.end(), thing) != members.end(); };
            if (!has(most) || has(least)) continue;
            now.take(block, most);
            now.put(block, least);
            if (best == now.blocks().size() || now.uneven() < best_after) best = block, best_after = now.uneven();
            now.take(block, least);
            now.put(block, most);
        }
        now.take(best, most);
        now.put(best, least);
    }
}

/// One thing of one block and one of another change places: nothing comes more or less often. Kept where pairs come out no less evenly, and now and then where they do.
void exchange(Counted& now, Design& best, const Unevenness& perfect, int count, int size, core::PhiloxStream& stream) {
    const auto holds = [&](std::size_t block, int thing) { return std::find(now.blocks()[block].begin(), now.blocks()[block].end(), thing) != now.blocks()[block].end(); };
    Unevenness least = now.uneven();
    best = now.blocks();
    for (int step = 0; step < k_exchanges && least != perfect; ++step) {
        const std::size_t one = stream.below(static_cast<std::uint32_t>(count)), other = stream.below(static_cast<std::uint32_t>(count));
        const int mine = now.blocks()[one][stream.below(static_cast<std::uint32_t>(size))], theirs = now.blocks()[other][stream.below(static_cast<std::uint32_t>(size))];
        if (holds(one, theirs) || holds(other, mine)) continue;
        const auto swap = [&](int from_one, int from_other) {
            now.take(one, from_one);
            now.take(other, from_other);
            now.put(one, from_other);
            now.put(other, from_one);
        };
        const Unevenness before = now.uneven();
        swap(mine, theirs);
        const Unevenness after = now.uneven();
        if (after > before && !(after.pairs <= before.pairs + 4 && stream.below(30) == 0)) swap(theirs, mine);
        if (now.uneven() < least) best = now.blocks(), least = now.uneven();
    }
}

}   // namespace

Design searched_blocks(int things, int size, int count) {
    core::PhiloxStream stream(k_seed, static_cast<std::uint64_t>((things * 100 + size) * 1000 + count));
    const Unevenness perfect = least_uneven(things, size, count);
    Design best;
    for (const int turning : {things, things - 1}) {
        if (turning < things && (size >= things || count % turning != 0)) continue;
        Design found = cyclic(things, size, count, turning, stream);
        if (best.empty() || uneven(found, things) < uneven(best, things)) best = std::move(found);
    }
    if (size < things && uneven(best, things) != perfect) {
        Counted now(best, things);
        level(now);
        exchange(now, best, perfect, count, size, stream);
    }
    for (auto& block : best) std::sort(block.begin(), block.end());
    return best;
}

}   // namespace oddplate::stats
