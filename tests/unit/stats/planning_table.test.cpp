#include <catch2/catch.hpp>

#include "oddplate/stats/power.hpp"

using namespace oddplate;

TEST_CASE("planning table: every cell is the single question's answer", "[stats][exhaustive]") {
    for (const double chance : {1.0 / 3, 0.5, 0.1, 1.0 / 6}) {
        for (const auto& row : stats::planning_table(chance)) {
            const auto single = stats::size_difference(chance, chance + (1 - chance) * row.discriminators, row.alpha, row.power);
            CAPTURE(chance, row.alpha, row.power, row.discriminators);
            REQUIRE(single);
            CHECK(row.tasters == single->tasters);
            CHECK(row.tasters_safe == single->tasters_safe);
        }
    }
}

TEST_CASE("planning table: rows run over alpha, power, discriminators", "[stats]") {
    const auto rows = stats::planning_table(1.0 / 3);
    CHECK(rows.front().alpha == 0.2);
    CHECK(rows.front().power == 0.5);
    CHECK(rows.front().discriminators == 0.5);
    CHECK(rows[1].discriminators == 0.4);
    CHECK(rows[5].power == 0.8);
    CHECK(rows[25].alpha == 0.1);
    CHECK(rows.back().alpha == 0.001);
    CHECK(rows.back().power == 0.99);
    CHECK(rows.back().discriminators == 0.1);
    for (const auto& row : rows) CHECK(row.tasters <= row.tasters_safe);
}
