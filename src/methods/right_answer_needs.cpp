// What a panel can see before it is asked, and how many people its question needs.

#include <algorithm>
#include <cmath>
#include <numeric>
#include <vector>

#include "oddplate/stats/binomial.hpp"
#include "oddplate/stats/curves.hpp"
#include "oddplate/stats/link.hpp"
#include "oddplate/stats/multinomial.hpp"
#include "oddplate/stats/power.hpp"
#include "oddplate/stats/spots_agree.hpp"
#include "right_answer.hpp"

namespace oddplate::methods::right_answer {
namespace {

constexpr std::int64_t k_most_people = 20'000;
constexpr int k_teeth = 12;   // exact power is saw-toothed: it has to hold for so many panels in a row

/// The most right answers that pass as few enough; by tasters where each gives several. Nothing where only luck could pass.
std::optional<std::int64_t> most_similar(const Panel& panel, const stats::SimilarityTest& test, std::int64_t n) {
    if (panel.each_gives == 1) return stats::most_similar(test, n);
    const stats::SetGroup everyone{std::max<std::int64_t>(1, n / panel.each_gives), panel.each_gives};
    const double pd = stats::discriminators_from_proportion(test.chance, test.p_margin);
    const std::int64_t most = stats::pooled_most_correct({&everyone, 1}, test.chance, pd, test.alpha);
    if (most < 0 || static_cast<double>(most) < static_cast<double>(n) * test.chance * (1 - 1e-12)) return std::nullopt;
    return most;
}

/// The chance that spots which are alike are not found to differ, which would withhold what is said of all of them together.
double chance_of_agreeing(const Panel& panel, const stats::SimilarityTest& test, std::int64_t n, double proportion, std::int64_t below,
                          std::int64_t most) {
    if (panel.incomparable) return 0;
    if (panel.pooled_spots == 1) return 1;
    if (panel.pooled_spots == 0) return 1 - test.alpha;   // people at different spots: the test's size is alpha at most
    std::vector<double> totals;
    for (std::int64_t k = 0; k <= panel.each_gives; ++k) totals.push_back(stats::binomial_pmf(k, panel.each_gives, proportion));
    const int sets = static_cast<int>(panel.each_gives) / panel.pooled_spots;
    return stats::chance_spots_agree({std::max<std::int64_t>(1, n / panel.each_gives), panel.pooled_spots, sets}, totals, below + 1, most,
                                     test.alpha);
}

double chance_of_few(const Panel& panel, const stats::SimilarityTest& test, std::int64_t n, double proportion) {
    const auto most = n > 0 ? most_similar(panel, test, n) : std::nullopt;
    if (!most) return 0;
    std::int64_t below = stats::most_correct(n, test.chance, test.alpha).value_or(-1);
    if (test.sided == stats::Sided::two) below = std::max(below, n - *most - 1);
    if (below >= *most) return 0;
    return (stats::binomial_lower(*most, n, proportion) - stats::binomial_lower(below, n, proportion)) *
           chance_of_agreeing(panel, test, n, proportion, below, *most);
}

/// So many ways can be held against each other for a habit; see Family::ways.
bool has_known_ways(int ways) {
    return ways == 2 || ways == 3;
}

}   // namespace

std::int64_t Panel::smallest() const {
    return *std::min_element(counts.begin(), counts.end());
}

Panel panel_of(const Round& round, const Plan& plan, std::int64_t tasters, int sets) {
    const auto spots = static_cast<std::int64_t>(round.spots.size());
    Panel panel;
    std::int64_t shares = 0;   // of all spots together, in parts of a person: rounding each spot would lose people
    for (const std::string& spot : round.spots) {
        std::int64_t share = tasters * round.spots_each();
        if (const auto scarce = plan.first_ballots.find(spot); scarce != plan.first_ballots.end())
            share = std::min(share, scarce->second * spots);
        panel.counts.push_back(share / spots * sets);
        shares += share;
    }
    panel.each_gives = sets;
    if (round.decide_on == DecideOn::overall) {
        panel.counts = {shares / spots * sets};
        panel.each_gives = static_cast<std::int64_t>(sets) * round.spots_each();
        const bool at_all = shares == tasters * spots * spots;   // everybody at every spot
        panel.incomparable = spots > 1 && round.spots_each() == 1 && sets > 1;
        panel.pooled_spots = spots == 1 ? 1 : at_all ? static_cast<int>(spots) : 0;
    }
    if (round.decide_on == DecideOn::any_spot) panel.looks = static_cast<double>(spots);
    panel.each = round.decide_on == DecideOn::each_spot;
    return panel;
}

double chance_to_notice(const Panel& panel, double chance, double proportion, double alpha) {
    double all = 1, least = 1;
    for (const std::int64_t n : panel.counts) {
        const double power = n > 0 ? stats::power_difference(n, chance, proportion, alpha / panel.looks) : 0;
        all *= power;
        least = std::min(least, power);
    }
    return panel.each ? all : least;
}

double chance_to_call_few(const Panel& panel, const stats::SimilarityTest& test, int ways, double proportion) {
    double all = 1;
    for (const std::int64_t n : panel.counts) all *= chance_of_few(panel, test, n, proportion);
    if (!has_known_ways(ways) || all == 0) return all;
    return all * (1 - stats::even_picks_alarm(std::accumulate(panel.counts.begin(), panel.counts.end(), std::int64_t{0}), ways, k_alarm));
}

std::optional<double> chance_of_aim(const Method& method, const Family& family, const Question& question, const Panel& panel) {
    const double chance = method.link->chance;
    if (!question.similarity) {
        if (!question.detect) return std::nullopt;
        return chance_to_notice(panel, chance, question.detect->proportion, question.alpha);
    }
    if (!question.margin) return std::nullopt;
    return chance_to_call_few(panel, {chance, question.margin->proportion, question.alpha, family.similar}, family.ways, chance);
}

std::optional<std::int64_t> people_needed(const Method& method, const Family& family, const Question& question,
                                          const Round& round, const Plan& plan, int sets) {
    if (!chance_of_aim(method, family, question, panel_of(round, plan, 2, sets))) return std::nullopt;
    // However large the panel, nobody telling reads as "below chance" alpha of the time at each count, spots in one count are found to
    // differ alpha of the time, and a place to be picked too often as often as an alarm comes.
    const Panel any = panel_of(round, plan, 2, sets);
    if (question.similarity && any.incomparable) return std::nullopt;
    const double guards = static_cast<double>(any.counts.size()) + (any.pooled_spots == 1 ? 0 : 1);
    const double places_even = has_known_ways(family.ways) ? 1 - k_alarm : 1;
    if (question.similarity && round.power > std::pow(1 - question.alpha, guards) * places_even) return std::nullopt;
    const auto holds = [&](std::int64_t people) {
        return *chance_of_aim(method, family, question, panel_of(round, plan, people, sets)) >= round.power;
    };
    const auto holds_on = [&](std::int64_t people) {
        for (int tooth = 0; tooth < k_teeth; ++tooth)
            if (!holds(people + tooth)) return false;
        return true;
    };
    std::int64_t below = 1, enough = 2;   // doubled first: a look at a large panel costs more than one at a small one
    while (enough <= k_most_people && !holds_on(enough)) {
        below = enough;
        enough *= 2;
    }
    if (enough > k_most_people) return std::nullopt;
    while (enough - below > 1) {
        const std::int64_t middle = below + (enough - below) / 2;
        (holds_on(middle) ? enough : below) = middle;
    }
    while (enough > 2 && holds(enough - 1)) --enough;
    return enough;
}

std::optional<double> visible_share(double chance, std::int64_t n, double alpha, double power) {
    if (n < 1 || !stats::least_correct(n, chance, alpha)) return std::nullopt;
    double lower = 0, upper = 1;              // at 1 everybody tells and every answer is right, which passes
    for (int step = 0; step < 40; ++step) {   // far below a person in a thousand
        const double middle = (lower + upper) / 2;
        const double p = stats::proportion_from_discriminators(chance, middle);
        (stats::power_difference(n, chance, p, alpha) >= power ? upper : lower) = middle;
    }
    return upper;
}

std::optional<std::int64_t> people_for_directed(double d_prime, double alpha, double power) {
    const double p = stats::proportion_correct(stats::two_afc_link(), d_prime);
    if (!(p > 0.5)) return std::nullopt;
    const auto size = stats::size_difference(0.5, p, alpha, power);
    return size ? std::optional(size->tasters) : std::nullopt;
}

}   // namespace oddplate::methods::right_answer
