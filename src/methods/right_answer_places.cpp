// Tallies by place and the tests given the orders served.

#include "right_answer_places.hpp"

#include <algorithm>
#include <cstdlib>

#include "oddplate/stats/multinomial.hpp"
#include "oddplate/stats/order_conditional.hpp"

namespace oddplate::methods::right_answer {

bool Places::is_uneven() const {
    const auto [least, most] = std::minmax_element(orders.begin(), orders.end());
    return least != orders.end() && *most - *least > 1;
}

void Places::add(const Observation& seen, int right_way) {
    ++orders[static_cast<std::size_t>(seen.order)];
    const int way = seen.scored.way >= 0 ? seen.scored.way : seen.scored.picked;
    if (right_way < 0 || right_way > 2 || way < 0 || way > 2) {
        known = false;
        return;
    }
    ++right_at[static_cast<std::size_t>(right_way)];
    ++picked[static_cast<std::size_t>(way)];
    if (way == 0) ++(right_way == 0 ? first_right_first_picked : other_right_first_picked);
    if (way == right_way) ++correct;
}

std::optional<double> habit_p(const Places& places, int ways) {
    if (!places.known || (ways != 2 && ways != 3)) return std::nullopt;
    const auto known = static_cast<std::size_t>(ways);
    double all = 0;
    for (std::size_t j = 0; j < known; ++j) all += static_cast<double>(places.right_at[j]);
    if (all == 0) return std::nullopt;
    const double right = static_cast<double>(places.correct) / all;
    std::vector<double> cells(known);
    for (std::size_t j = 0; j < known; ++j) {
        const double lay = static_cast<double>(places.right_at[j]) / all;
        cells[j] = right * lay + (1 - right) * (1 - lay) / (ways - 1);
    }
    return stats::most_picked_test({places.picked.data(), known}, cells).p;
}

std::optional<double> order_p(const Places& places, int ways) {
    if (!places.known) return std::nullopt;
    if (ways == 2)
        return stats::order_conditional_p(
                   {places.right_at[0], places.first_right_first_picked, places.right_at[1], places.other_right_first_picked})
            .more_for_new;
    if (ways == 3) return stats::order_conditional_triangle_p(places.right_at, places.picked, places.correct, k_seed).p;
    return std::nullopt;
}

std::vector<Places> places_of(const Method& method, const Family& family, std::span<const Observation> observations,
                              const Round& round, const Plan& plan) {
    const std::vector<Order> orders = method.orders(round, static_cast<int>(plan.versions.size()));
    std::vector<int> right_ways;
    for (const Order& order : orders) right_ways.push_back(family.right_way ? family.right_way(order, round, plan) : -1);
    std::vector<Places> places(round.spots.size() + 1);
    for (Places& one : places) one.orders.assign(orders.size(), 0);
    for (const Observation& seen : observations) {
        if (seen.order < 0 || static_cast<std::size_t>(seen.order) >= orders.size()) std::abort();
        const int right_way = right_ways[static_cast<std::size_t>(seen.order)];
        places[static_cast<std::size_t>(seen.spot)].add(seen, right_way);
        places.back().add(seen, right_way);
    }
    return places;
}

}   // namespace oddplate::methods::right_answer
