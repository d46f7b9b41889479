// What is served to whom, and what is cut for it.

#include <algorithm>
#include <cmath>
#include <iterator>

#include "oddplate/core/text.hpp"
#include "oddplate/report/plan_words.hpp"
#include "plan_talk.hpp"

namespace oddplate::report {
namespace {

bool has_names(const methods::Round& round) {
    return round.spots != std::vector<std::string>{""};
}

void say_trays(PlanTalk& talk, const methods::Round& round) {
    const auto trays = std::int64_t{round.spots_each()} * round.passes();
    const Arguments args{{"trays", trays},
                         {"portions", std::int64_t{portions_of_set(round, talk.plan.versions.size())}},
                         {"each", std::int64_t{round.spots_each()}},
                         {"of", static_cast<std::int64_t>(round.spots.size())},
                         {"spots", core::joined(round.spots, ", ")}};
    const bool some = round.spots_each() < static_cast<int>(round.spots.size());
    talk.item(!has_names(round) ? "serve" : some ? "serve.some_spots" : "serve.spots", args);
    if (round.sittings > 1) talk.item("serve.sittings", {{"n", std::int64_t{round.sittings}}, {"all", static_cast<std::int64_t>(talk.plan.versions.size())}});
    if (methods::flag(round.settings, "strongest_last"))
        talk.item("serve.always_last", {{"name", talk.plan.versions[static_cast<std::size_t>(round.stronger)].label}});
    if (round.blank_sets > 0) talk.item("serve.blanks", {{"n", std::int64_t{round.spots_each()} * round.blank_sets}});
}

void say_rule(PlanTalk& talk, const methods::Round& round) {
    if (round.spots.size() < 2) return;
    const bool few = methods::words(round.settings, "aim") == "similarity" && round.decide_on != methods::DecideOn::overall;
    talk.item("rule." + (few ? std::string("few") : std::string(methods::to_text(round.decide_on))));
}

/// A course all of whose spots are scarce passes by whoever sits behind the last of its ballots.
void say_scarce(PlanTalk& talk, const methods::Round& round) {
    int served = 0;
    for (const std::string& spot : round.spots) {
        const auto first = talk.plan.first_ballots.find(spot);
        if (first != talk.plan.first_ballots.end()) talk.item("serve.first", {{"spot", spot}, {"n", std::int64_t{first->second}}});
        served = std::max(served, first == talk.plan.first_ballots.end() ? talk.plan.tasters : first->second);
    }
    const int without = talk.plan.tasters - served;
    if (without > 0) talk.item("serve.without", {{"n", std::int64_t{without}}});
}

void say_course(PlanTalk& talk, std::size_t index) {
    const methods::Round& round = talk.plan.rounds[index];
    const Arguments args{{"course", static_cast<std::int64_t>(index + 1)}, {"asks", talk.voice.ask(round, "asks")}};
    talk.say(talk.plan.rounds.size() == 1 ? "question" : "question.course", args);
    talk.item("look", {{"look", talk.voice.ask(round, "look")}, {"ask", talk.voice.ask(round, "ask")}});
    say_trays(talk, round);
    say_scarce(talk, round);
    if (round.hide_spots) talk.item("serve.hidden");
    if (method_of(round).may_abstain(round)) talk.item("serve.undecided", {{"none", talk.voice.ask_or(round, "none", talk.voice.say("none"))}});
    say_rule(talk, round);
}

}   // namespace

/// How well trays of some of the recipes will compare them. A trial draw says it; another comes out a little better or worse.
void say_design(PlanTalk& talk) {
    const PlanFacts& facts = talk.facts;
    const double least = std::min(facts.trays_compare.value_or(1), facts.beside_usual.value_or(1));
    if (least == 0) return talk.item("serve.trays.apart");
    if (facts.trays_compare) talk.item("serve.trays", {{"share", *facts.trays_compare}});
    if (facts.beside_usual) talk.item("serve.trays.usual", {{"share", *facts.beside_usual}});
    if (facts.balanced_at && least < k_as_good_as_the_best) talk.item("serve.trays.balanced_at", {{"n", std::int64_t{*facts.balanced_at}}});
}

/// What everybody eats first, knowing what it is.
void say_known(PlanTalk& talk) {
    const Arguments args{{"version", talk.plan.versions[0].label}};
    if (talk.plan.warm_up) talk.say("serve.warm_up", args);
    Arguments learn = args;
    learn["n"] = std::int64_t{known_portions(talk.plan) - (talk.plan.warm_up ? 1 : 0)};
    if (known_portions(talk.plan) > (talk.plan.warm_up ? 1 : 0)) talk.say("serve.learn", learn);
}

void say_service(PlanTalk& talk) {
    talk.gap();
    say_known(talk);
    for (std::size_t index = 0; index < talk.plan.rounds.size(); ++index) say_course(talk, index);
    say_design(talk);
    if (talk.plan.spot_order == methods::SpotOrder::together) talk.item("serve.together");
}

void say_bites(PlanTalk& talk) {
    talk.gap();
    talk.say("bites");
    std::int64_t all = 0;
    for (const Bites& line : talk.facts.bites) {
        const std::string version = talk.plan.versions[static_cast<std::size_t>(line.version)].label;
        talk.item(line.spot.empty() ? "bites.line" : "bites.line_spot", {{"spot", line.spot},
                                                                         {"version", version},
                                                                         {"n", std::int64_t{line.ballots}},
                                                                         {"spare", std::int64_t{line.spare}},
                                                                         {"late", std::int64_t{line.late}}});
        all += line.in_all();
    }
    if (const std::int64_t known = std::int64_t{known_portions(talk.plan)} * talk.plan.ballots(); known > 0) {
        talk.item("bites.known", {{"version", talk.plan.versions[0].label}, {"n", known}});
        all += known;
    }
    const double grams = talk.plan.grams.value_or(0) * static_cast<double>(all);
    talk.item(grams > 0 ? "bites.all_grams" : "bites.all",
              {{"n", all}, {"grams", static_cast<std::int64_t>(std::ceil(grams / 10) * 10)}});
    constexpr std::int64_t k_many_tubs = 12;   // a table's length
    const std::int64_t tubs = std::ssize(talk.facts.bites) * talk.plan.pieces;
    if (tubs > k_many_tubs) talk.item("bites.tubs", {{"n", tubs}});
}

}   // namespace oddplate::report
