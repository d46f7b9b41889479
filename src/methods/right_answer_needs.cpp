// How many people a round needs, and what a panel of a given size can see.

#include <algorithm>
#include <cmath>

#include "oddplate/stats/binomial.hpp"
#include "oddplate/stats/curves.hpp"
#include "oddplate/stats/link.hpp"
#include "oddplate/stats/power.hpp"
#include "oddplate/stats/spots_size.hpp"
#include "right_answer.hpp"

namespace oddplate::methods::right_answer {
namespace {

stats::DecideOn rule_of(DecideOn rule) {
    switch (rule) {
        case DecideOn::overall: return stats::DecideOn::overall;
        case DecideOn::any_spot: return stats::DecideOn::any_spot;
        case DecideOn::each_spot: return stats::DecideOn::each_spot;
    }
    return stats::DecideOn::overall;
}

}   // namespace

std::optional<double> visible_share(double chance, std::int64_t n, double alpha, double power) {
    if (n < 1 || !stats::least_correct(n, chance, alpha)) return std::nullopt;
    double lower = 0, upper = 1;   // at 1 everybody tells and every answer is right, which passes
    for (int step = 0; step < 40; ++step) {   // far below a person in a thousand
        const double middle = (lower + upper) / 2;
        const double p = stats::proportion_from_discriminators(chance, middle);
        (stats::power_difference(n, chance, p, alpha) >= power ? upper : lower) = middle;
    }
    return upper;
}

std::optional<std::int64_t> people_needed(const Method& method, const Family& family, const Question& question, const Round& round,
                                          int sets) {
    const double chance = method.link->chance;
    const auto& wanted = question.similarity ? question.margin : question.detect;
    if (!wanted || !(wanted->proportion > chance)) return std::nullopt;
    const int spots = static_cast<int>(round.spots.size());
    const bool pooled = round.decide_on == DecideOn::overall;
    stats::SpotsPlan plan;
    plan.spots = pooled ? round.spots_each() : spots;
    plan.decide_on = rule_of(round.decide_on);
    plan.sets_per_taster = sets;
    std::optional<std::int64_t> people;
    if (question.similarity) {
        const stats::SimilarityTest test{chance, wanted->proportion, question.alpha, family.similar};
        if (plan.spots == 1 && sets == 1) {
            if (const auto size = stats::size_similarity(test, chance, round.power)) people = size->tasters;
        } else if (const auto size = stats::size_similarity_over_spots(plan, test, 0, round.power)) {
            people = size->tasters;
        }
    } else if (plan.spots == 1 && sets == 1) {
        if (const auto size = stats::size_difference(chance, wanted->proportion, question.alpha, round.power)) people = size->tasters;
    } else if (const auto size = stats::size_over_spots(plan, chance, wanted->discriminators, question.alpha, round.power)) {
        people = size->tasters;
    }
    if (!people || pooled) return people;
    return (*people * spots + round.spots_each() - 1) / round.spots_each();   // each of them gets only some of the spots
}

std::optional<std::int64_t> people_for_directed(double d_prime, double alpha, double power) {
    const double p = stats::proportion_correct(stats::two_afc_link(), d_prime);
    if (!(p > 0.5)) return std::nullopt;
    const auto size = stats::size_difference(0.5, p, alpha, power);
    return size ? std::optional(size->tasters) : std::nullopt;
}

}   // namespace oddplate::methods::right_answer
