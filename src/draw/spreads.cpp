// How evenly the draw came out: for each balance the largest difference of two counts that it wants equal.

#include <algorithm>
#include <map>
#include <numeric>
#include <set>

#include "parts.hpp"
#include "small_trays.hpp"

namespace oddplate::draw {
namespace {

int spread_of(const std::vector<int>& counts) {
    if (counts.empty()) {
        return 0;
    }
    const auto [least, most] = std::minmax_element(counts.begin(), counts.end());
    return *most - *least;
}

int widest(const Table& rows) {
    int most = 0;
    for (const std::vector<int>& row : rows) {
        most = std::max(most, spread_of(row));
    }
    return most;
}

constexpr int k_blank_stream = 12;   // no round has more spots

/// One ballot's sets of one round.
struct Sitting {
    std::vector<int> spots, orders;
    std::vector<int> streams;   // the spot, a blank set's raised by the number of spots: orders are dealt by stream
};

std::vector<Sitting> sittings(const Drawn& drawn, int round) {
    std::vector<Sitting> all(drawn.room.ballots.size());
    for (std::size_t ballot = 0; ballot < all.size(); ++ballot) {
        const std::vector<RoomSet>& sets = drawn.room.ballots[ballot].sets;
        for (std::size_t set = 0; set < sets.size(); ++set) {
            if (sets[set].round == round) {
                all[ballot].spots.push_back(sets[set].spot);
                all[ballot].streams.push_back(sets[set].spot + (drawn.key.ballots[ballot].sets[set].is_blank() ? k_blank_stream : 0));
                all[ballot].orders.push_back(drawn.key.ballots[ballot].sets[set].order);
            }
        }
    }
    return all;
}

// An order's sets at a spot (row = spot) or at a place of the sitting (row = place).
int orders_over(const std::vector<Sitting>& sat, std::size_t orders, bool by_place) {
    Table counts;
    for (const Sitting& one : sat) {
        for (std::size_t place = 0; place < one.spots.size(); ++place) {
            const std::size_t row = by_place ? place : at(one.streams[place]);
            if (counts.size() <= row) {
                counts.resize(row + 1, std::vector<int>(orders, 0));
            }
            ++counts[row][at(one.orders[place])];
        }
    }
    return widest(counts);
}

int traits_within(const std::vector<Sitting>& sat, const std::vector<methods::Order>& orders) {
    std::set<int> traits;
    for (const methods::Order& order : orders) {
        traits.insert(order.trait);
    }
    int most = 0;
    for (const Sitting& one : sat) {
        std::vector<int> counts;
        for (const int trait : traits) {
            counts.push_back(static_cast<int>(std::count_if(one.orders.begin(), one.orders.end(),
                                                            [&](int order) { return orders[at(order)].trait == trait; })));
        }
        most = std::max(most, spread_of(counts));
    }
    return most;
}

/// Ballots with the same spots to choose from, counted together.
struct Segment {
    std::map<std::pair<int, int>, std::vector<int>> places;   // pass and spot -> sets by place in the pass
    std::map<std::pair<int, int>, int> after;                 // spot and the spot after it -> times
};

Segment empty_segment(const std::vector<int>& available, std::size_t served, int passes) {
    Segment segment;
    for (const int spot : available) {
        for (int pass = 0; pass < passes; ++pass) {
            segment.places[{pass, spot}].assign(served, 0);
        }
        for (const int other : available) {
            if (other != spot && served > 1) {
                segment.after[{spot, other}] = 0;
            }
        }
    }
    return segment;
}

void count_in(Segment& segment, const Sitting& one, std::size_t served) {
    for (std::size_t set = 0; set < one.spots.size(); ++set) {
        const std::size_t place = set % served;
        ++segment.places[{static_cast<int>(set / served), one.spots[set]}][place];
        if (place > 0) {
            ++segment.after[{one.spots[set - 1], one.spots[set]}];
        }
    }
}

/// Spreads of a spot over places, and of spots after spots.
std::pair<int, int> spots_over_places(const methods::Plan& plan, const methods::Round& round, const std::vector<Sitting>& sat) {
    std::map<std::vector<int>, Segment> segments;
    for (std::size_t ballot = 0; ballot < sat.size(); ++ballot) {
        const std::vector<int> available = available_spots(plan, round, static_cast<int>(ballot));
        const std::size_t served = sat[ballot].spots.size() / at(round.passes());
        const auto here = segments.try_emplace(available, empty_segment(available, served, round.passes())).first;
        count_in(here->second, sat[ballot], served);
    }
    int places = 0, after = 0;
    for (const auto& [available, segment] : segments) {
        for (const auto& [spot, counts] : segment.places) {
            places = std::max(places, spread_of(counts));
        }
        std::vector<int> pairs;
        for (const auto& [pair, times] : segment.after) {
            pairs.push_back(times);
        }
        after = std::max(after, spread_of(pairs));
    }
    return {places, after};
}

/// How far counts lie apart, and how far they must: where their sum is settled whatever is dealt, and can't be dealt evenly, by one.
struct Evenness {
    int spread{0}, least{0};

