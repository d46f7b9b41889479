// Words that belong to one way of asking stand only where it is asked, and nicknames have a place where people come twice.
#include "papers_support.hpp"

using namespace papers_test;

namespace {

std::string plan_of(const std::string& round, const std::string& more = "", int recipes = 3) {
    std::string versions;
    for (int i = 1; i <= recipes; ++i) versions += (i > 1 ? "," : "") + std::string(R"({"id":"v)") + std::to_string(i) + "\"}";
    return R"({"title":"Ham four ways","versions":[)" + versions + R"(],"tasters":12,)" + more + R"("rounds":[{)" + round + "}]}";
}

std::string flat(const std::string& text) {
    return std::regex_replace(text, std::regex("\\s+"), " ");
}
std::string runner(const std::string& plan) {
    const Evening evening = evening_of(plan);
    return flat(Pdf(bytes_of(report::runner_pdf(evening.room(), evening.words))).text());
}
std::string kitchen(const std::string& plan) {
    const Evening evening = evening_of(plan);
    return flat(Pdf(bytes_of(report::kitchen_pdf(evening.kitchen(true), evening.words))).text());
}
bool has(const std::string& text, const char* part) {
    return text.find(part) != std::string::npos;
}

const char* const k_triangle = R"("method":"triangle")";
const char* const k_ranking = R"("method":"ranking")";

}   // namespace

TEST_CASE("words: of three recipes and more none is the changed one, and none is the odd one", "[papers]") {
    CHECK(has(kitchen(plan_of(k_triangle, "", 2)), "which tub is the changed one"));
    CHECK_FALSE(has(kitchen(plan_of(k_ranking)), "the changed one"));
    CHECK(has(kitchen(plan_of(k_ranking)), "which tub is the usual one"));
    CHECK(has(runner(plan_of(k_triangle, "", 2)), "Which one looks different?"));
    CHECK_FALSE(has(runner(plan_of(k_ranking)), "Which one looks different?"));
    CHECK(has(runner(plan_of(k_ranking)), "Which one stands out?"));
    CHECK_FALSE(has(runner(plan_of(R"("method":"ranking","tray_size":2)")), "which one is odd"));
}

TEST_CASE("words: nobody guesses what they like", "[papers]") {
    CHECK(has(runner(plan_of(k_triangle, "", 2)), "not sure, guess"));
    CHECK(has(runner(plan_of(R"("method":"two-afc","attribute":"saltier","stronger":"v1")", "", 2)), "not sure, guess"));
    const std::string order = runner(plan_of(k_ranking)), vote = runner(plan_of(R"("method":"paired-preference")", "", 2));
    for (const std::string& text : {order, vote}) {
        CHECK_FALSE(has(text, "guess"));
        CHECK(has(text, "there is no right answer. Can't choose? Put one first all the same."));
    }
    const std::string scores = runner(plan_of(R"("method":"rating")")), open = runner(plan_of(R"("method":"paired-preference","no_preference":true)", "", 2));
    for (const std::string& text : {scores, open}) {
        CHECK_FALSE(has(text, "guess"));
        CHECK(has(text, "there is no right answer, what you think counts"));
        CHECK_FALSE(has(text, "Put one first"));
    }
}

TEST_CASE("words: only a plan whose recipes differ in salt is told to change the plain salt alone", "[papers]") {
    const std::string differs = kitchen(plan_of(k_ranking, R"("salt_percent":{"v1":2,"v2":2.4,"v3":2},)"));
    const std::string alike = kitchen(plan_of(k_ranking, R"("salt_percent":{"v1":2,"v2":2,"v3":2},)")), unknown = kitchen(plan_of(k_ranking));
    CHECK(has(differs, "Change only the plain salt."));
    for (const std::string& text : {alike, unknown}) {
        CHECK_FALSE(has(text, "plain salt"));
        CHECK(has(text, "The same nitrite cure, weight a kilo and days in all versions"));
    }
}

