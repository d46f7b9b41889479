// Ranks weighed, and told as keys and words. Tests: tests/unit/methods/ranks.test.cpp

#include <algorithm>
#include <iterator>
#include <map>
#include <optional>
#include <set>

#include "leads.hpp"
#include "oddplate/core/text.hpp"
#include "oddplate/stats/binomial.hpp"
#include "oddplate/stats/worths.hpp"
#include "ranks.hpp"
#include "ranks_pairs.hpp"

namespace oddplate::methods::ranks {
namespace {

constexpr std::uint64_t k_seed = 11;      // of shuffles drawn where there are too many orders to count
constexpr double k_quick_budget = 2e5;
constexpr std::int64_t k_quick_draws = 999;
constexpr std::string_view k_nobody = "nobody ranked two of them";

std::size_t at(int index) { return static_cast<std::size_t>(index); }

/// In simulations the asymptotic tail decides where it is clear of alpha; near it the test's own.
stats::PValue quick_p(const Question& question, const Ranked& ranked, const stats::RankStatistic& found) {
    const double p = found.p_chi_square;
    if (p > 1.4 * question.alpha || p < 0.6 * question.alpha / question.looks) return {p, stats::Found::normal, 0, 0};
    return stats::rank_p(ranked.trays, ranked.samples(), k_seed, k_quick_budget, k_quick_draws);
}

std::vector<std::string> names_at(const Ranked& ranked, std::span<const int> samples) {
    std::vector<std::string> names;
    for (const int sample : samples) names.push_back(ranked.names[at(sample)]);
    return names;
}

/// Tasters whose trays hold unlike recipes have no row to shuffle: their orders are turned round as wholes.
std::string found_by(const Ranked& ranked, const stats::PValue& p) {
    std::map<std::int32_t, std::vector<int>> first;
    bool turned = false;
    for (const stats::RankedTray& tray : ranked.trays) {
        std::vector<int> held = tray.samples;
        std::sort(held.begin(), held.end());
        turned = turned || first.try_emplace(tray.taster, held).first->second != held;
    }
    if (p.found == stats::Found::exact) return turned ? "every turning round of tasters' orders counted" : "every order counted";
    return core::with_commas(p.draws) + (turned ? " seeded turnings of tasters' orders" : " seeded shuffles");
}

/// Best first.
std::vector<int> by_effect(const Ranked& ranked, const stats::RankStatistic& found) {
    std::vector<int> order;
    for (int sample = 0; sample < ranked.samples(); ++sample) order.push_back(sample);
    std::stable_sort(order.begin(), order.end(), [&](int a, int b) { return found.effects[at(a)] < found.effects[at(b)]; });
    return order;
}

List samples_list(const Ranked& ranked, const Weighed& weighed) {
    List list{"samples", {}};
    for (const int sample : by_effect(ranked, weighed.found)) {
        const std::int64_t trays = weighed.found.trays[at(sample)];
        std::vector<Field> row{{"name", ranked.names[at(sample)]}, {"rank_sum", weighed.found.sums[at(sample)]}};
        row.push_back(trays > 0 ? Field{"mean_rank", weighed.found.means[at(sample)]} : Field{"mean_rank", {}, "it lay on no tray that counts"});
        row.push_back({"trays", trays});
        row.push_back({"leads", std::find(weighed.leading.begin(), weighed.leading.end(), sample) != weighed.leading.end()});
        if (!ranked.withdrawn.empty()) row.push_back({"ran_out", ranked.ran_out(sample)});
        list.rows.push_back(std::move(row));
    }
    return list;
}

/// How often each sample came to each place; ties lie between places.
List places_list(const Ranked& ranked) {
    std::map<std::pair<int, double>, std::int64_t> times;
    for (const stats::RankedTray& tray : ranked.trays) {
        const std::vector<double> ranks = stats::midranks(tray.ranks);
        for (std::size_t i = 0; i < ranks.size(); ++i) ++times[{tray.samples[i], ranks[i]}];
    }
    List list{"places", {}};
    for (const auto& [where, count] : times) list.rows.push_back({{"name", ranked.names[at(where.first)]}, {"place", where.second}, {"times", count}});
    return list;
}

List pairs_list(const Ranked& ranked, const Weighed& weighed) {
    List list{"pairs", {}};
    for (const stats::RankPair& pair : weighed.claims) {
        const bool met = pair.tasters > 0;
        const auto number = [&](std::string key, double value) { return met ? Field{std::move(key), value} : Field{std::move(key), {}, "never on a tray together"}; };
        std::vector<Field> row{{"a", ranked.names[at(pair.a)]}, {"b", ranked.names[at(pair.b)]}, number("difference", pair.difference), number("p_value", pair.p.p)};
        if (!weighed.with_pieces.empty()) {
            const auto with = weighed.with_pieces.find({pair.a, pair.b});
            row.push_back(with == weighed.with_pieces.end() ? Field{"pieces_p_adjusted", {}, "no piece of one of them is known"} : Field{"pieces_p_adjusted", with->second});
        }
        row.insert(row.end(), {number("p_adjusted", pair.p_adjusted), {"a_first", pair.a_first}, {"b_first", pair.b_first}, {"tasters", pair.tasters}});
        list.rows.push_back(std::move(row));
    }
    return list;
}

/// Whether some were never compared with others, not even through others; one that ran out before anybody had it is not asked about.
bool apart(const Ranked& ranked, const stats::RankStatistic& found) {
    int never_there = 0;
    for (int sample = 0; sample < ranked.samples(); ++sample) never_there += found.trays[at(sample)] == 0 && ranked.ran_out(sample) ? 1 : 0;
    return found.groups - never_there > 1;
}

void add_friedman(Findings& findings, const Weighed& weighed) {
    const bool any = weighed.found.df > 0, exact = weighed.p.found == stats::Found::exact;
    const std::string nobody(k_nobody);
    const auto where_any = [&](double value) { return any ? std::optional(value) : std::nullopt; };
    findings.add_optional("friedman.statistic", where_any(weighed.found.statistic), nobody);
    findings.add("friedman.df", std::int64_t{weighed.found.df});
    findings.add_optional("friedman.p_value_exact", any && exact ? std::optional(weighed.p.p) : std::nullopt, any ? "too many orders to count, so they were shuffled" : nobody);
    if (any && !exact) {
        findings.add("friedman.p_value_drawn", weighed.p.p);
        findings.add("friedman.p_value_drawn_error", weighed.p.error);
        findings.add("friedman.draws", weighed.p.draws);
    }
    findings.add_optional("friedman.p_value", where_any(weighed.found.p_chi_square), nobody);
    findings.add_optional("concordance", weighed.found.concordance, any ? "not everybody had all of them" : nobody);
}

leads::Split split_of(const Ranked& ranked, const stats::RankStatistic& found) {
    std::vector<stats::TasteTray> trays;
    for (std::size_t i = 0; i < ranked.trays.size(); ++i)
        trays.push_back({ranked.trays[i].taster, ranked.spots[i], ranked.trays[i].samples, stats::midranks(ranked.trays[i].ranks)});
    const std::vector<int> order = by_effect(ranked, found);
    return leads::split_of(trays, ranked.names, order[0], order[1], true);
}

/// "the 4", or what lay on the tray where that was not all of them.
core::Argument what_was_ranked(const Ranked& ranked) {
    const bool whole = std::all_of(ranked.trays.begin(), ranked.trays.end(), [&](const stats::RankedTray& tray) { return tray.samples.size() == ranked.compared(); });
    return whole ? "the " + std::to_string(ranked.compared()) : std::string("what lay on their trays");
}

/// How often people put one first, of those who had it: always before all others, never even beside another.
struct Firsts {
    std::int64_t people{0}, always{0}, never{0};
    bool several{false};   ///< somebody had it on more than one tray
};

Firsts firsts_of(const Ranked& ranked, int sample) {
    struct Counts {
        std::int64_t had{0}, alone{0}, first{0};
    };
    std::map<std::int32_t, Counts> trays;   // by taster
    for (const stats::RankedTray& tray : ranked.trays) {
        const auto here = std::find(tray.samples.begin(), tray.samples.end(), sample);
        if (here == tray.samples.end() || tray.samples.size() < 2) continue;
        Counts& counts = trays[tray.taster];
        const double mine = tray.ranks[static_cast<std::size_t>(here - tray.samples.begin())];
        const auto as_good = std::count_if(tray.ranks.begin(), tray.ranks.end(), [&](double rank) { return rank <= mine; });   // itself too
        const bool beaten = std::any_of(tray.ranks.begin(), tray.ranks.end(), [&](double rank) { return rank < mine; });
        ++counts.had;
        counts.first += beaten ? 0 : 1;
        counts.alone += as_good == 1 ? 1 : 0;
    }
    Firsts firsts;
    for (const auto& [taster, counts] : trays) {
        ++firsts.people;
        firsts.always += counts.alone == counts.had ? 1 : 0;
        firsts.never += counts.first == 0 ? 1 : 0;
        firsts.several = firsts.several || counts.had > 1;
    }
    return firsts;
}

bool is_gone(const Ranked& ranked, const std::string& name) {
    return std::any_of(ranked.withdrawn.begin(), ranked.withdrawn.end(), [&](int sample) { return ranked.names[at(sample)] == name; });
}

core::Sentence first_sentence(const Question& question, const Ranked& ranked, const Weighed& weighed) {
    const std::map<std::string, core::Argument> args{{"leading", leads::names_of(names_at(ranked, weighed.leading))},
                                                     {"what", what_was_ranked(ranked)},
                                                     {"n", ranked.tasters()},
                                                     {"p", weighed.p.p},
                                                     {"alpha", question.alpha}};
    const auto with = [&](const char* name, double p) {
        std::map<std::string, core::Argument> more = args;
        more.emplace(name, p);
        return more;
    };
    if (weighed.order_holds_back) return {"pairs.held_back", with("given", *weighed.order_p)};
    if (weighed.pieces_hold_back) return {"ranks.pieces_hold_back", with("pieces", *weighed.pieces_p)};
    if (weighed.verdict == leads::k_one) {
        const Firsts firsts = firsts_of(ranked, weighed.leading.front());
        std::map<std::string, core::Argument> counted = args;
        counted.insert({{"had", firsts.people}, {"always", firsts.always}, {"never", firsts.never}});
        return {firsts.several ? "ranks.one-leads.several" : "ranks.one-leads", std::move(counted)};
    }
    if (weighed.verdict != leads::k_none) return {"ranks." + std::string(weighed.verdict), args};
    if (!weighed.differ && weighed.split && weighed.split->is_shown(question.alpha)) {
        std::map<std::string, core::Argument> split = with("own", weighed.split->tastes.p->p);
        split.emplace("on", weighed.split->on);
        const bool gone = is_gone(ranked, weighed.split->on);   // that people are split over what nobody can have any more is no headline
        return {weighed.split->on.empty() || gone ? "ranks.split" : "ranks.split.on", std::move(split)};
    }
    return {!weighed.differ ? "ranks.no-clear-order" : ranked.withdrawn.empty() ? "ranks.differ-unknown" : "ranks.differ-unknown.lasted", args};
}

/// The leading one against the nearest other: how many put it first of the two.
void say_gap(std::vector<core::Sentence>& words, const Ranked& ranked, const Weighed& weighed) {
    const stats::RankPair* closest = nullptr;
    const int leader = weighed.leading.front();
    const auto other_of = [&](const stats::RankPair& pair) { return pair.a == leader ? pair.b : pair.a; };
    for (const stats::RankPair& pair : weighed.pairs)
        if ((pair.a == leader || pair.b == leader) && pair.tasters > 0 && !ranked.ran_out(other_of(pair)) && (closest == nullptr || weighed.found.effects[at(other_of(pair))] < weighed.found.effects[at(other_of(*closest))])) closest = &pair;
    if (closest == nullptr) return;
    const bool is_a = closest->a == leader;
    std::map<std::string, core::Argument> args{{"leader", ranked.names[at(leader)]},
                                               {"other", ranked.names[at(other_of(*closest))]},
                                               {"k", is_a ? closest->a_first : closest->b_first},
                                               {"m", is_a ? closest->b_first : closest->a_first},
                                               {"q", closest->p_adjusted}};
    const auto with = weighed.with_pieces.find({closest->a, closest->b});
    const bool pieces_leave_less = with != weighed.with_pieces.end() && with->second > closest->p_adjusted;
    if (pieces_leave_less) args.emplace("pieces", with->second);
    words.push_back({pieces_leave_less ? "ranks.closest.pieces" : "ranks.closest", std::move(args)});
}

}   // namespace

std::int64_t Ranked::tasters() const {
    std::set<std::int32_t> seen;
    for (const stats::RankedTray& tray : trays) seen.insert(tray.taster);
    return static_cast<std::int64_t>(seen.size());
}

std::size_t Ranked::compared() const {
    std::set<int> seen;
    for (const stats::RankedTray& tray : trays) seen.insert(tray.samples.begin(), tray.samples.end());
    return seen.size();
}

std::vector<pieces::Tray> piece_trays(const Ranked& ranked) {
    std::vector<pieces::Tray> trays;
    if (ranked.pieces.size() != ranked.trays.size()) return trays;
    for (std::size_t i = 0; i < ranked.trays.size(); ++i) trays.push_back({ranked.trays[i].samples, stats::midranks(ranked.trays[i].ranks), ranked.pieces[i]});
    return trays;
}

std::optional<pieces::Between> by_pieces(const Ranked& ranked, std::optional<double> only_at) { return pieces::between(piece_trays(ranked), only_at); }

bool Ranked::ran_out(int sample) const { return std::find(withdrawn.begin(), withdrawn.end(), sample) != withdrawn.end(); }

std::vector<int> leading_of(const Ranked& ranked, const Weighed& weighed, std::span<const stats::RankPair> pairs, double alpha) {
    std::vector<stats::RankPair> left;   // to be behind one that ran out says nothing of who comes first of the rest
    std::copy_if(pairs.begin(), pairs.end(), std::back_inserter(left), [&](const stats::RankPair& pair) { return !ranked.ran_out(pair.a) && !ranked.ran_out(pair.b); });
    std::vector<int> leading = stats::leading_group(weighed.found, left, alpha);
    std::erase_if(leading, [&](int sample) { return ranked.ran_out(sample); });
    return leading;
}

std::vector<int> behind_of(const Ranked& ranked, const Weighed& weighed, double alpha) {
    if (!weighed.differ) return {};
    const std::vector<int> leading = leading_of(ranked, weighed, weighed.claims, alpha);
    std::vector<int> behind;
    for (int sample = 0; sample < ranked.samples(); ++sample)
        if (weighed.found.trays[at(sample)] > 0 && !ranked.ran_out(sample) && std::find(leading.begin(), leading.end(), sample) == leading.end()) behind.push_back(sample);
    return behind;
}

std::string_view verdict_of(const Ranked& ranked, bool differ, std::size_t leading) {
    std::set<int> left;
    for (const stats::RankedTray& tray : ranked.trays) left.insert(tray.samples.begin(), tray.samples.end());
    for (const int gone : ranked.withdrawn) left.erase(gone);
    return leads::verdict_of(differ, leading, left.size());
}

Weighed weigh(const Question& question, const Ranked& ranked) {
    Weighed weighed{.found = stats::rank_statistic(ranked.trays, ranked.samples()), .pairs = {}, .page = {}, .leading = {}, .split = {}, .pieces_p = {}, .verdict = leads::k_none};
    if (weighed.found.df == 0) return weighed;
    weighed.p = question.quick ? quick_p(question, ranked, weighed.found) : stats::rank_p(ranked.trays, ranked.samples(), k_seed);
    weighed.differ = stats::significant(weighed.p.p, question.alpha);
    if (question.quick && !weighed.differ) return weighed;
    weighed.pairs = stats::rank_pairs(ranked.trays, ranked.samples(), k_seed);
    weighed.claims = weighed.pairs;
    const auto raise = [&](const std::map<std::pair<int, int>, double>& least) {
        for (stats::RankPair& pair : weighed.claims)
            if (const auto held = least.find({pair.a, pair.b}); held != least.end()) pair.p_adjusted = std::max(pair.p_adjusted, held->second);
    };
    if (const auto pieces = by_pieces(ranked, question.quick ? std::optional(question.alpha / question.looks) : std::nullopt)) {
        weighed.pieces_p = pieces->p;
        weighed.pieces_hold_back = weighed.differ && !stats::significant(pieces->p, question.alpha);
        weighed.differ = weighed.differ && !weighed.pieces_hold_back;
        for (const auto& [pair, p] : pieces->pairs) weighed.with_pieces.emplace(pair, p.second);
        raise(weighed.with_pieces);
    }
    FirstGate gate;
    if (are_pairs(ranked)) gate = first_gate(ranked, question.alpha, question.quick);
    raise(gate.pairs);
    weighed.order_p = gate.p;
    weighed.order_holds_back = weighed.differ && gate.holds_back(question.alpha);
    weighed.differ = weighed.differ && !weighed.order_holds_back;
    weighed.leading = leading_of(ranked, weighed, weighed.claims, question.alpha);
    weighed.by_people = leading_of(ranked, weighed, weighed.pairs, question.alpha);
    weighed.verdict = verdict_of(ranked, weighed.differ, weighed.leading.size());
    if (question.quick) return weighed;
    if (are_pairs(ranked)) weighed.paired = std::make_shared<const Paired>(paired(ranked, std::move(gate), question.confidence.value_or(1 - question.alpha)));
    weighed.split = split_of(ranked, weighed.found);
    if (!question.expected.empty()) {
        weighed.page = stats::page_test(ranked.trays, question.expected, k_seed);
        std::vector<double> rising(ranked.names.size(), 0.0);
        for (std::size_t place = 0; place < question.expected.size(); ++place) rising[at(question.expected[place])] = static_cast<double>(place) - (static_cast<double>(question.expected.size()) - 1) / 2;
        if (weighed.pieces_p) weighed.page_pieces_p = pieces::contrast_above(piece_trays(ranked), rising);
    }
    return weighed;
}

Findings findings_of(const Method& method, const Question& question, const Ranked& ranked, const Weighed& weighed) {
    Findings findings;
    findings.verdict = weighed.verdict;
    findings.add("method", std::string(method.id));
    for (int sample = 0; sample < ranked.samples(); ++sample)
        findings.add("rank_sums." + plain_name(ranked.names[at(sample)]), weighed.found.sums[at(sample)]);
    add_friedman(findings, weighed);
    if (weighed.page) {
        findings.add("page.statistic", weighed.page->statistic);
        findings.add("page.p_value", weighed.page->p.p);
        findings.add("page.p_value_normal", weighed.page->p_normal);
        if (weighed.page_pieces_p) findings.add("page.pieces_p_value", *weighed.page_pieces_p);
        findings.add("page.found_by", found_by(ranked, weighed.page->p));
    }
    if (weighed.found.df > 0) findings.add("found_by", found_by(ranked, weighed.p));
    if (weighed.pieces_p) findings.add("pieces.p_value", *weighed.pieces_p);
    leads::add_split(findings, weighed.split.value_or(leads::Split{}));
    findings.add("tasters", ranked.tasters());
    findings.add("answers", static_cast<std::int64_t>(ranked.trays.size()));
    findings.lists.push_back(samples_list(ranked, weighed));
    findings.lists.push_back(pairs_list(ranked, weighed));
    findings.lists.push_back(places_list(ranked));
    if (weighed.paired) add_paired(findings, ranked, *weighed.paired);
    else add_worths(findings, ranked, stats::plackett_luce(ranked.trays, ranked.samples(), 1 - question.alpha));
    if (apart(ranked, weighed.found) && ranked.compared() > 1) findings.warnings.emplace_back("not_comparable");
    findings.words = words_of(question, ranked, weighed);
    return findings;
}

std::vector<core::Sentence> words_of(const Question& question, const Ranked& ranked, const Weighed& weighed) {
    std::vector<core::Sentence> words;
    if (weighed.found.df == 0) {
        words.push_back({ranked.trays.empty() ? "ranks.nobody" : "ranks.level", {}});
        return words;
    }
    words.push_back(first_sentence(question, ranked, weighed));
    if (apart(ranked, weighed.found)) words.push_back({"ranks.apart", {}});
    if (weighed.verdict != leads::k_none) say_gap(words, ranked, weighed);
    if (weighed.paired) say_paired(words, ranked, *weighed.paired, question.alpha, weighed.differ);
    if (weighed.split) leads::say_split(words, question.alpha, *weighed.split, weighed.verdict == leads::k_one && !is_gone(ranked, weighed.split->a) && !is_gone(ranked, weighed.split->b) ? ranked.names[at(weighed.leading.front())] : std::string());
    if (words.front().id.starts_with("ranks.split")) std::erase_if(words, [](const core::Sentence& one) { return one.id == "leads.split.shown"; });   // it is the headline
    if (weighed.verdict == leads::k_some) words.push_back({"ranks.choose", {}});
    if (weighed.page) {
        const double p = std::max(weighed.page->p.p, weighed.page_pieces_p.value_or(0));
        const bool order_leaves_none = weighed.order_p && !stats::significant(*weighed.order_p, question.alpha), pieces_unknown = weighed.pieces_p && !weighed.page_pieces_p;
        const bool rises = stats::significant(p, question.alpha) && !order_leaves_none && !pieces_unknown;
        words.push_back({rises ? "ranks.rises" : "ranks.rises_unclear", {{"p", p}, {"order", leads::names_of(names_at(ranked, question.expected))}}});
    }
    return words;
}

}   // namespace oddplate::methods::ranks
