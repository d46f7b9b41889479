// Whole pieces of meat: like portions from one piece, pieces evenly over spots, versions and serving orders.

#include <catch2/catch.hpp>
#include <map>
#include <tuple>

#include "draw/made_up.hpp"

using namespace oddplate;

namespace {

draw::Drawn drawn(int tasters, int pieces, const std::vector<methods::Order>& orders, unsigned seed) {
    methods::Plan plan = made_up::plan(tasters, {made_up::round({"edge", "centre"})});
    plan.pieces = pieces;
    auto answer = draw::deal(plan, {orders}, made_up::seed(seed));
    REQUIRE(answer);
    return *answer;
}

}   // namespace

TEST_CASE("pieces: one piece a version is piece 0 everywhere", "[draw][pieces]") {
    for (const draw::KeyBallot& ballot : drawn(12, 1, made_up::odd_one_out(), 1).key.ballots) {
        for (const draw::KeySet& set : ballot.sets) {
            for (const draw::KeyPortion& portion : set.portions) {
                CHECK(portion.piece == 0);
            }
        }
    }
}

TEST_CASE("pieces: like portions of a set are neighbours, the reference too", "[draw][pieces]") {
    const auto orders = GENERATE(made_up::odd_one_out(), made_up::with_reference());
    for (const draw::KeyBallot& ballot : drawn(24, 3, orders, 2).key.ballots) {
        for (const draw::KeySet& set : ballot.sets) {
            std::map<int, int> piece;
            for (const draw::KeyPortion& portion : set.portions) {
                CHECK(piece.try_emplace(portion.version, portion.piece).first->second == portion.piece);
            }
            CHECK((set.reference < 0 || piece.at(set.reference) == set.reference_piece));
        }
    }
}

TEST_CASE("pieces: at every prefix a spot has had each piece of a version equally often, or one more", "[draw][pieces]") {
    for (const int pieces : {2, 3, 4}) {
        const draw::Drawn draw = drawn(50, pieces, made_up::odd_one_out(), 3);
        std::map<std::pair<int, int>, std::vector<int>> counts;   // spot and version -> sets by piece
        for (std::size_t ballot = 0; ballot < draw.room.ballots.size(); ++ballot) {
            for (std::size_t set = 0; set < 2; ++set) {
                std::map<int, int> piece;
                for (const draw::KeyPortion& portion : draw.key.ballots[ballot].sets[set].portions) {
                    piece[portion.version] = portion.piece;
                }
                for (const auto& [version, number] : piece) {
                    std::vector<int>& mine = counts[{draw.room.ballots[ballot].sets[set].spot, version}];
                    mine.resize(static_cast<std::size_t>(pieces), 0);
                    ++mine.at(static_cast<std::size_t>(number));
                    REQUIRE(made_up::spread(mine) <= 1);
                }
            }
        }
        CHECK(counts.size() == 4);
    }
}

TEST_CASE("pieces: serving orders share the pieces, and pieces of two versions meet equally often", "[draw][pieces]") {
    int widest = 0, widest_pair = 0;
    for (unsigned seed = 0; seed < 50; ++seed) {
        std::map<std::pair<int, int>, std::vector<int>> by_order;
        std::vector<int> together(4, 0);
        for (const draw::KeyBallot& ballot : drawn(60, 2, made_up::odd_one_out(), seed).key.ballots) {
            for (const draw::KeySet& set : ballot.sets) {
                std::map<int, int> piece;
                for (const draw::KeyPortion& portion : set.portions) {
                    piece[portion.version] = portion.piece;
                }
                for (const auto& [version, number] : piece) {
                    std::vector<int>& mine = by_order[{set.order, version}];
                    mine.resize(2, 0);
                    ++mine[static_cast<std::size_t>(number)];
                }
                ++together[static_cast<std::size_t>(2 * piece[0] + piece[1])];
            }
        }
        for (const auto& [order, counts] : by_order) {
            widest = std::max(widest, made_up::spread(counts));
        }
        widest_pair = std::max(widest_pair, made_up::spread(together));
    }
    // Of 20 sets an order and version, 120 pairs of pieces. By lot alone the widest of 600 would be about 14.
    CAPTURE(widest, widest_pair);
    CHECK(widest <= 5);        // measured 4
    CHECK(widest_pair <= 8);   // measured 6
}
