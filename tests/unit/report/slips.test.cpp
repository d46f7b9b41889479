// Slips and mats as the guest gets them.
#include "papers_support.hpp"

using namespace papers_test;

namespace {

/// The text of one quarter of every sheet, from the top left one.
std::vector<std::string> quarter(const Pdf& pdf, int index) {
    const int width = 298, height = 421;   // half an A4 sheet in points
    std::ostringstream options;
    options << "-x " << (index % 2) * width << " -y " << (index / 2) * height << " -W " << width << " -H " << height;
    return pdf.texts(options.str());
}

struct Seen {
    int tray, ballot;
    std::string text;
    friend bool operator<(const Seen& a, const Seen& b) { return std::tie(a.tray, a.ballot) < std::tie(b.tray, b.ballot); }
};

/// The slips in the order of the pile: the first quarter of every sheet, then the second, ...
std::vector<Seen> pile_of(const Pdf& pdf) {
    std::vector<Seen> pile;
    for (int index = 0; index < 4; ++index) {
        for (const std::string& text : quarter(pdf, index)) {
            std::smatch tray, ballot;
            if (!std::regex_search(text, tray, std::regex(R"(tray (\d+) of 3)"))) continue;
            REQUIRE(std::regex_search(text, ballot, std::regex(R"(ballot\s+(\d+))")));
            pile.push_back({std::stoi(tray[1]), std::stoi(ballot[1]), text});
        }
    }
    return pile;
}

}   // namespace

TEST_CASE("slips: four to a sheet, and the file is sound", "[papers]") {
    const Evening evening = evening_of(k_plan);
    const Pdf pdf(bytes_of(report::ballots_pdf(evening.room(), evening.words)));
    CHECK(pdf.pages() == (27 * 3 + 3) / 4);
    CHECK(pdf.is_sound());
    for (const std::string& page : pdf.texts()) CHECK(page.find(evening.seal()) != std::string::npos);
}

TEST_CASE("slips: cutting the stack gives piles in order of tray and ballot", "[papers]") {
    const Evening evening = evening_of(k_plan);
    const std::vector<Seen> pile = pile_of(Pdf(bytes_of(report::ballots_pdf(evening.room(), evening.words))));
    REQUIRE(pile.size() == 81);
    CHECK(std::is_sorted(pile.begin(), pile.end()));
    CHECK(pile.front().ballot == 1);
    CHECK(pile.back().ballot == 27);
}

TEST_CASE("slips: each holds its own codes from left to right, and only its last asks for hints", "[papers]") {
    const Evening evening = evening_of(k_plan);
    for (const Seen& slip : pile_of(Pdf(bytes_of(report::ballots_pdf(evening.room(), evening.words))))) {
        CAPTURE(slip.tray, slip.ballot, slip.text);
        const draw::RoomSet& set =
            evening.drawn.room.ballots[static_cast<std::size_t>(slip.ballot - 1)].sets[static_cast<std::size_t>(slip.tray - 1)];
        CHECK(std::regex_search(slip.text, std::regex(core::joined(set.codes, "\\s+"))));
        CHECK((slip.text.find("Before you tasted") != std::string::npos) == (slip.tray == 3));
        CHECK(
            slip.text.find(evening.plan.rounds[static_cast<std::size_t>(set.round)].spots[static_cast<std::size_t>(set.spot)]) !=
            std::string::npos);
    }
}

TEST_CASE("slips and mats tell nothing that would unblind a guest", "[papers]") {
    const Evening evening = evening_of(k_plan);
    for (const auto& pdf :
         {report::ballots_pdf(evening.room(), evening.words), report::mats_pdf(evening.room(), evening.words)}) {
        const Pdf paper(bytes_of(pdf));
        const std::string text = paper.text() + output_of("pdfinfo " + paper.path());
        check_tells_no_version(text);
        check_no_banned_phrase(text);
        CHECK(text.find("[") == std::string::npos);   // an unknown phrase would read "[id]"
    }
}

TEST_CASE("slips: a hidden spot is not named", "[papers]") {
    const Evening evening = evening_of(R"({"title":"T","versions":[{"id":"current"},{"id":"new"}],"tasters":6,
        "rounds":[{"method":"triangle","spots":["edge","centre"],"hide_spots":true}]})");
    const std::string text = Pdf(bytes_of(report::ballots_pdf(evening.room(), evening.words))).text();
    CHECK_FALSE(has_word(text, "edge"));
    CHECK_FALSE(has_word(text, "centre"));
}

TEST_CASE("slips: every QR code says tasting, ballot and set", "[papers]") {
    const Evening evening = evening_of(k_plan);
    const Pdf pdf(bytes_of(report::ballots_pdf(evening.room(), evening.words)));
    CHECK(pdf.qr_codes(1) == std::vector<std::string>{"ODDPLATE:KQWZTRMB:10:3", "ODDPLATE:KQWZTRMB:16:2", "ODDPLATE:KQWZTRMB:1:1",
                                                      "ODDPLATE:KQWZTRMB:22:1"});
}

TEST_CASE("slips: digits are 10 mm high on A4 and Letter", "[papers]") {
    Evening evening = evening_of(k_plan);
    for (const auto size : {report::PaperSize::a4, report::PaperSize::letter}) {
        evening.size = size;
        const Pdf pdf(bytes_of(report::ballots_pdf(evening.room(), evening.words)));
        for (const std::string& code : evening.drawn.room.ballots[0].sets[0].codes) CHECK(pdf.digit_height(1, code) >= 10.0);
    }
}

