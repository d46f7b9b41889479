// Whether an answer fits the method and the set: the shape first, then each code, so that the fault names the nearest thing
// meant.

#include <algorithm>
#include <cmath>
#include <functional>

#include "oddplate/core/json.hpp"
#include "oddplate/core/text.hpp"
#include "oddplate/methods/answer.hpp"

namespace oddplate::methods {
namespace {

using Code = std::string;
using CodeSpan = std::span<const Code>;

/// "417, 862 or 305"
std::string either(std::span<const std::string> parts) {
    std::string text;
    for (std::size_t i = 0; i < parts.size(); ++i) text += (i == 0 ? "" : i + 1 == parts.size() ? " or " : ", ") + parts[i];
    return text;
}

std::vector<Code> codes_of(const Answer& answer) {
    std::vector<Code> all;
    if (const auto* group = std::get_if<Codes>(&answer)) all = group->codes;
    if (const auto* scores = std::get_if<Scores>(&answer))
        for (const auto& [code, score] : scores->scores) all.push_back(code);
    if (const auto* order = std::get_if<Ordering>(&answer))
        for (const auto& group : order->groups) all.insert(all.end(), group.begin(), group.end());
    return all;
}

bool is_enough(std::size_t given, std::size_t least, Portions portions) {
    return given <= portions.served && given + portions.may_lack >= portions.served && (given == portions.served || given >= least);
}

// Whether the answer has the shape, its codes aside.
bool fits(const Answer& answer, const OneCode& shape, Portions) {
    if (const auto* sure = std::get_if<Scores>(&answer); sure != nullptr && sure->scores.size() == 1 && sure->levels.empty()) {
        const double step = sure->scores[0].second;
        return 1 <= step && step <= shape.sureness_steps && step == std::floor(step);
    }
    const auto* given = std::get_if<Codes>(&answer);
    return given != nullptr && given->codes.size() == 1;
}

bool fits(const Answer& answer, const CodeGroup& shape, Portions) {
    const auto* given = std::get_if<Codes>(&answer);
    return given != nullptr && given->codes.size() == static_cast<std::size_t>(shape.size);
}

bool fits(const Answer& answer, const OneWord& shape, Portions) {
    const auto* given = std::get_if<Word>(&answer);
    return given != nullptr && given->sureness <= shape.sureness_steps &&
           std::find(shape.words.begin(), shape.words.end(), given->word) != shape.words.end();
}

bool fits(const Answer& answer, const ScoreEach& shape, Portions portions) {
    const auto* given = std::get_if<Scores>(&answer);
    if (given == nullptr || !is_enough(given->scores.size(), 1, portions)) return false;
    const auto is_on_scale = [&](const auto& score) {
        const double steps = shape.step > 0 ? (score.second - shape.lo) / shape.step : 0;
        return shape.lo <= score.second && score.second <= shape.hi && std::abs(steps - std::round(steps)) < 1e-9;
    };
    const auto says_levels = [&](const std::vector<double>& levels) {
        return levels.size() == shape.attributes.size() && std::all_of(levels.begin(), levels.end(), [](double level) { return level == -1 || level == 0 || level == 1; });
    };
    return std::all_of(given->scores.begin(), given->scores.end(), is_on_scale) &&
           (shape.attributes.empty() ? given->levels.empty() : given->levels.size() == given->scores.size()) && std::all_of(given->levels.begin(), given->levels.end(), says_levels);
}

bool fits(const Answer& answer, const OrderAll& shape, Portions portions) {
    const auto* given = std::get_if<Ordering>(&answer);
    return given != nullptr && is_enough(codes_of(answer).size(), 2, portions) &&
           (shape.ties ||
            std::all_of(given->groups.begin(), given->groups.end(), [](const auto& group) { return group.size() == 1; }));
}

bool fits(const Answer& answer, const TickEach& shape, Portions portions) {
    const auto* given = std::get_if<Scores>(&answer);
    if (given == nullptr || !is_enough(given->scores.size(), 1, portions)) return false;
    const auto is_word = [&](double number) { return number == std::floor(number) && number >= 1 && number <= static_cast<double>(shape.words.size()); };
    for (std::size_t i = 0; i < given->scores.size(); ++i) {
        if (given->scores[i].second == 0 && (given->levels.empty() || given->levels[i].empty())) continue;   // none fits
        const std::vector<double> numbers = ticked_numbers(*given, i);
        const std::size_t said = 1 + (given->levels.empty() ? 0 : given->levels[i].size());
        if (numbers.size() != said) return false;   // none beside a word
        if (!std::all_of(numbers.begin(), numbers.end(), is_word) || std::adjacent_find(numbers.begin(), numbers.end(), std::greater_equal<>()) != numbers.end()) return false;
    }
    return true;
}

std::string wanted(const OneCode& shape, CodeSpan codes) {
    std::string text = "one code of this tray (" + either(codes) + ")";
    if (shape.sureness_steps > 0 && !codes.empty())
        text += ", with or without how sure (" + codes[0] + ":1 to " + codes[0] + ":" + std::to_string(shape.sureness_steps) + ")";
    return text;
}

std::string wanted(const CodeGroup& shape, CodeSpan codes) {
    return std::to_string(shape.size) + " codes of this tray joined by + (of " + core::joined(codes, ", ") + ")";
}

std::string wanted(const OneWord& shape, CodeSpan) {
    const std::vector<std::string> words(shape.words.begin(), shape.words.end());
    std::string text = either(words);
    if (shape.sureness_steps > 0)
        text += ", with or without how sure (" + words.front() + ":1 to " + words.front() + ":" +
                std::to_string(shape.sureness_steps) + ")";
    return text;
}

std::string wanted(const ScoreEach& shape, CodeSpan codes) {
    std::vector<std::string> parts;
    std::string levels;
    for (std::size_t i = 0; i < shape.attributes.size(); ++i) levels += "/0";
    for (const auto& code : codes) parts.push_back(code + ":" + core::shortest(shape.lo) + levels);
    std::string text = "a score from " + core::shortest(shape.lo) + " to " + core::shortest(shape.hi);
    if (shape.step > 0) text += shape.step == 1 ? " in whole numbers" : " in steps of " + core::shortest(shape.step);
    if (!shape.attributes.empty()) text += ", then " + core::joined(shape.attributes, ", ") + " as -1 too little, 0 just right or 1 too much,";
    return text + " for each code (" + core::joined(parts, " ") + ")";
}

std::string wanted(const TickEach& shape, CodeSpan codes) {
    std::vector<std::string> words, parts;
    for (std::size_t i = 0; i < shape.words.size(); ++i) words.push_back(std::to_string(i + 1) + " " + shape.words[i]);
    for (const auto& code : codes) parts.push_back(code + (parts.empty() ? ":1/2" : ":0"));
    return "for each code the numbers of the words that fit it, the smallest first, or 0 for none (" + core::joined(parts, " ") + "; " + core::joined(words, ", ") + ")";
}

std::string wanted(const OrderAll& shape, CodeSpan codes) {
    return "all codes in order (" + core::joined(codes, ">") + (shape.ties ? ", = for a tie)" : ", no ties)");
}

/// How an answer is written that says nothing of a portion which was not there; "" where it can't be given then.
std::string without_one(const AnswerShape& shape, CodeSpan codes) {
    const auto there = codes.first(codes.size() - 1);
    std::vector<std::string> parts(there.begin(), there.end());
    if (const auto* score = std::get_if<ScoreEach>(&shape)) {
        for (std::string& part : parts) {
            part += ":" + core::shortest(score->lo);
            for (std::size_t i = 0; i < score->attributes.size(); ++i) part += "/0";
        }
    } else if (std::holds_alternative<TickEach>(shape)) {
        for (std::size_t i = 0; i < parts.size(); ++i) parts[i] += i == 0 ? ":1/2" : ":0";
    } else if (!std::holds_alternative<OrderAll>(shape)) {
        return {};
    }
    const std::size_t least = std::holds_alternative<OrderAll>(shape) ? 2 : 1;
    if (parts.size() < least) return ", or not-served where a portion was missing";
    return "; where a portion was missing, only the codes that were there, such as " + core::joined(parts, least == 2 ? ">" : " ");
}

}   // namespace

core::Status check_answer(const Answer& answer, const AnswerShape& shape, bool may_abstain, std::span<const std::string> codes, Portions portions, std::string_view typed) {
    const auto misfit = [&](std::string hint = {}) {
        return core::found({}, core::quoted(typed.empty() ? canonical_text(answer, codes) : std::string(typed)), expectation(shape, may_abstain, codes, portions.may_lack), std::move(hint), "bad-answer");
    };
    if (portions.served == 0) portions.served = codes.size();
    if (const auto* mark = std::get_if<Mark>(&answer)) {
        if (*mark != Mark::none || may_abstain) return core::Done{};
        return misfit("this question has no 'could not choose'");
    }
    if (!std::visit([&](const auto& one) { return fits(answer, one, portions); }, shape))
        return misfit();
    for (const auto& code : codes_of(answer)) {
        if (std::find(codes.begin(), codes.end(), code) != codes.end()) continue;
        const std::string near = core::nearest(code, codes);
        return misfit(near.empty() ? std::string{} : "nearest: " + near);
    }
    return core::Done{};
}

std::string expectation(const AnswerShape& shape, bool may_abstain, std::span<const std::string> codes, std::size_t may_lack) {
    std::string text = std::visit([&](const auto& one) { return wanted(one, codes); }, shape);
    if (may_lack > 0 && !codes.empty()) text += without_one(shape, codes);
    return may_abstain ? text + ", or none" : text;
}

}   // namespace oddplate::methods
