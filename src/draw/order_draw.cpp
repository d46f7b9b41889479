// Which serving order each set gets. Every spot has its own stream of sets, which gets the orders in permuted blocks: at each
// prefix an order has come at most once more than another, whatever else is done. Inside these blocks orders change places to
// serve, in this order: orders evenly over the places of the sitting, traits (the odd version, say) evenly within a taster, and
// what was last in the mouth. Trays that hold some of the recipes are sorted first (small_trays.hpp). The work goes window by window over the ballots, so the cost grows with their number and no faster.
// designs/notes/draw.md tells each step.

#include <algorithm>
#include <optional>
#include <span>
#include <utility>

#include "order_counts.hpp"
#include "parts.hpp"
#include "small_trays.hpp"

namespace oddplate::draw {
namespace {

struct Set {
    int ballot, place;   // place within the round
};

std::vector<int> trait_numbers(const std::vector<methods::Order>& orders) {
    std::vector<int> traits;
    for (const methods::Order& order : orders) {
        traits.push_back(order.trait);
    }
    std::sort(traits.begin(), traits.end());
    traits.erase(std::unique(traits.begin(), traits.end()), traits.end());
    std::vector<int> numbers;
    for (const methods::Order& order : orders) {
        numbers.push_back(static_cast<int>(std::lower_bound(traits.begin(), traits.end(), order.trait) - traits.begin()));
    }
    return numbers;
}

// Orders of one batch, which follow one another in the list; all batches have as many.
int batch_size(const std::vector<methods::Order>& orders) {
    const auto first = std::find_if(orders.begin(), orders.end(), [](const methods::Order& order) { return order.batch != 0; });
    return static_cast<int>(first - orders.begin());
}

class OrderDeal {
public:
    OrderDeal(const Table& served, int spots, int planned, const std::vector<methods::Order>& orders, int sittings)
        : m_served(served),
          m_all(static_cast<int>(orders.size())),
          m_block(batch_size(orders)),
          m_streams(at(spots)),
          m_planned(at(spots), 0),
          m_orders(at(spots)),
          m_first(served.size()),
          m_traits(trait_numbers(orders)),
          m_places(longest(served), orders.size()),
          m_tasters(served.size(), orders.size()),
          m_carried(versions(orders), versions(orders)),
          m_journeys(sittings > 1),
          m_small_trays(m_journeys || are_small_trays(orders)),
          m_chunk(m_small_trays ? even_run(orders) : m_block) {
        if (m_small_trays) m_trays.emplace(orders, sittings);
        for (const methods::Order& order : orders) {
            m_front.push_back(order.versions.front());
            m_back.push_back(order.versions.back());
        }
        lay_out(spots, planned);
    }

    /// Permuted blocks for a spot's stream, the last one whole too.
    void shuffle_in(int spot, core::ChanceStream& chance) {
        if (m_trays) m_trays->next_stream();
        while (m_orders[at(spot)].size() < m_streams[at(spot)].size()) {
            std::vector<int> batches;
            for (int batch = 0; batch < m_all / m_block; ++batch) {
                batches.push_back(batch);
            }
            chance.shuffle(batches);
            Table ahead(at(m_block));   // by place in a batch: the orders of that place in the batches to come
            for (const int batch : batches)
                for (int place = 0; place < m_block; ++place) ahead[at(place)].push_back(batch * m_block + place);
            for (int batch = 0; batch < m_all / m_block; ++batch) {
                std::vector<int> block;
                for (std::vector<int>& orders : ahead) {
                    block.push_back(orders.front());
                    orders.erase(orders.begin());
                }
                chance.shuffle(block);
                if (m_trays) deal_small(spot, block, ahead);
                m_orders[at(spot)].insert(m_orders[at(spot)].end(), block.begin(), block.end());
            }
        }
    }

