// What every report says of how a tasting was run: each act with its reason, the slips that add up, the earlier tastings; and what
// stands apart from the plan.
#include "papers_support.hpp"

#include "../../../src/report/acts.hpp"

#include "oddplate/methods/method.hpp"
#include "oddplate/report/conduct.hpp"
#include "oddplate/report/results.hpp"
#include "oddplate/report/verdict_page.hpp"

using namespace papers_test;

namespace {

core::Words all_words() {
    core::Words words = core::Words::english();
    for (const methods::Method* method : methods::all()) words.add(method->phrases);
    return words;
}

/// Drawn twice with a given seed the second time; ballots 1 to 5 dealt; something of everything that can go wrong.
tasting::State eventful(const Evening& evening) {
    tasting::State state;
    state.id = "bcdfghjk";
    state.plan = evening.plan;
    state.room = evening.drawn.room;
    state.stage = tasting::Stage::closed;
    state.draws = {{.number = 1, .fingerprint = std::string(64, 'a')}, {.number = 2, .fingerprint = std::string(64, 'b'), .seed_given = true}};
    state.handed = {0, 1, 2, 3, 4};
    state.answers[{0, 0}] = {.text = state.room.ballots[0].sets[0].codes[0]};
    state.spoiled = {{4, "saw the kitchen sheet"}};
    state.swaps = {{0, 2, 1, "mixed up at the pass"}};
    state.stops = {{"edge", "no more slices"}};
    state.tubs = {{"edge", "K", "new", "cards read afterwards"}};
    state.reveals = {{1, 0, "418", "guest with hives"}};
    state.early_openings = {"the power went"};
    return state;
}

/// On one line, as said before it was set in columns.
std::string unwrapped(const std::string& text) {
    return std::regex_replace(text, std::regex("\\s+"), " ");
}

std::string told(const tasting::State& state, const std::vector<tasting::Earlier>& earlier = {}) {
    const core::Words words = all_words();
    std::string text;
    for (const auto& sentence : report::conduct_of(state, earlier, words)) text += words.text(sentence) + "\n";
    return text;
}

}   // namespace

TEST_CASE("conduct: whatever did not go by the plan is told with its reason", "[conduct]") {
    const Evening evening = evening_of(k_plan);
    const std::string text = told(eventful(evening));
    for (const char* part : {"Drawn 2 times", "seed of the draw was given", "Opened early: the power went", "Ballot 5 was spoiled: saw the kitchen sheet",
                             "Tray 2 of ballots 1 and 3 changed places", "mixed up at the pass", "edge ran out: no more slices", "Tub K (edge) really held new",
                             "cards read afterwards", "Code 418 of ballot 2 was opened in an emergency: guest with hives"}) {
        CAPTURE(part);
        CHECK(text.find(part) != std::string::npos);
    }
}

TEST_CASE("conduct: a quiet evening says how it was drawn and how the slips add up, and nothing else", "[conduct]") {
    const Evening evening = evening_of(k_plan);
    tasting::State state = eventful(evening);
    state.draws = {{.number = 1, .fingerprint = std::string(64, 'a')}};
    state.spoiled.clear();
    state.swaps.clear();
    state.stops.clear();
    state.tubs.clear();
    state.reveals.clear();
    state.early_openings.clear();
    const std::string text = told(state);
    CHECK(std::count(text.begin(), text.end(), '\n') == 3);
    CHECK(text.find("Ballots: 27 printed = 5 dealt + 22 left over; 0 spoiled.") != std::string::npos);
    CHECK(text.find("Trays of dealt ballots: 15 = 1 answered + 0 blank + 0 void + 0 not served + 14 missing.") != std::string::npos);
}

TEST_CASE("conduct: earlier tastings of the question stand there, and are not added up", "[conduct]") {
    const Evening evening = evening_of(k_plan);
    const std::string text = told(eventful(evening), {{"cdfghjkm", "different"}, {"dfghjkmn", ""}});
    CHECK(text.find("(cdfghjkm): noticed.") != std::string::npos);
    CHECK(text.find("(dfghjkmn): no verdict here.") != std::string::npos);
    CHECK(text.find("not added up") != std::string::npos);
}

TEST_CASE("results: other ways of counting stand apart and name the verdict they would give", "[conduct]") {
    const Evening evening = evening_of(k_plan);
    const tasting::State state = eventful(evening);
    tasting::Outcome outcome;
    judge::JudgedRound round;
    round.method = "triangle";
    round.tally = {.dealt = 12, .counted = 12};
    round.findings.verdict = "different";
    round.findings.words = {{"right.no_answers", {}}};
    round.variants = {{.id = "without_told", .answers = 6, .verdict = "unsettled", .pooled = {}}};
    outcome.at_close = {.rounds = {round}, .verdict = "different", .words = round.findings.words, .warnings = {}};
    const core::Words words = all_words();
    const std::string text = unwrapped(report::outcome_text(state, outcome, {}, words, report::Depth::numbers));
    CHECK(text.find("Without 6 answers of people whom something told beforehand (not planned): can't") != std::string::npos);
    const core::Json json = report::outcome_json(state, outcome, {}, words);
    const core::Json& other = json.at("rounds").as_array()[0].at("exploratory").as_array()[0];
    CHECK(other.at("planned") == core::Json(false));
    CHECK(other.at("verdict") == core::Json("unsettled"));
}

