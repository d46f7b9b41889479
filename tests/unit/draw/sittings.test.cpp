// Several sittings: whoever comes, recipes stand about equally often at each place of a tray and come about equally often at each sitting.

#include <catch2/catch.hpp>

#include <algorithm>
#include <map>
#include <set>
#include <vector>

#include "oddplate/draw/deal.hpp"
#include "oddplate/methods/method.hpp"

using namespace oddplate;

namespace {

methods::Plan rating_of(int versions, int sittings, int tasters, int spares) {
    methods::Plan plan;
    plan.tasters = tasters;
    plan.spares = spares;
    for (int v = 0; v < versions; ++v) plan.versions.push_back({.id = "r" + std::to_string(v), .label = ""});
    methods::Round round;
    round.method = "rating";
    round.spots = {"slice"};
    round.sittings = sittings;
    round.sets_per_taster = sittings;
    round.settings["tray_size"] = std::int64_t{versions / sittings};
    plan.rounds.push_back(round);
    return plan;
}

core::Bytes32 seed_of(int number) {
    core::Bytes32 seed{};
    seed[0] = static_cast<unsigned char>(number);
    seed[1] = 41;
    return seed;
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
                    const auto drawn = draw::draw(rating_of(versions, sittings, people, 4), seed_of(seed));
                    REQUIRE(drawn);
                    const auto [places, at_sittings] = spreads(*drawn, versions, sittings, people);
                    CHECK(places <= (versions / sittings > 3 ? 6 : 4));
                    CHECK(at_sittings <= 8);
                    CHECK(spreads(*drawn, versions, sittings, people + 4).first <= 7);   // with the spares
                    CHECK(spreads(*drawn, versions, sittings, people / 2).first <= 12);   // whoever stays away
                }
        }
}
