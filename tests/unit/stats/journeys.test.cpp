// Things split over sittings: what every design of journeys owes, for all sizes there are.
#include <catch2/catch.hpp>

#include <algorithm>
#include <map>
#include <set>

#include "oddplate/stats/blocks.hpp"

using namespace oddplate;

namespace {

int spread(const std::map<std::vector<int>, int>& counts, std::size_t cells) {
    int least = 1 << 30, most = 0;
    for (const auto& [what, count] : counts) least = std::min(least, count), most = std::max(most, count);
    return counts.size() < cells ? most : most - least;
}

}   // namespace

TEST_CASE("journeys: every thing once a person, everywhere equally often, and pairs meet as evenly as can be", "[stats][blocks]") {
    for (int things = 4; things <= 12; ++things)
        for (int size = 2; size <= things / 2; ++size) {
            if (things % size != 0) continue;
            INFO(things << " things, " << size << " a sitting");
            const stats::Journeys found = stats::journeys(things, size);
            std::map<std::vector<int>, int> places, after, met;
            for (const auto& row : found.rows) {
                REQUIRE(std::set<int>(row.begin(), row.end()).size() == static_cast<std::size_t>(things));
                for (int i = 0; i < things; ++i) {
                    ++places[{row[static_cast<std::size_t>(i)], i}];
                    for (int j = i + 1; j < things && j / size == i / size; ++j) {
                        const auto [a, b] = std::minmax(row[static_cast<std::size_t>(i)], row[static_cast<std::size_t>(j)]);
                        ++met[{a, b}];
                        if (j == i + 1) ++after[{row[static_cast<std::size_t>(i)], row[static_cast<std::size_t>(j)]}];
                    }
                }
            }
            CHECK(spread(places, static_cast<std::size_t>(things * things)) == 0);
            const int rows = static_cast<int>(found.rows.size()), times = rows / found.splits;   // a split is served so often
            CHECK(rows % found.batch == 0);
            CHECK(found.splits * (things / size) == found.batch);
            CHECK(spread(met, static_cast<std::size_t>(things * (things - 1) / 2)) == times * found.pairs_spread);
            CHECK(found.pairs_spread <= (things == 12 && (size == 3 || size == 4) ? 2 : 1));   // no search of ours comes nearer there
            for (const auto& [pair, count] : after)   // within a split, Williams: a follows b as often as b follows a
                CHECK(after[{pair[1], pair[0]}] == count);
            for (std::size_t first = 0; first < found.rows.size(); first += static_cast<std::size_t>(found.batch)) {
                std::map<std::vector<int>, int> sittings;
                for (int row = 0; row < found.batch; ++row)
                    for (int i = 0; i < things; ++i) ++sittings[{found.rows[first + static_cast<std::size_t>(row)][static_cast<std::size_t>(i)], i / size}];
                CHECK(spread(sittings, static_cast<std::size_t>(things * (things / size))) == 0);
            }
        }
}

// Fewer people than the design has rows: whoever comes, in the rows' order, meets every thing at every sitting equally often, to within one.
TEST_CASE("journeys: the first people alone are even over the sittings too", "[stats][blocks]") {
    for (int things = 4; things <= 12; ++things)
        for (int size = 2; size <= things / 2; ++size) {
            if (things % size != 0) continue;
            INFO(things << " things, " << size << " a sitting");
            std::map<std::vector<int>, int> sittings;
            const auto rows = stats::journeys(things, size).rows;
            for (std::size_t people = 1; people <= rows.size(); ++people) {
                for (int i = 0; i < things; ++i) ++sittings[{rows[people - 1][static_cast<std::size_t>(i)], i / size}];
                REQUIRE(spread(sittings, static_cast<std::size_t>(things * (things / size))) <= 1);
            }
        }
}

// Resolvable designs that the literature has (Fisher & Yates 1963, Statistical Tables, tables XVII-XIX, from memory): 4 in pairs (3 splits), 6 in pairs (5), 8 in
// fours (7, each pair 3 times), 9 in threes (4, the affine plane), 10 in pairs (9), 12 in sixes (11, each pair 5 times). 6 in threes has none in 5: 10.
TEST_CASE("journeys: where the literature has a resolvable design, one as good is found", "[stats][blocks]") {
    const std::vector<std::array<int, 3>> known{{4, 2, 3}, {6, 2, 5}, {8, 2, 7}, {8, 4, 7}, {9, 3, 4}, {10, 2, 9}, {6, 3, 10}};
    for (const auto& [things, size, splits] : known) {
        INFO(things << " in " << size);
        const stats::Journeys found = stats::journeys(things, size);
        CHECK(found.splits == splits);
        CHECK(found.pairs_spread == 0);
    }
}
