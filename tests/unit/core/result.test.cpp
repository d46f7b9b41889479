// Faults and results.
#include "oddplate/core/result.hpp"

#include <catch2/catch.hpp>

using namespace oddplate::core;

TEST_CASE("found: the sentence has what was found, what was expected and the hint in brackets", "[core][result]") {
    const Error error = found("plan.json /rounds/0/alpha", "5", "a number above 0 and below 1", "write 5 % as 0.05");
    CHECK(error.line() == "plan.json /rounds/0/alpha: found 5, expected a number above 0 and below 1 (write 5 % as 0.05)");
    CHECK(error.code == "bad-value");
    CHECK(error.kind == ErrorKind::bad_value);
    CHECK(found("", "5", "6").line() == "found 5, expected 6");
}

TEST_CASE("exit_code: one fault of the machine among many of the user's makes it 1", "[core][result]") {
    const Error user = fault(ErrorKind::bad_value, "a", "b");
    CHECK(exit_code({user}) == 2);
    for (const ErrorKind kind :
         {ErrorKind::usage, ErrorKind::bad_value, ErrorKind::bad_file, ErrorKind::conflict, ErrorKind::not_found}) {
        CHECK(exit_code({fault(kind, "a", "b")}) == 2);
    }
    for (const ErrorKind kind : {ErrorKind::io, ErrorKind::check_failed, ErrorKind::internal}) {
        CHECK(exit_code({user, fault(kind, "a", "b"), user}) == 1);
    }
}

TEST_CASE("within: every fault's place is set inside the larger one, and an empty place adds nothing", "[core][result]") {
    const Faults faults{fault(ErrorKind::usage, "a", "b", "/rounds/0"), fault(ErrorKind::usage, "a", "b")};
    const Faults inside = within(faults, "plan.json");
    CHECK(inside[0].where == "plan.json /rounds/0");
    CHECK(inside[1].where == "plan.json");
    CHECK(within(faults, "")[0].where == "/rounds/0");
}

TEST_CASE("Result: it holds a value or faults, and gives its value away when it is itself temporary", "[core][result]") {
    const Result<std::string> good(std::string("text"));
    CHECK(good.ok());
    CHECK(*good == "text");
    CHECK(good->size() == 4);
    const Result<std::string> bad(fault(ErrorKind::usage, "code", "text"));
    CHECK_FALSE(bad.ok());
    REQUIRE(bad.faults().size() == 1);
    CHECK(bad.faults()[0].code == "code");
    Result<std::vector<int>> many(std::vector<int>{1, 2, 3});
    const int* before = many->data();
    const std::vector<int> moved = *std::move(many);
    CHECK(moved.data() == before);
}
