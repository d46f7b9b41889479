#include "unit/methods/support.hpp"

#include <algorithm>
#include <cmath>

#include "oddplate/core/philox.hpp"
#include "oddplate/stats/rank_test.hpp"
#include "oddplate/core/text.hpp"

using namespace oddplate;
using namespace oddplate::methods;
using methods::testing::method;
using methods::testing::number;

namespace {

PlainTable table_of(const std::vector<std::vector<double>>& rows, const std::string& names = "ABCDEFG") {
    PlainTable table{.columns = {"taster", "sample", "rank"}, .rows = {}};
    for (std::size_t i = 0; i < rows.size(); ++i)
        for (std::size_t j = 0; j < rows[i].size(); ++j)
            table.rows.push_back({2 + table.rows.size(), {"t" + std::to_string(i), std::string(1, names[j]), core::shortest(rows[i][j])}});
    return table;
}

Findings weighed(const PlainTable& table, const Settings& settings = {}) {
    const Method& ranking = method("ranking");
    const auto found = ranking.weigh(ranking, table, settings);
    INFO((found.ok() ? "" : found.faults()[0].line()));
    REQUIRE(found.ok());
    return *found;
}

Plan plan_of(int versions, Round round) {
    Plan plan;
    for (int i = 0; i < versions; ++i) plan.versions.push_back({std::string(1, static_cast<char>('a' + i)), ""});
    plan.tasters = 24;
    round.method = "ranking";
    core::Faults faults;
    const Method& ranking = method("ranking");
    ranking.settle(ranking, round, plan, "/rounds/0", faults);
    REQUIRE(faults.empty());
    plan.rounds.push_back(round);
    return plan;
}

/// Everybody served in turn; version 0 put first by all, the others as they lie.
std::vector<Observation> first_is_best(const Plan& plan, int people, int spots) {
    const Method& ranking = method("ranking");
    const auto orders = ranking.orders(plan.rounds[0], static_cast<int>(plan.versions.size()));
    std::vector<Observation> seen;
    for (int taster = 0; taster < people; ++taster)
        for (int spot = 0; spot < spots; ++spot) {
            const auto order = static_cast<std::size_t>(taster + 5 * spot) % orders.size();
            std::vector<double> sensed;
            for (const int version : orders[order].versions) sensed.push_back(version == 0 ? 0 : static_cast<double>(1 + (taster * 7 + version * 5 + spot * 3) % 11));
            seen.push_back({taster, taster, spot, static_cast<std::int32_t>(order), spot, Scored{.values = stats::midranks(sensed), .samples = orders[order].versions}});
        }
    return seen;
}

}   // namespace

// ISO 8587:2006, table 1: rank sums 14, 12.5, 20.5, 23; 7.061538462 with the correction for ties.
TEST_CASE("weigh ranking: the standard's example", "[ranks][published]") {
    const Findings found = weighed(table_of({{1, 2, 3, 4}, {4, 1.5, 1.5, 3}, {1, 3, 3, 3}, {1, 3, 4, 2}, {3, 1, 2, 4}, {2, 1, 3, 4}, {2, 1, 4, 3}}));
    CHECK(number(found, "rank_sums.A") == 14);
    CHECK(number(found, "rank_sums.B") == 12.5);
    CHECK(number(found, "rank_sums.C") == 20.5);
    CHECK(number(found, "rank_sums.D") == 23);
    CHECK(number(found, "friedman.statistic") == Approx(7.061538462).margin(5e-10));
    CHECK(number(found, "friedman.df") == 3);
    CHECK(number(found, "friedman.p_value") == Approx(0.06996198).margin(5e-9));
    CHECK(number(found, "friedman.p_value_exact") > 0.03);
    CHECK(found.verdict == "no-clear-order");
    REQUIRE(found.lists.size() >= 2);
    CHECK(found.lists[1].rows.size() == 6);
}

TEST_CASE("weigh ranking: an empty rank is a gap", "[ranks]") {
    PlainTable gaps = table_of({{1, 2, 3}, {1, 3, 2}, {2, 1, 3}, {1, 2, 3}}), without = gaps;
    gaps.rows[4].cells.back() = " ";
    without.rows.erase(without.rows.begin() + 4);
    const Findings found = weighed(gaps), plain = weighed(without);
    CHECK(number(found, "left_out") == 1);
    CHECK(number(found, "friedman.statistic") == number(plain, "friedman.statistic"));
    CHECK(number(found, "rank_sums.A") == number(plain, "rank_sums.A"));
}

