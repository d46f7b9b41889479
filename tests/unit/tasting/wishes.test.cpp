// What people type into the questions of a plan.

#include <catch2/catch.hpp>

#include "oddplate/tasting/wishes.hpp"

using namespace oddplate;

TEST_CASE("wishes: a number has a point or a comma, and nothing around it", "[wishes]") {
    CHECK(tasting::number_in("0.35") == 0.35);
    CHECK(tasting::number_in("0,35") == 0.35);
    CHECK(tasting::number_in("12") == 12);
    for (const char* none : {"", " 1", "1 g", "1.2.3", "one", "1e999"}) CHECK_FALSE(tasting::number_in(none).has_value());
}

TEST_CASE("wishes: names stand between commas", "[wishes]") {
    CHECK(tasting::names_in("edge, burnt end ,, centre,") == std::vector<std::string>{"edge", "burnt end", "centre"});
    CHECK(tasting::names_in(" , ").empty());
}
