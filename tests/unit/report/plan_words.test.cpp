// The plan in words: figures counted by hand, warnings at their bounds, ways out with their cost, and no trade term in sight.
#include <catch2/catch.hpp>

#include <algorithm>
#include <sstream>
#include <string>

#include "oddplate/core/text.hpp"
#include "oddplate/methods/method.hpp"
#include "oddplate/report/plan_words.hpp"
#include "oddplate/tasting/plan_json.hpp"

using namespace oddplate;

namespace {

methods::Plan plan_of(const std::string& text) {
    auto plan = tasting::read_plan(text, "plan.json");
    if (!plan) FAIL(plan.faults()[0].line());
    return *plan;
}

/// A plan of two recipes: what comes after the rounds and what stands in the first round.
methods::Plan triangle(const std::string& round = "", const std::string& more = "", int tasters = 24) {
    return plan_of(
        R"({"title":"T","versions":[{"id":"current","label":"usual cure"},{"id":"new","label":"new cure"}],"tasters":)" +
        std::to_string(tasters) + R"(,"rounds":[{"method":"triangle")" + round + "}]" + more + "}");
}

std::string raw(const methods::Plan& plan) {
    return report::plan_in_words(plan, core::Words::english());
}

/// The words with the line breaks taken out, so that a sentence can be looked for whole.
std::string said(const methods::Plan& plan) {
    std::istringstream words(raw(plan));
    std::string word, all;
    while (words >> word) all += (all.empty() ? "" : " ") + word;
    return all;
}

bool has(const std::string& text, const std::string& part) {
    INFO(text);
    INFO("looked for: " << part);
    const bool found = text.find(part) != std::string::npos;
    CHECK(found);
    return found;
}

bool lacks(const std::string& text, const std::string& part) {
    INFO(text);
    INFO("should not be there: " << part);
    const bool absent = text.find(part) == std::string::npos;
    CHECK(absent);
    return absent;
}

}   // namespace

TEST_CASE("portions, grams and sodium stand first", "[plan_words]") {
    // 2 spots x 3 portions = 6; 6 x 12 g = 72 g; the saltiest at 2.5 %: 1.8 g of salt x 393 = 707.4 mg, said as 710; 35 % of
    // 2,000.
    const std::string text =
        said(triangle(R"(,"spots":["edge","centre"])", R"(,"grams":12,"salt_percent":{"current":2.5,"new":2.0})"));
    has(text, "A head: 6 portions, 72 g, at most 710 mg of sodium (35 % of the 2,000 mg a day");
    lacks(text, "a tongue tires");
    CHECK(text.find("A head:") < text.find("The question:"));
    has(said(triangle(R"(,"spots":["edge","centre"])", R"(,"grams":12)")), "A head: 6 portions, 72 g.");
    has(said(triangle()), "A head: 3 portions.");
}

TEST_CASE("too many portions are said with the ways out and their cost", "[plan_words]") {
    // 3 spots x 3 = 9: a lot; 4 spots x 3 = 12: too many. Nothing is refused.
    const std::string nine = said(triangle(R"(,"spots":["a","b","c"],"detect_pd":0.4)"));
    has(nine, "That is a lot");
    lacks(nine, "Too many for one mouth");
    const std::string twelve = said(triangle(R"(,"spots":["a","b","c","d"],"detect_pd":0.4)"));
    has(twelve, "Too many for one mouth");
    // Two of the four spots leave 6 portions; the cost is what the plan changed that way would be told.
    const methods::Plan changed = triangle(R"(,"spots":["a","b","c","d"],"detect_pd":0.4,"spots_per_taster":2)");
    const methods::Method& method = **methods::find("triangle");
    const auto needed = method.outlook(method, changed.rounds[0], changed).needed;
    REQUIRE(needed);
    has(twelve, "Each person gets 2 of the 4 spots (\"spots_per_taster\": 2): 6 portions a head; the question then takes " +
                    std::to_string(*needed) + " people.");
    // A triangle at 4 in 10: 23 answers have a chance of 0.836, 24 have 0.787, from 25 on all have 0.8 (exact sums).
    has(twelve, "Ask at one spot only (a): 3 portions a head; the question then takes 25 people");
    has(twelve, "2 evenings with fresh codes: 6 portions a head each time; 2 times the work");
}

TEST_CASE("several courses can go to several evenings", "[plan_words]") {
    const std::string text = said(plan_of(R"({"title":"T","versions":[{"id":"a"},{"id":"b"}],"tasters":24,"rounds":[
        {"method":"triangle","spots":["edge","centre"],"detect_pd":0.4},{"method":"paired-preference","spots":["edge"],"no_preference":true}]})"));
    has(text, "A head: 8 portions.");
    has(text, "One course an evening, each with fresh codes: 6 portions a head at most; 2 evenings' work");
    has(text, "Course 2: Which of the two do people like better?");
    has(text, "\"I like them equally\" is an answer too.");
}

