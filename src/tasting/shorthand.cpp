// Short forms by the shape of the answer. A form is made whole only where it can mean one thing; the rest is left to the one reader of
// answers, whose faults say what was expected.

#include "oddplate/tasting/shorthand.hpp"

#include <algorithm>
#include <cmath>
#include <optional>

#include "oddplate/core/text.hpp"
#include "oddplate/methods/method.hpp"
#include "oddplate/tasting/wishes.hpp"

namespace oddplate::tasting {
namespace {

bool is_digit(char c) { return '0' <= c && c <= '9'; }

std::vector<std::string> parts_of(const std::string& typed) {
    std::vector<std::string> parts;
    for (std::string& part : core::split(typed, ' '))
        if (!part.empty()) parts.push_back(std::move(part));
    return parts;
}

/// "d", "d2", "d 2", "d:2": a word by its first letter, where only one begins so, with or without how sure.
std::optional<std::string> word_of(const methods::OneWord& shape, const std::string& typed) {
    std::string tight;
    for (const char c : core::lower_ascii(typed))
        if (c != ' ' && c != ':') tight += c;
    if (tight.empty() || tight.size() > 2 || (tight.size() == 2 && !(tight[1] >= '1' && tight[1] <= '9'))) return std::nullopt;
    std::string found;
    for (const std::string_view word : shape.words) {
        if (word.front() != tight[0]) continue;
        if (!found.empty()) return std::nullopt;
        found = word;
    }
    if (found.empty()) return std::nullopt;
    return tight.size() == 2 ? found + ":" + tight[1] : found;
}

/// As many numbers as there are portions. A comma behind a number stands between two, as it does where nothing else can: in "7,5,6" of three, not in "7,5" of
/// two, which may be half of an answer.
std::optional<std::string> scores_of(const std::vector<std::string>& codes, const std::string& typed) {
    std::vector<std::string> parts = parts_of(typed);
    if (codes.size() > 2 && parts.size() == 1) parts = core::split(typed, ',');
    for (std::size_t i = 0; i + 1 < parts.size(); ++i)
        if (parts[i].ends_with(',')) parts[i].pop_back();
    if (parts.size() != codes.size()) return std::nullopt;
    std::string whole;
    for (std::size_t i = 0; i < parts.size(); ++i) {
        for (const std::string& number : core::split(parts[i], '/'))   // a score, and what else was asked of the portion
            if (!number_in(number)) return std::nullopt;
        whole += (i == 0 ? "" : " ") + codes[i] + ":" + parts[i];
    }
    return whole;
}

/// Ticked words in the order of their numbers, as they are kept, however they were read off: "417:3/1" is "417:1/3".
std::string ticks_in_order(const std::string& whole) {
    std::string ordered;
    for (const std::string& part : parts_of(whole)) {
        const std::size_t colon = part.find(':');
        std::vector<std::string> numbers = core::split(part.substr(colon + 1), '/');
        std::stable_sort(numbers.begin(), numbers.end(), [](const std::string& a, const std::string& b) { return number_in(a).value_or(0) < number_in(b).value_or(0); });
        ordered += (ordered.empty() ? "" : " ") + part.substr(0, colon + 1) + core::joined(numbers, "/");
    }
    return ordered;
}

/// "417 2", "417:2": the code with how sure.
std::optional<std::string> sure_code_of(const methods::OneCode& shape, const std::string& typed) {
    const std::vector<std::string> parts = parts_of(typed);
    if (shape.sureness_steps < 2 || parts.size() != 2 || parts[1].size() != 1) return std::nullopt;
    return parts[0] + ":" + parts[1];
}

/// "182 386 722" or "182 386=722": where all have to be put in order, codes one after the other can mean nothing else; of two, one is the one put first,
/// unless it may be all that lay there.
std::optional<std::string> order_of(const std::vector<std::string>& codes, const std::string& typed, bool all_there) {
    std::string order;
    bool gap = false;
    for (const char c : typed) {
        const bool is_join = c == '>' || c == '=';
        if (!is_digit(c) && !is_join && c != ' ' && c != ',') return std::nullopt;
        if (is_digit(c) && gap && !order.empty() && is_digit(order.back())) order += '>';
        gap = !is_digit(c) && !is_join;
        if (!gap) order += c;
    }
    if (all_there && codes.size() == 2 && (order == codes[0] || order == codes[1])) order += ">" + (order == codes[0] ? codes[1] : codes[0]);
    return order;
}

std::string box_of(const std::string& typed) {
    const std::string word = core::lower_ascii(typed);
    return word == "y" ? "yes" : word == "n" ? "no" : typed;
}

/// Scores that a scale takes, one a portion.
std::string some_scores(const methods::ScoreEach& scale, std::size_t portions) {
    std::string text;
    for (std::size_t i = 0; i < portions; ++i) {
        constexpr double k_up[] = {0.75, 0.5, 0.6};
        const double step = scale.step > 0 ? scale.step : 0.5, value = scale.lo + step * std::round(k_up[i % 3] * (scale.hi - scale.lo) / step);
        text += (i == 0 ? "" : " ") + core::shortest(value);
        for (std::size_t a = 0; a < scale.attributes.size(); ++a) text += (i + a) % 3 == 0 ? "/0" : (i + a) % 3 == 1 ? "/1" : "/-1";
    }
    return text;
}

std::string some_ticks(std::size_t words, std::size_t portions) {
    std::string text;
    for (std::size_t i = 0; i < portions; ++i) text += std::string(i == 0 ? "" : " ") + (i % 3 == 0 ? (words > 2 ? "1/3" : "1") : i % 3 == 1 || words < 2 ? "0" : "2");
    return text;
}

struct Kind {
    const char* phrase;
    std::map<std::string, core::Argument> args;
};

Kind kind_of(const methods::AnswerShape& shape, const std::vector<std::string>& codes) {
    std::map<std::string, core::Argument> args{{"a", codes.front()}, {"b", codes.back()}};
    if (const auto* one = std::get_if<methods::OneCode>(&shape)) return {one->sureness_steps > 1 ? "keyboard.how.code_sure" : "keyboard.how.code", args};
    if (std::holds_alternative<methods::CodeGroup>(shape)) return {"keyboard.how.group", args};
    if (const auto* score = std::get_if<methods::ScoreEach>(&shape)) {
        args["attributes"] = core::joined(score->attributes, ", ");
        args["example"] = some_scores(*score, codes.size());
        return {score->attributes.empty() ? "keyboard.how.scores" : "keyboard.how.profiles", args};
    }
    if (const auto* order = std::get_if<methods::OrderAll>(&shape)) {
        args["example"] = core::joined(codes, " ");
        return {order->ties ? "keyboard.how.order_ties" : codes.size() == 2 ? "keyboard.how.order_two" : "keyboard.how.order", args};
    }
    if (const auto* tick = std::get_if<methods::TickEach>(&shape)) {
        std::string numbered;
        for (std::size_t i = 0; i < tick->words.size(); ++i) numbered += (i == 0 ? "" : ", ") + std::to_string(i + 1) + " " + tick->words[i];
        args["attributes"] = numbered;
        args["example"] = some_ticks(tick->words.size(), codes.size());
        return {"keyboard.how.ticks", args};
    }
    const auto& word = std::get<methods::OneWord>(shape);
    std::string words;
    for (const std::string_view each : word.words) words += (words.empty() ? "" : ", ") + std::string(1, each.front()) + " = " + std::string(each);
    args["words"] = words;
    args["first"] = std::string(1, word.words.front().front());
    return {word.sureness_steps > 1 ? "keyboard.how.word_sure" : "keyboard.how.word", args};
}

/// Whether both portions of a tray of two are known to have been there: neither ran out, or the answer that stands tells of both.
bool are_both_there(const State& state, int ballot, int set) {
    if (state.may_lack(ballot, set) == 0) return true;
    const auto kept = state.answers.find({ballot, set});
    return kept != state.answers.end() && kept->second.text.find_first_of(">=") != std::string::npos;
}

const methods::Round& round_of(const State& state, const draw::RoomSet& set) { return state.plan.rounds[static_cast<std::size_t>(set.round)]; }

/// How an answer is typed that says nothing of a portion which was not there; "" where the question takes none.
std::string how_without_one(const methods::AnswerShape& shape, const std::vector<std::string>& codes, const core::Words& words) {
    const bool in_order = std::holds_alternative<methods::OrderAll>(shape);
    const auto *score = std::get_if<methods::ScoreEach>(&shape);
    const auto *tick = std::get_if<methods::TickEach>(&shape);
    if (!in_order && score == nullptr && tick == nullptr) return {};
    if (codes.size() < (in_order ? 3U : 2U)) return " " + words.text("keyboard.how.lacks_all");
    const std::size_t there = codes.size() - 1;
    const std::vector<std::string> said = in_order ? std::vector<std::string>(there) : parts_of(score != nullptr ? some_scores(*score, there) : some_ticks(tick->words.size(), there));
    std::string example;
    for (std::size_t i = 0; i < there; ++i) example += (i == 0 ? "" : " ") + codes[i] + (in_order ? "" : ":" + said[i]);
    return " " + words.text(in_order ? "keyboard.how.lacks_place" : "keyboard.how.lacks", {{"example", example}});
}

std::string how_told(const State& state, int ballot, int set, const core::Words& words, bool may_lack) {
    const auto& served = state.room.ballots[static_cast<std::size_t>(ballot)].sets[static_cast<std::size_t>(set)];
    const methods::Round& round = round_of(state, served);
    const auto method = methods::find(round.method);
    if (!method) return {};
    const methods::AnswerShape shape = (*method)->shape(round);
    Kind kind = kind_of(shape, served.codes);
    if (may_lack && std::string_view(kind.phrase) == "keyboard.how.order_two") kind.phrase = "keyboard.how.order";
    return words.text(kind.phrase, std::move(kind.args)) + (may_lack ? how_without_one(shape, served.codes, words) : "") + ((*method)->may_abstain(round) ? " " + words.text("keyboard.how.none") : "");
}

/// The first ballot's tray of each kind of answer: its place among the sets.
std::vector<int> kinds_of(const State& state, const core::Words& words) {
    std::vector<int> kinds;
    std::vector<std::string> said;
    if (state.room.ballots.empty()) return kinds;
    const auto& sets = state.room.ballots.front().sets;
    for (std::size_t s = 0; s < sets.size(); ++s) {
        const auto method = methods::find(round_of(state, sets[s]).method);
        if (!method) continue;
        Kind kind = kind_of((*method)->shape(round_of(state, sets[s])), {"000", "000"});
        if (std::string line = words.text(kind.phrase, std::move(kind.args)); std::find(said.begin(), said.end(), line) == said.end()) {
            said.push_back(std::move(line));
            kinds.push_back(static_cast<int>(s));
        }
    }
    return kinds;
}

}   // namespace

std::string made_whole(const State& state, int ballot, int set, const std::string& typed) {
    if (set < 0) return box_of(typed);
    const auto& served = state.room.ballots[static_cast<std::size_t>(ballot)].sets[static_cast<std::size_t>(set)];
    const methods::Round& round = round_of(state, served);
    const auto method = methods::find(round.method);
    if (!method) return typed;
    if (typed == "=" && (*method)->may_abstain(round)) return "none";
    const methods::AnswerShape shape = (*method)->shape(round);
    std::optional<std::string> whole;
    if (const auto* word = std::get_if<methods::OneWord>(&shape)) whole = word_of(*word, typed);
    if (std::holds_alternative<methods::ScoreEach>(shape) || std::holds_alternative<methods::TickEach>(shape)) whole = scores_of(served.codes, typed);
    if (const auto* code = std::get_if<methods::OneCode>(&shape)) whole = sure_code_of(*code, typed);
    if (std::holds_alternative<methods::OrderAll>(shape)) whole = order_of(state.codes_meant(ballot, set, typed), typed, are_both_there(state, ballot, set));
    if (std::holds_alternative<methods::TickEach>(shape) && whole.value_or(typed).find(':') != std::string::npos) whole = ticks_in_order(whole.value_or(typed));
    return whole.value_or(typed);
}

std::string how_to_type(const State& state, int ballot, int set, const core::Words& words) {
    return how_told(state, ballot, set, words, state.may_lack(ballot, set) > 0);
}

std::vector<std::string> how_to_type(const State& state, const core::Words& words) {
    std::vector<std::string> lines;
    for (const int set : kinds_of(state, words)) lines.push_back(how_told(state, 0, set, words, state.off_at(state.tonight()) > 0));   // some tray of the kind lacks one
    lines.push_back(words.text("keyboard.how.marks"));
    return lines;
}

bool asks_several_kinds(const State& state, const core::Words& words) { return kinds_of(state, words).size() > 1; }

}   // namespace oddplate::tasting
