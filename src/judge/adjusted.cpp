// Direct standardisation (epidemiology's: strata weighed alike whatever their sizes): what the share would be had every order, or what lay on the tongue
// before, come equally often; and the line of drift read at the first tray. Test: unit.judge, carry_over.test.cpp

#include <algorithm>
#include <numeric>

#include "carry_over.hpp"
#include "oddplate/stats/drift.hpp"

namespace oddplate::judge {
namespace {

/// Right answers (votes for the new recipe) of those that chose, in one stratum.
struct Stratum {
    double hits{0}, all{0};
};

bool is_decided(const JoinedSet& set, methods::Scale scale) {
    return scale == methods::Scale::right || set.seen.scored.value != 0;
}

/// The mean of the strata's shares; nothing where one is empty.
std::optional<double> mean_share(const std::vector<Stratum>& strata) {
    double sum = 0;
    for (const Stratum& one : strata) {
        if (one.all == 0) return std::nullopt;
        sum += one.hits / one.all;
    }
    return sum / static_cast<double>(strata.size());
}

Adjusted of_share(std::string id, const std::optional<double>& share, const methods::Method& method, std::string why) {
    Adjusted adjusted{.id = std::move(id), .share = share, .d_prime = {}, .why = share ? std::string() : std::move(why)};
    if (share && method.link != nullptr) adjusted.d_prime = stats::d_from_proportion(*method.link, *share);
    return adjusted;
}

Adjusted by_order(const CheckedRound& checked, const methods::Method& method) {
    const methods::Plan& plan = checked.subject.plan;
    const auto orders = method.orders(plan.rounds[static_cast<std::size_t>(checked.round)], static_cast<int>(plan.versions.size())).size();
    std::vector<Stratum> strata(orders);
    for (const JoinedSet* set : checked.counted) {
        if (!is_decided(*set, method.scale)) continue;
        Stratum& one = strata[static_cast<std::size_t>(set->seen.order)];
        one.hits += set->seen.scored.value > 0;
        ++one.all;
    }
    return of_share("orders", mean_share(strata), method, "an order of serving has no answers");
}

Adjusted by_before(const CheckedRound& checked, const methods::Method& method) {
    const std::vector<int> before = before_each(checked);
    std::vector<Stratum> strata(checked.subject.plan.versions.size());
    for (std::size_t i = 0; i < before.size(); ++i) {
        const JoinedSet& set = *checked.counted[i];
        if (before[i] < 0 || !is_decided(set, method.scale)) continue;
        Stratum& one = strata[static_cast<std::size_t>(before[i])];
        one.hits += set.seen.scored.value > 0;
        ++one.all;
    }
    return of_share("before", mean_share(strata), method, "no trays after each of the recipes");
}

Adjusted at_first_tray(const CheckedRound& checked, const methods::Method& method) {
    std::vector<stats::PlacedAnswer> answers;
    Stratum plain;
    double places = 0;
    for (const JoinedSet* set : checked.counted) {
        if (!is_decided(*set, method.scale)) continue;
        const bool hit = set->seen.scored.value > 0;
        answers.push_back({set->seen.taster, set->seen.spot, set->seen.place, hit});
        plain.hits += hit;
        ++plain.all;
        places += set->seen.place;
    }
    std::optional<double> share;
    if (!answers.empty()) {
        const stats::DriftTest test = stats::drift(answers, 0);
        const bool has_line = test.why == stats::NoDrift::has_one || test.why == stats::NoDrift::nothing_varies;
        if (has_line) share = std::clamp(plain.hits / plain.all - test.slope * places / plain.all, 0.0, 1.0);
    }
    return of_share("sitting", share, method, "nobody gave two answers, or each spot was always served at the same place");
}

}   // namespace

std::vector<Adjusted> adjusted_of(const CheckedRound& checked) {
    const methods::Method& plain = *checked.joined.methods[static_cast<std::size_t>(checked.round)];
    const bool any = std::any_of(checked.counted.begin(), checked.counted.end(), [&](const JoinedSet* set) { return is_decided(*set, plain.scale); });
    if (plain.scale == methods::Scale::values || plain.scale == methods::Scale::each || !any) return {};
    const methods::Method method = methods::with_curve(plain, checked.subject.plan.rounds[static_cast<std::size_t>(checked.round)].settings);
    return {by_order(checked, method), by_before(checked, method), at_first_tray(checked, method)};
}

}   // namespace oddplate::judge
