#include <catch2/catch.hpp>

#include <algorithm>
#include <numeric>

#include "oddplate/core/philox.hpp"
#include "draw/made_up.hpp"
#include "oddplate/draw/deal.hpp"
#include "oddplate/methods/method.hpp"
#include "oddplate/stats/blocks.hpp"

using namespace oddplate;

namespace {

methods::Plan ranking_of(int versions, int size, int tasters) { return made_up::plan_of_several("ranking", versions, size, tasters); }

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

TEST_CASE("small trays: only plans that have them, or several sittings, were drawn otherwise by earlier versions", "[draw]") {
    CHECK(draw::draws_alike(draw::k_draw_version, ranking_of(5, 3, 10)));
    CHECK(!draw::draws_alike(1, ranking_of(5, 3, 10)));
    CHECK(draw::draws_alike(1, ranking_of(5, 5, 10)));
    CHECK(!draw::draws_alike(2, ranking_of(5, 3, 10)));
    CHECK(draw::draws_alike(3, ranking_of(5, 3, 10)));
    CHECK(draw::draws_alike(2, ranking_of(5, 5, 10)));
    methods::Plan twice = ranking_of(6, 3, 10);
    twice.rounds[0].sittings = 2;
    CHECK(!draw::draws_alike(3, twice));
    CHECK(!draw::draws_alike(2, twice));
    CHECK(draw::draws_alike(draw::k_draw_version, twice));
    CHECK(!draw::draws_alike(draw::k_draw_version + 1, ranking_of(5, 5, 10)));
    CHECK(!draw::draws_alike(0, ranking_of(5, 5, 10)));
}

namespace {

const draw::Spread& spread_of(const draw::Drawn& drawn, const std::string& balance) {
    return *std::find_if(drawn.spreads.begin(), drawn.spreads.end(), [&](const draw::Spread& spread) { return spread.balance == balance; });
}

methods::Plan beside_the_usual(int versions, int size, int tasters) {
    methods::Plan plan = ranking_of(versions, size, tasters);
    plan.rounds[0].settings["usual_in_every_tray"] = true;
    return plan;
}

}   // namespace

TEST_CASE("small trays: the usual recipe on each, how well the others are compared with it", "[draw]") {
    for (int versions = 3; versions <= 12; ++versions)
        for (int size = 2; size < std::min(versions, 6); ++size)
            for (const int people : {versions, 20, 31}) {
                CAPTURE(versions, size, people);
                const auto drawn = draw::draw(beside_the_usual(versions, size, people), seed_of(versions * size + people));
                REQUIRE(drawn);
                CHECK(!drawn->trays);
                REQUIRE(drawn->beside_usual);
                CHECK(*drawn->beside_usual == Approx(stats::first_efficiency(trays_of(*drawn, people), versions)).epsilon(1e-12));
                CHECK(*drawn->beside_usual > 0.88);
                CHECK(*drawn->beside_usual <= 1 + 1e-12);
            }
    CHECK(!draw::draw(beside_the_usual(5, 5, 20), seed_of(1))->beside_usual);   // it lies on every tray as all do
    CHECK(draw::draw(beside_the_usual(5, 2, 3), seed_of(1))->beside_usual == 0.0);   // three trays, four others
}

TEST_CASE("small trays: spare ballots say nothing of how well planned ones compare the recipes", "[draw]") {
    methods::Plan plan = beside_the_usual(5, 2, 4);
    CHECK(*draw::draw(plan, seed_of(3))->beside_usual == Approx(1));
    plan.spares = 3;
    CHECK(*draw::draw(plan, seed_of(3))->beside_usual == Approx(1));
}

TEST_CASE("small trays: with so many ballots, or a multiple, they are as good as any", "[draw]") {
    const auto share_of = [](const draw::Drawn& drawn) { return drawn.beside_usual ? *drawn.beside_usual : drawn.trays->a_efficiency / drawn.trays->bound; };
    int known = 0;
    for (const bool usual : {false, true})
        for (int versions = 3; versions <= 9; ++versions)
            for (int size = 2; size < versions; ++size)
                for (const int spots : {1, 3}) {
                    CAPTURE(usual, versions, size, spots);
                    methods::Plan plan = usual ? beside_the_usual(versions, size, 5) : ranking_of(versions, size, 5);
                    if (spots == 3) {
                        plan.rounds[0].spots = {"lean", "middle", "fat"};
                        plan.rounds[0].spots_per_taster = 2;
                    }
                    const auto balanced_at = draw::draw(plan, seed_of(1))->balanced_at;
                    if (!balanced_at || *balanced_at > 150) continue;
                    ++known;
                    for (const int times : {1, 2}) {
                        plan.tasters = times * *balanced_at;
                        CHECK(share_of(*draw::draw(plan, seed_of(times))) == Approx(1).epsilon(1e-9));
                    }
                }
    CHECK(known > 80);
    CHECK(draw::draw(ranking_of(7, 3, 5), seed_of(1))->balanced_at == 7);
    methods::Plan plan = ranking_of(7, 3, 5);
    plan.rounds[0].sets_per_taster = 2;
    CHECK(draw::draw(plan, seed_of(1))->balanced_at == 7);   // 14 trays
    plan.rounds[0].sets_per_taster = 7;
    CHECK(draw::draw(plan, seed_of(1))->balanced_at == 1);
    plan.first_ballots["slice"] = 3;
    CHECK(!draw::draw(plan, seed_of(1))->balanced_at);
    CHECK(!draw::draw(ranking_of(12, 5, 20), seed_of(1))->balanced_at);   // no balanced trays of five are known
    CHECK(!draw::draw(ranking_of(5, 5, 20), seed_of(1))->balanced_at);
}

TEST_CASE("small trays: what is uneven on purpose is not held against the rest", "[draw]") {
    // The usual one on 20 trays, each of four others on 10; each pair of others on 3 or 4.
    const auto usual = draw::draw(beside_the_usual(5, 3, 20), seed_of(5));
    REQUIRE(usual);
    CHECK(spread_of(*usual, "recipes_on_a_tray").spread == 1);
    CHECK(spread_of(*usual, "recipes_on_a_tray").least == 1);   // 20 trays, six pairs of others
    CHECK(spread_of(*usual, "recipes_by_place").spread <= 3);
    CHECK(spread_of(*usual, "recipe_after_recipe").spread <= 4);
    // Trays of two: how often the usual one meets each other one is what there is to count.
    CHECK(spread_of(*draw::draw(beside_the_usual(5, 2, 22), seed_of(5)), "recipes_on_a_tray").spread == 1);
    CHECK(spread_of(*draw::draw(beside_the_usual(5, 2, 22), seed_of(5)), "recipes_on_a_tray").least == 1);

    methods::Plan last = ranking_of(5, 5, 24);
    last.rounds[0].settings["strongest_last"] = true;
    last.rounds[0].stronger = 2;
    const auto drawn = draw::draw(last, seed_of(5));
    REQUIRE(drawn);
    CHECK(spread_of(*drawn, "recipes_by_place").spread == 0);   // four others, 24 times at each of four places
    CHECK(spread_of(*drawn, "recipe_after_recipe").spread == 0);
}

TEST_CASE("small trays: where the sum of the counts can't be dealt evenly, they differ by one at least", "[draw]") {
    for (const auto& [people, pairs] : {std::pair{10, 0}, {11, 1}, {13, 1}, {20, 0}}) {   // ten pairs, three a tray
        CAPTURE(people);
        const auto drawn = draw::draw(ranking_of(5, 3, people), seed_of(people));
        REQUIRE(drawn);
        CHECK(spread_of(*drawn, "recipes_on_a_tray").least == pairs);
        CHECK(spread_of(*drawn, "recipes_on_a_tray").spread >= pairs);
    }
    CHECK(spread_of(*draw::draw(ranking_of(5, 5, 20), seed_of(1)), "recipes_by_place").least == 0);
    CHECK(spread_of(*draw::draw(ranking_of(5, 5, 21), seed_of(1)), "recipes_by_place").least == 1);
}
