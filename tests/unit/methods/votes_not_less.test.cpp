// "Not less than this share" with several votes a taster, against plain enumeration of all subsets and all signs.

#include <algorithm>
#include <catch2/catch.hpp>
#include <cmath>

#include "support.hpp"

using namespace oddplate;
using namespace oddplate::methods;
using namespace oddplate::methods::testing;

namespace {

struct Taster {
    int for_new, for_current;
};

std::vector<Observation> given(const std::vector<Taster>& tasters) {
    std::vector<Observation> seen;
    for (std::size_t i = 0; i < tasters.size(); ++i) {
        for (int vote = 0; vote < tasters[i].for_new + tasters[i].for_current; ++vote) {
            Observation one;
            one.taster = one.ballot = static_cast<std::int32_t>(i);
            one.order = static_cast<std::int32_t>(seen.size() % 2);
            one.place = vote;
            one.scored.value = vote < tasters[i].for_new ? 1 : -1;
            one.scored.picked = (one.scored.value > 0) == (one.order == 1) ? 0 : 1;
            seen.push_back(one);
        }
    }
    return seen;
}

double by_hand(const std::vector<Taster>& tasters, double share) {
    const std::size_t n = tasters.size();
    double votes = 0, sizes = 0, observed = 0, for_new = 0;
    for (const Taster& one : tasters) {
        votes += one.for_new + one.for_current;
        for_new += one.for_new;
        sizes += std::abs(one.for_new - one.for_current);
        observed += one.for_new - one.for_current;
    }
    double binomial = 0;
    for (double k = for_new; k <= votes; ++k)
        binomial += std::exp(std::lgamma(votes + 1) - std::lgamma(k + 1) - std::lgamma(votes - k + 1) + k * std::log(share) +
                             (votes - k) * std::log1p(-share));
    const double q = std::clamp(sizes == 0 ? 0.5 : 0.5 + (share - 0.5) * votes / sizes, 0.0, 1.0);
    double subsets = 0, kept = 0;
    for (std::uint32_t mask = 0; mask < (1u << n); ++mask) {
        double new_in = 0, all_in = 0, sum = 0, weight = 1;
        for (std::size_t i = 0; i < n; ++i) {
            const bool in = mask >> i & 1u;
            const int net = tasters[i].for_new - tasters[i].for_current;
            if (in) new_in += tasters[i].for_new;
            if (in) all_in += tasters[i].for_new + tasters[i].for_current;
            sum += in ? std::abs(net) : -std::abs(net);
            weight *= net == 0 ? 0.5 : in ? q : 1 - q;
        }
        if (new_in <= share * all_in + 1e-9) subsets += std::ldexp(1.0, -static_cast<int>(n));
        if (sum >= observed) kept += weight;
    }
    return std::max({binomial, subsets, kept});
}

}   // namespace

TEST_CASE("votes_not_less: the tail by tasters equals the largest of three, enumerated", "[votes][exhaustive]") {
    const std::vector<std::vector<Taster>> panels{{{2, 0}, {1, 1}, {0, 2}, {2, 0}, {2, 0}, {1, 1}},
                                                  {{4, 0}, {4, 0}, {0, 4}, {3, 1}, {2, 2}, {4, 0}, {1, 3}},
                                                  {{1, 1}, {1, 1}, {2, 0}},
                                                  {{3, 0}, {3, 0}, {2, 1}, {0, 1}, {5, 0}, {1, 2}, {2, 2}, {1, 0}, {0, 2}}};
    for (const auto& panel : panels) {
        for (const double share : {.2, .35, .4, .5, .6}) {
            core::Json flags = core::Json::object();
            flags.set("not_less", share);
            const Plan plan = plan_of("paired-preference", {"edge"}, 12, core::to_text(flags));
            const Method& asked = method("paired-preference");
            const RoundFindings found = asked.analyse(asked, given(panel), plan.rounds[0], plan);
            CAPTURE(share, panel.size());
            CHECK(number(found.pooled, "not_less.p_value") == Approx(by_hand(panel, share)).epsilon(1e-10));
        }
    }
}

TEST_CASE("votes_not_less: tasters who always vote alike are false alarms at most alpha times", "[votes][exhaustive]") {
    // Two kinds of taster, four votes each, at the share itself; the count of votes would alarm .2.
    for (const double share : {.3, .4, .45}) {
        core::Json flags = core::Json::object();
        flags.set("not_less", share);
        const Plan plan = plan_of("paired-preference", {"edge"}, 20, core::to_text(flags));
        const Method& asked = method("paired-preference");
        double alarms = 0;
        for (int k = 0; k <= 20; ++k) {
            std::vector<Taster> panel(20, {0, 4});
            std::fill_n(panel.begin(), k, Taster{4, 0});
            const RoundFindings found = asked.analyse(asked, given(panel), plan.rounds[0], plan);
            if (std::get<bool>(*found.pooled.find("not_less.holds")))
                alarms += std::exp(std::lgamma(21) - std::lgamma(k + 1) - std::lgamma(21 - k) + k * std::log(share) +
                                   (20 - k) * std::log1p(-share));
        }
        CAPTURE(share);
        CHECK(alarms <= 0.05);
        CHECK(alarms > 0.005);
    }
}

TEST_CASE("votes_not_less: a panel too large for the sum says so", "[votes]") {
    const Plan plan = plan_of("paired-preference", {"edge"}, 400, R"({"not_less":0.4})");
    const Method& asked = method("paired-preference");
    const RoundFindings found = asked.analyse(asked, given(std::vector<Taster>(400, {2, 1})), plan.rounds[0], plan);
    CHECK(is_null_with_why(found.pooled, "not_less.p_value"));
    CHECK_FALSE(std::get<bool>(*found.pooled.find("not_less.holds")));
}
