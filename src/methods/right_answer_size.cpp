// How many people a question needs: asked once, of one count, or of several spots under a rule.

#include <string>

#include "oddplate/core/json.hpp"
#include "oddplate/stats/link.hpp"
#include "oddplate/stats/spots_size.hpp"
#include "right_answer.hpp"

namespace oddplate::methods::right_answer {
namespace {

struct Asked {
    bool similarity{false};
    double alpha{0.05};
    double power{0.8};
    Difference detect;
    bool by_share{false};   ///< the difference was given as a share of people, which is another gap in each method
    Difference truth;   ///< similarity: what is assumed for the power
    stats::SpotsPlan spots;
    bool over_spots{false};   ///< spots, rule, sets or gamma were given: the answer counts people and answers
};

stats::DecideOn rule_of(const Settings& settings, bool similarity, int spots) {
    const auto rule = words(settings, "decide_on");
    if (!rule) return similarity && spots > 1 ? stats::DecideOn::any_spot : stats::DecideOn::overall;
    if (*rule == "any-spot") return stats::DecideOn::any_spot;
    return *rule == "each-spot" ? stats::DecideOn::each_spot : stats::DecideOn::overall;
}

std::string_view to_text(stats::DecideOn rule) {
    switch (rule) {
        case stats::DecideOn::overall:
            return "overall";
        case stats::DecideOn::any_spot:
            return "any-spot";
        case stats::DecideOn::each_spot:
            return "each-spot";
    }
    return {};
}

core::Result<Asked> read(const Method& method, const Settings& settings) {
    if (core::Faults faults = both_given(settings); !faults.empty()) return faults;
    const auto detect = difference_of(method, settings, "detect_d", "detect_pd");
    if (!detect)
        return core::fault(core::ErrorKind::usage, "missing",
                           "say which difference matters: --detect-pd P, the share of people who can tell (0.4 is 4 in ten), or "
                           "--detect-d D, the gap that `oddplate advise` names; or how many people there are: --tasters N");
    Asked asked;
    asked.similarity = words(settings, "aim") == "similarity";
    asked.alpha = number(settings, "alpha").value_or(0.05);
    asked.power = number(settings, "power").value_or(0.8);
    asked.detect = *detect;
    asked.by_share = settings.contains("detect_pd");
    if (!(asked.detect.proportion > method.link->chance))
        return core::found("--detect-d", "a difference too small to compute with", "a larger one");
    if (settings.contains("true_d") && !asked.similarity)
        return core::fault(core::ErrorKind::usage, "usage",
                           "--true-d goes with --aim similarity: the power to find a difference is reckoned at --detect-d");
    const double true_d = number(settings, "true_d").value_or(0);
    asked.truth = {true_d, stats::discriminators_from_d(*method.link, true_d), stats::proportion_correct(*method.link, true_d)};
    if (asked.similarity && !(asked.truth.proportion < asked.detect.proportion))
        return core::found("--true-d", core::shortest(true_d),
                           "a true difference below the one that still counts as the same dish" +
                               (asked.detect.d_prime ? " (d' " + core::shortest(*asked.detect.d_prime) + ")" : std::string{}));
    asked.spots.spots = static_cast<int>(whole(settings, "spots").value_or(1));
    asked.spots.sets_per_taster = static_cast<int>(whole(settings, "sets_per_taster").value_or(1));
    asked.spots.gamma = number(settings, "gamma").value_or(0);
    asked.spots.decide_on = rule_of(settings, asked.similarity, asked.spots.spots);
    for (const char* key : {"spots", "sets_per_taster", "gamma", "decide_on"})
        asked.over_spots = asked.over_spots || settings.contains(key);
    return asked;
}

stats::PeopleSize people(const stats::PanelSize& size) {
    return {size.tasters, size.tasters_safe, size.tasters, size.critical, size.alpha_actual, size.power_actual};
}

stats::SimilarityTest similarity_test(const Method& method, const Family& family, const Asked& asked) {
    return {method.link->chance, asked.detect.proportion, asked.alpha, family.similar};
}

std::optional<stats::PeopleSize> find_size(const Method& method, const Family& family, const Asked& asked) {
    const double chance = method.link->chance;
    const bool plain = asked.spots.spots == 1 && asked.spots.sets_per_taster == 1;   // one answer each: gamma changes nothing
    if (!asked.similarity) {
        if (!plain) return stats::size_over_spots(asked.spots, chance, asked.detect.discriminators, asked.alpha, asked.power);
        const auto size = stats::size_difference(chance, asked.detect.proportion, asked.alpha, asked.power);
        return size ? std::optional(people(*size)) : std::nullopt;
    }
    const stats::SimilarityTest test = similarity_test(method, family, asked);
    if (plain) {
        const auto size = stats::size_similarity(test, asked.truth.proportion, asked.power);
        return size ? std::optional(people(*size)) : std::nullopt;
    }
    if (asked.spots.spots > 1) {   // no standard speaks of several spots: what is asked for is the verdict
        if (auto size = stats::size_similarity_verdict_over_spots(asked.spots, test, asked.truth.discriminators, asked.power)) return size;
    }
    return stats::size_similarity_over_spots(asked.spots, test, asked.truth.discriminators, asked.power);
}

void say_size(Findings& findings, const Asked& asked, const stats::PeopleSize& size, const stats::SimilarityPower& power) {
    std::map<std::string, core::Argument> args{{"n", size.tasters},          {"safe", size.tasters_safe},
                                               {"answers", size.answers},    {"power", power.verdict},
                                               {"false", size.alpha_actual}, {"line", asked.detect.discriminators},
                                               {"k", size.critical}};
    const bool some_tell = asked.similarity && asked.truth.discriminators > 0;
    if (some_tell) args.emplace("true", asked.truth.discriminators);
    const bool by_spot =
        asked.spots.spots > 1 && asked.spots.decide_on != stats::DecideOn::overall;   // k and false are one spot's
    const bool pooled_spots = asked.spots.spots > 1 && !by_spot;
    const bool short_of = asked.similarity && power.verdict < asked.power;
    const bool beyond = short_of && asked.spots.spots > 1;   // the size is the usual count's, and no other would do
    if (beyond) args.emplace("asked", asked.power);
    findings.words.push_back({std::string("right.size.") +
                                  (beyond             ? pooled_spots ? "beyond_over_spots" : "beyond"
                                   : some_tell        ? "similarity_some_tell"
                                   : asked.similarity ? "similarity"
                                                      : "difference") +
                                  (by_spot ? "_by_spot" : ""),
                              args});
    if (short_of)
        findings.words.push_back({pooled_spots ? "right.size.guarded_over_spots" : "right.size.guarded", {{"power", power.tails}}});
    if (size.tasters_safe > size.tasters && !beyond) findings.words.push_back({"right.size.safe", args});
    if (asked.spots.spots > 1)
        findings.words.push_back({std::string("right.size.truth.") + (asked.similarity ? "similarity." : "difference.") +
                                      std::string(to_text(asked.spots.decide_on)),
                                  {{"spots", std::int64_t{asked.spots.spots}}}});
    if (asked.by_share && asked.detect.d_prime)
        findings.words.push_back({asked.similarity ? "right.size.in_plan_same" : "right.size.in_plan", {{"d", *asked.detect.d_prime}}});
}

}   // namespace

core::Result<Findings> size(const Method& method, const Family& family, const Settings& settings) {
    if (settings.contains("tasters")) return reach(method, family, settings);
    const auto asked = read(method, settings);
    if (!asked) return asked.faults();
    const auto size = find_size(method, family, *asked);
    if (!size)
        return core::fault(
            core::ErrorKind::bad_value, "panel-too-large",
            "no panel that can be counted is large enough: ask for a larger difference, a smaller power or a larger alpha");
    Findings findings;
    findings.add("method", Value{std::string(method.id)});
    findings.add("aim", Value{std::string(asked->similarity ? "similarity" : "difference")});
    findings.add("alpha", Value{asked->alpha});
    findings.add("power", Value{asked->power});
    findings.add_optional("detect.d_prime", asked->detect.d_prime, "no finite difference gives it");
    findings.add("detect.discriminators", Value{asked->detect.discriminators});
    findings.add("detect.proportion_correct", Value{asked->detect.proportion});
    findings.add("tasters", Value{size->tasters});
    findings.add("tasters_safe", Value{size->tasters_safe});
    if (asked->over_spots) {
        findings.add("answers", Value{size->answers});
        findings.add("spots", Value{std::int64_t{asked->spots.spots}});
        findings.add("decide_on", Value{std::string(to_text(asked->spots.decide_on))});
        findings.add("sets_per_taster", Value{std::int64_t{asked->spots.sets_per_taster}});
        findings.add("gamma", Value{asked->spots.gamma});
    }
    findings.add(asked->similarity ? "most_correct" : "least_correct", Value{size->critical});
    findings.add("alpha_actual", Value{size->alpha_actual});
    stats::SimilarityPower power{size->power_actual, size->power_actual};
    if (asked->similarity)
        power = stats::similarity_power_over_spots(asked->spots, similarity_test(method, family, *asked), asked->truth.discriminators,
                                                   size->tasters);
    findings.add("power_actual", Value{power.tails});
    if (asked->similarity) {
        findings.add("true_d", Value{*asked->truth.d_prime});
        findings.add("power_verdict", Value{power.verdict});
    }
    say_size(findings, *asked, *size, power);
    return findings;
}

}   // namespace oddplate::methods::right_answer
