// Who gets which spots. Where a taster gets fewer spots than the round has, the balanced sets are dealt in blocks of one whole
// collection; from what is left of a block a ballot takes the set whose spots, then whose pairs, have been served least. A scarce
// spot is there for the first ballots alone.

#include <algorithm>
#include <array>
#include <map>
#include <string>

#include "oddplate/stats/blocks.hpp"
#include "parts.hpp"

namespace oddplate::draw {
namespace {

class Chooser {
public:
    Chooser(int spots, int size, core::ChanceStream& chance)
        : m_size(size), m_chance(chance), m_spots(at(spots), 0), m_pairs(at(spots), std::vector<int>(at(spots), 0)) {}

    /// A set of m_size of these spots.
    std::vector<int> take(const std::vector<int>& available) {
        Table& left = m_left[available];
        if (left.empty()) {
            left = whole_block(available);
        }
        const auto best =
            std::min_element(left.begin(), left.end(), [&](const auto& a, const auto& b) { return served(a) < served(b); });
        std::vector<int> set = *best;
        left.erase(best);
        note(set);
        return set;
    }

    void note(const std::vector<int>& set) {
        for (const int spot : set) {
            ++m_spots[at(spot)];
            for (const int other : set) {
                ++m_pairs[at(spot)][at(other)];
            }
        }
    }

private:
    Table whole_block(const std::vector<int>& available) {
        // The names stay: other sets each time would split the ballots into more groups, whose rows never close.
        std::vector<int>& names = m_names[available];
        if (names.empty()) {
            names = available;
            m_chance.shuffle(names);
        }
        Table sets = stats::balanced_blocks(static_cast<int>(names.size()), m_size);
        for (std::vector<int>& set : sets) {
            for (int& spot : set) {
                spot = names[at(spot)];
            }
            std::sort(set.begin(), set.end());
        }
        m_chance.shuffle(sets);
        return sets;
    }

    [[nodiscard]] std::array<int, 2> served(const std::vector<int>& set) const {
        int singles = 0, pairs = 0;
        for (std::size_t i = 0; i < set.size(); ++i) {
            singles += m_spots[at(set[i])];
            for (std::size_t j = i + 1; j < set.size(); ++j) {
                pairs += m_pairs[at(set[i])][at(set[j])];
            }
        }
        return {singles, pairs};
    }

    int m_size;
    core::ChanceStream& m_chance;
    std::vector<int> m_spots;   // how often served
    Table m_pairs;
    std::map<std::vector<int>, Table> m_left;   // what is left of the block, by the spots there are
    std::map<std::vector<int>, std::vector<int>> m_names;
};

core::Error too_many_ways(int round, int size, int spots) {
    return core::found(
        "/rounds/" + std::to_string(round) + "/spots_per_taster",
        std::to_string(size) + " of " + std::to_string(spots) + " spots",
        "at most " + std::to_string(stats::k_most_blocks) + " different choices, so that pairs of spots come equally often",
        "fewer spots, or one more or fewer a taster", "too-many-choices");
}

}   // namespace

std::vector<int> available_spots(const methods::Plan& plan, const methods::Round& round, int ballot) {
    std::vector<int> spots;
    for (std::size_t spot = 0; spot < round.spots.size(); ++spot) {
        const auto scarce = plan.first_ballots.find(round.spots[spot]);
        if (scarce == plan.first_ballots.end() || ballot < scarce->second) {
            spots.push_back(static_cast<int>(spot));
        }
    }
    return spots;
}

core::Result<Table> choose_spots(const methods::Plan& plan, int round, core::ChanceStream& chance) {
    const methods::Round& asked = plan.rounds[at(round)];
    const int size = asked.spots_each();
    const int spots = static_cast<int>(asked.spots.size());
    if (size < spots && stats::balanced_blocks(spots, size).empty()) {
        return too_many_ways(round, size, spots);
    }
    Chooser chooser(spots, size, chance);
    Table chosen;
    for (int ballot = 0; ballot < plan.ballots(); ++ballot) {
        const std::vector<int> available = available_spots(plan, asked, ballot);
        if (static_cast<int>(available.size()) <= size) {
            chooser.note(available);
            chosen.push_back(available);
            continue;
        }
        chosen.push_back(chooser.take(available));
    }
    return chosen;
}

}   // namespace oddplate::draw
