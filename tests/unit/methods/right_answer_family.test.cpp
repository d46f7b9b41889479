// The methods with a right answer, by full enumeration: every order, every answer, and what a taster with no noise decides.

#include <catch2/catch.hpp>

#include "support.hpp"

using namespace oddplate;
using namespace oddplate::methods;
using namespace oddplate::methods::testing;

namespace {

struct Asked {
    const char* id;
    const char* says;
    const char* flags;   // of count, to name the same curve
    std::size_t orders;
};

constexpr Asked k_asked[] = {{"triangle", "{}", "", 6},
                             {"duo-trio", "{}", "", 4},
                             {"duo-trio", R"({"reference":"current"})", "", 2},
                             {"two-afc", R"({"attribute":"saltier","stronger":"current"})", "", 2},
                             {"three-afc", R"({"attribute":"saltier","stronger":"current"})", "", 3},
                             {"three-afc", R"({"attribute":"saltier","stronger":"new"})", "", 3},
                             {"tetrad", "{}", "", 6},
                             {"tetrad", R"({"attribute":"saltier","stronger":"new"})", R"("specified":true,)", 6},
                             {"two-out-of-five", "{}", "", 20}};

const std::vector<std::string> k_codes{"417", "862", "305", "519", "734"};

std::vector<Answer> answers(const Method& asked, const Round& round) {
    const auto n = static_cast<std::size_t>(asked.portions);
    std::vector<Answer> all;
    for (std::size_t i = 0; i < n; ++i) {
        if (std::holds_alternative<OneCode>(asked.shape(round))) all.push_back(Codes{{k_codes[i]}});
        else
            for (std::size_t j = 0; j < i; ++j) all.push_back(Codes{{k_codes[i], k_codes[j]}});
    }
    return all;
}

}   // namespace

TEST_CASE("of all answers to an order the share that chance says is right", "[right]") {
    for (const Asked& one : k_asked) {
        INFO(one.id << " " << one.says);
        const Method& asked = method(one.id);
        const Plan plan = plan_of(one.id, {""}, 12, one.says);
        const Round& round = plan.rounds[0];
        const double chance = number(count(one.id, std::string("{") + one.flags + R"("correct":1,"of":2})"), "chance");
        const auto orders = asked.orders(round, 2);
        CHECK(orders.size() == one.orders);
        for (const Order& order : orders) {
            const SetKey key{std::span(k_codes).first(order.versions.size()), order.versions, order.reference};
            double right = 0;
            const auto all = answers(asked, round);
            for (const Answer& answer : all) {
                const auto scored = asked.score(key, answer, round, plan);
                REQUIRE(scored.ok());
                right += scored->value;
            }
            CHECK(right / static_cast<double>(all.size()) == Approx(chance).epsilon(1e-12));
        }
    }
}

TEST_CASE("a taster who senses without noise is always right", "[right]") {
    for (const Asked& one : k_asked) {
        INFO(one.id << " " << one.says);
        const Method& asked = method(one.id);
        const Plan plan = plan_of(one.id, {""}, 12, one.says);
        const Round& round = plan.rounds[0];
        const int strong = round.stronger;   // the one with more, where a direction is named; else it is all one
        for (const Order& order : asked.orders(round, 2)) {
            std::vector<double> sensed;
            for (const int version : order.versions) sensed.push_back(version == strong ? 5.0 : 0.0);
            const auto codes = std::span(k_codes).first(order.versions.size());
            const Answer answer = asked.decide({.portions = sensed, .reference = order.reference == strong ? 5.0 : 0.0, .d = 5}, codes, round, plan);
            CHECK(asked.score({codes, order.versions, order.reference}, answer, round, plan)->value == 1.0);
        }
    }
}

// Three ways to make pairs are to a tetrad what three places are to a triangle: served unequally, D is held against them as well.
TEST_CASE("orders served unequally: a tetrad has its exact test, five have none and say why", "[right]") {
    for (const auto& [id, says, tested] : {std::tuple{"tetrad", "{}", true}, {"tetrad", R"({"attribute":"saltier","stronger":"new"})", false},
                                          {"two-out-of-five", "{}", false}, {"duo-trio", "{}", true}}) {
        INFO(id << " " << says);
        const Method& asked = method(id);
        const Plan plan = plan_of(id, {""}, 12, says);
        std::vector<Observation> seen;
        for (std::int32_t i = 0; i < 12; ++i) {
            const Order order = asked.orders(plan.rounds[0], 2).front();   // all the same order: habit explains everything
            const SetKey key{std::span(k_codes).first(order.versions.size()), order.versions, order.reference};
            Observation one;
            one.taster = one.ballot = i;
            for (const Answer& answer : answers(asked, plan.rounds[0])) {
                one.scored = *asked.score(key, answer, plan.rounds[0], plan);
                if (one.scored.value > 0) break;
            }
            seen.push_back(one);
        }
        const RoundFindings found = asked.analyse(asked, seen, plan.rounds[0], plan);
        CHECK(found.verdict == (tested ? "unsettled" : "different"));
        if (tested)
            CHECK(number(found.pooled, "p_value_order") == Approx(1));
        else
            CHECK(is_null_with_why(found.pooled, "p_value_order"));
    }
}

TEST_CASE("half a direction is refused", "[right]") {
    for (const char* says : {R"({"attribute":"saltier"})", R"({"stronger":"new"})"}) {
        const Method& tetrad = method("tetrad");
        Plan plan = plan_of("tetrad", {""}, 12);
        const auto given = core::parse_json(says);
        for (const auto& [key, value] : given->as_object()) plan.rounds[0].settings.insert_or_assign(key, value.as_string());
        core::Faults faults;
        tetrad.settle(tetrad, plan.rounds[0], plan, "/rounds/0", faults);
        CHECK(faults.size() == 1);
    }
}
