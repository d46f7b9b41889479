#include "oddplate/stats/signal.hpp"

#include <catch2/catch.hpp>

#include <cmath>
#include <numbers>

#include "oddplate/stats/normal.hpp"
#include "reference_table.hpp"

using namespace oddplate::stats;
using namespace oddplate::tests;

namespace {
constexpr auto yes_no = SignalRule::yes_no, pairs = SignalRule::same_different;
}

TEST_CASE("rates, best criterion and curves of signals agree with quadrature") {
    const auto rows = reference_rows("signals.csv");
    REQUIRE(rows.size() == 60);
    Peak rates, criterion, curve;
    for (const Row& row : rows) {
        const double d = number(row, "d");
        const SignalRates yes = signal_rates(yes_no, d, number(row, "c"));
        const SignalRates pair = signal_rates(pairs, d, number(row, "tau"));
        rates.note(off(yes.hit, number(row, "yes_hit")));
        rates.note(off(yes.false_alarm, number(row, "yes_alarm")));
        rates.note(off(pair.hit, number(row, "pair_hit")));
        rates.note(off(pair.false_alarm, number(row, "pair_alarm")));
        criterion.note(off(best_criterion(pairs, d), number(row, "best_tau")));
        curve.note(off(same_different_link().gain(d), number(row, "pair_gain")));
        curve.note(off(same_different_link().shortfall(d), number(row, "pair_shortfall")));
        curve.note(off(yes_no_link().gain(d), number(row, "yes_gain")));
        curve.note(off(yes_no_link().shortfall(d), number(row, "yes_shortfall")));
        const double h = 1e-4 * std::max(1.0, d);
        if (d >= 0.25 && d < 5) {
            const double rise = (same_different_link().gain(d + h) - same_different_link().gain(d - h)) / (2 * h);
            CHECK(same_different_link().slope(d) == Approx(rise).epsilon(1e-6));
        }
    }
    CHECK(rates.worst() < 1e-13);
    CHECK(criterion.worst() < 1e-14);
    CHECK(curve.worst() < 2e-13);
}

TEST_CASE("yes-no estimates are the published ones") {
    // H .85, F .30: d' 1.5608 (Macmillan & Creelman 2005, ch. 5, false-memory example, as used in public lecture notes; the
    // printed table rounds z to 1.03 and -.52)
    const SignalFit fit = fit_signals(yes_no, {85, 100, 30, 100}, 0.9);
    CHECK(*fit.d.estimate == Approx(1.5608339016).margin(5e-10));
    CHECK(*fit.criterion.estimate == Approx(-(1.0364333895 - 0.5244005127) / 2).margin(5e-10));
    // Gourevitch & Galanter (1967), from memory: H(1-H)/(n phi(zH)^2) + F(1-F)/(n phi(zF)^2)
    const double by_hand = std::sqrt(0.85 * 0.15 / (100 * std::pow(normal_density(1.0364333895), 2)) +
                                     0.3 * 0.7 / (100 * std::pow(normal_density(0.5244005127), 2)));
    CHECK(*fit.standard_error == Approx(by_hand).epsilon(1e-9));
}

TEST_CASE("signal estimates give the rates back, and intervals end where the likelihood ratio says") {
    for (const SignalRule rule : {yes_no, pairs}) {
        const SignalCounts counts{21, 30, 9, 28};
        const SignalFit fit = fit_signals(rule, counts, 0.9);
        const SignalRates rates = signal_rates(rule, *fit.d.estimate, *fit.criterion.estimate);
        CHECK(rates.hit == Approx(0.7).epsilon(1e-12));
        CHECK(rates.false_alarm == Approx(9.0 / 28).epsilon(1e-12));
        const double z = normal_upper_quantile(0.05);
        CHECK(signal_root(rule, counts, *fit.d.lower) == Approx(z).epsilon(1e-9));
        CHECK(signal_root(rule, counts, *fit.d.upper) == Approx(-z).epsilon(1e-9));
        CHECK(signal_root(rule, counts, *fit.d.estimate) == Approx(0).margin(1e-6));
        CHECK(*fit.criterion.lower < *fit.criterion.estimate);
        CHECK(*fit.criterion.upper > *fit.criterion.estimate);
        const SignalFit wide = fit_signals(rule, counts, 0.9, 1.5);
        CHECK(*wide.d.lower < *fit.d.lower);
        CHECK(*wide.d.upper > *fit.d.upper);
        CHECK(*wide.standard_error == Approx(1.5 * *fit.standard_error));
    }
}

