// What the kitchen calls the recipes, and the spare bites of each tub.
#include "papers_support.hpp"

#include "../../../src/report/recipe_names.hpp"

using namespace papers_test;

namespace {

std::vector<std::string> names_for(const std::vector<methods::Version>& versions) {
    methods::Plan plan;
    plan.versions = versions;
    return report::recipe_names(plan);
}

/// Three spots, four recipes of two pieces. The spots' names are given, the labels are the plan's.
std::string four(const std::string& spots, const std::string& middle = "with maple syrup") {
    return R"({"title":"T","versions":[{"id":"current","label":"the usual rub"},{"id":"maple","label":")" + middle +
           R"("},{"id":"juniper","label":"with juniper berries"},{"id":"pepper","label":"with black pepper"}],"tasters":24,"waves":12,"pieces":2,
 "rounds":[{"method":"ranking","tray_size":3,"spots":)" + spots + R"(,"spots_per_taster":2}]})";
}

std::string kitchen_text(const Evening& evening, bool blind = false) {
    return std::regex_replace(Pdf(bytes_of(report::kitchen_pdf(evening.kitchen(blind), evening.words))).text("-layout"), std::regex("\\s+"), " ");
}

/// How many boxes of 5.4 mm the kitchen's pages have.
int boxes_in(const Evening& evening, bool blind) {
    const Pdf pdf(bytes_of(report::kitchen_pdf(evening.kitchen(blind), evening.words)));
    const std::string drawn = output_of("qpdf --qdf --stream-data=uncompress " + pdf.path() + " - | grep -a -o '15.309 15.309 re' | wc -l");
    return std::stoi(drawn);
}

bool has(const std::string& text, const std::string& part) { return text.find(part) != std::string::npos; }

}   // namespace

TEST_CASE("recipe names: labels where all are short, else ids where all are short, else what fits of the labels", "[papers]") {
    using Names = std::vector<std::string>;
    CHECK(names_for({{"a", "plain"}, {"b", "maple"}, {"c", "pepper"}}) == Names{"plain", "maple", "pepper"});
    CHECK(names_for({{"plain", "as it always was"}, {"b", "maple"}, {"c", "pepper"}}) == Names{"plain", "b", "c"});
    CHECK(names_for({{"a", "maple"}, {"b", "maple"}, {"c", "pepper"}}) == Names{"a", "b", "c"});   // two labels alike
    CHECK(names_for({{"the-usual-marinade", "the usual marinade"}, {"b", "with honey"}, {"c", "crème brûlée à la façon"}}) == Names{"the usual m…", "with honey", "crème brûlé…"});
    CHECK(names_for({{"the-usual-marinade", "the usual marinade"}, {"the-usual-marinade-and-salt", "the usual marinade and salt"}, {"c", "sour"}}) ==
          Names{"1 the usual…", "2 the usual…", "sour"});
}

TEST_CASE("kitchen: more than two recipes go by their own names on every page, and page 1 says first which is which", "[papers]") {
    const Evening evening = evening_of(four(R"(["lean","fat","rind"])").c_str());
    const std::string all = kitchen_text(evening);
    const std::size_t names = all.find("current = the usual rub, maple = with maple syrup");
    REQUIRE(names != std::string::npos);
    CHECK(names < all.find("current piece 1"));
    for (const char* name : {"current p1 lean", "maple p2 fat", "juniper p1 rind"}) CHECK(has(all, name));
    for (const char* old : {"NEW", "USUAL"}) CHECK_FALSE(has(all, old));
    const std::string labels = Pdf(bytes_of(report::labels_pdf(evening.kitchen(false), {}, evening.words))).text();
    CHECK(std::regex_search(labels, std::regex(R"(juniper\s+p2\s+lean)")));
    const std::string blind = kitchen_text(evening, true);
    for (const char* name : {"current", "maple", "juniper", "pepper", "rub"}) CHECK_FALSE(has_word(blind, name));
}

TEST_CASE("kitchen: where one spot's name is long, short tags call all spots by number", "[papers]") {
    const std::string mixed = kitchen_text(evening_of(four(R"(["lean","the outer rind","fat"])").c_str()));
    for (const char* tag : {"maple p1 spot 1", "maple p1 spot 2", "maple p1 spot 3"}) CHECK(has(mixed, tag));
    CHECK_FALSE(has(mixed, "maple p1 lean"));
}

TEST_CASE("kitchen: a tub has as many spare boxes as the cutting list says spare bites", "[papers]") {
    // A ladder: the first recipe lies on all 96 trays and has 12 spare bites, each of the others on 48 and has 6. With blind tubs all have 12.
    const Evening evening = evening_of(
        R"({"title":"T","versions":[{"id":"ours"},{"id":"more"},{"id":"most"}],"salt_percent":{"ours":2,"more":2.4,"most":2.8},"tasters":48,"spares":0,"rounds":[{"method":"ranking","ladder":true,"tray_size":2,"sets_per_taster":2}]})");
    const int passes = 2;   // each with a box of the same size on the page of the whole evening
    CHECK(boxes_in(evening, false) == passes * (1 + 12 + 6 + 6));
    CHECK(boxes_in(evening, true) == passes * (1 + 12 + 12 + 12));
    CHECK_FALSE(has(kitchen_text(evening), "+ "));
    // More than the width holds end in a number.
    const Evening large = evening_of(R"({"title":"T","versions":[{"id":"a"},{"id":"b"}],"tasters":300,"rounds":[{"method":"triangle"}]})");
    CHECK(std::regex_search(kitchen_text(large), std::regex(R"(spare bites left, cross off: USUAL \+ 4\d NEW \+ 4\d)")));
}

TEST_CASE("kitchen: tubs that hold a cup or two are filled down two columns, full ones down one", "[papers]") {
    // 36 cups of a pass out of up to 48 tubs: in one column they took three pages, with trays and spills four.
    const Evening evening = evening_of(
        R"({"title":"T","versions":[{"id":"current"},{"id":"maple"},{"id":"juniper"},{"id":"pepper"}],"tasters":48,"waves":12,"pieces":4,
 "rounds":[{"method":"ranking","tray_size":3,"spots":["lean","fat","rind"],"spots_per_taster":2}]})");
    const std::vector<std::string> pages = Pdf(bytes_of(report::kitchen_pdf(evening.kitchen(false), evening.words))).texts("-layout");
    int of_first_pass = 0;
    std::string filled;
    for (const std::string& page : pages) {
        if (!has(page, "PASS 1 of")) continue;
        ++of_first_pass;
        filled += page.substr(0, page.find("2 TRAY"));
    }
    CHECK(of_first_pass <= 2);
    CHECK(std::regex_search(filled, std::regex(R"(cups? counted[^\n]*cups? counted)")));
    // Every cup of the pass, once.
    for (int ballot = 0; ballot < 12; ++ballot)
        for (const std::string& code : evening.drawn.room.ballots[static_cast<std::size_t>(ballot)].sets[0].codes) {
            INFO(code);
            const std::regex cup("\\b" + code + "\\b");
            CHECK(std::distance(std::sregex_iterator(filled.begin(), filled.end(), cup), std::sregex_iterator()) == 1);
        }
    const Evening full = evening_of(R"({"title":"T","versions":[{"id":"a"},{"id":"b"}],"tasters":12,"rounds":[{"method":"triangle"}]})");
    CHECK_FALSE(std::regex_search(Pdf(bytes_of(report::kitchen_pdf(full.kitchen(false), full.words))).text("-layout"), std::regex(R"(cups? counted[^\n]*cups? counted)")));
}