TEST_CASE("results: pieces of a version whose id has a dot keep their name and say what their number is", "[conduct]") {
    Evening evening = evening_of(k_plan);
    evening.plan.versions[1].id = "v2.0";
    const tasting::State state = eventful(evening);
    tasting::Outcome outcome;
    judge::JudgedRound round;
    round.method = "triangle";
    round.tally = {.dealt = 12, .counted = 12};
    round.findings.words = {{"right.no_answers", {}}};
    round.pieces = {{.version = 1, .piece = 1, .trays = 12, .mean = 0.5}, {.version = 0, .piece = 0, .trays = 0, .mean = {}}};
    outcome.at_close = {.rounds = {round}, .verdict = "different", .words = round.findings.words, .warnings = {}};
    const core::Words words = all_words();
    const core::Json json = report::outcome_json(state, outcome, {}, words);
    const auto& rows = json.at("rounds").as_array()[0].at("pieces").as_array();
    REQUIRE(rows.size() == 2);
    CHECK(rows[0].at("version") == core::Json("v2.0"));
    CHECK(rows[0].at("piece") == core::Json(2));
    CHECK(rows[0].at("share_right") == core::Json(0.5));
    CHECK(rows[1].at("share_right").is_null());
    const std::string text = unwrapped(report::outcome_text(state, outcome, {}, words, report::Depth::numbers));
    CHECK(text.find("share right among trays that held it") != std::string::npos);
    CHECK(text.find("v2.0, piece 2") != std::string::npos);
    outcome.at_close.rounds[0].scale = methods::Scale::votes;
    CHECK(report::outcome_json(state, outcome, {}, words).at("rounds").as_array()[0].at("pieces").as_array()[0].find("votes_new_less_current") != nullptr);
}

TEST_CASE("verdict page: equal evenings give equal bytes", "[conduct]") {
    const Evening evening = evening_of(k_plan);
    const tasting::State state = eventful(evening);
    tasting::Outcome outcome;
    judge::JudgedRound round;
    round.method = "triangle";
    round.tally = {.dealt = 12, .counted = 12};
    round.findings.words = {{"right.no_answers", {}}};
    outcome.at_close = {.rounds = {round}, .verdict = "unsettled", .words = round.findings.words, .warnings = {}};
    const auto pdf = report::verdict_pdf({.state = state, .outcome = outcome}, all_words());
    REQUIRE(pdf.ok());
    CHECK(*pdf == *report::verdict_pdf({.state = state, .outcome = outcome}, all_words()));   // equal bytes for equal input
    CHECK(pdf->substr(0, 5) == "%PDF-");
}

TEST_CASE("acts: every kind of act has its words, service is one line, and no nickname is told", "[acts]") {
    const Evening evening = evening_of(k_plan);
    const tasting::State state = eventful(evening);
    const tasting::Outcome outcome;
    const core::Words words = all_words();
    namespace kinds = tasting::kinds;
    const std::string at = "2026-06-14T18:30:00Z", later = "2026-06-14T20:05:10Z";
    const std::vector<tasting::LogRow> rows{
        {.seq = 1, .kind = kinds::planned, .at = at, .body = "{}", .hash = {}},
        {.seq = 2, .kind = kinds::drawn, .at = at, .body = R"({"draw":1,"fingerprint":"000000000000000000000000000000000000000000000000000000000000abcd","seed_given":true,"ballots":8,"sets":16,"servings":48})", .hash = {}},
        {.seq = 3, .kind = kinds::handed, .at = at, .body = R"({"ballot":"1","taster":"Kim"})", .hash = {}},
        {.seq = 4, .kind = kinds::answered, .at = at, .body = R"({"from":"phone","answers":[["1",1,"417","Kim"]]})", .hash = {}},
        {.seq = 5, .kind = kinds::answered, .at = later, .body = R"({"from":"desk","answers":[["2",1,"417"],["2",2,"862"]]})", .hash = {}},
        {.seq = 6, .kind = kinds::corrected, .at = later, .body = R"({"ballot":"2","set":1,"answer":"295","why":"misread","after_opening":true})", .hash = {}},
        {.seq = 7, .kind = kinds::answered, .at = later, .body = R"({"from":"an unknown way","answers":[["3",1,"417"]]})", .hash = {}}};
    const report::VerdictPage page{.state = state, .outcome = outcome, .rows = rows, .book_format = 2};
    const auto acts = report::acts_of(page, words);
    REQUIRE(acts.size() == 5);
    CHECK(acts[1].says.find("from a seed that was given") != std::string::npos);
    CHECK(acts[2].at == "2026-06-14 18:30 to 20:05");
    CHECK(acts[2].says == "one ballot handed out; 2 answers typed at the desk; one answer by phone.");
    CHECK(acts[3].says == "Ballot 2, tray 1 corrected to 295, after opening: misread");
    CHECK(acts[4].says == "one answer.");
    for (const auto& act : acts) CHECK(act.says.find("Kim") == std::string::npos);
    for (const char* kind : {kinds::planned, kinds::host_committed, kinds::drawn, kinds::printed, kinds::spoiled, kinds::corrected, kinds::differed, kinds::first_stands, kinds::second_pass, kinds::swapped, kinds::stopped,
                             kinds::tubs_found, kinds::revealed, kinds::opened_early, kinds::closed, kinds::unsealed, kinds::follows})
        CHECK(words.has(std::string("act.") + kind));
    CHECK(report::versions_of(page, words).find("book format 2") != std::string::npos);
    CHECK(report::concealment_of(page, words).size() >= 2);
    CHECK(report::acts_of({.state = state, .outcome = outcome}, words).empty());
}