TEST_CASE("bites are what equal orders need, with spares apart", "[plan_words]") {
    // 24 sets a spot, 1.5 portions of each recipe in a triangle: 36 bites; spare 36/8 = 5; 3 spare ballots: 4.5, said as 5.
    const std::string two = said(triangle(R"(,"spots":["edge","centre"])"));
    has(two, "edge, usual cure: 36 bites, 5 spare bites, 5 for the spare ballots");
    has(two, "centre, new cure: 36 bites, 5 spare bites, 5 for the spare ballots");
    has(two, "184 bites in all");
    // Six people: 9 bites, 2 spare at least (9/8 rounded up is 2), 2 spare ballots: 3 bites.
    has(said(triangle("", "", 6)), "usual cure: 9 bites, 2 spare bites, 3 for the spare ballots");
    // Three pieces are three tubs of 12 bites, each with 2 spare.
    has(said(triangle("", R"(,"pieces":3)")), "usual cure: 36 bites, 6 spare bites");
    // A scarce spot: 12 ballots of it, none of them spare.
    has(said(triangle(R"(,"spots":["edge","tip"])", R"(,"first_ballots":{"tip":12})")),
        "tip, usual cure: 18 bites, 3 spare bites, 0 for the spare ballots");
    // 46 bites of each recipe, 92 x 12 g = 1,104 g, said as 1,110.
    has(said(triangle("", R"(,"grams":12)")), "92 bites in all, about 1,110 g");
}

TEST_CASE("who gets what is said, and the rule", "[plan_words]") {
    has(said(triangle()), "Each person gets one tray of 3 portions.");
    has(said(triangle(R"(,"spots":["a","b","c"],"spots_per_taster":2)")),
        "Each person gets 2 trays of 3 portions, from 2 of these 3 spots: a, b, c. Every spot, and every pair of spots, is dealt "
        "equally often.");
    has(said(triangle(R"(,"spots":["a","b"],"decide_on":"each-spot")")), "it has to show at every spot");
    has(said(triangle(R"(,"spots":["a","b"],"aim":"similarity","same_below_pd":0.4)")),
        "few enough have to notice at every spot");
    has(said(triangle(R"(,"spots":["a","b"])", R"(,"first_ballots":{"b":9})")), "b is scarce: it goes to the first 9 ballots.");
    lacks(said(triangle(R"(,"spots":["a","b"])", R"(,"first_ballots":{"b":9})")), "nothing in this course");
    has(said(triangle(R"(,"spots":["b"])", R"(,"first_ballots":{"b":9})")), "15 people get nothing in this course: all of it is scarce.");
    has(said(triangle(R"(,"spots":["a","b"])", R"(,"first_ballots":{"a":23,"b":9})")), "One person gets nothing in this course");
    lacks(said(triangle(R"(,"spots":["b"])", R"(,"first_ballots":{"b":24})")), "nothing in this course");
    has(said(triangle(R"(,"spots":["a","b"],"hide_spots":true)")), "Nobody in the room sees which spot a tray is from.");
    has(said(triangle(R"(,"spots":["a","b"])", R"(,"spot_order":"together")")), "spot and tiredness can't be told apart");
}

TEST_CASE("the clock warns of warm meat only, and knows a way out", "[plan_words]") {
    const std::string cold = said(triangle("", R"(,"start":"18:30")"));
    has(cold, "18:40 serve tray 1 to ballots 1 to 24");
    lacks(cold, "Warm food changes");
    const std::string warm = said(triangle("", R"(,"start":"18:30","warm":true)"));
    has(warm, "Warm food changes after about 15 minutes. Way out: waves of ");
    // Taking the way out that was named ends the warning; a wave larger by one does not.
    const std::size_t at = warm.find("(\"waves\": ") + 10;
    const int wave = std::stoi(warm.substr(at));
    CHECK(wave >= 2);
    lacks(said(triangle("", R"(,"start":"18:30","warm":true,"waves":)" + std::to_string(wave))), "Warm food changes");
    has(said(triangle("", R"(,"start":"18:30","warm":true,"waves":)" + std::to_string(wave + 1))), "Warm food changes");
    has(said(triangle()), "min before, last tray cleared +");
    has(said(triangle("", R"(,"waves":1)")), "and 12 more passes; the papers hold them all");
}

