// A spot's name is free text; a handful of words is understood. A wrong guess would shade the wrong meat, so only whole words
// count, and a name that names both muscles or both depths counts as saying nothing.
#include "zones.hpp"

#include <algorithm>
#include <cctype>

#include "oddplate/core/text.hpp"

namespace oddplate::report {
namespace {

std::vector<std::string> words_in(const std::string& text) {
    std::vector<std::string> words{""};
    for (const char c : core::lower_ascii(text)) {
        const bool letter = std::isalpha(static_cast<unsigned char>(c)) != 0 || static_cast<unsigned char>(c) >= 0x80;
        if (letter) {
            words.back() += c;
        } else if (!words.back().empty()) {
            words.emplace_back();
        }
    }
    return words;
}

bool names_any(const std::string& text, const std::string& list) {
    const std::vector<std::string> wanted = core::split(list, ' ');
    const std::vector<std::string> words = words_in(text);
    return std::any_of(words.begin(), words.end(), [&](const std::string& word) {
        return !word.empty() && std::find(wanted.begin(), wanted.end(), word) != wanted.end();
    });
}

bool plan_names(const methods::Plan& plan, const std::string& list) {
    std::string text = plan.title;
    for (const methods::Version& version : plan.versions) text += " " + version.label;
    for (const methods::Round& round : plan.rounds)
        for (const std::string& spot : round.spots) text += " " + spot;
    for (const auto& [spot, where] : plan.spots_at) text += " " + where;
    return names_any(text, list);
}

bool overlap(const Zone& a, const Zone& b) {
    const bool muscle = a.muscle == b.muscle || a.muscle == Muscle::any || b.muscle == Muscle::any;
    const bool depth = a.depth == b.depth || a.depth == Depth::any || b.depth == Depth::any;
    return muscle && depth;
}

/// Two spots on the same meat cannot be told apart by their names; shading one over the other would be worse than shading
/// neither.
void leave_overlaps_to_the_cook(std::vector<Zone>& zones) {
    std::vector<bool> unclear(zones.size());
    for (std::size_t i = 0; i < zones.size(); ++i) {
        for (std::size_t j = 0; j < zones.size(); ++j) {
            if (i != j && zones[i].drawn() && zones[j].drawn() && overlap(zones[i], zones[j])) unclear[i] = true;
        }
    }
    for (std::size_t i = 0; i < zones.size(); ++i) {
        if (unclear[i]) zones[i].muscle = Muscle::any, zones[i].depth = Depth::any;
    }
}

}   // namespace

bool is_cured(const methods::Plan& plan, const Voice& voice) {
    return plan_names(plan, voice.say("food.cured"));
}

bool is_meat(const methods::Plan& plan, const Voice& voice) {
    return plan_names(plan, voice.say("food.meat")) || is_cured(plan, voice);
}

std::vector<Zone> zones_of(const methods::Plan& plan, const Voice& voice) {
    std::vector<Zone> zones;
    for (const methods::Round& round : plan.rounds) {
        for (const std::string& spot : round.spots) {
            if (std::any_of(zones.begin(), zones.end(), [&](const Zone& zone) { return zone.spot == spot; })) continue;
            Zone zone{.spot = spot};
            if (const auto where = plan.spots_at.find(spot); where != plan.spots_at.end()) zone.where = where->second;
            const bool flat = names_any(spot, voice.say("zone.flat")), point = names_any(spot, voice.say("zone.point"));
            const bool ring = names_any(spot, voice.say("zone.ring")), core = names_any(spot, voice.say("zone.core"));
            if (flat != point) zone.muscle = flat ? Muscle::flat : Muscle::point;
            if (ring != core) zone.depth = ring ? Depth::ring : Depth::core;
            zones.push_back(zone);
        }
    }
    leave_overlaps_to_the_cook(zones);
    return zones;
}

}   // namespace oddplate::report
