#include <catch2/catch.hpp>

#include <cmath>
#include <vector>

#include "oddplate/core/philox.hpp"
#include "oddplate/stats/binomial.hpp"
#include "oddplate/stats/normal.hpp"
#include "oddplate/stats/signal.hpp"

using namespace oddplate;
using namespace oddplate::stats;

namespace {

constexpr auto yes_no = SignalRule::yes_no, pairs = SignalRule::same_different;

/// Chance of a set of tables, counted one by one.
template <class Holds>
double chance(int signals, int noises, const SignalRates& rates, Holds holds) {
    double sum = 0;
    for (int h = 0; h <= signals; ++h)
        for (int f = 0; f <= noises; ++f)
            if (holds(h, f)) sum += binomial_pmf(h, signals, rates.hit) * binomial_pmf(f, noises, rates.false_alarm);
    return sum;
}

}   // namespace

TEST_CASE("a lady tasting tea") {
    // Fisher (1935), The Design of Experiments: 4 + 4 cups, 3 right: 17/70; all right: 1/70
    CHECK(signal_p({3, 4, 1, 4}) == Approx(17.0 / 70).epsilon(1e-13));
    CHECK(signal_p({4, 4, 0, 4}) == Approx(1.0 / 70).epsilon(1e-13));
    CHECK(signal_p({0, 5, 0, 7}) == 1);
    CHECK(signal_p({5, 5, 7, 7}) == 1);
}

TEST_CASE("labels exchanged within tasters: every exchange counted") {
    // 0 as a noise set, 1 as a signal set: all 2^k placements of each taster's signals over his answers
    const std::vector<SignalCounts> tasters{{2, 2, 0, 1}, {1, 1, 1, 2}, {1, 2, 0, 2}, {0, 0, 1, 2}};
    struct Counter {
        static std::vector<double> law(const SignalCounts& one) {
            const auto n = one.signals + one.noises, marked = one.hits + one.false_alarms;
            std::vector<double> counts(static_cast<std::size_t>(one.signals + 1));
            double all = 0;
            for (unsigned pick = 0; pick < 1U << n; ++pick) {
                int signals = 0, hits = 0;
                for (int i = 0; i < n; ++i)
                    if ((pick >> i & 1U) != 0) ++signals, hits += i < marked;
                if (signals != one.signals) continue;
                ++all;
                ++counts[static_cast<std::size_t>(hits)];
            }
            for (double& count : counts) count /= all;
            return counts;
        }
    };
    std::vector<double> total{1};
    for (const SignalCounts& one : tasters) {
        const std::vector<double> own = Counter::law(one);
        std::vector<double> next(total.size() + own.size() - 1);
        for (std::size_t i = 0; i < total.size(); ++i)
            for (std::size_t j = 0; j < own.size(); ++j) next[i + j] += total[i] * own[j];
        total = next;
    }
    CHECK(signal_p(tasters) == Approx(total[4] + total[5]).epsilon(1e-12));
    CHECK(signal_p(std::vector<SignalCounts>{{3, 4, 1, 4}}) == Approx(17.0 / 70).epsilon(1e-13));
}

// Bickel, Hammel & O'Connell (1975), Science 187:398, admissions by sex in six departments: R 4.2, mantelhaen.test(UCBAdmissions, exact = TRUE),
// alternative "greater" .899007838763 and "less" .11599366896 (two-sided .2278). Departments stand for tasters.
TEST_CASE("labels exchanged within tasters are the exact Cochran-Mantel-Haenszel test") {
    const std::int64_t rows[6][4] = {{512, 313, 89, 19}, {353, 207, 17, 8}, {120, 205, 202, 391}, {138, 279, 131, 244}, {53, 138, 94, 299}, {22, 351, 24, 317}};
    std::vector<SignalCounts> men, women;
    for (const auto& [men_in, men_out, women_in, women_out] : rows) {
        men.push_back({men_in, men_in + men_out, women_in, women_in + women_out});
        women.push_back({women_in, women_in + women_out, men_in, men_in + men_out});
    }
    CHECK(signal_p(men) == Approx(0.899007838763).epsilon(1e-11));
    CHECK(signal_p(women) == Approx(0.11599366896).epsilon(1e-10));
}

TEST_CASE("Fisher's test and its power, table by table") {
    for (const auto& [signals, noises] : {std::pair{15, 15}, {30, 30}, {20, 40}}) {
        double worst = 0;
        for (double c = -3; c <= 3; c += 0.1)
            worst =
                std::max(worst, chance(signals, noises, signal_rates(yes_no, 0, c), [&, s = signals, n = noises](int h, int f) {
                             return significant(signal_p({h, s, f, n}), 0.05);
                         }));
        CHECK(worst <= 0.05);
        const double power = chance(signals, noises, signal_rates(pairs, 2, 1.5), [&, s = signals, n = noises](int h, int f) {
            return significant(signal_p({h, s, f, n}), 0.05);
        });
        CHECK(signal_power(pairs, signals, noises, 2, 1.5, 0.05) == Approx(power).epsilon(1e-10));
    }
}