TEST_CASE("what the panel can find is said course by course", "[plan_words]") {
    const std::string text = said(triangle(R"(,"detect_pd":0.4)"));
    has(text, "What this panel can find and what it can't (Triangle)");
    has(text, "with a chance of 79 in 100");   // 24 answers, 13 wanted: P(X >= 13) at 1/3 + 0.4 x 2/3 = 0.6 is 0.7870, in exact
                                               // fractions
    has(text, "luck passes for a finding is 5 in 100 at most");
}

TEST_CASE("salt steps are judged at their bounds", "[plan_words]") {
    const auto step = [](const char* current, const char* other) {
        return said(triangle("", std::string(R"(,"salt_percent":{"current":)") + current + R"(,"new":)" + other + "}"));
    };
    has(step("2.0", "1.92"), "new cure has 4 % less salt than the usual. - Under 5 %: don't bother");
    has(step("2.0", "1.86"), "Between 5 and 10 %");
    has(step("2.0", "1.7"), "new cure has 15 % less salt than the usual. - Between 10 and 25 %: worth testing");
    has(step("2.0", "2.8"), "new cure has 40 % more salt than the usual. - Over 25 %");
    has(step("2.0", "1.7"), "Change nothing else but the plain salt.");
    lacks(step("2.0", "2.0"), "than the usual. -");
    lacks(said(triangle()), "plain salt");
}

TEST_CASE("people, pieces and cautions are always there", "[plan_words]") {
    const std::string text = said(triangle());
    has(text, "Two people are enough");
    has(text, "Alone: not blind.");
    has(text, "One whole piece (or one batch) of each recipe");
    has(text, "Follow your local food code.");
    has(text, "The plan names no allergens.");
    lacks(said(triangle("", R"(,"pieces":2)")), "One whole piece");
    has(said(triangle("", R"(,"allergens":["mustard","celery"],"insiders":["smoke"])")),
        "Tell every guest, of all portions together: mustard, celery.");
    has(said(triangle("", R"(,"insiders":["smoke"])")), "their answers never count: smoke.");
    has(said(triangle(R"(,"spots":["a","b"])", R"(,"spots_at":{"a":"outer ring"})")), "a: outer ring");
    has(said(triangle(R"(,"spots":["a","b"])", R"(,"spots_at":{"a":"outer ring"})")), "would cut the same: b.");
    has(said(triangle("", "", 4)), "Practice: 4 people can't settle anything.");
    lacks(said(triangle("", "", 6)), "Practice");
    const std::string same = said(triangle("", R"(,"same_recipe":true)"));
    has(same, "One recipe under two names (usual cure; new cure): there is nothing to find.");
    lacks(same, "Against it");
}

TEST_CASE("a plan that cannot be drawn still says its load and why", "[plan_words]") {
    std::string spots;
    for (char c = 'a'; c < 'a' + 12; ++c) spots += std::string(spots.empty() ? "" : ",") + "\"" + c + "\"";
    const std::string text = said(triangle(R"(,"sets_per_taster":20,"spots":[)" + spots + "]"));   // 720 codes on a ballot
    has(text, "this plan can't be drawn");
    has(text, "A head: 720 portions.");
}

TEST_CASE("every line fits 80 columns and every phrase is found", "[plan_words]") {
    for (const auto& plan :
         {triangle(),
          triangle(R"(,"spots":["a","b","c","d"],"detect_pd":0.2)", R"(,"grams":12,"warm":true,"waves":3,"start":"23:50")"),
          triangle("", R"(,"same_recipe":true)", 2)}) {
        std::istringstream lines(raw(plan));
        for (std::string line; std::getline(lines, line);) {
            INFO(line);
            CHECK(line.size() <= 80);
            CHECK(line.find("[plan") == std::string::npos);
            CHECK(line.find('[') == std::string::npos);
        }
    }
}

TEST_CASE("no trade term is said", "[plan_words]") {
    const std::string text =
        " " + core::lower_ascii(said(triangle(R"(,"spots":["a","b"],"detect_pd":0.4,"aim":"similarity")"))) + " ";
    for (const char* term : {" d' ", " pd ", " alpha", " beta ", " power", "significan", "discriminator", "hypothesis"})
        lacks(text, term);
}