TEST_CASE("mats: one for each tray, with the slip's QR code", "[papers]") {
    const Evening evening = evening_of(k_plan);
    const Pdf pdf(bytes_of(report::mats_pdf(evening.room(), evening.words)));
    CHECK(pdf.pages() == 81);
    CHECK(pdf.is_sound());
    CHECK(pdf.qr_codes(28) == std::vector<std::string>{"ODDPLATE:KQWZTRMB:1:2"});
}

TEST_CASE("slips: however much is asked, boxes stay 5 mm wide and words 7 points high", "[papers]") {
    struct Asked {
        int recipes, attributes, slips_a_sheet;
    };
    for (const Asked asked : {Asked{2, 1, 4}, Asked{3, 2, 2}, Asked{5, 5, 2}}) {
        CAPTURE(asked.recipes, asked.attributes);
        std::string versions, attributes;
        for (int i = 0; i < asked.recipes; ++i) versions += std::string(i == 0 ? "" : ",") + R"({"id":"v)" + std::to_string(i) + "\"}";
        for (const char* attribute : {"salt", "smoke", "sweetness", "heat", "moisture"})
            if (attributes.empty() || std::count(attributes.begin(), attributes.end(), ',') + 1 < asked.attributes) attributes += (attributes.empty() ? "" : ", ") + std::string(attribute);
        const Evening evening = evening_of(R"({"title":"T","tasters":12,"versions":[)" + versions + R"(],"rounds":[{"method":"just-about-right","attributes":")" + attributes + "\"}]}");
        const Pdf pdf(bytes_of(report::ballots_pdf(evening.room(), evening.words)));
        const auto ballots = static_cast<int>(evening.drawn.room.ballots.size());
        CHECK(pdf.pages() == (ballots + asked.slips_a_sheet - 1) / asked.slips_a_sheet);
        // What slips share is drawn once for each place on the sheet.
        const std::string drawn = output_of("qpdf --qdf --stream-data=uncompress " + pdf.path() + " -");
        const std::regex square(R"( ([0-9.]+) -?([0-9.]+) re S)");
        int boxes = 0;
        for (auto at = std::sregex_iterator(drawn.begin(), drawn.end(), square); at != std::sregex_iterator(); ++at)
            boxes += (*at)[1] == (*at)[2] && std::stod((*at)[1]) >= 14.17 ? 1 : 0;
        CHECK(boxes == asked.slips_a_sheet * (asked.recipes * (9 + 3 * asked.attributes) + 2));
        const std::string words = output_of("pdftotext -bbox -l 1 " + pdf.path() + " -");
        const auto height = [&](const std::string& word) {
            std::smatch box;
            REQUIRE(std::regex_search(words, box, std::regex(R"re(yMin="([0-9.]+)" xMax="[0-9.]+" yMax="([0-9.]+)">)re" + word + "<")));
            return std::stod(box[2]) - std::stod(box[1]);
        };
        for (const char* word : {"Sip", "Tick", "salt", "\u2212"}) CHECK(height(word) / height("seal") > 6.99 / 6);   // the foot is always set in 6 points
    }
}

TEST_CASE("slips and mats: portions are counted in words, and so are the boxes of a short order", "[papers]") {
    const auto texts = [](int recipes, int tray, const core::Words& words) {
        std::string versions;
        for (int i = 0; i < recipes; ++i) versions += std::string(i == 0 ? "" : ",") + R"({"id":"v)" + std::to_string(i) + "\"}";
        const Evening evening = evening_of(R"({"title":"T","tasters":8,"versions":[)" + versions + R"(],"rounds":[{"method":"ranking","tray_size":)" + std::to_string(tray) + "}]}");
        const std::string slips = Pdf(bytes_of(report::ballots_pdf(evening.room(), words))).text("-layout"), mats = Pdf(bytes_of(report::mats_pdf(evening.room(), words))).text();
        return std::pair(std::regex_replace(slips, std::regex("\\s+"), " "), std::regex_replace(mats, std::regex("\\s+"), " "));
    };
    const auto has = [](const std::string& text, const std::string& part) { return text.find(part) != std::string::npos; };
    const core::Words english = core::Words::english();
    struct Tray {
        int portions;
        const char *look, *boxes;
    };
    for (const Tray tray : {Tray{3, "Three portions. All may be different.", "first second last"}, Tray{4, "Four portions.", "first second third last"},
                            Tray{5, "Five portions.", "first 2 3 4 last"}, Tray{7, "7 portions.", "first 2 3 4 5 6 last"}}) {
        CAPTURE(tray.portions);
        const auto [slips, mats] = texts(7, tray.portions, english);
        CHECK(has(slips, tray.look));
        CHECK(has(mats, tray.look));
        CHECK(has(slips, tray.boxes));
    }
    for (const auto& [language, look] : {std::pair{"de", "Drei Portionen."}, std::pair{"fr", "Trois portions."}, std::pair{"es", "Tres porciones."}}) {
        const auto words = core::Words::in_language(language);
        REQUIRE(words);
        CHECK(has(texts(3, 3, *words).first, look));
    }
}
