// A round of just-about-right: each spot and all together, and the plan's rule over the spots, for the first attribute.

#include <algorithm>
#include <array>
#include <map>
#include <optional>

#include "just_right.hpp"
#include "oddplate/stats/binomial.hpp"
#include "oddplate/stats/holm.hpp"
#include "trays.hpp"

namespace oddplate::methods::just_right {
namespace {

struct Judged {
    std::vector<Opinions> at;       ///< by spot
    std::vector<Weighed> spots;
    std::vector<double> adjusted;   ///< least p of the spots' own pairs, by Holm
    Opinions all;
    Weighed pooled;
    by_spots::Decided decided;
    int turned_at{-1};              ///< overall: the spot that shows one of those in front to be just right less often than another
};

/// At one spot (all: -1).
Opinions opinions_of(std::span<const Observation> observations, const Round& round, const Plan& plan, int spot) {
    Opinions opinions{.samples = {}, .tasters = {}, .attributes = attributes_of(round), .rows = {}};
    for (const Version& version : plan.versions) opinions.samples.push_back(version.id);
    std::map<std::int32_t, std::int32_t> tasters;
    std::int32_t trays = 0;
    opinions.withdrawn = plan.withdrawn;
    if (plan.pieces > 1) opinions.trays.resize(opinions.attributes.size());
    for (const Observation& seen : observations) {
        if (spot >= 0 && seen.spot != spot) continue;
        const Scored& scored = seen.scored;
        const auto [at, is_new] = tasters.emplace(seen.taster, static_cast<std::int32_t>(tasters.size()));
        if (is_new) opinions.tasters.push_back(std::to_string(seen.taster + 1));
        for (std::size_t a = 0; a < opinions.trays.size() && scored.samples.size() > 1; ++a) {
            pieces::Tray tray{scored.samples, {}, pieces::numbers_of(scored.samples, seen.pieces)};
            for (const std::vector<double>& levels : scored.levels) tray.values.push_back(levels[a]);
            opinions.trays[a].push_back(std::move(tray));
        }
        for (std::size_t i = 0; i < scored.values.size(); ++i)
            for (std::size_t a = 0; a < scored.levels[i].size(); ++a)
                opinions.rows.push_back({at->second, scored.samples[i], static_cast<std::int32_t>(a), scored.levels[i][a], scored.values[i], trays});
        ++trays;
    }
    return opinions;
}

double least_p(const Weighed& weighed) {
    double least = 1;
    for (const Change& change : weighed.changes)
        if (change.attribute == 0) least = std::min(least, change.p_right_adjusted);
    return least;
}

/// Who leads by the first attribute, and the least p of a pair with the best. Where nothing is shown all are in front; else nobody is whom no one tasted.
by_spots::Spot spot_of(const Weighed& weighed, const Opinions& opinions, double p_adjusted) {
    by_spots::Spot spot{std::vector<bool>(opinions.samples.size(), true), p_adjusted, least_p(weighed)};
    const bool ordered = std::any_of(weighed.spreads.begin(), weighed.spreads.end(), [&](const Spread& one) { return one.attribute == 0 && one.people > 0 && !one.leads && !opinions.ran_out(one.sample); });
    for (const Spread& spread : weighed.spreads)
        if (spread.attribute == 0 && ordered) spot.front[static_cast<std::size_t>(spread.sample)] = spread.leads;
    return spot;
}

std::vector<std::size_t> front_of(const Weighed& weighed, const Opinions& opinions) {
    std::vector<std::size_t> front;
    const by_spots::Spot spot = spot_of(weighed, opinions, 1);
    for (std::size_t s = 0; s < opinions.samples.size(); ++s)
        if (spot.front[s] && !opinions.ran_out(static_cast<int>(s))) front.push_back(s);
    return front;
}

/// Whether this spot, all spots allowed for, shows the sample to be just right less often than another.
bool is_behind(const Opinions& at, const Weighed& spot, std::size_t sample, double alpha) {
    return std::any_of(spot.changes.begin(), spot.changes.end(), [&](const Change& change) {
        return change.attribute == 0 && change.behind() == static_cast<int>(sample) && !at.ran_out(change.a) && !at.ran_out(change.b) && stats::significant(change.p_right_adjusted, alpha);
    });
}

/// An average over spots is withheld where a spot says the opposite.
void heed_spots(Judged& judged, double alpha) {
    if (!leads::claims_difference(judged.decided.verdict)) return;
    std::vector<int> overall;
    std::vector<std::vector<int>> behind(judged.spots.size());
    int first = -1;
    for (const std::size_t front : judged.decided.front) {
        overall.push_back(static_cast<int>(front));
        for (std::size_t j = 0; j < judged.spots.size(); ++j) {
            if (!is_behind(judged.at[j], judged.spots[j], front, alpha / static_cast<double>(judged.spots.size()))) continue;
            behind[j].push_back(static_cast<int>(front));
            if (first < 0) first = static_cast<int>(j);
        }
    }
    if (!leads::turns(overall, behind)) return;
    judged.turned_at = first;
    judged.decided.verdict = leads::k_none;
}

Judged judge(std::span<const Observation> observations, const Round& round, const Plan& plan, bool with_more) {
    const std::size_t samples = plan.versions.size();
    const Question question{round.alpha, 1 - round.alpha};
    Question at_spot = question;
    if (round.decide_on == DecideOn::any_spot) at_spot.alpha /= static_cast<double>(round.spots.size());
    Judged judged;
    std::vector<double> p_values;
    for (std::size_t j = 0; j < round.spots.size(); ++j) {
        judged.at.push_back(opinions_of(observations, round, plan, static_cast<int>(j)));
        judged.spots.push_back(with_more ? weigh(at_spot, judged.at.back()) : weigh_levels(at_spot, judged.at.back()));
        p_values.push_back(least_p(judged.spots.back()));
    }
    judged.adjusted = stats::holm_adjusted(p_values);
    judged.all = opinions_of(observations, round, plan, -1);
    judged.pooled = with_more ? weigh(question, judged.all) : weigh_levels(question, judged.all);
    if (round.decide_on == DecideOn::overall) {
        judged.decided.front = front_of(judged.pooled, judged.all);
        judged.decided.verdict = leads::verdict_of(true, judged.decided.front.size(), samples - plan.withdrawn.size());
        if (round.spots.size() > 1) heed_spots(judged, round.alpha);
    } else {
        std::vector<by_spots::Spot> said;
        for (std::size_t j = 0; j < round.spots.size(); ++j) said.push_back(spot_of(judged.spots[j], judged.at[j], judged.adjusted[j]));
        judged.decided = by_spots::decide(round.decide_on, said, samples, plan.withdrawn);
    }
    return judged;
}

/// "bay at edge and old at centre": the spots that have an order, with who is in front there.
core::Argument fronts_of(const Judged& judged, const Round& round) {
    std::vector<std::string> told;
    for (std::size_t j = 0; j < judged.spots.size(); ++j) {
        const std::vector<std::size_t> front = front_of(judged.spots[j], judged.at[j]);
        if (front.size() + judged.all.withdrawn.size() == judged.all.samples.size()) continue;
        std::vector<std::string> names;
        for (const std::size_t s : front) names.push_back(judged.all.samples[s]);
        told.push_back(std::get<std::string>(leads::names_of(names)) + " at " + round.spots[j]);
    }
    return leads::names_of(told);
}

core::Sentence verdict_sentence(const Judged& judged, const Round& round) {
    std::vector<std::string> front;
    for (const std::size_t s : judged.decided.front) front.push_back(judged.all.samples[s]);
    const std::string rule = round.spots.size() == 1 ? "" : round.decide_on == DecideOn::any_spot ? ".any" : round.decide_on == DecideOn::each_spot ? ".each" : "";
    const std::string spot = judged.turned_at >= 0 ? round.spots[static_cast<std::size_t>(judged.turned_at)] : judged.decided.clearest ? round.spots[*judged.decided.clearest] : std::string();
    const bool lasted = judged.decided.verdict == leads::k_none && rule != ".each" && !judged.all.withdrawn.empty();   // to be behind one that ran out is not to be behind
    return {judged.turned_at >= 0 ? "just_right.turned" : judged.decided.disagree ? "just_right.disagree" + rule : "just_right." + std::string(judged.decided.verdict) + rule + (lasted ? ".lasted" : ""),
            {{"front", leads::names_of(front)},
             {"fronts", fronts_of(judged, round)},
             {"attribute", judged.all.attributes.front()},
             {"spot", spot},
             {"alpha", round.alpha}}};
}

/// The same recipe has too much at one spot and too little at another, all spots allowed for.
struct Turn {
    const Spread* side;
    std::size_t much, little;   ///< spots
};

std::vector<Turn> turns_of(const Judged& judged, const Round& round) {
    std::vector<Turn> turns;
    if (judged.spots.size() < 2) return turns;
    const Question at_spot{round.alpha / static_cast<double>(round.spots.size()), 1 - round.alpha};
    for (std::size_t a = 0; a < judged.spots.size(); ++a)
        for (std::size_t b = 0; b < judged.spots.size(); ++b)
            for (const Spread* much : shown_sides(at_spot, judged.spots[a]))
                for (const Spread* little : shown_sides(at_spot, judged.spots[b]))
                    if (much->side() == too_much && little->side() == too_little && much->sample == little->sample && much->attribute == little->attribute) turns.push_back({much, a, b});
    return turns;
}

void say_sides_by_spot(std::vector<core::Sentence>& words, const Judged& judged, const Round& round) {
    for (const Turn& turn : turns_of(judged, round))
        words.push_back({"just_right.side_turns", {{"sample", judged.all.samples[static_cast<std::size_t>(turn.side->sample)]}, {"attribute", judged.all.attributes[static_cast<std::size_t>(turn.side->attribute)]},
                                                   {"much", round.spots[turn.much]}, {"little", round.spots[turn.little]}}});
}

/// By the plan's rule.
bool is_in_front(const Judged& judged, std::int32_t sample) { return std::find(judged.decided.front.begin(), judged.decided.front.end(), static_cast<std::size_t>(sample)) != judged.decided.front.end(); }

/// What to change first: of the sides shown, of the samples in front where some lead, the one that is shown to cost most liking over all people; where none is, the surest.
/// Nothing where those in front have no side: mending one that is behind is not what comes first. Nor a side that turns with the spot: less of it would be wrong at one of them.
const Spread* first_to_change(const Question& question, const Judged& judged, const Round& round) {
    std::vector<const Spread*> sides = shown_sides(question, judged.pooled);
    if (leads::claims_difference(judged.decided.verdict)) std::erase_if(sides, [&](const Spread* side) { return !is_in_front(judged, side->sample); });
    for (const Turn& turn : turns_of(judged, round)) std::erase_if(sides, [&](const Spread* side) { return side->sample == turn.side->sample && side->attribute == turn.side->attribute; });
    const Spread* first = sides.empty() ? nullptr : sides.front();
    double most = 0;
    for (const Spread* side : sides)
        for (const Drop& drop : judged.pooled.drops) {
            if (drop.attribute != side->attribute || drop.sample != side->sample || drop.side != side->side() || !drop.p || !stats::significant(drop.p_adjusted, question.alpha)) continue;
            if (const double costs = drop.drop() * drop.share(); costs > most) most = costs, first = side;
        }
    return first;
}

std::vector<core::Sentence> round_words(const Question& question, const Judged& judged, const Round& round, const Plan& plan) {
    std::vector<core::Sentence> words = words_of(question, judged.all, judged.pooled);   // sides first, the surest before all
    if (judged.all.rows.empty()) return words;
    const bool side_leads = !leads::claims_difference(judged.decided.verdict) && !shown_sides(question, judged.pooled).empty();
    std::vector<core::Sentence> first{verdict_sentence(judged, round)};
    trays::say_always_last(first, round, plan);
    leads::say_withdrawn(first, plan);
    words.insert(words.begin() + (side_leads ? 1 : 0), first.begin(), first.end());
    if (round.spots.size() > 1) say_sides_by_spot(words, judged, round);
    if (plan.same_recipe) words.push_back(leads::same_recipe_step(leads::claims_difference(judged.decided.verdict) || judged.decided.disagree || judged.turned_at >= 0 || !shown_sides(question, judged.pooled).empty() || !turns_of(judged, round).empty()));
    else {
        const Spread* const side = first_to_change(question, judged, round);
        if (side)
            words.push_back({"just_right.next." + std::string(to_text(side->side())),
                             {{"sample", judged.all.samples[static_cast<std::size_t>(side->sample)]}, {"attribute", judged.all.attributes[static_cast<std::size_t>(side->attribute)]}}});
        const std::vector<const Spread*> sides = shown_sides(question, judged.pooled);
        const bool front_is_right = leads::claims_difference(judged.decided.verdict) && !sides.empty() && std::none_of(sides.begin(), sides.end(), [&](const Spread* one) { return is_in_front(judged, one->sample); });
        if (front_is_right) words.push_back({"just_right.next.front_is_right", {}});
        if (judged.decided.disagree) words.push_back({"leads.next.by_spot", {}});
        else if (!side || leads::claims_difference(judged.decided.verdict)) words.push_back({"just_right." + std::string(side || front_is_right ? "then." : "next.") + std::string(judged.decided.verdict), {}});
    }
    return words;
}

/// The verdict of the findings is that of their own answers.
Findings of(const Method& method, const Question& question, const Opinions& opinions, const Weighed& weighed, const Plan& plan) {
    Findings findings = findings_of(method, question, opinions, weighed);
    findings.verdict = opinions.rows.empty() ? leads::k_none : leads::verdict_of(true, front_of(weighed, opinions).size(), plan.versions.size() - plan.withdrawn.size());
    return findings;
}

}   // namespace

RoundFindings analyse(const Method& method, std::span<const Observation> observations, const Round& round, const Plan& plan) {
    const Question question{round.alpha, 1 - round.alpha};
    const Judged judged = judge(observations, round, plan, true);
    RoundFindings found;
    for (std::size_t j = 0; j < round.spots.size(); ++j) {
        Findings findings = of(method, question, judged.at[j], judged.spots[j], plan);
        if (round.spots.size() > 1) findings.add_optional("p_adjusted", judged.at[j].rows.empty() ? std::nullopt : std::optional(judged.adjusted[j]), "no answers");
        found.spots.push_back({round.spots[j], std::move(findings)});
    }
    found.pooled = of(method, question, judged.all, judged.pooled, plan);
    found.heterogeneity_why = round.spots.size() == 1 ? "there is one spot" : "the spots' levels are not tested against each other";
    found.verdict = judged.decided.verdict;
    found.words = round_words(question, judged, round, plan);
    if (judged.decided.disagree || judged.turned_at >= 0) found.warnings.emplace_back("spots_disagree");
    return found;
}

std::string_view verdict(const Method&, std::span<const Observation> observations, const Round& round, const Plan& plan) {
    return judge(observations, round, plan, false).decided.verdict;
}

}   // namespace oddplate::methods::just_right
