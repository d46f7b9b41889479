// The timetable of the papers, told beforehand.

#include <algorithm>
#include <cstdlib>
#include <iterator>

#include "plan_talk.hpp"

namespace oddplate::report {
namespace {

constexpr std::size_t k_most_lines = 12;   // a long evening is told by its beginning and its end; the papers hold all of it

/// The time of day; without a start, minutes from it.
std::string at(const PlanTalk& talk, int minutes) {
    if (!talk.plan.start.empty()) return talk.voice.time(talk.plan, minutes);
    return talk.phrase(minutes < 0 ? "clock.before" : "clock.after", {{"minutes", std::int64_t{std::abs(minutes)}}});
}

std::vector<Pass> timed(const std::vector<Pass>& passes) {
    std::vector<Pass> out;
    std::copy_if(passes.begin(), passes.end(), std::back_inserter(out),
                 [](const Pass& pass) { return !pass.late && !pass.ballots.empty(); });
    return out;
}

void say_pass(PlanTalk& talk, const Pass& pass) {
    const methods::Plan names = talk.plan.evenings.empty() ? talk.plan : fullest_evening(talk.plan);
    talk.item("clock.pass", {{"serve", at(talk, pass.times.serve)},
                             {"tray", std::int64_t{pass.set + 1}},
                             {"first", names.ballot_name(pass.ballots.front())},
                             {"last", names.ballot_name(pass.ballots.back())},
                             {"cut", at(talk, pass.times.cut)},
                             {"clear", at(talk, pass.times.clear)}});
}

void say_way(PlanTalk& talk, int minutes) {
    talk.say("clock.way", {{"minutes", std::int64_t{minutes}}});
    if (!talk.plan.warm || minutes <= k_most_minutes_warm) return;
    const auto wave = wave_in_time(talk.plan);
    const Arguments most{{"most", std::int64_t{k_most_minutes_warm}}};
    if (!wave) return talk.say("clock.too_long", most);
    methods::Plan changed = talk.plan;
    changed.waves = *wave;
    const auto facts = facts_of(changed);
    if (!facts) return talk.say("clock.too_long", most);
    int end = 0;
    for (const Pass& pass : timed(facts->passes)) end = std::max(end, pass.times.clear);
    talk.say("clock.waves", {{"most", std::int64_t{k_most_minutes_warm}}, {"wave", std::int64_t{*wave}}, {"end", at(talk, end)}});
}

}   // namespace

void say_clock(PlanTalk& talk) {
    const std::vector<Pass> passes = timed(talk.facts.passes);
    if (passes.empty()) return;
    talk.gap();
    int first = passes.front().times.cut, end = 0, way = 0;
    for (const Pass& pass : passes) {
        first = std::min(first, pass.times.cut);
        end = std::max(end, pass.times.clear);
        way = std::max(way, minutes_on_the_way(pass));
    }
    talk.say(talk.plan.start.empty() ? "clock.no_start" : "clock",
             {{"first", at(talk, first)}, {"end", at(talk, end)}, {"minutes", std::int64_t{end - first}}});
    for (std::size_t i = 0; i < std::min(passes.size(), k_most_lines); ++i) say_pass(talk, passes[i]);
    if (passes.size() > k_most_lines) talk.item("clock.more", {{"n", static_cast<std::int64_t>(passes.size() - k_most_lines)}});
    say_way(talk, way);
}

}   // namespace oddplate::report
