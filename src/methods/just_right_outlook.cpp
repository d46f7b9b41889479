// What a panel will find of 'just right': the exact test of those who changed, over how many of them there may be.

#include <algorithm>
#include <cmath>

#include "just_right.hpp"
#include "oddplate/core/json.hpp"
#include "oddplate/stats/binomial.hpp"
#include "oddplate/stats/power.hpp"
#include "oddplate/stats/preference.hpp"
#include "pieces.hpp"
#include "tried_out.hpp"

namespace oddplate::methods::just_right {
namespace {

constexpr double k_better = 0.7, k_worse = 0.4;
constexpr std::int64_t k_most_people = 100'000, k_panels = 400;

/// One recipe just right for `better` of people, another for `worse`, alike in nothing else: better (1 - worse) of them find only the one just right, worse
/// (1 - better) only the other. McNemar's (1947) exact test of those, averaged over their binomial number; at `level`.
double power_of(std::int64_t people, double better, double worse, double level) {
    const double gain = better * (1 - worse), loss = worse * (1 - better), changed = gain + loss;
    const double mean = static_cast<double>(people) * changed, reach = 7 * std::sqrt(mean * (1 - changed)) + 1;   // beyond lies less than 1e-11
    double power = 0;
    const auto from = static_cast<std::int64_t>(std::max(1.0, mean - reach)), to = std::min(people, static_cast<std::int64_t>(mean + reach) + 1);
    for (std::int64_t m = from; m <= to; ++m) {
        const double chance = stats::binomial_upper(m, people, changed) - stats::binomial_upper(m + 1, people, changed);
        power += chance * stats::power_preference(m, gain / changed, level);
    }
    return power;
}

std::optional<std::int64_t> people_for(double better, double worse, double level, double power) {
    std::int64_t low = 1, high = 8;
    while (power_of(high, better, worse, level) < power) {
        if (high > k_most_people) return std::nullopt;
        low = high;
        high *= 2;
    }
    while (high - low > 1) {
        const std::int64_t middle = low + (high - low) / 2;
        (power_of(middle, better, worse, level) < power ? low : high) = middle;
    }
    return high;
}

/// The same with the pieces of each recipe, alike in truth, taken as a sample of many, as the verdict does; `samples` on a tray.
tried_out::Panel panel_of(double better, double worse, double level, int pieces, std::size_t samples) {
    return [=](std::int64_t people, core::PhiloxStream& stream) {
        std::vector<pieces::Tray> trays;
        std::int64_t gained = 0, lost = 0;
        for (std::int64_t taster = 0; taster < people; ++taster) {
            pieces::Tray tray;
            for (std::size_t sample = 0; sample < samples; ++sample) {
                tray.samples.push_back(static_cast<int>(sample));
                tray.values.push_back(stream.uniform() < (sample == 0 ? better : worse) ? 1 : 0);
                tray.pieces.push_back(static_cast<std::int32_t>(sample) * pieces::k_most + static_cast<std::int32_t>(stream.below(static_cast<std::uint32_t>(pieces))));
            }
            gained += tray.values[0] > tray.values[1] ? 1 : 0;
            lost += tray.values[0] < tray.values[1] ? 1 : 0;
            trays.push_back(std::move(tray));
        }
        if (stats::preference_p(gained, lost) > level || gained < lost) return false;
        const auto found = pieces::between(trays, 0.0);
        return !found || found->pairs.empty() || found->pairs.at({0, 1}).first <= level;
    };
}

double level_of(double alpha, double samples) { return alpha / (samples * (samples - 1) / 2); }

constexpr Setting k_size[] = {
    {.key = "samples", .kind = Kind::whole, .lo = 2, .hi = 12, .help = "how many recipes (default 2)"},
    {.key = "better", .lo = 0, .hi = 1, .open = true, .help = "the share of people for whom one recipe is just right (default 0.7)"},
    {.key = "worse", .lo = 0, .hi = 1, .open = true, .help = "and another (default 0.4)"},
    k_alpha,
    {.key = "power", .lo = 0, .hi = 1, .open = true, .help = "how surely it is found (default 0.8)"}};

}   // namespace

constinit const std::span<const Setting> k_size_settings{k_size};

core::Result<Findings> size(const Method& method, const Settings& settings) {
    const std::int64_t samples = whole(settings, "samples").value_or(2);
    const double better = number(settings, "better").value_or(k_better), worse = number(settings, "worse").value_or(k_worse);
    const double alpha = number(settings, "alpha").value_or(0.05), power = number(settings, "power").value_or(0.8);
    if (worse >= better) return core::found("--worse", core::shortest(worse), "a share below --better " + core::shortest(better), {}, "bad-value", core::ErrorKind::usage);
    const double level = level_of(alpha, static_cast<double>(samples));
    const auto people = people_for(better, worse, level, power);
    Findings findings;
    findings.add("method", std::string(method.id));
    findings.add("recipes", samples);
    findings.add("alpha", alpha);
    findings.add("power", power);
    findings.add("detect.better", better);
    findings.add("detect.worse", worse);
    const std::string why = people ? "" : "more than 100,000 people";
    const auto reached = people ? std::optional(power_of(*people, better, worse, level)) : std::nullopt;
    findings.add("tasters", people ? Value{*people} : Value{}, why);
    findings.add_optional("power_actual", reached, why);
    findings.add("found", std::string("exact, people's two answers taken as unrelated"));
    if (people) findings.words.push_back({"just_right.size", {{"n", *people}, {"better", better}, {"worse", worse}, {"power", *reached}, {"pairs", samples * (samples - 1) / 2}}});
    else findings.words.push_back({"right.outlook.beyond", {}});
    return findings;
}

Outlook outlook(const Method&, const Round& round, const Plan& plan) {
    const tried_out::AtRule rule = tried_out::at_rule(round);
    const double level = level_of(rule.alpha, static_cast<double>(plan.versions.size()));
    const std::int64_t people = rule.here(plan.tasters);
    const auto of_plan = [&](std::optional<std::int64_t> here) { return here ? std::optional(rule.of_plan(*here)) : std::nullopt; };
    const auto enough = static_cast<std::int64_t>(std::ceil(static_cast<double>(k_least_people) / k_least_share));
    Outlook ahead{.needed = of_plan(people_for(k_better, k_worse, level, rule.power)), .chance = rule.chance(power_of(people, k_better, k_worse, level)), .words = {}};
    if (plan.pieces > 1) {
        const auto panel = panel_of(k_better, k_worse, level, plan.pieces, plan.versions.size());
        ahead.chance = rule.chance(tried_out::try_out(panel, people, k_panels).estimate);
        const auto found = tried_out::people_for(panel, rule.power, k_panels, 8, std::max<std::int64_t>(3 * people, rule.here(ahead.needed.value_or(8)) * 3));
        ahead.needed = found ? of_plan(found->people) : std::nullopt;
    }
    ahead.words.push_back({"just_right.ahead.change", {{"better", k_better}, {"worse", k_worse}, {"found", *ahead.chance}}});
    if (plan.pieces > 1) ahead.words.push_back({"ranks.ahead.pieces", {{"n", std::int64_t{plan.pieces}}}});
    if (!ahead.needed && plan.pieces > 1) ahead.words.push_back({"ranks.ahead.more_pieces", {{"power", round.power}, {"n", std::int64_t{3 * plan.tasters}}}});
    if (ahead.needed && *ahead.needed > plan.tasters) ahead.words.push_back({"just_right.ahead.needed", {{"n", *ahead.needed}, {"power", round.power}}});
    ahead.words.push_back({plan.tasters >= enough ? "just_right.ahead.enough" : "just_right.ahead.few",
                           {{"least", k_least_people}, {"share", k_least_share}, {"needed", enough}, {"n", std::int64_t{plan.tasters}}}});
    return ahead;
}

}   // namespace oddplate::methods::just_right
