// The forms of a taster's pages, one shape of answer each.

#include "tray_form.hpp"

#include "oddplate/core/text.hpp"

namespace oddplate::web {
namespace {

Markup number_box(const std::string& code, double lo, double hi, const std::string& step) {
    const auto plain = [](double x) { return core::to_text(core::Json(x)); };
    return element("label", {{"class", "score"}}, {element("span", {}, {code}), element("input", {{"type", "number"}, {"inputmode", "decimal"}, {"name", "of-" + code},
                                                                                          {"min", plain(lo)}, {"max", plain(hi)}, {"step", step}, {"required", ""}})});
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
            const Markup box = steps.empty() ? number_box(code, score.lo, score.hi, step) : scale(code, steps, score.words);
            const Markup inner = box + levels(code, score.attributes);
            all += steps.empty() && score.attributes.empty() ? box : element("fieldset", {{"class", "levels"}}, {element("legend", {}, {code}), inner});
        }
        if (!score.words.empty() && score.words.size() == score.steps().size()) return all;   // every step says what it is
        return element("p", {}, {report::scale_line(voice, tray.round(), score)}) + all;
    }
    Markup operator()(const methods::TickEach& tick) const {
        Markup all;
        for (const std::string& code : tray.room().codes) {
            Markup words;
            for (const std::size_t word : report::word_order(tick.words.size(), tray.ballot))
                words += choice("checkbox", "tick-" + code, std::to_string(word + 1), tick.words[word], "step");
            all += element("fieldset", {{"class", "levels"}}, {element("legend", {}, {code}), element("div", {{"class", "scale words"}}, {words})});
        }
        return all + element("p", {}, {voice.say("tick_words_none")});
    }
    Markup operator()(const methods::OrderAll& order) const {
        // Numbers where there is no script; with it codes are tapped in order (ui/order.ts) and the boxes fill themselves.
        Markup boxes;
        const auto& codes = tray.room().codes;
        for (const std::string& code : codes) boxes += number_box(code, 1, static_cast<double>(codes.size()), "1");
        return element("div", {{"class", "order"}, {"data-order", ""}}, {boxes}) +
               element("p", {{"class", "unscripted"}}, {voice.say(order.ties ? "order_form_ties" : "order_form", {{"last", std::to_string(codes.size())}})});
    }

private:
    /// One step to tap; below one another where each has its word.
    Markup scale(const std::string& code, const std::vector<double>& steps, const std::vector<std::string>& words) const {
        const bool named = words.size() == steps.size();
        Markup all;
        for (std::size_t i = 0; i < steps.size(); ++i) {
            const std::string number = core::to_text(core::Json(steps[i]));
            all += choice("radio", "of-" + code, number, named ? number + "  " + words[i] : number, "step");
        }
        return element("div", {{"class", named ? "scale named" : "scale"}}, {all});
    }
    /// Too little, just right or too much of each attribute.
    Markup levels(const std::string& code, const std::vector<std::string>& attributes) const {
        Markup all;
        for (std::size_t i = 0; i < attributes.size(); ++i) {
            Markup steps;
            for (const auto& [level, word] : {std::pair{"-1", "too_little"}, std::pair{"0", "just_right"}, std::pair{"1", "too_much"}})
                steps += choice("radio", "level-" + code + "-" + std::to_string(i), level, voice.say(word), "step");
            all += element("fieldset", {{"class", "sure"}}, {element("legend", {}, {attributes[i]}), element("div", {{"class", "scale three"}}, {steps})});
        }
        return all;
    }
    Markup codes(const std::string& kind) const {
        Markup all;
        if (!tray.room().reference.empty()) all += element("span", {{"class", "ticket reference"}}, {voice.mark(tray.round(), tray.room().reference)});
        for (const std::string& code : tray.room().codes) all += choice(kind, "pick", code, code, "ticket");
        return element("div", {{"class", "tickets"}}, {all});
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
            scores.push_back(code + ":" + visit.field("of-" + code));
            for (std::size_t i = 0; i < score.attributes.size(); ++i) scores.back() += "/" + visit.field("level-" + code + "-" + std::to_string(i));
        }
        return core::joined(scores, " ");
    }
    std::string operator()(const methods::TickEach& tick) const {
        std::vector<std::string> ticked;
        for (const std::string& code : tray.room().codes) {
            const std::vector<std::string> given = visit.fields("tick-" + code);
            std::vector<std::string> numbers;   // rising, whatever the order in which they stood
            for (std::size_t word = 1; word <= tick.words.size(); ++word)
                if (std::find(given.begin(), given.end(), std::to_string(word)) != given.end()) numbers.push_back(std::to_string(word));
            ticked.push_back(code + ":" + (numbers.empty() ? "0" : core::joined(numbers, "/")));
        }
        return core::joined(ticked, " ");
    }
    std::string operator()(const methods::OrderAll&) const {
        std::map<std::pair<std::size_t, std::string>, std::vector<std::string>> by_rank;   // as numbers are: 2 before 10
        for (const std::string& code : tray.room().codes) {
            const std::string rank = visit.field("of-" + code);
            by_rank[{rank.size(), rank}].push_back(code);
        }
        std::vector<std::string> groups;
        for (const auto& [rank, codes] : by_rank) groups.push_back(core::joined(codes, "="));
        return core::joined(groups, ">");
    }

private:
    std::string picked() const { return visit.field("pick") + (visit.field("sure").empty() ? "" : ":" + visit.field("sure")); }
};

}   // namespace

Markup choice(const std::string& kind, const std::string& name, const std::string& value, const std::string& shown, const std::string& face) {
    Attributes attributes{{"type", kind}, {"name", name}, {"value", value}};
    if (kind == "radio") attributes.emplace_back("required", "");
    return element("label", {{"class", face}}, {element("input", attributes), element("span", {}, {shown})});
}

Markup choices_of(const Tray& tray, const report::Voice& voice) { return std::visit(Choices{tray, voice}, tray.shape()); }

std::string answer_in(const Visit& visit, const Tray& tray) {
    if (!visit.field("none").empty()) return "none";
    return std::visit(FromForm{visit, tray}, tray.shape());
}

}   // namespace oddplate::web
