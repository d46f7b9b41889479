// The draw as a whole, for plans of kinds that people write.

#include <algorithm>
#include <catch2/catch.hpp>
#include <cstdlib>
#include <map>
#include <set>

#include "draw/made_up.hpp"
#include "oddplate/draw/draw.hpp"

using namespace oddplate;
using made_up::spots;

namespace {

draw::Drawn drawn(const methods::Plan& plan, const draw::OrdersByRound& orders, unsigned seed = 1) {
    auto answer = draw::deal(plan, orders, made_up::seed(seed));
    REQUIRE(answer);
    return *answer;
}

// By pair of spots, how many of the first `ballots` ballots have both.
std::vector<int> pair_counts(const draw::Drawn& draw, int how_many_spots, std::size_t ballots) {
    std::map<std::pair<int, int>, int> counts;
    for (int a = 0; a < how_many_spots; ++a) {
        for (int b = a + 1; b < how_many_spots; ++b) {
            counts[{a, b}] = 0;
        }
    }
    for (std::size_t ballot = 0; ballot < ballots; ++ballot) {
        for (const draw::RoomSet& one : draw.room.ballots[ballot].sets) {
            for (const draw::RoomSet& other : draw.room.ballots[ballot].sets) {
                if (one.spot < other.spot) {
                    ++counts[{one.spot, other.spot}];
                }
            }
        }
    }
    std::vector<int> answer;
    for (const auto& [pair, count] : counts) {
        answer.push_back(count);
    }
    return answer;
}

}   // namespace

TEST_CASE("draw: two spots of an odd-one-out for 24 come out even in everything", "[draw]") {
    for (unsigned seed = 0; seed < 50; ++seed) {
        const draw::Drawn draw = drawn(made_up::plan(24, {made_up::round({"edge", "centre"})}), {made_up::odd_one_out()}, seed);
        CAPTURE(seed);
        REQUIRE(draw.spreads.size() == 5);
        for (const draw::Spread& spread : draw.spreads) {
            CAPTURE(spread.balance);
            CHECK(spread.spread == 0);
        }
    }
}

TEST_CASE("draw: what cannot be even comes out one apart, and is said", "[draw]") {
    const draw::Drawn draw = drawn(made_up::plan(25, {made_up::round({"edge", "centre"})}), {made_up::pair()});
    CHECK(made_up::spread(draw, "orders") == 1);
    CHECK(made_up::spread(draw, "spot_positions") == 1);
    CHECK(made_up::spread(draw, "orders_by_position") == 1);
    CHECK(made_up::spread(draw, "odd_within_taster") == 0);
    CHECK(made_up::spread(draw, "carry_over") == 1);
}

TEST_CASE("draw: each method's orders are asked for, and an unknown method is refused", "[draw]") {
    methods::Plan plan = made_up::plan(12, {made_up::round({"edge"}), made_up::round({"edge"})}, 2);
    plan.rounds[0].method = "triangle";
    plan.rounds[1].method = "paired-preference";
    const auto answer = draw::draw(plan, made_up::seed(3));
    REQUIRE(answer);
    REQUIRE(answer->room.ballots.size() == 14);
    for (std::size_t ballot = 0; ballot < 14; ++ballot) {
        const draw::RoomBallot& shown = answer->room.ballots[ballot];
        CHECK(shown.spare == (ballot >= 12));
        REQUIRE(shown.sets.size() == 2);
        CHECK(shown.sets[0].codes.size() == 3);
        CHECK(shown.sets[1].codes.size() == 2);
    }
    CHECK(answer->codes_dealt_again == 0);
    plan.rounds[1].method = "no-such-method";
    CHECK_FALSE(draw::draw(plan, made_up::seed(3)));
}

TEST_CASE("draw: more codes on a ballot than can be two digits apart are refused with the number", "[draw]") {
    methods::Plan plan = made_up::plan(3, {made_up::round(spots(7))});
    CHECK(draw::deal(plan, {made_up::one_order(11)}, made_up::seed(1)));   // 77
    const auto refused = draw::deal(plan, {made_up::one_order(12)}, made_up::seed(1));
    REQUIRE_FALSE(refused);
    REQUIRE(refused.faults().size() == 1);
    const core::Error& fault = refused.faults().front();
    CHECK(fault.kind == core::ErrorKind::bad_value);
    CHECK(fault.where == "/rounds");
    CHECK(fault.text.find("84 coded portions") != std::string::npos);
    CHECK(fault.text.find("77") != std::string::npos);
}

TEST_CASE("draw: a spot choice of more than 1,000 kinds is refused, the largest below it dealt", "[draw]") {
    CHECK(draw::deal(made_up::plan(3, {made_up::round(spots(12), 1, 6)}), {made_up::pair()}, made_up::seed(1)));
    const auto refused = draw::deal(made_up::plan(3, {made_up::round(spots(13), 1, 6)}), {made_up::pair()}, made_up::seed(1));
    REQUIRE_FALSE(refused);
    CHECK(refused.faults().front().where == "/rounds/0/spots_per_taster");
}

