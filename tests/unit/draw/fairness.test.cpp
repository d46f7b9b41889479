// Orders, spots and codes fall by lot: goodness of fit over many seeds (fixed ones, so the answer never changes). Limits are the
// chi-square values that a fair draw passes 999 times in 1,000 (standard tables).

#include <catch2/catch.hpp>
#include <map>

#include "draw/made_up.hpp"

using namespace oddplate;

namespace {

constexpr int k_seeds = 6000;

double chi_square(const std::vector<int>& counts) {
    double sum = 0;
    for (const int count : counts) {
        sum += count;
    }
    const double expected = sum / static_cast<double>(counts.size());
    double answer = 0;
    for (const int count : counts) {
        answer += (count - expected) * (count - expected) / expected;
    }
    return answer;
}

}   // namespace

TEST_CASE("fairness: every order is as likely on each ballot, at each spot", "[draw][fairness]") {
    const methods::Plan plan = made_up::plan(9, {made_up::round({"edge", "centre"})});
    std::map<std::pair<std::size_t, int>, std::vector<int>> counts;   // ballot and spot -> by order
    std::map<std::size_t, std::vector<int>> first_spot;
    for (unsigned seed = 0; seed < k_seeds; ++seed) {
        const auto drawn = draw::deal(plan, {made_up::odd_one_out()}, made_up::seed(seed));
        REQUIRE(drawn);
        for (const std::size_t ballot : {std::size_t{0}, std::size_t{5}, std::size_t{8}}) {
            for (std::size_t set = 0; set < 2; ++set) {
                std::vector<int>& mine = counts[{ballot, drawn->room.ballots[ballot].sets[set].spot}];
                mine.resize(6, 0);
                ++mine[static_cast<std::size_t>(drawn->key.ballots[ballot].sets[set].order)];
            }
            first_spot[ballot].resize(2, 0);
            ++first_spot[ballot][static_cast<std::size_t>(drawn->room.ballots[ballot].sets[0].spot)];
        }
    }
    for (const auto& [where, by_order] : counts) {
        CAPTURE(where.first, where.second);
        CHECK(chi_square(by_order) < 20.52);   // 5 degrees
    }
    for (const auto& [ballot, by_spot] : first_spot) {
        CHECK(chi_square(by_spot) < 10.83);   // 1 degree
    }
}

TEST_CASE("fairness: the odd portion's code looks like the others' codes", "[draw][fairness]") {
    const methods::Plan plan = made_up::plan(6, {made_up::round({"edge"})});
    std::map<std::pair<bool, int>, int> first_digit;
    for (unsigned seed = 0; seed < k_seeds; ++seed) {
        const auto drawn = draw::deal(plan, {made_up::odd_one_out()}, made_up::seed(seed));
        REQUIRE(drawn);
        const draw::RoomSet& shown = drawn->room.ballots[3].sets[0];
        const draw::KeySet& hidden = drawn->key.ballots[3].sets[0];
        for (std::size_t place = 0; place < 3; ++place) {
            const bool fresh = hidden.portions[place].version == 1;
            ++first_digit[{fresh, shown.codes[place][0] - '0'}];
        }
    }
    // A 2 x 9 table: does the first digit tell the version?
    double total[2] = {0, 0}, answer = 0;
    for (const auto& [cell, count] : first_digit) {
        total[cell.first ? 1 : 0] += count;
    }
    for (int digit = 1; digit <= 9; ++digit) {
        const double both = first_digit[{false, digit}] + first_digit[{true, digit}];
        for (const bool fresh : {false, true}) {
            const double expected = both * total[fresh ? 1 : 0] / (total[0] + total[1]);
            const double off = first_digit[{fresh, digit}] - expected;
            answer += off * off / expected;
        }
    }
    CHECK(answer < 26.12);   // 8 degrees
}

TEST_CASE("fairness: the first letter goes to either version alike", "[draw][fairness]") {
    const methods::Plan plan = made_up::plan(1, {made_up::round({"edge"})});
    std::vector<int> counts(2, 0);
    for (unsigned seed = 0; seed < k_seeds; ++seed) {
        const auto drawn = draw::deal(plan, {made_up::pair()}, made_up::seed(seed));
        REQUIRE(drawn);
        const std::vector<std::string>& letters = drawn->key.tubs[0].letters;
        ++counts[letters[0] < letters[1] ? 0 : 1];
    }
    CHECK(chi_square(counts) < 10.83);   // 1 degree
}