    void even_out() {
        if (longest(m_served) < 2) {
            return;   // one set a ballot: nothing left to choose
        }
        // Two blocks: in one alone places and traits cannot both come out even (two spots, two orders).
        const int window = 2 * m_block;
        for (int first = 0; first < ballots(); first += window) {
            const int end = std::min(first + window, ballots());
            count_in(first, end);
            for (const bool places_first : {false, true}) {
                m_places_first = places_first;
                for (int sweep = 0; sweep < k_most_sweeps && improve(first, end); ++sweep) {
                }
            }
        }
    }

    Table answer() const {
        Table table(m_served.size());
        for (std::size_t ballot = 0; ballot < m_served.size(); ++ballot) {
            for (std::size_t place = 0; place < m_served[ballot].size(); ++place) {
                table[ballot].push_back(order_at(ballot, place));
            }
        }
        return table;
    }

private:
    static constexpr int k_most_sweeps = 8;

    static std::size_t longest(const Table& served) {
        std::size_t most = 0;
        for (const std::vector<int>& sets : served) {
            most = std::max(most, sets.size());
        }
        return most;
    }
    static std::size_t versions(const std::vector<methods::Order>& orders) {
        int highest = 0;
        for (const methods::Order& order : orders) {
            highest = std::max(highest, *std::max_element(order.versions.begin(), order.versions.end()));
        }
        return at(highest) + 1;
    }
    int ballots() const { return static_cast<int>(m_served.size()); }

    /// Of a block that comes next in the stream: first what planned ballots get, then what spare ones get of the rest. A journey's place in its batch is its split
    /// of the recipes over the sittings; its trays may be served in the order of a batch to come.
    void deal_small(int spot, std::vector<int>& block, Table& ahead) {
        const std::size_t before = m_orders[at(spot)].size();
        std::size_t done = 0;
        for (const std::size_t end : {at(m_planned[at(spot)]), m_streams[at(spot)].size()}) {
            if (end <= before + done) continue;
            const std::size_t here = std::min(end - before, block.size()) - done;
            const std::span rest = std::span(block).subspan(done);
            if (here > 0) m_trays->deal(rest, here);
            if (here > 0 && m_journeys) m_trays->reorder(rest.first(here), [&](int order) { return std::span(ahead[at(order % m_block)]); });
            done += here;
        }
    }

    /// Where trays of some recipes were chosen for planned ballots, or for all, those change places among themselves.
    int end_of_chosen(int spot, int index) const {
        const int planned = m_planned[at(spot)];
        return index < planned ? planned : static_cast<int>(m_streams[at(spot)].size());
    }

    void lay_out(int spots, int planned) {
        m_index.resize(m_served.size());
        for (std::size_t ballot = 0; ballot < m_served.size(); ++ballot) {
            m_first[ballot].assign(at(spots), -1);
            for (std::size_t place = 0; place < m_served[ballot].size(); ++place) {
                const std::size_t spot = at(m_served[ballot][place]);
                const int index = static_cast<int>(m_streams[spot].size());
                if (m_first[ballot][spot] < 0) {
                    m_first[ballot][spot] = index;
                }
                m_index[ballot].push_back(index);
                m_streams[spot].push_back({static_cast<int>(ballot), static_cast<int>(place)});
                if (static_cast<int>(ballot) < planned) {
                    ++m_planned[spot];
                }
            }
        }
    }

    int order_at(std::size_t ballot, std::size_t place) const {
        return m_orders[at(m_served[ballot][place])][at(m_index[ballot][place])];
    }

    // ---- counting
    void count_in(int first, int end) {
        m_end = end;
        for (int ballot = first; ballot < end; ++ballot) {
            const int sets = static_cast<int>(m_served[at(ballot)].size());
            for (int place = 0; place < sets; ++place) {
                const int order = order_at(at(ballot), at(place));
                m_places.add(place, order, m_cost.places);
                m_tasters.add(ballot, m_traits[at(order)], m_cost.traits);
                if (place > 0) {
                    m_carried.add(m_back[at(order_at(at(ballot), at(place - 1)))], m_front[at(order)], m_cost.carried);
                }
            }
        }
    }

