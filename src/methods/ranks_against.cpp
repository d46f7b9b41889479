// Each recipe held against the usual one: is any of them worse? One comparison a recipe instead of one a pair, so fewer people are enough.
//
//   worse, better   people who put the one before the other against those who put it after: exact sign test, two-sided, Holm over the recipes (and over spots, for any spot)
//   none is worse   for every recipe P(so many put it before the usual one), were it only the stated share, is <= alpha: an intersection-union test
//                   (Berger 1982, Technometrics 24:295), so that each may use alpha whole
// Tests: tests/unit/methods/ranks_against.test.cpp

#include <algorithm>

#include "oddplate/stats/binomial.hpp"
#include "oddplate/stats/holm.hpp"
#include "oddplate/stats/preference.hpp"
#include "oddplate/stats/served_first.hpp"
#include "ranks.hpp"
#include "ranks_pairs.hpp"

namespace oddplate::methods::ranks {
namespace {

constexpr std::uint64_t k_seed = 14;
constexpr const char* k_never_met = "never on a tray with the usual one";

std::size_t at(int index) { return static_cast<std::size_t>(index); }

/// Direction of a comparison: above 0 where the other one was ranked before the usual one.
int lean(const Besides& one) { return one.pair.b_first > one.pair.a_first ? 1 : one.pair.b_first < one.pair.a_first ? -1 : 0; }

bool met(const Besides& one) { return one.pair.tasters > 0; }

/// On a ladder the fixed sequence of levels says whether any is worse, at alpha whole; that one is better is not asked.
std::string_view verdict_on_ladder(const ladders::Told& ladder, std::span<const Besides> all, double alpha, bool by_place) {
    const auto none_worse = [&](const Besides& one) { return one.not_less && stats::significant(*one.not_less, alpha); };
    return ladder.rejected() ? k_some_worse : !by_place && !all.empty() && std::all_of(all.begin(), all.end(), none_worse) ? k_none_worse : leads::k_none;
}

/// `by_place`: people chose by place, which gives every recipe half of the votes and so looks like being no worse.
std::string_view verdict_of(std::span<const Besides> all, double alpha, bool by_place) {
    bool any_better = false, any_worse = false, none_worse = !by_place && std::any_of(all.begin(), all.end(), met);
    for (const Besides& one : all) {
        const bool shown = met(one) && stats::significant(one.q, alpha);
        any_worse = any_worse || (shown && lean(one) < 0);
        any_better = any_better || (shown && lean(one) > 0);
        none_worse = none_worse && one.not_less && stats::significant(*one.not_less, alpha);
    }
    return any_worse ? k_some_worse : none_worse ? k_none_worse : any_better ? k_some_better : leads::k_none;
}

core::Argument names_where(const Ranked& ranked, std::span<const Besides> all, double alpha, int direction) {
    std::vector<std::string> names;
    for (const Besides& one : all)
        if (met(one) && stats::significant(one.q, alpha) && lean(one) == direction) names.push_back(ranked.names[at(one.pair.b)]);
    return leads::names_of(names);
}

core::Sentence one_sentence(const Ranked& ranked, const Besides& one, double alpha) {
    const std::string& name = ranked.names[at(one.pair.b)];
    if (!met(one)) return {"ranks.against.unmet", {{"name", name}}};
    const bool shown = stats::significant(one.q, alpha);
    const char* const which = !shown ? "ranks.against.open" : lean(one) < 0 ? "ranks.against.worse" : "ranks.against.better";
    return {which, {{"name", name}, {"k", one.pair.b_first}, {"m", one.pair.a_first}, {"q", one.q}}};
}

/// What one count of its own says of each beside the usual one, not of who leads.
std::vector<core::Sentence> words_beside(const Ranked& ranked, std::span<const Besides> all, double alpha) {
    std::vector<core::Sentence> words;
    for (const Besides& one : all) words.push_back(one_sentence(ranked, one, alpha));
    return words;
}

core::Sentence margin_sentence(const Ranked& ranked, std::span<const Besides> all, double share, double alpha) {
    std::vector<std::string> open, held;
    for (const Besides& one : all) (one.not_less && stats::significant(*one.not_less, alpha) ? held : open).push_back(ranked.names[at(one.pair.b)]);
    return {open.empty() ? "ranks.against.margin_held" : held.empty() ? "ranks.against.margin_open" : "ranks.against.margin_some",
            {{"share", share}, {"names", leads::names_of(open)}, {"held", leads::names_of(held)}}};
}

/// The comparisons of every spot and of all spots together; Holm's share goes over recipes, under any-spot over recipes and spots.
struct Judged {
    std::vector<Ranked> ranked;
    std::vector<std::vector<Besides>> spots;
    Ranked all;
    std::vector<Besides> pooled;
    std::string_view verdict{leads::k_none};
    std::optional<ladders::Told> ladder;
    std::optional<double> place_p;  ///< P of so strong a habit for a place, were there none; none where a recipe has a place of its own
    bool by_place{false};           ///< which is shown
    int turned_at{-1};              ///< overall: the spot at which one is shown to be worse that all spots together call no worse, or better
};

void share_over_spots(std::vector<std::vector<Besides>>& spots) {
    std::vector<double> p_values;
    std::vector<Besides*> of;
    for (auto& spot : spots)
        for (Besides& one : spot)
            if (met(one)) {
                p_values.push_back(one.p_claimed());
                of.push_back(&one);
            }
    const std::vector<double> adjusted = stats::holm_adjusted(p_values);
    for (std::size_t i = 0; i < of.size(); ++i) of[i]->q = adjusted[i];
}

/// What holds over all spots together is withheld where a spot, all spots and recipes allowed for, shows one of them to be worse.
void heed_spots(Judged& judged, double alpha) {
    if (judged.verdict != k_none_worse && judged.verdict != k_some_better) return;
    std::vector<std::vector<Besides>> spots = judged.spots;
    share_over_spots(spots);
    for (std::size_t spot = 0; spot < spots.size() && judged.turned_at < 0; ++spot)
        for (const Besides& one : spots[spot]) {
            const Besides& together = judged.pooled[static_cast<std::size_t>(&one - spots[spot].data())];
            const bool concerns = judged.verdict == k_none_worse || lean(together) > 0;
            if (concerns && met(one) && lean(one) < 0 && stats::significant(one.q, alpha)) judged.turned_at = static_cast<int>(spot);
        }
    if (judged.turned_at >= 0) judged.verdict = leads::k_none;
}

void decide(Judged& judged, DecideOn rule, double alpha) {
    judged.verdict = verdict_of(judged.pooled, alpha, judged.by_place);
    if (judged.spots.size() == 1) return;
    if (rule == DecideOn::overall) return heed_spots(judged, alpha);
    std::vector<std::string_view> said;
    for (const auto& spot : judged.spots) said.push_back(verdict_of(spot, alpha, judged.by_place));
    const auto all_say = [&](std::string_view verdict) { return std::all_of(said.begin(), said.end(), [&](std::string_view each) { return each == verdict; }); };
    const auto any_says = [&](std::string_view verdict) { return std::find(said.begin(), said.end(), verdict) != said.end(); };
    if (rule == DecideOn::each_spot) judged.verdict = all_say(said.front()) ? said.front() : leads::k_none;
    else judged.verdict = any_says(k_some_worse) ? k_some_worse : all_say(k_none_worse) ? k_none_worse : any_says(k_some_better) ? k_some_better : leads::k_none;
}

/// A recipe that always comes last makes its place and its taste one; only "none is worse" asks for a habit.
std::optional<double> habit_of_place(const Ranked& ranked, const Round& round, bool quick) {
    if (!ranked.as_served || flag(round.settings, "strongest_last") || !number(round.settings, "not_less")) return std::nullopt;
    return are_pairs(ranked) ? stats::first_habit_p(ranked.trays) : stats::place_habit_p(ranked.trays, k_seed, quick);
}

Judged judge_against(std::span<const Observation> observations, const Round& round, const Plan& plan, bool quick = false) {
    const auto share = number(round.settings, "not_less");
    Judged judged{.ranked = {}, .spots = {}, .all = ranked_at(observations, plan, -1), .pooled = {}, .ladder = {}, .place_p = {}};
    const bool lasted = !flag(round.settings, "ladder");   // a level that ran out was tasted all the same
    judged.pooled = besides(judged.all, share, lasted);
    for (std::size_t spot = 0; spot < round.spots.size(); ++spot) {
        judged.ranked.push_back(ranked_at(observations, plan, static_cast<int>(spot)));
        judged.spots.push_back(besides(judged.ranked.back(), share, lasted));
    }
    if (round.decide_on == DecideOn::any_spot) share_over_spots(judged.spots);
    judged.place_p = habit_of_place(judged.all, round, quick);
    judged.by_place = judged.place_p && stats::significant(*judged.place_p, round.alpha);
    decide(judged, round.decide_on, round.alpha);
    if (flag(round.settings, "ladder")) {
        judged.ladder = ladder_at(observations, round, plan, -1);
        judged.turned_at = -1;
        judged.verdict = verdict_on_ladder(*judged.ladder, judged.pooled, round.alpha, judged.by_place);
        if (judged.spots.size() > 1) heed_spots(judged, round.alpha);
    }
    return judged;
}

void add_besides(Findings& findings, const Ranked& ranked, std::span<const Besides> all) {
    List list{"against_usual", {}};
    const bool pieces = std::any_of(all.begin(), all.end(), [](const Besides& one) { return one.pieces_p.has_value(); });
    const bool not_less = std::any_of(all.begin(), all.end(), [](const Besides& one) { return one.not_less.has_value(); });
    const bool any_ran_out = std::any_of(all.begin(), all.end(), [&](const Besides& one) { return ranked.ran_out(one.pair.b); });
    for (const Besides& one : all) {
        const auto number = [&](std::string key, double value) { return met(one) ? Field{std::move(key), value} : Field{std::move(key), {}, k_never_met}; };
        std::vector<Field> row{{"name", ranked.names[at(one.pair.b)]}, {"before_usual", one.pair.b_first}, {"after_usual", one.pair.a_first}, {"tasters", one.pair.tasters},
                               number("difference", one.pair.difference), number("p_value", one.pair.p.p)};
        if (pieces) row.push_back(one.pieces_p ? number("pieces_p_value", *one.pieces_p) : Field{"pieces_p_value", {}, "no piece of one of them is known"});
        row.push_back(number("p_adjusted", one.q));
        if (not_less) row.push_back(one.not_less ? Field{"not_less_p_value", *one.not_less} : Field{"not_less_p_value", {}, "nobody put one before the other"});
        if (any_ran_out) row.push_back({"ran_out", ranked.ran_out(one.pair.b)});
        list.rows.push_back(std::move(row));
    }
    findings.lists.push_back(std::move(list));
}

/// How well one worth a recipe fits says nothing where every recipe met the usual one alone, and the ladder has steps and a fit of its own: pairs adjusted for one another beside steps
/// that need no such thing would only confuse.
void forget_pairs(Findings& findings) {
    std::erase_if(findings.lists, [](const List& list) { return list.key == "pairs" || list.key == "worths" || list.key == "scale_values"; });
    for (List& list : findings.lists)
        if (list.key == "against_usual")
            for (auto& row : list.rows) std::erase_if(row, [](const Field& field) { return field.key == "p_value" || field.key == "pieces_p_value" || field.key == "p_adjusted"; });
    std::erase_if(findings.fields, [](const Field& field) { return field.key.starts_with("fit."); });
}

/// Levels one by one say more than recipes one by one, so those aren't repeated.
RoundFindings on_ladder(std::span<const Observation> observations, const Round& round, const Plan& plan, const Judged& judged, RoundFindings found) {
    for (std::size_t spot = 0; spot < round.spots.size(); ++spot) {
        const ladders::Told here = ladder_at(observations, round, plan, static_cast<int>(spot));
        forget_pairs(found.spots[spot].findings);
        ladders::add(found.spots[spot].findings, here);
        found.spots[spot].findings.words = ladders::words_of(here);
        found.spots[spot].findings.verdict = verdict_on_ladder(here, judged.spots[spot], round.alpha, judged.by_place);
    }
    forget_pairs(found.pooled);
    ladders::add(found.pooled, *judged.ladder);
    found.pooled.words = ladders::words_of(*judged.ladder);
    found.pooled.verdict = judged.verdict;
    std::vector<core::Sentence> words = found.pooled.words;
    const auto safety = std::find_if(words.begin(), words.end(), [](const core::Sentence& one) { return one.id == "ladder.caution"; });
    if (judged.verdict == k_none_worse) words.front().id = "ladder.none_worse.salt";   // not shown to be minded, and by the line that was fixed shown not to be
    if (judged.turned_at >= 0) words.front() = {"ranks.against.turned", {{"spot", round.spots[static_cast<std::size_t>(judged.turned_at)]}}};
    else if (const auto share = number(round.settings, "not_less"); share && judged.by_place) words.insert(safety, {"ranks.against.by_place", {{"p", *judged.place_p}}});
    else if (share) words.insert(safety, margin_sentence(judged.all, judged.pooled, *share, round.alpha));
    leads::say_withdrawn(words, plan);
    for (const core::Sentence& sentence : found.words)
        if (sentence.id.starts_with("leads.split") || sentence.id == "ranks.spots_differ" || sentence.id == "ranks.spots_alike") words.push_back(sentence);
    words.push_back({plan.same_recipe ? (judged.verdict == leads::k_none ? "right.next.same_recipe_open" : "right.next.same_recipe_alarm") : judged.turned_at >= 0 ? "leads.next.turned" : "ladder.next." + std::string(judged.verdict), {}});
    found.words = std::move(words);
    return found;
}

}   // namespace

std::vector<Besides> besides(const Ranked& ranked, std::optional<double> share, bool lasted) {
    std::vector<Besides> all;
    std::vector<double> of_people, claimed;
    const auto pieces = by_pieces(ranked, 0.0);   // each pair by itself
    for (stats::RankPair& pair : stats::rank_pairs(ranked.trays, ranked.samples(), k_seed)) {
        if (pair.a != 0 || (ranked.ran_out(pair.b) && (lasted || pair.tasters == 0))) continue;   // one that ran out is no choice any more
        Besides one{.pair = std::move(pair)};
        one.pair.p = {stats::preference_p(one.pair.b_first, one.pair.a_first), stats::Found::exact, 0, 0};   // how far apart two of them lie has to do with the others on the tray; whether people would rather have it has not
        if (pieces)
            if (const auto at_hand = pieces->pairs.find({0, one.pair.b}); at_hand != pieces->pairs.end()) one.pieces_p = at_hand->second.first;
        const std::int64_t votes = one.pair.a_first + one.pair.b_first;
        if (share && votes > 0) {
            one.not_less = stats::not_less_p(one.pair.b_first, votes, *share);
            if (const auto of_pieces = pieces ? pieces::share_above(piece_trays(ranked), 0, one.pair.b, *share) : std::nullopt) one.not_less = std::max(*one.not_less, *of_pieces);
        }
        if (met(one)) of_people.push_back(one.pair.p.p), claimed.push_back(one.p_claimed());
        all.push_back(std::move(one));
    }
    const std::vector<double> adjusted = stats::holm_adjusted(claimed), people = stats::holm_adjusted(of_people);
    std::size_t next = 0;
    for (Besides& one : all)
        if (met(one)) one.q = adjusted[next], one.people_q = people[next++];
    return all;
}

RoundFindings analyse_against(std::span<const Observation> observations, const Round& round, const Plan& plan, RoundFindings found) {
    const Judged judged = judge_against(observations, round, plan);
    for (std::size_t spot = 0; spot < round.spots.size(); ++spot) {
        add_besides(found.spots[spot].findings, judged.ranked[spot], judged.spots[spot]);
        found.spots[spot].findings.verdict = verdict_of(judged.spots[spot], round.alpha, judged.by_place);
        found.spots[spot].findings.words = words_beside(judged.ranked[spot], judged.spots[spot], round.alpha);
    }
    add_besides(found.pooled, judged.all, judged.pooled);
    found.pooled.verdict = verdict_of(judged.pooled, round.alpha, judged.by_place);
    found.pooled.words = words_beside(judged.all, judged.pooled, round.alpha);
    found.verdict = judged.verdict;
    if (judged.turned_at >= 0) found.warnings.emplace_back("spots_disagree");
    if (judged.all.trays.empty()) return found;
    if (judged.ladder) return on_ladder(observations, round, plan, judged, std::move(found));

    std::vector<core::Sentence> words;
    const std::map<std::string, core::Argument> args{{"worse", names_where(judged.all, judged.pooled, round.alpha, -1)}, {"better", names_where(judged.all, judged.pooled, round.alpha, 1)}};
    const bool several = round.spots.size() > 1, by_spot = several && round.decide_on != DecideOn::overall;
    if (judged.turned_at >= 0) words.push_back({"ranks.against.turned", {{"spot", round.spots[static_cast<std::size_t>(judged.turned_at)]}}});
    else words.push_back({"ranks.against." + std::string(by_spot ? "rule." : "") + std::string(judged.verdict), args});
    leads::say_withdrawn(words, plan);
    const bool any_better = std::any_of(judged.pooled.begin(), judged.pooled.end(), [&](const Besides& one) { return met(one) && stats::significant(one.q, round.alpha) && lean(one) > 0; });
    if (!by_spot && judged.verdict != k_some_better && any_better) words.push_back({"ranks.against.also_better", args});
    if (!by_spot)
        words.insert(words.end(), found.pooled.words.begin(), found.pooled.words.end());
    else
        for (std::size_t spot = 0; spot < judged.spots.size(); ++spot) {
            words.push_back({"ranks.against.at_spot", {{"spot", round.spots[spot]}}});
            const std::vector<core::Sentence>& here = found.spots[spot].findings.words;
            words.insert(words.end(), here.begin(), here.end());
        }
    const auto share = number(round.settings, "not_less");
    if (share && judged.by_place) words.push_back({"ranks.against.by_place", {{"p", *judged.place_p}}});
    else if (share && judged.turned_at < 0) words.push_back(margin_sentence(judged.all, judged.pooled, *share, round.alpha));
    else if (!share) words.push_back({"ranks.against.no_margin", {}});
    for (const core::Sentence& sentence : found.words)   // by everybody or by half
        if (sentence.id.starts_with("leads.split") || sentence.id == "ranks.spots_differ" || sentence.id == "ranks.spots_alike") words.push_back(sentence);
    const auto shown = [&](double q) { return stats::significant(q, round.alpha); };
    const auto has_pieces = [](const Besides& one) { return one.pieces_p.has_value(); };
    const bool pieces_hold_back = std::any_of(judged.pooled.begin(), judged.pooled.end(), [&](const Besides& one) { return met(one) && shown(one.people_q) && !shown(one.q); });
    if (std::any_of(judged.pooled.begin(), judged.pooled.end(), has_pieces)) words.push_back({"pieces.larger", {}});
    words.push_back({plan.same_recipe ? (judged.verdict == leads::k_none ? "right.next.same_recipe_open" : "right.next.same_recipe_alarm")
                     : judged.turned_at >= 0                              ? "leads.next.turned"
                     : judged.verdict == leads::k_none && pieces_hold_back ? "leads.next.pieces" : "ranks.against.next." + std::string(judged.verdict), {}});
    found.words = std::move(words);
    return found;
}

std::string_view verdict_against(std::span<const Observation> observations, const Round& round, const Plan& plan) { return judge_against(observations, round, plan, true).verdict; }

}   // namespace oddplate::methods::ranks
