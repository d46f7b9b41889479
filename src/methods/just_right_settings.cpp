// What a round of just-about-right can be told, and what one answer is worth.

#include <algorithm>
#include <cmath>
#include <set>

#include "just_right.hpp"
#include "oddplate/core/json.hpp"
#include "oddplate/core/text.hpp"
#include "trays.hpp"

namespace oddplate::methods::just_right {
namespace {

// Nine steps of liking: common practice.
constexpr double k_low = 1, k_top = 9;
constexpr std::size_t k_most_attributes = 5, k_longest_attribute = 24;   // what a slip holds
constexpr Setting k_round[] = {
    trays::k_tray_size,
    trays::k_sittings, trays::k_stronger, trays::k_strongest_last,
    {.key = "attributes", .kind = Kind::words, .help = "what may be too little or too much, with commas between: salt, smoke (default salt)"}};

/// Where a made-up taster's ideal lies, and how far off is still just right, in units of taste.
constexpr double k_ideal = 0.5, k_around = 1.0;

}   // namespace

constinit const std::span<const Setting> k_round_settings{k_round};

std::vector<std::string> attributes_of(const Round& round) {
    std::vector<std::string> attributes;
    for (const std::string& part : core::split(words(round.settings, "attributes").value_or("salt"), ',')) attributes.push_back(core::trimmed(part));
    return attributes;
}

void settle(const Method& method, Round& round, const Plan& plan, const std::string& place, core::Faults& faults) {
    trays::settle(method, round, plan, place, faults);
    round.settings.try_emplace("attributes", std::string("salt"));
    const std::vector<std::string> attributes = attributes_of(round);
    const std::set<std::string> different(attributes.begin(), attributes.end());
    const bool sound = attributes.size() <= k_most_attributes && different.size() == attributes.size() &&
                       std::all_of(attributes.begin(), attributes.end(), [](const std::string& one) { return !one.empty() && one.size() <= k_longest_attribute; });
    if (!sound)
        faults.push_back(core::found(place + "/attributes", "\"" + core::quoted(*words(round.settings, "attributes")) + "\"",
                                     "one to five different words or two of up to 24 letters, with commas between, such as \"salt, smoke\""));
}

AnswerShape shape(const Round& round) { return ScoreEach{.lo = k_low, .hi = k_top, .step = 1, .attributes = attributes_of(round)}; }

core::Result<Scored> score(const SetKey& key, const Answer& answer, const Round& round, const Plan&) {
    const AnswerShape wanted = shape(round);
    const auto refused = [&] { return core::found({}, canonical_text(answer, key.codes), expectation(wanted, false, key.codes), {}, "bad-answer"); };
    const auto* given = std::get_if<Scores>(&answer);
    if (given == nullptr || given->levels.size() != given->scores.size()) return refused();
    Scored scored;
    for (std::size_t place = 0; place < key.codes.size(); ++place) {
        const auto mine = std::find_if(given->scores.begin(), given->scores.end(), [&](const auto& one) { return one.first == key.codes[place]; });
        if (mine == given->scores.end()) continue;   // its recipe was withdrawn
        scored.values.push_back(mine->second);
        scored.samples.push_back(key.versions[place]);
        scored.levels.push_back(given->levels[static_cast<std::size_t>(mine - given->scores.begin())]);
    }
    if (scored.values.empty() || !check_answer(answer, wanted, false, key.codes, {key.codes.size(), key.codes.size() - scored.values.size()})) return refused();
    const bool two = key.codes.size() == 2;
    for (std::size_t i = 0; i < scored.values.size(); ++i)
        scored.value += !two ? scored.values[i] / static_cast<double>(scored.values.size()) : scored.samples[i] == 0 ? -scored.values[i] : scored.values[i];
    return scored;
}

/// Liking falls with the way from the ideal; every attribute is sensed alike. A made-up taster's habit, for rehearsals.
Answer decide(const Sensed& sensed, std::span<const std::string> codes, const Round& round, const Plan&) {
    const std::size_t attributes = attributes_of(round).size();
    Scores given;
    for (std::size_t i = 0; i < codes.size(); ++i) {
        const double off = sensed.portions[i] - k_ideal;
        given.scores.emplace_back(codes[i], std::clamp(std::round(8 - 1.5 * std::abs(off)), k_low, k_top));
        given.levels.emplace_back(attributes, off > k_around ? 1.0 : off < -k_around ? -1.0 : 0.0);
    }
    return given;
}

}   // namespace oddplate::methods::just_right
