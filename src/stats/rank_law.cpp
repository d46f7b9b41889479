// A state is the multiset of column sums after some rows. Its name is the sum of 128 random-looking bits a column sum, so states meet without
// being sorted; two unlike states would share a name with a chance below 1e-24. Tests: tests/unit/stats/rank_test.test.cpp

#include "rank_law.hpp"

#include <algorithm>
#include <array>
#include <cmath>
#include <cstdlib>

namespace oddplate::stats {
namespace {

__extension__ typedef unsigned __int128 Name;

constexpr std::size_t k_most_states = 3'000'000;   // a stage and the next: below 200 MB

/// SplitMix64 (Steele, Lea & Flood 2014): a bijection whose outputs look random.
std::uint64_t mixed(std::uint64_t x) {
    x += 0x9e3779b97f4a7c15U;
    x = (x ^ (x >> 30)) * 0xbf58476d1ce4e5b9U;
    x = (x ^ (x >> 27)) * 0x94d049bb133111ebU;
    return x ^ (x >> 31);
}

/// Distinct scores of a row, ascending, each with how often it comes.
struct Deal {
    std::vector<int> values, counts;
    double orders{1};   ///< unlike ways to deal it
};

Deal deal_of(const ScorePattern& row) {
    Deal deal;
    for (std::size_t i = 0; i < row.size(); ++i) {
        if (i == 0 || row[i] != row[i - 1]) {
            deal.values.push_back(row[i]);
            deal.counts.push_back(0);
        }
        ++deal.counts.back();
        deal.orders *= static_cast<double>(i + 1) / deal.counts.back();
    }
    return deal;
}

template <std::size_t K>
struct State {
    Name name{0};
    double mass{0};                      // 0 = an empty slot
    std::array<std::uint16_t, K> sums{};   // in any order
};

/// Open addressing; it only grows, and is emptied from stage to stage.
template <std::size_t K>
class States {
public:
    States() : m_slots(1024) {}

    State<K>& at(Name name) {
        if (2 * m_used >= m_slots.size()) grow();
        State<K>& slot = find(name);
        if (slot.mass == 0) {
            slot.name = name;
            ++m_used;
        }
        return slot;
    }
    void clear() {
        std::fill(m_slots.begin(), m_slots.end(), State<K>{});
        m_used = 0;
    }
    [[nodiscard]] std::size_t size() const { return m_used; }
    [[nodiscard]] const std::vector<State<K>>& slots() const { return m_slots; }

private:
    State<K>& find(Name name) {
        const std::size_t mask = m_slots.size() - 1;
        for (auto place = static_cast<std::size_t>(name) & mask;; place = (place + 1) & mask)
            if (m_slots[place].mass == 0 || m_slots[place].name == name) return m_slots[place];
    }
    void grow() {
        std::vector<State<K>> old(2 * m_slots.size());
        old.swap(m_slots);
        for (const State<K>& state : old)
            if (state.mass != 0) find(state.name) = state;
    }

