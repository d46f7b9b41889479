// Several sittings: whoever comes, recipes stand about equally often at each place of a tray and come about equally often at each sitting.

#include <catch2/catch.hpp>

#include <algorithm>
#include <map>
#include <set>
#include <vector>

#include "draw/made_up.hpp"
#include "oddplate/draw/deal.hpp"
#include "oddplate/methods/method.hpp"

using namespace oddplate;

namespace {

methods::Plan rating_of(int versions, int sittings, int tasters, int spares) {
    methods::Plan plan = made_up::plan_of_several("rating", versions, versions / sittings, tasters, spares);
    plan.rounds[0].sittings = plan.rounds[0].sets_per_taster = sittings;
    return plan;
}

int spread(const std::map<std::pair<int, int>, int>& counts, std::size_t cells) {
    const auto [least, most] = std::minmax_element(counts.begin(), counts.end(), [](const auto& a, const auto& b) { return a.second < b.second; });
    return most->second - (counts.size() < cells ? 0 : least->second);
}

/// Over the first `people`: the spread of the counts of (recipe, place on its tray), and of (recipe, sitting).
std::pair<int, int> spreads(const draw::Drawn& drawn, int versions, int sittings, int people) {
    std::map<std::pair<int, int>, int> places, at_sittings;
    for (int ballot = 0; ballot < people; ++ballot) {
        const auto& sets = drawn.key.ballots[static_cast<std::size_t>(ballot)].sets;
        REQUIRE(sets.size() == static_cast<std::size_t>(sittings));
        std::set<int> tasted;
        for (std::size_t sitting = 0; sitting < sets.size(); ++sitting)
            for (std::size_t place = 0; place < sets[sitting].portions.size(); ++place) {
                const int recipe = sets[sitting].portions[place].version;
                CHECK(tasted.insert(recipe).second);
                ++places[{recipe, static_cast<int>(place)}];
                ++at_sittings[{recipe, static_cast<int>(sitting)}];
            }
        CHECK(tasted.size() == static_cast<std::size_t>(versions));
    }
    return {spread(places, static_cast<std::size_t>(versions * versions / sittings)), spread(at_sittings, static_cast<std::size_t>(versions * sittings))};
}

}   // namespace

// Shuffled alone, twelve recipes over three sittings of 24 people come out 7 to 10 apart.
TEST_CASE("sittings: every recipe once a person, at each place and each sitting about equally often", "[draw]") {
    for (int versions = 4; versions <= 12; ++versions)
        for (int sittings = 2; 2 * sittings <= versions; ++sittings) {
            if (versions % sittings != 0) continue;
            for (const int people : {6, 12, 24, 30, 48, 100})
                for (int seed = 0; seed < 3; ++seed) {
                    CAPTURE(versions, sittings, people, seed);
                    const auto drawn = draw::draw(rating_of(versions, sittings, people, 4), made_up::seed(static_cast<unsigned>(seed)));
                    REQUIRE(drawn);
                    const auto [places, at_sittings] = spreads(*drawn, versions, sittings, people);
                    CHECK(places <= std::max(6, people / 10));
                    CHECK(at_sittings <= 8);
                    CHECK(spreads(*drawn, versions, sittings, people + 4).first <= std::max(7, people / 10));   // with the spares
                    CHECK(spreads(*drawn, versions, sittings, people / 2).first <= 12);   // whoever stays away
                }
        }
}

TEST_CASE("sittings: with as many people as are named, no trays would compare the recipes better", "[draw]") {
    for (const auto& [versions, sittings, splits] : {std::tuple{4, 2, 3}, {6, 2, 10}, {6, 3, 5}, {8, 2, 7}, {8, 4, 7}, {9, 3, 4}, {12, 2, 11}, {12, 6, 11}}) {
        CAPTURE(versions, sittings);
        const auto drawn = draw::draw(rating_of(versions, sittings, splits, 0), made_up::seed(1));
        REQUIRE(drawn);
        CHECK(drawn->balanced_at == splits);
        REQUIRE(drawn->trays);
        CHECK(drawn->trays->a_efficiency == Approx(drawn->trays->bound).epsilon(1e-9));
    }
}
