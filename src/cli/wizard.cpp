// Nine plain questions at most. An answer that says nothing is asked for again with one sentence; when the input ends, nothing
// was written. What is made is a plan file like any other, which its owner can read, keep and change.

#include "wizard.hpp"

#include <algorithm>
#include <cstdio>
#include <filesystem>
#include <iostream>
#include <optional>
#include <span>

#include "oddplate/core/files.hpp"
#include "oddplate/core/text.hpp"
#include "oddplate/tasting/plan_json.hpp"
#include "oddplate/tasting/wishes.hpp"
#include "typing.hpp"

namespace oddplate::cli {
namespace {

using tasting::Asked;
using tasting::Wishes;

std::vector<std::string> words_in(const std::string& text) {
    std::vector<std::string> words;
    for (const std::string& word : core::split(text, ' '))
        if (!word.empty()) words.push_back(word);
    return words;
}

/// Names with commas between; nothing where one is too long, stands twice or cannot stand on a page.
std::optional<std::vector<std::string>> usable_names(const std::string& text, std::size_t most) {
    const std::vector<std::string> names = tasting::names_in(text);
    if (names.size() > most) return std::nullopt;
    for (const std::string& name : names)
        if (name.size() > 60 || std::count(names.begin(), names.end(), name) > 1) return std::nullopt;
    return names;
}

/// "18:30", "6pm" or "6:30 pm" as 18:30; nothing where it is no time of day.
std::optional<std::string> time_of_day(std::string text) {
    std::erase(text, ' ');
    const bool half = text.size() > 2 && (text.ends_with("am") || text.ends_with("pm"));
    const bool evening = half && text.ends_with("pm");
    if (half) text.resize(text.size() - 2);
    const std::size_t colon = text.find(':');
    if (colon == std::string::npos && !half) return std::nullopt;   // a bare number answers another question
    const auto hour = whole_in(text.substr(0, colon), half ? 1 : 0, half ? 12 : 23);
    const auto minute = colon == std::string::npos ? std::optional(0) : text.size() - colon == 3 ? whole_in(text.substr(colon + 1), 0, 59) : std::nullopt;
    if (!hour || !minute) return std::nullopt;
    const int of_day = half ? *hour % 12 + (evening ? 12 : 0) : *hour;
    char told[6];
    std::snprintf(told, sizeof told, "%02d:%02d", of_day % 24, *minute % 60);
    return told;
}

class Wizard {
public:
    explicit Wizard(const core::Words& words) : m_words(words) {}

    /// All questions in their order; nothing where the input ends before the last. What comes next hangs on what was answered, so it is asked anew each time.
    std::optional<Wishes> ask() {
        say("wizard.begin");
        for (std::size_t at = 0; at < steps().size();) {
            const Step step = steps()[at];
            switch (until(at + 1, step)) {
                case Reply::ended: return std::nullopt;
                case Reply::back: at -= at > 0 ? 1 : 0; break;
                case Reply::taken: ++at; break;
            }
        }
        return m_wishes;
    }

private:
    enum class Reply { taken, back, ended };
    struct Step {
        std::string id;                          ///< of its phrase; "<id>.again" is the sentence for an answer that says nothing
        bool (Wizard::*take)(const std::string& text);
    };

    [[nodiscard]] std::vector<Step> steps() const {
        const bool several = is_about_several(m_wishes.asked);
        std::vector<Step> all{{"wizard.title", &Wizard::take_title}, {"wizard.question", &Wizard::take_question}};
        if (several) {
            all.push_back({"wizard.recipes", &Wizard::take_recipes});
            all.push_back({"wizard.pieces", &Wizard::take_pieces});
        } else {
            if (m_wishes.asked == Asked::stronger) all.push_back({"wizard.word", &Wizard::take_word});
            all.push_back({in_ten_question(), &Wizard::take_in_ten});
        }
        all.push_back({"wizard.people", &Wizard::take_people});
        all.push_back({"wizard.spots", &Wizard::take_spots});
        all.push_back({several ? "wizard.portion.several" : "wizard.portion", &Wizard::take_portion});
        all.push_back({"wizard.service", &Wizard::take_service});
        all.push_back({"wizard.allergens", &Wizard::take_allergens});
        return all;
    }

    void say(const std::string& id, std::map<std::string, core::Argument> args = {}) const {
        std::fprintf(stderr, "%s\n", m_words.text(id, std::move(args)).c_str());
    }

    /// One question, asked till its answer is understood or the one before is wanted again.
    Reply until(std::size_t number, const Step& step) {
        for (;;) {
            std::fprintf(stderr, "\n%zu. %s\n> ", number, m_words.text(step.id).c_str());
            std::fflush(stderr);
            std::string line;
            if (!std::getline(std::cin, line)) return Reply::ended;
            const std::string text = core::trimmed(line);
            if (text == "b") return Reply::back;
            const bool clean = core::is_utf8(text) && std::none_of(text.begin(), text.end(), [](char c) {
                                   return static_cast<unsigned char>(c) < 0x20 || c == 0x7f;
                               });
            if (clean && (this->*step.take)(text)) return Reply::taken;
            say(step.id + ".again");
        }
    }

    bool take_title(const std::string& text) {
        if (text.empty() || text.size() > 200) return false;
        m_wishes.title = text;
        return true;
    }

    bool take_question(const std::string& text) {
        const auto choice = whole_in(text, 1, 7);
        if (choice) m_wishes.asked = static_cast<Asked>(*choice - 1);
        return choice.has_value();
    }

