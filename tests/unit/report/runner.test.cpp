// The runner's page, and what all papers have in common.
#include "papers_support.hpp"

#include <cstdlib>

using namespace papers_test;

namespace {

const char* const k_busy =
    R"({"title":"T","versions":[{"id":"current","label":"Zanzibar"},{"id":"new","label":"Quito"}],"tasters":60,"waves":6,"pieces":2,
 "allergens":["mustard","celery","wheat","soy","milk","sulphites","sesame"],"grams":12,"salt_percent":{"current":2.4,"new":2.0},"start":"11:30","warm":true,
 "rounds":[{"method":"triangle","spots":["outer 15 mm ring of the flat with bark","middle of the flat between both ends","point muscle under the fat cap, trimmed","burnt ends from the far side"],"spots_per_taster":2},
 {"method":"paired-preference","spots":["outer 15 mm ring of the flat with bark","middle of the flat between both ends","point muscle under the fat cap, trimmed","burnt ends from the far side"],"spots_per_taster":2},
 {"method":"paired-preference"},{"method":"triangle"},{"method":"paired-preference"}]})";

/// A text from one heading to the next.
std::string between(const std::string& text, const std::string& from, const std::string& to) {
    const std::size_t start = text.find(from), end = text.find(to);
    REQUIRE(start != std::string::npos);
    REQUIRE(end != std::string::npos);
    return text.substr(start, end - start);
}

}   // namespace

TEST_CASE("runner: cautions at the door, and nothing elsewhere that would tell the runner", "[papers]") {
    const Evening evening = evening_of(k_plan);
    const Pdf pdf(bytes_of(report::runner_pdf(evening.room(), evening.words)));
    CHECK(pdf.is_sound());
    const std::string text = pdf.text();
    const std::string door = between(text, "At the door", "Say this");
    CHECK(door.find("mustard, celery") != std::string::npos);
    // 8 portions of 12 g at 2.4 % (the saltiest recipe): 2.304 g of salt x 393 mg = 905.5 mg, said as 910.
    CHECK(door.find("8 portions, 96 g, up to 910 mg of sodium") != std::string::npos);
    std::string rest = text;
    rest.erase(rest.find(door), door.size());
    check_tells_no_version(rest);
    check_no_banned_phrase(text);
    CHECK(text.find("[") == std::string::npos);
    const std::string one_line = std::regex_replace(text, std::regex("\\s+"), " ");
    CHECK(one_line.find("Follow your local food code. This is a tasting aid, not food-safety advice.") != std::string::npos);
}

TEST_CASE("runner: one side, then the timetable, on a quiet evening and on the busiest", "[papers]") {
    for (const char* plan : {k_plan, k_busy}) {
        Evening evening = evening_of(plan);
        for (const auto size : {report::PaperSize::a4, report::PaperSize::letter}) {
            evening.size = size;
            const std::vector<std::string> pages = Pdf(bytes_of(report::runner_pdf(evening.room(), evening.words))).texts();
            REQUIRE(pages.size() >= 2);
            CHECK(pages[0].find("Who may do what") != std::string::npos);
            CHECK(pages[0].find("Dealt = answered + blank + void + not served + missing") != std::string::npos);
            CHECK(pages[1].find("Timetable") != std::string::npos);
            for (const std::string& page : pages) CHECK(page.find(evening.seal()) != std::string::npos);
        }
    }
}

TEST_CASE("runner: late guests and the look beforehand need spare ballots", "[papers]") {
    const auto pages_of = [](const std::string& plan) {
        const Evening evening = evening_of(plan.c_str());
        return Pdf(bytes_of(report::runner_pdf(evening.room(), evening.words))).text();
    };
    const std::string with = pages_of(k_plan);
    const std::string without = pages_of(std::regex_replace(std::string(k_plan), std::regex("\"spares\":3"), "\"spares\":0"));
    CHECK(with.find("for late guests") != std::string::npos);
    CHECK(with.find("three spare trays") != std::string::npos);
    CHECK(without.find("no spare ballots") != std::string::npos);
    CHECK(without.find("three spare trays") == std::string::npos);
}