    void also(const std::vector<int>& counts, bool is_sum_settled) {
        spread = std::max(spread, spread_of(counts));
        if (is_sum_settled && !counts.empty() && std::accumulate(counts.begin(), counts.end(), 0) % std::ssize(counts) != 0) least = 1;
    }
};

bool has_usual_on_all(const methods::Round& round, const std::vector<methods::Order>& orders) {
    return are_small_trays(orders) && methods::flag(round.settings, "usual_in_every_tray");
}

/// Of several recipes at one spot: how often two lay on one tray, how often each stood at each place, how often each followed each.
struct RecipeSpreads {
    Evenness pairs, places, followers;
};

/// Counts of one stream's trays: no recipe twice on one, all of one size.
struct RecipeCounts {
    Table together, after, stood;   // a row a recipe; a row a place

    RecipeCounts(const std::vector<const std::vector<int>*>& rows, std::size_t versions)
        : together(versions, std::vector<int>(versions, 0)), after(together), stood(rows.front()->size(), std::vector<int>(versions, 0)) {
        for (const std::vector<int>* row : rows)
            for (std::size_t place = 0; place < row->size(); ++place) {
                ++stood[place][at((*row)[place])];
                if (place > 0) ++after[at((*row)[place - 1])][at((*row)[place])];
                for (std::size_t other = place + 1; other < row->size(); ++other) {
                    ++together[at((*row)[place])][at((*row)[other])];
                    ++together[at((*row)[other])][at((*row)[place])];
                }
            }
    }
};

/// What is uneven on purpose is not held against the rest: the usual recipe on every tray, and one that always comes last. What the usual one does with the others, and
/// its own places, are counts of their own; `last` has no places.
void add_counts(RecipeSpreads& most, const RecipeCounts& counted, int usual, int last) {
    const auto versions = static_cast<int>(counted.together.size());
    const bool all_alike = usual < 0 && last < 0;
    std::vector<int> alike;
    for (int version = 0; version < versions; ++version)
        if (version != usual && version != last) alike.push_back(version);
    std::vector<int> pairs, beside_usual, followers, around_usual, usuals_places;
    for (int a = 0; a < versions; ++a)
        for (int b = a + 1; b < versions; ++b) (a == usual ? beside_usual : pairs).push_back(counted.together[at(a)][at(b)]);
    for (const int a : alike) {
        for (const int b : alike)
            if (a != b) followers.push_back(counted.after[at(a)][at(b)]);
        if (usual >= 0 && last < 0) around_usual.insert(around_usual.end(), {counted.after[at(usual)][at(a)], counted.after[at(a)][at(usual)]});
    }
    most.pairs.also(pairs, true);
    most.pairs.also(beside_usual, true);
    most.followers.also(followers, all_alike);
    most.followers.also(around_usual, false);
    for (const std::vector<int>& place : counted.stood) {
        std::vector<int> of_alike;
        for (const int version : alike) of_alike.push_back(place[at(version)]);
        most.places.also(of_alike, all_alike);
        if (usual >= 0 && last < 0) usuals_places.push_back(place[at(usual)]);
    }
    most.places.also(usuals_places, true);
}

void count_recipes(RecipeSpreads& most, const methods::Round& round, const std::vector<Sitting>& sat, const std::vector<methods::Order>& orders, std::size_t versions) {
    std::map<int, std::vector<const std::vector<int>*>> trays;   // by stream
    for (const Sitting& one : sat)
        for (std::size_t set = 0; set < one.orders.size(); ++set) trays[one.streams[set]].push_back(&orders[at(one.orders[set])].versions);
    for (const auto& [stream, rows] : trays)
        add_counts(most, RecipeCounts(rows, versions), has_usual_on_all(round, orders) ? 0 : -1, methods::flag(round.settings, "strongest_last") ? round.stronger : -1);
}

/// The rows that planned ballots get at each spot.
std::map<int, Table> planned_trays(const methods::Plan& plan, std::vector<Sitting> sat, const std::vector<methods::Order>& orders) {
    std::map<int, Table> trays;
    sat.resize(std::min(sat.size(), at(plan.tasters)));
    for (const Sitting& one : sat)
        for (std::size_t set = 0; set < one.orders.size(); ++set) trays[one.spots[set]].push_back(orders[at(one.orders[set])].versions);
    return trays;
}

}   // namespace

std::vector<Spread> measure_spreads(const methods::Plan& plan, const OrdersByRound& orders, const Drawn& drawn) {
    int at_spot = 0, at_place = 0, traits = 0, spots = 0, after = 0;
    for (std::size_t round = 0; round < plan.rounds.size(); ++round) {
        const std::vector<Sitting> sat = sittings(drawn, static_cast<int>(round));
        at_spot = std::max(at_spot, orders_over(sat, orders[round].size(), false));
        at_place = std::max(at_place, orders_over(sat, orders[round].size(), true));
        traits = std::max(traits, traits_within(sat, orders[round]));
        const auto [places, followed] = spots_over_places(plan, plan.rounds[round], sat);
        spots = std::max(spots, places);
        after = std::max(after, followed);
    }
    std::vector<Spread> spreads{{"orders", at_spot}, {"spot_positions", spots}, {"orders_by_position", at_place}, {"odd_within_taster", traits}, {"carry_over", after}};
    if (plan.versions.size() < 3) return spreads;
    RecipeSpreads most;
    for (std::size_t round = 0; round < plan.rounds.size(); ++round)
        count_recipes(most, plan.rounds[round], sittings(drawn, static_cast<int>(round)), orders[round], plan.versions.size());
    spreads.insert(spreads.end(), {{"recipes_on_a_tray", most.pairs.spread, most.pairs.least}, {"recipes_by_place", most.places.spread, most.places.least}, {"recipe_after_recipe", most.followers.spread, most.followers.least}});
    return spreads;
}

std::optional<stats::DesignReport> measure_trays(const methods::Plan& plan, const OrdersByRound& orders, const Drawn& drawn) {
    std::optional<stats::DesignReport> worst;
    for (std::size_t round = 0; round < plan.rounds.size(); ++round) {
        // With the usual recipe on every tray it is met more often on purpose: the bound is that of designs that favour none.
        if (!are_small_trays(orders[round]) || has_usual_on_all(plan.rounds[round], orders[round])) continue;
        for (const auto& [spot, rows] : planned_trays(plan, sittings(drawn, static_cast<int>(round)), orders[round])) {
            const stats::DesignReport here = stats::design_report(rows, static_cast<int>(plan.versions.size()));
            if (!worst || here.a_efficiency / here.bound < worst->a_efficiency / worst->bound) worst = here;
        }
    }
    return worst;
}

std::optional<double> measure_beside_usual(const methods::Plan& plan, const OrdersByRound& orders, const Drawn& drawn) {
    std::optional<double> worst;
    for (std::size_t round = 0; round < plan.rounds.size(); ++round) {
        if (!has_usual_on_all(plan.rounds[round], orders[round])) continue;
        for (const auto& [spot, rows] : planned_trays(plan, sittings(drawn, static_cast<int>(round)), orders[round])) {
            const double here = stats::first_efficiency(rows, static_cast<int>(plan.versions.size()));
            worst = std::min(worst.value_or(here), here);
        }
    }
    return worst;
}

std::optional<int> balanced_at(const methods::Plan& plan, const OrdersByRound& orders) {
    std::optional<int> all;
    for (std::size_t index = 0; index < plan.rounds.size(); ++index) {
        const methods::Round& round = plan.rounds[index];
        if (!are_small_trays(orders[index])) continue;
        // A spot of which only some get a tray has its own number of trays.
        if (std::any_of(round.spots.begin(), round.spots.end(), [&](const std::string& spot) { return plan.first_ballots.contains(spot); })) return std::nullopt;
        Table batch;
        for (const methods::Order& order : orders[index])
            if (order.batch == 0) batch.push_back(order.versions);
        const auto versions = static_cast<int>(plan.versions.size());
        const stats::DesignReport report = stats::design_report(batch, versions);
        const double share = has_usual_on_all(round, orders[index]) ? stats::first_efficiency(batch, versions) : report.a_efficiency / report.bound;
        if (share < 1 - 1e-9) return std::nullopt;   // no balanced trays of this size are known
        const int spots = static_cast<int>(round.spots.size()) * static_cast<int>(batch.size()), each = round.passes() * round.spots_each();
        int here = spots / std::gcd(spots, each);
        if (round.sittings > 1) here /= round.sittings;   // a batch holds each split of the recipes with each of its trays first; each split once compares them as well
        all = std::lcm(all.value_or(1), here);
    }
    return all;
}

}   // namespace oddplate::draw
