// The forms of a taster's pages, one shape of answer each.

#include "tray_form.hpp"

#include <algorithm>

#include "oddplate/core/text.hpp"

namespace oddplate::web {
namespace {

Markup number_box(const std::string& code, double lo, double hi, const std::string& step, bool needed) {
    const auto plain = [](double x) { return core::to_text(core::Json(x)); };
    Attributes box{{"type", "number"}, {"inputmode", "decimal"}, {"name", "of-" + code}, {"min", plain(lo)}, {"max", plain(hi)}, {"step", step}, {"placeholder", " "}};
    if (needed) box.emplace_back("required", "");
    return element("label", {{"class", "score"}, {"data-portion", ""}}, {element("span", {}, {code}), element("input", box)});
}

/// Columns in which so many codes stand in even rows; two and three stand side by side, as they lie on the tray.
std::string columns_of(std::size_t codes) { return codes == 2 || codes == 4 ? " c2" : " c3"; }

/// How the steps of a scale stand: one row, which has room on a phone for eleven of one or two figures; else even rows.
std::string rows_of(const std::vector<std::string>& steps) {
    const auto widest = std::max_element(steps.begin(), steps.end(), [](const auto& a, const auto& b) { return a.size() < b.size(); })->size();
    const std::size_t most = widest <= 2 ? 11 : 6;
    if (steps.size() <= most) return "scale line";
    const std::size_t rows = (steps.size() + most - 1) / most;
    return "scale c" + std::to_string((steps.size() + rows - 1) / rows);
}

/// All that is asked about one portion (ui/each.ts holds it together).
Markup portion(const std::string& code, const Markup& inside) {
    return element("fieldset", {{"class", "levels"}, {"data-portion", ""}}, {element("legend", {}, {code}), inside});
}

struct Choices {
    const Tray& tray;
    const report::Voice& voice;

