// Tasters for scores: the noncentral t's answer, which is an approximation, and said to be one.

#include <cmath>

#include "difference.hpp"
#include "oddplate/stats/score_flip.hpp"
#include "scores.hpp"

namespace oddplate::methods::scores {

/// The least lead that so many people find, and their power at leads of whole quarters of the spread.
static core::Result<Findings> reach(const Method& method, const Settings& settings) {
    const Question question = question_of(settings, number(settings, "alpha").value_or(0.05));
    if (!question.spread || question.detect)
        return core::fault(core::ErrorKind::usage, "usage", "--tasters goes with --spread S alone, how far people's scores spread in points (2 to 3 is usual)");
    const std::int64_t people = *whole(settings, "tasters");
    const double power = number(settings, "power").value_or(0.8), spread = *question.spread;
    const auto chance = [&](double lead) { return people < 2 ? 0.0 : stats::score_power(people, lead / spread, question.alpha); };
    std::optional<double> least;
    if (double low = 0, high = 20 * spread; chance(high) >= power) {
        for (int step = 0; step < 50; ++step) {
            const double middle = low + (high - low) / 2;
            (chance(middle) >= power ? high : low) = middle;
        }
        least = high;
    }
    Findings findings;
    findings.add("method", std::string(method.id));
    findings.add("aim", std::string("difference"));
    findings.add("alpha", question.alpha);
    findings.add("power", power);
    findings.add("tasters", people);
    findings.add("spread", spread);
    findings.add_optional("visible.score", least, "no lead is found so surely by so few");
    findings.add("found", std::string("noncentral t, an approximation to the sign flips"));
    if (least) findings.words.push_back({"scores.reach", {{"n", people}, {"lead", *least}, {"spread", spread}, {"power", power}}});
    else findings.words.push_back({"right.reach.nothing", {{"n", people}, {"power", power}}});
    List list{.key = "power_curve", .rows = {}};
    for (int i = 0; i <= 8; ++i) list.rows.push_back({{"score", spread * i / 4}, {"power", chance(spread * i / 4)}});
    findings.lists.push_back(std::move(list));
    return findings;
}

core::Result<Findings> size(const Method& method, const Settings& settings) {
    if (settings.contains("tasters")) return reach(method, settings);
    if (!settings.contains("detect_score") || !settings.contains("spread"))
        return core::fault(core::ErrorKind::usage, "missing",
                           "say which lead matters and how far people's scores spread, both in points: --detect-score D --spread S "
                           "(2 to 3 is a usual spread)");
    const Question question = question_of(settings, number(settings, "alpha").value_or(0.05));
    const double power = number(settings, "power").value_or(0.8), effect = *question.detect / *question.spread;
    const auto tasters = stats::size_scores(effect, question.alpha, power);
    Findings findings;
    findings.add("method", std::string(method.id));
    findings.add("aim", std::string("difference"));
    findings.add("alpha", question.alpha);
    findings.add("power", power);
    findings.add("detect.score", *question.detect);
    findings.add("detect.spread", *question.spread);
    const std::string why = tasters ? "" : "more than 1,000,000 tasters";
    findings.add("tasters", tasters ? Value{*tasters} : Value{}, why);
    findings.add("tasters_safe", tasters ? Value{*tasters} : Value{}, why);
    findings.add("power_actual", tasters ? Value{stats::score_power(*tasters, effect, question.alpha)} : Value{}, why);
    findings.add("found", std::string("noncentral t, an approximation to the sign flips"));
    if (tasters)
        findings.words.push_back({"scores.size",
                                  {{"n", *tasters},
                                   {"detect", *question.detect},
                                   {"spread", *question.spread},
                                   {"power", stats::score_power(*tasters, effect, question.alpha)}}});
    else
        findings.words.push_back({"right.outlook.beyond", {}});
    return findings;
}

Outlook outlook(const Method&, const Round& round, const Plan& plan) {
    const Question question = question_of(round.settings, round.alpha);
    Outlook ahead;
    if (!question.detect || !question.spread) {
        ahead.words.push_back({"scores.ahead.no_spread", {}});
        return ahead;
    }
    const auto spots = static_cast<std::int64_t>(round.spots.size());
    const bool pooled = round.decide_on == DecideOn::overall;
    const double alpha = round.decide_on == DecideOn::any_spot ? round.alpha / static_cast<double>(spots) : round.alpha;
    const double all_of = round.decide_on == DecideOn::each_spot ? static_cast<double>(spots) : 1;
    const std::int64_t people = pooled ? plan.tasters : std::int64_t{plan.tasters} * round.spots_each() / spots;
    const double effect = *question.detect / *question.spread;
    if (people >= 2) ahead.chance = std::pow(stats::score_power(people, effect, alpha), all_of);
    if (const auto n = stats::size_scores(effect, alpha, std::pow(round.power, 1 / all_of)))
        ahead.needed = pooled ? *n : (*n * spots + round.spots_each() - 1) / round.spots_each();
    ahead.words.push_back({"scores.ahead.notice", {{"detect", *question.detect}, {"found", ahead.chance.value_or(0)}}});
    if (ahead.needed) {
        ahead.words.push_back({ahead.chance.value_or(0) >= round.power ? "signals.ahead.enough" : "signals.ahead.too_few",
                               {{"needed", *ahead.needed}, {"there", std::int64_t{plan.tasters}}, {"power", round.power}}});
        if (ahead.chance.value_or(0) < round.power) difference::offer_people(ahead.words, *ahead.needed, plan.tasters);
    } else {
        ahead.words.push_back({"right.outlook.beyond", {}});
    }
    return ahead;
}

}   // namespace oddplate::methods::scores
