// A round of rankings judged: each spot, all spots together with a taster's trays as one row, and the plan's rule over spots.
//   overall    the order over all spots
//   any-spot   the spot with the smallest Holm p; who leads there is found at alpha over the number of spots
//   each-spot  the same recipes lead at every spot
// Tests: tests/unit/methods/ranks.test.cpp

#include <algorithm>
#include <map>
#include <utility>

#include "leads.hpp"
#include "oddplate/stats/binomial.hpp"
#include "oddplate/stats/holm.hpp"
#include "ranks.hpp"
#include "trays.hpp"

namespace oddplate::methods::ranks {
namespace {

constexpr std::uint64_t k_seed = 12;

struct Judged {
    std::vector<Ranked> ranked;      // by spot
    std::vector<Weighed> spots;
    std::vector<double> adjusted;    // Holm over the spots, of what people, pieces and the order of serving leave of luck
    std::vector<double> by_people;   // the same of people alone
    Ranked all;
    Weighed pooled;
    std::string_view verdict;
    int decided{-1};                 // any-spot: the spot that it turned on
    std::optional<double> differ;    // P that the spots are alike; asked for where it is needed
    bool turned{false};              // overall: whoever leads on average is shown to be behind at a spot, and the spots differ
    int disagrees{-1};               // any-spot: another spot where none of those leads that lead at the one it turned on

