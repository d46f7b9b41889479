// Printed tables of critical counts. Where a print and the exact definition differ, the definition is asserted and the misprint
// said.

#include <catch2/catch.hpp>

#include <array>
#include <optional>
#include <vector>

#include "oddplate/stats/binomial.hpp"
#include "oddplate/stats/preference.hpp"

using namespace oddplate;

namespace {

struct Line {
    int n;
    std::vector<int> counts;   // 0: none
};

void check_least(const std::vector<Line>& table, double p0, const std::vector<double>& alphas) {
    for (const Line& line : table) {
        for (std::size_t i = 0; i < alphas.size(); ++i) {
            CAPTURE(line.n, alphas[i]);
            CHECK(stats::least_correct(line.n, p0, alphas[i]).value_or(0) == line.counts[i]);
        }
    }
}

void check_most(const std::vector<Line>& table, double chance, double beta, const std::vector<double>& pds) {
    for (const Line& line : table) {
        for (std::size_t i = 0; i < pds.size(); ++i) {
            CAPTURE(line.n, beta, pds[i]);
            CHECK(stats::most_correct(line.n, chance + (1 - chance) * pds[i], beta).value_or(0) == line.counts[i]);
        }
    }
}

}   // namespace

// FAO quality handbook (docrep V7180E), appendix A, "Triangle test for difference: critical number (minimum) of correct answers":
// the 44 printed rows; ISO 4120:2004 table A.1 gives the same counts.
TEST_CASE("triangle: fewest right answers as printed", "[stats][published]") {
    check_least(
        {{3, {3, 3, 0, 0}},      {4, {4, 4, 0, 0}},      {5, {4, 4, 5, 0}},      {6, {5, 5, 6, 0}},      {7, {5, 5, 6, 7}},
         {8, {5, 6, 7, 8}},      {9, {6, 6, 7, 8}},      {10, {6, 7, 8, 9}},     {11, {7, 7, 8, 10}},    {12, {7, 8, 9, 10}},
         {13, {8, 8, 9, 11}},    {14, {8, 9, 10, 11}},   {15, {8, 9, 10, 12}},   {16, {9, 9, 11, 12}},   {17, {9, 10, 11, 13}},
         {18, {10, 10, 12, 13}}, {19, {10, 11, 12, 14}}, {20, {10, 11, 13, 14}}, {21, {11, 12, 13, 15}}, {22, {11, 12, 14, 15}},
         {23, {12, 12, 14, 16}}, {24, {12, 13, 15, 16}}, {25, {12, 13, 15, 17}}, {26, {13, 14, 15, 17}}, {27, {13, 14, 16, 18}},
         {28, {14, 15, 16, 18}}, {29, {14, 15, 17, 19}}, {30, {14, 15, 17, 19}}, {31, {15, 16, 18, 20}}, {32, {15, 16, 18, 20}},
         {33, {15, 17, 18, 21}}, {34, {16, 17, 19, 21}}, {35, {16, 17, 19, 22}}, {36, {17, 18, 20, 22}}, {42, {19, 20, 22, 25}},
         {48, {21, 22, 25, 27}}, {54, {23, 25, 27, 30}}, {60, {26, 27, 30, 33}}, {66, {28, 29, 32, 35}}, {72, {30, 32, 34, 38}},
         {78, {32, 34, 37, 40}}, {84, {35, 36, 39, 43}}, {90, {37, 38, 42, 45}}, {96, {39, 41, 44, 48}}},
        1.0 / 3, {0.10, 0.05, 0.01, 0.001});
}

// Computed in exact rational arithmetic; ISO 4120:2004 table A.1 has this column.
TEST_CASE("triangle: fewest right answers at 20 in 100", "[stats][published]") {
    const std::array<int, 25> from_six{4, 4, 5, 5, 6, 6, 6, 7, 7, 8, 8, 8, 9, 9, 9, 10, 10, 11, 11, 11, 12, 12, 12, 13, 13};
    for (int n = 6; n <= 30; ++n) CHECK(stats::least_correct(n, 1.0 / 3, 0.2) == from_six[static_cast<std::size_t>(n - 6)]);
    check_least(
        {{36, {15}}, {42, {18}}, {48, {20}}, {54, {22}}, {60, {24}}, {66, {26}}, {72, {28}}, {84, {33}}, {90, {35}}, {96, {37}}},
        1.0 / 3, {0.2});
    check_least({{100, {38, 40, 42, 46, 49}}}, 1.0 / 3, {0.2, 0.1, 0.05, 0.01, 0.001});
}

