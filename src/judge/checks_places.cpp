// Two checks of the serving: were the orders still served equally often, and was one place on the tray picked too often?

#include <algorithm>
#include <numeric>

#include "checks.hpp"
#include "oddplate/stats/multinomial.hpp"
#include "places.hpp"

namespace oddplate::judge {
namespace {

/// Picks by place, and what luck gives each place. A taster without a habit picks by what a portion is, not by where it lies:
/// among the places that score v, all alike. How often each v is picked is taken from the answers, how often it lies at each
/// place from the orders that were served.
struct Picks {
    std::vector<std::int64_t> picks;
    std::vector<double> cells;
    std::int64_t all{0};
};

int portions_at(const CheckedRound& checked) {
    const auto round = static_cast<std::size_t>(checked.round);
    return methods::portions_of(*checked.joined.methods[round], checked.subject.plan.rounds[round], static_cast<int>(checked.subject.plan.versions.size()));
}

Picks picks_of(const CheckedRound& checked) {
    const auto round = static_cast<std::size_t>(checked.round);
    const methods::Method& method = *checked.joined.methods[round];
    PlaceScores scores(method, checked.subject.plan.rounds[round], checked.subject.plan);
    Picks found;
    found.picks.assign(static_cast<std::size_t>(portions_at(checked)), 0);
    found.cells.assign(found.picks.size(), 0.0);
    std::map<double, std::int64_t> times;         // how often each score was picked
    std::map<double, std::vector<double>> lies;   // how often it lay at each place, shared among its places
    for (const JoinedSet* set : checked.counted) {
        const std::vector<double>& by_place = scores.of(checked.joined.key_of(*set));
        const auto picked = static_cast<std::size_t>(set->seen.scored.picked);
        if (set->seen.scored.picked < 0 || picked >= by_place.size() || by_place.size() != found.picks.size()) continue;
        ++found.picks[picked];
        ++found.all;
        ++times[set->seen.scored.value];
        for (const double score : by_place) lies.try_emplace(score, found.picks.size(), 0.0);
        for (auto& [score, places] : lies) {
            const auto alike = static_cast<double>(std::count(by_place.begin(), by_place.end(), score));
            for (std::size_t place = 0; place < by_place.size(); ++place)
                if (by_place[place] == score) places[place] += 1 / alike;
        }
    }
    for (const auto& [score, places] : lies) {
        const double sets = std::accumulate(places.begin(), places.end(), 0.0);
        const double share = static_cast<double>(times[score]) / static_cast<double>(found.all);
        for (std::size_t place = 0; place < places.size(); ++place) found.cells[place] += share * places[place] / sets;
    }
    return found;
}

}   // namespace

std::vector<PlacePick> picks_by_place(const CheckedRound& checked) {
    const Picks found = picks_of(checked);
    std::vector<PlacePick> picks;
    for (std::size_t place = 0; found.all > 0 && place < found.picks.size(); ++place) picks.push_back({found.picks[place], found.cells[place] * static_cast<double>(found.all)});
    return picks;
}

methods::Check check_orders(const CheckedRound& checked) {
    const auto round = static_cast<std::size_t>(checked.round);
    const methods::Round& asked = checked.subject.plan.rounds[round];
    const auto orders =
        checked.joined.methods[round]->orders(asked, static_cast<int>(checked.subject.plan.versions.size())).size();
    std::vector<std::vector<std::int64_t>> times(asked.spots.size(), std::vector<std::int64_t>(orders, 0));
    for (const JoinedSet* set : checked.counted)
        ++times.at(static_cast<std::size_t>(set->seen.spot)).at(static_cast<std::size_t>(set->seen.order));
    std::int64_t spread = 0;
    for (const auto& spot : times) {
        const auto [least, most] = std::minmax_element(spot.begin(), spot.end());
        if (least != spot.end()) spread = std::max(spread, *most - *least);
    }
    const bool uneven = spread > 1;
    return {.id = "orders_balanced",
            .p_value = {},
            .alarm = uneven,
            .words = {!uneven ? "judge.orders.even" : checked.joined.methods[round]->scale == methods::Scale::each ? "judge.orders.uneven.several" : "judge.orders.uneven", {{"n", spread}}}};
}

methods::Check check_picks(const CheckedRound& checked) {
    const int portions = portions_at(checked);
    methods::Check check{
        .id = portions == 2 ? "first_and_second" : "position_picks", .p_value = {}, .alarm = false, .words = {}};
    const Picks found = picks_of(checked);
    if (found.all == 0) {
        check.words = {"judge.picks.none", {}};
        return check;
    }
    const stats::MostPicked most = stats::most_picked_test(found.picks, found.cells);
    check.p_value = most.p;
    check.alarm = most.p <= k_alarm;
    const std::string id = portions == 2 ? "judge.pair_picks." : "judge.picks.";
    check.words = {id + (check.alarm ? "off" : most.p > k_even ? "even" : "fine"),
                   {{"place", static_cast<std::int64_t>(most.position + 1)},
                    {"k", found.picks[most.position]},
                    {"n", found.all},
                    {"p", most.p}}};
    return check;
}

}   // namespace oddplate::judge