    std::vector<State<K>> m_slots;
    std::size_t m_used{0};
};

/// The least sum of squares that rows to come can leave: of `sums` ascending plus any vector majorized by `rest` (ascending, the sum of their
/// scores place by place). It is reached by adding the largest of `rest` to the smallest sum and so on, and pooling what then falls
/// (Rado 1952 for the set of reachable vectors; pooling adjacent violators for the projection onto it).
template <std::size_t K>
double least_squares(const std::array<int, K>& sums, const std::array<int, K>& rest) {
    std::array<double, K> mean{}, weight{};
    std::size_t blocks = 0;
    for (std::size_t j = 0; j < K; ++j) {
        mean[blocks] = sums[j] + rest[K - 1 - j];
        weight[blocks++] = 1;
        while (blocks > 1 && mean[blocks - 2] > mean[blocks - 1]) {
            const double w = weight[blocks - 2] + weight[blocks - 1];
            mean[blocks - 2] = (mean[blocks - 2] * weight[blocks - 2] + mean[blocks - 1] * weight[blocks - 1]) / w;
            weight[blocks-- - 2] = w;
        }
    }
    double sum = 0;
    for (std::size_t i = 0; i < blocks; ++i) sum += weight[i] * mean[i] * mean[i];
    return sum;
}

template <std::size_t K>
class Walk {
public:
    Walk(std::span<const ScorePattern> rows, std::int64_t observed, double budget) : m_observed(observed), m_budget(budget) {
        int highest = 0;
        for (const ScorePattern& row : rows) {
            m_deals.push_back(deal_of(row));
            m_span.push_back(row.front() + row.back());
            for (std::size_t j = 0; j < K; ++j) {
                m_rest[j] += row[j];
                m_mirrored = m_mirrored && row[j] + row[K - 1 - j] == m_span.back();
            }
            highest += row.back();
        }
        m_possible = highest < 65'000;
        for (int r = 0; m_possible && r <= highest; ++r)
            m_names.push_back(static_cast<Name>(mixed(2 * static_cast<std::uint64_t>(r))) << 64 | mixed(2 * static_cast<std::uint64_t>(r) + 1));
        m_rows = rows;
    }

    std::optional<double> tail() {
        if (!m_possible || least_steps() > m_budget) return std::nullopt;
        States<K> now, next;
        now.at(start()).mass = 1;
        for (std::size_t row = 0; row < m_rows.size(); ++row) {
            for (const State<K>& state : now.slots())
                if (state.mass != 0 && !certain(state) && !follow(state, row, next)) return std::nullopt;
            for (std::size_t j = 0; j < K; ++j) m_rest[j] -= m_rows[row][j];
            m_gone += m_span[row];
            now.clear();
            std::swap(now, next);
        }
        return std::min(m_tail, 1.0);
    }

private:
    /// What the first half of the rows will take, in which hardly anything is certain: m untied rows can leave m^(K-1) K^(K-2) vectors of sums
    /// (the volume of the permutohedron), K! of a state or twice as many. Nothing is asked of tied rows.
    [[nodiscard]] double least_steps() const {
        double steps = 0;
        for (std::size_t m = 1; m <= m_rows.size() / 2; ++m) {
            if (m_deals[m - 1].values.size() < K) return 0;
            steps += std::pow(static_cast<double>(m), K - 1.0) * std::pow(static_cast<double>(K), K - 2.0) / (m_mirrored ? 2 : 1);
        }
        return steps;
    }

    [[nodiscard]] Name start() const {
        Name name = 0;
        for (std::size_t j = 0; j < K; ++j) name += m_names[0];
        return name;
    }

    /// Whether the end doesn't hang on the rows to come; a certain state in the tail is counted.
    bool certain(const State<K>& state) {
        std::array<int, K> sums{};
        std::copy(state.sums.begin(), state.sums.end(), sums.begin());
        std::sort(sums.begin(), sums.end());
        std::int64_t most = 0;
        for (std::size_t j = 0; j < K; ++j) {
            const std::int64_t end = sums[j] + m_rest[j];
            most += end * end;
        }
        if (most < m_observed) return true;
        // A least sum is a ratio of small whole numbers, so half a unit is far more than rounding.
        if (least_squares<K>(sums, m_rest) <= static_cast<double>(m_observed) - 0.5) return false;
        m_tail += state.mass;
        return true;
    }

