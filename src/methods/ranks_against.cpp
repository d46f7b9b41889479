// Each recipe held against the usual one: is any of them worse? One comparison a recipe instead of one a pair, so fewer people are enough.
//
//   worse, better   people who put the one before the other against those who put it after: exact sign test, two-sided, Holm over the recipes (and over spots, for any spot)
//   none is worse   for every recipe P(so many put it before the usual one), were it only the stated share, is <= alpha: an intersection-union test
//                   (Berger 1982, Technometrics 24:295), so that each may use alpha whole
// Tests: tests/unit/methods/ranks_against.test.cpp

#include <algorithm>
#include <map>
#include <utility>

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

/// Shown to be better (1) or worse (-1) than the usual one; else 0.
int shown(const Besides& one, double alpha) { return met(one) && stats::significant(one.q, alpha) ? lean(one) : 0; }

std::vector<std::string> names_where(const Ranked& ranked, std::span<const Besides> all, double alpha, int direction) {
    std::vector<std::string> names;
    for (const Besides& one : all)
        if (shown(one, alpha) == direction) names.push_back(ranked.names[at(one.pair.b)]);
    return names;
}

core::Sentence one_sentence(const Ranked& ranked, const Besides& one, double alpha) {
    const std::string& name = ranked.names[at(one.pair.b)];
    if (!met(one)) return {"ranks.against.unmet", {{"name", name}}};
    const bool shown = stats::significant(one.q, alpha);
    const char* const which = !shown ? "ranks.against.open" : lean(one) < 0 ? "ranks.against.worse" : "ranks.against.better";
    return {std::string(which) + (one.several ? ".several" : ""), {{"name", name}, {"k", one.pair.b_first}, {"m", one.pair.a_first}, {"j", one.pair.tasters - one.pair.b_first - one.pair.a_first}, {"q", one.q}}};
}

/// What one count of its own says of each beside the usual one, not of who leads.
std::vector<core::Sentence> words_beside(const Ranked& ranked, std::span<const Besides> all, double alpha) {
    std::vector<core::Sentence> words;
    for (const Besides& one : all) words.push_back(one_sentence(ranked, one, alpha));
    return words;
}

