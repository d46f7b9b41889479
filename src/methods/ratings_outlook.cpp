// What a panel of raters will show: one pair of recipes, held against a bound that allows for all pairs.

#include <algorithm>
#include <cmath>

#include "difference.hpp"
#include "oddplate/stats/binomial.hpp"
#include "oddplate/stats/max_t.hpp"
#include "oddplate/stats/score_flip.hpp"
#include "oddplate/stats/test_laws.hpp"
#include "ratings.hpp"
#include "tried_out.hpp"

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

namespace {

constexpr std::int64_t k_most_panels = 200, k_fewest_panels = 60, k_scores_played = 20'000;   // so many scores in all panels of a size are fitted in a second or two
constexpr std::int64_t k_most_played = 2000;                                                 // people

/// Panels whose scores the verdict's own model judges. A person's lead of one recipe over another spreads by `spread`, half of its variance the person's own, the same on all trays, half the
/// serving's; recipe 0 is `detect` points ahead of each other one, and pieces, dealt at random, are alike in truth. Found where the first pair is shown.
tried_out::Panel panel_of(std::vector<Order> orders, std::size_t versions, int trays, double alpha, double detect, double spread, int pieces) {
    std::vector<std::string> names(versions);
    return [=, orders = std::move(orders)](std::int64_t people, core::PhiloxStream& stream) {
        Scoring scoring{.samples = names, .tasters = std::vector<std::string>(static_cast<std::size_t>(people)), .ratings = {}, .control = {}};
        const double half = spread / 2;
        std::vector<double> own(versions);
        for (std::int32_t taster = 0; taster < people; ++taster) {
            const double level = half * stream.normal();
            for (double& liking : own) liking = level + half * stream.normal();
            for (int tray = 0; tray < trays; ++tray) {
                const Order& order = orders[static_cast<std::size_t>(taster * trays + tray) % orders.size()];
                for (std::size_t place = 0; place < order.versions.size(); ++place) {
                    const int version = order.versions[place];
                    scoring.ratings.push_back({.taster = taster, .sample = version, .score = own[static_cast<std::size_t>(version)] + half * stream.normal() + (version == 0 ? detect : 0), .sitting = tray,
                                               .piece = version * pieces + static_cast<std::int32_t>(stream.below(static_cast<std::uint32_t>(pieces))), .position = static_cast<std::int32_t>(place), .before = -1});
                }
            }
        }
        scoring.has_positions = true;
        const Weighed weighed = weigh({.alpha = alpha, .confidence = 1 - alpha}, scoring, false);
        return weighed.model && weighed.model->test && !weighed.model->pairs.empty() && weighed.model->pairs.front().test.estimate > 0 && stats::significant(weighed.model->pairs.front().p_adjusted, alpha);
    };
}

}   // namespace

Outlook outlook(const Method& method, const Round& round, const Plan& plan) {
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
    const tried_out::AtRule rule = tried_out::at_rule(round);
    const std::vector<Order> orders = method.orders(round, static_cast<int>(plan.versions.size()));
    const auto panel = panel_of(orders, plan.versions.size(), rule.trays, rule.alpha, *detect, *spread, plan.pieces);
    const std::int64_t people = std::min<std::int64_t>(rule.here(plan.tasters), k_most_played);
    const std::int64_t scores = people * rule.trays * static_cast<std::int64_t>(orders.front().versions.size()), panels = std::clamp(k_scores_played / scores, k_fewest_panels, k_most_panels);
    const double found = tried_out::try_out(panel, people, panels).estimate;
    ahead.chance = rule.chance(found);
    ahead.words.push_back({"ratings.ahead.notice", {{"detect", *detect}, {"found", *ahead.chance}}});
    ahead.words.push_back({"ranks.ahead.pieces", {{"n", std::int64_t{plan.pieces}}}});
    if (found >= rule.power) {
        ahead.needed = plan.tasters;   // or fewer; how few is not asked
        return ahead;
    }
    if (tried_out::try_out(panel, 3 * people, panels).estimate < rule.power) {
        ahead.words.push_back({"ranks.ahead.more_pieces", {{"power", round.power}, {"n", std::int64_t{3 * plan.tasters}}}});
        return ahead;
    }
    if (const auto enough = tried_out::people_for(panel, rule.power, panels, people, k_most_played)) {
        ahead.needed = rule.of_plan(enough->people);
        ahead.words.push_back({"signals.ahead.too_few", {{"needed", *ahead.needed}, {"there", std::int64_t{plan.tasters}}, {"power", round.power}}});
        difference::offer_people(ahead.words, *ahead.needed, plan.tasters);
    }
    return ahead;
}

}   // namespace oddplate::methods::ratings
