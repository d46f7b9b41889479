// Too little, just right, too much: plain tables and a round.
#include <cmath>
#include <map>

#include "oddplate/core/text.hpp"
#include "unit/methods/support.hpp"

using namespace oddplate;
using namespace oddplate::methods;
using namespace oddplate::methods::testing;

namespace {

using Rows = std::vector<std::vector<std::string>>;

core::Result<Findings> levels(const Rows& rows, std::vector<std::string> columns = {"taster", "sample", "level", "liking"}) {
    PlainTable table{.columns = std::move(columns), .rows = {}};
    for (std::size_t i = 0; i < rows.size(); ++i) table.rows.push_back({i + 2, rows[i]});
    const Method& asked = method("just-about-right");
    return asked.weigh(asked, table, {});
}

const List& list_of(const Findings& findings, std::string_view key) {
    for (const List& one : findings.lists)
        if (one.key == key) return one;
    FAIL("no list " << key);
    return findings.lists.front();
}

const Value& cell(const std::vector<Field>& row, std::string_view key) {
    for (const Field& field : row)
        if (field.key == key) return field.value;
    FAIL("no " << key);
    return row.front().value;
}

double real(const std::vector<Field>& row, std::string_view key) {
    const Value& value = cell(row, key);
    if (const auto* whole = std::get_if<std::int64_t>(&value)) return static_cast<double>(*whole);
    const auto* number = std::get_if<double>(&value);
    INFO(key);
    REQUIRE(number != nullptr);
    return *number;
}

std::string text(const std::vector<Field>& row, std::string_view key) { return std::get<std::string>(cell(row, key)); }

/// 60 people, two samples, salt and smoke; the salty one is too salty for 24, who like it two points less.
Rows evening() {
    Rows rows;
    for (int t = 0; t < 60; ++t) {
        const bool much = t % 5 < 2;
        const int mild = t % 7 == 0 ? -1 : 0;
        rows.push_back({"t" + std::to_string(t), "salty", much ? "too much" : "Just-Right", std::to_string((much ? 5 : 7) + t % 3 - 1), "salt"});
        rows.push_back({"t" + std::to_string(t), "salty", t % 11 == 0 ? "1" : "0", "", "smoke"});
        rows.push_back({"t" + std::to_string(t), "mild", std::to_string(mild), std::to_string(6 + t % 4 - 1), "salt"});
        rows.push_back({"t" + std::to_string(t), "mild", "0", std::to_string(6 + t % 4 - 1), "smoke"});
    }
    return rows;
}

const std::vector<std::string> k_with_attribute{"taster", "sample", "level", "liking", "attribute"};

std::string words_of(const Findings& findings) { return said(method("just-about-right"), findings.words); }

}   // namespace

TEST_CASE("too much salt goes with lower liking, and the pair that would show it is named", "[just-right]") {
    const auto found = levels(evening(), k_with_attribute);
    REQUIRE(found);
    int compared = 0;
    for (const auto& row : list_of(*found, "drops").rows) {
        if (std::holds_alternative<std::monostate>(cell(row, "drop"))) continue;
        ++compared;
        CHECK(text(row, "sample") == "salty");
        CHECK(text(row, "attribute") == "salt");
        CHECK(text(row, "side") == "too-much");
        CHECK(real(row, "share") == Approx(0.4));
        CHECK(real(row, "drop") == Approx(2).margin(0.2));
        CHECK(real(row, "lower") > 1);
        CHECK(real(row, "upper") < 3);
        CHECK(real(row, "p_adjusted") < 1e-4);
    }
    CHECK(compared == 1);   // 9 people find the mild one too mild, 6 the salty one too smoky
    const std::string words = words_of(*found);
    CHECK(words.find("salty has too much salt. So said 24 of 60 people, and 0 that it has too little;") == 0);
    CHECK(words.find("Too much salt goes with lower liking of salty: 24 people") != std::string::npos);
    // R 4.2.2: binom.test(24, 24)$p.value is 1.192093e-07; the smallest of four (salt and smoke, two samples), so times 4 by Holm.
    const auto& first = list_of(*found, "distribution").rows[0];
    CHECK(real(first, "p_value_side") == Approx(1.192093e-07).epsilon(1e-6));
    CHECK(real(first, "p_adjusted_side") == Approx(4 * std::pow(0.5, 23)).epsilon(1e-12));
    CHECK(words.find("salty against the same with less salt, side by side") != std::string::npos);
    CHECK(words.find("not causing it") != std::string::npos);
}

