#include "oddplate/stats/power.hpp"

#include <catch2/catch.hpp>

#include <array>
#include <vector>

#include "oddplate/stats/binomial.hpp"

using namespace oddplate;

namespace {

struct Block {
    double pd;
    std::vector<std::vector<int>> first;   // by alpha, by power; 0: not compared
};
constexpr std::array<double, 5> k_alphas{0.2, 0.1, 0.05, 0.01, 0.001};
constexpr std::array<double, 5> k_misses{0.2, 0.1, 0.05, 0.01, 0.001};

template <class Size>
void check_first(const std::vector<Block>& table, Size size) {
    for (const Block& block : table) {
        for (std::size_t a = 0; a < 5; ++a) {
            for (std::size_t b = 0; b < 5; ++b) {
                if (block.first[a][b] == 0) continue;
                CAPTURE(block.pd, k_alphas[a], k_misses[b]);
                const auto found = size(block.pd, k_alphas[a], 1 - k_misses[b]);
                REQUIRE(found);
                CHECK(found->tasters == block.first[a][b]);
            }
        }
    }
}

// Oracle: power at every n by its definition; `last` is far beyond the sizes asked for.
template <class Power>
std::pair<int, int> first_and_safe(Power power, double wanted, int last) {
    int first = 0;
    int safe = 2;
    for (int n = 2; n <= last; ++n) {
        if (power(n) < wanted * (1 - 1e-12))
            safe = n + 1;   // p1 = 1/2 makes powers of exactly one half
        else if (first == 0)
            first = n;
    }
    return {first, safe};
}

}   // namespace

// First n with the power wanted (the convention of the standards): ISO 4120:2004 table A.3, ASTM E1885 table A1.1, recalled;
// recomputed from the definition. One printed cell (pd .1, alpha .05, beta .001) differs from the definition by 3 and is asserted
// below as defined.
TEST_CASE("size: triangle, as in the printed tables", "[stats][published]") {
    check_first(
        {{0.5, {{7, 12, 16, 25, 36}, {12, 15, 20, 30, 43}, {16, 20, 23, 35, 48}, {25, 30, 35, 47, 62}, {36, 43, 48, 62, 81}}},
         {0.4, {{12, 17, 25, 36, 55}, {17, 25, 30, 46, 67}, {23, 30, 40, 57, 79}, {35, 47, 56, 76, 102}, {55, 68, 76, 102, 130}}},
         {0.3,
          {{20, 28, 39, 64, 97}, {30, 43, 54, 81, 119}, {40, 53, 66, 98, 136}, {62, 82, 97, 131, 181}, {93, 120, 138, 181, 233}}},
         {0.1,
          {{149, 238, 325, 529, 819},
           {240, 348, 457, 683, 1011},
           {325, 447, 572, 828, 0},
           {525, 680, 824, 1132, 1539},
           {803, 996, 1165, 1530, 1992}}}},
        [](double pd, double alpha, double power) {
            return stats::size_difference(1.0 / 3, 1.0 / 3 + 2.0 / 3 * pd, alpha, power);
        });
}

// ISO 10399:2004 table A.3 (read in full in a national adoption, all 125 cells), ISO 5495:2005 table A.4.
TEST_CASE("size: one half, one-sided, as in the printed tables", "[stats][published]") {
    check_first(
        {{0.5, {{12, 19, 26, 39, 58}, {19, 26, 33, 48, 70}, {23, 33, 42, 58, 82}, {40, 50, 59, 80, 107}, {61, 71, 83, 107, 140}}},
         {0.4,
          {{19, 30, 39, 60, 94}, {28, 39, 53, 79, 113}, {37, 53, 67, 93, 132}, {64, 80, 96, 130, 174}, {95, 117, 135, 176, 228}}},
         {0.3,
          {{32, 49, 68, 110, 166},
           {53, 72, 96, 145, 208},
           {69, 93, 119, 173, 243},
           {112, 143, 174, 235, 319},
           {172, 210, 246, 318, 412}}},
         {0.2,
          {{77, 112, 158, 253, 384},
           {115, 168, 214, 322, 471},
           {158, 213, 268, 392, 554},
           {252, 325, 391, 535, 726},
           {386, 479, 556, 731, 944}}},
         {0.1,
          {{294, 451, 618, 1006, 1555},
           {461, 658, 861, 1310, 1905},
           {620, 866, 1092, 1583, 2237},
           {1007, 1301, 1582, 2170, 2927},
           {1551, 1908, 2248, 2937, 3812}}}},
        [](double pd, double alpha, double power) { return stats::size_difference(0.5, 0.5 + 0.5 * pd, alpha, power); });
}

// Quantities of ISO 5495:2005 table A.5 (two-sided, both tails counted), computed from the definition in exact arithmetic.
TEST_CASE("size: one half, two-sided", "[stats][published]") {
    check_first(
        {{0.5, {{19, 26, 33, 48, 70}, {23, 33, 42, 58, 82}, {30, 42, 49, 67, 92}, {44, 57, 66, 87, 117}, {66, 78, 90, 117, 149}}},
         {0.3,
          {{53, 72, 96, 145, 208},
           {69, 93, 119, 173, 243},
           {90, 114, 145, 199, 276},
           {131, 164, 195, 261, 345},
           {188, 229, 267, 342, 440}}},
         {0.2,
          {{115, 168, 214, 322, 471},
           {158, 213, 268, 392, 554},
           {199, 263, 327, 455, 635},
           {291, 373, 446, 596, 796},
           {425, 520, 604, 781, 1010}}},
         {0.1,
          {{461, 658, 861, 1310, 1905},
           {620, 866, 1092, 1583, 2237},
           {786, 1055, 1302, 1833, 2544},
           {1167, 1493, 1782, 2408, 3203},
           {1707, 2094, 2440, 3152, 4063}}}},
        [](double pd, double alpha, double power) { return stats::size_preference(0.5 + 0.5 * pd, alpha, power); });
}