/// What your line makes of each; one that is shown to be worse although it keeps to the line is told apart from those that do well.
std::vector<core::Sentence> margin_words(const Ranked& ranked, std::span<const Besides> all, const std::vector<std::string>& worse, double share, double alpha, bool by_spot) {
    std::vector<std::string> open, held, yet;
    for (const Besides& one : all) {
        const std::string& name = ranked.names[at(one.pair.b)];
        const bool is_worse = std::find(worse.begin(), worse.end(), name) != worse.end();
        (one.not_less && stats::significant(*one.not_less, alpha) ? is_worse ? yet : held : open).push_back(name);
    }
    std::vector<core::Sentence> words;
    const auto say = [&](const char* which, const char* where) {
        words.push_back({std::string(which) + where, {{"share", share}, {"names", leads::names_of(open)}, {"held", leads::names_of(held)}, {"yet", leads::names_of(yet)}, {"n", std::ssize(yet)}}});
    };
    const char* const where = by_spot ? ".spots" : "";
    if (!yet.empty()) say("ranks.against.margin_yet", "");
    if (open.empty() && yet.empty()) say("ranks.against.margin_held", where);
    else if (held.empty() && !open.empty()) say("ranks.against.margin_open", where);
    else if (!held.empty()) say(open.empty() ? "ranks.against.margin_rest" : "ranks.against.margin_some", where);
    return words;
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
    std::vector<std::string> worse, better;   ///< by the rule: at all spots together, at any of them, or at each
    std::vector<std::string> apart;           ///< by a rule over spots: worse at one of them and better at another
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

/// That none is worse over all spots together is withheld where a spot, all spots and recipes allowed for, shows one to be; and who is worse at one and better at another is told.
void heed_spots(Judged& judged, double alpha) {
    std::vector<std::vector<Besides>> spots = judged.spots;
    share_over_spots(spots);
    int worse_at = -1;
    for (const Besides& together : judged.pooled) {
        bool worse = false, better = false;
        for (std::size_t spot = 0; spot < spots.size(); ++spot)
            for (const Besides& one : spots[spot]) {
                if (one.pair.b != together.pair.b) continue;
                const int found = shown(one, alpha);
                better = better || found > 0;
                worse = worse || found < 0;
                if (found < 0 && worse_at < 0) worse_at = static_cast<int>(spot);
            }
        const std::string& name = judged.all.names[at(together.pair.b)];
        if (worse && better) judged.apart.push_back(name);
        if (worse) std::erase(judged.better, name);
    }
    const bool says_none = judged.verdict == k_none_worse || judged.verdict == k_some_better || (judged.verdict == leads::k_none && !judged.apart.empty());
    if (worse_at < 0 || !says_none) return;
    judged.turned_at = worse_at;
    judged.verdict = leads::k_none;
}

/// Recipe by recipe: what is shown of it at one spot is no finding about another recipe at the next.
void decide_over_spots(Judged& judged, DecideOn rule, double alpha) {
    for (std::size_t r = 0; r < judged.pooled.size(); ++r) {
        std::size_t worse = 0, better = 0;
        for (const auto& spot : judged.spots)
            for (const Besides& one : spot)
                if (one.pair.b == judged.pooled[r].pair.b) worse += shown(one, alpha) < 0 ? 1 : 0, better += shown(one, alpha) > 0 ? 1 : 0;
        const std::size_t enough = rule == DecideOn::each_spot ? judged.spots.size() : 1;
        const std::string& name = judged.all.names[at(judged.pooled[r].pair.b)];
        if (worse >= enough) judged.worse.push_back(name);
        if (better >= enough) judged.better.push_back(name);
        if (worse > 0 && better > 0) judged.apart.push_back(name);
    }
    const auto held = [&](const std::vector<Besides>& spot) { return verdict_of(spot, alpha, judged.by_place) == k_none_worse; };
    judged.verdict = !judged.worse.empty()                                             ? k_some_worse
                     : std::all_of(judged.spots.begin(), judged.spots.end(), held)     ? k_none_worse
                     : !judged.better.empty()                                          ? k_some_better
                                                                                       : leads::k_none;
}

void decide(Judged& judged, DecideOn rule, double alpha) {
    if (judged.spots.size() > 1 && rule != DecideOn::overall) return decide_over_spots(judged, rule, alpha);
    judged.verdict = verdict_of(judged.pooled, alpha, judged.by_place);
    judged.worse = names_where(judged.all, judged.pooled, alpha, -1);
    judged.better = names_where(judged.all, judged.pooled, alpha, 1);
    if (judged.spots.size() > 1) heed_spots(judged, alpha);
}

/// The comparisons that the line is held against: under a rule over spots the least sure of each recipe's.
std::vector<Besides> held_against_line(const Judged& judged, bool by_spot) {
    std::vector<Besides> all = judged.pooled;
    if (!by_spot) return all;
    for (Besides& one : all) {
        double least_sure = 0;
        for (const auto& spot : judged.spots) {
            const auto there = std::find_if(spot.begin(), spot.end(), [&](const Besides& other) { return other.pair.b == one.pair.b; });
            least_sure = std::max(least_sure, there == spot.end() ? 1.0 : there->not_less.value_or(1));
        }
        one.not_less = least_sure;
    }
    return all;
}

/// A recipe that always comes last makes its place and its taste one; only "none is worse" asks for a habit.
std::optional<double> habit_of_place(const Ranked& ranked, const Round& round, bool quick) {
    if (!ranked.as_served || flag(round.settings, "strongest_last") || !number(round.settings, "not_less")) return std::nullopt;
    return are_pairs(ranked) ? stats::first_habit_p(ranked.trays) : stats::place_habit_p(ranked.trays, k_seed, quick);
}

Judged judge_against(std::span<const Observation> observations, const Round& round, const Plan& plan, bool quick = false) {
    const auto share = number(round.settings, "not_less");
    Judged judged{.ranked = {}, .spots = {}, .all = ranked_at(observations, plan, -1), .pooled = {}, .ladder = {}, .place_p = {}, .worse = {}, .better = {}, .apart = {}};
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
        judged.apart.clear();
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
    std::erase_if(findings.fields, [](const Field& field) { return field.key.starts_with("fit.") || field.key == "worths" || field.key == "scale_values"; });
}

/// Of one against itself: whether anything parts it from itself. That none is worse by the line that was fixed parts nothing.
bool shows_any(const Judged& judged) { return (judged.verdict != leads::k_none && judged.verdict != k_none_worse) || judged.turned_at >= 0 || !judged.apart.empty() || !judged.better.empty(); }

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
    else if (share) {
        std::vector<std::string> worse;   // as the ladder tests each level: one-sided, at alpha whole
        for (const Besides& one : judged.pooled)
            if (lean(one) < 0 && stats::significant(one.p_claimed() / 2, round.alpha)) worse.push_back(judged.all.names[at(one.pair.b)]);
        const auto said = margin_words(judged.all, judged.pooled, worse, *share, round.alpha, false);
        words.insert(safety, said.begin(), said.end());
    }
    say_levels_that_ran_out(words, plan, *judged.ladder);
    for (const core::Sentence& sentence : found.words)
        if (sentence.id.starts_with("leads.split") || sentence.id == "ranks.spots_differ" || sentence.id == "ranks.spots_alike") words.push_back(sentence);
    words.push_back(plan.same_recipe ? leads::same_recipe_step(shows_any(judged)) : core::Sentence{judged.turned_at >= 0 ? "leads.next.turned" : "ladder.next." + std::string(judged.verdict), {}});
    found.words = std::move(words);
    return found;
}

}   // namespace

