#include "oddplate/stats/order_conditional.hpp"

#include <catch2/catch.hpp>

#include <algorithm>
#include <cmath>
#include <vector>

#include "oddplate/stats/binomial.hpp"
#include "oddplate/stats/hypergeometric.hpp"
#include "oddplate/stats/preference.hpp"

using namespace oddplate;

namespace {

double choose(int n, int k) {
    if (k < 0 || k > n) return 0;
    double product = 1;
    for (int i = 1; i <= k; ++i) product = product * (n - k + i) / i;
    return product;
}

// Oracle: every distinct way to lay the places of the odd portion over the tasters, whose picks stay as they are.
double plain_triangle_p(const std::array<std::int64_t, 3>& odd_at, const std::array<std::int64_t, 3>& picked,
                        std::int64_t correct) {
    std::vector<int> odd, pick;
    for (int j = 0; j < 3; ++j) {
        odd.insert(odd.end(), static_cast<std::size_t>(odd_at[static_cast<std::size_t>(j)]), j);
        pick.insert(pick.end(), static_cast<std::size_t>(picked[static_cast<std::size_t>(j)]), j);
    }
    double all = 0, hits = 0;
    do {
        std::int64_t right = 0;
        for (std::size_t i = 0; i < odd.size(); ++i) right += odd[i] == pick[i] ? 1 : 0;
        all += 1;
        if (right >= correct) hits += 1;
    } while (std::next_permutation(odd.begin(), odd.end()));
    return hits / all;
}

}   // namespace

TEST_CASE("hypergeometric: probability and tails equal ratios of binomial coefficients", "[stats][exhaustive]") {
    for (int total = 0; total <= 16; ++total) {
        for (int marked = 0; marked <= total; ++marked) {
            for (int drawn = 0; drawn <= total; ++drawn) {
                double upper = 0;
                for (int k = drawn; k >= -1; --k) {
                    const double pmf = choose(marked, k) * choose(total - marked, drawn - k) / choose(total, drawn);
                    upper += pmf;
                    CAPTURE(total, marked, drawn, k);
                    CHECK(stats::hypergeometric_pmf(k, total, marked, drawn) == Approx(pmf).epsilon(1e-12));
                    CHECK(stats::hypergeometric_upper(k, total, marked, drawn) == Approx(upper).epsilon(1e-12));
                    CHECK(stats::hypergeometric_lower(k, total, marked, drawn) ==
                          Approx(1 - upper + pmf).epsilon(1e-12).margin(1e-15));
                }
            }
        }
    }
}

// Fisher (1935): a lady sorts 4 + 4 cups, 3 of 4 right gives 17/70, all right 1/70.
TEST_CASE("order-conditional: the lady tasting tea", "[stats][published]") {
    CHECK(stats::hypergeometric_upper(3, 8, 4, 4) == Approx(17.0 / 70).epsilon(1e-13));
    CHECK(stats::order_conditional_p({4, 3, 4, 1}).more_for_new == Approx(17.0 / 70).epsilon(1e-13));
    CHECK(stats::order_conditional_p({4, 4, 4, 0}).more_for_new == Approx(1.0 / 70).epsilon(1e-13));
}

TEST_CASE("order-conditional: swapping the two recipes swaps the sides", "[stats]") {
    const auto one = stats::order_conditional_p({20, 15, 14, 6});
    const auto other = stats::order_conditional_p({14, 6, 20, 15});
    CHECK(one.more_for_new == Approx(other.more_for_current).epsilon(1e-12));
    CHECK(one.more_for_current == Approx(other.more_for_new).epsilon(1e-12));
    CHECK(one.two_sided == Approx(std::min(1.0, 2 * std::min(one.more_for_new, one.more_for_current))).epsilon(1e-15));
    CHECK(stats::order_conditional_p({}).two_sided == 1.0);
}

// Orders 40 and 20, 70 % for the portion served first whatever it is: the plain test errs at about .10, the conditional one keeps
// .05.
TEST_CASE("order-conditional: a habit of taking the first does not pass for a preference", "[stats][exhaustive]") {
    double plain = 0;
    double conditional = 0;
    for (int a = 0; a <= 40; ++a) {
        for (int b = 0; b <= 20; ++b) {
            const double weight = stats::binomial_pmf(a, 40, 0.7) * stats::binomial_pmf(b, 20, 0.7);
            const int for_new = a + 20 - b;
            if (stats::significant(stats::preference_p(for_new, 60 - for_new), 0.05)) plain += weight;
            if (stats::significant(stats::order_conditional_p({40, a, 20, b}).two_sided, 0.05)) conditional += weight;
        }
    }
    CHECK(plain > 0.09);
    CHECK(conditional <= 0.05);
}

TEST_CASE("order-conditional triangle: p equals every relabelling", "[stats][exhaustive]") {
    using Three = std::array<std::int64_t, 3>;
    for (const Three& odd : {Three{3, 3, 3}, Three{4, 2, 3}, Three{5, 0, 4}, Three{9, 0, 0}}) {
        for (const Three& picked : {Three{3, 3, 3}, Three{6, 2, 1}, Three{0, 4, 5}, Three{9, 0, 0}, Three{1, 8, 0}}) {
            for (std::int64_t correct = 0; correct <= 10; ++correct) {
                const auto found = stats::order_conditional_triangle_p(odd, picked, correct, 1);
                CAPTURE(odd[0], odd[1], picked[0], picked[1], correct);
                CHECK(found.found == stats::Found::exact);
                CHECK(found.p == Approx(plain_triangle_p(odd, picked, correct)).epsilon(1e-11).margin(1e-15));
            }
        }
    }
}

TEST_CASE("order-conditional triangle: two places alone are Fisher's test", "[stats]") {
    // Odd at places 1 and 2 only, picks there only: right = first-place odd picked first + second picked second.
    for (int both_first = 0; both_first <= 8; ++both_first) {
        const int right = both_first + (12 - (8 - both_first));   // of 10 odd first, 12 odd second, 8 picks of the first
        CHECK(stats::order_conditional_triangle_p({10, 12, 0}, {8, 14, 0}, right, 1).p ==
              Approx(stats::hypergeometric_upper(both_first, 22, 10, 8)).epsilon(1e-11));
    }
}

TEST_CASE("order-conditional triangle: seeded tables come near the normal law and repeat", "[stats]") {
    const std::array<std::int64_t, 3> odd{2000, 2000, 2000};
    const std::array<std::int64_t, 3> picked{2200, 1900, 1900};
    // Mean Sum o_j g_j / N; variance from the law of the diagonal of a table with fixed margins, near N 2/9 here.
    const auto found = stats::order_conditional_triangle_p(odd, picked, 2060, 4);
    CHECK(found.found == stats::Found::monte_carlo);
    CHECK(found.p == stats::order_conditional_triangle_p(odd, picked, 2060, 4).p);
    const double z = (2059.5 - 2000) / std::sqrt(6000 * 2.0 / 9);
    CHECK(found.p == Approx(std::erfc(z / std::sqrt(2.0)) / 2).margin(4 * found.error + 0.002));
    CHECK(found.error == Approx(std::sqrt(found.p * (1 - found.p) / static_cast<double>(found.draws))).epsilon(1e-12));
}