    Markup operator()(const methods::OneCode& one) const { return codes("radio") + sure(one.sureness_steps); }
    Markup operator()(const methods::CodeGroup&) const { return codes("checkbox"); }
    Markup operator()(const methods::OneWord& one) const {
        Markup all = element("p", {{"class", "served"}}, {core::joined(tray.room().codes, "  ")});
        Markup words;
        for (const std::string_view word : one.words)
            words += choice("radio", "pick", std::string(word), voice.ask_or(tray.round(), "word." + std::string(word), std::string(word)), "ticket word");
        all += element("div", {{"class", "tickets"}}, {words});
        return all + sure(one.sureness_steps);
    }
    Markup operator()(const methods::ScoreEach& score) const {
        Markup all;
        const std::string step = score.step > 0 ? core::to_text(core::Json(score.step)) : "any";
        for (const std::string& code : tray.room().codes) {
            const std::vector<double> steps = score.steps();
            const Markup box = steps.empty() ? number_box(code, score.lo, score.hi, step, all_needed()) : scale(code, steps, score);
            const Markup inner = box + levels(code, score.attributes);
            all += steps.empty() && score.attributes.empty() ? box : portion(code, inner);
        }
        if (!score.steps().empty() && !report::scale_ends(voice, tray.round(), score).first.empty()) return all;   // its steps say what they are
        return element("p", {}, {report::scale_line(voice, tray.round(), score)}) + all;
    }
    Markup operator()(const methods::TickEach& tick) const {
        Markup all;
        for (const std::string& code : tray.room().codes) {
            Markup words;
            for (const std::size_t word : report::word_order(tick.words.size(), tray.ballot))
                words += choice("checkbox", "tick-" + code, std::to_string(word + 1), tick.words[word], "step");
            words += choice("checkbox", "tick-" + code, "0", voice.say("none_of_these"), "step");
            all += portion(code, element("div", {{"class", "scale words"}}, {words}));
        }
        return element("p", {{"data-need", ""}}, {voice.say("tick_words_none")}) + all;
    }
    Markup operator()(const methods::OrderAll& order) const {
        // Numbers where there is no script; with it codes are tapped in order (ui/order.ts) and the boxes fill themselves.
        Markup boxes;
        const auto& codes = tray.room().codes;
        for (const std::string& code : codes) boxes += number_box(code, 1, static_cast<double>(codes.size()), "1", all_needed());
        return element("div", {{"class", "order" + columns_of(codes.size())}, {"data-order", ""}}, {boxes}) +
               element("p", {{"class", "unscripted"}}, {voice.say(order.ties ? "order_form_ties" : "order_form", {{"last", std::to_string(codes.size())}})});
    }

private:
    [[nodiscard]] bool all_needed() const { return tray.may_lack() == 0; }
    /// One step to tap; below one another where each has its word, else in rows with the words of both ends at the ends.
    Markup scale(const std::string& code, const std::vector<double>& steps, const methods::ScoreEach& score) const {
        const bool named = score.words.size() == steps.size();
        std::vector<std::string> numbers;
        for (const double step : steps) numbers.push_back(core::to_text(core::Json(step)));
        Markup all;
        for (std::size_t i = 0; i < steps.size(); ++i)
            all += choice("radio", "of-" + code, numbers[i], named ? numbers[i] + "  " + score.words[i] : numbers[i], "step", all_needed());
        if (named) return element("div", {{"class", "scale named"}}, {all});
        const auto [low, high] = report::scale_ends(voice, tray.round(), score);
        const Markup ends = low.empty() ? Markup() : element("p", {{"class", "ends"}}, {element("span", {}, {low}), " ", element("span", {}, {high})});
        return ends + element("div", {{"class", rows_of(numbers)}}, {all});
    }
    /// Too little, just right or too much of each attribute.
    Markup levels(const std::string& code, const std::vector<std::string>& attributes) const {
        Markup all;
        for (std::size_t i = 0; i < attributes.size(); ++i) {
            Markup steps;
            for (const auto& [level, word] : {std::pair{"-1", "too_little"}, std::pair{"0", "just_right"}, std::pair{"1", "too_much"}})
                steps += choice("radio", "level-" + code + "-" + std::to_string(i), level, voice.say(word), "step", all_needed());
            all += element("fieldset", {{"class", "sure"}}, {element("legend", {}, {attributes[i]}), element("div", {{"class", "scale three"}}, {steps})});
        }
        return all;
    }
    Markup codes(const std::string& kind) const {
        Markup all;
        if (!tray.room().reference.empty()) all += element("span", {{"class", "ticket reference"}}, {voice.mark(tray.round(), tray.room().reference)});
        for (const std::string& code : tray.room().codes) all += choice(kind, "pick", code, code, "ticket");
        return element("div", {{"class", "tickets" + columns_of(tray.room().codes.size() + (tray.room().reference.empty() ? 0 : 1))}}, {all});
    }
    Markup sure(int last) const {
        if (last < 2) return {};
        Markup steps;
        for (int step = 1; step <= last; ++step)
            steps += choice("radio", "sure", std::to_string(step), last == 3 ? voice.say("sure_" + std::to_string(step)) : std::to_string(step), "step");
        return element("fieldset", {{"class", "sure"}}, {element("legend", {}, {voice.say(last == 3 ? "how_sure_3" : "how_sure", {{"last", std::to_string(last)}})}), steps});
    }
};

/// The answer in the grammar of entry; what it lacks the entry says.
struct FromForm {
    const Visit& visit;
    const Tray& tray;

