// In which order a ballot gets its spots. Williams (1949), "Experimental designs balanced for the estimation of residual effects
// of treatments": rows in which each thing stands once in each place and follows each other thing equally often. Rows are dealt
// in blocks that are Latin squares, so at every prefix a spot's counts over the places differ by one at most. Ballots with the
// same spots are one group.

#include <algorithm>
#include <map>
#include <utility>

#include "oddplate/stats/blocks.hpp"
#include "parts.hpp"

namespace oddplate::draw {
namespace {

/// Rows dealt for one group of ballots: what is left of a half block, and the half that follows it.
struct Rows {
    Table now, later;
};

class SpotOrders {
public:
    SpotOrders(int spots, core::ChanceStream& chance) : m_chance(chance), m_served(at(spots)) {}

    /// A row of these spots for this pass.
    std::vector<int> take(const std::vector<int>& spots, int pass) {
        Rows& rows = m_rows[{pass, spots}];
        if (rows.now.empty()) {
            std::swap(rows.now, rows.later);
        }
        if (rows.now.empty()) {
            rows = whole_block(spots);
        }
        const auto best = std::min_element(rows.now.begin(), rows.now.end(),
                                           [&](const auto& a, const auto& b) { return served(a, pass) < served(b, pass); });
        std::vector<int> row = *best;
        rows.now.erase(best);
        for (std::size_t place = 0; place < row.size(); ++place) {
            ++count(row[place], pass, place);
        }
        return row;
    }

private:
    Rows whole_block(const std::vector<int>& spots) {
        std::vector<int> names = spots;
        m_chance.shuffle(names);
        Table rows = stats::williams_rows(static_cast<int>(spots.size()));
        for (std::vector<int>& row : rows) {
            for (int& spot : row) {
                spot = names[at(spot)];
            }
        }
        const auto size = static_cast<std::ptrdiff_t>(spots.size());
        Rows halves{Table(rows.begin(), rows.begin() + size), Table(rows.begin() + size, rows.end())};
        m_chance.shuffle(halves.now);
        m_chance.shuffle(halves.later);
        if (!halves.later.empty() && m_chance.below(2) == 1) {
            std::swap(halves.now, halves.later);
        }
        return halves;
    }

    // How often the row's spots have stood where the row puts them.
    int served(const std::vector<int>& row, int pass) {
        int sum = 0;
        for (std::size_t place = 0; place < row.size(); ++place) {
            sum += count(row[place], pass, place);
        }
        return sum;
    }

    int& count(int spot, int pass, std::size_t place) {
        std::vector<int>& counts = m_served[at(spot)];
        const std::size_t index = at(pass) * m_served.size() + place;
        if (counts.size() <= index) {
            counts.resize(index + 1, 0);
        }
        return counts[index];
    }

    core::ChanceStream& m_chance;
    Table m_served;
    std::map<std::pair<int, std::vector<int>>, Rows> m_rows;
};

// One order for the whole table in each pass.
Table together(const Table& chosen, int spots, int passes, core::ChanceStream& chance) {
    Table served(chosen.size());
    for (int pass = 0; pass < passes; ++pass) {
        std::vector<int> order;
        for (int spot = 0; spot < spots; ++spot) {
            order.push_back(spot);
        }
        chance.shuffle(order);
        for (std::size_t ballot = 0; ballot < chosen.size(); ++ballot) {
            for (const int spot : order) {
                if (std::binary_search(chosen[ballot].begin(), chosen[ballot].end(), spot)) {
                    served[ballot].push_back(spot);
                }
            }
        }
    }
    return served;
}

}   // namespace

Table order_spots(const methods::Plan& plan, int round, const Table& chosen, core::ChanceStream& chance) {
    const methods::Round& asked = plan.rounds[at(round)];
    const int spots = static_cast<int>(asked.spots.size());
    if (plan.spot_order == methods::SpotOrder::together) {
        return together(chosen, spots, asked.passes(), chance);
    }
    SpotOrders orders(spots, chance);
    Table served(chosen.size());
    for (std::size_t ballot = 0; ballot < chosen.size(); ++ballot) {
        for (int pass = 0; pass < asked.passes() && !chosen[ballot].empty(); ++pass) {
            const std::vector<int> row = orders.take(chosen[ballot], pass);
            served[ballot].insert(served[ballot].end(), row.begin(), row.end());
        }
    }
    return served;
}

}   // namespace oddplate::draw