TEST_CASE("what the sorts pull at a sample's mean sums to nothing", "[just-right]") {
    const auto found = levels(evening(), k_with_attribute);
    REQUIRE(found);
    std::map<std::string, double> pulls, people;
    for (const auto& row : list_of(*found, "liking").rows) {
        const std::string key = text(row, "attribute") + "/" + text(row, "sample");
        pulls[key] += real(row, "pull");
        people[key] += real(row, "people");
    }
    REQUIRE(pulls.size() == 4);
    for (const auto& [key, pull] : pulls) {
        INFO(key);
        CHECK(std::abs(pull) < 1e-12);   // the sum over groups of n (mean - grand mean) is 0
        CHECK(people[key] == 60);
    }
}

// McNemar's exact test of 25 against 5 changes by 40-digit arithmetic is in tests/unit/stats/preference.test.cpp; here the counts are the point.
TEST_CASE("a change between two samples is counted by the people who tasted both", "[just-right]") {
    Rows rows;
    for (int t = 0; t < 30; ++t) {
        rows.push_back({std::to_string(t), "a", t < 12 ? "-2" : t < 22 ? "0" : "2", ""});
        if (t < 28) rows.push_back({std::to_string(t), "b", t < 10 ? "0" : t < 24 ? "0" : "1", ""});
    }
    const auto found = levels(rows);
    REQUIRE(found);
    const auto& change = list_of(*found, "changes").rows.at(0);
    CHECK(real(change, "people") == 28);
    CHECK(real(change, "gained") == 14);   // 12 too mild for a, two too strong
    CHECK(real(change, "lost") == 0);
    CHECK(real(change, "p_value_just_right") == Approx(2 * std::pow(0.5, 14)).epsilon(1e-12));
    CHECK(real(change, "df") == 2);
    CHECK(real(change, "p_value_exact") < 0.001);
    CHECK(std::get<bool>(cell(list_of(*found, "distribution").rows[1], "leads")));
    CHECK_FALSE(std::get<bool>(cell(list_of(*found, "distribution").rows[0], "leads")));
    CHECK(real(list_of(*found, "distribution").rows[0], "mean_level") == Approx((-24.0 + 16) / 30));
}

TEST_CASE("levels that say little get nulls and a reason", "[just-right]") {
    const auto alone = levels({{"ann", "a", "0", "7"}, {"ann", "b", "0", "6"}});
    REQUIRE(alone);
    CHECK(std::holds_alternative<std::monostate>(cell(list_of(*alone, "changes").rows[0], "p_value")));
    CHECK(words_of(*alone).find("can't be told") != std::string::npos);
    CHECK(words_of(*alone).find("12 people, and 20 %") != std::string::npos);
    const auto nobody = levels({});
    REQUIRE(nobody);
    CHECK(words_of(*nobody).find("no answers") != std::string::npos);
    const auto gap = levels({{"ann", "a", "", "7"}});
    REQUIRE(gap);
    CHECK(number(*gap, "left_out") == 1);
}

TEST_CASE("tables of levels that contradict themselves are refused with their line", "[just-right]") {
    const auto first = [](const Rows& rows, std::vector<std::string> columns = {"taster", "sample", "level", "liking"}) {
        const auto found = levels(rows, std::move(columns));
        REQUIRE_FALSE(found);
        return found.faults()[0].line();
    };
    CHECK(first({{"ann", "a", "salty", "7"}}).find("line 2 level: found salty, expected too-little, just-right or too-much") == 0);
    CHECK(first({{"ann", "a", "3", "7"}}).find("line 2 level: found 3") == 0);
    CHECK(first({{"ann", "a", "0.5", "7"}}).find("line 2 level: found 0.5") == 0);
    CHECK(first({{"ann", "a", "0", "good"}}).find("line 2 liking: found good") == 0);
    CHECK(first({{"ann", "a", "0", "7"}, {"ann", "a", "1", "7"}}).find("line 3: found taster ann and sample a a second time, expected one line a taster and sample") == 0);
    CHECK(first({{"ann", "a", "0", "7", "salt"}, {"ann", "a", "1", "6", "smoke"}}, k_with_attribute).find("line 3 liking: found 6, expected 7 as before") == 0);
}

