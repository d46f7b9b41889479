// Which passes of a spot are blank. For each spot a list of passes, so many of them blank, is shuffled and dealt in all its turns, so
// that after as many ballots as there are passes every pass was blank equally often.

#include <algorithm>

#include "parts.hpp"

namespace oddplate::draw {
namespace {

class BlankPasses {
public:
    BlankPasses(const methods::Round& round, core::ChanceStream& chance)
        : m_passes(round.passes()), m_blanks(round.blank_sets), m_chance(chance), m_left(round.spots.size()) {}

    /// One flag a pass, for one ballot at this spot.
    std::vector<bool> take(int spot) {
        Table& left = m_left[at(spot)];
        if (left.empty()) refill(left);
        const std::vector<int> flags = left.back();
        left.pop_back();
        return {flags.begin(), flags.end()};
    }

private:
    void refill(Table& left) {
        std::vector<int> flags(at(m_passes), 0);
        std::fill_n(flags.begin(), m_blanks, 1);
        m_chance.shuffle(flags);
        for (int turn = 0; turn < m_passes; ++turn) {
            left.push_back(flags);
            std::rotate(flags.begin(), flags.begin() + 1, flags.end());
        }
        m_chance.shuffle(left);
    }

    int m_passes, m_blanks;
    core::ChanceStream& m_chance;
    std::vector<Table> m_left;   // by spot
};

}   // namespace

Table mark_blanks(const methods::Round& round, Table served, core::ChanceStream& chance) {
    if (round.blank_sets == 0) return served;
    BlankPasses passes(round, chance);
    const int spots = static_cast<int>(round.spots.size());
    for (std::vector<int>& sets : served) {
        std::vector<std::vector<bool>> flags(at(spots));
        std::vector<std::size_t> next(at(spots), 0);
        for (int& spot : sets) {
            const std::size_t here = at(spot);
            if (flags[here].empty()) flags[here] = passes.take(spot);
            if (flags[here][next[here]++]) spot += spots;
        }
    }
    return served;
}

}   // namespace oddplate::draw