TEST_CASE("draw: pairs of spots come equally often when a taster gets some of the spots", "[draw][spots]") {
    struct Case {
        int spots, each, collection, times;   // ballots of one collection, and how often it has each pair
    };
    // Sizes and pair counts of the balanced incomplete blocks: b and lambda of 2-(v,k,lambda), lambda = b k (k-1) / (v (v-1)).
    const Case one = GENERATE(Case{2, 1, 2, 0}, Case{3, 2, 3, 1}, Case{4, 2, 6, 1}, Case{4, 3, 4, 2}, Case{5, 2, 10, 1},
                              Case{5, 3, 10, 3}, Case{6, 2, 15, 1}, Case{6, 3, 10, 2}, Case{7, 3, 7, 1}, Case{7, 4, 7, 2},
                              Case{8, 4, 14, 3}, Case{9, 3, 12, 1}, Case{9, 6, 12, 5});
    CAPTURE(one.spots, one.each);
    const draw::Drawn draw =
        drawn(made_up::plan(3 * one.collection, {made_up::round(spots(one.spots), 1, one.each)}), {made_up::pair()});
    for (int collections = 1; collections <= 3; ++collections) {
        const std::vector<int> pairs = pair_counts(draw, one.spots, static_cast<std::size_t>(collections * one.collection));
        CHECK(made_up::spread(pairs) == 0);
        CHECK(pairs.front() == collections * one.times);
    }
}

TEST_CASE("draw: spots are shared out evenly at every prefix when a taster gets some of them", "[draw][spots]") {
    // Not always one apart: from what is left of a collection the least served spots need not stand together in one set.
    struct Case {
        int spots, each, widest;
    };
    const Case one =
        GENERATE(Case{4, 2, 1}, Case{4, 3, 1}, Case{5, 2, 2}, Case{6, 2, 2}, Case{6, 3, 2}, Case{7, 3, 2}, Case{9, 3, 1});
    CAPTURE(one.spots, one.each);
    int widest = 0;
    for (unsigned seed = 0; seed < 40; ++seed) {
        const methods::Plan plan = made_up::plan(60, {made_up::round(spots(one.spots), 1, one.each)});
        const draw::Drawn draw = drawn(plan, {made_up::pair()}, seed);
        std::vector<int> counts(static_cast<std::size_t>(one.spots), 0);
        for (const draw::RoomBallot& ballot : draw.room.ballots) {
            for (const draw::RoomSet& set : ballot.sets) {
                ++counts[static_cast<std::size_t>(set.spot)];
            }
            widest = std::max(widest, made_up::spread(counts));
        }
    }
    CHECK(widest == one.widest);
}

TEST_CASE("draw: spreads are what plain counting gives", "[draw]") {
    const draw::Drawn alone = drawn(made_up::plan(7, {made_up::round({"edge"})}), {made_up::odd_one_out()});
    CHECK(made_up::spread(alone, "odd_within_taster") == 1);   // one set: one of the two
    const std::vector<methods::Order> orders = made_up::odd_one_out();
    int highest = 0;
    for (unsigned seed = 0; seed < 40; ++seed) {
        const draw::Drawn draw = drawn(made_up::plan(23, {made_up::round(spots(4))}), {orders}, seed);
        std::vector<std::vector<int>> by_place(4, std::vector<int>(6, 0));
        int within = 0, places = 0;
        for (const draw::KeyBallot& ballot : draw.key.ballots) {
            int odd_new = 0;
            for (std::size_t place = 0; place < 4; ++place) {
                odd_new += orders[static_cast<std::size_t>(ballot.sets[place].order)].trait;
                ++by_place[place][static_cast<std::size_t>(ballot.sets[place].order)];
            }
            within = std::max(within, std::abs(2 * odd_new - 4));
        }
        for (const std::vector<int>& counts : by_place) {
            places = std::max(places, made_up::spread(counts));
        }
        CHECK(made_up::spread(draw, "odd_within_taster") == within);
        CHECK(made_up::spread(draw, "orders_by_position") == places);
        highest = std::max(highest, within);
    }
    CHECK(highest == 2);   // three of one kind and one of the other, never four of one
}

TEST_CASE("draw: each spot follows each other one equally often after whole blocks of Williams' rows", "[draw][spots]") {
    for (int how_many = 2; how_many <= 9; ++how_many) {
        CAPTURE(how_many);
        const int block = how_many % 2 == 0 ? how_many : 2 * how_many;
        const draw::Drawn draw = drawn(made_up::plan(3 * block, {made_up::round(spots(how_many))}), {made_up::one_order(1)});
        CHECK(made_up::spread(draw, "carry_over") == 0);
        CHECK(made_up::spread(draw, "spot_positions") == 0);
    }
}