TEST_CASE("runner and kitchen go by one timetable", "[papers]") {
    const Evening evening = evening_of(k_plan);
    const std::string runner = Pdf(bytes_of(report::runner_pdf(evening.room(), evening.words))).text();
    const std::string kitchen = Pdf(bytes_of(report::kitchen_pdf(evening.kitchen(true), evening.words))).text();
    const std::regex served(R"(SERVE (\d\d:\d\d))");
    int passes = 0;
    for (auto at = std::sregex_iterator(kitchen.begin(), kitchen.end(), served); at != std::sregex_iterator(); ++at, ++passes) {
        CHECK(runner.find((*at)[1].str()) != std::string::npos);
    }
    CHECK(passes == 12);
    CHECK(kitchen.find("SERVE 18:10") != std::string::npos);   // ten minutes for the door and the words
}

TEST_CASE("papers: equal input gives equal bytes, and another seal gives others", "[papers]") {
    const Evening evening = evening_of(k_plan);
    const report::RoomPapers room = evening.room();
    report::RoomPapers other = room;
    other.seal = core::to_hex(core::sha256("another"));
    const auto all = [&](const report::RoomPapers& papers) {
        const report::KitchenPapers kitchen{papers, evening.drawn.key, true};
        return std::vector<std::string>{
            bytes_of(report::ballots_pdf(papers, evening.words)),     bytes_of(report::mats_pdf(papers, evening.words)),
            bytes_of(report::runner_pdf(papers, evening.words)),      bytes_of(report::kitchen_pdf(kitchen, evening.words)),
            bytes_of(report::labels_pdf(kitchen, {}, evening.words)), bytes_of(report::slip_pdf(kitchen, evening.words))};
    };
    const auto first = all(room), again = all(room), changed = all(other);
    CHECK(first == again);
    for (std::size_t i = 0; i < first.size(); ++i) CHECK(first[i] != changed[i]);
}

TEST_CASE("papers: all fonts are embedded", "[papers]") {
    const Evening evening = evening_of(k_plan);
    const Pdf pdf(bytes_of(report::kitchen_pdf(evening.kitchen(false), evening.words)));
    const std::vector<std::string> lines = core::split(output_of("pdffonts " + pdf.path()), '\n');
    REQUIRE(lines.size() > 3);
    for (std::size_t i = 2; i + 1 < lines.size(); ++i)
        CHECK(std::regex_search(lines[i], std::regex(R"(\+B612\S*\s.*\syes yes yes\s)")));
}

TEST_CASE("papers: a missing font is one fault that names the package", "[papers]") {
    const Evening evening = evening_of(k_plan);
    REQUIRE(setenv("ODDPLATE_FONTS", "/nowhere", 1) == 0);
    const auto pdf = report::ballots_pdf(evening.room(), evening.words);
    REQUIRE(unsetenv("ODDPLATE_FONTS") == 0);
    REQUIRE_FALSE(pdf.ok());
    REQUIRE(pdf.faults().size() == 1);
    CHECK(pdf.faults()[0].kind == core::ErrorKind::io);
    CHECK(pdf.faults()[0].text.find("fonts-b612") != std::string::npos);
}

TEST_CASE("papers: the busiest evening has every paper, whole", "[papers]") {
    Evening evening = evening_of(k_busy);
    evening.size = report::PaperSize::letter;
    const report::LabelSheet sheet{
        .columns = 3, .rows = 10, .width = 66.7, .height = 25.4, .left = 4.8, .top = 12.7, .gap_x = 3.1};
    for (const auto& made :
         {report::ballots_pdf(evening.room(), evening.words), report::kitchen_pdf(evening.kitchen(false), evening.words),
          report::kitchen_pdf(evening.kitchen(true), evening.words),
          report::labels_pdf(evening.kitchen(true), sheet, evening.words)}) {
        const Pdf pdf(bytes_of(made));
        CHECK(pdf.is_sound());
        const std::string text = pdf.text();
        CHECK(text.find("[") == std::string::npos);
        for (const draw::RoomBallot& ballot : evening.drawn.room.ballots) {
            for (const draw::RoomSet& set : ballot.sets) {
                for (const std::string& code : set.codes) REQUIRE(text.find(code) != std::string::npos);
            }
        }
    }
}

