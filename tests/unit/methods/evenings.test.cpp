// Ballots over several evenings: names, whose evening, spares, lots.
#include <catch2/catch.hpp>

#include "oddplate/methods/plan.hpp"

using namespace oddplate::methods;

namespace {

Plan three_evenings() {
    Plan plan;
    plan.evenings = {{"5 June", 12, "A"}, {"12 June", 18, ""}, {"19 June", 6, "A"}};
    plan.tasters = 36;
    plan.spares = 7;
    return plan;
}

}   // namespace

TEST_CASE("every ballot has a name of its evening, and the name finds it again", "[evenings]") {
    const Plan plan = three_evenings();
    CHECK(plan.ballot_name(0) == "1-01");
    CHECK(plan.ballot_name(12) == "2-01");
    CHECK(plan.ballot_name(35) == "3-06");
    CHECK(plan.ballot_name(36) == "1-13");   // the first evening has three of the seven spares
    CHECK(plan.ballot_name(39) == "2-19");
    for (int ballot = 0; ballot < plan.ballots(); ++ballot) CHECK(plan.ballot_of(plan.ballot_name(ballot)) == ballot);
    CHECK(plan.ballot_of("2-7") == 18);
    for (const char* wrong : {"7", "0-01", "4-01", "1-16", "2-00", "2-", "-7", "2-007", "2-7x", "2--7", ""}) CHECK(plan.ballot_of(wrong) == -1);
}

TEST_CASE("evenings share the ballots out among them", "[evenings]") {
    const Plan plan = three_evenings();
    int seen = 0;
    for (int evening = 0; evening < 3; ++evening)
        for (const int ballot : plan.ballots_at(evening)) {
            CHECK(plan.evening_at(ballot) == evening);
            ++seen;
        }
    CHECK(seen == plan.ballots());
    CHECK(plan.ballots_at(1).size() == 20);
    CHECK(plan.spares_at(0) + plan.spares_at(1) + plan.spares_at(2) == 7);
    CHECK(plan.lots() == 2);   // A twice, and one of its own
    CHECK(plan.lot_at(0) == plan.lot_at(2));
    CHECK(plan.lot_at(1) == 1);
}

TEST_CASE("one evening alone names ballots as the whole does", "[evenings]") {
    Plan part = three_evenings();
    part.evening = 2;
    part.tasters = 18;
    part.spares = 2;
    CHECK(part.ballot_name(6) == "2-07");
    CHECK(part.ballot_of("2-07") == 6);
    CHECK(part.ballot_of("1-07") == -1);
    CHECK(part.ballot_of("2-21") == -1);
}

TEST_CASE("without evenings a ballot is a number", "[evenings]") {
    Plan plan;
    plan.tasters = 9;
    plan.spares = 2;
    CHECK(plan.ballot_name(10) == "11");
    CHECK(plan.ballot_of("11") == 10);
    for (const char* wrong : {"12", "0", "07", "1-07", "x"}) CHECK(plan.ballot_of(wrong) == -1);
    CHECK(plan.lots() == 1);
    CHECK(plan.whole_pieces() == plan.pieces);
}

TEST_CASE("looks leave the end what they don't take", "[evenings]") {
    Plan plan = three_evenings();
    CHECK(plan.alpha_left() == 1);
    plan.looks = {1, 2};
    CHECK(plan.alpha_left() + 2 * k_look_share == 1);
}
