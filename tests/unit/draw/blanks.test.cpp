// Blank sets: two different pieces of the current recipe, as many a spot as asked for, in every pass equally often, and nothing of
// it on the room's side.

#include <catch2/catch.hpp>
#include <map>
#include <set>

#include "oddplate/core/bytes.hpp"
#include "oddplate/draw/draw.hpp"

using namespace oddplate;

namespace {

draw::Drawn drawn(int tasters, int sets, int blanks, int pieces, const std::string& method = "triangle") {
    methods::Plan plan;
    plan.versions = {{"current", "current"}, {"new", "new"}};
    plan.tasters = tasters;
    plan.pieces = pieces;
    methods::Round round;
    round.method = method;
    round.spots = {"edge", "centre"};
    round.sets_per_taster = sets;
    round.blank_sets = blanks;
    plan.rounds = {round};
    auto answer = draw::draw(plan, core::sha256("blanks"));
    REQUIRE(answer.ok());
    return *answer;
}

}   // namespace

TEST_CASE("a blank set holds two pieces of the current recipe, laid out as another set", "[draw][blanks]") {
    for (const int pieces : {2, 3, 5}) {
        const draw::Drawn made = drawn(24, 1, 1, pieces);
        for (std::size_t ballot = 0; ballot < made.key.ballots.size(); ++ballot) {
            std::map<int, int> blank, other;   // by spot
            for (std::size_t s = 0; s < made.key.ballots[ballot].sets.size(); ++s) {
                const draw::KeySet& set = made.key.ballots[ballot].sets[s];
                ++(set.is_blank() ? blank : other)[made.room.ballots[ballot].sets[s].spot];
                std::set<std::pair<int, int>> held;
                std::multiset<int> roles;
                for (const draw::KeyPortion& portion : set.portions) {
                    held.emplace(portion.version, portion.piece);
                    roles.insert(portion.stands_for());
                    if (set.is_blank()) CHECK(portion.version == 0);
                }
                CHECK(held.size() == 2);   // two pieces, or two recipes
                CHECK((roles.count(0) == 1 || roles.count(1) == 1));
            }
            CHECK(blank == std::map<int, int>{{0, 1}, {1, 1}});
            CHECK(other == blank);
        }
    }
}

TEST_CASE("every pass is blank equally often, and orders stay balanced among blanks", "[draw][blanks]") {
    const draw::Drawn made = drawn(36, 2, 1, 2);
    std::map<std::pair<int, int>, int> by_pass;    // spot, pass
    std::map<std::pair<int, int>, int> by_order;   // spot, order
    for (std::size_t ballot = 0; ballot < made.key.ballots.size(); ++ballot) {
        std::map<int, int> passes;
        for (std::size_t s = 0; s < made.key.ballots[ballot].sets.size(); ++s) {
            const int spot = made.room.ballots[ballot].sets[s].spot, pass = passes[spot]++;
            if (!made.key.ballots[ballot].sets[s].is_blank()) continue;
            ++by_pass[{spot, pass}];
            ++by_order[{spot, made.key.ballots[ballot].sets[s].order}];
        }
    }
    for (const auto& [where, times] : by_pass) CHECK(times == 12);
    CHECK(by_pass.size() == 6);
    for (const auto& [where, times] : by_order) CHECK(times == 6);
    CHECK(by_order.size() == 12);
}