TEST_CASE("runner: the words of a usual evening are set in 14 points", "[papers]") {
    const Evening evening = evening_of(k_plan);
    const Pdf pdf(bytes_of(report::runner_pdf(evening.room(), evening.words)));
    const std::string boxes = output_of("pdftotext -bbox -l 1 " + pdf.path() + " -");
    const auto height = [&](const std::string& word) {
        std::smatch box;
        const std::regex line(R"re(yMin="([0-9.]+)" xMax="[0-9.]+" yMax="([0-9.]+)">)re" + word + "<");
        REQUIRE(std::regex_search(boxes, box, line));
        return std::stod(box[2]) - std::stod(box[1]);
    };
    // The foot is always set in 7.5 points, and one face's boxes are as high as its size.
    CHECK(height("spilled:") / height("seal") > 13.9 / 7.5);
    CHECK(height("spilled:") / height("seal") < 14.1 / 7.5);
}

TEST_CASE("papers without a start count from it, and leave a blank for it", "[papers]") {
    const Evening evening =
        evening_of(R"({"title":"T","versions":[{"id":"current"},{"id":"new"}],"tasters":24,"rounds":[{"method":"triangle"}]})");
    const std::string runner = Pdf(bytes_of(report::runner_pdf(evening.room(), evening.words))).text();
    const std::string kitchen = Pdf(bytes_of(report::kitchen_pdf(evening.kitchen(true), evening.words))).text();
    for (const std::string& text : {runner, kitchen}) {
        CHECK(text.find("start ____:____") != std::string::npos);
        CHECK(text.find("+-") == std::string::npos);
        CHECK(text.find("+10 min") != std::string::npos);
    }
    CHECK(runner.find("−5 min") != std::string::npos);   // the door, five minutes before
}

TEST_CASE("runner: what to do without a mark, and with two, goes by the kind of answer", "[papers]") {
    const auto runner = [](const std::string& round) {
        const Evening evening = evening_of(R"({"title":"T","versions":[{"id":"current"},{"id":"new"}],"tasters":8,"rounds":[{)" + round + "}]}");
        return std::regex_replace(Pdf(bytes_of(report::runner_pdf(evening.room(), evening.words))).text(), std::regex("\\s+"), " ");
    };
    const auto has = [](const std::string& text, const char* part) { return text.find(part) != std::string::npos; };
    const std::string code = runner(R"("method":"triangle")"), group = runner(R"("method":"tetrad")"),
                      word = runner(R"("method":"same-different")"), scores = runner(R"("method":"difference-from-control")"),
                      alone = runner(R"("method":"a-not-a")");
    CHECK(has(code, "No ring:"));
    CHECK(has(code, "Two ringed: ask which one."));
    CHECK(has(group, "two rings? Fewer:"));
    CHECK(has(word, "No tick:"));
    CHECK(has(word, "Both ticked: ask which one."));
    CHECK(has(scores, "a number under each code?"));
    // The look beforehand asks what can be told by looking, and is left out where one portion lies there alone.
    CHECK(has(code, "Which one looks different?"));
    CHECK(has(group, "Which two look alike"));
    CHECK(has(word, "Do the two look alike?"));
    CHECK(has(scores, "unlike the marked one"));
    CHECK_FALSE(has(alone, "spare trays"));
}

TEST_CASE("runner: on trays of three or more it is said beforehand what to do when a recipe runs out", "[papers]") {
    const auto runner = [](const std::string& round) {
        const Evening evening = evening_of(R"({"title":"T","versions":[{"id":"a"},{"id":"b"},{"id":"c"}],"tasters":12,"rounds":[{)" + round + "}]}");
        return std::regex_replace(Pdf(bytes_of(report::runner_pdf(evening.room(), evening.words))).text(), std::regex("\\s+"), " ");
    };
    const auto has = [](const std::string& text, const char* part) { return text.find(part) != std::string::npos; };
    const char* const order = "A recipe runs out: strike the code that has no cup, with the guest; the last box stays empty.";
    const std::string ranked = runner(R"("method":"ranking")"), rated = runner(R"("method":"rating")"), pairs = runner(R"("method":"ranking","tray_size":2)");
    CHECK(has(ranked, order));
    CHECK(has(ranked, "a code in each box?"));
    CHECK(has(rated, "A recipe runs out: strike the code that has no cup, with the guest. "));
    CHECK_FALSE(has(pairs, "A recipe runs out"));
}
