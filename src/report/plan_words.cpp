// The plan in words, in the order in which a cook asks: what is it about, how much a head, what is served, what is cut, when, and
// only then what the panel can find.

#include "oddplate/report/plan_words.hpp"

#include <algorithm>

#include "oddplate/core/text.hpp"
#include "oddplate/report/lines.hpp"
#include "plan_talk.hpp"

namespace oddplate::report {
namespace {

void say_evenings(PlanTalk& talk) {
    const methods::Plan& plan = talk.plan;
    if (plan.evenings.empty()) return;
    talk.say("evenings", {{"n", static_cast<std::int64_t>(plan.evenings.size())}});
    for (std::size_t e = 0; e < plan.evenings.size(); ++e) {
        const methods::Evening& evening = plan.evenings[e];
        talk.item("evenings.one", {{"n", static_cast<std::int64_t>(e + 1)},
                                   {"date", evening.date.empty() ? std::string() : talk.phrase("evenings.date", {{"date", evening.date}})},
                                   {"tasters", std::int64_t{evening.tasters}},
                                   {"spares", std::int64_t{plan.spares_at(static_cast<int>(e))}},
                                   {"lot", evening.lot.empty() ? std::string() : talk.phrase("evenings.lot", {{"lot", evening.lot}})}});
    }
    if (plan.looks.empty()) return;
    std::vector<std::string> after;
    for (const int look : plan.looks) after.push_back(std::to_string(look));
    const double alpha = plan.rounds.front().alpha;
    talk.say("evenings.looks", {{"evenings", core::joined(after, ", ")}, {"of", alpha}, {"alpha", alpha * plan.alpha_left()}});
}

void say_top(PlanTalk& talk) {
    const methods::Plan& plan = talk.plan;
    if (plan.same_recipe)
        talk.say("same_recipe", {{"a", plan.versions[0].label}, {"b", plan.versions[1].label}});
    else if (plan.versions.size() == 2)
        talk.say("versions", {{"current", plan.versions[0].label}, {"new", plan.versions[1].label}});
    talk.say("people", {{"n", std::int64_t{plan.tasters}}, {"spares", std::int64_t{plan.spares}}});
    if (plan.tasters < k_enough_to_settle) talk.say("practice", {{"n", std::int64_t{plan.tasters}}});
    say_evenings(talk);
}

/// What the question needs and what this panel can and cannot find, course by course.
void say_outlook(PlanTalk& talk) {
    const methods::Plan& plan = talk.plan;
    talk.gap();
    for (std::size_t r = 0; r < plan.rounds.size(); ++r) {
        const methods::Round& round = plan.rounds[r];
        const Arguments args{{"course", static_cast<std::int64_t>(r + 1)}, {"method", talk.voice.ask(round, "title")}};
        talk.say(plan.rounds.size() == 1 ? "find" : "find.course", args);
        for (const core::Sentence& sentence : outlook_of(plan, r).words)
            talk.text += lines_of(talk.words.text(sentence), "  - ", "    ");
        talk.item("luck", {{"alpha", round.alpha}});
    }
    if (plan.same_recipe) talk.item("same_recipe.find");
}

/// The catalogue with the methods' phrases where it lacks them.
core::Words with_methods(core::Words words, const methods::Plan& plan) {
    for (const methods::Round& round : plan.rounds)
        for (const core::Phrase& phrase : method_of(round).phrases)
            if (!words.has(phrase.id)) words.add({&phrase, 1});
    return words;
}

}   // namespace

void PlanTalk::say(std::string_view id, Arguments args) {
    text += lines_of(phrase(id, std::move(args)));
}
void PlanTalk::item(std::string_view id, Arguments args) {
    text += lines_of(phrase(id, std::move(args)), "  - ", "    ");
}

bool is_panel_too_small(const methods::Plan& plan) {
    for (std::size_t r = 0; r < plan.rounds.size(); ++r)
        if (const auto chance = outlook_of(plan, r).chance; chance && *chance < plan.rounds[r].power) return true;
    return false;
}

std::string after_the_plan(const methods::Plan& plan, const std::string& command, const core::Words& words) {
    const auto say = [&](const char* id, Arguments args) {
        args.emplace("command", command);
        return lines_of(words.text(id, std::move(args)));
    };
    if (!facts_of(plan)) return say("plan.next.cannot", {});
    if (!is_panel_too_small(plan)) return say("plan.next", {});
    const auto needed = people_needed(plan);
    return needed && *needed > plan.tasters ? say("plan.next.few", {{"needed", *needed}}) : say("plan.next.small", {});
}

core::Words on_page(core::Words words) {
    constexpr std::string_view k_mark = "on_page.";
    const std::map<std::string, std::string, std::less<>> all = words.all();
    for (auto at = all.lower_bound(k_mark); at != all.end() && at->first.starts_with(k_mark); ++at) {
        const core::Phrase phrase{std::string_view(at->first).substr(k_mark.size()), at->second};
        words.add({&phrase, 1});
    }
    return words;
}

std::string plan_in_words(const methods::Plan& plan, const core::Words& catalogue, bool with_title) {
    const core::Words words = with_methods(catalogue, plan);
    const Voice voice(words, plan);
    const auto counted = facts_of(plan);
    const PlanFacts facts =
        counted ? *counted : PlanFacts{.load = {.portions = portions_a_head(plan)}, .passes = {}, .bites = {}};
    PlanTalk talk{.plan = plan, .words = words, .voice = voice, .facts = facts};
    if (with_title) talk.text += lines_of(plan.title);
    say_top(talk);
    if (!counted)
        for (const core::Error& fault : counted.faults()) talk.say("cannot_be_drawn", {{"why", fault.line()}});
    say_load(talk);
    say_service(talk);
    if (counted) say_bites(talk);
    if (counted) say_clock(talk);
    say_outlook(talk);
    say_cautions(talk);
    return talk.text;
}

}   // namespace oddplate::report
