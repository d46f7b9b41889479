// The other languages: nothing that a guest, the runner or the kitchen reads is left in English, and no hole is lost or made up.
#include "papers_support.hpp"

#include <map>
#include <set>

#include "oddplate/core/files.hpp"
#include "oddplate/core/json.hpp"
#include "oddplate/methods/method.hpp"

using namespace papers_test;

namespace {

using Phrases = std::map<std::string, std::string>;

/// What is said about a method before the evening, to the cook alone.
bool is_for_the_cook(const std::string& id) {
    static const std::regex s_ahead(R"(\.(title|asks(\.[a-z_]+)?|advice(_[a-z]+)?|ready)$)");
    return std::regex_search(id, s_ahead);
}

/// English, with the methods' own phrases: all of it, or what has to be there in every language.
Phrases english(bool only_needed) {
    Phrases all;
    static const std::regex s_needed(R"(^(number|paper|web\.taste)\.)");
    const core::Words catalogue = core::Words::english();
    for (const auto& [id, text] : catalogue.all()) {
        if (!only_needed || std::regex_search(id, s_needed)) all[id] = text;
    }
    for (const methods::Method* method : methods::all()) {
        for (const core::Phrase& phrase : method->phrases) {
            if (!only_needed || !is_for_the_cook(std::string(phrase.id))) all[std::string(phrase.id)] = std::string(phrase.english);
        }
    }
    return all;
}

Phrases file_of(std::string_view language) {
    const auto bytes = core::read_file(ODDPLATE_SOURCE_DIR "/designs/words/" + std::string(language) + ".json");
    REQUIRE(bytes);
    const auto json = core::parse_json(*bytes);
    REQUIRE(json);
    Phrases phrases;
    for (const auto& [id, text] : json->as_object()) phrases[id] = text.as_string();
    return phrases;
}

/// "{n|one|# many} in {of:1}" has the holes "n|" and "of:1".
std::set<std::string> holes(const std::string& text) {
    static const std::regex s_hole(R"(\{(\w+(:\w+)?\|?))");
    std::set<std::string> found;
    for (auto at = std::sregex_iterator(text.begin(), text.end(), s_hole); at != std::sregex_iterator(); ++at) found.insert((*at)[1]);
    return found;
}

core::Words words_in(std::string_view language) {
    const auto words = core::Words::in_language(language);
    REQUIRE(words);
    return *words;
}

/// The first words that stand in no more room than an ellipsis: a line that does not fit ends in one, and the file keeps under it
/// the words that are lost on paper.
std::string cut_short(const Pdf& paper) {
    static const std::regex s_word(R"re(xMin="([0-9.]+)" yMin="([0-9.]+)" xMax="([0-9.]+)" yMax="([0-9.]+)">([^<]+)<)re");
    static const std::regex s_entity("&[a-z]+;");
    const std::string boxes = output_of("pdftotext -bbox " + paper.path() + " -");
    for (auto at = std::sregex_iterator(boxes.begin(), boxes.end(), s_word); at != std::sregex_iterator(); ++at) {
        const std::string word = std::regex_replace((*at)[5].str(), s_entity, "'");
        const double width = std::stod((*at)[3]) - std::stod((*at)[1]), height = std::stod((*at)[4]) - std::stod((*at)[2]);
        if (word.size() > 5 && width / height < 0.13 * static_cast<double>(word.size())) return word;
    }
    return {};
}

/// Every kind of answer once: a code, two codes, a word, scores, a vote that may be left open, a scale to tick, levels beside it, and words to tick.
const char* const k_many_methods =
    R"({"title":"Abendprobe","versions":[{"id":"current"},{"id":"new"}],"tasters":12,"waves":6,"start":"18:00",
 "rounds":[{"method":"triangle","detect_pd":0.4},{"method":"tetrad"},{"method":"same-different"},{"method":"difference-from-control"},
  {"method":"paired-preference","no_preference":true},{"method":"rating"},{"method":"just-about-right","attributes":"salt, smoke"},{"method":"check-all"}]})";

}   // namespace

TEST_CASE("languages: each has all that guests, runner and kitchen read, with the same holes, and nothing that English lacks", "[papers][languages]") {
    const Phrases needed = english(true), all = english(false);
    REQUIRE(needed.size() > 250);
    for (const std::string_view language : core::Words::languages()) {
        if (language == "en") continue;
        const Phrases phrases = file_of(language);
        for (const auto& [id, text] : needed) {
            CAPTURE(language, id);
            CHECK(phrases.count(id) == 1);
        }
        for (const auto& [id, text] : phrases) {
            CAPTURE(language, id, text);
            REQUIRE(all.count(id) == 1);
            CHECK(holes(text) == holes(all.at(id)));
            CHECK_FALSE(text.empty());
        }
    }
}

TEST_CASE("languages: a vote's kind words hold the line on talking, which is then not said twice", "[papers][languages]") {
    for (const std::string_view language : core::Words::languages()) {
        if (language == "en") continue;
        const Phrases phrases = file_of(language);
        CHECK(phrases.at("paired-preference.kind").find(phrases.at("paper.hush")) != std::string::npos);
    }
}

TEST_CASE("languages: a slip in Spanish, French and German asks in that language and in no other", "[papers][languages]") {
    Evening evening = evening_of(k_plan);
    const std::string english_text = Pdf(bytes_of(report::ballots_pdf(evening.room(), evening.words))).text();
    CHECK(english_text.find("Ring the one that is DIFFERENT.") != std::string::npos);
    for (const auto& [language, asks, likes] : {std::tuple{"es", "Rodea la que es DIFERENTE.", "Me gustan por igual"},
                                                std::tuple{"fr", "Entoure celle qui est DIFFÉRENTE.", "Je les aime autant l'une que l'autre"},
                                                std::tuple{"de", "Kreise die ein, die ANDERS ist.", "Ich mag beide gleich gern"}}) {
        evening.words = words_in(language);
        const Pdf paper(bytes_of(report::ballots_pdf(evening.room(), evening.words)));
        const std::string text = std::regex_replace(paper.text("-raw"), std::regex(R"(\s+)"), " ");
        CAPTURE(language);
        CHECK(text.find(asks) != std::string::npos);
        CHECK(text.find(likes) != std::string::npos);
        CHECK_FALSE(has_word(text, "ballot"));
        CHECK_FALSE(has_word(text, "different"));
        CHECK_FALSE(has_word(text, "water"));
        CHECK(paper.pages() == (27 * 3 + 3) / 4);
    }
}

TEST_CASE("languages: every paper is made in every language, with no phrase left out", "[papers][languages]") {
    Evening evening = evening_of(k_many_methods);
    for (const std::string_view language : core::Words::languages()) {
        evening.words = words_in(language);
        CAPTURE(language);
        for (const auto& pdf : {report::ballots_pdf(evening.room(), evening.words), report::mats_pdf(evening.room(), evening.words),
                                report::runner_pdf(evening.room(), evening.words), report::kitchen_pdf(evening.kitchen(false), evening.words),
                                report::kitchen_pdf(evening.kitchen(true), evening.words), report::slip_pdf(evening.kitchen(true), evening.words),
                                report::labels_pdf(evening.kitchen(false), {}, evening.words)}) {
            const Pdf paper(bytes_of(pdf));
            CHECK(paper.is_sound());
            CHECK(paper.text().find('[') == std::string::npos);   // an unknown phrase would read "[id]"
            CHECK(cut_short(paper) == "");
        }
    }
}
