// The kitchen's sheets and labels against the key they are made from.
#include "papers_support.hpp"

using namespace papers_test;

namespace {

/// The same evening with the two recipes' names exchanged everywhere, each letter staying on its tub.
Evening relabelled(Evening evening) {
    for (draw::KeyBallot& ballot : evening.drawn.key.ballots) {
        for (draw::KeySet& set : ballot.sets) {
            for (draw::KeyPortion& portion : set.portions) portion.version = 1 - portion.version;
        }
    }
    for (draw::TubRow& row : evening.drawn.key.tubs) std::swap(row.letters[0], row.letters[1]);
    return evening;
}

std::string spot_of(const Evening& evening, const draw::RoomSet& set) {
    return evening.plan.rounds[static_cast<std::size_t>(set.round)].spots[static_cast<std::size_t>(set.spot)];
}

const char* place_name(std::size_t place, std::size_t portions) {
    if (place == 0) return "left";
    return place + 1 == portions ? "right" : "middle";
}

}   // namespace

TEST_CASE("kitchen: FIND A CUP holds every portion with ballot, tray, place and tub", "[papers]") {
    const Evening evening = evening_of(k_plan);
    const std::string text = Pdf(bytes_of(report::kitchen_pdf(evening.kitchen(false), evening.words))).text("-layout");
    const std::string flat = std::regex_replace(text, std::regex(R"(\s+)"), " ");
    for (std::size_t ballot = 0; ballot < evening.drawn.room.ballots.size(); ++ballot) {
        for (std::size_t s = 0; s < evening.drawn.room.ballots[ballot].sets.size(); ++s) {
            const draw::RoomSet& set = evening.drawn.room.ballots[ballot].sets[s];
            for (std::size_t place = 0; place < set.codes.size(); ++place) {
                const int version = evening.drawn.key.ballots[ballot].sets[s].portions[place].version;
                const std::string entry = set.codes[place] + " " + std::to_string(ballot + 1) + " " + std::to_string(s + 1) +
                                          " " + place_name(place, set.codes.size()) + " " + (version == 0 ? "USUAL " : "NEW ") +
                                          spot_of(evening, set);
                INFO(entry);
                CHECK(flat.find(entry) != std::string::npos);
            }
        }
    }
}

TEST_CASE("kitchen: with blind tubs the pages and labels are the same whichever recipe is in which tub", "[papers]") {
    const Evening evening = evening_of(k_plan), other = relabelled(evening);
    CHECK(bytes_of(report::kitchen_pdf(evening.kitchen(true), evening.words)) ==
          bytes_of(report::kitchen_pdf(other.kitchen(true), other.words)));
    CHECK(bytes_of(report::labels_pdf(evening.kitchen(true), {}, evening.words)) ==
          bytes_of(report::labels_pdf(other.kitchen(true), {}, other.words)));
    // The check can fail: with the key open they differ.
    CHECK(bytes_of(report::kitchen_pdf(evening.kitchen(false), evening.words)) !=
          bytes_of(report::kitchen_pdf(other.kitchen(false), other.words)));
}

TEST_CASE("kitchen: with blind tubs no recipe is named, with the open key both are", "[papers]") {
    const Evening evening = evening_of(k_plan);
    const std::string blind = Pdf(bytes_of(report::kitchen_pdf(evening.kitchen(true), evening.words))).text();
    for (const char* word : {"usual", "new", "current", "zanzibar", "quito"}) CHECK_FALSE(has_word(blind, word));
    for (const draw::TubRow& row : evening.drawn.key.tubs) {
        for (const std::string& letter : row.letters) CHECK(blind.find("TUB " + letter) != std::string::npos);
    }
    const std::string open = Pdf(bytes_of(report::kitchen_pdf(evening.kitchen(false), evening.words))).text();
    CHECK(open.find("USUAL") != std::string::npos);
    CHECK(open.find("NEW") != std::string::npos);
}

TEST_CASE("kitchen: each page says that it is not for the room and bears the seal", "[papers]") {
    const Evening evening = evening_of(k_plan);
    const Pdf pdf(bytes_of(report::kitchen_pdf(evening.kitchen(false), evening.words)));
    CHECK(pdf.is_sound());
    for (const std::string& page : pdf.texts()) {
        CHECK(page.find("NOT FOR THE ROOM") != std::string::npos);
        CHECK(page.find(evening.seal()) != std::string::npos);
        check_no_banned_phrase(page);
        CHECK(page.find("[") == std::string::npos);
    }
    std::string whole = evening.room().seal;
    std::transform(whole.begin(), whole.end(), whole.begin(), [](unsigned char c) { return static_cast<char>(std::toupper(c)); });
    CHECK(pdf.qr_codes(4) == std::vector<std::string>{whole});
}

