// What a panel of raters will show: one pair of recipes, held against a bound that allows for all pairs.

#include <cmath>

#include "difference.hpp"
#include "oddplate/stats/max_t.hpp"
#include "oddplate/stats/score_flip.hpp"
#include "oddplate/stats/test_laws.hpp"
#include "ratings.hpp"

namespace oddplate::methods::ratings {
namespace {

constexpr std::int64_t k_most_people = 1'000'000;

/// The one-sided level at which each pair is tested when none of all is to alarm with more than alpha: every taster scores every recipe once.
double level_of_pair(double alpha, std::size_t samples, std::int64_t people) {
    std::vector<double> covariance(samples * samples, 0.0);
    for (std::size_t s = 0; s < samples; ++s) covariance[s * samples + s] = 1;
    const double df = static_cast<double>(people - 1) * static_cast<double>(samples - 1);
    return stats::student_upper(stats::MaxT::pairs(covariance, samples, 1).quantile(alpha, df), df);
}

double power_of(double effect, double alpha, std::size_t samples, std::int64_t people) {
    return people < 2 ? 0 : stats::score_power(people, effect, level_of_pair(alpha, samples, people));
}

std::optional<std::int64_t> people_for(double effect, double alpha, std::size_t samples, double power) {
    std::int64_t low = 1, high = 2;
    while (power_of(effect, alpha, samples, high) < power) {
        low = high;
        high *= 2;
        if (high > k_most_people) return std::nullopt;
    }
    while (high - low > 1) {
        const std::int64_t middle = (low + high) / 2;
        (power_of(effect, alpha, samples, middle) < power ? low : high) = middle;
    }
    return high;
}

constexpr Setting k_size[] = {
    {.key = "samples", .kind = Kind::whole, .lo = 2, .hi = 12, .required = true, .help = "how many recipes everybody scores"},
    {.key = "detect_score", .lo = 0, .hi = 100, .open = true, .required = true, .help = "the lead in points that must not be missed"},
    {.key = "spread", .lo = 0, .hi = 100, .open = true, .required = true, .help = "how far one person's lead of a recipe over another spreads from person to person, in points (2 to 3 is usual)"},
    k_alpha,
    {.key = "power", .lo = 0, .hi = 1, .open = true, .help = "how surely it is found (default 0.8)"}};

}   // namespace

constinit const std::span<const Setting> k_size_settings{k_size};

core::Result<Findings> size(const Method& method, const Settings& settings) {
    const std::int64_t samples = *whole(settings, "samples");
    const double detect = *number(settings, "detect_score"), spread = *number(settings, "spread");
    const double alpha = number(settings, "alpha").value_or(0.05), power = number(settings, "power").value_or(0.8);
    const auto people = people_for(detect / spread, alpha, static_cast<std::size_t>(samples), power);
    Findings findings;
    findings.add("method", std::string(method.id));
    findings.add("recipes", samples);
    findings.add("alpha", alpha);
    findings.add("power", power);
    findings.add("detect.score", detect);
    findings.add("detect.spread", spread);
    const std::string why = people ? "" : "more than 1,000,000 people";
    const auto reached = people ? std::optional(power_of(detect / spread, alpha, static_cast<std::size_t>(samples), *people)) : std::nullopt;
    findings.add("tasters", people ? Value{*people} : Value{}, why);
    findings.add_optional("power_actual", reached, why);
    findings.add("found", std::string("noncentral t, held against the bound of the largest of all pairs"));
    if (people) findings.words.push_back({"ratings.size", {{"n", *people}, {"samples", samples}, {"detect", detect}, {"spread", spread}, {"power", *reached}}});
    else findings.words.push_back({"right.outlook.beyond", {}});
    return findings;
}

Outlook outlook(const Method&, const Round& round, const Plan& plan) {
    const auto detect = number(round.settings, "detect_score"), spread = number(round.settings, "spread");
    Outlook ahead;
    if (!detect || !spread) {
        ahead.words.push_back({"ratings.ahead.no_spread", {}});
        return ahead;
    }
    if (plan.pieces < 2) {   // no test of the recipes, whatever the people
        ahead.chance = 0;
        ahead.words.push_back({"ratings.ahead.one_piece", {}});
        return ahead;
    }
    const auto spots = static_cast<std::int64_t>(round.spots.size());
    const bool pooled = round.decide_on == DecideOn::overall;
    const double alpha = round.decide_on == DecideOn::any_spot ? round.alpha / static_cast<double>(spots) : round.alpha;
    const double all_of = round.decide_on == DecideOn::each_spot ? static_cast<double>(spots) : 1;
    const std::int64_t people = pooled ? plan.tasters : std::int64_t{plan.tasters} * round.spots_each() / spots;
    const double effect = *detect / *spread;
    ahead.chance = std::pow(power_of(effect, alpha, plan.versions.size(), people), all_of);
    if (const auto n = people_for(effect, alpha, plan.versions.size(), std::pow(round.power, 1 / all_of)))
        ahead.needed = pooled ? *n : (*n * spots + round.spots_each() - 1) / round.spots_each();
    ahead.words.push_back({"ratings.ahead.notice", {{"detect", *detect}, {"found", *ahead.chance}}});
    ahead.words.push_back({"ratings.ahead.pieces", {{"n", std::int64_t{plan.pieces}}}});
    if (!ahead.needed) {
        ahead.words.push_back({"right.outlook.beyond", {}});
        return ahead;
    }
    const bool enough = *ahead.chance >= round.power;
    ahead.words.push_back({enough ? "signals.ahead.enough" : "signals.ahead.too_few", {{"needed", *ahead.needed}, {"there", std::int64_t{plan.tasters}}, {"power", round.power}}});
    if (!enough) difference::offer_people(ahead.words, *ahead.needed, plan.tasters);
    return ahead;
}

}   // namespace oddplate::methods::ratings
