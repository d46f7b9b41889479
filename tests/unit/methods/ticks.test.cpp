// Words ticked: plain tables, a round, and how often words that fit all alike are told apart.
#include <algorithm>
#include <array>
#include <cmath>

#include "../../../src/methods/pieces.hpp"
#include "../../../src/methods/shares.hpp"
#include "../../../src/methods/ticks.hpp"
#include "oddplate/core/philox.hpp"
#include "oddplate/core/text.hpp"
#include "oddplate/stats/cochran.hpp"
#include "unit/methods/lists.hpp"
#include "unit/methods/support.hpp"

using namespace oddplate;
using namespace oddplate::methods;
using namespace oddplate::methods::testing;

namespace {

/// 12 people, 4 samples, one word.
constexpr std::array<std::array<int, 4>, 12> k_ticks{{{1, 1, 0, 1}, {1, 0, 0, 0}, {1, 1, 0, 1}, {0, 1, 0, 1}, {1, 1, 0, 0}, {1, 1, 1, 1}, {0, 0, 0, 0}, {1, 1, 0, 1}, {1, 0, 0, 1}, {0, 1, 0, 0}, {1, 1, 0, 1}, {1, 1, 0, 0}}};

ticks::Ticked one_word() {
    ticks::Ticked ticked{.samples = {"a", "b", "c", "d"}, .words = {"dry"}, .trays = {}};
    for (std::size_t t = 0; t < k_ticks.size(); ++t) {
        ticks::Tray tray{.taster = static_cast<std::int32_t>(t), .samples = {0, 1, 2, 3}, .ticked = {}};
        for (const int tick : k_ticks[t]) tray.ticked.push_back({tick == 1});
        ticked.trays.push_back(std::move(tray));
    }
    return ticked;
}

const ticks::Gap& gap_of(const ticks::Weighed& weighed, int a, int b) {
    for (const ticks::Gap& gap : weighed.gaps)
        if (gap.a == a && gap.b == b) return gap;
    FAIL("no pair");
    return weighed.gaps.front();
}

core::Result<Findings> weighed_table(std::vector<std::vector<std::string>> rows) {
    PlainTable table{.columns = {"taster", "sample", "words"}, .rows = {}};
    for (std::size_t i = 0; i < rows.size(); ++i) table.rows.push_back({i + 2, std::move(rows[i])});
    return method("check-all").weigh(method("check-all"), table, {});
}

/// An evening at two spots: word 1 fits the new recipe at `where` for everybody but every fifth, word 2 comes and goes.
std::vector<Observation> evening(const Plan& plan, std::vector<bool> where) {
    const Method& asked = method("check-all");
    const auto orders = asked.orders(plan.rounds[0], 2);
    const std::vector<std::string> codes{"417", "862"};
    std::vector<Observation> seen;
    for (int t = 0; t < 30; ++t)
        for (std::size_t spot = 0; spot < where.size(); ++spot) {
            Observation one{.taster = t, .ballot = t, .spot = static_cast<std::int32_t>(spot), .order = t % 2, .scored = {}};
            const auto& versions = orders[static_cast<std::size_t>(one.order)].versions;
            std::string answer;
            for (std::size_t p = 0; p < 2; ++p) answer += codes[p] + (versions[p] == 1 && where[spot] && t % 5 != 0 ? (t % 3 == 0 ? ":1/2 " : ":1 ") : t % 3 == 0 ? ":2 " : ":0 ");
            const auto parsed = parse_answer(answer);
            REQUIRE(parsed);
            REQUIRE(check_answer(*parsed, asked.shape(plan.rounds[0]), false, codes));
            CHECK(canonical_text(*parsed, codes) == core::trimmed(answer));
            const auto scored = asked.score({codes, versions, -1}, *parsed, plan.rounds[0], plan);
            REQUIRE(scored);
            one.scored = *scored;
            seen.push_back(one);
        }
    return seen;
}

}   // namespace

