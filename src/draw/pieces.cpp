// Which whole piece each portion is cut from. Like portions of one set come from one piece (neighbouring slices: common
// practice), so each version in a set has one piece. Pieces are dealt in permuted blocks for each spot and version; from what is
// left of a block a set takes the piece that its serving order has had least, then the one that has been least beside the pieces
// already on the tray.

#include <algorithm>
#include <array>
#include <map>

#include "parts.hpp"

namespace oddplate::draw {
namespace {

/// What stands apart on the tray: versions, or in a blank set what they stand in for.
std::vector<int> versions_of(const KeySet& set) {
    std::vector<int> versions;
    for (const KeyPortion& portion : set.portions) {
        versions.push_back(portion.stands_for());
    }
    if (set.reference >= 0) {
        versions.push_back(set.reference_stands_for());
    }
    std::sort(versions.begin(), versions.end());
    versions.erase(std::unique(versions.begin(), versions.end()), versions.end());
    return versions;
}

/// The pieces of one round.
class Pieces {
public:
    Pieces(int pieces, core::ChanceStream& chance) : m_pieces(pieces), m_chance(chance) {}

    void deal(int spot, KeySet& set) {
        std::map<int, int> taken;   // version -> piece
        if (set.is_blank()) {
            deal_blank(spot, versions_of(set), taken);
        } else {
            for (const int version : versions_of(set)) {
                taken[version] = take(spot, set.order, version, taken);
            }
        }
        for (KeyPortion& portion : set.portions) {
            portion.piece = taken.at(portion.stands_for());
        }
        if (set.reference >= 0) {
            set.reference_piece = taken.at(set.reference_stands_for());
        }
    }

private:
    /// Different pieces of the current recipe, from blocks of the spot's blank sets: what is left of a block first.
    void deal_blank(int spot, const std::vector<int>& roles, std::map<int, int>& taken) {
        std::vector<int>& left = m_blank[spot];
        std::vector<int> used;
        for (const int role : roles) {
            const auto fits = [&](int piece) { return std::find(used.begin(), used.end(), piece) == used.end(); };
            if (std::none_of(left.begin(), left.end(), fits)) {
                std::vector<int> block;
                for (int piece = 0; piece < m_pieces; ++piece) {
                    block.push_back(piece);
                }
                m_chance.shuffle(block);
                left.insert(left.end(), block.begin(), block.end());
            }
            const auto piece = std::find_if(left.begin(), left.end(), fits);
            used.push_back(*piece);
            taken[role] = *piece;
            left.erase(piece);
        }
    }

    int take(int spot, int order, int version, const std::map<int, int>& taken) {
        std::vector<int>& left = m_left[{spot, version}];
        if (left.empty()) {
            for (int piece = 0; piece < m_pieces; ++piece) {
                left.push_back(piece);
            }
            m_chance.shuffle(left);
        }
        const auto used = [&](int piece) { return std::array{m_orders[{order, version, piece}], beside(version, piece, taken)}; };
        const auto best = std::min_element(left.begin(), left.end(), [&](int a, int b) { return used(a) < used(b); });
        const int piece = *best;
        left.erase(best);
        ++m_orders[{order, version, piece}];
        for (const auto& [other, other_piece] : taken) {
            ++m_beside[{other, other_piece, version, piece}];
        }
        return piece;
    }

    int beside(int version, int piece, const std::map<int, int>& taken) {
        int sum = 0;
        for (const auto& [other, other_piece] : taken) {
            sum += m_beside[{other, other_piece, version, piece}];
        }
        return sum;
    }

    int m_pieces;
    core::ChanceStream& m_chance;
    std::map<int, std::vector<int>> m_blank;                 // spot -> what is left of its blank sets' blocks
    std::map<std::array<int, 2>, std::vector<int>> m_left;   // spot, version -> what is left of the block
    std::map<std::array<int, 3>, int> m_orders;              // order, version, piece -> sets
    std::map<std::array<int, 4>, int> m_beside;              // version, piece, version, piece -> sets
};

}   // namespace

void draw_pieces(const methods::Plan& plan, const Room& room, Key& key, const core::Bytes32& seed) {
    if (plan.pieces == 1) {
        return;   // piece 0 everywhere
    }
    for (int round = 0; round < static_cast<int>(plan.rounds.size()); ++round) {
        core::ChanceStream chance(seed, core::Purpose::pieces, static_cast<std::uint64_t>(round));
        Pieces pieces(plan.pieces, chance);
        for (std::size_t ballot = 0; ballot < key.ballots.size(); ++ballot) {
            for (std::size_t set = 0; set < key.ballots[ballot].sets.size(); ++set) {
                const RoomSet& shown = room.ballots[ballot].sets[set];
                if (shown.round == round) {
                    pieces.deal(shown.spot, key.ballots[ballot].sets[set]);
                }
            }
        }
    }
}

}   // namespace oddplate::draw
