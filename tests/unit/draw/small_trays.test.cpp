#include <catch2/catch.hpp>

#include <algorithm>
#include <numeric>

#include "oddplate/core/philox.hpp"
#include "oddplate/draw/deal.hpp"
#include "oddplate/methods/method.hpp"
#include "oddplate/stats/blocks.hpp"

using namespace oddplate;

namespace {

methods::Plan ranking_of(int versions, int size, int tasters) {
    methods::Plan plan;
    plan.tasters = tasters;
    plan.spares = 0;
    for (int v = 0; v < versions; ++v) plan.versions.push_back({.id = "r" + std::to_string(v), .label = ""});
    methods::Round round;
    round.method = "ranking";
    round.spots = {"slice"};
    round.settings["tray_size"] = std::int64_t{size};
    plan.rounds.push_back(round);
    return plan;
}

core::Bytes32 seed_of(int number) {
    core::Bytes32 seed{};
    seed[0] = static_cast<unsigned char>(number);
    seed[1] = 77;
    return seed;
}

stats::Design trays_of(const draw::Drawn& drawn, int people) {
    stats::Design trays;
    for (int ballot = 0; ballot < people; ++ballot)
        for (const draw::KeySet& set : drawn.key.ballots[static_cast<std::size_t>(ballot)].sets) {
            trays.emplace_back();
            for (const draw::KeyPortion& portion : set.portions) trays.back().push_back(portion.version);
        }
    return trays;
}

/// Trays of recipes picked at random, as a cook without a plan would.
stats::Design random_trays(int versions, int size, int people, std::uint64_t number) {
    core::PhiloxStream stream(number, 4);
    stats::Design trays;
    for (int i = 0; i < people; ++i) {
        std::vector<int> all(static_cast<std::size_t>(versions));
        std::iota(all.begin(), all.end(), 0);
        for (std::size_t at = 0; at < static_cast<std::size_t>(size); ++at) std::swap(all[at], all[at + stream.below(static_cast<std::uint32_t>(all.size() - at))]);
        trays.emplace_back(all.begin(), all.begin() + size);
    }
    return trays;
}

}   // namespace

// The bound is that of a balanced design (John & Williams 1995, Cyclic and Computer Generated Designs, ch. 2). That a search over all blocks (not only those of the balanced
// set) reaches little more is held against stats::searched_blocks.
TEST_CASE("small trays: near the best design for the very number of people", "[draw]") {
    for (int versions = 4; versions <= 12; ++versions)
        for (int size = 2; size < std::min(versions, 6); ++size)
            for (const int people : {versions, versions + 3, 20, 31}) {
                if (people * (size - 1) < 2 * (versions - 1)) continue;   // hardly connected at all
                CAPTURE(versions, size, people);
                const auto drawn = draw::draw(ranking_of(versions, size, people), seed_of(versions * size + people));
                REQUIRE(drawn);
                REQUIRE(drawn->trays);
                CHECK(drawn->trays->connected);
                CHECK(drawn->trays->replications_spread <= 3);
                const auto searched = stats::design_report(stats::searched_blocks(versions, size, people), versions);
                CHECK(drawn->trays->a_efficiency > 0.97 * searched.a_efficiency);
                CHECK(drawn->trays->a_efficiency <= drawn->trays->bound * (1 + 1e-12));
                const auto counted = stats::design_report(trays_of(*drawn, people), versions);
                CHECK(counted.a_efficiency == Approx(drawn->trays->a_efficiency).epsilon(1e-12));
                CHECK(counted.places_spread <= 3);
                std::vector<double> at_random;
                for (std::uint64_t number = 0; number < 21; ++number) at_random.push_back(stats::design_report(random_trays(versions, size, people, number), versions).a_efficiency);
                std::sort(at_random.begin(), at_random.end());
                CHECK(drawn->trays->a_efficiency > at_random[10]);          // better than the usual one by chance
                CHECK(drawn->trays->a_efficiency > 0.99 * at_random[20]);   // and hardly behind the luckiest of 21
            }
}

TEST_CASE("small trays: twelve recipes in threes for twelve people, eight in threes for twenty", "[draw]") {
    const auto twelve = draw::draw(ranking_of(12, 3, 12), seed_of(1));
    REQUIRE(twelve);
    CHECK(twelve->trays->a_efficiency > 0.9 * twelve->trays->bound);
    CHECK(twelve->trays->replications_spread == 0);
    CHECK(twelve->trays->pairs_spread == 1);
    const auto eight = draw::draw(ranking_of(8, 3, 20), seed_of(2));
    REQUIRE(eight);
    CHECK(eight->trays->a_efficiency > 0.99 * eight->trays->bound);
    CHECK(eight->trays->replications_spread == 1);   // 60 portions over 8 recipes
}

TEST_CASE("small trays: whoever stays away, recipes were served about equally often", "[draw]") {
    for (const auto& [versions, size, people] : {std::tuple{12, 3, 40}, {8, 3, 20}, {4, 3, 48}, {10, 4, 30}}) {
        const auto drawn = draw::draw(ranking_of(versions, size, people), seed_of(people));
        REQUIRE(drawn);
        for (int came = versions; came <= people; ++came) {
            CAPTURE(versions, size, people, came);
            CHECK(stats::design_report(trays_of(*drawn, came), versions).replications_spread <= 3);
        }
    }
}

TEST_CASE("small trays: only plans that have them were drawn otherwise by earlier versions", "[draw]") {
    CHECK(draw::draws_alike(draw::k_draw_version, ranking_of(5, 3, 10)));
    CHECK(!draw::draws_alike(1, ranking_of(5, 3, 10)));
    CHECK(draw::draws_alike(1, ranking_of(5, 5, 10)));
    CHECK(!draw::draws_alike(2, ranking_of(5, 3, 10)));
    CHECK(draw::draws_alike(2, ranking_of(5, 5, 10)));
    CHECK(!draw::draws_alike(draw::k_draw_version + 1, ranking_of(5, 5, 10)));
    CHECK(!draw::draws_alike(0, ranking_of(5, 5, 10)));
}
