#include "oddplate/stats/sureness.hpp"

#include <catch2/catch.hpp>

#include <cmath>
#include <functional>

#include "oddplate/stats/normal.hpp"

using namespace oddplate::stats;

namespace {

constexpr auto yes_no = SignalRule::yes_no, pairs = SignalRule::same_different;

// Oracle: the index of every relabelling within tasters, taster by taster.
double plain_p(const std::vector<SurenessCounts>& tasters) {
    SurenessCounts all = tasters.front();
    for (std::size_t t = 1; t < tasters.size(); ++t)
        for (std::size_t j = 0; j < all.signals.size(); ++j)
            all.signals[j] += tasters[t].signals[j], all.noises[j] += tasters[t].noises[j];
    const double observed = *r_index(all);
    double ways = 0, reached = 0;
    SurenessCounts now{std::vector<std::int64_t>(all.signals.size()), std::vector<std::int64_t>(all.signals.size())};
    std::function<void(std::size_t)> deal = [&](std::size_t t) {
        if (t == tasters.size()) {
            ++ways;
            reached += *r_index(now) >= observed - 1e-12;
            return;
        }
        std::vector<std::size_t> answers;
        std::int64_t signals = 0;
        for (std::size_t j = 0; j < all.signals.size(); ++j) {
            signals += tasters[t].signals[j];
            for (std::int64_t i = 0; i < tasters[t].signals[j] + tasters[t].noises[j]; ++i) answers.push_back(j);
        }
        for (unsigned pick = 0; pick < 1U << answers.size(); ++pick) {
            if (__builtin_popcount(pick) != signals) continue;
            for (std::size_t i = 0; i < answers.size(); ++i) ++((pick >> i & 1U) != 0 ? now.signals : now.noises)[answers[i]];
            deal(t + 1);
            for (std::size_t i = 0; i < answers.size(); ++i) --((pick >> i & 1U) != 0 ? now.signals : now.noises)[answers[i]];
        }
    };
    deal(0);
    return reached / ways;
}

}   // namespace

TEST_CASE("the R-index counts pairs") {
    CHECK(*r_index({{0, 0, 5}, {5, 0, 0}}) == 1);
    CHECK(*r_index({{2, 2}, {2, 2}}) == 0.5);
    // 3 signals (categories 1, 2, 2) against 2 noises (0, 2): wins 2 + 1.5 of each 3 pairs: (1 + 0) + (1 + .5) + (1 + .5) of 6
    CHECK(*r_index({{0, 1, 2}, {1, 0, 1}}) == Approx(4.0 / 6));
    CHECK_FALSE(r_index({{0, 0}, {1, 2}}));
}

TEST_CASE("the R-index's p counts every relabelling") {
    const std::vector<std::vector<SurenessCounts>> panels{
        {{{0, 1, 1, 4}, {3, 2, 1, 0}}},
        {{{0, 0, 2}, {1, 1, 0}}, {{1, 0, 1}, {1, 1, 0}}, {{0, 1, 0}, {0, 1, 1}}},
        {{{0, 1, 0}, {0, 0, 0}}, {{0, 0, 1}, {1, 0, 0}}}};
    for (const auto& panel : panels) {
        const PValue p = r_index_p(panel, 1);
        CHECK(p.found == Found::exact);
        CHECK(p.p == Approx(plain_p(panel)).epsilon(1e-10));
    }
    // Two categories are Fisher's test: a lady tasting tea, 3 + 3 of 4 + 4 right.
    CHECK(r_index_p(std::vector<SurenessCounts>{{{1, 3}, {3, 1}}}, 1).p == Approx(17.0 / 70).epsilon(1e-12));
}

TEST_CASE("a large panel's p is drawn, and near what is counted") {
    const std::vector<SurenessCounts> small{{{5, 8, 9, 14, 12, 12}, {12, 11, 14, 9, 8, 6}}};
    const PValue exact = r_index_p(small, 3);
    CHECK(exact.found == Found::exact);
    const std::vector<SurenessCounts> large{{{500, 505, 509, 514, 512, 512}, {512, 511, 514, 509, 508, 500}}};
    const PValue drawn = r_index_p(large, 3);
    CHECK(drawn.found == Found::monte_carlo);
    CHECK(drawn.p > 0.1);
    CHECK(drawn.p < 0.6);
}