namespace {

/// People by what most of their trays say of the two, and whether somebody had several; how far apart two of them lie has to do with the others on the tray, whether people would rather have it has not.
bool count_people(const Ranked& ranked, stats::RankPair& pair) {
    std::map<std::int32_t, int> net;   // trays with b before a, less those with a before b
    std::size_t trays = 0;
    for (const stats::RankedTray& tray : ranked.trays) {
        const auto a = std::find(tray.samples.begin(), tray.samples.end(), pair.a), b = std::find(tray.samples.begin(), tray.samples.end(), pair.b);
        if (a == tray.samples.end() || b == tray.samples.end()) continue;
        const double first = tray.ranks[static_cast<std::size_t>(a - tray.samples.begin())], second = tray.ranks[static_cast<std::size_t>(b - tray.samples.begin())];
        net[tray.taster] += second < first ? 1 : second > first ? -1 : 0;
        ++trays;
    }
    pair.a_first = std::count_if(net.begin(), net.end(), [](const auto& one) { return one.second < 0; });
    pair.b_first = std::count_if(net.begin(), net.end(), [](const auto& one) { return one.second > 0; });
    pair.p = {stats::preference_p(pair.b_first, pair.a_first), stats::Found::exact, 0, 0};
    return trays > net.size();
}

bool are_of_two(const Ranked& ranked) {
    return ranked.as_served && std::all_of(ranked.trays.begin(), ranked.trays.end(), [](const stats::RankedTray& tray) { return tray.samples.size() == 2; });
}

}   // namespace

