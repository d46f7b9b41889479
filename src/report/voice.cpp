// Words for the papers. A method's phrases are put in only where the catalogue lacks them, so that a translation is not undone.
#include "oddplate/report/voice.hpp"

#include <fmt/format.h>

#include <cstdlib>
#include <vector>

#include "oddplate/core/json.hpp"

namespace oddplate::report {

const methods::Method& method_of(const methods::Round& round) {
    const auto found = methods::find(round.method);
    if (!found) std::abort();   // no plan gets this far with a method that is not there
    return **found;
}

Voice::Voice(const core::Words& words, const methods::Plan& plan) : m_words(words) {
    for (const methods::Round& round : plan.rounds) {
        std::vector<core::Phrase> missing;
        for (const core::Phrase& phrase : method_of(round).phrases) {
            if (!m_words.has(phrase.id)) missing.push_back(phrase);
        }
        m_words.add(missing);
    }
}

std::string Voice::say(std::string_view id, Arguments args) const {
    return m_words.text("paper." + std::string(id), std::move(args));
}

std::string Voice::portions(const methods::Round& round) const {
    constexpr std::int64_t k_most_in_words = 6;
    const auto size = methods::whole(round.settings, "tray_size");
    if (!size) return "";
    const std::string number = std::to_string(*size);
    return *size <= k_most_in_words ? say("portions." + number) : say("portions.many", {{"n", number}});
}

std::string Voice::ask(const methods::Round& round, std::string_view name) const {
    const std::string attribute = methods::words(round.settings, "attribute").value_or("");
    std::string id = round.method + "." + std::string(name);
    if (!attribute.empty() && m_words.has(id + "_directed")) id += "_directed";   // a method that can be asked both ways
    if (methods::whole(round.settings, "tray_size") == 2 && m_words.has(id + ".two")) id += ".two";
    for (const auto& [key, value] : round.settings)   // a reminder on the tray, say, is another tray to describe
        if (const bool* set = std::get_if<bool>(&value); set != nullptr && *set && m_words.has(id + "." + key)) id += "." + key;
    return m_words.text(id, {{"attribute", attribute}, {"portions", portions(round)}});
}

std::string Voice::ask_or(const methods::Round& round, std::string_view name, std::string otherwise) const {
    return m_words.has(round.method + "." + std::string(name)) ? ask(round, name) : std::move(otherwise);
}

std::string Voice::place(int index, int portions) const {
    if (portions == 1) return say("place.only");
    if (portions <= 3 && index == 0) return say("place.left");
    if (portions <= 3 && index == portions - 1) return say("place.right");
    if (portions == 3) return say("place.middle");
    return say("place.nth", {{"n", std::to_string(index + 1)}});
}

std::string Voice::time(const methods::Plan& plan, int minutes) const {
    if (plan.start.size() != 5) {
        return say(minutes < 0 ? "before_start" : "after_start", {{"minutes", std::to_string(std::abs(minutes))}});
    }
    const int start = 60 * std::stoi(plan.start.substr(0, 2)) + std::stoi(plan.start.substr(3, 2));
    const int day = 24 * 60;
    const int at = ((start + minutes) % day + day) % day;
    return fmt::format("{:02}:{:02}", at / 60, at % 60);
}

int sitting_on(const std::vector<draw::RoomSet>& sets, int set) {
    int sitting = 1;
    for (int before = set - 1; before >= 0 && sets[static_cast<std::size_t>(before)].round == sets[static_cast<std::size_t>(set)].round; --before) ++sitting;
    return sitting;
}

std::vector<std::size_t> word_order(std::size_t words, int ballot) {
    std::vector<std::size_t> order;
    for (std::size_t i = 0; i < words; ++i) order.push_back((i + static_cast<std::size_t>(ballot)) % words);
    return order;
}

std::pair<std::string, std::string> scale_ends(const Voice& voice, const methods::Round& round, const methods::ScoreEach& score) {
    if (score.words.size() >= 2) return {score.words.front(), score.words.back()};
    return {voice.ask_or(round, "low", ""), voice.ask_or(round, "high", "")};   // the method's, in the guest's language
}

std::string scale_line(const Voice& voice, const methods::Round& round, const methods::ScoreEach& score) {
    const auto [low, high] = scale_ends(voice, round, score);
    if (low.empty()) return voice.say("score_from_to", {{"lo", score.lo}, {"hi", score.hi}});
    if (score.words.size() <= 2) return voice.say("score_ends", {{"lo", score.lo}, {"low", low}, {"hi", score.hi}, {"high", high}});
    std::string line;
    for (std::size_t i = 0; i < score.words.size(); ++i)
        line += (i == 0 ? "" : ", ") + core::shortest(score.lo + static_cast<double>(i) * score.step) + " = " + score.words[i];
    return line;
}

}   // namespace oddplate::report