TEST_CASE("a round asks for liking and levels, and says which is most often just right", "[just-right]") {
    const Method& asked = method("just-about-right");
    const Plan plan = plan_of("just-about-right", {""}, 40, R"({"attributes":"salt, smoke"})");
    const auto orders = asked.orders(plan.rounds[0], 2);
    const std::vector<std::string> codes{"417", "862"};
    std::vector<Observation> seen;
    for (int t = 0; t < 40; ++t) {
        Observation one{.taster = t, .ballot = t, .order = t % 2, .scored = {}};
        const auto& versions = orders[static_cast<std::size_t>(one.order)].versions;
        std::string answer;
        for (std::size_t p = 0; p < 2; ++p) answer += codes[p] + (versions[p] == 1 ? ":7/0/0 " : t % 4 == 0 ? ":6/0/-1 " : ":5/1/0 ");
        const auto parsed = parse_answer(answer);
        REQUIRE(parsed);
        CHECK(check_answer(*parsed, asked.shape(plan.rounds[0]), false, codes));
        CHECK(canonical_text(*parse_answer(canonical_text(*parsed, codes)), codes) == core::trimmed(answer));
        const auto scored = asked.score({codes, versions, -1}, *parsed, plan.rounds[0], plan);
        REQUIRE(scored);
        one.scored = *scored;
        seen.push_back(one);
    }
    const RoundFindings found = asked.analyse(asked, seen, plan.rounds[0], plan);
    CHECK(found.verdict == "one-leads");
    CHECK(asked.verdict(asked, seen, plan.rounds[0], plan) == found.verdict);
    CHECK(said(asked, found.words).find("new is most often just right (salt).") == 0);
    CHECK_FALSE(check_answer(*parse_answer("417:7 862:5"), asked.shape(plan.rounds[0]), false, codes));
    CHECK_FALSE(check_answer(*parse_answer("417:7/2/0 862:5/0/0"), asked.shape(plan.rounds[0]), false, codes));
}

// Nobody can say which is most often just right in salt, but smoke is too little for most: that leads, and the change is told by the sort that moved.
TEST_CASE("a round leads with the side that is shown where no recipe is", "[just-right]") {
    const Method& asked = method("just-about-right");
    const Plan plan = plan_of("just-about-right", {""}, 40, R"({"attributes":"salt, smoke"})");
    std::vector<Observation> seen;
    for (int t = 0; t < 40; ++t) {
        const double smoke = t % 8 == 0 ? 0 : -1;
        seen.push_back({.taster = t, .ballot = t, .order = 0, .scored = Scored{.values = {6, 6}, .samples = {0, 1}, .levels = {{0, smoke}, {0, t % 4 == 0 ? -1.0 : t % 2 == 0 ? 1.0 : 0.0}}}});
    }
    const RoundFindings found = asked.analyse(asked, seen, plan.rounds[0], plan);
    CHECK(found.verdict == "no-clear-order");
    REQUIRE(found.words.size() > 2);
    CHECK(found.words[0].id == "just_right.side.too-little");
    CHECK(found.words[1].id == "just_right.no-clear-order");
    const auto change = std::find_if(found.words.begin(), found.words.end(), [](const core::Sentence& one) { return one.id.starts_with("just_right.change."); });
    REQUIRE(change != found.words.end());
    CHECK(change->id == "just_right.change.too-little");   // 35 and 10; just right 5 and 20
    CHECK(std::get<std::int64_t>(change->args.at("in_a")) == 35);
    CHECK(std::get<std::int64_t>(change->args.at("in_b")) == 10);
}

