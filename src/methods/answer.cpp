// The grammar of answers. One reader for every method: what an answer is can be told from its text alone, whether it fits the
// method is asked afterwards (answer_check.cpp).
//   417   417+862   same   same:3   417:6.5 862:4   417:7/-1/0 862:4/0/1   417:1/3 862:0   417>862=305   none   blank   void   not-served

#include "oddplate/methods/answer.hpp"

#include <algorithm>
#include <charconv>
#include <cmath>
#include <optional>

#include "oddplate/core/json.hpp"
#include "oddplate/core/text.hpp"

namespace oddplate::methods {
namespace {

constexpr std::size_t k_longest = 400;   // 30 scores fit; anything longer is no answer

bool is_digit(char c) {
    return '0' <= c && c <= '9';
}
bool is_code(std::string_view text) {
    return !text.empty() && text.size() <= 6 && std::all_of(text.begin(), text.end(), is_digit);
}

core::Error unreadable(std::string_view text) {
    return core::found(
        {}, text.empty() ? "nothing" : core::quoted(text),
        "an answer such as 417, 417+862, same, same:3, 417:6.5 862:4, 417>862=305, none, blank, void or not-served", {},
        "bad-answer");
}

core::Error twice(const std::string& code) {
    return core::fault(core::ErrorKind::bad_value, "code-twice", "code " + code + " stands twice in one answer");
}

/// Spaces around + > = : taken out, every other run of spaces made one.
std::string tightened(std::string_view text) {
    const auto joins = [](char c) { return c == '+' || c == '>' || c == '=' || c == ':'; };
    std::string tight;
    bool space = false;
    for (const char c : text) {
        if (c == ' ' || c == '\t') {
            space = true;
            continue;
        }
        if (space && !tight.empty() && !joins(c) && !joins(tight.back())) tight += ' ';
        space = false;
        tight += c;
    }
    return tight;
}

std::optional<std::string> repeated(std::vector<std::string> codes) {
    std::sort(codes.begin(), codes.end());
    const auto at = std::adjacent_find(codes.begin(), codes.end());
    if (at == codes.end()) return std::nullopt;
    return *at;
}

core::Result<Answer> parse_group(const std::string& text) {
    std::string joined = text;
    std::replace(joined.begin(), joined.end(), ' ', '+');   // two codes typed one after the other
    Codes answer{core::split(joined, '+')};
    for (const auto& code : answer.codes)
        if (!is_code(code)) return unreadable(text);
    if (const auto code = repeated(answer.codes)) return twice(*code);
    return Answer{std::move(answer)};
}

core::Result<Answer> parse_order(const std::string& text) {
    Ordering answer;
    std::vector<std::string> seen;
    for (const auto& group : core::split(text, '>')) {
        answer.groups.push_back(core::split(group, '='));
        for (const auto& code : answer.groups.back()) {
            if (!is_code(code)) return unreadable(text);
            seen.push_back(code);
        }
    }
    if (const auto code = repeated(std::move(seen))) return twice(*code);
    return Answer{std::move(answer)};
}

std::optional<double> parse_score(std::string text) {
    std::replace(text.begin(), text.end(), ',', '.');   // decimal commas are how many kitchens write 6,5
    if (text.size() > 1 && text[0] == '+' && text[1] != '-') text.erase(0, 1);   // "+1" for a step too much
    double x = 0;
    const auto [end, fault] = std::from_chars(text.data(), text.data() + text.size(), x);
    if (fault != std::errc{} || end != text.data() + text.size() || !std::isfinite(x)) return std::nullopt;
    return x == 0 ? 0.0 : x;   // no negative nought
}

core::Result<Answer> parse_scores(const std::string& text) {
    Scores answer;
    std::vector<std::string> seen;
    for (const auto& part : core::split(text, ' ')) {
        const auto pieces = core::split(part, ':');
        if (pieces.size() != 2 || !is_code(pieces[0])) return unreadable(text);
        std::vector<double> numbers;
        for (const auto& number : core::split(pieces[1], '/')) {
            const auto score = parse_score(number);
            if (!score) return unreadable(text);
            numbers.push_back(*score);
        }
        answer.scores.emplace_back(pieces[0], numbers.front());
        answer.levels.emplace_back(numbers.begin() + 1, numbers.end());
        seen.push_back(pieces[0]);
    }
    if (const auto code = repeated(std::move(seen))) return twice(*code);
    const bool plain = std::all_of(answer.levels.begin(), answer.levels.end(), [](const auto& levels) { return levels.empty(); });
    if (plain) answer.levels.clear();
    return Answer{std::move(answer)};
}

core::Result<Answer> parse_word(const std::string& text) {
    const auto pieces = core::split(core::lower_ascii(text), ':');
    const auto is_letter = [](char c) { return ('a' <= c && c <= 'z') || c == '-'; };
    if (pieces.size() > 2 || pieces[0].empty() || !std::all_of(pieces[0].begin(), pieces[0].end(), is_letter))
        return unreadable(text);
    Word answer{pieces[0], 0};
    if (pieces.size() == 2) {
        const char* const last = pieces[1].data() + pieces[1].size();
        const auto [end, fault] = std::from_chars(pieces[1].data(), last, answer.sureness);
        if (fault != std::errc{} || end != last || answer.sureness < 1 || answer.sureness > 9) return unreadable(text);
    }
    return Answer{std::move(answer)};
}

std::optional<Mark> parse_mark(const std::string& text) {
    const std::string word = core::lower_ascii(text);
    if (word == "none") return Mark::none;
    if (word == "blank") return Mark::blank;
    if (word == "void") return Mark::void_;
    if (word == "not-served") return Mark::not_served;
    return std::nullopt;
}

std::size_t serving_place(const std::string& code, std::span<const std::string> codes) {
    return static_cast<std::size_t>(std::find(codes.begin(), codes.end(), code) - codes.begin());
}

/// The codes in serving order; codes of another set keep their order at the end.
std::vector<std::string> served(std::vector<std::string> some, std::span<const std::string> codes) {
    std::stable_sort(some.begin(), some.end(), [&](const std::string& a, const std::string& b) {
        return serving_place(a, codes) < serving_place(b, codes);
    });
    return some;
}

std::string text_of(const Codes& answer, std::span<const std::string> codes) {
    return core::joined(served(answer.codes, codes), "+");
}

std::string text_of(const Word& answer, std::span<const std::string>) {
    return answer.sureness == 0 ? answer.word : answer.word + ":" + std::to_string(answer.sureness);
}

std::string text_of(const Scores& answer, std::span<const std::string> codes) {
    std::vector<std::pair<std::size_t, std::string>> parts;
    for (std::size_t i = 0; i < answer.scores.size(); ++i) {
        const auto& [code, score] = answer.scores[i];
        std::string part = code + ":" + core::shortest(score);
        if (i < answer.levels.size())
            for (const double level : answer.levels[i]) part += "/" + core::shortest(level);
        parts.emplace_back(serving_place(code, codes), std::move(part));
    }
    std::stable_sort(parts.begin(), parts.end(), [](const auto& a, const auto& b) { return a.first < b.first; });
    std::string text;
    for (const auto& [place, part] : parts) text += (text.empty() ? "" : " ") + part;
    return text;
}

std::string text_of(const Ordering& answer, std::span<const std::string> codes) {
    std::vector<std::string> parts;
    for (const auto& group : answer.groups) parts.push_back(core::joined(served(group, codes), "="));
    return core::joined(parts, ">");
}

std::string text_of(Mark mark, std::span<const std::string>) {
    switch (mark) {
        case Mark::none:
            return "none";
        case Mark::blank:
            return "blank";
        case Mark::void_:
            return "void";
        case Mark::not_served:
            return "not-served";
    }
    return {};
}

}   // namespace

std::vector<double> ScoreEach::steps() const {
    constexpr double k_most = 11;   // 0 to 10
    std::vector<double> all;
    if (step <= 0 || (hi - lo) / step > k_most - 0.5) return all;
    for (int i = 0; lo + i * step <= hi + step * 1e-9; ++i) all.push_back(lo + i * step);
    return all;
}

std::vector<double> ticked_numbers(const Scores& answer, std::size_t index) {
    std::vector<double> numbers{answer.scores[index].second};
    if (index < answer.levels.size()) numbers.insert(numbers.end(), answer.levels[index].begin(), answer.levels[index].end());
    std::erase(numbers, 0.0);
    return numbers;
}

core::Result<Answer> parse_answer(std::string_view text) {
    const std::string plain = core::trimmed(text);
    if (plain.empty() || plain.size() > k_longest) return unreadable(plain);
    const std::string tight = tightened(plain);
    if (const auto mark = parse_mark(tight)) return Answer{*mark};
    if (!is_digit(tight.front())) return parse_word(tight);
    if (tight.find(':') != std::string::npos) return parse_scores(tight);
    if (tight.find_first_of(">=") != std::string::npos) return parse_order(tight);
    return parse_group(tight);
}

std::string canonical_text(const Answer& answer, std::span<const std::string> codes) {
    return std::visit([&](const auto& given) { return text_of(given, codes); }, answer);
}

}   // namespace oddplate::methods