// ISO 10399:2004 table A.1 (duo-trio) and ISO 5495:2005 table A.1 (one-sided paired), read in their national adoptions. Misprint:
// the ISO 10399 text prints n = 22 as 13 14 15 17 19; exact, and printed by ISO 5495, is 14 15 16 17 19.
TEST_CASE("one half, one-sided: fewest right answers as printed", "[stats][published]") {
    check_least({{6, {5, 6, 6, 0, 0}},       {7, {6, 6, 7, 7, 0}},       {8, {6, 7, 7, 8, 0}},       {9, {7, 7, 8, 9, 0}},
                 {10, {7, 8, 9, 10, 10}},    {11, {8, 9, 9, 10, 11}},    {12, {8, 9, 10, 11, 12}},   {13, {9, 10, 10, 12, 13}},
                 {14, {10, 10, 11, 12, 13}}, {15, {10, 11, 12, 13, 14}}, {16, {11, 12, 12, 14, 15}}, {17, {11, 12, 13, 14, 16}},
                 {18, {12, 13, 13, 15, 16}}, {19, {12, 13, 14, 15, 17}}, {20, {13, 14, 15, 16, 18}}, {21, {13, 14, 15, 17, 18}},
                 {22, {14, 15, 16, 17, 19}}, {23, {15, 16, 16, 18, 20}}, {24, {15, 16, 17, 19, 20}}, {25, {16, 17, 18, 19, 21}},
                 {26, {16, 17, 18, 20, 22}}, {27, {17, 18, 19, 20, 22}}, {28, {17, 18, 19, 21, 23}}, {29, {18, 19, 20, 22, 24}},
                 {30, {18, 20, 20, 22, 24}}, {31, {19, 20, 21, 23, 25}}, {32, {19, 21, 22, 24, 26}}, {33, {20, 21, 22, 24, 26}},
                 {34, {20, 22, 23, 25, 27}}, {35, {21, 22, 23, 25, 27}}, {36, {22, 23, 24, 26, 28}}, {37, {22, 23, 24, 27, 29}},
                 {38, {23, 24, 25, 27, 29}}, {39, {23, 24, 26, 28, 30}}, {40, {24, 25, 26, 28, 31}}, {44, {26, 27, 28, 31, 33}},
                 {48, {28, 29, 31, 33, 36}}, {52, {30, 32, 33, 35, 38}}, {56, {32, 34, 35, 38, 40}}, {60, {34, 36, 37, 40, 43}},
                 {64, {36, 38, 40, 42, 45}}, {68, {38, 40, 42, 45, 48}}, {72, {41, 42, 44, 47, 50}}, {76, {43, 45, 46, 49, 52}},
                 {80, {45, 47, 48, 51, 55}}, {84, {47, 49, 51, 54, 57}}, {88, {49, 51, 53, 56, 59}}, {92, {51, 53, 55, 58, 62}},
                 {96, {53, 55, 57, 60, 64}}, {100, {55, 57, 59, 63, 66}}},
                0.5, {0.2, 0.1, 0.05, 0.01, 0.001});
}

// TCVN 4831:1989 (the edition of ISO 5495 of 1983). Misprint: n = 8 at .01 prints 9 of 8; exact is 8.
TEST_CASE("one half, one-sided: the older printed table", "[stats][published]") {
    check_least({{7, {7, 7, 0}},
                 {8, {7, 8, 0}},
                 {41, {27, 29, 31}},
                 {43, {28, 30, 32}},
                 {45, {29, 31, 34}},
                 {46, {30, 32, 34}},
                 {47, {30, 32, 35}},
                 {49, {31, 34, 36}},
                 {50, {32, 34, 37}},
                 {70, {43, 46, 49}},
                 {90, {54, 57, 61}}},
                0.5, {0.05, 0.01, 0.001});
}

