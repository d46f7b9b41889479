// What a round of ticked words can be told, and what one answer is worth.

#include <algorithm>
#include <cmath>
#include <set>

#include "oddplate/core/json.hpp"
#include "oddplate/core/text.hpp"
#include "ticks.hpp"
#include "trays.hpp"

namespace oddplate::methods::ticks {
namespace {

constexpr std::size_t k_most_words = 12, k_longest_word = 24;   // what a slip holds
constexpr const char* k_usual_words = "salty, sweet, smoky, dry, tender, tough";
constexpr Setting k_round[] = {trays::k_tray_size,
    trays::k_sittings, trays::k_stronger, trays::k_strongest_last, {.key = "words", .kind = Kind::words, .help = "what may be ticked, with commas between (default: salty, sweet, smoky, dry, tender, tough)"}};

}   // namespace

constinit const std::span<const Setting> k_round_settings{k_round};

std::vector<std::string> words_in(const Round& round) {
    std::vector<std::string> all;
    for (const std::string& part : core::split(words(round.settings, "words").value_or(k_usual_words), ',')) all.push_back(core::trimmed(part));
    return all;
}

void settle(const Method& method, Round& round, const Plan& plan, const std::string& place, core::Faults& faults) {
    trays::settle(method, round, plan, place, faults);
    round.settings.try_emplace("words", std::string(k_usual_words));
    const std::vector<std::string> all = words_in(round);
    std::set<std::string> different;
    for (const std::string& word : all) different.insert(core::lower_ascii(word));
    const bool sound = all.size() >= 2 && all.size() <= k_most_words && different.size() == all.size() &&
                       std::all_of(all.begin(), all.end(), [](const std::string& one) { return !one.empty() && one.size() <= k_longest_word; });
    if (!sound)
        faults.push_back(core::found(place + "/words", "\"" + core::quoted(*words(round.settings, "words")) + "\"",
                                     "two to twelve different words of up to 24 letters, with commas between, such as \"salty, smoky, dry\""));
}

AnswerShape shape(const Round& round) { return TickEach{.words = words_in(round)}; }

core::Result<Scored> score(const SetKey& key, const Answer& answer, const Round& round, const Plan&) {
    const AnswerShape wanted = shape(round);
    const auto refused = [&] { return core::found({}, canonical_text(answer, key.codes), expectation(wanted, false, key.codes), {}, "bad-answer"); };
    const auto* given = std::get_if<Scores>(&answer);
    if (given == nullptr) return refused();
    Scored scored;
    for (std::size_t place = 0; place < key.codes.size(); ++place) {
        const auto mine = std::find_if(given->scores.begin(), given->scores.end(), [&](const auto& one) { return one.first == key.codes[place]; });
        if (mine == given->scores.end()) continue;   // its recipe was withdrawn
        scored.samples.push_back(key.versions[place]);
        scored.levels.emplace_back(words_in(round).size(), 0.0);
        const auto index = static_cast<std::size_t>(mine - given->scores.begin());
        const std::vector<double> numbers = ticked_numbers(*given, index);
        scored.values.push_back(static_cast<double>(numbers.size()));
        for (const double number : numbers)
            if (number >= 1 && number <= static_cast<double>(scored.levels.back().size())) scored.levels.back()[static_cast<std::size_t>(number) - 1] = 1;
    }
    if (scored.values.empty() || !check_answer(answer, wanted, false, key.codes, {key.codes.size(), key.codes.size() - scored.values.size()})) return refused();
    const bool two = key.codes.size() == 2;
    for (std::size_t i = 0; i < scored.values.size(); ++i)
        scored.value += !two ? scored.values[i] / static_cast<double>(scored.values.size()) : scored.samples[i] == 0 ? -scored.values[i] : scored.values[i];
    return scored;
}

/// Every other word speaks of more, from a line of its own on; the rest speak of less. A made-up taster's habit, for rehearsals.
Answer decide(const Sensed& sensed, std::span<const std::string> codes, const Round& round, const Plan&) {
    const std::size_t all = words_in(round).size();
    Scores given;
    for (std::size_t i = 0; i < codes.size(); ++i) {
        std::vector<double> numbers;
        for (std::size_t word = 0; word < all; ++word) {
            const double line = 0.5 + 0.25 * static_cast<double>(word / 2);
            if (word % 2 == 0 ? sensed.portions[i] > line : sensed.portions[i] < -line) numbers.push_back(static_cast<double>(word) + 1);
        }
        if (numbers.empty()) numbers.push_back(0);
        given.scores.emplace_back(codes[i], numbers.front());
        given.levels.emplace_back(numbers.begin() + 1, numbers.end());
    }
    if (std::all_of(given.levels.begin(), given.levels.end(), [](const auto& more) { return more.empty(); })) given.levels.clear();
    return given;
}

}   // namespace oddplate::methods::ticks