TEST_CASE("weigh ranking: where the orders have no worths, it says why", "[ranks]") {
    const auto why = [](const std::vector<std::vector<double>>& rows) {
        const Findings found = weighed(table_of(rows));
        CHECK(testing::is_null_with_why(found, "worths"));
        CHECK(std::none_of(found.lists.begin(), found.lists.end(), [](const List& list) { return list.key == "worths"; }));
        for (const Field& field : found.fields)
            if (field.key == "worths") return field.why;
        return std::string();
    };
    CHECK(why({{1, 2, 3}, {2, 3, 1}, {3, 1.5, 1.5}}) == "there are ties");
    CHECK(why({{1, 2, 3}, {1, 3, 2}, {1, 2, 3}}).find("no bound") != std::string::npos);
    CHECK(weighed(table_of({{1, 2, 3}, {2, 3, 1}, {3, 1, 2}})).find("worths") == nullptr);
}

TEST_CASE("weigh ranking: who leads", "[ranks]") {
    std::vector<std::vector<double>> rows;
    for (int i = 0; i < 16; ++i) rows.push_back(i % 2 == 0 ? std::vector<double>{1, 2, 3} : std::vector<double>{2, 1, 3});
    CHECK(weighed(table_of(rows)).verdict == "some-lead");
    for (auto& row : rows) row = {1, 2, 3};
    const Findings one = weighed(table_of(rows));
    CHECK(one.verdict == "one-leads");
    CHECK(one.words.front().id == "ranks.one-leads");
    CHECK(std::get<std::int64_t>(one.words.front().args.at("always")) == 16);
    CHECK(std::get<std::int64_t>(one.words.front().args.at("had")) == 16);
    for (int i = 0; i < 16; ++i) rows[static_cast<std::size_t>(i)] = {1.0 + i % 3, 1.0 + (i + 1) % 3, 1.0 + (i + 2) % 3};
    CHECK(weighed(table_of(rows)).verdict == "no-clear-order");
}

TEST_CASE("weigh ranking: an expected order, names with dots, and faults", "[ranks]") {
    Settings settings;
    settings.emplace("expected", std::string("C, B, A"));
    std::vector<std::vector<double>> rows(8, {3, 2, 1});
    const Findings found = weighed(table_of(rows), settings);
    CHECK(number(found, "page.statistic") == 8 * 14);
    CHECK(number(found, "page.p_value") == Approx(std::pow(1.0 / 6, 8)).epsilon(1e-10));
    const Method& ranking = method("ranking");
    settings["expected"] = std::string("C,B");
    const auto fault = ranking.weigh(ranking, table_of(rows), settings);
    REQUIRE(!fault.ok());
    CHECK(fault.faults()[0].kind == core::ErrorKind::usage);
    PlainTable twice = table_of(rows);
    twice.rows[1].cells[1] = "A";
    REQUIRE(!ranking.weigh(ranking, twice, {}).ok());
    twice.rows[1].cells = {"t0", "B", "second"};
    const auto bad = ranking.weigh(ranking, twice, {});
    REQUIRE(!bad.ok());
    CHECK(bad.faults()[0].line().find("second") != std::string::npos);
    PlainTable dotted{.columns = {"taster", "sample", "rank"}, .rows = {{2, {"1", "2.4", "1"}}, {3, {"1", "2.0", "2"}}}};
    CHECK(named(weighed(dotted).fields[1].key) == "rank_sums.2.4");
}

TEST_CASE("ranking: answers are ranks by place", "[ranks]") {
    const Method& ranking = method("ranking");
    const Plan plan = plan_of(3, {});
    const std::vector<std::string> codes{"417", "862", "305"};
    const std::vector<int> versions{2, 0, 1};
    const auto scored = ranking.score({codes, versions, -1}, *parse_answer("305>417>862"), plan.rounds[0], plan);
    REQUIRE(scored);
    CHECK(scored->values == std::vector<double>{2, 3, 1});
    CHECK(scored->picked == 2);
    CHECK(!check_answer(*parse_answer("305>417=862"), ranking.shape(plan.rounds[0]), false, codes).ok());
    CHECK(!ranking.score({codes, versions, -1}, *parse_answer("305"), plan.rounds[0], plan).ok());
}