TEST_CASE("words: twelve recipes are asked for within the page's width", "[papers]") {
    const Evening evening = evening_of(plan_of(R"("method":"ranking","tray_size":4)", "", 12));
    const Pdf pdf(bytes_of(report::kitchen_pdf(evening.kitchen(true), evening.words)));
    const std::string boxes = output_of("pdftotext -bbox " + pdf.path() + " -");
    const std::regex right(R"re(xMax="([0-9.]+)")re");
    for (auto at = std::sregex_iterator(boxes.begin(), boxes.end(), right); at != std::sregex_iterator(); ++at) CHECK(std::stod((*at)[1]) < 297 / 25.4 * 72 - 35);
}

TEST_CASE("runner: a nickname has its place beside each ballot where the same people may come again, and only there", "[papers]") {
    Evening evening = evening_of(plan_of(k_ranking));
    const auto pages = [&] { return Pdf(bytes_of(report::runner_pdf(evening.room(), evening.words))).texts(); };
    CHECK_FALSE(has(flat(pages().back()), "ickname"));
    CHECK_FALSE(has(flat(pages().front()), "nickname"));
    evening.plan.evening = 2;   // as the part of a plan of several evenings
    evening.plan.evenings = {{.date = "", .tasters = 12, .lot = ""}};
    const std::string first = flat(pages().front()), last = flat(pages().back());
    CHECK(has(first, "Ask for a nickname and write it on the last page"));
    CHECK(has(last, "Nicknames"));
    CHECK(has(last, "Asked at the door"));
    CHECK(has(last, "oddplate hand KQWZTRMB --ballot"));
    for (std::size_t ballot = 0; ballot < evening.drawn.room.ballots.size(); ++ballot)
        CHECK(std::regex_search(last, std::regex("\\b" + evening.plan.ballot_name(static_cast<int>(ballot)) + "\\b")));
    evening.plan.evening = 0;
    evening.plan.evenings.clear();
    evening.plan.rounds[0].sittings = 2;
    CHECK(has(flat(pages().back()), "Nicknames"));
}

TEST_CASE("labels: the card between two passes is set in 7 points at least, on as many labels as it takes", "[papers]") {
    const Evening evening = evening_of(plan_of(R"("method":"ranking","spots":["a","b","c"],"spots_per_taster":1)", R"("pieces":2,)", 6));
    for (const report::LabelSheet& sheet : {report::LabelSheet{}, report::LabelSheet{.columns = 5, .rows = 13, .width = 38, .height = 21, .left = 10, .top = 12}}) {
        const Pdf pdf(bytes_of(report::labels_pdf(evening.kitchen(true), sheet, evening.words)));
        const std::string boxes = output_of("pdftotext -bbox " + pdf.path() + " -");
        const std::regex one(R"re(yMin="([0-9.]+)" xMax="[0-9.]+" yMax="([0-9.]+)">([^<]*)<)re");
        double seal = 0;   // the last one stands on the calibration page in 8 points
        std::vector<std::pair<std::string, double>> ranges;
        for (auto at = std::sregex_iterator(boxes.begin(), boxes.end(), one); at != std::sregex_iterator(); ++at) {
            const double height = std::stod((*at)[2]) - std::stod((*at)[1]);
            if ((*at)[3] == "seal") seal = height;
            if ((*at)[3].str().find("–") != std::string::npos || (*at)[3] == "goes") ranges.emplace_back((*at)[3], height);
        }
        REQUIRE(ranges.size() > 30);
        for (const auto& [word, height] : ranges) {
            CAPTURE(word);
            CHECK(height * 8 / seal > 6.9);
        }
        std::string text = pdf.text();
        for (const draw::TubRow& row : evening.drawn.key.tubs)
            for (const std::string& letter : row.letters) CHECK(std::regex_search(text, std::regex("\\b" + letter + "\\b")));
    }
}
