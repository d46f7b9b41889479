#include "difference.hpp"

#include <algorithm>
#include <cstdlib>

#include "oddplate/stats/binomial.hpp"

namespace oddplate::methods::difference {

std::vector<Setting> with(std::span<const Setting> settings, std::span<const Setting> more) {
    std::vector<Setting> all(settings.begin(), settings.end());
    all.insert(all.end(), more.begin(), more.end());
    return all;
}

void need_two_versions(const Method& method, const Plan& plan, const std::string& place, core::Faults& faults) {
    if (plan.versions.size() == 2) return;
    faults.push_back(core::found(place + "/method", std::to_string(plan.versions.size()) + " versions",
                                 "two: " + std::string(method.id) + " holds one recipe against one other",
                                 plan.versions.size() > 2 ? "for pairs out of several recipes ask \"method\": \"ranking\" with \"tray_size\": 2" : ""));
}

void settle_aim(Round& round) {
    round.settings.try_emplace("aim", std::string("difference"));
    const bool similarity = words(round.settings, "aim") == "similarity";
    if (similarity && round.spots.size() > 1 && !round.decide_on_given) round.decide_on = DecideOn::any_spot;
}

void offer_people(std::vector<core::Sentence>& words, std::int64_t needed, std::int64_t there) {
    words.push_back({"right.out.people", {{"more", needed - there}, {"needed", needed}}});
    words.push_back({"right.out.line", {}});
}

std::string phrase_of(Withheld why) {
    switch (why) {
        case Withheld::habit:
            return "right.withheld_habit";
        case Withheld::orders:
            return "right.withheld_orders";
        case Withheld::spot_unanswered:
            return "right.withheld_unanswered";
        case Withheld::nobody_at_two:
            return "right.withheld_incomparable";
        case Withheld::spots_differ:
            return "right.withheld";
        case Withheld::no:
            break;
    }
    std::abort();
}

core::Sentence gap_between(double heterogeneity, double alpha, bool mixed) {
    constexpr double k_no_gap = 0.5;   // luck makes as much every other time
    return {stats::significant(heterogeneity, alpha) ? "right.between.shown"
            : heterogeneity >= k_no_gap              ? "right.between.none"
            : mixed                                  ? "right.between.tempting"
                                                     : "right.between.quiet",
            {{"h", heterogeneity}}};
}

std::string step_after(Withheld why) {
    if (why == Withheld::habit) return "right.next.by_place";
    if (why == Withheld::orders) return "right.next.even_orders";
    if (why == Withheld::spot_unanswered) return "right.next.every_spot";
    return "right.next.by_spot";
}

Decided decide(DecideOn rule, double alpha, std::span<const AtSpot> spots, const AtSpot& pooled) {
    const auto everywhere = [&](bool AtSpot::*holds) {
        return std::all_of(spots.begin(), spots.end(), [&](const AtSpot& spot) { return spot.*holds; });
    };
    switch (rule) {
        case DecideOn::overall:
            return {pooled.different, pooled.similar};
        case DecideOn::any_spot:
            return {std::any_of(spots.begin(), spots.end(),
                                [&](const AtSpot& spot) { return spot.answered && stats::significant(spot.p_adjusted, alpha); }),
                    everywhere(&AtSpot::similar)};
        case DecideOn::each_spot:
            return {everywhere(&AtSpot::different), everywhere(&AtSpot::similar)};
    }
    std::abort();
}

}   // namespace oddplate::methods::difference
