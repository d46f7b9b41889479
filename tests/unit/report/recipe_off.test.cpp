// Papers printed after a recipe ran out: nobody cuts it, fills it or looks for its label, and the room learns no code.
#include "papers_support.hpp"

using namespace papers_test;

namespace {

const char* const k_four =
    R"({"title":"T","versions":[{"id":"current","label":"Zanzibar"},{"id":"maple","label":"Maplewood"},{"id":"juniper","label":"Juniper"},{"id":"pepper","label":"Pepperleaf"}],
 "tasters":12,"rounds":[{"method":"ranking","tray_size":3,"spots":["lean","fat"],"spots_per_taster":2}]})";
constexpr int k_pepper = 3;

report::KitchenPapers without_pepper(const Evening& evening, bool blind) {
    report::KitchenPapers papers = evening.kitchen(blind);
    papers.off = {{k_pepper, "sold out"}};
    papers.room.recipes_off = 1;
    return papers;
}

/// The codes of the cups that hold pepper, and those of the others.
std::pair<std::vector<std::string>, std::vector<std::string>> codes_of(const Evening& evening) {
    std::pair<std::vector<std::string>, std::vector<std::string>> codes;
    for (std::size_t ballot = 0; ballot < evening.drawn.room.ballots.size(); ++ballot) {
        for (std::size_t set = 0; set < evening.drawn.room.ballots[ballot].sets.size(); ++set) {
            const draw::RoomSet& shown = evening.drawn.room.ballots[ballot].sets[set];
            for (std::size_t place = 0; place < shown.codes.size(); ++place)
                (evening.drawn.key.ballots[ballot].sets[set].portions[place].version == k_pepper ? codes.first : codes.second).push_back(shown.codes[place]);
        }
    }
    return codes;
}

std::string part_of(const std::string& page, const std::string& from, const std::string& to) {
    const std::size_t start = page.find(from);
    return start == std::string::npos ? std::string() : page.substr(start, page.find(to, start) - start);
}

/// A code may be an answer's only within one tray, so a page's codes are looked at as whole words.
bool has_code(const std::string& text, const std::string& code) {
    return std::regex_search(text, std::regex("\\b" + code + "\\b"));
}

std::string flat(const std::string& text) {
    return std::regex_replace(text, std::regex("\\s+"), " ");
}

}   // namespace

TEST_CASE("recipe off: the kitchen is told on page 1 and fills no cup with it, whether tubs bear names or letters", "[papers]") {
    const Evening evening = evening_of(k_four);
    for (const bool blind : {false, true}) {
        const std::vector<std::string> pages = Pdf(bytes_of(report::kitchen_pdf(without_pepper(evening, blind), evening.words))).texts("-layout");
        CHECK(flat(pages.front()).find("Pepperleaf is off: sold out. Cut none of it") != std::string::npos);
        std::string filled;
        for (const std::string& page : pages) filled += part_of(page, "1 FILL", "2 TRAY");
        if (!blind) CHECK_FALSE(has_word(part_of(pages.front(), "spare bites", "Portion in turn"), "pepperleaf"));
        const std::string name = blind ? "TUB " + evening.drawn.key.tubs[0].letters[k_pepper] + "\\b" : std::string("Pepperleaf(?! is off)");
        CHECK_FALSE(std::regex_search(filled, std::regex(name)));
        const auto [off, on] = codes_of(evening);
        REQUIRE(off.size() > 10);
        int lost = 0, kept = 0;
        const std::string find_a_cup = pages.back();
        for (const std::string& code : off) lost += has_code(find_a_cup, code) ? 1 : 0;
        for (const std::string& code : on) kept += has_code(filled, code) && has_code(find_a_cup, code) ? 1 : 0;
        CHECK(lost <= static_cast<int>(off.size()) / 4);   // a code may be given again on another ballot
        CHECK(kept == static_cast<int>(on.size()));
    }
}

TEST_CASE("recipe off: no label is made for its cups", "[papers]") {
    const Evening evening = evening_of(k_four);
    const auto [off, on] = codes_of(evening);
    const auto cup_labels = [&](const report::KitchenPapers& papers) {
        const std::string text = Pdf(bytes_of(report::labels_pdf(papers, {}, evening.words))).text();
        const std::regex label("tray [12] · BLUE GATE");
        return static_cast<std::size_t>(std::distance(std::sregex_iterator(text.begin(), text.end(), label), std::sregex_iterator()));
    };
    CHECK(cup_labels(evening.kitchen(true)) == off.size() + on.size());
    CHECK(cup_labels(without_pepper(evening, true)) == on.size());
}

TEST_CASE("recipe off: a tray that asks nothing more is struck through whole", "[papers]") {
    const Evening evening = evening_of(std::regex_replace(std::string(k_four), std::regex("\"tray_size\":3"), "\"tray_size\":2"));
    const auto [off, on] = codes_of(evening);
    const std::string text = Pdf(bytes_of(report::labels_pdf(without_pepper(evening, true), {}, evening.words))).text();
    const std::regex label("tray [12] · BLUE GATE");
    const auto labels = static_cast<std::size_t>(std::distance(std::sregex_iterator(text.begin(), text.end(), label), std::sregex_iterator()));
    CHECK(labels == on.size() - off.size());   // its neighbour on a tray of two can't be put in order alone
}

TEST_CASE("recipe off: the runner is told that one is, and neither which nor whose code", "[papers]") {
    const Evening evening = evening_of(k_four);
    const report::KitchenPapers papers = without_pepper(evening, true);
    const std::vector<std::string> pages = Pdf(bytes_of(report::runner_pdf(papers.room, evening.words))).texts();
    CHECK(flat(pages.front()).find("A recipe is off Trays go out without its cup.") != std::string::npos);
    for (const std::string& page : pages) {
        CHECK_FALSE(has_word(page, "pepperleaf"));
        CHECK_FALSE(has_word(page, "pepper"));
        for (const std::string& code : codes_of(evening).first) CHECK_FALSE(has_code(page, code));
    }
    CHECK(Pdf(bytes_of(report::runner_pdf(evening.room(), evening.words))).text().find("A recipe is off") == std::string::npos);
}

TEST_CASE("recipe off: the bearer tags none of its tubs", "[papers]") {
    const Evening evening = evening_of(k_four);
    const auto slip = [&](const report::KitchenPapers& papers) { return Pdf(bytes_of(report::slip_pdf(papers, evening.words))).text(); };
    CHECK(has_word(slip(evening.kitchen(true)), "pepperleaf"));
    CHECK_FALSE(has_word(slip(without_pepper(evening, true)), "pepperleaf"));
    CHECK(has_word(slip(without_pepper(evening, true)), "maplewood"));
}