TEST_CASE("the next step is honest: go on, more people first, or mend the plan", "[plan_words]") {
    const auto next = [](const methods::Plan& plan) {
        std::istringstream words(report::after_the_plan(plan, "oddplate draw ID", core::Words::english()));
        std::string word, all;
        while (words >> word) all += (all.empty() ? "" : " ") + word;
        return all;
    };
    const std::string enough = R"(,"detect_pd":0.4)";
    CHECK(next(triangle(enough, "", 25)) == "Next: oddplate draw ID");
    const std::string few = next(triangle(enough, "", 8));   // a triangle at 4 in 10 takes 25
    has(few, "\"tasters\": 25");
    has(few, "knowing what this one can show: oddplate draw ID");
    CHECK(next(triangle()) == "Next: oddplate draw ID");   // no line, so nothing is too few for it
    has(next(triangle(R"(,"sets_per_taster":20,"spots":["a","b","c","d","e","f","g","h","i","j","k","l"])", "", 10)), "mend the plan");
}

TEST_CASE("a cut that can't give the portions is told, with the people for whom it would do", "[plan_words]") {
    const core::Words words = core::Words::english();
    const methods::Plan plan = triangle(R"(,"spots":["edge","centre"])", R"(,"spares":0)");
    // 24 people, a tray of three at either spot: 36 of each recipe and 5 spare bites.
    CHECK(report::short_of_meat(plan, {}, words).empty());
    CHECK(report::short_of_meat(plan, {41}, words).empty());
    CHECK(report::short_of_meat(plan, {41, 41, 41}, words).empty());   // three numbers for two spots say nothing
    CHECK(report::short_of_meat(plan, {40}, words).size() == 2);
    const auto lack = report::short_of_meat(plan, {41, 20}, words);
    REQUIRE(lack.size() == 1);
    has(lack[0], "centre gives 20 portions of each recipe; this plan needs 41");
    has(lack[0], "enough for 11 people");   // 16.5, so 17 and 3 spare ones; twelve need 18 and 3
    const auto nothing = report::short_of_meat(plan, {0}, words);
    REQUIRE(nothing.size() == 2);
    has(nothing[0], "not even enough for two people");
}

TEST_CASE("the plan in words without its title", "[plan_words]") {
    const methods::Plan plan = triangle();
    const std::string bare = report::plan_in_words(plan, core::Words::english(), false);
    CHECK(raw(plan) == plan.title + "\n" + bare);
}

TEST_CASE("where a form asks, no key of the plan's file is named", "[plan_words]") {
    const core::Words words = core::Words::english(), form = report::on_page(words);
    std::size_t told_anew = 0;
    for (const auto& [id, text] : words.all()) {
        if (!id.starts_with("on_page.")) continue;
        const std::string plain = id.substr(8);
        INFO(id);
        CHECK(words.has(plain));
        CHECK(form.all().at(plain) == text);
        CHECK(words.all().at(plain) != text);
        ++told_anew;
    }
    CHECK(told_anew > 8);

    const auto several = [](const std::string& round) {
        return plan_of(R"({"title":"T","versions":[{"id":"current"},{"id":"b"},{"id":"c"},{"id":"d"}],"tasters":48,"warm":true,"rounds":[)" + round + "]}");
    };
    const std::string spots = R"("spots":["point","flat","edge"],"spots_per_taster":2,"tray_size":3)";
    for (const methods::Plan& plan : {several(R"({"method":"rating","detect_score":1,"spread":2,)" + spots + "}"), several(R"({"method":"ranking",)" + spots + "}"),
                                      triangle(R"(,"spots":["edge","centre"],"detect_pd":0.4)", R"(,"warm":true,"grams":12)", 60), triangle()}) {
        const auto keys_in = [&](const core::Words& told) {
            const std::string text = report::plan_in_words(plan, told);
            std::size_t keys = 0;
            for (std::size_t at = text.find('"'); at != std::string::npos;) {
                const std::size_t end = text.find('"', at + 1);
                REQUIRE(end != std::string::npos);
                const std::string quoted = text.substr(at + 1, end - at - 1);
                keys += std::all_of(quoted.begin(), quoted.end(), [](char c) { return c == '_' || (c >= 'a' && c <= 'z'); });
                at = text.find('"', end + 1);
            }
            return keys;
        };
        CHECK(keys_in(words) > 0);
        CHECK(keys_in(form) == 0);
    }
}

TEST_CASE("where a form asks, what is named is one of its fields", "[plan_words]") {
    const core::Words words = core::Words::english();
    std::size_t named = 0;
    for (const auto& [id, text] : words.all()) {
        if (!id.starts_with("on_page.")) continue;
        const std::vector<std::string> parts = core::split(text, '"');
        for (std::size_t i = 1; i < parts.size(); i += 2, ++named) {
            INFO(id << ": " << parts[i]);
            CHECK(std::any_of(words.all().begin(), words.all().end(), [&](const auto& each) { return each.first.starts_with("web.plan.") && (each.second == parts[i] || each.second.starts_with(parts[i] + " (")); }));
        }
    }
    CHECK(named >= 6);
}