    [[nodiscard]] bool split_shown(double alpha) const { return pooled.split && pooled.split->is_shown(alpha); }
};

Question question_of(const Round& round, const Plan& plan) {
    Question question{.alpha = round.alpha, .expected = {}};
    if (const auto said = words(round.settings, "expected")) question.expected = expected_order(*said, version_ids(plan)).value_or(std::vector<int>{});
    return question;
}

bool same_leaders(const Weighed& a, const Weighed& b) {
    std::vector<int> mine = a.leading, theirs = b.leading;
    std::sort(mine.begin(), mine.end());
    std::sort(theirs.begin(), theirs.end());
    return mine == theirs;
}

/// What people, pieces and the order of serving leave of luck.
double p_claimed(const Weighed& weighed) {
    return std::max({weighed.p.p, weighed.pieces_p.value_or(0), weighed.order_p.value_or(0)});
}

void decide(const Question& question, DecideOn rule, Judged& judged) {
    judged.verdict = judged.pooled.verdict;
    if (judged.spots.size() == 1 || rule == DecideOn::overall) return;
    if (rule == DecideOn::each_spot) {
        const Weighed& first = judged.spots.front();
        const bool all = std::all_of(judged.spots.begin(), judged.spots.end(),
                                     [&](const Weighed& spot) { return spot.verdict == first.verdict && same_leaders(spot, first); });
        judged.verdict = all ? first.verdict : leads::k_none;
        return;
    }
    judged.verdict = leads::k_none;
    std::size_t spot = 0;
    for (std::size_t j = 1; j < judged.spots.size(); ++j)   // Holm makes ties: the raw p parts them
        if (std::pair(judged.adjusted[j], p_claimed(judged.spots[j])) < std::pair(judged.adjusted[spot], p_claimed(judged.spots[spot]))) spot = j;
    judged.decided = static_cast<int>(spot);
    if (!stats::significant(judged.adjusted[spot], question.alpha)) return;
    Weighed& there = judged.spots[spot];
    const std::vector<int> leading = leading_of(judged.ranked[spot], there, there.claims, question.alpha / static_cast<double>(judged.spots.size()));
    judged.verdict = verdict_of(judged.ranked[spot], true, leading.size());
    for (std::size_t other = 0; leads::claims_difference(judged.verdict) && other < judged.spots.size(); ++other) {
        if (!stats::significant(judged.adjusted[other], question.alpha)) continue;
        const std::vector<std::vector<int>> behind{behind_of(judged.ranked[other], judged.spots[other], question.alpha / static_cast<double>(judged.spots.size()))};
        if (!leads::turns(leading, behind)) continue;
        judged.disagrees = static_cast<int>(other);
        judged.verdict = leads::k_none;
    }
}

std::optional<double> spots_differ(const Judged& judged) {
    std::vector<stats::RankedTray> trays;
    std::vector<int> spots;
    for (std::size_t spot = 0; spot < judged.ranked.size(); ++spot)
        for (const stats::RankedTray& tray : judged.ranked[spot].trays) {
            trays.push_back(tray);
            spots.push_back(static_cast<int>(spot));
        }
    if (trays.empty()) return std::nullopt;
    const auto p = stats::rank_spots_p(trays, spots, judged.all.samples(), k_seed);
    return p ? std::optional(p->p) : std::nullopt;
}

std::optional<double> spots_differ(const Judged& judged, std::span<const Observation> observations, const Round& round, const Plan& plan) {
    // People whose trays hold unlike recipes have no two to exchange: what each recipe ranked above its trays' middle changes places instead.
    const bool whole_trays = whole(round.settings, "tray_size").value_or(0) == static_cast<std::int64_t>(plan.versions.size());
    const auto exchanged = whole_trays ? spots_differ(judged) : std::nullopt;
    return exchanged ? exchanged : trays::spots_differ(observations, plan, k_seed);   // nobody tasted at two spots, or unlike trays
}

/// An average lead is withheld where a spot shows the opposite and the spots are shown to differ.
void heed_spots(const Question& question, std::span<const Observation> observations, const Round& round, const Plan& plan, Judged& judged) {
    if (flag(round.settings, "against_usual")) return;   // who leads is not asked then
    if (round.decide_on != DecideOn::overall || judged.spots.size() < 2 || !leads::claims_difference(judged.verdict)) return;
    std::vector<std::vector<int>> behind;
    for (std::size_t spot = 0; spot < judged.spots.size(); ++spot) behind.push_back(behind_of(judged.ranked[spot], judged.spots[spot], question.alpha));   // at alpha whole: that the spots differ is asked beside it
    if (!leads::turns(judged.pooled.leading, behind)) return;
    judged.differ = spots_differ(judged, observations, round, plan);
    judged.turned = judged.differ && stats::significant(*judged.differ, question.alpha);
    if (judged.turned) judged.verdict = leads::k_none;
}

Judged judge(const Question& question, std::span<const Observation> observations, const Round& round, const Plan& plan) {
    Judged judged{.ranked = {}, .spots = {}, .adjusted = {}, .by_people = {}, .all = ranked_at(observations, plan, -1), .pooled = {}, .verdict = leads::k_none, .differ = {}};
    std::vector<double> p_values, of_people;
    for (std::size_t spot = 0; spot < round.spots.size(); ++spot) {
        judged.ranked.push_back(ranked_at(observations, plan, static_cast<int>(spot)));
        judged.spots.push_back(weigh(question, judged.ranked.back()));
        p_values.push_back(p_claimed(judged.spots.back()));
        of_people.push_back(judged.spots.back().p.p);
    }
    judged.adjusted = stats::holm_adjusted(p_values);
    judged.by_people = stats::holm_adjusted(of_people);
    judged.pooled = weigh(question, judged.all);
    decide(question, round.decide_on, judged);
    heed_spots(question, observations, round, plan, judged);
    return judged;
}

core::Argument names_of(const Ranked& ranked, const std::vector<int>& samples) {
    std::vector<std::string> names;
    for (const int sample : samples) names.push_back(ranked.names[static_cast<std::size_t>(sample)]);
    return leads::names_of(names);
}

core::Sentence spot_sentence(const Question& question, const Judged& judged, const Round& round, std::size_t spot) {
    const Weighed& there = judged.spots[spot];
    if (there.found.df == 0) return {"ranks.spot.nobody", {{"spot", round.spots[spot]}}};
    if (there.pieces_hold_back) return {"ranks.spot.pieces", {{"spot", round.spots[spot]}, {"q", judged.by_people[spot]}, {"pieces", *there.pieces_p}}};
    if (there.order_holds_back) return {"ranks.spot.order", {{"spot", round.spots[spot]}}};
    // Several spots are looked at, unless each has to hold or they were shown to differ before.
    const double level = round.decide_on == DecideOn::each_spot || judged.turned ? question.alpha : question.alpha / static_cast<double>(judged.spots.size());
    const bool differ = there.differ && (round.decide_on == DecideOn::each_spot || judged.turned || stats::significant(judged.adjusted[spot], question.alpha));
    const std::vector<int> leading = leading_of(judged.ranked[spot], there, there.claims, level);
    const std::string_view verdict = verdict_of(judged.ranked[spot], differ, leading.size());
    return {"ranks.spot." + std::string(verdict == leads::k_none && differ ? "differ-unknown" : verdict),
            {{"spot", round.spots[spot]}, {"leading", names_of(judged.ranked[spot], leading)}, {"p", there.p.p}, {"q", judged.adjusted[spot]}}};
}

void say_rule(std::vector<core::Sentence>& words, const Question& question, const Judged& judged, const Round& round) {
    if (round.decide_on == DecideOn::each_spot) {
        words.push_back({"ranks.each." + std::string(judged.verdict), {{"leading", names_of(judged.all, judged.spots.front().leading)}}});
        return;
    }
    const auto spot = static_cast<std::size_t>(std::max(0, judged.decided));
    const double level = question.alpha / static_cast<double>(judged.spots.size());
    const auto leading_at = [&](std::size_t where) { return names_of(judged.ranked[where], leading_of(judged.ranked[where], judged.spots[where], judged.spots[where].claims, level)); };
    std::map<std::string, core::Argument> args{{"spot", round.spots[spot]}, {"leading", leading_at(spot)}, {"q", judged.adjusted[spot]}, {"alpha", question.alpha}};
    if (judged.disagrees >= 0) {
        const auto other = static_cast<std::size_t>(judged.disagrees);
        args.emplace("other", round.spots[other]);
        args.emplace("leading_there", leading_at(other));
        words.push_back({"ranks.any.disagree", std::move(args)});
        return;
    }
    const bool differ = stats::significant(judged.adjusted[spot], question.alpha);
    const bool pieces_leave_less = judged.spots[spot].pieces_p.value_or(0) > judged.spots[spot].p.p;
    const std::string said = judged.verdict != leads::k_none ? std::string(judged.verdict) : differ ? "differ-unknown" : pieces_leave_less ? "no-clear-order.pieces" : "no-clear-order";
    words.push_back({"ranks.any." + said, std::move(args)});
}

/// What stands in the way of more: a cut that turns, pieces, people's own tastes, or people.
std::string next_of(const Judged& judged, DecideOn rule, double alpha) {
    const bool none = judged.verdict == leads::k_none;
    if (judged.turned) return "leads.next.turned";
    if (judged.disagrees >= 0) return "leads.next.by_spot";
    if (none && judged.pooled.pieces_hold_back) return "leads.next.pieces";
    if (none && judged.split_shown(alpha)) return "leads.next.split";
    const bool pieces_part = judged.verdict == leads::k_some && judged.pooled.by_people.size() < judged.pooled.leading.size() && !judged.pooled.with_pieces.empty();
    const bool by_spot = rule != DecideOn::overall && judged.spots.size() > 1;   // the one in front there need not be that of all spots together
    return "ranks.next." + std::string(judged.verdict) + (pieces_part ? ".pieces" : judged.verdict == leads::k_one && by_spot ? ".rule" : "");
}

void say_next(std::vector<core::Sentence>& words, const Judged& judged, const std::optional<double>& differ, const Round& round, const Plan& plan, double alpha) {
    const bool by_spot = leads::leads_at_a_spot(judged.spots, judged.adjusted, alpha);   // maybe where all of them together don't
    const bool any = leads::claims_difference(judged.verdict) || judged.turned || by_spot || judged.split_shown(alpha);
    if (plan.same_recipe) words.push_back(leads::same_recipe_step(any));
    else if (judged.verdict == leads::k_none && !judged.turned && round.decide_on == DecideOn::overall && by_spot && differ && stats::significant(*differ, alpha)) words.push_back({"leads.next.by_spot", {}});
    else if (const auto attribute = methods::words(round.settings, "attribute"); attribute && leads::claims_difference(judged.verdict)) words.push_back({"leads.next.attribute", {{"attribute", *attribute}}});
    else words.push_back({next_of(judged, round.decide_on, alpha), {{"leading", names_of(judged.all, judged.pooled.leading)}}});
}

std::vector<core::Sentence> round_words(const Question& question, const Judged& judged, const std::optional<double>& differ, const Round& round, const Plan& plan) {
    std::vector<core::Sentence> words;
    const bool several = round.spots.size() > 1;
    if (judged.pooled.found.df == 0 && (judged.all.trays.empty() || !several || round.decide_on == DecideOn::overall)) return words_of(question, judged.all, judged.pooled);
    if (several && round.decide_on != DecideOn::overall)
        say_rule(words, question, judged, round);
    else
        words = words_of(question, judged.all, judged.pooled);
    if (judged.turned) std::erase_if(words, [](const core::Sentence& said) { return said.id == "ranks.choose"; });
    if (judged.turned) words.front() = {"ranks.turned", {{"leading", names_of(judged.all, judged.pooled.leading)}, {"many", std::ssize(judged.pooled.leading)}, {"p", *judged.differ}}};
    if (several)
        for (std::size_t spot = 0; spot < judged.spots.size(); ++spot) words.push_back(spot_sentence(question, judged, round, spot));
    const bool together_only = leads::claims_difference(judged.verdict) && std::any_of(judged.spots.begin(), judged.spots.end(), [&](const Weighed& spot) { return !same_leaders(spot, judged.pooled) || !leads::claims_difference(spot.verdict); });
    if (several && round.decide_on == DecideOn::overall && together_only) words.push_back({"ranks.spots_fewer", {}});
    if (several && differ && !judged.turned) words.push_back({stats::significant(*differ, question.alpha) ? "ranks.spots_differ" : "ranks.spots_alike", {{"p", *differ}}});
    trays::say_always_last(words, round, plan);
    leads::say_withdrawn(words, plan);
    if (judged.verdict == leads::k_none && !judged.turned && judged.disagrees < 0 && !judged.pooled.differ && !judged.split_shown(question.alpha)) words.push_back({"ranks.not_alike", {}});
    say_next(words, judged, differ, round, plan, question.alpha);
    return words;
}

}   // namespace

Ranked ranked_at(std::span<const Observation> observations, const Plan& plan, int spot) {
    Ranked ranked{.names = version_ids(plan), .trays = {}, .spots = {}, .as_served = true};
    ranked.withdrawn = plan.withdrawn;
    for (const Observation& seen : observations) {
        if (spot >= 0 && seen.spot != spot) continue;
        if (seen.scored.samples.size() < 2) continue;   // one portion has no order
        ranked.trays.push_back({seen.taster, seen.scored.samples, seen.scored.values});
        ranked.spots.push_back(seen.spot);
        if (plan.pieces < 2) continue;
        ranked.pieces.push_back(pieces::numbers_of(seen.scored.samples, seen.pieces));
    }
    return ranked;
}

std::vector<std::string> version_ids(const Plan& plan) {
    std::vector<std::string> ids;
    for (const Version& version : plan.versions) ids.push_back(version.id);
    return ids;
}

RoundFindings analyse(const Method& method, std::span<const Observation> observations, const Round& round, const Plan& plan) {
    const Question question = question_of(round, plan);
    const Judged judged = judge(question, observations, round, plan);
    RoundFindings found;
    for (std::size_t spot = 0; spot < round.spots.size(); ++spot) {
        Findings findings = findings_of(method, question, judged.ranked[spot], judged.spots[spot]);
        if (round.spots.size() > 1)
            findings.add_optional("p_adjusted", judged.spots[spot].found.df == 0 ? std::nullopt : std::optional(judged.adjusted[spot]), "no answers");
        found.spots.push_back({round.spots[spot], std::move(findings)});
    }
    found.pooled = findings_of(method, question, judged.all, judged.pooled);
    if (round.spots.size() > 1) found.heterogeneity = judged.differ ? judged.differ : spots_differ(judged, observations, round, plan);
    if (!found.heterogeneity) found.heterogeneity_why = round.spots.size() == 1 ? "there is one spot" : "nobody ranked the same recipes unlike at two spots";
    found.verdict = judged.verdict;
    found.words = round_words(question, judged, found.heterogeneity, round, plan);
    found.warnings = found.pooled.warnings;
    if (judged.turned || judged.disagrees >= 0) found.warnings.emplace_back("spots_disagree");
    if (flag(round.settings, "against_usual")) return analyse_against(observations, round, plan, std::move(found));
    return found;
}

std::string_view verdict(const Method&, std::span<const Observation> observations, const Round& round, const Plan& plan) {
    if (flag(round.settings, "against_usual")) return verdict_against(observations, round, plan);
    Question question = question_of(round, plan);
    question.quick = true;
    if (round.decide_on == DecideOn::any_spot) question.looks = static_cast<int>(round.spots.size());
    question.expected.clear();
    return judge(question, observations, round, plan).verdict;
}

}   // namespace oddplate::methods::ranks