TEST_CASE("the R-index's interval") {
    const Interval middle = r_index_interval(0.8, 40, 40, 0.9);
    for (const double end : {middle.lower, middle.upper}) {
        const double v = end * (1 - end) * (1 + 39 * ((1 - end) / (2 - end) + end / (1 + end))) / 1600;
        CHECK(std::abs(0.8 - end) == Approx(normal_upper_quantile(0.05) * std::sqrt(v)).epsilon(1e-8));
    }
    const Interval all = r_index_interval(1, 10, 10, 0.9);
    CHECK(all.upper == 1);
    CHECK(all.lower > 0.7);
    CHECK(all.lower < 0.95);
    CHECK(r_index_interval(0, 10, 10, 0.9).upper == Approx(1 - all.lower).margin(1e-8));
    CHECK(r_index_interval(0.8, 40, 40, 0.9, 2).lower < middle.lower);
}

TEST_CASE("tasters who differ widen the R-index") {
    std::vector<SurenessCounts> alike, kinds;
    for (int i = 0; i < 20; ++i) {
        alike.push_back(i % 2 == 0 ? SurenessCounts{{0, 1}, {0, 0}} : SurenessCounts{{0, 0}, {1, 0}});
        kinds.push_back(i % 2 == 0 ? SurenessCounts{{0, 4}, {4, 0}} : SurenessCounts{{2, 2}, {2, 2}});
    }
    CHECK(r_index_spread(alike) == 1);
    CHECK(r_index_spread(kinds) > 1.3);
}

TEST_CASE("two categories give the d' of hits and false alarms") {
    for (const SignalRule rule : {yes_no, pairs}) {
        const SignalEstimate fit = fit_sureness(rule, {{9, 21}, {20, 8}}, 0.9);
        const SignalFit plain = fit_signals(rule, {21, 30, 8, 28}, 0.9);
        CHECK(*fit.estimate == Approx(*plain.d.estimate).epsilon(1e-5));
        CHECK(*fit.lower == Approx(*plain.d.lower).epsilon(1e-5));
        CHECK(*fit.upper == Approx(*plain.d.upper).epsilon(1e-5));
    }
}

TEST_CASE("d' from ratings finds the truth that made them, thresholds uneven") {
    for (const SignalRule rule : {yes_no, pairs}) {
        const std::vector<double> thresholds =
            rule == yes_no ? std::vector{-1.1, -0.2, 0.1, 1.4} : std::vector{0.4, 1.0, 1.2, 3.0};
        SurenessCounts counts{std::vector<std::int64_t>(5), std::vector<std::int64_t>(5)};
        double hit = 1, alarm = 1;
        for (std::size_t j = 0; j < 5; ++j) {
            SignalRates above{0, 1, 0, 1};
            if (j < 4) above = signal_rates(rule, 1.3, thresholds[j]);
            counts.signals[j] = std::llround(1e6 * (hit - above.hit));
            counts.noises[j] = std::llround(1e6 * (alarm - above.false_alarm));
            hit = above.hit, alarm = above.false_alarm;
        }
        const SignalEstimate fit = fit_sureness(rule, counts, 0.95);
        CHECK(*fit.estimate == Approx(1.3).epsilon(2e-5));
        CHECK(*fit.lower < 1.3);
        CHECK(*fit.upper > 1.3);
        CHECK(*fit.upper - *fit.lower < 0.02);
    }
}

TEST_CASE("ratings at the ends") {
    const SignalEstimate apart = fit_sureness(yes_no, {{0, 0, 3, 7}, {6, 4, 0, 0}}, 0.9);
    CHECK_FALSE(apart.estimate);
    CHECK(*apart.lower > 1.5);
    CHECK_FALSE(apart.upper);
    CHECK_FALSE(fit_sureness(yes_no, {{5, 0}, {5, 0}}, 0.9).estimate);   // one category used: nothing is said
    const SignalEstimate below = fit_sureness(pairs, {{4, 3, 1}, {1, 3, 4}}, 0.9);
    CHECK(*below.estimate == 0);
    CHECK(*below.lower == 0);
    CHECK(*below.upper > 0);
}