TEST_CASE("ranking: trays of all and of some, each pair equally often", "[ranks]") {
    const Method& ranking = method("ranking");
    Round round;
    CHECK(portions_of(ranking, round, 4) == 4);
    round.settings.emplace("tray_size", std::int64_t{3});
    CHECK(portions_of(ranking, round, 4) == 3);
    const auto orders = ranking.orders(round, 4);
    CHECK(orders.size() == 24);
    for (std::size_t i = 0; i < orders.size(); ++i) CHECK(orders[i].batch == static_cast<int>(i / 4));
}

TEST_CASE("ranking: the strongest comes last, the others stay balanced among themselves", "[ranks]") {
    const Method& ranking = method("ranking");
    for (const int versions : {3, 4, 5, 8})
        for (const int size : {versions, 3}) {
            Round round;
            round.settings = {{"tray_size", std::int64_t{size}}, {"strongest_last", true}};
            round.stronger = 1;
            std::vector<std::vector<int>> stood(static_cast<std::size_t>(size), std::vector<int>(static_cast<std::size_t>(versions)));
            for (const Order& order : ranking.orders(round, versions)) {
                const auto found = std::find(order.versions.begin(), order.versions.end(), 1);
                CHECK((found == order.versions.end() || found + 1 == order.versions.end()));
                for (std::size_t place = 0; place < order.versions.size(); ++place) ++stood[place][static_cast<std::size_t>(order.versions[place])];
            }
            if (size < versions) continue;
            for (std::size_t place = 0; place + 1 < stood.size(); ++place)
                for (const int other : {2, versions - 1}) CHECK(stood[place][static_cast<std::size_t>(other)] == stood[place][0]);
        }
    Plan plan;
    plan.tasters = 12;
    plan.versions = {{"a", ""}, {"b", ""}, {"c", ""}};
    Round lone;
    lone.settings.emplace("strongest_last", true);
    core::Faults faults;
    ranking.settle(ranking, lone, plan, "/rounds/0", faults);
    REQUIRE(faults.size() == 1);
    CHECK(faults[0].line().find("stronger") != std::string::npos);
}

TEST_CASE("the strongest one comes last: on every method's trays of three, and not of two", "[ranks]") {
    for (const char* id : {"ranking", "rating", "just-about-right", "check-all"}) {
        CAPTURE(id);
        const Method& asked = method(id);
        Plan plan;
        plan.tasters = 12;
        plan.versions = {{"a", ""}, {"b", ""}, {"c", ""}};
        Round round;
        round.method = id;
        round.spots = {"slice"};
        round.settings.emplace("stronger", std::string("b"));
        round.settings.emplace("strongest_last", true);
        core::Faults faults;
        Round settled = round;
        asked.settle(asked, settled, plan, "/rounds/0", faults);
        CHECK(faults.empty());
        for (const Order& order : asked.orders(settled, 3)) CHECK(order.versions.back() == 1);
        if (std::string_view(id) == "ranking") continue;   // it takes three recipes at least anyway
        plan.versions.pop_back();
        asked.settle(asked, round, plan, "/rounds/0", faults);
        CHECK(faults.size() == 1);
    }
}

TEST_CASE("ranking: rules over spots", "[ranks]") {
    const Method& ranking = method("ranking");
    for (const DecideOn rule : {DecideOn::overall, DecideOn::any_spot, DecideOn::each_spot}) {
        Round round;
        round.spots = {"edge", "centre"};
        round.decide_on = rule;
        round.settings.emplace("tray_size", std::int64_t{3});
        const Plan plan = plan_of(4, round);
        const auto found = ranking.analyse(ranking, first_is_best(plan, 48, 2), plan.rounds[0], plan);
        CHECK(found.verdict == "one-leads");
        CHECK(found.spots.size() == 2);
        CHECK(found.words.front().args.at("leading") == core::Argument(std::string("a")));
        CHECK(ranking.verdict(ranking, first_is_best(plan, 48, 2), plan.rounds[0], plan) == "one-leads");
        const auto none = ranking.analyse(ranking, {}, plan.rounds[0], plan);
        CHECK(none.verdict == "no-clear-order");
        CHECK(none.words.front().id == "ranks.nobody");
    }
}