TEST_CASE("no criterion fits a distance better than the profile's") {
    const SignalCounts counts{17, 25, 11, 24};
    const auto likelihood = [&](const SignalRates& r) {
        return 17 * std::log(r.hit) + 8 * std::log(r.miss) + 11 * std::log(r.false_alarm) + 13 * std::log(r.rejection);
    };
    for (const SignalRule rule : {yes_no, pairs}) {
        for (const double d : {0.3, 1.0, 2.5}) {
            double best = -1e300;
            for (double c = rule == pairs ? 0.001 : -3.0; c < 6; c += 0.001)
                best = std::max(best, likelihood(signal_rates(rule, d, c)));
            const double free = likelihood({17.0 / 25, 8.0 / 25, 11.0 / 24, 13.0 / 24});
            CHECK(std::abs(signal_root(rule, counts, d)) == Approx(std::sqrt(2 * (free - best))).epsilon(1e-5));
        }
    }
}

TEST_CASE("empty and full cells leave one-sided intervals") {
    const SignalFit clean = fit_signals(yes_no, {12, 12, 0, 12}, 0.9);
    CHECK_FALSE(clean.d.estimate);
    REQUIRE(clean.d.lower);
    CHECK(*clean.d.lower > 2);
    CHECK_FALSE(clean.d.upper);
    CHECK_FALSE(clean.criterion.lower);   // any criterion between two worlds so far apart
    CHECK_FALSE(clean.criterion.upper);
    const SignalFit turned = fit_signals(yes_no, {0, 12, 12, 12}, 0.9);
    CHECK_FALSE(turned.d.lower);
    CHECK(*turned.d.upper == Approx(-*clean.d.lower).epsilon(1e-9));
    const SignalFit never = fit_signals(yes_no, {0, 12, 0, 12}, 0.9);
    CHECK_FALSE(never.d.estimate);
    CHECK_FALSE(never.d.lower);
    CHECK_FALSE(never.d.upper);
    CHECK(never.criterion.lower);
    CHECK_FALSE(never.criterion.upper);
    const SignalFit apart = fit_signals(pairs, {12, 12, 0, 12}, 0.9);
    CHECK_FALSE(apart.d.estimate);
    CHECK(*apart.d.lower > 2);
    CHECK_FALSE(apart.d.upper);
    const SignalFit same = fit_signals(pairs, {0, 12, 0, 12}, 0.9);
    CHECK_FALSE(same.d.estimate);
    CHECK(*same.d.lower == 0);
    CHECK_FALSE(same.d.upper);
    const SignalFit below = fit_signals(pairs, {3, 12, 6, 12}, 0.9);
    CHECK(*below.d.estimate == 0);
    CHECK(*below.d.lower == 0);
    CHECK(*below.d.upper < 2.5);
    CHECK_FALSE(below.standard_error);
    CHECK(*fit_signals(pairs, {1, 1, 1, 1}, 0.9).d.lower == 0);
}

TEST_CASE("tasters who differ widen the interval, tasters who answer once do not") {
    std::vector<SignalCounts> once, kinds;
    for (int i = 0; i < 40; ++i)
        once.push_back(i % 2 == 0 ? SignalCounts{i % 3 != 0, 1, 0, 0} : SignalCounts{0, 0, i % 3 == 0, 1});
    CHECK(taster_spread(yes_no, once) < 1.1);
    for (int i = 0; i < 20; ++i) kinds.push_back(i % 2 == 0 ? SignalCounts{6, 6, 0, 6} : SignalCounts{3, 6, 3, 6});
    CHECK(taster_spread(yes_no, kinds) > 1.3);
    CHECK(taster_spread(pairs, kinds) > 1.3);
    CHECK(taster_spread(yes_no, std::vector<SignalCounts>{{3, 6, 3, 6}}) == 1);
}