std::vector<Besides> besides(const Ranked& ranked, std::optional<double> share, bool lasted) {
    std::vector<Besides> all;
    std::vector<double> of_people, claimed;
    const auto served = are_of_two(ranked) ? stats::pairs_but_for_order(ranked.trays) : std::map<std::pair<int, int>, double>{};
    const auto pieces = by_pieces(ranked, 0.0);   // each pair by itself
    for (stats::RankPair& pair : stats::rank_pairs(ranked.trays, ranked.samples(), k_seed)) {
        if (pair.a != 0 || (ranked.ran_out(pair.b) && (lasted || pair.tasters == 0))) continue;   // one that ran out is no choice any more
        Besides one{.pair = std::move(pair)};
        one.several = count_people(ranked, one.pair);
        if (const auto uneven = served.find({0, one.pair.b}); uneven != served.end() && uneven->second > 0) one.order_p = uneven->second;
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
    // The ranking beneath may have said so already.
    if ((judged.turned_at >= 0 || !judged.apart.empty()) && std::find(found.warnings.begin(), found.warnings.end(), "spots_disagree") == found.warnings.end()) found.warnings.emplace_back("spots_disagree");
    if (judged.all.trays.empty()) return found;
    if (judged.ladder) return on_ladder(observations, round, plan, judged, std::move(found));

    std::vector<core::Sentence> words;
    const std::map<std::string, core::Argument> args{{"worse", leads::names_of(judged.worse)}, {"better", leads::names_of(judged.better)}, {"apart", leads::names_of(judged.apart)}, {"n", std::ssize(judged.apart)}};
    const bool several = round.spots.size() > 1, by_spot = several && round.decide_on != DecideOn::overall;
    if (judged.turned_at >= 0) words.push_back({"ranks.against.turned", {{"spot", round.spots[static_cast<std::size_t>(judged.turned_at)]}}});
    else words.push_back({"ranks.against." + std::string(by_spot ? "rule." : "") + std::string(judged.verdict), args});
    leads::say_withdrawn(words, plan);
    if (!judged.apart.empty()) words.push_back({"ranks.against.apart", args});
    const bool told_apart = by_spot && !judged.apart.empty();   // of all spots together only who is worse nowhere is called better
    if (judged.verdict != k_some_better && !judged.better.empty() && !told_apart) words.push_back({"ranks.against.also_better", args});
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
    else if (share && judged.turned_at < 0) {
        const auto said = margin_words(judged.all, held_against_line(judged, by_spot), judged.worse, *share, round.alpha, by_spot);
        words.insert(words.end(), said.begin(), said.end());
    }
    else if (!share) words.push_back({"ranks.against.no_margin", {}});
    for (const core::Sentence& sentence : found.words)   // by everybody or by half
        if (sentence.id.starts_with("leads.split") || sentence.id == "ranks.spots_differ" || sentence.id == "ranks.spots_alike") words.push_back(sentence);
    const auto has_pieces = [](const Besides& one) { return one.pieces_p.has_value(); };
    const auto held_back = [&](const Besides& one) { return met(one) && stats::significant(one.people_q, round.alpha) && !stats::significant(one.q, round.alpha); };
    const bool pieces_hold_back = std::any_of(judged.pooled.begin(), judged.pooled.end(), [&](const Besides& one) { return held_back(one) && one.pieces_p.value_or(0) > one.order_p.value_or(0); });
    for (const Besides& one : judged.pooled)
        if (held_back(one) && one.order_p.value_or(0) > one.pieces_p.value_or(0)) words.push_back({"ranks.against.order", {{"name", judged.all.names[at(one.pair.b)]}, {"p", *one.order_p}}});
    if (std::any_of(judged.pooled.begin(), judged.pooled.end(), has_pieces)) words.push_back({"pieces.larger", {}});
    if (plan.same_recipe) words.push_back(leads::same_recipe_step(shows_any(judged)));
    else words.push_back({judged.turned_at >= 0 ? "leads.next.turned" : !judged.apart.empty() ? "leads.next.by_spot" : judged.verdict == leads::k_none && pieces_hold_back ? "leads.next.pieces" : "ranks.against.next." + std::string(judged.verdict), {}});
    found.words = std::move(words);
    return found;
}

std::string_view verdict_against(std::span<const Observation> observations, const Round& round, const Plan& plan) { return judge_against(observations, round, plan, true).verdict; }

}   // namespace oddplate::methods::ranks