TEST_CASE("ranking: an average over spots that say the opposite is no lead", "[ranks]") {
    const Method& ranking = method("ranking");
    Round round;
    round.spots = {"edge", "centre"};
    const Plan plan = plan_of(3, round);
    const auto ordered = [&](std::vector<double> centre, int people_at_centre) {
        std::vector<Observation> seen;
        for (int taster = 0; taster < 48; ++taster) {
            seen.push_back({taster, taster, 0, 0, 0, Scored{.values = {1, 2, 3}, .samples = {0, 1, 2}}});
            if (taster < people_at_centre) seen.push_back({taster, taster, 1, 0, 1, Scored{.values = centre, .samples = {0, 1, 2}}});
        }
        return seen;
    };
    const auto turned = ordered({3, 2, 1}, 24);   // the first comes last at the centre, where half as many ate
    const auto found = ranking.analyse(ranking, turned, plan.rounds[0], plan);
    CHECK(found.pooled.verdict == "one-leads");
    CHECK(found.verdict == "no-clear-order");
    CHECK(found.words.front().id == "ranks.turned");
    CHECK(std::count(found.warnings.begin(), found.warnings.end(), "spots_disagree") == 1);
    CHECK(ranking.verdict(ranking, turned, plan.rounds[0], plan) == "no-clear-order");
    const auto alike = ordered({1, 3, 2}, 48);   // who comes first is the same
    CHECK(ranking.analyse(ranking, alike, plan.rounds[0], plan).verdict == "one-leads");
}

// Half put a first on every tray of theirs, half put it last: on average nobody leads, and more people are not promised to change that.
TEST_CASE("ranking: a split house is not told that more people may show an order", "[ranks]") {
    const Method& ranking = method("ranking");
    Round round;
    round.spots = {"middle"};
    const Plan plan = plan_of(3, round);
    std::vector<Observation> seen;
    for (int taster = 0; taster < 40; ++taster)
        for (int tray = 0; tray < 2; ++tray) {
            const bool b_first = (taster / 2 + tray) % 2 == 0;
            seen.push_back({taster, taster, 0, 0, tray, Scored{.values = taster % 2 == 0 ? std::vector<double>{1, b_first ? 2.0 : 3.0, b_first ? 3.0 : 2.0} : std::vector<double>{3, b_first ? 1.0 : 2.0, b_first ? 2.0 : 1.0}, .samples = {0, 1, 2}}});
        }
    const auto found = ranking.analyse(ranking, seen, plan.rounds[0], plan);
    CHECK(found.verdict == "no-clear-order");
    const auto says = [&](std::string_view id) { return std::any_of(found.words.begin(), found.words.end(), [&](const core::Sentence& one) { return one.id == id; }); };
    CHECK(found.words.front().id.starts_with("ranks.split"));
    CHECK(says("leads.next.split"));
    CHECK(!says("ranks.not_alike"));
}

// One order at the edge, its reverse at the centre: more people would find nothing over both, so the advice goes by spot.
TEST_CASE("ranking: spots that cancel out are told by spot", "[ranks]") {
    const Method& ranking = method("ranking");
    Round round;
    round.spots = {"edge", "centre"};
    Plan plan = plan_of(3, round);
    std::vector<Observation> seen;
    for (int taster = 0; taster < 30; ++taster)
        for (int spot = 0; spot < 2; ++spot)
            seen.push_back({taster, taster, spot, 0, spot, Scored{.values = spot == 0 ? std::vector<double>{1, 2, 3} : taster < 2 ? std::vector<double>{1, 3, 2} : std::vector<double>{3, 2, 1}, .samples = {0, 1, 2}}});
    const auto found = ranking.analyse(ranking, seen, plan.rounds[0], plan);
    CHECK(found.verdict == "no-clear-order");
    CHECK(found.words.back().id == "leads.next.by_spot");
    plan.same_recipe = true;
    CHECK(ranking.analyse(ranking, seen, plan.rounds[0], plan).words.back().id == "right.next.same_recipe_alarm");
}