// R 4.2.2: friedman.test of the 12 x 4 table of 0 and 1 gives 15.1764705882353 on 3, as does mantelhaen.test, p .00167188697801642; binom.test(0, 0 of 8) of a
// against c .0078125. The exact p is held against the other code here that counts it (ticks dealt within people).
TEST_CASE("a word's test is Cochran's Q, counted exactly", "[ticks]") {
    const ticks::Weighed weighed = ticks::weigh({}, one_word());
    CHECK(weighed.tests[0].statistic == Approx(15.1764705882353).epsilon(1e-13));
    CHECK(weighed.tests[0].df == 3);
    std::vector<std::int64_t> sets(48, 1), correct;
    for (const auto& row : k_ticks) correct.insert(correct.end(), row.begin(), row.end());
    const stats::SpotTest other = stats::spots_differ({4, sets, correct}, 1);
    REQUIRE(other.p_value);
    CHECK(other.p_value->found == stats::Found::exact);
    CHECK(weighed.tests[0].p.found == stats::Found::exact);
    CHECK(weighed.tests[0].p.p == Approx(other.p_value->p).epsilon(1e-10));
    const ticks::Gap& gap = gap_of(weighed, 0, 2);
    CHECK(gap.a_only == 8);
    CHECK(gap.b_only == 0);
    CHECK(gap.p == Approx(0.0078125).epsilon(1e-12));
    CHECK(gap.difference == Approx(-8.0 / 12).epsilon(1e-14));
}

// Agresti & Min (2005): half a person more in each of the four cells. Of 12 people 8 ticked it for a alone and none for b alone: n 14, b (0.5) less a
// (8.5) is -8/14, the mean square 9/14; by hand -.5714 -+ 1.96 sqrt((.6429 - .3265)/14). Clopper & Pearson: 9 of 12 (R's binom.test: .4281415, .9451394).
TEST_CASE("shares and gaps have limits", "[ticks]") {
    const ticks::Weighed weighed = ticks::weigh({}, one_word());
    const ticks::Gap& gap = gap_of(weighed, 0, 2);
    CHECK(gap.interval.lower == Approx(-8.0 / 14 - 1.959963984540054 * std::sqrt((9.0 / 14 - 64.0 / 196) / 14)).epsilon(1e-12));
    CHECK(gap.interval.upper == Approx(-8.0 / 14 + 1.959963984540054 * std::sqrt((9.0 / 14 - 64.0 / 196) / 14)).epsilon(1e-12));
    const auto share = std::find_if(weighed.shares.begin(), weighed.shares.end(), [](const ticks::Share& one) { return one.sample == 0; });
    CHECK(share->ticks == 9);
    CHECK(share->interval.lower == Approx(0.4281415).epsilon(1e-6));
    CHECK(share->interval.upper == Approx(0.9451394).epsilon(1e-6));
    const std::vector<double> halves{0.5, 0.5, 1, 0};
    const stats::Interval several = shares::limits(halves, false, 0.95);
    CHECK(several.lower > 0);
    CHECK(several.upper < 1);
    CHECK((several.lower + several.upper) / 2 == Approx(0.5).epsilon(1e-12));
}

TEST_CASE("who ticks nothing, or all, changes no test; names of samples don't matter", "[ticks]") {
    const ticks::Weighed plain = ticks::weigh({}, one_word());
    ticks::Ticked more = one_word();
    more.trays.push_back({.taster = 90, .samples = {0, 1, 2, 3}, .ticked = {{false}, {false}, {false}, {false}}});
    more.trays.push_back({.taster = 91, .samples = {0, 1, 2, 3}, .ticked = {{true}, {true}, {true}, {true}}});
    CHECK(ticks::weigh({}, more).tests[0].p.p == Approx(plain.tests[0].p.p).epsilon(1e-12));
    CHECK(gap_of(ticks::weigh({}, more), 0, 2).p == gap_of(plain, 0, 2).p);
    ticks::Ticked turned = one_word();
    for (ticks::Tray& tray : turned.trays) tray.samples = {3, 2, 1, 0};
    CHECK(ticks::weigh({}, turned).tests[0].p.p == Approx(plain.tests[0].p.p).epsilon(1e-12));
    CHECK(gap_of(ticks::weigh({}, turned), 1, 3).p == gap_of(plain, 0, 2).p);
}

