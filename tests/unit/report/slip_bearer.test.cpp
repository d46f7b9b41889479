// The bearer's slip: whatever it does not say is a tub without a letter.
#include "papers_support.hpp"

using namespace papers_test;

namespace {

/// So many recipes at so many spots, of so many pieces.
Evening evening_with(int recipes, int spots, int pieces) {
    std::string versions, names;
    for (int i = 1; i <= recipes; ++i) versions += (i > 1 ? "," : "") + std::string(R"({"id":"v)") + std::to_string(i) + R"(","label":"Recipe-)" + std::to_string(i) + "\"}";
    for (int i = 1; i <= spots; ++i) names += (i > 1 ? ",\"" : "\"") + std::string("Place-") + std::to_string(i) + "\"";
    const std::string method = recipes == 2 ? R"("method":"triangle")" : R"("method":"ranking")";
    return evening_of(R"({"title":"T","versions":[)" + versions + R"(],"tasters":12,"pieces":)" + std::to_string(pieces) + R"(,"rounds":[{)" + method +
                      R"(,"spots":[)" + names + R"(],"spots_per_taster":1}]})");
}

struct Word {
    double left{0}, top{0}, right{0}, bottom{0};
    std::string text;
};

/// The words of a page with their boxes, in points from the top left corner.
std::vector<Word> words_on(const Pdf& pdf, int page) {
    const std::string n = std::to_string(page), boxes = output_of("pdftotext -bbox -f " + n + " -l " + n + " " + pdf.path() + " -");
    const std::regex one(R"re(xMin="([0-9.]+)" yMin="([0-9.]+)" xMax="([0-9.]+)" yMax="([0-9.]+)">([^<]*)<)re");
    std::vector<Word> words;
    for (auto at = std::sregex_iterator(boxes.begin(), boxes.end(), one); at != std::sregex_iterator(); ++at)
        words.push_back({std::stod((*at)[1]), std::stod((*at)[2]), std::stod((*at)[3]), std::stod((*at)[4]), (*at)[5]});
    return words;
}

/// Two words of which one is printed on the other; boxes of neighbours touch, which is no harm.
std::string overprinted(const std::vector<Word>& words) {
    constexpr double k_touch = 3;
    for (const Word& a : words) {
        for (const Word& b : words) {
            const double across = std::min(a.right, b.right) - std::max(a.left, b.left), down = std::min(a.bottom, b.bottom) - std::max(a.top, b.top);
            if (&a < &b && across > k_touch && down > k_touch) return a.text + " on " + b.text;
        }
    }
    return "";
}

std::string in_capitals(std::string text) {
    std::transform(text.begin(), text.end(), text.begin(), [](unsigned char c) { return static_cast<char>(std::toupper(c)); });
    return text;
}

}   // namespace

TEST_CASE("slip of the bearer: every letter of every tub is on paper, with its recipe, below its spot", "[papers]") {
    struct Case {
        int recipes, spots, pieces;
    };
    for (const Case& c : {Case{4, 3, 2}, Case{4, 4, 1}, Case{2, 8, 1}, Case{2, 12, 1}, Case{12, 3, 2}}) {
        Evening evening = evening_with(c.recipes, c.spots, c.pieces);
        for (const auto size : {report::PaperSize::a4, report::PaperSize::letter}) {
            evening.size = size;
            CAPTURE(c.recipes, c.spots, c.pieces);
            const Pdf pdf(bytes_of(report::slip_pdf(evening.kitchen(true), evening.words)));
            const std::vector<std::string> pages = pdf.texts("-layout");
            CHECK(pdf.is_sound());
            std::string all;
            for (std::size_t page = 1; page < pages.size(); ++page) all += pages[page] + "\f";
            std::size_t from = 0;
            for (const draw::TubRow& row : evening.drawn.key.tubs) {
                const std::size_t at = all.find(row.spot + "\n", from);
                REQUIRE(at != std::string::npos);
                const std::size_t ends = std::min(all.find("Leave the tubs", at), all.find("change their places", at));
                REQUIRE(ends != std::string::npos);
                const std::string told = all.substr(at, ends - at);
                CHECK(told.find('\f') == std::string::npos);
                for (std::size_t version = 0; version < row.letters.size(); ++version) {
                    const std::regex line("\\b" + row.letters[version] + R"(\s+on (the|each) tub with the card .*Recipe-)" + std::to_string(version + 1) + R"(\b)");
                    CHECK(std::regex_search(told, line));
                }
                from = ends;
            }
            CHECK(pages.back().find("Done at") != std::string::npos);
            CHECK(pages.back().find("signed:") != std::string::npos);
        }
    }
}

TEST_CASE("slip of the bearer: each page behind the cover has its seal to read, and nothing printed on anything", "[papers]") {
    for (const auto& [recipes, spots] : {std::pair{2, 2}, std::pair{4, 4}, std::pair{2, 12}, std::pair{12, 3}}) {
        const Evening evening = evening_with(recipes, spots, 2);
        const Pdf pdf(bytes_of(report::slip_pdf(evening.kitchen(true), evening.words)));
        const std::vector<std::string> pages = pdf.texts();
        CAPTURE(recipes, spots);
        for (int page = 2; page <= pdf.pages(); ++page) {
            CAPTURE(page);
            const std::vector<Word> words = words_on(pdf, page);
            CHECK(overprinted(words).empty());
            for (const Word& word : words) CHECK(word.bottom < 842 - 40);
            CHECK(pdf.qr_codes(page) == std::vector<std::string>{in_capitals(evening.room().seal)});
            const std::string& text = pages[static_cast<std::size_t>(page - 1)];
            CHECK(text.find("page " + std::to_string(page) + " of " + std::to_string(pdf.pages())) != std::string::npos);
            CHECK((text.find("page " + std::to_string(page + 1) + " follows") != std::string::npos) == (page < pdf.pages()));
            CHECK(text.find("Each letter goes on 2 tubs") != std::string::npos);
        }
    }
}

TEST_CASE("slip of the bearer: however many pages, the first of them is a cover that anybody may see", "[papers]") {
    const Evening evening = evening_with(12, 3, 1);
    const Pdf pdf(bytes_of(report::slip_pdf(evening.kitchen(true), evening.words)));
    CHECK(pdf.pages() > 3);
    const std::string cover = std::regex_replace(pdf.texts().front(), std::regex("\\s+"), " ");
    CHECK(cover.find("nobody see the other pages") != std::string::npos);
    CHECK(cover.find("Recipe") == std::string::npos);
    CHECK(cover.find("Place") == std::string::npos);
    for (const draw::TubRow& row : evening.drawn.key.tubs)
        for (const std::string& letter : row.letters) CHECK_FALSE(std::regex_search(cover, std::regex("\\b" + letter + "\\b")));
}
