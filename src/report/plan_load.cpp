// What one guest eats, first of all: a plan that asks too much of a mouth answers nothing. It is never refused; the ways out are
// said with what they cost. Six and nine portions are common practice.

#include <algorithm>
#include <cmath>

#include "oddplate/methods/mouthful.hpp"
#include "plan_talk.hpp"

namespace oddplate::report {
namespace {

using methods::k_many_portions;
constexpr double k_day_of_sodium = 2000;   // mg; WHO, Guideline: sodium intake for adults and children, 2012

void say_figures(PlanTalk& talk) {
    const Load& load = talk.facts.load;
    Arguments args{{"n", std::int64_t{load.portions}}, {"grams", static_cast<std::int64_t>(std::lround(load.grams))}};
    if (load.sodium_mg > 0) {
        args["mg"] = static_cast<std::int64_t>(std::lround(std::ceil(load.sodium_mg / 10) * 10));   // rounded up: it is a caution
        args["day"] = load.sodium_mg / k_day_of_sodium;
        return talk.say("head.sodium", std::move(args));
    }
    talk.say(load.grams > 0 ? "head.grams" : "head.portions", std::move(args));
    talk.say(load.grams > 0 ? "head.no_salt" : "head.no_grams");
}

void say_way(PlanTalk& talk, const std::string& way, const methods::Plan& changed, Arguments args) {
    args["portions"] = std::int64_t{portions_a_head(changed)};
    const auto needed = people_needed(changed);
    if (needed) args["needed"] = *needed;
    talk.item(needed ? way : way + ".open", std::move(args));
}

/// Each person gets some of the spots only: as many as leave six portions a head, at least one.
void offer_some_spots(PlanTalk& talk, std::size_t most_spots) {
    if (!talk.plan.first_ballots.empty()) return;   // a scarce spot and a choice of spots don't go together
    for (int each = static_cast<int>(most_spots) - 1; each >= 1; --each) {
        methods::Plan changed = talk.plan;
        for (methods::Round& round : changed.rounds)
            if (round.spots_each() > each) round.spots_per_taster = each;
        if (each > 1 && portions_a_head(changed) > k_many_portions) continue;
        return say_way(talk, "way.some_spots", changed,
                       {{"each", std::int64_t{each}}, {"spots", static_cast<std::int64_t>(most_spots)}});
    }
}

void offer_one_spot(PlanTalk& talk) {
    methods::Plan changed = talk.plan;
    const std::string spot = talk.plan.rounds[0].spots[0];
    for (methods::Round& round : changed.rounds) {
        round.spots = {std::find(round.spots.begin(), round.spots.end(), spot) != round.spots.end() ? spot : round.spots[0]};
        round.spots_per_taster = 0;
    }
    say_way(talk, "way.one_spot", changed, {{"spot", spot}});
}

void offer_one_course(PlanTalk& talk) {
    int most = 0;
    for (const methods::Round& round : talk.plan.rounds) {
        methods::Plan one = talk.plan;
        one.rounds = {round};
        most = std::max(most, portions_a_head(one));
    }
    talk.item("way.courses",
              {{"evenings", static_cast<std::int64_t>(talk.plan.rounds.size())}, {"portions", std::int64_t{most}}});
}

void offer_ways_out(PlanTalk& talk) {
    std::size_t most_spots = 1;
    for (const methods::Round& round : talk.plan.rounds)
        most_spots = std::max(most_spots, static_cast<std::size_t>(round.spots_each()));
    if (most_spots > 1) {
        offer_some_spots(talk, most_spots);
        offer_one_spot(talk);
    }
    if (talk.plan.rounds.size() > 1) {
        offer_one_course(talk);
    } else {
        const int portions = talk.facts.load.portions, evenings = (portions + k_many_portions - 1) / k_many_portions;
        talk.item("way.evenings",
                  {{"evenings", std::int64_t{evenings}}, {"portions", std::int64_t{(portions + evenings - 1) / evenings}}});
    }
}

}   // namespace

void say_load(PlanTalk& talk) {
    talk.gap();
    say_figures(talk);
    const int portions = talk.facts.load.portions;
    if (portions <= k_many_portions) return;
    talk.say(portions > methods::k_too_many_portions ? "head.too_many" : "head.many");
    offer_ways_out(talk);
}

}   // namespace oddplate::report
