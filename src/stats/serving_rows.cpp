// Rows for trays. Tests: tests/unit/stats/blocks.test.cpp

#include <algorithm>
#include <map>
#include <mutex>
#include <tuple>

#include "oddplate/stats/blocks.hpp"

namespace oddplate::stats {
namespace {

constexpr std::size_t k_most_kept = 70;   // blocks of a balanced design that is served: of more, those that a few dozen people get stand unevenly in their places

std::size_t at(int index) { return static_cast<std::size_t>(index); }

/// Whether every thing, and every pair of things, comes equally often.
bool is_balanced(const Design& blocks, int things) {
    const DesignReport report = design_report(blocks, things);
    return report.replications_spread == 0 && report.pairs_spread == 0;
}

/// The balanced design of fewest blocks that we have, or can find in whole cycles of `things` or of one less.
Design fewest_balanced(int things, int size) {
    const Design known = balanced_blocks(things, size);
    const auto pairs = static_cast<std::size_t>(things) * (at(things) - 1);
    const std::size_t most = known.empty() ? k_most_kept : std::min(known.size(), k_most_kept + 1);
    for (std::size_t count = at(things); count < most; ++count) {
        const std::size_t places = count * at(size);
        if (places % at(things) != 0 || places * (at(size) - 1) % pairs != 0 || (count % at(things) != 0 && count % (at(things) - 1) != 0)) continue;
        Design found = searched_blocks(things, size, static_cast<int>(count));
        if (is_balanced(found, things)) return found;
    }
    return known.size() > k_most_kept ? Design{} : known;
}

/// Deals each block's things to places so that every thing comes to every place equally often, to within one: place by place, a matching of blocks to
/// their things in which every thing is taken for its share, rounded down or up, of what it still has to give. One always exists, for taking each thing that
/// is left in a block with equal weight is one in fractions (Koenig 1916; the Youden arrangement of balanced blocks).
class Places {
public:
    Places(Design blocks, int things) : m_left(std::move(blocks)), m_rows(m_left.size()), m_things(at(things)) {}

    Design deal() {
        while (!m_left.front().empty()) next_place();
        return m_rows;
    }

private:
    void next_place() {
        std::vector<int> remaining(m_things, 0);
        for (const auto& block : m_left)
            for (const int thing : block) ++remaining[at(thing)];
        const int places = static_cast<int>(m_left.front().size());
        m_share.assign(m_things, 0);
        m_taken_by.assign(m_things, {});
        std::vector<bool> placed(m_left.size(), false);
        for (const int up : {0, places - 1}) {   // first the shares rounded down, so that no thing is left behind; what is taken stays taken
            for (std::size_t i = 0; i < m_things; ++i) m_share[i] = (remaining[i] + up) / places;
            for (std::size_t block = 0; block < m_left.size(); ++block) {
                std::vector<bool> seen(m_things, false);
                if (!placed[block]) placed[block] = augment(block, seen);
            }
        }
        for (std::size_t thing = 0; thing < m_things; ++thing)
            for (const std::size_t block : m_taken_by[thing]) {
                m_rows[block].push_back(static_cast<int>(thing));
                std::erase(m_left[block], static_cast<int>(thing));
            }
    }

    bool augment(std::size_t block, std::vector<bool>& seen) {
        for (const int name : m_left[block]) {
            const std::size_t thing = at(name);
            if (seen[thing]) continue;
            seen[thing] = true;
            auto& holders = m_taken_by[thing];
            if (static_cast<int>(holders.size()) < m_share[thing]) {
                holders.push_back(block);
                return true;
            }
            for (std::size_t i = 0; i < holders.size(); ++i) {
                const std::size_t other = holders[i];
                if (!augment(other, seen)) continue;
                m_taken_by[thing][i] = block;
                return true;
            }
        }
        return false;
    }

    Design m_left, m_rows;
    std::size_t m_things;
    std::vector<int> m_share;
    std::vector<std::vector<std::size_t>> m_taken_by;
};

}   // namespace

Design williams_rows(int size) {
    // The first row goes 0, 1, size-1, 2, size-2, ...; the others add 1, 2, ... to it.
    Design rows;
    for (int shift = 0; shift < size; ++shift) {
        std::vector<int> row;
        for (int place = 0; place < size; ++place) {
            const int first = place % 2 == 1 ? (place + 1) / 2 : (size - place / 2) % size;
            row.push_back((first + shift) % size);
        }
        rows.push_back(row);
    }
    if (size % 2 == 1 && size > 1) {
        for (int shift = 0; shift < size; ++shift) {
            rows.emplace_back(rows[static_cast<std::size_t>(shift)].rbegin(), rows[static_cast<std::size_t>(shift)].rend());
        }
    }
    return rows;
}

namespace {

/// Thing 0 on every tray, beside a block of the others.
Design with_first(Design blocks) {
    for (auto& block : blocks) {
        for (int& thing : block) ++thing;
        block.insert(block.begin(), 0);
    }
    return blocks;
}

ServingRows made_rows(int things, int size, bool first_in_all) {
    ServingRows answer;
    if (size == things) {
        answer.rows = williams_rows(size);
        answer.batch = size;
        return answer;
    }
    const int others = first_in_all ? things - 1 : things, of_them = first_in_all ? size - 1 : size;
    Design blocks = fewest_balanced(others, of_them);
    if (blocks.empty()) blocks = searched_blocks(others, of_them, 2 * others);
    if (first_in_all) blocks = with_first(std::move(blocks));
    const Design base = Places(std::move(blocks), things).deal();
    answer.batch = static_cast<int>(base.size());
    for (const std::vector<int>& places : williams_rows(size))
        for (const std::vector<int>& row : base) {
            std::vector<int> served;
            for (const int place : places) served.push_back(row[at(place)]);
            answer.rows.push_back(served);
        }
    return answer;
}

}   // namespace

ServingRows serving_rows(int things, int size, bool first_in_all) {
    // A search may take a tenth of a second, and simulations ask for the same rows again and again.
    static std::mutex guard;
    static std::map<std::tuple<int, int, bool>, ServingRows> made;
    const std::lock_guard lock(guard);
    const auto [at_key, fresh] = made.try_emplace({things, size, first_in_all && size > 1});
    if (fresh) at_key->second = made_rows(things, size, first_in_all && size > 1);
    return at_key->second;
}

}   // namespace oddplate::stats
