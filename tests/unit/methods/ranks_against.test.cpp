// Every recipe beside the usual one, held against sums worked by hand and against the sign test.
#include <algorithm>

#include <catch2/catch.hpp>

#include "oddplate/methods/method.hpp"
#include "oddplate/stats/blocks.hpp"
#include "../../../src/methods/ranks.hpp"

using namespace oddplate;
using namespace oddplate::methods;

namespace {

/// `worse` people put 2 last, the others first of all; 1 is put before the usual one by every second person.
ranks::Ranked panel(int people, int worse) {
    ranks::Ranked ranked{.names = {"current", "a", "b"}, .trays = {}, .spots = {}};
    for (int i = 0; i < people; ++i) {
        const bool last = i < worse, before = i % 2 == 0;
        std::vector<double> places(3);
        places[2] = last ? 3 : 1;
        places[0] = (last ? 1 : 2) + (before ? 1 : 0);
        places[1] = (last ? 1 : 2) + (before ? 0 : 1);
        ranked.trays.push_back({i, {0, 1, 2}, places});
        ranked.spots.push_back(0);
    }
    return ranked;
}

}   // namespace

TEST_CASE("each beside the usual one counts people and uses Holm over the recipes", "[ranks]") {
    const auto all = ranks::besides(panel(20, 18), 0.4);
    REQUIRE(all.size() == 2);
    CHECK(all[0].pair.b == 1);
    CHECK(all[0].pair.a_first == 10);
    CHECK(all[1].pair.a_first == 18);
    CHECK(all[1].pair.b_first == 2);
    CHECK(all[0].q == 1);
    CHECK(all[1].q == Approx(std::min(1.0, 2 * all[1].pair.p.p)).epsilon(1e-12));
    // P(X >= 10), n = 20, p = .4 (R: pbinom(9, 20, .4, lower.tail = FALSE)) and P(X >= 2).
    CHECK(*all[0].not_less == Approx(0.24466279668360677).epsilon(1e-9));
    CHECK(*all[1].not_less == Approx(0.9994759506235911).epsilon(1e-9));
}

TEST_CASE("where all rank two things apart by as much, the flip of signs is the sign test", "[ranks]") {
    ranks::Ranked ranked{.names = {"current", "b"}, .trays = {}, .spots = {}};
    for (int i = 0; i < 10; ++i) {
        ranked.trays.push_back({i, {0, 1}, i < 9 ? std::vector<double>{1, 2} : std::vector<double>{2, 1}});
        ranked.spots.push_back(0);
    }
    CHECK(ranks::besides(ranked, {}).front().pair.p.p == Approx(22.0 / 1024).epsilon(1e-12));   // 2 P(X >= 9), n = 10
}

// 27 put x just before the usual one, 21 put it last of four: the distances lie 27 to 63 against it, the people 27 to 21 for it.
TEST_CASE("one beside the usual one is counted by people, whatever lies between the two", "[ranks]") {
    ranks::Ranked ranked{.names = {"usual", "x", "y", "z"}, .trays = {}, .spots = {}};
    for (int i = 0; i < 48; ++i) {
        ranked.trays.push_back({i, {0, 1, 2, 3}, i < 27 ? std::vector<double>{2, 1, 3, 4} : std::vector<double>{1, 4, 2, 3}});
        ranked.spots.push_back(0);
    }
    const auto all = ranks::besides(ranked, {});
    CHECK(all[0].pair.b_first == 27);
    CHECK(all[0].pair.p.p == Approx(0.470879013621712).epsilon(1e-9));   // R: binom.test(21, 48)$p.value
    CHECK(all[0].q > 0.4);
    ranked.withdrawn = {2};
    CHECK(ranks::besides(ranked, {}).size() == 2);   // what ran out is no choice any more
}

TEST_CASE("with the usual one on every tray all others meet it, and each other, equally often", "[blocks]") {
    for (int things = 3; things <= 12; ++things)
        for (int size = 2; size < things; ++size) {
            const stats::ServingRows served = stats::serving_rows(things, size, true);
            std::vector<int> with_first(static_cast<std::size_t>(things)), first_at(static_cast<std::size_t>(size));
            std::vector<std::vector<int>> met(static_cast<std::size_t>(things), std::vector<int>(static_cast<std::size_t>(things)));
            for (const auto& row : served.rows) {
                CHECK(std::count(row.begin(), row.end(), 0) == 1);
                for (std::size_t place = 0; place < row.size(); ++place) {
                    if (row[place] == 0) ++first_at[place];
                    for (const int other : row) ++met[static_cast<std::size_t>(row[place])][static_cast<std::size_t>(other)];
                }
            }
            INFO(things << " things, trays of " << size);
            const auto [least, most] = std::minmax_element(first_at.begin(), first_at.end());
            CHECK(*most == *least);   // Williams' rows of places even out what one batch does not
            int fewest = 1 << 30, greatest = 0, pair_fewest = 1 << 30, pair_greatest = 0;
            for (std::size_t a = 1; a < met.size(); ++a) {
                fewest = std::min(fewest, met[0][a]);
                greatest = std::max(greatest, met[0][a]);
                for (std::size_t b = a + 1; b < met.size(); ++b) {
                    pair_fewest = std::min(pair_fewest, met[a][b]);
                    pair_greatest = std::max(pair_greatest, met[a][b]);
                }
            }
            CHECK(greatest == fewest);
            CHECK(pair_greatest == pair_fewest);
        }
}