// From which size every larger panel has the power, triangle at alpha .05; computed from the definition.
TEST_CASE("size: triangle, the safe sizes", "[stats][published]") {
    const std::vector<std::pair<double, std::array<int, 5>>> table{{0.5, {16, 22, 29, 39, 52}},
                                                                   {0.4, {25, 34, 42, 57, 81}},
                                                                   {0.3, {42, 57, 73, 102, 143}},
                                                                   {0.2, {94, 124, 154, 223, 310}},
                                                                   {0.1, {349, 471, 591, 847, 1200}}};
    for (const auto& [pd, safe] : table) {
        for (std::size_t b = 0; b < 5; ++b) {
            CAPTURE(pd, k_misses[b]);
            const auto found = stats::size_difference(1.0 / 3, 1.0 / 3 + 2.0 / 3 * pd, 0.05, 1 - k_misses[b]);
            REQUIRE(found);
            CHECK(found->tasters_safe == safe[b]);
        }
    }
}

TEST_CASE("size: first and safe agree with power at every n", "[stats][exhaustive]") {
    for (const double p0 : {1.0 / 3, 0.5, 0.1}) {
        for (const double pd : {0.25, 0.4, 0.75, 1.0}) {
            for (const double alpha : {0.2, 0.05, 0.01}) {
                for (const double wanted : {0.3, 0.5, 0.8, 0.95}) {
                    const double p1 = p0 + (1 - p0) * pd;
                    const auto power = [&](int n) { return stats::power_difference(n, p0, p1, alpha); };
                    const auto [first, safe] = first_and_safe(power, wanted, 700);
                    const auto found = stats::size_difference(p0, p1, alpha, wanted);
                    CAPTURE(p0, pd, alpha, wanted);
                    REQUIRE(found);
                    CHECK(found->tasters == first);
                    CHECK(found->tasters_safe == safe);
                    CHECK(found->critical == stats::least_correct(first, p0, alpha));
                    CHECK(found->power_actual == Approx(power(first)).epsilon(1e-12));
                    CHECK(found->alpha_actual == Approx(stats::binomial_upper(found->critical, first, p0)).epsilon(1e-12));
                    CHECK(found->alpha_actual <= alpha * (1 + 1e-12));
                }
            }
        }
    }
}

TEST_CASE("size: preference agrees with power at every n, whichever side leads", "[stats][exhaustive]") {
    for (const double share : {0.65, 0.75, 0.9}) {
        for (const double alpha : {0.1, 0.05}) {
            for (const double wanted : {0.3, 0.8, 0.9}) {
                const auto power = [&](int n) { return stats::power_preference(n, share, alpha); };
                const auto [first, safe] = first_and_safe(power, wanted, 500);
                const auto found = stats::size_preference(share, alpha, wanted);
                const auto mirrored = stats::size_preference(1 - share, alpha, wanted);
                CAPTURE(share, alpha, wanted);
                REQUIRE(found);
                REQUIRE(mirrored);
                CHECK(found->tasters == first);
                CHECK(found->tasters_safe == safe);
                CHECK(mirrored->tasters == first);
                CHECK(found->alpha_actual <= alpha * (1 + 1e-12));
            }
        }
    }
}

TEST_CASE("size: no less than a share", "[stats]") {
    CHECK(stats::size_not_less(0.40, 0.5, 0.05, 0.8)->tasters == 158);
    CHECK(stats::size_not_less(0.35, 0.5, 0.05, 0.8)->tasters == 68);
}

// The triangle at d' = 1.5, power .8; pd .3 at power .9 needs 53 in a triangle, 93 at one half.
TEST_CASE("size: single questions", "[stats]") {
    CHECK(stats::size_difference(1.0 / 3, 0.50645609725919, 0.05, 0.8)->tasters == 53);
    CHECK(stats::size_difference(1.0 / 3, 1.0 / 3 + 0.2, 0.05, 0.9)->tasters == 53);
    CHECK(stats::size_difference(0.5, 0.65, 0.05, 0.9)->tasters == 93);
}

TEST_CASE("size: extremes end quickly and say none", "[stats]") {
    CHECK(stats::size_difference(1.0 / 3, 1.0, 0.05, 0.8)->tasters == 3);
    CHECK(stats::size_difference(1.0 / 3, 1 - 1e-12, 0.05, 0.8)->tasters == 3);
    const auto huge = stats::size_difference(1.0 / 3, 1.0 / 3 + 1e-4, 0.05, 0.8);
    REQUIRE(huge);
    CHECK(huge->tasters_safe > huge->tasters);
    CHECK(stats::power_difference(huge->tasters, 1.0 / 3, 1.0 / 3 + 1e-4, 0.05) >= 0.8);
    CHECK_FALSE(stats::size_difference(1.0 / 3, 1.0 / 3 + 1e-6, 0.05, 0.8).has_value());
}