TEST_CASE("kitchen: a pass of six triangles is one page with its three boxes", "[papers]") {
    const Evening evening = evening_of(k_plan);
    const std::vector<std::string> pages = Pdf(bytes_of(report::kitchen_pdf(evening.kitchen(true), evening.words))).texts();
    int passes = 0;
    for (const std::string& page : pages) {
        if (page.find("PASS ") != 0) continue;
        ++passes;
        for (const char* part : {"1 FILL", "2 TRAY", "3 SPILLS"}) CHECK(page.find(part) != std::string::npos);
    }
    CHECK(passes == 5 * 3);   // four waves and the late guests, three trays each
}

TEST_CASE("kitchen: the cutting list counts the draw's portions, with spare bites of 1 in 8", "[papers]") {
    // 8 triangles: 24 portions, 12 of each recipe by the balance of orders; spare 1 in 8, at least 2: 2. Two spare ballots: 6
    // portions.
    const Evening evening =
        evening_of(R"({"title":"T","versions":[{"id":"current"},{"id":"new"}],"tasters":12,"spares":2,"grams":10,
        "rounds":[{"method":"triangle"}]})");
    int usual = 0, usual_late = 0;
    for (std::size_t ballot = 0; ballot < evening.drawn.key.ballots.size(); ++ballot) {
        for (const draw::KeyPortion& portion : evening.drawn.key.ballots[ballot].sets[0].portions) {
            if (portion.version == 0) ++(evening.drawn.room.ballots[ballot].spare ? usual_late : usual);
        }
    }
    const int spare = std::max(2, (usual + 7) / 8), in_all = usual + usual_late + spare;
    std::ostringstream line;
    line << R"(USUAL\s+)" << usual << R"(\s+)" << usual_late << R"(\s+)" << spare << R"(\s+)" << in_all << R"(\s+)" << in_all * 10
         << " g";
    const std::string page = Pdf(bytes_of(report::kitchen_pdf(evening.kitchen(false), evening.words))).texts("-layout").front();
    CAPTURE(line.str(), page);
    CHECK(std::regex_search(page, std::regex(line.str())));
}

TEST_CASE("labels: one a cup, digits of 14 mm, the ruler last", "[papers]") {
    const Evening evening = evening_of(k_plan);
    const Pdf pdf(bytes_of(report::labels_pdf(evening.kitchen(false), {}, evening.words)));
    CHECK(pdf.is_sound());
    const std::vector<std::string> pages = pdf.texts();
    const int cups = 27 * (3 + 3 + 2), passes = 15;
    CHECK(static_cast<int>(pages.size()) == (cups + passes + 23) / 24 + 1);
    CHECK(pages.back().find("This line is 100 mm long.") != std::string::npos);
    int labels = 0;
    for (const std::string& page : pages) {
        CHECK(page.find(evening.seal()) != std::string::npos);
        const std::regex place(R"(\n\d+ (left|middle|right)\n)");
        labels += static_cast<int>(std::distance(std::sregex_iterator(page.begin(), page.end(), place), std::sregex_iterator()));
    }
    CHECK(labels == cups);
    const std::string code = evening.drawn.room.ballots[0].sets[0].codes[0];
    CHECK(pdf.digit_height(1, code) >= 14.0);
}

TEST_CASE("labels: small ones get digits as large as fit, and a used sheet is begun where it is free", "[papers]") {
    const Evening evening = evening_of(k_plan);
    report::LabelSheet small{.columns = 5, .rows = 13, .width = 38, .height = 21, .left = 10, .top = 12};
    const Pdf pdf(bytes_of(report::labels_pdf(evening.kitchen(false), small, evening.words)));
    const double digits = pdf.digit_height(1, evening.drawn.room.ballots[0].sets[0].codes[0]);
    CHECK(digits > 8);
    CHECK(digits < 14);
    report::LabelSheet begun;
    begun.start = 24;   // one label left on the first sheet
    const int fresh = Pdf(bytes_of(report::labels_pdf(evening.kitchen(false), {}, evening.words))).pages();
    const Pdf used(bytes_of(report::labels_pdf(evening.kitchen(false), begun, evening.words)));
    CHECK(used.pages() == fresh + 1);
    CHECK(used.texts().front().find("PASS 1") != std::string::npos);
}

TEST_CASE("slip of the bearer: a cover that tells nothing, then every letter with its card", "[papers]") {
    const Evening evening = evening_of(k_plan);
    const Pdf pdf(bytes_of(report::slip_pdf(evening.kitchen(true), evening.words)));
    const std::vector<std::string> pages = pdf.texts("-layout");
    REQUIRE(pages.size() == 2);
    CHECK_FALSE(has_word(pages[0], "zanzibar"));
    CHECK_FALSE(has_word(pages[0], "quito"));
    for (const draw::TubRow& row : evening.drawn.key.tubs) {
        for (std::size_t version = 0; version < 2; ++version) {
            const std::regex line(row.letters[version] + R"(\s+on the tub with the card .)" +
                                  (version == 0 ? ".*Zanzibar" : ".*Quito"));
            CHECK(std::regex_search(pages[1], line));
        }
        const bool sorted = std::is_sorted(row.letters.begin(), row.letters.end());
        CHECK(pages[1].find(sorted ? "Leave the tubs" : "change their places") != std::string::npos);
    }
}

