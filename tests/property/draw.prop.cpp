// Laws of the draw for plans of any shape. The seed of the generator is fixed, so a run repeats; RC_PARAMS in the environment
// sets another.

#include <rapidcheck.h>

#include <cstdlib>
#include <map>
#include <set>

#include "draw/made_up.hpp"

using namespace oddplate;
using draw::Drawn;

namespace {

struct Wanted {
    methods::Plan plan;
    draw::OrdersByRound orders;
    core::Bytes32 seed{};
};

std::vector<methods::Order> any_orders(int portions) {
    const int how_many = *rc::gen::inRange(1, 13);
    std::vector<methods::Order> orders;
    for (int i = 0; i < how_many; ++i) {
        methods::Order order;
        for (int place = 0; place < portions; ++place) {
            order.versions.push_back(*rc::gen::inRange(0, 2));
        }
        order.trait = *rc::gen::inRange(0, 3);
        order.reference = *rc::gen::inRange(-1, 2);
        orders.push_back(order);
    }
    return orders;
}

Wanted any_plan() {
    Wanted wanted;
    wanted.plan = made_up::plan(*rc::gen::inRange(1, 120), {}, *rc::gen::inRange(0, 6));
    wanted.plan.pieces = *rc::gen::inRange(1, 4);
    wanted.plan.spot_order = *rc::gen::element(methods::SpotOrder::balanced, methods::SpotOrder::together);
    const int rounds = *rc::gen::inRange(1, 3);
    for (int i = 0; i < rounds; ++i) {
        const int spots = *rc::gen::inRange(1, 6);
        wanted.plan.rounds.push_back(
            made_up::round(made_up::spots(spots), *rc::gen::inRange(1, 4), *rc::gen::inRange(0, spots + 1)));
        wanted.orders.push_back(any_orders(*rc::gen::inRange(1, 4)));
    }
    if (*rc::gen::arbitrary<bool>()) {
        wanted.plan.first_ballots[*rc::gen::element<std::string>("a", "b", "c")] = *rc::gen::inRange(1, 40);
    }
    wanted.seed = made_up::seed(*rc::gen::arbitrary<unsigned>());
    return wanted;
}

// Drawn, or the case is left out (more codes a ballot than there can be).
Drawn drawn(const Wanted& wanted) {
    auto answer = draw::deal(wanted.plan, wanted.orders, wanted.seed);
    RC_PRE(answer.ok());
    return *answer;
}

bool same_room(const draw::Room& one, const draw::Room& other) {
    if (one.ballots.size() != other.ballots.size()) {
        return false;
    }
    for (std::size_t ballot = 0; ballot < one.ballots.size(); ++ballot) {
        const auto &mine = one.ballots[ballot].sets, &theirs = other.ballots[ballot].sets;
        if (mine.size() != theirs.size()) {
            return false;
        }
        for (std::size_t set = 0; set < mine.size(); ++set) {
            if (mine[set].round != theirs[set].round || mine[set].spot != theirs[set].spot ||
                mine[set].codes != theirs[set].codes) {
                return false;
            }
        }
    }
    return true;
}

bool same_key(const draw::Key& one, const draw::Key& other) {
    if (one.ballots.size() != other.ballots.size() || one.tubs.size() != other.tubs.size()) {
        return false;
    }
    for (std::size_t ballot = 0; ballot < one.ballots.size(); ++ballot) {
        const auto &mine = one.ballots[ballot].sets, &theirs = other.ballots[ballot].sets;
        for (std::size_t set = 0; set < mine.size(); ++set) {
            if (mine[set].order != theirs[set].order || mine[set].reference_piece != theirs[set].reference_piece) {
                return false;
            }
            for (std::size_t place = 0; place < mine[set].portions.size(); ++place) {
                if (mine[set].portions[place].piece != theirs[set].portions[place].piece) {
                    return false;
                }
            }
        }
    }
    for (std::size_t row = 0; row < one.tubs.size(); ++row) {
        if (one.tubs[row].letters != other.tubs[row].letters) {
            return false;
        }
    }
    return true;
}

// ---- the laws

void orders_even_at_every_prefix() {
    const Wanted wanted = any_plan();
    const Drawn draw = drawn(wanted);
    std::map<std::pair<int, int>, std::vector<int>> counts;   // round and spot -> by order
    for (std::size_t ballot = 0; ballot < draw.room.ballots.size(); ++ballot) {
        for (std::size_t set = 0; set < draw.room.ballots[ballot].sets.size(); ++set) {
            const draw::RoomSet& shown = draw.room.ballots[ballot].sets[set];
            std::vector<int>& mine = counts[{shown.round, shown.spot}];
            mine.resize(wanted.orders[static_cast<std::size_t>(shown.round)].size(), 0);
            ++mine[static_cast<std::size_t>(draw.key.ballots[ballot].sets[set].order)];
            RC_ASSERT(made_up::spread(mine) <= 1);
        }
    }
    RC_ASSERT(made_up::spread(draw, "orders") <= 1);
}

void spot_positions_even_at_every_prefix() {
    Wanted wanted = any_plan();
    wanted.plan.spot_order = methods::SpotOrder::balanced;
    wanted.plan.first_ballots.clear();
    for (methods::Round& round : wanted.plan.rounds) {
        round.spots_per_taster = 0;
    }
    const Drawn draw = drawn(wanted);
    std::map<std::pair<int, std::size_t>, std::vector<int>> counts;   // round and place -> by spot
    for (const draw::RoomBallot& ballot : draw.room.ballots) {
        std::map<int, std::size_t> place;
        for (const draw::RoomSet& set : ballot.sets) {
            std::vector<int>& mine = counts[{set.round, place[set.round]++}];
            mine.resize(wanted.plan.rounds[static_cast<std::size_t>(set.round)].spots.size(), 0);
            ++mine[static_cast<std::size_t>(set.spot)];
        }
        for (const auto& [where, mine] : counts) {
            RC_ASSERT(made_up::spread(mine) <= 1);
        }
    }
    RC_ASSERT(made_up::spread(draw, "spot_positions") <= 1);
}

void every_ballot_has_its_sets() {
    const Wanted wanted = any_plan();
    const Drawn draw = drawn(wanted);
    RC_ASSERT(static_cast<int>(draw.room.ballots.size()) == wanted.plan.ballots());
    RC_ASSERT(draw.key.ballots.size() == draw.room.ballots.size());
    for (std::size_t ballot = 0; ballot < draw.room.ballots.size(); ++ballot) {
        std::map<std::pair<int, int>, int> times;
        std::map<int, std::set<int>> spots;
        for (const draw::RoomSet& set : draw.room.ballots[ballot].sets) {
            ++times[{set.round, set.spot}];
            spots[set.round].insert(set.spot);
        }
        for (const auto& [where, sets] : times) {
            RC_ASSERT(sets == wanted.plan.rounds[static_cast<std::size_t>(where.first)].sets_per_taster);
        }
        for (std::size_t round = 0; round < wanted.plan.rounds.size(); ++round) {
            const methods::Round& asked = wanted.plan.rounds[round];
            int there = 0;
            for (const std::string& spot : asked.spots) {
                const auto scarce = wanted.plan.first_ballots.find(spot);
                there += scarce == wanted.plan.first_ballots.end() || static_cast<int>(ballot) < scarce->second ? 1 : 0;
            }
            RC_ASSERT(static_cast<int>(spots[static_cast<int>(round)].size()) == std::min(there, asked.spots_each()));
        }
    }
}

void key_says_what_the_orders_say() {
    const Wanted wanted = any_plan();
    const Drawn draw = drawn(wanted);
    for (std::size_t ballot = 0; ballot < draw.room.ballots.size(); ++ballot) {
        const auto& shown = draw.room.ballots[ballot].sets;
        const auto& hidden = draw.key.ballots[ballot].sets;
        RC_ASSERT(shown.size() == hidden.size());
        for (std::size_t set = 0; set < shown.size(); ++set) {
            const methods::Order& order =
                wanted.orders[static_cast<std::size_t>(shown[set].round)][static_cast<std::size_t>(hidden[set].order)];
            RC_ASSERT(hidden[set].portions.size() == order.versions.size());
            RC_ASSERT(shown[set].codes.size() == order.versions.size());
            RC_ASSERT(hidden[set].reference == order.reference);
            RC_ASSERT(shown[set].reference.empty() == (order.reference < 0));
            for (std::size_t place = 0; place < order.versions.size(); ++place) {
                RC_ASSERT(hidden[set].portions[place].version == order.versions[place]);
                RC_ASSERT(hidden[set].portions[place].piece >= 0 && hidden[set].portions[place].piece < wanted.plan.pieces);
            }
        }
    }
}

void codes_keep_their_distance() {
    const Drawn draw = drawn(any_plan());
    const std::vector<int>& usable = draw::usable_codes();
    std::map<int, int> times;
    std::size_t portions = 0, most = 0;
    for (const draw::RoomBallot& ballot : draw.room.ballots) {
        const std::vector<int> codes = made_up::all_codes(ballot);
        portions += codes.size();
        most = std::max(most, codes.size());
        for (std::size_t i = 0; i < codes.size(); ++i) {
            RC_ASSERT(std::binary_search(usable.begin(), usable.end(), codes[i]));
            ++times[codes[i]];
            for (std::size_t j = i + 1; j < codes.size(); ++j) {
                RC_ASSERT(draw::two_digits_apart(codes[i], codes[j]));
            }
        }
    }
    int again = 0;
    for (const auto& [code, of_code] : times) {
        again += of_code > 1 ? of_code : 0;
    }
    RC_ASSERT(draw.codes_dealt_again == again);
    if (most <= 26) {   // fuller ballots take whole classes
        RC_ASSERT(times.size() == std::min(portions, usable.size()));
    }
    RC_TAG(portions > usable.size() ? "codes come again" : "codes last", most > 26 ? "full ballots" : "light ballots");
}

// The room's side is the same whatever the orders' versions are, so a code at a place cannot tell what lies there.
void room_knows_no_version() {
    const Wanted wanted = any_plan();
    const Drawn draw = drawn(wanted);
    Wanted other = wanted;
    for (std::vector<methods::Order>& orders : other.orders) {
        for (methods::Order& order : orders) {
            for (int& version : order.versions) {
                version = *rc::gen::inRange(0, 2);
            }
            order.trait = *rc::gen::inRange(0, 3);
        }
    }
    RC_ASSERT(same_room(draw.room, drawn(other).room));
}

void seed_and_plan_alone_decide() {
    const Wanted wanted = any_plan();
    const Drawn draw = drawn(wanted);
    Wanted other = wanted;
    other.plan.title = "another title";
    other.plan.versions[0].label = "another label";
    other.plan.insiders = {"somebody"};
    const Drawn again = drawn(other);
    RC_ASSERT(same_room(draw.room, again.room));
    RC_ASSERT(same_key(draw.key, again.key));
    other.seed[31] = static_cast<std::uint8_t>(other.seed[31] ^ 1);
    RC_PRE(wanted.plan.ballots() > 3);
    RC_ASSERT_FALSE(same_room(draw.room, drawn(other).room));
}

// Spares follow on: who is planned and who is spare changes nothing but the mark.
void spares_are_like_the_others() {
    Wanted wanted = any_plan();
    const Drawn draw = drawn(wanted);
    wanted.plan.tasters += wanted.plan.spares;
    wanted.plan.spares = 0;
    const Drawn all = drawn(wanted);
    RC_ASSERT(same_room(draw.room, all.room));
    RC_ASSERT(same_key(draw.key, all.key));
}

void tubs_differ() {
    const Wanted wanted = any_plan();
    const Drawn draw = drawn(wanted);
    std::set<std::string> letters, names;
    for (const draw::TubRow& row : draw.key.tubs) {
        RC_ASSERT(names.insert(row.spot).second);
        RC_ASSERT(row.letters.size() == wanted.plan.versions.size());
        for (const std::string& letter : row.letters) {
            RC_ASSERT(letters.insert(letter).second);
        }
    }
    for (const methods::Round& round : wanted.plan.rounds) {
        for (const std::string& spot : round.spots) {
            RC_ASSERT(names.contains(spot));
        }
    }
}

}   // namespace

int main() {
    setenv("RC_PARAMS", "seed=20261125 max_success=400 max_size=100", 0);
    bool held = true;
    held &= rc::check("serving orders of a spot differ by one at most at every prefix", orders_even_at_every_prefix);
    held &= rc::check("a spot's places differ by one at most at every prefix", spot_positions_even_at_every_prefix);
    held &= rc::check("every ballot has the sets that the plan says", every_ballot_has_its_sets);
    held &= rc::check("the key says what the orders say", key_says_what_the_orders_say);
    held &= rc::check("codes are usable, two digits apart on a ballot, and not dealt twice while they last",
                      codes_keep_their_distance);
    held &= rc::check("the room's side is the same whatever the versions are", room_knows_no_version);
    held &= rc::check("seed and plan alone decide", seed_and_plan_alone_decide);
    held &= rc::check("spares are drawn as all others", spares_are_like_the_others);
    held &= rc::check("no tub has another's letter", tubs_differ);
    return held ? 0 : 1;
}
