// A round of ticked words: each spot, all together, and the plan's rule over the spots.
//   overall    Holm over the words, all spots together
//   any-spot   Holm over the words of all spots
//   each-spot  a word that is shown at every spot by itself

#include <algorithm>

#include "leads.hpp"
#include "oddplate/stats/binomial.hpp"
#include "oddplate/stats/holm.hpp"
#include "pieces.hpp"
#include "ticks.hpp"
#include "trays.hpp"

namespace oddplate::methods::ticks {
namespace {

struct Judged {
    std::vector<Ticked> at;         ///< by spot
    std::vector<Weighed> spots;
    Ticked all;
    Weighed pooled;
    std::vector<int> words;         ///< shown by the plan's rule
    std::string_view verdict{k_none};
};

/// At one spot (all: -1).
Ticked ticked_at(std::span<const Observation> observations, const Round& round, const Plan& plan, int spot) {
    Ticked ticked{.samples = {}, .words = words_in(round), .trays = {}};
    for (const Version& version : plan.versions) ticked.samples.push_back(version.id);
    for (const Observation& seen : observations) {
        if ((spot >= 0 && seen.spot != spot) || seen.scored.samples.size() < 2) continue;
        Tray tray{.taster = seen.taster, .samples = seen.scored.samples, .ticked = {}};
        for (const std::vector<double>& levels : seen.scored.levels) {
            tray.ticked.emplace_back();
            for (const double level : levels) tray.ticked.back().push_back(level > 0);
        }
        if (plan.pieces > 1) tray.pieces = pieces::numbers_of(seen.scored.samples, seen.pieces);
        ticked.trays.push_back(std::move(tray));
    }
    return ticked;
}

/// Under any-spot the words of all spots share alpha.
void share_over_spots(std::vector<Weighed>& spots) {
    std::vector<double> p_values;
    for (const Weighed& spot : spots)
        for (const WordTest& test : spot.tests) p_values.push_back(test.p_claimed());
    const std::vector<double> adjusted = stats::holm_adjusted(p_values);
    std::size_t next = 0;
    for (Weighed& spot : spots)
        for (WordTest& test : spot.tests) test.p_adjusted = adjusted[next++];
}

void decide(Judged& judged, const Question& question, DecideOn rule) {
    const auto is_shown = [&](const Weighed& weighed, int word) {
        const WordTest& test = weighed.tests[static_cast<std::size_t>(word)];
        return test.df > 0 && stats::significant(test.p_adjusted, question.alpha);
    };
    for (int word = 0; word < static_cast<int>(judged.all.words.size()); ++word) {
        const auto at_spot = [&](const Weighed& spot) { return is_shown(spot, word); };
        const bool holds = rule == DecideOn::overall || judged.spots.size() <= 1 ? is_shown(judged.pooled, word)
                           : rule == DecideOn::any_spot                           ? std::any_of(judged.spots.begin(), judged.spots.end(), at_spot)
                                                                                  : std::all_of(judged.spots.begin(), judged.spots.end(), at_spot);
        if (holds) judged.words.push_back(word);
    }
    if (!judged.words.empty()) judged.verdict = k_some;
}

Judged judge(const Question& question, std::span<const Observation> observations, const Round& round, const Plan& plan) {
    Judged judged{.at = {}, .spots = {}, .all = ticked_at(observations, round, plan, -1), .pooled = {}, .words = {}};
    const bool overall = round.decide_on == DecideOn::overall;
    for (std::size_t spot = 0; (!question.quick || !overall) && spot < round.spots.size(); ++spot) {
        judged.at.push_back(ticked_at(observations, round, plan, static_cast<int>(spot)));
        judged.spots.push_back(weigh(question, judged.at.back()));
    }
    if (round.decide_on == DecideOn::any_spot) share_over_spots(judged.spots);
    judged.pooled = weigh(question, judged.all);
    decide(judged, question, round.decide_on);
    return judged;
}

std::vector<core::Sentence> round_words(const Question& question, const Judged& judged, const Round& round, const Plan& plan) {
    std::vector<core::Sentence> words = words_of(question, judged.all, judged.pooled);
    if (judged.all.trays.empty()) return words;
    const bool several = round.spots.size() > 1;
    if (several && round.decide_on != DecideOn::overall) {
        std::vector<std::string> names;
        for (const int word : judged.words) names.push_back(judged.all.words[static_cast<std::size_t>(word)]);
        words = {{"ticks." + std::string(round.decide_on == DecideOn::each_spot ? "each." : "any.") + std::string(judged.verdict),
                  {{"words", leads::names_of(names)}, {"many", static_cast<std::int64_t>(names.size())}}}};
    }
    trays::say_always_last(words, round, plan);
    std::vector<Weighed> spots = judged.spots;
    if (several && round.decide_on == DecideOn::overall) share_over_spots(spots);   // a look at several spots
    for (std::size_t spot = 0; several && spot < spots.size(); ++spot) {
        std::vector<std::string> names;
        for (const WordTest* test : shown(question, spots[spot])) names.push_back(judged.all.words[static_cast<std::size_t>(test->word)]);
        words.push_back({judged.at[spot].trays.empty() ? "ticks.spot.nobody" : names.empty() ? "ticks.spot.none" : "ticks.spot.some", {{"spot", round.spots[spot]}, {"words", leads::names_of(names)}}});
    }
    if (plan.same_recipe) words.push_back({judged.verdict == k_some ? "right.next.same_recipe_alarm" : "right.next.same_recipe_open", {}});
    else words.push_back({"ticks.next." + std::string(judged.verdict), {}});
    return words;
}

}   // namespace

RoundFindings analyse(const Method& method, std::span<const Observation> observations, const Round& round, const Plan& plan) {
    const Question question{round.alpha, 1 - round.alpha};
    const Judged judged = judge(question, observations, round, plan);
    RoundFindings found;
    for (std::size_t spot = 0; spot < round.spots.size(); ++spot) found.spots.push_back({round.spots[spot], findings_of(method, question, judged.at[spot], judged.spots[spot])});
    found.pooled = findings_of(method, question, judged.all, judged.pooled);
    found.heterogeneity_why = round.spots.size() == 1 ? "there is one spot" : "the spots' words are not tested against each other";
    found.verdict = judged.verdict;
    found.words = round_words(question, judged, round, plan);
    return found;
}

std::string_view verdict(const Method&, std::span<const Observation> observations, const Round& round, const Plan& plan) {
    return judge({round.alpha, 1 - round.alpha, true}, observations, round, plan).verdict;
}

}   // namespace oddplate::methods::ticks