// Columns of ISO 5495:2005 table A.2; counts computed in exact rational arithmetic.
TEST_CASE("one half, two-sided: fewest votes for the leader", "[stats][published]") {
    const std::vector<double> alphas{0.2, 0.1, 0.05, 0.01, 0.001};
    const std::vector<Line> table{
        {6, {6, 6, 6, 0, 0}},       {7, {6, 7, 7, 0, 0}},       {8, {7, 7, 8, 8, 0}},       {9, {7, 8, 8, 9, 0}},
        {10, {8, 9, 9, 10, 0}},     {11, {9, 9, 10, 11, 11}},   {12, {9, 10, 10, 11, 12}},  {15, {11, 12, 12, 13, 14}},
        {18, {13, 13, 14, 15, 17}}, {20, {14, 15, 15, 17, 18}}, {24, {16, 17, 18, 19, 21}}, {30, {20, 20, 21, 23, 25}},
        {36, {23, 24, 25, 27, 29}}, {40, {25, 26, 27, 29, 31}}, {48, {29, 31, 32, 34, 36}}, {60, {36, 37, 39, 41, 44}},
        {72, {42, 44, 45, 48, 51}}, {80, {47, 48, 50, 52, 56}}, {100, {57, 59, 61, 64, 67}}};
    for (const Line& line : table) {
        for (std::size_t i = 0; i < alphas.size(); ++i) {
            CAPTURE(line.n, alphas[i]);
            CHECK(stats::least_votes(line.n, alphas[i]).value_or(0) == line.counts[i]);
        }
    }
}

// Computed in exact rational arithmetic.
TEST_CASE("one tenth, one ninth, one quarter: fewest right answers", "[stats][published]") {
    const std::vector<double> alphas{0.2, 0.1, 0.05, 0.01, 0.001};
    check_least({{6, {2, 3, 3, 4, 5}},
                 {8, {2, 3, 3, 4, 5}},
                 {10, {3, 3, 4, 5, 6}},
                 {12, {3, 4, 4, 5, 6}},
                 {18, {4, 4, 5, 6, 8}},
                 {20, {4, 5, 5, 7, 8}},
                 {24, {5, 5, 6, 7, 9}},
                 {30, {5, 6, 7, 8, 10}},
                 {50, {8, 9, 10, 11, 14}},
                 {60, {9, 10, 11, 13, 15}},
                 {100, {13, 15, 16, 19, 21}}},
                0.1, alphas);
    check_least({{10, {3, 3, 4, 5, 6}}, {20, {4, 5, 6, 7, 8}}, {30, {6, 7, 7, 9, 11}}, {100, {15, 16, 17, 20, 23}}}, 1.0 / 9,
                alphas);
    check_least({{10, {5, 5, 6, 7, 8}}, {20, {8, 9, 9, 11, 12}}, {30, {10, 12, 13, 14, 16}}, {100, {30, 32, 33, 36, 40}}}, 0.25,
                alphas);
}

// Quantities of ISO 4120:2004 table A.2, computed in exact rational arithmetic (the standard leaves cells below n/3 blank).
TEST_CASE("triangle: most right answers that still show similarity", "[stats][published]") {
    const std::vector<double> pds{0.1, 0.2, 0.3, 0.4, 0.5};
    check_most({{30, {7, 9, 11, 13, 15}}, {36, {9, 11, 13, 16, 18}}}, 1.0 / 3, 0.05, pds);
    check_most({{30, {8, 10, 11, 14, 16}}, {36, {10, 12, 14, 17, 19}}}, 1.0 / 3, 0.10, pds);
    check_most({{30, {9, 11, 13, 15, 17}}, {36, {11, 13, 16, 18, 21}}}, 1.0 / 3, 0.20, pds);
}

// ISO 5495:2005 table A.3, last rows, read in a national adoption. Misprint: beta .001 is printed 64 70 77 (n = 126) and 67 74 81
// (n = 132); the exact tail at one more is still at most .001.
TEST_CASE("one half: most right answers that still show similarity", "[stats][published]") {
    check_most({{132, {65, 72, 79, 86}}}, 0.5, 0.01, {0.2, 0.3, 0.4, 0.5});
    check_most({{132, {69, 76, 83, 90}}}, 0.5, 0.05, {0.2, 0.3, 0.4, 0.5});
    check_most({{132, {71, 78, 85, 92}}}, 0.5, 0.10, {0.2, 0.3, 0.4, 0.5});
    check_most({{132, {67, 73, 80, 87, 94}}}, 0.5, 0.20, {0.1, 0.2, 0.3, 0.4, 0.5});
    check_most({{126, {68, 75, 82}}}, 0.5, 0.01, {0.3, 0.4, 0.5});
    check_most({{126, {66, 72, 79, 85}}}, 0.5, 0.05, {0.2, 0.3, 0.4, 0.5});
    check_most({{126, {74, 81, 87}}}, 0.5, 0.10, {0.3, 0.4, 0.5});
    check_most({{126, {76, 83, 89}}}, 0.5, 0.20, {0.3, 0.4, 0.5});
    check_most({{126, {64, 71, 78}}, {132, {68, 75, 82}}}, 0.5, 0.001, {0.3, 0.4, 0.5});
}