    // The set's order becomes another; counted where the set's ballot is counted.
    void put(int spot, int index, int order) {
        int& mine = m_orders[at(spot)][at(index)];
        const int old = std::exchange(mine, order);
        if (at(index) >= m_streams[at(spot)].size()) {
            return;
        }
        const Set set = m_streams[at(spot)][at(index)];
        if (set.ballot >= m_end) {
            return;
        }
        m_places.take(set.place, old, m_cost.places);
        m_places.add(set.place, order, m_cost.places);
        m_tasters.take(set.ballot, m_traits[at(old)], m_cost.traits);
        m_tasters.add(set.ballot, m_traits[at(order)], m_cost.traits);
        if (set.place > 0) {
            const int before = m_back[at(order_at(at(set.ballot), at(set.place - 1)))];
            m_carried.take(before, m_front[at(old)], m_cost.carried);
            m_carried.add(before, m_front[at(order)], m_cost.carried);
        }
        if (at(set.place + 1) < m_served[at(set.ballot)].size()) {
            const int after = m_front[at(order_at(at(set.ballot), at(set.place + 1)))];
            m_carried.take(m_back[at(old)], after, m_cost.carried);
            m_carried.add(m_back[at(order)], after, m_cost.carried);
        }
    }

    void swap(int spot, int index, int other) {
        const int mine = m_orders[at(spot)][at(index)], theirs = m_orders[at(spot)][at(other)];
        put(spot, index, theirs);
        put(spot, other, mine);
    }

    bool better_than(const Cost& old) const { return m_places_first ? places_first(m_cost, old) : traits_first(m_cost, old); }

    // ---- improving
    bool improve(int first, int end) {
        const Cost old = m_cost;
        for (int ballot = first; ballot < end; ++ballot) {
            for (std::size_t place = 0; place < m_served[at(ballot)].size(); ++place) {
                improve_set(m_served[at(ballot)][place], m_index[at(ballot)][place]);
            }
        }
        for (int ballot = first; ballot < end; ++ballot) {
            for (int other = ballot + 1; other < end; ++other) {
                improve_pair(ballot, other);
            }
        }
        return m_cost.places != old.places || m_cost.traits != old.traits;
    }

    // Swaps with what follows in the set's block; that may lie in a later window or be served to nobody (but for small trays, where those were chosen).
    void improve_set(int spot, int index) {
        int end = (index / m_block + 1) * m_block;
        if (m_small_trays) end = std::min({end, index + m_chunk - index % m_block % m_chunk, end_of_chosen(spot, index)});
        for (int other = index + 1; other < end; ++other) {
            const Cost old = m_cost;
            swap(spot, index, other);
            if (!better_than(old)) {
                swap(spot, index, other);
            }
        }
    }

    // Two ballots exchange their orders at two spots at once: what one such swap alone would spoil, the other may mend.
    void improve_pair(int ballot, int other) {
        const std::size_t sets = m_served[at(ballot)].size();
        for (std::size_t place = 0; place < sets; ++place) {
            const int partner = partner_of(ballot, other, place);
            for (std::size_t second = place + 1; partner >= 0 && second < sets; ++second) {
                const int second_partner = partner_of(ballot, other, second);
                if (second_partner < 0) {
                    continue;
                }
                const Cost old = m_cost;
                swap(m_served[at(ballot)][place], m_index[at(ballot)][place], partner);
                swap(m_served[at(ballot)][second], m_index[at(ballot)][second], second_partner);
                if (!better_than(old)) {
                    swap(m_served[at(ballot)][second], m_index[at(ballot)][second], second_partner);
                    swap(m_served[at(ballot)][place], m_index[at(ballot)][place], partner);
                }
            }
        }
    }

