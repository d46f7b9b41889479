// The adviser against brute force: every method's own size at the same difference.

#include "oddplate/methods/advise.hpp"

#include <algorithm>
#include <catch2/catch.hpp>
#include <set>

#include "oddplate/stats/curves.hpp"
#include "unit/methods/support.hpp"

using namespace oddplate;
using namespace oddplate::methods;

namespace {

Asked asked(Wanted wanted, bool direction, double in_ten = 4, std::optional<std::int64_t> people = {}) {
    Asked asked;
    asked.wanted = wanted;
    asked.direction = direction;
    asked.notice_in_ten = in_ten;
    asked.people = people;
    return asked;
}

AdviceGiven given(const Asked& asked) {
    auto advice = advise(asked);
    REQUIRE(advice.ok());
    return *advice;
}

}   // namespace

TEST_CASE("advice ranks as brute force does, at one difference", "[advise]") {
    for (const double in_ten : {2.0, 4.0, 6.0})
        for (const Wanted wanted : {Wanted::noticed, Wanted::same}) {
            const AdviceGiven advice = given(asked(wanted, true, in_ten));
            // Gain of the triangle at this d is two thirds of the share who notice (Ura 1960).
            CHECK(stats::triangle_link().gain(advice.d_prime) == Approx(in_ten / 10 * 2 / 3).epsilon(1e-12));
            CHECK(advice.methods.size() >= 2);
            std::int64_t last = 0;
            bool still_fits = true;
            for (const Advised& advised : advice.methods) {
                Settings settings{{"detect_d", advice.d_prime}};
                if (wanted == Wanted::same) settings.emplace("aim", std::string("similarity"));
                if (!advised.flag.empty()) settings.emplace(std::string(advised.flag), true);
                const auto size = advised.method->size(*advised.method, settings);
                REQUIRE(size.ok());
                CHECK(static_cast<double>(advised.tasters) == *size->number("tasters"));
                CHECK((still_fits || !advised.fits));   // those that fit come first
                CHECK((advised.tasters >= last || still_fits != advised.fits));
                still_fits = advised.fits;
                last = advised.tasters;
            }
        }
}

TEST_CASE("without a word for the change no directed method is advised", "[advise]") {
    for (const Advised& advised : given(asked(Wanted::noticed, false)).methods)
        CHECK(std::none_of(advised.method->advice.begin(), advised.method->advice.end(),
                           [&](const Advice& way) { return way.reason == advised.reason && way.directed; }));
    CHECK(given(asked(Wanted::noticed, true)).methods.front().tasters < given(asked(Wanted::noticed, false)).methods.front().tasters);
}

// What people learn A by lies on no tray, and is cut and eaten all the same.
TEST_CASE("advice counts every portion that is eaten", "[advise]") {
    bool learns = false;
    for (const Wanted wanted : {Wanted::noticed, Wanted::same})
        for (const Advised& advised : given(asked(wanted, true, 4, 10)).methods) {
            INFO(advised.method->id);
            CHECK(advised.learn == (advised.method->id == "a-not-a" ? 2 : 0));
            CHECK(advised.servings_per_spot == advised.tasters * (advised.portions + advised.learn));
            CHECK(advised.portions_a_head() == advised.sets * advised.portions + advised.learn);
            learns = learns || advised.learn > 0;
        }
    CHECK(learns);
}

TEST_CASE("few people take several trays, unless few enough is the question", "[advise]") {
    const AdviceGiven advice = given(asked(Wanted::noticed, true, 4, 5));
    for (const Advised& advised : advice.methods) {
        Settings settings{{"detect_d", advice.d_prime}};
        if (!advised.flag.empty()) settings.emplace(std::string(advised.flag), true);
        const double safe = *advised.method->size(*advised.method, settings)->number("tasters_safe");   // a count between may have less power
        CHECK(static_cast<double>(advised.sets * 5) >= safe);
        CHECK(static_cast<double>((advised.sets - 1) * 5) < safe);
        CHECK(advised.fits == (advised.portions_a_head() <= 6));
    }
    for (const Advised& advised : given(asked(Wanted::same, false, 4, 5)).methods) CHECK_FALSE(advised.fits);
}

TEST_CASE("every method can be rehearsed and advised on", "[advise]") {
    std::set<std::string_view> ids;
    for (const Wanted wanted : {Wanted::noticed, Wanted::liked, Wanted::same})
        for (const Advised& advised : given(asked(wanted, true)).methods) ids.insert(advised.method->id);
    for (const Method* method : all()) {
        INFO(method->id);
        CHECK(method->decide != nullptr);
        CHECK_FALSE(method->verdicts.empty());
        if (method->size != nullptr && !method->advice.empty()) CHECK(ids.contains(method->id));
    }
}

TEST_CASE("advice without a share of ten is refused", "[advise]") {
    CHECK_FALSE(advise(asked(Wanted::noticed, false, 0)).ok());
    CHECK_FALSE(advise(asked(Wanted::noticed, false, 10)).ok());
}

TEST_CASE("liking is sized for the share asked for, whatever people notice", "[advise]") {
    for (const double share : {0.6, 0.7, 0.3}) {
        Asked question = asked(Wanted::liked, false, 2);
        question.share = share;
        const AdviceGiven first = given(question);
        question.notice_in_ten = 8;
        const AdviceGiven second = given(question);
        REQUIRE(first.methods.size() == 1);
        CHECK(first.share == share);
        CHECK(first.methods[0].tasters == second.methods[0].tasters);
        const Method& votes = *first.methods[0].method;
        CHECK(static_cast<double>(first.methods[0].tasters) == *votes.size(votes, {{"share", share}})->number("tasters"));
    }
    Asked even = asked(Wanted::liked, false);
    even.share = 0.5;
    CHECK_FALSE(advise(even).ok());
}

TEST_CASE("words can show few enough too, and what takes too many answers is named", "[advise]") {
    std::set<std::string_view> ids;
    for (const Advised& advised : given(asked(Wanted::same, false, 6)).methods) ids.insert(advised.method->id);
    CHECK(ids.contains("a-not-a"));
    CHECK(ids.contains("same-different"));
    const AdviceGiven small = given(asked(Wanted::same, false, 0.1));
    CHECK_FALSE(small.beyond.empty());
    for (const Advised& advised : small.methods) CHECK(advised.tasters > 0);
}

TEST_CASE("more votes from the same people are no way to ask what is liked", "[advise]") {
    Asked question = asked(Wanted::liked, false, 4, 24);
    const Advised few = given(question).methods.at(0);
    CHECK(few.sets == 1);
    CHECK_FALSE(few.enough_people);
    CHECK_FALSE(few.fits);
    question.people = few.tasters;
    CHECK(given(question).methods.at(0).fits);
}

TEST_CASE("what a spot can give orders the methods too", "[advise]") {
    Asked question = asked(Wanted::noticed, true, 4);
    const std::vector<Advised> plenty = given(question).methods;
    std::int64_t least = plenty.front().servings_per_spot;
    for (const Advised& advised : plenty) least = std::min(least, advised.servings_per_spot);
    question.servings = least;
    const std::vector<Advised> scarce = given(question).methods;
    CHECK(scarce.front().fits);
    for (const Advised& advised : scarce) {
        CHECK(advised.enough_meat == (advised.servings_per_spot <= least));
        CHECK((advised.enough_meat || !advised.fits));
    }
    question.servings = 1;
    for (const Advised& advised : given(question).methods) CHECK_FALSE(advised.fits);
}
