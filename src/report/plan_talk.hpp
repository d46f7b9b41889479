#pragma once
// The parts of the plan in words, one function a part.

#include <map>
#include <string>
#include <string_view>

#include "oddplate/core/words.hpp"
#include "oddplate/methods/plan.hpp"
#include "plan_facts.hpp"
#include "oddplate/report/voice.hpp"

namespace oddplate::report {

/// With fewer people a tasting is practice: one guest who looked at the plates turns it over (common practice).
inline constexpr int k_enough_to_settle = 6;

/// What is being said. Every part adds whole lines.
struct PlanTalk {
    const methods::Plan& plan;
    const core::Words& words;
    const Voice& voice;
    const PlanFacts& facts;
    std::string text{};

    [[nodiscard]] std::string phrase(std::string_view id, Arguments args = {}) const {
        return words.text("plan." + std::string(id), std::move(args));
    }
    void say(std::string_view id, Arguments args = {});
    /// The same as a line of a list.
    void item(std::string_view id, Arguments args = {});
    void gap() { text += '\n'; }
};

void say_load(PlanTalk& talk);       // plan_load.cpp: a head, and the ways out where it is too much
void say_service(PlanTalk& talk);    // plan_service.cpp: courses and trays
void say_bites(PlanTalk& talk);      // plan_service.cpp
void say_clock(PlanTalk& talk);      // plan_clock.cpp
void say_cautions(PlanTalk& talk);   // plan_cautions.cpp

}   // namespace oddplate::report