    /// "saltier usual": the comparing word, then which of the two has more of it.
    bool take_word(const std::string& text) {
        std::vector<std::string> words = words_in(text);
        if (words.size() < 2 || text.size() > 60) return false;
        const std::string side = core::lower_ascii(words.back());
        if (side != "usual" && side != "new") return false;
        words.pop_back();
        m_wishes.attribute = core::joined(words, " ");
        m_wishes.stronger = side == "usual" ? "current" : "new";
        return true;
    }

    [[nodiscard]] std::string in_ten_question() const {
        if (m_wishes.asked == Asked::liked) return "wizard.in_ten.liked";
        return m_wishes.asked == Asked::few ? "wizard.in_ten.few" : "wizard.in_ten";
    }

    bool take_in_ten(const std::string& text) {
        const bool liked = m_wishes.asked == Asked::liked;
        const auto choice = whole_in(text, liked ? 6 : 2, liked ? 9 : 5);
        if (choice) m_wishes.in_ten = *choice;
        return choice.has_value();
    }

    /// Three names or more, the usual one first; none of them a number, none a spot's.
    bool take_recipes(const std::string& text) {
        const auto recipes = usable_names(text, 12);
        const auto is_number = [](const std::string& name) { return tasting::number_in(name).has_value(); };
        if (!recipes || recipes->size() < 3 || std::any_of(recipes->begin(), recipes->end(), is_number)) return false;
        m_wishes.recipes = *recipes;
        say("wizard.recipes.read", {{"n", std::ssize(*recipes)}, {"names", core::joined(*recipes, "; ")}});
        return true;
    }

    bool take_pieces(const std::string& text) {
        const auto pieces = whole_in(text, 1, 1000);
        if (pieces) m_wishes.pieces = *pieces;
        return pieces.has_value();
    }

    bool take_people(const std::string& text) {
        const auto people = whole_in(text, 1, 10000);
        if (people) m_wishes.people = *people;
        return people.has_value();
    }

    bool take_spots(const std::string& text) {
        const auto spots = usable_names(text, 12);
        const auto is_number = [](const std::string& name) { return tasting::number_in(name).has_value(); };   // an answer to another question
        if (!spots || std::any_of(spots->begin(), spots->end(), is_number)) return false;
        m_wishes.spots = *spots;
        return true;
    }

    /// "12 2.4 2.0", "12", or nothing.
    bool take_portion(const std::string& text) {
        std::vector<std::string> words = words_in(text);
        std::erase_if(words, [](const std::string& word) { return word == "g" || word == "%"; });
        for (std::string& word : words)   // "12g 2.4% 2.0%"
            while (word.size() > 1 && (word.back() == 'g' || word.back() == '%')) word.pop_back();
        if (words.empty()) return true;
        if (words.size() != 1 && (words.size() != 3 || is_about_several(m_wishes.asked))) return false;
        std::vector<double> numbers;
        for (const std::string& word : words) {
            const auto number = tasting::number_in(word);
            if (!number) return false;
            numbers.push_back(*number);
        }
        const auto is_salt = [](double percent) { return percent >= 0 && percent <= 100; };
        if (!(numbers[0] > 0 && numbers[0] < 1000)) return false;
        if (numbers.size() == 3 && !(is_salt(numbers[1]) && is_salt(numbers[2]))) return false;
        m_wishes.grams = numbers[0];
        if (numbers.size() == 1) return true;
        m_wishes.salt_usual = numbers[1];
        m_wishes.salt_new = numbers[2];
        return true;
    }

    /// "warm", "cold 18:30".
    bool take_service(const std::string& text) {
        const std::vector<std::string> words = words_in(core::lower_ascii(text));
        if (words.empty() || (words[0] != "warm" && words[0] != "cold")) return false;
        const auto start = words.size() == 1 ? std::optional<std::string>("") : time_of_day(core::joined(std::span(words).subspan(1), ""));
        if (!start) return false;
        m_wishes.warm = words[0] == "warm";
        m_wishes.start = *start;
        return true;
    }

    bool take_allergens(const std::string& text) {
        const std::string word = core::lower_ascii(text);
        if (word == "none" || word == "no" || word == "nothing" || word == "-") {
            m_wishes.allergens.clear();
            return true;
        }
        const auto allergens = usable_names(text, 40);
        if (allergens) m_wishes.allergens = *allergens;
        return allergens.has_value();
    }

    const core::Words& m_words;
    Wishes m_wishes;
};

/// "less-salt-in-the-cure.json" of the title; with a number where such a file is there already.
std::string free_path(const std::string& title) {
    std::string slug = tasting::slug_of(title, 50);
    if (slug.empty()) slug = "plan";
    std::string path = slug + ".json";
    std::error_code unused;   // what cannot be looked at is taken; writing then says what is wrong
    for (int n = 2; std::filesystem::symlink_status(path, unused).type() != std::filesystem::file_type::not_found; ++n) {
        if (n > 9999) break;
        path = slug + "-" + std::to_string(n) + ".json";
    }
    return path;
}

}   // namespace

core::Result<std::string> ask_for_plan(Call& call) {
    const auto wishes = Wizard(call.words).ask();
    if (!wishes) {
        std::fputs("\n", stderr);
        return core::fault(core::ErrorKind::usage, "not-answered", call.words.text("wizard.ended"));
    }
    const std::string text = core::to_pretty_text(tasting::plan_of(*wishes, call.words));
    const std::string path = free_path(wishes->title);
    if (const auto plan = tasting::read_plan(text, path); !plan) return plan.faults();
    if (auto written = core::write_file(path, text); !written) return written.faults();
    std::fprintf(stderr, "\n%s\n", call.words.text("wizard.written", {{"path", path}}).c_str());
    return path;
}

}   // namespace oddplate::cli