TEST_CASE("S holds its alpha at every criterion, which the normal tail does not") {
    for (const SignalRule rule : {yes_no, pairs}) {
        for (const auto& [signals, noises] : {std::pair{6, 6}, {10, 10}, {30, 30}, {15, 45}}) {
            for (const double margin : {1.0, 2.0}) {
                std::vector<std::vector<double>> root(static_cast<std::size_t>(signals + 1));
                for (int h = 0; h <= signals; ++h)
                    for (int f = 0; f <= noises; ++f)
                        root[static_cast<std::size_t>(h)].push_back(signal_root(rule, {h, signals, f, noises}, margin));
                const auto at = [&](int h, int f) { return root[static_cast<std::size_t>(h)][static_cast<std::size_t>(f)]; };
                // The critical root by bisection over signal_p_similar's own answers: the border of S at .05.
                double critical = -1e9;
                for (int h = 0; h <= signals; h += 1 + signals / 12) {
                    int low = 0, high = noises + 1;
                    while (low < high) {
                        const int middle = (low + high) / 2;
                        (significant(signal_p_similar(rule, {h, signals, middle, noises}, margin), 0.05) ? high : low) =
                            (significant(signal_p_similar(rule, {h, signals, middle, noises}, margin), 0.05) ? middle
                                                                                                             : middle + 1);
                    }
                    if (low <= noises) critical = std::max(critical, at(h, low));
                }
                double exact = 0, normal = 0;
                for (double c = rule == yes_no ? -3.013 : 0.013; c < 4; c += 0.037) {
                    const SignalRates rates = signal_rates(rule, margin, c);
                    exact = std::max(exact,
                                     chance(signals, noises, rates, [&](int h, int f) { return at(h, f) <= critical + 1e-9; }));
                    normal = std::max(normal, chance(signals, noises, rates,
                                                     [&](int h, int f) { return significant(normal_cdf(at(h, f)), 0.05); }));
                }
                INFO(signals << " + " << noises << ", margin " << margin << ", rule " << (rule == yes_no ? "yes-no" : "pairs")
                             << ": exact " << exact << ", normal tail " << normal);
                CHECK(exact <= 0.0502);
                if (rule == yes_no && noises == 45 && margin == 1.0) CHECK(normal > 0.085);   // what S would err at
            }
        }
    }
}

TEST_CASE("S and counts go the same way") {
    double last = 0;
    for (int h = 4; h <= 20; ++h) {
        const double p = signal_p_similar(yes_no, {h, 20, 6, 20}, 1.5);
        CHECK(p >= last - 1e-9);
        last = p;
    }
    CHECK(signal_p_similar(yes_no, {20, 20, 0, 20}, 1.0) == 1);
    CHECK(signal_p_similar(yes_no, {0, 20, 0, 20}, 1.0) == 1);   // "not A" always: nothing was seen, so nothing is shown
    CHECK(signal_p_similar(yes_no, {1100, 3000, 1050, 3000}, 0.5) < 1e-6);
}

TEST_CASE("S by tasters errs no more than it says when half of them tell") {
    constexpr int k_panels = 300, k_tasters = 24;
    int called = 0;
    for (int panel = 0; panel < k_panels; ++panel) {
        core::PhiloxStream stream(7, static_cast<std::uint64_t>(panel));
        std::vector<SignalCounts> tasters;
        for (int i = 0; i < k_tasters; ++i) {
            const double d = i % 2 == 0 ? 0.0 : 2.3;   // the pooled rates are those of d near 1.1
            SignalCounts one{0, 2, 0, 2};
            const SignalRates rates = signal_rates(yes_no, d, 0);
            for (int k = 0; k < 2; ++k) {
                one.hits += static_cast<double>(stream.next()) / 4294967296.0 < rates.hit;
                one.false_alarms += static_cast<double>(stream.next()) / 4294967296.0 < rates.false_alarm;
            }
            tasters.push_back(one);
        }
        const SignalRates mixed{(signal_rates(yes_no, 2.3, 0).hit + 0.5) / 2, 0, 0, 0};
        const double pooled = 2 * normal_quantile(mixed.hit);
        called += significant(signal_p_similar(yes_no, tasters, pooled), 0.05);
    }
    CHECK(called <= 27);   // .05 with three Monte Carlo errors (.013 each) is .088
}

TEST_CASE("sizes of signals agree with a plain walk") {
    for (const SignalRule rule : {yes_no, pairs}) {
        const SignalQuestion question{.rule = rule, .d = 2, .criterion = best_criterion(rule, 2), .alpha = 0.05};
        const auto size = size_signals(question, 0.8);
        REQUIRE(size);
        std::int64_t first = 0, last_short = 0;
        for (std::int64_t n = 2; n <= 120; ++n) {
            const bool good = signal_power(question, n) >= 0.8;
            if (good && first == 0) first = n;
            if (!good) last_short = n;
        }
        CHECK(size->tasters == first);
        CHECK(size->tasters_safe == last_short + 1);
        CHECK(size->alpha_actual <= 0.05);
        CHECK(size->power_actual >= 0.8);
    }
    const auto unequal = size_signals({.rule = yes_no, .d = 1.5, .share = {1, 2}}, 0.8);
    const auto equal = size_signals({.rule = yes_no, .d = 1.5}, 0.8);
    REQUIRE((unequal && equal));
    CHECK(unequal->tasters > equal->tasters);
    CHECK_FALSE(size_signals({.rule = pairs, .d = 0.05, .criterion = 1.4}, 0.8));
}

TEST_CASE("sizes for few enough") {
    const SignalQuestion question{.rule = yes_no, .d = 0, .criterion = 0, .alpha = 0.05, .margin = 1.5};
    const auto size = size_signals(question, 0.8);
    REQUIRE(size);
    CHECK(size->power_actual >= 0.8);
    CHECK(size->alpha_actual <= 0.05 * (1 + 1e-9));
    CHECK(signal_power(question, size->tasters - 1) < 0.8);
}
