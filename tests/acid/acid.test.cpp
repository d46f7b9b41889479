// Three made-up methods, each one file: a right answer, votes with ties, scores without a curve. Each must show up in the table,
// the plan, the draw, the answers and the verdict without a word elsewhere.
#include <algorithm>

#include "unit/methods/support.hpp"

#include "oddplate/draw/draw.hpp"
#include "oddplate/judge/judge.hpp"
#include "oddplate/tasting/plan_json.hpp"

using namespace oddplate;
using namespace oddplate::methods;
using namespace oddplate::methods::testing;

namespace {

constexpr const char* k_plan = R"({"title":"Three made-up questions",
  "versions":[{"id":"current","label":"2.4 % cure"},{"id":"new","label":"2.0 % cure"}],"tasters":24,
  "rounds":[{"method":"odd-of-four","spots":["edge","centre"],"detect_pd":0.4},
            {"method":"finish-first","spots":["edge"]},
            {"method":"point-score","spots":["edge"],"weight":"double"}]})";

Plan plan() {
    const auto read = tasting::read_plan(k_plan, "plan.json");
    INFO((read.ok() ? std::string{} : read.faults()[0].line()));
    REQUIRE(read.ok());
    return *read;
}

draw::Drawn drawn(const Plan& from) {
    auto dealt = draw::draw(from, core::sha256("acid"));
    REQUIRE(dealt.ok());
    return *dealt;
}

/// What a panel answers that tells everything apart and always favours the second recipe; ties now and then.
std::string answer_of(const Method& asked, const std::vector<std::string>& codes, const draw::KeySet& key, int ballot) {
    std::vector<int> versions;
    for (const auto& portion : key.portions) versions.push_back(portion.version);
    if (std::holds_alternative<ScoreEach>(asked.shape(Round{})))
        return codes[0] + ":" + std::to_string(4 + versions[0]) + " " + codes[1] + ":" + std::to_string(4 + versions[1]);
    if (asked.may_abstain(Round{}) && ballot % 5 == 4) return "none";
    for (std::size_t i = 0; i < codes.size(); ++i)
        if (versions.size() == 2 ? versions[i] == 1 : std::count(versions.begin(), versions.end(), versions[i]) == 1)
            return codes[i];
    FAIL("no portion stands out");
    return {};
}

judge::Case answered(const Plan& from) {
    const draw::Drawn dealt = drawn(from);
    judge::Case subject{};
    subject.plan = from;
    subject.room = dealt.room;
    subject.key = dealt.key;
    const auto ballots = dealt.room.ballots.size();
    subject.tasters.assign(ballots, "");
    subject.void_ballots.assign(ballots, false);
    subject.told_beforehand.assign(ballots, std::nullopt);
    for (int ballot = 0; ballot < from.tasters; ++ballot)
        for (std::size_t set = 0; set < dealt.room.ballots[static_cast<std::size_t>(ballot)].sets.size(); ++set) {
            const auto& room = dealt.room.ballots[static_cast<std::size_t>(ballot)].sets[set];
            const Method& asked = method(from.rounds[static_cast<std::size_t>(room.round)].method);
            const std::string text =
                answer_of(asked, room.codes, dealt.key.ballots[static_cast<std::size_t>(ballot)].sets[set], ballot);
            const auto answer = parse_answer(text);
            REQUIRE(answer.ok());
            const Round& round = from.rounds[static_cast<std::size_t>(room.round)];
            REQUIRE(check_answer(*answer, asked.shape(round), asked.may_abstain(round), room.codes).ok());
            subject.answers.push_back({ballot, static_cast<int>(set), canonical_text(*answer, room.codes), false});
        }
    return subject;
}

}   // namespace

TEST_CASE("three made-up methods are in the table", "[acid]") {
    for (const char* id : {"finish-first", "odd-of-four", "point-score", "triangle", "paired-preference", "two-afc"})
        CHECK(find(id).ok());
    CHECK(all().size() >= 6);
}

TEST_CASE("a plan with them is read, and its faults are named", "[acid]") {
    const Plan read = plan();
    REQUIRE(read.rounds.size() == 3);
    CHECK(words(read.rounds[2].settings, "weight") == "double");
    CHECK(number(read.rounds[0].settings, "same_below_pd") == 0.4);
    std::string bad = k_plan;
    bad.replace(bad.find("\"double\""), 8, "\"triple\"");
    const auto refused = tasting::read_plan(bad, "plan.json");
    REQUIRE_FALSE(refused.ok());
    CHECK(refused.faults()[0].line() == "plan.json /rounds/2/weight: found \"triple\", expected one of plain, double");
}

TEST_CASE("they are drawn in balance", "[acid]") {
    const Plan from = plan();
    const draw::Drawn dealt = drawn(from);
    REQUIRE(dealt.room.ballots.size() == static_cast<std::size_t>(from.ballots()));
    std::map<std::pair<int, int>, std::map<int, int>> counts;   // round and spot, order: ballots
    for (std::size_t ballot = 0; ballot < dealt.room.ballots.size(); ++ballot) {
        REQUIRE(dealt.room.ballots[ballot].sets.size() == 4);
        for (std::size_t set = 0; set < 4; ++set) {
            const auto& room = dealt.room.ballots[ballot].sets[set];
            const Method& asked = method(from.rounds[static_cast<std::size_t>(room.round)].method);
            CHECK(room.codes.size() == static_cast<std::size_t>(asked.portions));
            if (ballot < 24) ++counts[{room.round, room.spot}][dealt.key.ballots[ballot].sets[set].order];
        }
    }
    for (const auto& [where, orders] : counts) {
        const auto& asked = method(from.rounds[static_cast<std::size_t>(where.first)].method);
        const auto expected = asked.orders(from.rounds[static_cast<std::size_t>(where.first)], 2).size();
        CHECK(orders.size() == expected);
        for (const auto& [order, times] : orders) CHECK(times == 24 / static_cast<int>(expected));
    }
}

TEST_CASE("they are judged by their own rules and say so in their own words", "[acid]") {
    const judge::Case subject = answered(plan());
    const auto judged = judge::judge(subject);
    INFO((judged.ok() ? std::string{} : judged.faults()[0].line()));
    REQUIRE(judged.ok());
    REQUIRE(judged->rounds.size() == 3);
    CHECK(judged->verdict == "different");
    CHECK(judged->rounds[0].findings.pooled.number("correct") == 48);
    CHECK(judged->rounds[0].findings.pooled.number("chance") == 0.25);
    CHECK(judged->rounds[1].findings.verdict == "other-first");
    CHECK(judged->rounds[1].findings.pooled.number("ties") == 4);
    CHECK(judged->rounds[2].findings.verdict == "more-points");
    CHECK(judged->rounds[2].findings.pooled.number("mean") == 1);
    for (const auto& round : judged->rounds) {
        INFO(round.method);
        CHECK(said(method(round.method), round.findings.words).find('[') == std::string::npos);
    }
}
