// The catalogue of words: templates by id, filled when somebody reads them. A template is read each time; they are one line long.
#include "oddplate/core/words.hpp"

#include <cstdlib>
#include <optional>

#include "oddplate/core/json.hpp"
#include "oddplate/core/text.hpp"
#include "word_formats.hpp"

namespace oddplate::embedded {
extern const std::string_view words_en, words_es, words_fr, words_de;   // designs/words/*.json, put in by the build
}

namespace oddplate::core {
namespace {

constexpr std::string_view k_languages[] = {"en", "es", "fr", "de"};

/// What a template is filled with, and the marks that numbers have in its language.
struct Filling {
    const std::map<std::string, Argument>& args;
    std::string_view point{"."}, thousands{","};

    [[nodiscard]] std::string number(std::string_view english) const {
        std::string text;
        for (const char c : english) {
            if (c == '.') text += point;
            else if (c == ',') text += thousands;
            else text += c;
        }
        return text;
    }
};

/// The parts of "a|b {c|d|e}|f" at the bars outside inner braces.
std::vector<std::string_view> at_bars(std::string_view text) {
    std::vector<std::string_view> parts;
    int depth = 0;
    std::size_t start = 0;
    for (std::size_t i = 0; i < text.size(); ++i) {
        if (text[i] == '{') ++depth;
        if (text[i] == '}') --depth;
        if (text[i] != '|' || depth != 0) continue;
        parts.push_back(text.substr(start, i - start));
        start = i + 1;
    }
    parts.push_back(text.substr(start));
    return parts;
}

/// The place of the brace that closes the one at `open`, or npos.
std::size_t closing(std::string_view text, std::size_t open) {
    int depth = 0;
    for (std::size_t i = open; i < text.size(); ++i) {
        if (text[i] == '{') ++depth;
        if (text[i] == '}' && --depth == 0) return i;
    }
    return std::string_view::npos;
}

std::optional<std::string> filled(std::string_view pattern, const Filling& filling, std::string_view number);

/// One hole: what stands between two braces.
std::optional<std::string> hole(std::string_view inside, const Filling& filling) {
    const std::vector<std::string_view> parts = at_bars(inside);
    const std::size_t colon = parts[0].find(':');
    const auto found_argument = filling.args.find(std::string(parts[0].substr(0, colon)));
    if (found_argument == filling.args.end()) return std::nullopt;
    const Argument& argument = found_argument->second;
    if (parts.size() == 1) {
        const auto english = colon == std::string_view::npos ? plain_text(argument) : formatted_text(argument, parts[0].substr(colon + 1));
        return !english || std::holds_alternative<std::string>(argument) ? english : filling.number(*english);
    }
    const auto* count = std::get_if<std::int64_t>(&argument);
    if (parts.size() != 3 || colon != std::string_view::npos || count == nullptr) return std::nullopt;
    return filled(*count == 1 ? parts[1] : parts[2], filling, filling.number(with_commas(*count)));
}

/// A template with its holes filled; # is `number` inside a choice and itself elsewhere. Nothing where a hole cannot be filled.
std::optional<std::string> filled(std::string_view pattern, const Filling& filling, std::string_view number) {
    std::string text;
    for (std::size_t at = 0; at < pattern.size(); ++at) {
        const char c = pattern[at];
        if (c == '}') return std::nullopt;
        if (c == '#' && !number.empty()) {
            text += number;
        } else if (c != '{') {
            text += c;
        } else {
            const std::size_t end = closing(pattern, at);
            if (end == std::string_view::npos) return std::nullopt;
            const std::optional<std::string> part = hole(pattern.substr(at + 1, end - at - 1), filling);
            if (!part) return std::nullopt;
            text += *part;
            at = end;
        }
    }
    return text;
}

}   // namespace

Words Words::english() {
    static const Words words = [] {
        Words built_in;
        if (!built_in.add_json(embedded::words_en)) std::abort();   // our own file; a test reads it
        return built_in;
    }();
    return words;
}

std::span<const std::string_view> Words::languages() {
    return k_languages;
}

std::optional<Words> Words::in_language(std::string_view code) {
    static constexpr const std::string_view* k_texts[] = {&embedded::words_en, &embedded::words_es, &embedded::words_fr, &embedded::words_de};
    static_assert(std::size(k_texts) == std::size(k_languages));
    for (std::size_t i = 0; i < std::size(k_languages); ++i) {
        if (k_languages[i] != code) continue;
        Words words = english();
        if (!words.add_json(*k_texts[i])) std::abort();   // our own files; a test reads them
        return words;
    }
    return std::nullopt;
}

void Words::add(std::span<const Phrase> phrases) {
    for (const Phrase& phrase : phrases) m_phrases.insert_or_assign(std::string(phrase.id), std::string(phrase.english));
}

Status Words::add_json(std::string_view json_text) {
    const Result<Json> json = parse_json(json_text);
    if (!json) return json.faults();
    if (!json->is_object())
        return found({}, describe(*json), "an object of phrases", R"({"id":"words"})", "bad-words", ErrorKind::bad_file);
    Faults faults;
    for (const auto& [id, value] : json->as_object()) {
        if (!value.is_string()) faults.push_back(found("/" + id, describe(value), "text", {}, "bad-words", ErrorKind::bad_file));
    }
    if (!faults.empty()) return faults;   // all or nothing
    for (const auto& [id, value] : json->as_object()) m_phrases.insert_or_assign(id, value.as_string());
    return Done{};
}

std::string Words::text(const Sentence& sentence) const {
    return text(sentence.id, sentence.args);
}

std::string Words::text(std::string_view id, std::map<std::string, Argument> args) const {
    const auto phrase = m_phrases.find(id);
    std::optional<std::string> words;
    Filling filling{args};
    if (const auto point = m_phrases.find("number.point"); point != m_phrases.end()) filling.point = point->second;
    if (const auto mark = m_phrases.find("number.thousands"); mark != m_phrases.end()) filling.thousands = mark->second;
    if (phrase != m_phrases.end()) words = filled(phrase->second, filling, {});
    return words ? *words : "[" + std::string(id) + "]";
}

bool Words::has(std::string_view id) const {
    return m_phrases.find(id) != m_phrases.end();
}

}   // namespace oddplate::core