    bool follow(const State<K>& state, std::size_t row, States<K>& next) {
        const Deal& deal = m_deals[row];
        m_steps += deal.orders;
        if (m_steps > m_budget || next.size() > k_most_states) return false;
        m_share = state.mass / deal.orders;
        m_state = &state;
        m_next = &next;
        m_left = {};
        std::copy(deal.counts.begin(), deal.counts.end(), m_left.begin());
        m_deal = &deal;
        if (row + 1 == m_rows.size()) {
            m_hits = 0;
            for (std::size_t j = 0; j < K; ++j)
                for (std::size_t i = 0; i < deal.values.size(); ++i) {
                    const std::int64_t end = state.sums[j] + deal.values[i];
                    m_squares[j][i] = end * end;
                }
            finish<0>(0);
            m_tail += m_share * static_cast<double>(m_hits);
            return true;
        }
        const int span = m_gone + m_span[row];
        for (std::size_t j = 0; j < K; ++j)
            for (std::size_t i = 0; i < deal.values.size(); ++i) {
                const int end = state.sums[j] + deal.values[i];
                m_to[j][i] = m_names[static_cast<std::size_t>(end)];
                if (m_mirrored) m_back[j][i] = m_names[static_cast<std::size_t>(span - end)];
            }
        spread<0>(0, 0);
        return true;
    }

    template <std::size_t J>
    void finish(std::int64_t sum) {
        if constexpr (J == K) {
            m_hits += sum >= m_observed;
        } else {
            for (std::size_t i = 0; i < m_deal->values.size(); ++i) {
                if (m_left[i] == 0) continue;
                --m_left[i];
                finish<J + 1>(sum + m_squares[J][i]);
                ++m_left[i];
            }
        }
    }

    template <std::size_t J>
    void spread(Name to, Name back) {
        if constexpr (J == K) {
            State<K>& slot = m_next->at(m_mirrored ? std::min(to, back) : to);
            if (slot.mass == 0)
                for (std::size_t j = 0; j < K; ++j)
                    slot.sums[j] = static_cast<std::uint16_t>(m_state->sums[j] + m_deal->values[m_path[j]]);
            slot.mass += m_share;
        } else {
            for (std::size_t i = 0; i < m_deal->values.size(); ++i) {
                if (m_left[i] == 0) continue;
                --m_left[i];
                m_path[J] = i;
                spread<J + 1>(to + m_to[J][i], m_mirrored ? back + m_back[J][i] : 0);
                ++m_left[i];
            }
        }
    }

    std::span<const ScorePattern> m_rows;
    std::int64_t m_observed;
    double m_budget, m_steps{0}, m_tail{0};
    std::vector<Deal> m_deals;
    std::vector<int> m_span;        // by row: its least and its largest score together
    std::vector<Name> m_names;      // by column sum
    std::array<int, K> m_rest{};    // of the rows to come, place by place
    bool m_mirrored{true}, m_possible{true};
    int m_gone{0};                  // spans of the rows dealt

    // the row that is being dealt
    const Deal* m_deal{nullptr};
    const State<K>* m_state{nullptr};
    States<K>* m_next{nullptr};
    double m_share{0};
    std::int64_t m_hits{0};
    std::array<int, K> m_left{};
    std::array<std::size_t, K> m_path{};
    std::array<std::array<Name, K>, K> m_to{}, m_back{};
    std::array<std::array<std::int64_t, K>, K> m_squares{};
};

template <std::size_t K>
std::optional<double> tail_of(std::span<const ScorePattern> rows, std::int64_t observed, double budget) {
    return Walk<K>(rows, observed, budget).tail();
}

}   // namespace

std::optional<double> square_sum_tail(std::span<const ScorePattern> rows, std::int64_t observed, double budget) {
    if (rows.empty()) return observed <= 0 ? 1.0 : 0.0;
    switch (rows.front().size()) {
        case 2: return tail_of<2>(rows, observed, budget);
        case 3: return tail_of<3>(rows, observed, budget);
        case 4: return tail_of<4>(rows, observed, budget);
        case 5: return tail_of<5>(rows, observed, budget);
        case 6: return tail_of<6>(rows, observed, budget);
        case 7: return tail_of<7>(rows, observed, budget);
        case 8: return tail_of<8>(rows, observed, budget);
        case 9: return tail_of<9>(rows, observed, budget);
        case 10: return tail_of<10>(rows, observed, budget);
        default: std::abort();   // the caller has promised it
    }
}

}   // namespace oddplate::stats