TEST_CASE("words that were never on a tray together, or never ticked, say so", "[ticks]") {
    const auto found = weighed_table({{"ann", "a", "dry/salty"}, {"ann", "b", ""}, {"bob", "a", "salty"}, {"bob", "b", "dry"}, {"cid", "c", "dry"}});
    REQUIRE(found);
    CHECK(found->verdict == "no-clear-words");
    bool said_never = false;
    for (const List& list : found->lists)
        for (const auto& row : list.rows)
            for (const Field& field : row) said_never = said_never || field.why == "never on a tray together";
    CHECK(said_never);
    const auto faults = weighed_table({{"ann", "a", "dry"}, {"ann", "a", "salty"}, {"ann", "b", "Dry"}});
    REQUIRE_FALSE(faults);
    CHECK(faults.faults()[0].line().find("line 3: found taster ann and sample a a second time") == 0);
    CHECK(faults.faults()[1].line().find("line 4 words: found Dry, expected dry as before") == 0);
    CHECK_FALSE(weighed_table({{"ann", "a", ""}, {"ann", "b", ""}}));
}

TEST_CASE("answers are numbers of words, rising, 0 for none", "[ticks]") {
    const Plan plan = plan_of("check-all", {""}, 12, R"({"words":"salty, dry, sweet"})");
    const AnswerShape shape = method("check-all").shape(plan.rounds[0]);
    const std::vector<std::string> codes{"417", "862"};
    const auto fits = [&](std::string_view text) {
        const auto answer = parse_answer(text);
        return answer.ok() && check_answer(*answer, shape, false, codes).ok();
    };
    CHECK(fits("417:1/3 862:0"));
    CHECK(fits("417:0 862:0"));
    for (const char* wrong : {"417:3/1 862:0", "417:1/1 862:0", "417:4 862:0", "417:0/1 862:2", "417:1.5 862:0", "417:1", "417:-1 862:0", "417", "417>862"}) {
        INFO(wrong);
        CHECK_FALSE(fits(wrong));
    }
    CHECK(expectation(shape, false, codes).find("1 salty, 2 dry, 3 sweet") != std::string::npos);
    const Method& asked = method("check-all");
    Round round = plan.rounds[0];
    for (const char* wrong : {"salty", "salty, Salty", "salty,,dry", "a,b,c,d,e,f,g,h,i,j,k,l,m", "a word that is much too long to print, dry"}) {
        INFO(wrong);
        round.settings["words"] = std::string(wrong);
        core::Faults faults;
        asked.settle(asked, round, plan, "/rounds/0", faults);
        CHECK(faults.size() == 1);
    }
}

TEST_CASE("the plan's rule decides over the spots", "[ticks]") {
    const Method& asked = method("check-all");
    Plan plan = plan_of("check-all", {"edge", "centre"}, 30, R"({"words":"salty, dry"})");
    const auto verdict = [&](DecideOn rule, std::vector<bool> where) {
        plan.rounds[0].decide_on = rule;
        const auto seen = evening(plan, std::move(where));
        const RoundFindings found = asked.analyse(asked, seen, plan.rounds[0], plan);
        CHECK(asked.verdict(asked, seen, plan.rounds[0], plan) == found.verdict);
        CHECK(said(asked, found.words).find('[') == std::string::npos);
        return found.verdict + ": " + said(asked, found.words);
    };
    CHECK(verdict(DecideOn::overall, {true, true}).find("words-differ: One word fits some recipes more than others: salty.") == 0);
    CHECK(verdict(DecideOn::each_spot, {true, true}).find("words-differ: At every spot this word fits") == 0);
    CHECK(verdict(DecideOn::each_spot, {true, false}).find("no-clear-words: No word") == 0);
    CHECK(verdict(DecideOn::any_spot, {true, false}).find("words-differ: At one spot or more this word fits") == 0);
    CHECK(verdict(DecideOn::any_spot, {false, false}).find("no-clear-words") == 0);
    CHECK(verdict(DecideOn::overall, {false, false}).find("That does not make the recipes alike") != std::string::npos);
}