TEST_CASE("just right by any spot: spots that contradict each other are said to", "[just-right]") {
    const Method& asked = method("just-about-right");
    Plan plan = plan_of("just-about-right", {"edge", "centre"}, 40, R"({"attributes":"salt"})");
    plan.rounds[0].decide_on = DecideOn::any_spot;
    std::vector<Observation> seen;
    for (int t = 0; t < 40; ++t)
        for (int spot = 0; spot < 2; ++spot)
            seen.push_back({.taster = t, .ballot = t, .spot = spot, .order = 0, .scored = Scored{.values = {6, 6}, .samples = {0, 1}, .levels = {{spot == 0 ? 0.0 : 1.0}, {spot == 0 ? 1.0 : 0.0}}}});
    const RoundFindings found = asked.analyse(asked, seen, plan.rounds[0], plan);
    CHECK(found.verdict == "no-clear-order");
    CHECK(asked.verdict(asked, seen, plan.rounds[0], plan) == "no-clear-order");
    CHECK(std::any_of(found.words.begin(), found.words.end(), [](const core::Sentence& one) { return one.id == "just_right.disagree.any" && std::get<std::string>(one.args.at("fronts")) == "current at edge and new at centre"; }));
    CHECK(std::any_of(found.words.begin(), found.words.end(), [](const core::Sentence& one) { return one.id == "leads.next.by_spot"; }));
    CHECK(found.warnings == std::vector<std::string>{"spots_disagree"});
    plan.rounds[0].decide_on = DecideOn::each_spot;
    const RoundFindings each = asked.analyse(asked, seen, plan.rounds[0], plan);
    CHECK(each.verdict == "no-clear-order");
    CHECK(std::any_of(each.words.begin(), each.words.end(),
                      [](const core::Sentence& one) { return one.id == "just_right.disagree.each" && std::get<std::string>(one.args.at("fronts")) == "current at edge and new at centre"; }));
}

// All call the new one too weak at the edge and too strong at the centre, so nobody ever called it just right: it doesn't lead, and the spots are named.
TEST_CASE("too little here and too much there is not just right", "[just-right]") {
    const Method& asked = method("just-about-right");
    Plan plan = plan_of("just-about-right", {"edge", "centre"}, 40, R"({"attributes":"salt"})");
    std::vector<Observation> seen;
    for (int t = 0; t < 40; ++t)
        for (int spot = 0; spot < 2; ++spot)
            seen.push_back({.taster = t, .ballot = t, .spot = spot, .order = 0, .scored = Scored{.values = {6, 6}, .samples = {0, 1}, .levels = {{t % 3 == 0 ? 1.0 : 0.0}, {spot == 0 ? -1.0 : 1.0}}}});
    const RoundFindings found = asked.analyse(asked, seen, plan.rounds[0], plan);
    const auto says = [&](std::string_view id) { return std::any_of(found.words.begin(), found.words.end(), [&](const core::Sentence& one) { return one.id == id; }); };
    CHECK(says("just_right.side_turns"));
    CHECK(says("just_right.torn.apart"));
    for (const core::Sentence& one : found.words)
        if (one.id == "just_right.one-leads") CHECK(std::get<std::string>(one.args.at("front")) == "current");
    // On average the new one is just right for more people, but at the centre for none of them.
    std::vector<Observation> turned;
    for (int t = 0; t < 60; ++t)
        for (int spot = 0; spot < 2; ++spot) {
            if (spot == 1 && t >= 24) continue;
            turned.push_back({.taster = t, .ballot = t, .spot = spot, .order = 0, .scored = Scored{.values = {6, 6}, .samples = {0, 1}, .levels = {{spot == 0 ? 1.0 : 0.0}, {spot == 0 ? 0.0 : -1.0}}}});
        }
    const RoundFindings opposite = asked.analyse(asked, turned, plan.rounds[0], plan);
    CHECK(opposite.verdict == "no-clear-order");
    CHECK(opposite.warnings == std::vector<std::string>{"spots_disagree"});
    CHECK(asked.verdict(asked, turned, plan.rounds[0], plan) == "no-clear-order");
    CHECK(std::any_of(opposite.words.begin(), opposite.words.end(), [](const core::Sentence& one) { return one.id == "just_right.turned"; }));
}