    std::string operator()(const methods::OneCode&) const { return picked(); }
    std::string operator()(const methods::CodeGroup&) const { return core::joined(visit.fields("pick"), "+"); }
    std::string operator()(const methods::OneWord&) const { return picked(); }
    std::string operator()(const methods::ScoreEach& score) const {
        std::vector<std::string> scores;
        for (const std::string& code : tray.room().codes) {
            std::vector<std::string> said{visit.field("of-" + code)};
            for (std::size_t i = 0; i < score.attributes.size(); ++i) said.push_back(visit.field("level-" + code + "-" + std::to_string(i)));
            if (std::all_of(said.begin(), said.end(), [](const std::string& each) { return each.empty(); })) continue;   // left out
            scores.push_back(code + ":" + core::joined(said, "/"));
        }
        return core::joined(scores, " ");
    }
    std::string operator()(const methods::TickEach& tick) const {
        std::vector<std::string> ticked;
        for (const std::string& code : tray.room().codes) {
            const std::vector<std::string> given = visit.fields("tick-" + code);
            std::vector<std::string> numbers;   // rising, whatever the order in which they stood; 0 is "none of these"
            for (std::size_t word = 0; word <= tick.words.size(); ++word)
                if (std::find(given.begin(), given.end(), std::to_string(word)) != given.end()) numbers.push_back(std::to_string(word));
            if (!numbers.empty()) ticked.push_back(code + ":" + core::joined(numbers, "/"));   // else left out
        }
        return core::joined(ticked, " ");
    }
    std::string operator()(const methods::OrderAll&) const {
        std::map<std::pair<std::size_t, std::string>, std::vector<std::string>> by_rank;   // as numbers are: 2 before 10
        for (const std::string& code : tray.room().codes) {
            const std::string rank = visit.field("of-" + code);
            if (!rank.empty()) by_rank[{rank.size(), rank}].push_back(code);   // else left out
        }
        std::vector<std::string> groups;
        for (const auto& [rank, codes] : by_rank) groups.push_back(core::joined(codes, "="));
        return core::joined(groups, ">");
    }

private:
    std::string picked() const { return visit.field("pick") + (visit.field("sure").empty() ? "" : ":" + visit.field("sure")); }
};

}   // namespace

std::size_t Tray::spare() const {
    const methods::AnswerShape asked = shape();
    std::size_t least = room().codes.size();
    if (std::holds_alternative<methods::OrderAll>(asked)) least = 2;
    else if (std::holds_alternative<methods::ScoreEach>(asked) || std::holds_alternative<methods::TickEach>(asked)) least = 1;
    return room().codes.size() - std::min(least, room().codes.size());
}

std::size_t Tray::may_lack() const { return std::min(state.may_lack(ballot, set), spare()); }

bool Tray::may_stay_out() const { return state.off_at(state.plan.evening_at(ballot)) > spare(); }

Markup choice(const std::string& kind, const std::string& name, const std::string& value, const std::string& shown, const std::string& face, bool needed) {
    Attributes attributes{{"type", kind}, {"name", name}, {"value", value}};
    if (kind == "radio" && needed) attributes.emplace_back("required", "");
    return element("label", {{"class", face}}, {element("input", attributes), element("span", {}, {shown})});
}

Markup choices_of(const Tray& tray, const report::Voice& voice) { return std::visit(Choices{tray, voice}, tray.shape()); }

std::string said_back(const Tray& tray, const report::Voice& voice, const std::string& kept) {
    const auto answer = methods::parse_answer(kept);
    if (!answer) return {};   // kept by an older oddplate that knew other marks
    if (std::holds_alternative<methods::Codes>(*answer) || std::holds_alternative<methods::Ordering>(*answer)) return kept;
    if (const auto* word = std::get_if<methods::Word>(&*answer)) return voice.ask_or(tray.round(), "word." + word->word, word->word);
    const auto* sure = std::get_if<methods::Scores>(&*answer);
    return sure != nullptr && std::holds_alternative<methods::OneCode>(tray.shape()) ? sure->scores.front().first : std::string();
}

std::string answer_in(const Visit& visit, const Tray& tray) {
    if (visit.field("none") == "served") return "not-served";
    if (!visit.field("none").empty()) return "none";
    return std::visit(FromForm{visit, tray}, tray.shape());
}

}   // namespace oddplate::web
