// What to mind: people, pieces, salt and safety. None of it stops a plan.

#include <algorithm>
#include <cmath>

#include "oddplate/core/text.hpp"
#include "plan_talk.hpp"
#include "zones.hpp"

namespace oddplate::report {
namespace {

/// How big the step in salt is, in words. The bounds are common practice: about 1 part in 10 to 1 in 5 is just noticed in water,
/// and food hides more.
const char* step_words(double step) {
    if (step < 0.05) return "salt.tiny";
    if (step < 0.10) return "salt.small";
    if (step <= 0.25) return "salt.fair";
    return "salt.large";
}

void say_salt(PlanTalk& talk) {
    const auto& salt = talk.plan.salt_percent;
    if (salt.empty()) return;
    const auto usual = salt.find(talk.plan.versions[0].id);
    bool differs = false;
    for (std::size_t v = 1; v < talk.plan.versions.size() && usual != salt.end() && usual->second > 0; ++v) {
        const auto other = salt.find(talk.plan.versions[v].id);
        if (other == salt.end() || other->second == usual->second) continue;
        differs = true;
        const double step = other->second / usual->second - 1;
        talk.item(step < 0 ? "salt.less" : "salt.more", {{"version", talk.plan.versions[v].label}, {"step", std::abs(step)}});
        talk.item(step_words(std::abs(step)));
    }
    if (differs) talk.item(is_cured(talk.plan, talk.voice) ? "salt.only" : "salt.only.plain");
}

void say_pieces(PlanTalk& talk) {
    if (talk.plan.tasters < k_enough_to_settle) return;   // a dry run is about plates, not about meat
    const char* const one = is_meat(talk.plan, talk.voice) ? "one_piece" : "one_piece.plain";
    talk.item(talk.plan.whole_pieces() == 1 ? one : "pieces", {{"n", std::int64_t{talk.plan.whole_pieces()}}});
}

void say_spots(PlanTalk& talk) {
    std::vector<std::string> silent;
    for (const methods::Round& round : talk.plan.rounds)
        for (const std::string& spot : round.spots) {
            if (spot.empty()) continue;
            const bool seen = std::find(silent.begin(), silent.end(), spot) != silent.end();
            if (!talk.plan.spots_at.contains(spot) && !seen) silent.push_back(spot);
        }
    for (const auto& [spot, where] : talk.plan.spots_at) talk.item("spot_at", {{"spot", spot}, {"where", where}});
    if (!silent.empty()) talk.item("spots_nowhere", {{"spots", core::joined(silent, ", ")}});
}

}   // namespace

void say_cautions(PlanTalk& talk) {
    talk.gap();
    talk.say("mind");
    talk.item("two_people");
    talk.item("alone");
    if (!talk.plan.insiders.empty()) talk.item("insiders", {{"names", core::joined(talk.plan.insiders, ", ")}});
    say_spots(talk);
    say_pieces(talk);
    say_salt(talk);
    talk.item(talk.plan.allergens.empty() ? "no_allergens" : "allergens", {{"list", core::joined(talk.plan.allergens, ", ")}});
    talk.item("sit_out");
    talk.item(talk.plan.warm ? "warm" : "cold");
    talk.item("food_code");
}

}   // namespace oddplate::report
