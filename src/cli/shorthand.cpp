// Short forms by the shape of the answer. A form is made whole only where it can mean one thing; the rest is left to the one reader of
// answers, whose faults say what was expected.

#include "shorthand.hpp"

#include <algorithm>
#include <optional>
#include <set>

#include "oddplate/core/text.hpp"
#include "oddplate/methods/method.hpp"
#include "oddplate/tasting/wishes.hpp"
#include "typing.hpp"

namespace oddplate::cli {
namespace {

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

/// As many numbers as there are portions.
std::optional<std::string> scores_of(const std::vector<std::string>& codes, const std::string& typed) {
    const std::vector<std::string> parts = parts_of(typed);
    if (parts.size() != codes.size()) return std::nullopt;
    std::string whole;
    for (std::size_t i = 0; i < parts.size(); ++i) {
        for (const std::string& number : core::split(parts[i], '/'))   // a score, and what else was asked of the portion
            if (!tasting::number_in(number)) return std::nullopt;
        whole += (i == 0 ? "" : " ") + codes[i] + ":" + parts[i];
    }
    return whole;
}

/// "417 2", "417:2": the code with how sure.
std::optional<std::string> sure_code_of(const methods::OneCode& shape, const std::string& typed) {
    const std::vector<std::string> parts = parts_of(typed);
    if (shape.sureness_steps < 2 || parts.size() != 2 || parts[1].size() != 1) return std::nullopt;
    return parts[0] + ":" + parts[1];
}

struct Kind {
    const char* phrase;
    std::map<std::string, core::Argument> args;
};

Kind kind_of(const methods::AnswerShape& shape, const std::vector<std::string>& codes) {
    const auto code = [&](std::size_t i) { return codes[std::min(i, codes.size() - 1)]; };
    std::map<std::string, core::Argument> args{{"a", code(0)}, {"b", code(1)}};
    if (const auto* one = std::get_if<methods::OneCode>(&shape)) return {one->sureness_steps > 1 ? "keyboard.how.code_sure" : "keyboard.how.code", args};
    if (std::holds_alternative<methods::CodeGroup>(shape)) return {"keyboard.how.group", args};
    if (const auto* score = std::get_if<methods::ScoreEach>(&shape)) {
        args["attributes"] = core::joined(score->attributes, ", ");
        return {score->attributes.empty() ? "keyboard.how.scores" : "keyboard.how.profiles", args};
    }
    if (std::holds_alternative<methods::OrderAll>(shape)) return {"keyboard.how.order", args};
    if (const auto* tick = std::get_if<methods::TickEach>(&shape)) {
        std::string numbered;
        for (std::size_t i = 0; i < tick->words.size(); ++i) numbered += (i == 0 ? "" : ", ") + std::to_string(i + 1) + " " + tick->words[i];
        args["attributes"] = numbered;
        return {"keyboard.how.ticks", args};
    }
    const auto& word = std::get<methods::OneWord>(shape);
    std::string words;
    for (const std::string_view each : word.words) words += (words.empty() ? "" : ", ") + std::string(1, each.front()) + " = " + std::string(each);
    args["words"] = words;
    args["first"] = std::string(1, word.words.front().front());
    return {word.sureness_steps > 1 ? "keyboard.how.word_sure" : "keyboard.how.word", args};
}

}   // namespace

std::string made_whole(const tasting::State& state, int ballot, int set, const std::string& typed) {
    if (set < 0) return typed == "y" ? "yes" : typed == "n" ? "no" : typed;
    const auto& served = state.room.ballots[static_cast<std::size_t>(ballot)].sets[static_cast<std::size_t>(set)];
    const methods::Round& round = state.plan.rounds[static_cast<std::size_t>(served.round)];
    const auto method = methods::find(round.method);
    if (!method) return typed;
    if (typed == "=" && (*method)->may_abstain(round)) return "none";
    const methods::AnswerShape shape = (*method)->shape(round);
    std::optional<std::string> whole;
    if (const auto* word = std::get_if<methods::OneWord>(&shape)) whole = word_of(*word, typed);
    if (std::holds_alternative<methods::ScoreEach>(shape) || std::holds_alternative<methods::TickEach>(shape)) whole = scores_of(served.codes, typed);
    if (const auto* code = std::get_if<methods::OneCode>(&shape)) whole = sure_code_of(*code, typed);
    return whole.value_or(typed);
}

std::vector<std::string> how_to_type(const tasting::State& state, const core::Words& words) {
    std::vector<std::string> lines;
    std::set<std::string> said;   // kinds of answer; two words' methods are two kinds
    bool abstains = false;
    for (std::size_t r = 0; r < state.plan.rounds.size(); ++r) {
        const methods::Round& round = state.plan.rounds[r];
        const auto method = methods::find(round.method);
        if (!method || state.room.ballots.empty()) continue;
        const auto& sets = state.room.ballots.front().sets;
        const auto set = std::find_if(sets.begin(), sets.end(), [&](const draw::RoomSet& each) { return each.round == static_cast<int>(r); });
        if (set == sets.end()) continue;
        Kind kind = kind_of((*method)->shape(round), set->codes);
        const bool in_words = kind.args.contains("words");
        if (said.insert(kind.phrase + (in_words ? round.method : std::string())).second) lines.push_back(words.text(kind.phrase, std::move(kind.args)));
        abstains = abstains || (*method)->may_abstain(round);
    }
    if (abstains) lines.push_back(words.text("keyboard.how.none"));
    lines.push_back(words.text("keyboard.how.marks"));
    return lines;
}

}   // namespace oddplate::cli
