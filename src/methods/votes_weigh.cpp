// Votes weighed: the exact two-sided test of an even split among those who chose, the interval that goes with it, and what the
// undecided could change. Undecided votes are left out of the test: dealing them out in proportion alarms too often, dealing them
// out evenly hides a lead (Ennis & Ennis 2012, J. Sensory Studies). Test: unit.methods, votes.test.cpp.

#include <algorithm>
#include <cmath>
#include <numbers>
#include <string>
#include <utility>

#include "oddplate/stats/binomial.hpp"
#include "oddplate/stats/interval.hpp"
#include "oddplate/stats/normal.hpp"
#include "oddplate/stats/preference.hpp"
#include "oddplate/stats/sign_flip.hpp"
#include "votes.hpp"

namespace oddplate::methods::votes {
namespace {

constexpr double k_leans = 0.25;       // from an even split: beyond it a handful may be all that chose otherwise, and limits by tasters cover less than they say
constexpr std::uint64_t k_seed = 1;   // of the subsets drawn where a panel is too large to count them all

/// What a test has found: p of an even split, and the share's interval or why there is none.
struct Weighed {
    double p{1};
    std::optional<stats::Interval> interval;
    std::string why;
    std::string kind;
    bool several{false};   ///< votes of one person
};

Weighed one_vote_each(const Pile& pile, double confidence) {
    Weighed weighed{.p = stats::preference_p(pile.for_new, pile.for_current), .interval = {}, .why = "nobody chose", .kind = {}};
    if (pile.chose() > 0) weighed.interval = stats::clopper_pearson(pile.for_new, pile.chose(), confidence);
    weighed.kind = "exact (Clopper-Pearson), from votes";
    return weighed;
}

std::string why_none(stats::NoInterval why) {
    if (why == stats::NoInterval::too_few_tasters) return "too few tasters";
    return "every taster has the same share, so the spread between tasters is not seen";
}

Weighed several_votes_each(std::span<const Pile> tasters, double confidence) {
    std::vector<stats::Votes> votes;
    for (const Pile& taster : tasters) {
        if (taster.chose() > 0) votes.push_back({taster.for_new, taster.for_current});
    }
    const stats::ShareInterval share = stats::sign_flip_interval(votes, confidence, k_seed);
    return {.p = stats::sign_flip_p(votes),
            .interval = share.interval,
            .why = share.interval ? "" : why_none(share.why),
            .kind = share.found == stats::Found::exact ? "by tasters (inverts the flipping of their net votes: exact for an even split, too narrow where nearly all choose one)"
                                                       : "by tasters (inverts the flipping of their net votes, subsets drawn; too narrow where nearly all choose one)",
            .several = true};
}

void add_share(Findings& findings, const Pile& pile, const Weighed& weighed, double confidence) {
    std::optional<double> estimate;
    if (pile.chose() > 0) estimate = static_cast<double>(pile.for_new) / static_cast<double>(pile.chose());
    findings.add_optional("share_new.estimate", estimate, "nobody chose");
    findings.add_optional("share_new.lower", weighed.interval ? std::optional(weighed.interval->lower) : std::nullopt,
                          weighed.why);
    findings.add_optional("share_new.upper", weighed.interval ? std::optional(weighed.interval->upper) : std::nullopt,
                          weighed.why);
    findings.add("share_new.confidence", confidence);
    findings.add("share_new.interval", weighed.kind);
}

/// A line of its own, never a test: what the verdict would be; said in words only where it would be another one.
void add_robustness(Findings& findings, const std::string& name, const Pile& pile, double p, std::string_view now, double alpha) {
    const std::string_view other = verdict(pile, p, alpha);
    findings.add("undecided_" + name + ".p_value", p);
    findings.add("undecided_" + name + ".verdict", std::string(other));
    if (other != now) findings.words.push_back({"votes." + name + "." + std::string(other), {}});
}

std::string_view verdict_of_one_vote_each(const Pile& pile, double alpha) {
    return verdict(pile, stats::preference_p(pile.for_new, pile.for_current), alpha);
}

/// Says it where one person choosing the other portion would have changed the verdict.
void say_close_call(Findings& findings, const Pile& pile, double alpha) {
    const std::string_view now = verdict_of_one_vote_each(pile, alpha);
    if (findings.verdict != now) return;   // the orders decided; one vote says nothing about that
    for (const std::int64_t step : {-1, 1}) {
        const Pile moved{pile.for_new + step, pile.for_current - step, pile.undecided};
        if (moved.for_new < 0 || moved.for_current < 0) continue;
        const std::string_view then = verdict_of_one_vote_each(moved, alpha);
        if (then != now) findings.words.push_back({"votes.one_vote." + std::string(then), {}});
    }
}

void add_not_less(Findings& findings, const Pile& pile, double share, const std::optional<double>& p, double alpha) {
    const bool holds = p && pile.chose() > 0 && stats::significant(*p, alpha);
    findings.add("not_less.share", share);
    findings.add_optional("not_less.p_value", p, "too many tasters for an exact sum over them");
    findings.add("not_less.holds", holds);
    if (!p) return;
    findings.words.push_back({holds ? "votes.not_less.holds" : "votes.not_less.open",
                              {{"share", share}, {"p", *p}, {"k", pile.for_new}, {"n", pile.chose()}}});
}

void add_verdict_words(Findings& findings, const Pile& pile, const Weighed& weighed, const Ask& ask) {
    if (pile.chose() == 0) {
        findings.words.push_back({"votes.nobody", {}});
        return;
    }
    findings.words.push_back(
        {"votes." + findings.verdict + (weighed.several ? ".several" : ""),   // votes then are more than people
         {{"k", pile.for_new}, {"m", pile.for_current}, {"n", pile.chose()}, {"p", weighed.p}, {"alpha", ask.alpha}}});
    const double estimate = static_cast<double>(pile.for_new) / static_cast<double>(pile.chose());
    if (weighed.interval) {
        const bool leans = weighed.several && std::abs(estimate - 0.5) > k_leans;
        findings.words.push_back(
            {leans ? "votes.share.leaning" : "votes.share", {{"share", estimate}, {"lower", weighed.interval->lower}, {"upper", weighed.interval->upper}}});
    }
}

/// The test that holds whatever place on the tray people like to pick, printed first; a preference needs it too, and the same way
/// round.
void hold_against_orders(Findings& findings, const stats::TwoOrders& orders, double alpha) {
    const stats::OrderP p = stats::order_conditional_p(orders);
    findings.add("p_value_order", p.two_sided);
    if (findings.verdict == k_neither) return;
    const double one_sided = findings.verdict == k_new ? p.more_for_new : p.more_for_current;
    if (stats::significant(2 * one_sided, alpha)) return;
    findings.verdict = k_neither;
    findings.words.push_back({"votes.orders_withhold", {{"p", p.two_sided}}});
}

/// Everything but the lines about the undecided and not-less, which need to know how votes and tasters hang together.
Findings told(const Pile& pile, const Weighed& weighed, const Ask& ask) {
    Findings findings;
    findings.add("method", std::string(ask.method));
    findings.add("for_new", pile.for_new);
    findings.add("for_current", pile.for_current);
    const std::int64_t chose = pile.for_new + pile.for_current;
    findings.marks = Marks{.of = chose, .ringed = pile.for_new, .luck = static_cast<double>(chose) / 2, .caption = "votes.marks"};
    findings.add("no_preference", pile.undecided);
    findings.verdict = verdict(pile, weighed.p, ask.alpha);
    if (ask.orders) hold_against_orders(findings, *ask.orders, ask.alpha);
    findings.add("p_value", weighed.p);
    add_share(findings, pile, weighed, ask.confidence);
    add_verdict_words(findings, pile, weighed, ask);
    if (ask.may_abstain) add_three_outcomes(findings, pile);
    if (pile.undecided > 0) findings.words.push_back({"votes.undecided", {{"t", pile.undecided}}});
    return findings;
}

}   // namespace

void add_three_outcomes(Findings& findings, const Pile& pile) {
    const std::string why = "all three answers must have been given, at least both recipes";
    if (pile.for_new == 0 || pile.for_current == 0) {
        findings.add("three_outcomes.d", {}, why);
        findings.add("three_outcomes.tau", {}, why);
        return;
    }
    const auto all = static_cast<double>(pile.all());
    const double a = stats::normal_quantile(static_cast<double>(pile.for_new) / all);
    const double b = stats::normal_quantile(static_cast<double>(pile.for_current) / all);
    findings.add("three_outcomes.d", (a - b) / std::numbers::sqrt2);
    findings.add("three_outcomes.tau", pile.undecided == 0 ? 0.0 : -(a + b) / std::numbers::sqrt2);
}

Pile split(Pile pile) {
    const std::int64_t to_leader = pile.undecided / 2;
    const std::int64_t to_other = pile.undecided - to_leader;
    const bool new_leads = pile.for_new >= pile.for_current;
    return {pile.for_new + (new_leads ? to_leader : to_other), pile.for_current + (new_leads ? to_other : to_leader), 0};
}

Pile against(Pile pile, bool new_leads) {
    (new_leads ? pile.for_current : pile.for_new) += pile.undecided;
    pile.undecided = 0;
    return pile;
}

Pile& Pile::operator+=(const Pile& other) {
    for_new += other.for_new;
    for_current += other.for_current;
    undecided += other.undecided;
    return *this;
}

bool claims_difference(std::string_view verdict) {
    return verdict == k_new || verdict == k_current;
}

std::string_view verdict(const Pile& pile, double p, double alpha) {
    if (!stats::significant(p, alpha) || pile.for_new == pile.for_current) return k_neither;
    return pile.for_new > pile.for_current ? k_new : k_current;
}

Findings weigh(const Pile& pile, const Ask& ask) {
    Findings findings = told(pile, one_vote_each(pile, ask.confidence), ask);
    if (pile.undecided > 0 && pile.chose() > 0) {
        const std::string_view now = verdict_of_one_vote_each(pile, ask.alpha);
        const auto line = [&](const std::string& name, const Pile& moved) {
            add_robustness(findings, name, moved, stats::preference_p(moved.for_new, moved.for_current), now, ask.alpha);
        };
        line("split", split(pile));
        line("against", against(pile, pile.for_new >= pile.for_current));
    }
    say_close_call(findings, pile, ask.alpha);
    if (ask.not_less) {
        add_not_less(findings, pile, *ask.not_less, stats::not_less_p(pile.for_new, pile.chose(), *ask.not_less), ask.alpha);
    }
    return findings;
}

Findings weigh_by_tasters(std::span<const Pile> tasters, const Ask& ask) {
    Pile pooled;
    std::int64_t present = 0;
    for (const Pile& taster : tasters) {
        pooled += taster;
        present += taster.all() > 0;
    }
    const bool several = std::any_of(tasters.begin(), tasters.end(), [](const Pile& taster) { return taster.chose() > 1; });
    Findings findings;
    if (!several) {
        findings = weigh(pooled, ask);
    } else {
        findings = told(pooled, several_votes_each(tasters, ask.confidence), ask);
        if (pooled.undecided >
            0) {   // halves within each taster leave his net vote as it is, so only the other line says anything
            std::vector<stats::Votes> turned;
            const bool new_leads = pooled.for_new >= pooled.for_current;
            for (const Pile& taster : tasters) {
                const Pile moved = against(taster, new_leads);
                if (moved.chose() > 0) turned.push_back({moved.for_new, moved.for_current});
            }
            add_robustness(findings, "against", against(pooled, new_leads), stats::sign_flip_p(turned),
                           verdict(pooled, findings.number("p_value").value_or(1), ask.alpha), ask.alpha);
        }
        if (ask.not_less) add_not_less(findings, pooled, *ask.not_less, not_less_p(tasters, *ask.not_less), ask.alpha);
        findings.words.push_back({"votes.by_tasters", {{"n", pooled.all()}, {"people", present}}});
    }
    findings.add("tasters", present);
    findings.add("answers", pooled.all());
    return findings;
}

}   // namespace oddplate::methods::votes