    // The other ballot's set of the same spot (and pass) in its stream; -1 where there is none in the same block.
    int partner_of(int ballot, int other, std::size_t place) const {
        const std::size_t spot = at(m_served[at(ballot)][place]);
        const int start = m_first[at(other)][spot], index = m_index[at(ballot)][place];
        const int partner = start + index - m_first[at(ballot)][spot];
        const bool apart = start < 0 || partner / m_block != index / m_block || partner % m_block / m_chunk != index % m_block / m_chunk;
        return apart || (m_small_trays && end_of_chosen(static_cast<int>(spot), index) != end_of_chosen(static_cast<int>(spot), partner)) ? -1 : partner;
    }

    const Table& m_served;
    int m_all, m_block;                           // orders in all, and in a block: those of a batch
    std::vector<std::vector<Set>> m_streams;      // by spot: its sets in order of ballots
    std::vector<int> m_planned;                   // by spot: how many of them are on planned ballots
    Table m_orders;                               // by spot: the order of each, whole blocks
    Table m_index;                                // by ballot and place: where in its spot's stream
    Table m_first;                                // by ballot and spot: the first of its sets in the stream, -1 for none
    std::vector<int> m_traits, m_front, m_back;   // by order
    Counts m_places, m_tasters, m_carried;
    bool m_journeys;      // an order is one person's trays over several sittings
    bool m_small_trays;   // these, or trays that hold some of the recipes
    std::optional<TrayCounts> m_trays;
    int m_chunk;   // orders change places within so many of a block
    Cost m_cost;
    int m_end{0};   // ballots before this are counted
    bool m_places_first{false};
};

Table dealt_orders(const Table& served, int spots, int planned, const std::vector<methods::Order>& orders, int sittings, const core::Bytes32& seed, int round) {
    OrderDeal deal(served, spots, planned, orders, sittings);
    for (int spot = 0; spot < spots; ++spot) {
        core::ChanceStream chance(seed, core::Purpose::orders,
                                  65536u * static_cast<unsigned>(round) + static_cast<unsigned>(spot));
        deal.shuffle_in(spot, chance);
    }
    deal.even_out();
    return deal.answer();
}

}   // namespace

Table draw_orders(const Table& served, int spots, int planned, const std::vector<methods::Order>& orders, const core::Bytes32& seed, int round) {
    return dealt_orders(served, spots, planned, orders, 1, seed, round);
}

Table draw_journeys(const Table& served, int spots, int planned, const std::vector<methods::Order>& orders, int sittings, const core::Bytes32& seed, int round) {
    std::vector<methods::Order> whole;   // a journey as one long tray
    for (std::size_t first = 0; first < orders.size(); first += at(sittings)) {
        methods::Order& journey = whole.emplace_back(orders[first]);
        for (std::size_t next = first + 1; next < first + at(sittings); ++next)
            journey.versions.insert(journey.versions.end(), orders[next].versions.begin(), orders[next].versions.end());
    }
    Table once(served.size());   // each ballot's spots, without coming back
    for (std::size_t ballot = 0; ballot < served.size(); ++ballot)
        for (const int spot : served[ballot])
            if (std::find(once[ballot].begin(), once[ballot].end(), spot) == once[ballot].end()) once[ballot].push_back(spot);
    const Table dealt = dealt_orders(once, spots, planned, whole, sittings, seed, round);
    Table answer(served.size());
    for (std::size_t ballot = 0; ballot < served.size(); ++ballot) {
        std::vector<int> been(at(spots), 0);
        for (const int spot : served[ballot]) {
            const auto place = std::find(once[ballot].begin(), once[ballot].end(), spot) - once[ballot].begin();
            answer[ballot].push_back(dealt[ballot][static_cast<std::size_t>(place)] * sittings + been[at(spot)]++);
        }
    }
    return answer;
}

}   // namespace oddplate::draw