// Six words that go with one another and with the person, and fit four recipes alike; one answer in twelve never came. Holm over words: at most .05, within
// three standard errors of 600 panels.
TEST_CASE("words that fit all alike are told apart at alpha at most", "[ticks][simulation]") {
    constexpr int k_panels = 600, k_words = 6;
    int alarms = 0;
    for (int panel = 0; panel < k_panels; ++panel) {
        ticks::Ticked ticked{.samples = {"a", "b", "c", "d"}, .words = std::vector<std::string>(k_words, "w"), .trays = {}};
        for (int taster = 0; taster < 30; ++taster) {
            core::PhiloxStream stream(static_cast<std::uint64_t>(panel), static_cast<std::uint64_t>(taster));
            ticks::Tray tray{.taster = taster, .samples = {}, .ticked = {}};
            const double ticker = stream.uniform();
            for (int sample = 0; sample < 4; ++sample) {
                const double mood = stream.uniform();
                const bool came = stream.uniform() > 1.0 / 12;
                std::vector<bool> words;
                for (int word = 0; word < k_words; ++word) words.push_back((ticker + mood + stream.uniform()) / 3 > 0.5);
                if (!came) continue;
                tray.samples.push_back(sample);
                tray.ticked.push_back(std::move(words));
            }
            if (tray.samples.size() >= 2) ticked.trays.push_back(std::move(tray));
        }
        const ticks::Question question{.alpha = 0.05, .confidence = 0.95, .quick = true};
        alarms += !ticks::shown(question, ticks::weigh(question, ticked)).empty();
    }
    INFO(alarms);
    CHECK(alarms / static_cast<double>(k_panels) < 0.05 + 3 * std::sqrt(0.05 * 0.95 / k_panels));
    CHECK(alarms > 0);
}

TEST_CASE("words ticked: a word that nobody ticked has the same numbers as the others, absent, pieces' too", "[ticks]") {
    ticks::Ticked ticked = one_word();
    ticked.words = {"dry", "sour"};
    for (std::size_t t = 0; t < ticked.trays.size(); ++t) {
        ticks::Tray& tray = ticked.trays[t];
        for (auto& words : tray.ticked) words.push_back(false);
        for (const int sample : tray.samples) tray.pieces.push_back(sample * pieces::k_most + static_cast<std::int32_t>(t % 2));
    }
    const ticks::Question question{};
    const Findings found = ticks::findings_of(method("check-all"), question, ticked, ticks::weigh(question, ticked));
    check_lists(found);
    const auto& rows = found.lists.at(0).rows;
    REQUIRE(rows.size() == 2);
    CHECK(std::holds_alternative<double>(rows[0].back().value));
    CHECK(rows[0].back().key == "pieces_p_value");
    CHECK(std::holds_alternative<std::monostate>(rows[1].back().value));
    CHECK_FALSE(rows[1].back().why.empty());
}

// One that ran out after two people may have every tick of two: that is said of two.
TEST_CASE("a share of ticks is told with the people whom it is of", "[ticks]") {
    ticks::Ticked ticked{.samples = {"a", "b", "c"}, .words = {"smoky"}, .trays = {}};
    for (std::int32_t t = 0; t < 30; ++t) {
        ticks::Tray tray{.taster = t, .samples = {0, 1}, .ticked = {{t % 5 != 0}, {false}}};
        if (t < 2) tray.samples.push_back(2), tray.ticked.push_back({true});
        ticked.trays.push_back(std::move(tray));
    }
    const auto words = ticks::words_of({}, ticked, ticks::weigh({}, ticked));
    const auto at = std::find_if(words.begin(), words.end(), [](const core::Sentence& one) { return one.id == "ticks.word"; });
    REQUIRE(at != words.end());
    CHECK(said(method("check-all"), std::span(&*at, 1)).find("c (100 % of 2 people), least often for b (0 % of 30 people)") != std::string::npos);
}
