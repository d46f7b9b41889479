// Fisher's randomisation test with the draw itself as the randomisation. Tests: tests/unit/judge/draw_law.test.cpp

#include "draw_law.hpp"

#include <algorithm>
#include <cmath>
#include <cstdlib>

#include "oddplate/draw/deal.hpp"
#include "oddplate/stats/block_orders.hpp"

namespace oddplate::judge {
namespace {

constexpr std::size_t k_most_answers = 4000, k_most_redealt = 1000;
constexpr int k_most_orders = 8;
constexpr int k_enough_hits = 50;

/// Fresh draws within a fifth of a second or so: a tray takes about 3 microseconds of each.
int draws_for(std::size_t trays) {
    return std::clamp(static_cast<int>(60'000 / trays), 199, 999);
}

std::size_t at(int index) {
    return static_cast<std::size_t>(index);
}

/// One round's trays as the draw deals them, and what each counted answer would come to under each order.
struct Trays {
    draw::Table served;                              // stream (spot; a blank set's raised by the spots), by ballot and place
    int streams{0}, planned{0};                      // ballots from planned on are spare
    std::vector<std::vector<std::vector<int>>> by_order;   // by ballot and place; empty where no answer counts
    std::vector<methods::Order> orders;
    bool one_each{true};
};

Trays trays_of(const Case& subject, const Joined& joined, int round, const std::vector<const JoinedSet*>& counted) {
    const methods::Method& method = *joined.methods[at(round)];
    const methods::Round& asked = subject.plan.rounds[at(round)];
    Trays trays;
    const int spots = static_cast<int>(asked.spots.size());
    trays.streams = asked.blank_sets > 0 ? 2 * spots : spots;
    trays.planned = subject.plan.tasters;
    trays.orders = method.orders(asked, static_cast<int>(subject.plan.versions.size()));
    std::vector<std::vector<std::size_t>> places;   // of each set within its round
    for (std::size_t index = 0; index < subject.room.ballots.size(); ++index) {
        const draw::RoomBallot& ballot = subject.room.ballots[index];
        auto& served = trays.served.emplace_back();
        auto& place_of_set = places.emplace_back();
        for (std::size_t set = 0; set < ballot.sets.size(); ++set) {
            place_of_set.push_back(served.size());
            const bool is_blank = subject.key.ballots[index].sets[set].is_blank();
            if (ballot.sets[set].round == round) served.push_back(ballot.sets[set].spot + (is_blank ? spots : 0));
        }
        trays.by_order.emplace_back(served.size());
        trays.one_each = trays.one_each && served.size() < 2;
    }
    for (const JoinedSet* set : counted) {
        const methods::Answer answer = answer_on_tray(subject, *set);
        const auto& codes = subject.room.ballots[at(set->tray)].sets[at(set->set)].codes;
        auto& values = trays.by_order[at(set->tray)][places[at(set->tray)][at(set->set)]];
        for (const methods::Order& order : trays.orders) {
            const auto scored = method.score({codes, order.versions, order.reference}, answer, asked, subject.plan);
            values.push_back(scored ? static_cast<int>(std::lround(scored->value)) : 0);
        }
    }
    return trays;
}

using Totals = std::vector<std::int64_t>;   // by spot, then all

Totals totals_of(const Trays& trays, const draw::Table& orders, std::size_t spots) {
    Totals totals(spots + 1, 0);
    for (std::size_t ballot = 0; ballot < trays.served.size(); ++ballot)
        for (std::size_t place = 0; place < trays.served[ballot].size(); ++place) {
            const auto& values = trays.by_order[ballot][place];
            if (values.empty()) continue;
            const int value = values[at(orders[ballot][place])];
            totals[at(trays.served[ballot][place])] += value;
            totals.back() += value;
        }
    return totals;
}

draw::Table drawn_orders(const Case& subject, const Joined& joined, int round) {
    draw::Table orders;
    for (std::size_t ballot = 0; ballot < subject.room.ballots.size(); ++ballot) {
        auto& row = orders.emplace_back();
        for (std::size_t set = 0; set < subject.room.ballots[ballot].sets.size(); ++set)
            if (subject.room.ballots[ballot].sets[set].round == round) row.push_back(joined.key->ballots[ballot].sets[set].order);
    }
    return orders;
}

/// Every spot's stream of trays cut into blocks.
std::vector<std::vector<stats::Block>> blocks_of(const Trays& trays) {
    const std::size_t orders = trays.orders.size();
    std::vector<std::vector<stats::Block>> blocks(at(trays.streams));
    std::vector<std::size_t> next(blocks.size(), 0);
    for (std::size_t ballot = 0; ballot < trays.served.size(); ++ballot)
        for (std::size_t place = 0; place < trays.served[ballot].size(); ++place) {
            const std::size_t spot = at(trays.served[ballot][place]), position = next[spot]++ % orders;
            if (position == 0) blocks[spot].emplace_back(orders * orders, 0);
            const auto& values = trays.by_order[ballot][place];
            std::copy(values.begin(), values.end(), blocks[spot].back().begin() + static_cast<std::ptrdiff_t>(position * orders));
        }
    return blocks;
}

std::vector<DrawP> exactly(const Trays& trays, const Totals& observed, bool two_sided) {
    auto blocks = blocks_of(trays);
    blocks.resize(observed.size() - 1);   // blank sets count nowhere here
    auto& all = blocks.emplace_back();
    for (std::size_t spot = 0; spot + 1 < blocks.size(); ++spot) all.insert(all.end(), blocks[spot].begin(), blocks[spot].end());
    std::vector<DrawP> found;
    const int orders = static_cast<int>(trays.orders.size());
    for (std::size_t i = 0; i < observed.size(); ++i)
        found.push_back({two_sided ? stats::block_orders_two_sided(blocks[i], orders, observed[i])
                                   : stats::block_orders_upper(blocks[i], orders, observed[i]),
                         {},
                         0,
                         0,
                         0,
                         "exact"});
    return found;
}

/// p with its standard error: of a share of so many draws, or of 50 hits over as many draws as they took.
DrawP drawn_p(double p, bool has_stopped, int made, double smallest) {
    const double error = has_stopped ? p * std::sqrt((1 - p) / k_enough_hits) : std::sqrt(p * (1 - p) / made);
    return {p, {}, smallest, made, error, std::to_string(made) + " fresh draws"};
}

std::vector<DrawP> by_fresh_draws(const Trays& trays, const Totals& observed, bool two_sided, int round) {
    std::vector<int> hits(observed.size(), 0);
    std::vector<std::optional<double>> p(observed.size());
    std::vector<int> made(observed.size(), 0);
    std::vector<std::int64_t> farthest(observed.size(), -1);   // the most extreme total seen, and how many draws gave it
    std::vector<int> times(observed.size(), 0);
    int dealt = 0;
    std::size_t sets = 0;
    for (const auto& served : trays.served) sets += served.size();
    const int draws = draws_for(sets);
    for (int i = 0; i < draws; ++i) {
        const core::Bytes32 seed = core::sha256("orders that the draw could have given " + std::to_string(i));
        const Totals totals = totals_of(trays, draw::draw_orders(trays.served, trays.streams, trays.planned, trays.orders, seed, round), observed.size() - 1);
        bool open = false;
        ++dealt;
        for (std::size_t j = 0; j < observed.size(); ++j) {
            if (!p[j]) ++made[j];
            const std::int64_t total = two_sided ? std::abs(totals[j]) : totals[j];
            if (total > farthest[j]) farthest[j] = total, times[j] = 0;
            times[j] += total == farthest[j];
            const bool hit = two_sided ? std::abs(totals[j]) >= std::abs(observed[j]) : totals[j] >= observed[j];
            if (!p[j] && hit && ++hits[j] == k_enough_hits) p[j] = static_cast<double>(k_enough_hits) / (i + 1);
            open = open || !p[j];
        }
        if (!open) break;
    }
    std::vector<DrawP> found;
    for (std::size_t j = 0; j < observed.size(); ++j)
        found.push_back(drawn_p(p[j].value_or((1.0 + hits[j]) / (1.0 + draws)), p[j].has_value(), made[j], static_cast<double>(times[j]) / dealt));
    return found;
}

bool answered(const Trays& trays, std::size_t target, std::size_t spots) {
    for (std::size_t ballot = 0; ballot < trays.served.size(); ++ballot)
        for (std::size_t place = 0; place < trays.served[ballot].size(); ++place)
            if (!trays.by_order[ballot][place].empty() && (target == spots || at(trays.served[ballot][place]) == target)) return true;
    return false;
}

}   // namespace

std::vector<DrawP> p_over_draws(const Case& subject, const Joined& joined, int round, const std::vector<const JoinedSet*>& counted) {
    const methods::Method& method = *joined.methods[at(round)];
    if (method.scale == methods::Scale::values || method.scale == methods::Scale::each) return {};
    const std::size_t spots = subject.plan.rounds[at(round)].spots.size();
    if (counted.empty()) return std::vector<DrawP>(spots + 1, {std::nullopt, "no answers"});
    if (counted.size() > k_most_answers) return std::vector<DrawP>(spots + 1, {std::nullopt, "more than 4,000 answers"});
    const Trays trays = trays_of(subject, joined, round, counted);
    const Totals observed = totals_of(trays, drawn_orders(subject, joined, round), spots);
    const bool two_sided = method.scale == methods::Scale::votes;
    const bool is_blocks = trays.one_each && trays.orders.size() <= k_most_orders;
    if (!is_blocks && counted.size() > k_most_redealt)
        return std::vector<DrawP>(spots + 1, {std::nullopt, "more than 1,000 answers: dealing all these trays again and again takes too long"});
    auto found = is_blocks ? exactly(trays, observed, two_sided)
                                                                          : by_fresh_draws(trays, observed, two_sided, round);
    for (std::size_t target = 0; target < found.size(); ++target)
        if (!answered(trays, target, spots)) found[target] = {std::nullopt, "no answers"};
    return found;
}

}   // namespace oddplate::judge
