// Tests given how often each order was served: Fisher's exact test of order x picked position for two portions, and for three the
// law of the diagonal of a 3 x 3 table with fixed margins. Tests: tests/unit/stats/order_conditional.test.cpp

#include "oddplate/stats/order_conditional.hpp"

#include <algorithm>
#include <vector>

#include "oddplate/stats/hypergeometric.hpp"
#include "oddplate/stats/promise.hpp"
#include "sampling.hpp"

namespace oddplate::stats {
namespace {

constexpr double k_most_tails = 2e5;   // hypergeometric tails, about 0.5 us each
constexpr double k_keep = 1e-18;

struct Window {
    std::int64_t first{0};
    std::vector<double> weights;
};

// Hypergeometric probabilities by ratios from the mode, smaller ones than k_keep of it left out.
Window hypergeometric_window(std::int64_t total, std::int64_t marked, std::int64_t drawn) {
    const std::int64_t least = std::max<std::int64_t>(0, drawn - (total - marked));
    const std::int64_t most = std::min(marked, drawn);
    const double guess = static_cast<double>(marked + 1) * static_cast<double>(drawn + 1) / static_cast<double>(total + 2);
    const std::int64_t mode = std::clamp(static_cast<std::int64_t>(guess), least, most);
    const auto up = [&](std::int64_t k) {
        return static_cast<double>(marked - k) / static_cast<double>(k + 1) * static_cast<double>(drawn - k) /
               static_cast<double>(total - marked - drawn + k + 1);
    };
    const double peak = hypergeometric_pmf(mode, total, marked, drawn);
    std::vector<double> down{peak};
    for (std::int64_t k = mode; k > least && down.back() > k_keep * peak; --k) down.push_back(down.back() / up(k - 1));
    Window window{mode - static_cast<std::int64_t>(down.size()) + 1, {down.rbegin(), down.rend()}};
    for (std::int64_t k = mode; k < most && window.weights.back() > k_keep * peak; ++k) {
        window.weights.push_back(window.weights.back() * up(k));
    }
    return window;
}

using Three = std::array<std::int64_t, 3>;

// Row 1 of the table takes (a, b, g1 - a - b) from the columns `odd`; row 2 takes from what is left; row 3 gets the rest. With
// n1, n2 what is left in columns 1 and 2, the diagonal is a + a22 + a33, a33 = n3 - a23 and a23 = g2 - a21 - a22.
struct Margins {
    Three odd, picked;
    std::int64_t total;
};

// Calls visit(weight, a, left) for every first row, left = what remains in each column.
template <class Visit>
void each_first_row(const Margins& m, Visit visit) {
    const Window first = hypergeometric_window(m.total, m.odd[0], m.picked[0]);
    for (std::size_t i = 0; i < first.weights.size(); ++i) {
        const std::int64_t a = first.first + static_cast<std::int64_t>(i);
        const Window second = hypergeometric_window(m.odd[1] + m.odd[2], m.odd[1], m.picked[0] - a);
        for (std::size_t j = 0; j < second.weights.size(); ++j) {
            const std::int64_t b = second.first + static_cast<std::int64_t>(j);
            const Three left{m.odd[0] - a, m.odd[1] - b, m.odd[2] - (m.picked[0] - a - b)};
            visit(first.weights[i] * second.weights[j], a, left);
        }
    }
}

// P(a22 + a33 >= wanted) in rows 2 and 3: with x = a21 the diagonal rest is a22 + (left3 - a23), a22 + a23 = g2 - x, so it is a
// statement about a22 alone: 2 a22 >= wanted - left3 + g2 - x.
double second_row_tail(const Three& left, std::int64_t picked, std::int64_t wanted) {
    const Window x = hypergeometric_window(left[0] + left[1] + left[2], left[0], picked);
    double sum = 0.0;
    for (std::size_t i = 0; i < x.weights.size(); ++i) {
        const std::int64_t drawn = picked - (x.first + static_cast<std::int64_t>(i));
        const std::int64_t twice = wanted - left[2] + drawn;
        const std::int64_t least = twice <= 0 ? 0 : (twice + 1) / 2;
        sum += x.weights[i] * hypergeometric_upper(least, left[1] + left[2], left[1], drawn);
    }
    return sum;
}

// Tails that the exact sum needs, from the windows at the likeliest first row.
double tails_needed(const Margins& m) {
    const auto part = [](std::int64_t of, std::int64_t by, std::int64_t whole) {
        return whole == 0
                   ? std::int64_t{0}
                   : static_cast<std::int64_t>(static_cast<double>(of) * static_cast<double>(by) / static_cast<double>(whole));
    };
    const std::int64_t a = part(m.picked[0], m.odd[0], m.total);
    const std::int64_t rest = m.picked[0] - a;
    if (rest > m.odd[1] + m.odd[2]) return 0.0;
    const Window first = hypergeometric_window(m.total, m.odd[0], m.picked[0]);
    const Window second = hypergeometric_window(m.odd[1] + m.odd[2], m.odd[1], rest);
    const Window third = hypergeometric_window(m.total - m.picked[0], m.odd[0] - a, m.picked[1]);
    return static_cast<double>(first.weights.size()) * static_cast<double>(second.weights.size()) *
           static_cast<double>(third.weights.size());
}

double exact_diagonal_tail(const Margins& m, std::int64_t correct) {
    double p = 0.0;
    each_first_row(m, [&](double weight, std::int64_t a, const Three& left) {
        p += weight * second_row_tail(left, m.picked[1], correct - a);
    });
    return std::min(1.0, p);
}

std::int64_t random_diagonal(core::PhiloxStream& stream, const Margins& m) {
    const std::int64_t a = hypergeometric_draw(stream, m.total, m.odd[0], m.picked[0]);
    const std::int64_t b = hypergeometric_draw(stream, m.odd[1] + m.odd[2], m.odd[1], m.picked[0] - a);
    const Three left{m.odd[0] - a, m.odd[1] - b, m.odd[2] - (m.picked[0] - a - b)};
    const std::int64_t x = hypergeometric_draw(stream, left[0] + left[1] + left[2], left[0], m.picked[1]);
    const std::int64_t a22 = hypergeometric_draw(stream, left[1] + left[2], left[1], m.picked[1] - x);
    return a + a22 + left[2] - (m.picked[1] - x - a22);
}

}   // namespace

OrderP order_conditional_p(const TwoOrders& counts) {
    promise(0 <= counts.new_first_chose_first && counts.new_first_chose_first <= counts.new_first);
    promise(0 <= counts.current_first_chose_first && counts.current_first_chose_first <= counts.current_first);
    const std::int64_t total = counts.new_first + counts.current_first;
    const std::int64_t chose_first = counts.new_first_chose_first + counts.current_first_chose_first;
    const std::int64_t k = counts.new_first_chose_first;
    OrderP p;
    p.more_for_new = hypergeometric_upper(k, total, chose_first, counts.new_first);
    p.more_for_current = hypergeometric_lower(k, total, chose_first, counts.new_first);
    p.two_sided = std::min(1.0, 2.0 * std::min(p.more_for_new, p.more_for_current));
    return p;
}

PValue order_conditional_triangle_p(const std::array<std::int64_t, 3>& odd_at, const std::array<std::int64_t, 3>& picked,
                                    std::int64_t correct, std::uint64_t seed) {
    const Margins m{odd_at, picked, odd_at[0] + odd_at[1] + odd_at[2]};
    promise(m.total == picked[0] + picked[1] + picked[2] && correct >= 0);
    for (std::size_t j = 0; j < 3; ++j) promise(odd_at[j] >= 0 && picked[j] >= 0);
    if (m.total == 0 || correct == 0) return {};
    if (tails_needed(m) <= k_most_tails) return {exact_diagonal_tail(m, correct), Found::exact, 0.0, 0};
    const std::int64_t draws = draws_within_budget(4.0 * 64.0);
    std::int64_t hits = 0;
    for (std::int64_t draw = 0; draw < draws; ++draw) {
        core::PhiloxStream stream(seed, static_cast<std::uint64_t>(draw));
        if (random_diagonal(stream, m) >= correct) ++hits;
    }
    return monte_carlo_p(hits, draws);
}

}   // namespace oddplate::stats