// Of forty people thirty put it first on both trays, six on one, two on one beside another (never first no longer, yet not always), two on none.
TEST_CASE("ranking: how many of those who had it put the leading one first", "[ranks]") {
    const Method& ranking = method("ranking");
    Round round;
    round.spots = {"edge", "centre"};
    const Plan plan = plan_of(3, round);
    std::vector<Observation> seen;
    for (int taster = 0; taster < 44; ++taster)
        for (int spot = 0; spot < 2; ++spot) {
            const bool first = taster < 30 || (taster < 36 && spot == 0), beside = taster >= 38 && taster < 40 && spot == 0;
            if (taster >= 40) seen.push_back({taster, taster, spot, 0, spot, Scored{.values = {1 + taster % 2 * 1.0, 2 - taster % 2 * 1.0}, .samples = {0, 2}}});   // never had it
            else seen.push_back({taster, taster, spot, 0, spot, Scored{.values = {2.0 + taster % 2, first ? 1.0 : beside ? 1.5 : 4.0, first ? 3.0 - taster % 2 : beside ? 1.5 : 1.0}, .samples = {0, 1, 2}}});
        }
    const auto found = ranking.analyse(ranking, seen, plan.rounds[0], plan);
    REQUIRE(found.verdict == "one-leads");
    const core::Sentence& said = found.words.front();
    CHECK(said.id == "ranks.one-leads.several");
    CHECK(std::get<std::int64_t>(said.args.at("had")) == 40);
    CHECK(std::get<std::int64_t>(said.args.at("always")) == 30);
    CHECK(std::get<std::int64_t>(said.args.at("never")) == 2);
}

// A recipe of a few trays came first on them and ran out: it leads nothing, and the rest are told apart as they are.
TEST_CASE("ranking: what ran out does not lead", "[ranks]") {
    const Method& ranking = method("ranking");
    Round round;
    round.spots = {"middle"};
    Plan plan = plan_of(4, round);
    std::vector<Observation> seen;
    for (int taster = 0; taster < 32; ++taster)
        seen.push_back({taster, taster, 0, 0, 0, taster < 5 ? Scored{.values = {2, 1, 3, 4}, .samples = {0, 1, 2, 3}} : Scored{.values = {1, taster % 2 == 0 ? 2.0 : 3.0, taster % 2 == 0 ? 3.0 : 2.0}, .samples = {0, 2, 3}}});
    plan.withdrawn = {1};
    const auto found = ranking.analyse(ranking, seen, plan.rounds[0], plan);
    CHECK(found.verdict == "one-leads");
    CHECK(ranking.verdict(ranking, seen, plan.rounds[0], plan) == "one-leads");
    CHECK(found.words[1].id == "leads.withdrawn");
    plan.withdrawn.clear();
    CHECK(ranking.analyse(ranking, seen, plan.rounds[0], plan).verdict == "some-lead");
}

TEST_CASE("ranking: two versions are sent elsewhere", "[ranks]") {
    const Method& ranking = method("ranking");
    Plan plan;
    plan.versions = {{"a", ""}, {"b", ""}};
    Round round;
    core::Faults faults;
    ranking.settle(ranking, round, plan, "/rounds/0", faults);
    REQUIRE(faults.size() == 1);
    CHECK(faults[0].line().find("paired-preference") != std::string::npos);
}

// Size under alike recipes: never above alpha, by seeded panels (a 95 % interval of 2,000 panels at .05 is .041 to .060).
TEST_CASE("ranking: no order is claimed where there is none", "[ranks][simulation]") {
    const Method& ranking = method("ranking");
    Round round;
    round.settings.emplace("tray_size", std::int64_t{3});
    const Plan plan = plan_of(4, round);
    const auto orders = ranking.orders(plan.rounds[0], 4);
    int claimed = 0;
    for (int panel = 0; panel < 2000; ++panel) {
        core::PhiloxStream stream(5, static_cast<std::uint64_t>(panel));
        std::vector<Observation> seen;
        for (int taster = 0; taster < 24; ++taster) {
            std::vector<double> sensed;
            for (int i = 0; i < 3; ++i) sensed.push_back(stream.uniform());
            seen.push_back({taster, taster, 0, taster, 0, Scored{.values = stats::midranks(sensed), .samples = orders[static_cast<std::size_t>(taster)].versions}});
        }
        claimed += ranking.verdict(ranking, seen, plan.rounds[0], plan) != "no-clear-order";
    }
    CHECK(claimed <= 0.06 * 2000);
}
