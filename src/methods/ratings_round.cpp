// A round of ratings: each spot and all together, and the plan's rule over the spots.

#include <algorithm>
#include <cstdlib>
#include <map>

#include "oddplate/stats/binomial.hpp"
#include "oddplate/stats/holm.hpp"
#include "ratings.hpp"
#include "trays.hpp"

namespace oddplate::methods::ratings {
namespace {

constexpr std::uint64_t k_seed = 8;   // of the permutations between spots

struct Judged {
    std::vector<Scoring> at;        ///< by spot
    std::vector<Weighed> spots;
    std::vector<double> adjusted;   ///< p of the spots' own tests, by Holm
    Question at_spot;               ///< what is asked at one spot
    Scoring all;
    Weighed pooled;
    by_spots::Decided decided;      ///< by the plan's rule
    std::optional<double> differ;   ///< P that the spots are alike; asked for where it is needed
    bool turned{false};             ///< overall: who leads on average is shown to be behind at a spot, and the spots differ
};

/// Whole pieces are numbered over all versions.
std::int32_t piece_of(const Observation& seen, int version, const Plan& plan) {
    const auto at = static_cast<std::size_t>(version);
    return at < seen.pieces.size() && seen.pieces[at] >= 0 ? version * plan.pieces + seen.pieces[at] : -1;
}

/// A recipe that ran out before anybody scored it is no sample here: nothing can be said of it, and all can be said of the others.
void leave_out_unscored(Scoring& scoring) {
    std::vector<bool> scored(scoring.samples.size(), false);
    for (const stats::Rating& rating : scoring.ratings) scored[static_cast<std::size_t>(rating.sample)] = true;
    std::vector<std::int32_t> now(scoring.samples.size(), -1);
    std::vector<std::string> names;
    std::vector<int> withdrawn;
    for (std::size_t s = 0; s < scoring.samples.size(); ++s) {
        const bool gone = scoring.ran_out(s);
        if (gone && !scored[s]) continue;
        now[s] = static_cast<std::int32_t>(names.size());
        if (gone) withdrawn.push_back(now[s]);
        scoring.versions.push_back(static_cast<int>(s));
        names.push_back(scoring.samples[s]);
    }
    for (stats::Rating& rating : scoring.ratings) {
        rating.sample = now[static_cast<std::size_t>(rating.sample)];
        if (rating.before >= 0) rating.before = now[static_cast<std::size_t>(rating.before)];
    }
    if (scoring.control && now[static_cast<std::size_t>(*scoring.control)] < 0) scoring.control.reset();
    else if (scoring.control) scoring.control = now[static_cast<std::size_t>(*scoring.control)];
    scoring.samples = std::move(names);
    scoring.withdrawn = std::move(withdrawn);
}

/// Scores at one spot (all: -1). A spot is a sitting of its own: its level goes with it.
Scoring scoring_of(std::span<const Observation> observations, const Round& round, const Plan& plan, int spot) {
    Scoring scoring;
    if (flag(round.settings, "against_usual")) scoring.control = 0;
    for (const Version& version : plan.versions) scoring.samples.push_back(version.id);
    std::map<std::int32_t, std::int32_t> tasters;
    for (const Observation& seen : observations) {
        if (spot >= 0 && seen.spot != spot) continue;
        const auto [at, is_new] = tasters.emplace(seen.taster, static_cast<std::int32_t>(tasters.size()));
        if (is_new) scoring.tasters.push_back(std::to_string(seen.taster + 1));
        for (std::size_t place = 0; place < seen.scored.values.size(); ++place)
            scoring.ratings.push_back({.taster = at->second,
                                       .sample = seen.scored.samples[place],
                                       .score = seen.scored.values[place],
                                       .sitting = round.sittings > 1 ? at->second * round.sittings + seen.place : seen.spot,   // a person's own, where the recipes are split over them
                                       .piece = piece_of(seen, seen.scored.samples[place], plan),
                                       .position = static_cast<std::int32_t>(place),
                                       .before = place > 0 ? seen.scored.samples[place - 1] : -1});
    }
    scoring.has_positions = true;
    scoring.withdrawn = plan.withdrawn;
    if (!scoring.withdrawn.empty()) leave_out_unscored(scoring);
    return scoring;
}

/// Who is in front at a spot, by version.
by_spots::Spot spot_of(const Scoring& scoring, const Weighed& weighed, std::size_t versions, double p_adjusted) {
    std::vector<bool> front(versions, true);
    for (std::size_t s = 0; s < weighed.leads.size(); ++s) front[static_cast<std::size_t>(scoring.version(s))] = weighed.leads[s];
    return {std::move(front), p_adjusted, weighed.model && weighed.model->test ? weighed.model->test->p_value : 1};
}

/// Versions of the samples that lead, or that don't.
std::vector<int> versions_where(const Scoring& scoring, const std::vector<bool>& leads, bool lead) {
    std::vector<int> versions;
    for (std::size_t s = 0; s < leads.size(); ++s)
        if (leads[s] == lead) versions.push_back(scoring.version(s));
    return versions;
}

/// An average lead is withheld where a spot shows the opposite and the spots are shown to differ.
void heed_spots(const Question& question, std::span<const Observation> observations, const Plan& plan, Judged& judged) {
    if (!leads::claims_difference(judged.pooled.verdict)) return;
    const std::vector<int> overall = versions_where(judged.all, judged.pooled.leads, true);
    std::vector<std::vector<int>> behind(judged.spots.size());
    for (std::size_t j = 0; j < judged.spots.size(); ++j) {
        if (!judged.spots[j].model || !judged.spots[j].model->test) continue;
        behind[j] = versions_where(judged.at[j], leads_at(*judged.spots[j].model, judged.at[j], question.alpha), false);   // at alpha whole: that the spots differ is asked beside it
    }
    if (!leads::turns(overall, behind)) return;
    judged.differ = trays::spots_differ(observations, plan, k_seed);
    judged.turned = judged.differ && stats::significant(*judged.differ, question.alpha);
    if (judged.turned) judged.decided.verdict = leads::k_none;
}

Judged judge(std::span<const Observation> observations, const Round& round, const Plan& plan, bool with_more) {
    const Question question = question_of(round.settings, round.alpha);
    const std::size_t spots = round.spots.size();
    Judged judged;
    judged.at_spot = question;
    if (round.decide_on == DecideOn::any_spot) judged.at_spot.alpha /= static_cast<double>(spots), judged.at_spot.confidence = 1 - judged.at_spot.alpha;
    std::vector<double> p_values;
    const bool overall = round.decide_on == DecideOn::overall;
    judged.all = scoring_of(observations, round, plan, -1);
    if (with_more || overall) judged.pooled = weigh(question, judged.all, with_more);
    const bool leads_overall = overall && spots > 1 && leads::claims_difference(judged.pooled.verdict);   // then a spot may say the opposite
    for (std::size_t j = 0; (with_more || !overall || leads_overall) && j < spots; ++j) {
        judged.at.push_back(scoring_of(observations, round, plan, static_cast<int>(j)));
        judged.spots.push_back(weigh(judged.at_spot, judged.at.back(), with_more));
        const Weighed& spot = judged.spots.back();
        p_values.push_back(spot.model && spot.model->test ? spot.model->test->p_value : 1);
    }
    judged.adjusted = stats::holm_adjusted(p_values);
    if (overall) {
        judged.decided.verdict = judged.pooled.verdict;
        if (leads_overall) heed_spots(question, observations, plan, judged);
    } else {
        std::vector<by_spots::Spot> said;
        for (std::size_t j = 0; j < spots; ++j) said.push_back(spot_of(judged.at[j], judged.spots[j], plan.versions.size(), judged.adjusted[j]));
        judged.decided = by_spots::decide(round.decide_on, said, plan.versions.size(), plan.withdrawn);
    }
    return judged;
}

std::vector<std::size_t> front_of(const Weighed& weighed, const std::vector<bool>& leads) {
    std::vector<std::size_t> front;
    for (const std::size_t s : by_mean(*weighed.model))
        if (leads[s]) front.push_back(s);
    return front;
}

core::Sentence spot_sentence(const Judged& judged, const Round& round, std::size_t j) {
    const Weighed& spot = judged.spots[j];
    if (judged.at[j].ratings.empty()) return {"right.no_answers_from", {{"spot", round.spots[j]}}};
    if (!spot.model) return {"ratings.at_spot.nothing", {{"spot", round.spots[j]}, {"why", spot.why}}};
    if (!spot.model->test) return {"ratings.at_spot.untested", {{"spot", round.spots[j]}, {"best", judged.at[j].samples[by_mean(*spot.model).front()]}}};
    // Several spots are looked at, unless they were shown to differ before; under any-spot each has its share of alpha already.
    const std::vector<bool> leads = round.decide_on == DecideOn::overall && !judged.turned ? leads_at(*spot.model, judged.at[j], judged.at_spot.alpha / static_cast<double>(judged.spots.size())) : spot.leads;
    const std::vector<std::size_t> front = front_of(spot, leads);
    return {front.empty() || front.size() >= judged.at[j].lasted() ? "ratings.at_spot.unclear" : "ratings.at_spot",
            {{"spot", round.spots[j]},
             {"front", names_of(judged.at[j], front)},
             {"best", judged.at[j].samples[*spot.best]},
             {"mean", spot.model->samples[*spot.best].mean},
             {"p", spot.model->test->p_value},
             {"q", judged.adjusted[j]}}};
}

/// Whether what pieces of one recipe differ by weighs more in a recipe's mean than all else: then more people don't help.
bool pieces_weigh_most(const Judged& judged, const Plan& plan) {
    const Weighed& weighed = judged.pooled;
    if (!weighed.model || plan.pieces < 2) return false;
    double pieces = 0, rest = 0;
    const double trays = static_cast<double>(judged.all.ratings.size()) / static_cast<double>(judged.all.samples.size());   // portions of each recipe
    for (const stats::ScatterPart& part : weighed.model->scatter) {
        if (part.what == stats::ScatterOf::piece) pieces = part.deviation * part.deviation / plan.pieces;
        if (part.what == stats::ScatterOf::taster_by_sample) rest += part.deviation * part.deviation / static_cast<double>(judged.all.tasters.size());
        if (part.what == stats::ScatterOf::residual) rest += part.deviation * part.deviation / trays;
    }
    return pieces > rest;
}

std::string next_of(const Question& question, const Judged& judged, const Plan& plan) {
    if (judged.turned) return "leads.next.turned";
    if (judged.decided.disagree) return "leads.next.by_spot";
    const bool none = judged.decided.verdict == leads::k_none;
    if (none && pieces_weigh_most(judged, plan)) return "leads.next.pieces";
    if (none && judged.pooled.split && judged.pooled.split->is_shown(question.alpha)) return "leads.next.split";
    const bool usual_leads = judged.decided.verdict == leads::k_one && judged.decided.front.empty() && judged.pooled.best && judged.all.version(*judged.pooled.best) == 0;   // of all spots together
    return "ratings.next." + std::string(judged.decided.verdict) + (usual_leads ? ".usual" : "");
}

core::Sentence rule_sentence(const Judged& judged, const Round& round, const Plan& plan) {
    std::vector<std::string> front;
    for (const std::size_t version : judged.decided.front) front.push_back(plan.versions[version].id);
    std::map<std::string, core::Argument> args{{"front", leads::names_of(front)}, {"spots", static_cast<std::int64_t>(round.spots.size())}};
    if (round.decide_on == DecideOn::each_spot) return {"ratings.each." + std::string(judged.decided.verdict), std::move(args)};
    args.emplace("spot", judged.decided.clearest ? round.spots[*judged.decided.clearest] : std::string());
    const bool lasted = judged.decided.verdict == leads::k_none && !plan.withdrawn.empty();
    return {judged.decided.disagree ? "ratings.any.disagree" : "ratings.any." + std::string(judged.decided.verdict) + (lasted ? ".lasted" : ""), std::move(args)};
}

std::vector<core::Sentence> round_words(const Question& question, const Judged& judged, const std::optional<double>& differ, const Round& round, const Plan& plan) {
    std::vector<core::Sentence> words;
    const bool several = round.spots.size() > 1, any = !judged.all.ratings.empty();
    if (several && any && round.decide_on != DecideOn::overall) words.push_back(rule_sentence(judged, round, plan));
    else words = words_of(question, judged.all, judged.pooled);
    if (judged.turned) std::erase_if(words, [](const core::Sentence& said) { return said.id == "ratings.choose"; });
    if (judged.turned) words.front() = {"ratings.turned", {{"front", names_of(judged.all, front_of(judged.pooled, judged.pooled.leads))}, {"many", std::ssize(front_of(judged.pooled, judged.pooled.leads))}, {"p", *judged.differ}}};
    if (!any) return words;
    if (several)
        for (std::size_t j = 0; j < judged.spots.size(); ++j) words.push_back(spot_sentence(judged, round, j));
    if (several && round.decide_on != DecideOn::overall && judged.pooled.model && judged.pooled.model->test) say_against(words, question, judged.all, judged.pooled);
    trays::say_always_last(words, round, plan);
    leads::say_withdrawn(words, plan);
    if (several && differ && !judged.turned) words.push_back({stats::significant(*differ, question.alpha) ? "ratings.spots_differ" : "ratings.spots_alike", {{"p", *differ}}});
    const bool by_spot = leads::leads_at_a_spot(judged.spots, judged.adjusted, question.alpha);   // maybe where all of them together don't
    const bool any_shown = leads::claims_difference(judged.decided.verdict) || judged.turned || by_spot || (judged.pooled.split && judged.pooled.split->is_shown(question.alpha));
    if (plan.same_recipe) words.push_back(leads::same_recipe_step(any_shown));
    else if (!leads::claims_difference(judged.decided.verdict) && !judged.turned && round.decide_on == DecideOn::overall && by_spot && differ && stats::significant(*differ, question.alpha)) words.push_back({"leads.next.by_spot", {}});
    else if (judged.pooled.model && !judged.pooled.model->test) words.push_back({"ratings.next.pieces", {}});
    else if (const auto attribute = methods::words(round.settings, "attribute"); attribute && leads::claims_difference(judged.decided.verdict)) words.push_back({"leads.next.attribute", {{"attribute", *attribute}}});
    else words.push_back({next_of(question, judged, plan), {}});
    return words;
}

}   // namespace

RoundFindings analyse(const Method& method, std::span<const Observation> observations, const Round& round, const Plan& plan) {
    const Question question = question_of(round.settings, round.alpha);
    const Judged judged = judge(observations, round, plan, true);
    RoundFindings found;
    for (std::size_t j = 0; j < round.spots.size(); ++j) {
        Findings findings = findings_of(method, judged.at_spot, judged.at[j], judged.spots[j]);
        if (round.spots.size() > 1)
            findings.add_optional("p_adjusted", judged.at[j].ratings.empty() ? std::nullopt : std::optional(judged.adjusted[j]), "no answers");
        found.spots.push_back({round.spots[j], std::move(findings)});
    }
    found.pooled = findings_of(method, question, judged.all, judged.pooled);
    if (round.spots.size() > 1) found.heterogeneity = judged.differ ? judged.differ : trays::spots_differ(observations, plan, k_seed);
    if (!found.heterogeneity) found.heterogeneity_why = round.spots.size() == 1 ? "there is one spot" : "nobody scored two spots differently";
    found.verdict = judged.decided.verdict;
    found.words = round_words(question, judged, found.heterogeneity, round, plan);
    found.warnings = found.pooled.warnings;
    if (judged.decided.disagree || judged.turned) found.warnings.emplace_back("spots_disagree");
    return found;
}

/// Tasters go by their numbers until somebody knows their names.
void add_tasters(const Method&, std::span<const Observation>, std::span<const std::string> names, const Round&, RoundFindings& found) {
    std::vector<Findings*> all{&found.pooled};
    for (SpotFindings& spot : found.spots) all.push_back(&spot.findings);
    for (Findings* findings : all)
        for (List& list : findings->lists) {
            if (list.key != "per_taster") continue;
            for (auto& row : list.rows) {
                const auto number = static_cast<std::size_t>(std::stoi(std::get<std::string>(row.front().value))) - 1;
                if (number < names.size() && !names[number].empty()) row.front().value = names[number];
            }
        }
}

std::string_view verdict(const Method&, std::span<const Observation> observations, const Round& round, const Plan& plan) {
    return judge(observations, round, plan, false).decided.verdict;
}

}   // namespace oddplate::methods::ratings