TEST_CASE("slip of the bearer: with several pieces a letter goes on several tubs, and says so", "[papers]") {
    const auto inside = [](int pieces) {
        const Evening evening = evening_of(
            R"({"title":"T","versions":[{"id":"current"},{"id":"new"}],"tasters":6,"rounds":[{"method":"triangle"}],"pieces":)" +
            std::to_string(pieces) + "}");
        return Pdf(bytes_of(report::slip_pdf(evening.kitchen(true), evening.words))).texts().back();
    };
    CHECK(inside(1).find("piece number") == std::string::npos);
    CHECK(inside(1).find("on the tub with the card") != std::string::npos);
    CHECK(inside(3).find("Each letter goes on 3 tubs") != std::string::npos);
    CHECK(inside(3).find("on each tub with the card") != std::string::npos);
}

TEST_CASE("kitchen: eight rows of tubs still leave the cutting map on one page", "[papers]") {
    const Evening evening = evening_of(
        R"({"title":"T","versions":[{"id":"current"},{"id":"new"}],"tasters":26,"pieces":2,"rounds":[{"method":"triangle","spots":["edge","centre"]}]})");
    for (const bool blind : {false, true}) {
        const std::vector<std::string> pages = Pdf(bytes_of(report::kitchen_pdf(evening.kitchen(blind), evening.words))).texts();
        CHECK(pages[0].find("Follow your local food code") != std::string::npos);
        CHECK(pages[1].find("The evening at a glance") != std::string::npos);
    }
}

TEST_CASE("kitchen: the first page says what the names stand for, and keeps to what the plan is about", "[papers]") {
    const auto first_page = [](const Evening& evening, bool blind) {
        return std::regex_replace(Pdf(bytes_of(report::kitchen_pdf(evening.kitchen(blind), evening.words))).texts().front(), std::regex("\\s+"), " ");
    };
    const auto has = [](const std::string& text, const char* part) { return text.find(part) != std::string::npos; };
    const Evening meat = evening_of(k_plan);
    const std::string open = first_page(meat, false);
    CHECK(has(open, "USUAL = Zanzibar cure, NEW = Quito cure"));
    CHECK_FALSE(has(first_page(meat, true), "Zanzibar"));
    CHECK(has(open, "nitrite"));
    CHECK(has(open, "Cutting map"));
    const std::string bread = first_page(evening_of(R"({"title":"Bread","versions":[{"id":"current"},{"id":"new"}],"tasters":10,"rounds":[{"method":"tetrad"}]})"), false);
    for (const char* part : {"nitrite", "gristle", "slice", "Cutting map", "the cut"}) {
        INFO(part);
        CHECK_FALSE(has(bread, part));
    }
    CHECK(has(bread, "What to portion"));
}

TEST_CASE("kitchen and slip: the marked portion bears the letter that the slip names", "[papers]") {
    const Evening evening = evening_of(
        R"({"title":"T","versions":[{"id":"current"},{"id":"new"}],"tasters":8,"rounds":[{"method":"a-not-a","reminder":true}]})");
    REQUIRE(evening.drawn.room.ballots[0].sets[0].reference == "R");   // as drawn; the papers name it by the method
    for (const auto& made : {report::ballots_pdf(evening.room(), evening.words), report::mats_pdf(evening.room(), evening.words),
                             report::labels_pdf(evening.kitchen(true), {}, evening.words)}) {
        const std::string text = Pdf(bytes_of(made)).text();
        CHECK(std::regex_search(text, std::regex(R"((^|\s)A\s)")));
        CHECK_FALSE(std::regex_search(text, std::regex(R"((^|\s)R\s)")));
    }
}

TEST_CASE("kitchen: a ladder of four recipes in three pieces leaves its cutting map on one page, with letters for slices", "[papers]") {
    const Evening evening = evening_of(
        R"({"title":"Pork belly cure","versions":[{"id":"ours","label":"the house cure"},{"id":"a-bit-more","label":"a fifth more salt"},{"id":"more","label":"two fifths more salt"},
 {"id":"far-more","label":"three fifths more salt"}],"salt_percent":{"ours":2.0,"a-bit-more":2.4,"more":2.8,"far-more":3.2},"tasters":48,"pieces":3,"waves":16,"grams":8,
 "spots_at":{"centre":"the middle third of the belly"},"rounds":[{"method":"ranking","ladder":true,"tray_size":2,"sets_per_taster":3,"spots":["centre"]}]})");
    const std::vector<std::string> pages = Pdf(bytes_of(report::kitchen_pdf(evening.kitchen(false), evening.words))).texts();
    CHECK(pages[0].find("Follow your local food code") != std::string::npos);
    CHECK(pages[1].find("The evening at a glance") != std::string::npos);
    CHECK(pages[0].find("a = the fixed end") != std::string::npos);
    CHECK(std::regex_search(pages[0], std::regex(R"(\bj\b)")));
}