TEST_CASE("draw: together gives the whole table one order of spots, and says what that costs", "[draw][spots]") {
    methods::Plan plan = made_up::plan(10, {made_up::round(spots(4), 2)});
    plan.spot_order = methods::SpotOrder::together;
    const draw::Drawn draw = drawn(plan, {made_up::odd_one_out()});
    for (const draw::RoomBallot& ballot : draw.room.ballots) {
        REQUIRE(ballot.sets.size() == 8);
        for (std::size_t place = 0; place < 8; ++place) {
            CHECK(ballot.sets[place].spot == draw.room.ballots[0].sets[place].spot);
        }
    }
    CHECK(made_up::spread(draw, "spot_positions") == 10);
    CHECK(made_up::spread(draw, "orders") <= 1);
}

TEST_CASE("draw: a scarce spot goes to the first ballots alone", "[draw][spots]") {
    methods::Plan plan =
        made_up::plan(12, {made_up::round({"edge", "point", "flat"}), made_up::round({"edge", "point", "flat"}, 1, 2)}, 2);
    plan.first_ballots = {{"point", 6}};
    const draw::Drawn draw = drawn(plan, {made_up::odd_one_out(), made_up::pair()});
    for (std::size_t ballot = 0; ballot < draw.room.ballots.size(); ++ballot) {
        std::multiset<int> first, second;
        for (const draw::RoomSet& set : draw.room.ballots[ballot].sets) {
            (set.round == 0 ? first : second).insert(set.spot);
        }
        CHECK(first.size() == (ballot < 6 ? 3U : 2U));   // one set fewer
        CHECK(second.size() == 2);                       // another spot instead
        CHECK(first.count(1) == (ballot < 6 ? 1U : 0U));
        CHECK((ballot < 6 || second.count(1) == 0));
    }
    CHECK(made_up::spread(draw, "orders") <= 1);
    CHECK(made_up::spread(draw, "spot_positions") <= 1);
}

TEST_CASE("draw: tubs have letters of their own, two of them where nine do not suffice", "[draw][tubs]") {
    const auto letters_of = [](const draw::Drawn& draw) {
        std::vector<std::string> letters;
        for (const draw::TubRow& row : draw.key.tubs) {
            CHECK(row.letters.size() == 2);
            letters.insert(letters.end(), row.letters.begin(), row.letters.end());
        }
        return letters;
    };
    for (const int how_many : {1, 4, 5, 12}) {
        CAPTURE(how_many);
        methods::Plan plan = made_up::plan(2, {made_up::round(spots(how_many)), made_up::round({"a"})});
        const std::vector<std::string> letters = letters_of(drawn(plan, {made_up::one_order(1), made_up::pair()}));
        CHECK(letters.size() == static_cast<std::size_t>(2 * how_many));   // the second round's spot has its row already
        CHECK(std::set(letters.begin(), letters.end()).size() == letters.size());
        for (const std::string& letter : letters) {
            CHECK(letter.size() == (how_many <= 4 ? 1U : 2U));
            CHECK(letter.find_first_not_of(draw::k_tub_letters) == std::string::npos);
        }
    }
}

TEST_CASE("draw: one taster and 10,000 tasters are dealt, codes come again and are counted", "[draw]") {
    const draw::Drawn one = drawn(made_up::plan(1, {made_up::round({""})}), {made_up::odd_one_out()});
    CHECK(one.room.ballots.size() == 1);
    CHECK(one.codes_dealt_again == 0);
    const draw::Drawn many = drawn(made_up::plan(10000, {made_up::round(spots(4))}), {made_up::odd_one_out()});
    CHECK(many.room.ballots.size() == 10000);
    CHECK(many.codes_dealt_again == 120000);
    CHECK(made_up::spread(many, "orders") <= 1);
    CHECK(made_up::spread(many, "spot_positions") <= 1);
    CHECK(made_up::spread(many, "orders_by_position") <= 1);
}

TEST_CASE("draw: a marked reference shows in the room as a mark that tells no version", "[draw]") {
    const draw::Drawn draw = drawn(made_up::plan(8, {made_up::round({"edge"})}), {made_up::with_reference()});
    std::set<int> references;
    for (std::size_t ballot = 0; ballot < 8; ++ballot) {
        CHECK(draw.room.ballots[ballot].sets[0].reference == "R");
        references.insert(draw.key.ballots[ballot].sets[0].reference);
    }
    CHECK(references == std::set<int>{0, 1});
    CHECK(drawn(made_up::plan(2, {made_up::round({"edge"})}), {made_up::pair()}).room.ballots[0].sets[0].reference.empty());
}
