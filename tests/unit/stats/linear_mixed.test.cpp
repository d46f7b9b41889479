#include "oddplate/stats/linear_mixed.hpp"

#include <catch2/catch.hpp>

#include <numbers>

#include "mixed_reference.hpp"
#include "oddplate/core/philox.hpp"
#include "oddplate/stats/normal.hpp"

using namespace oddplate;
using namespace oddplate::stats;
using oddplate::tests::mixed_set;
using oddplate::tests::mixed_truth;

namespace {

constexpr const char* k_sets[] = {"sleepstudy", "cake", "dyestuff", "dyestuff2", "penicillin", "pastes", "warpbreaks", "orchard", "npk", "wine", "gaps"};

LinearMixed model_of(const MixedData& data) {
    auto made = LinearMixed::make(data);
    REQUIRE(made);
    return *std::move(made);
}

// Tasters 0 .. tasters - 1 score every sample `times`; the taster's own shift has deviation `taster`, his shift for a sample `both`.
MixedData panel(int tasters, int samples, int times, double taster, double both, std::uint64_t seed) {
    core::PhiloxStream chance(seed, 0);
    const auto normal = [&] { return normal_quantile(chance.uniform()); };
    MixedData data;
    data.columns = static_cast<std::size_t>(samples);
    RandomTerm who{"taster", {}, tasters, {}}, pair{"taster and sample", {}, tasters * samples, {}};
    for (int i = 0; i < tasters; ++i) {
        const double own = taster * normal();
        for (int j = 0; j < samples; ++j) {
            const double shift = own + both * normal();
            for (int r = 0; r < times; ++r) {
                for (int c = 0; c < samples; ++c) data.x.push_back(c == j ? 1.0 : 0.0);
                data.y.push_back(5.0 + 0.2 * j + shift + normal());
                who.level.push_back(i);
                pair.level.push_back(i * samples + j);
            }
        }
    }
    data.terms.push_back(who);
    if (times > 1) data.terms.push_back(pair);
    return data;
}

}   // namespace

TEST_CASE("mixed models reach the likelihood and the estimates of the general package") {
    for (const std::string set : k_sets) {
        const LinearMixed model = model_of(mixed_set(set));
        for (const std::string criterion : {"restricted", "full"}) {
            CAPTURE(set, criterion);
            const auto truth = mixed_truth(set, criterion);
            REQUIRE(truth.contains("deviance"));
            const MixedFit fit = model.fit(criterion == "full" ? MixedCriterion::full : MixedCriterion::restricted);
            CHECK(fit.converged);
            CHECK(fit.deviance == Approx(truth.at("deviance")).margin(1e-6).epsilon(0));
            CHECK(fit.log_likelihood == -fit.deviance / 2);
            if (truth.contains("residual")) CHECK(fit.residual_deviation == Approx(truth.at("residual")).epsilon(1e-6));
            for (std::size_t i = 0; i < fit.coefficients.size(); ++i) {
                const std::string index = std::to_string(i);
                CHECK(fit.coefficients[i] == Approx(truth.at("b" + index)).epsilon(1e-6).margin(1e-8));
                if (truth.contains("se" + index)) CHECK(std::sqrt(fit.covariance[i * fit.coefficients.size() + i]) == Approx(truth.at("se" + index)).epsilon(1e-6));
            }
            for (const VarianceTerm& term : fit.terms) {
                const double expected = truth.at("sd_" + term.name);
                CHECK(term.deviation == Approx(expected).epsilon(1e-6).margin(1e-9));
                CHECK(term.boundary == (expected == 0));
                if (!term.slope_deviation) continue;
                CHECK(*term.slope_deviation == Approx(truth.at("sd_slope")).epsilon(1e-6));
                CHECK(*term.correlation == Approx(truth.at("correlation")).margin(1e-6));
            }
        }
    }
}

// Bates, Maechler, Bolker & Walker 2015, J. Statistical Software 67(1), print 251.405, 10.467, 24.740, 5.922, .07, 25.592 and 1743.6 for
// sleepstudy; Dyestuff (Davies & Goldsmith) is balanced, so its variances are (MSB - MSW)/5 = 1764.05 and MSW = 2451.25 exactly.
TEST_CASE("mixed models give the published values of sleepstudy and Dyestuff") {
    const MixedFit sleep = model_of(mixed_set("sleepstudy")).fit(MixedCriterion::restricted);
    CHECK(sleep.coefficients[0] == Approx(251.405).margin(5e-4));
    CHECK(sleep.coefficients[1] == Approx(10.467).margin(5e-4));
    CHECK(sleep.terms[0].deviation == Approx(24.740).margin(6e-4));
    CHECK(*sleep.terms[0].slope_deviation == Approx(5.922).margin(5e-4));
    CHECK(*sleep.terms[0].correlation == Approx(0.07).margin(5e-3));
    CHECK(sleep.residual_deviation == Approx(25.592).margin(5e-4));
    CHECK(sleep.deviance == Approx(1743.6).margin(0.05));
    const MixedFit dye = model_of(mixed_set("dyestuff")).fit(MixedCriterion::restricted);
    CHECK(dye.terms[0].deviation * dye.terms[0].deviation == Approx(1764.05).epsilon(1e-8));
    CHECK(dye.residual_deviation * dye.residual_deviation == Approx(2451.25).epsilon(1e-8));
    CHECK(dye.coefficients[0] == Approx(1527.5).epsilon(1e-13));
}

TEST_CASE("the slope of the deviance is that of its differences") {
    for (const std::string set : {"sleepstudy", "penicillin", "pastes", "gaps", "orchard"}) {
        const LinearMixed model = model_of(mixed_set(set));
        for (const MixedCriterion criterion : {MixedCriterion::restricted, MixedCriterion::full}) {
            std::vector<double> theta(set == "dyestuff" ? 1 : set == "gaps" || set == "sleepstudy" ? 3 : 2, 0.0);
            for (std::size_t k = 0; k < theta.size(); ++k) theta[k] = 0.4 + 0.3 * static_cast<double>(k);
            const LinearMixed::Height here = model.height(theta, criterion);
            for (std::size_t k = 0; k < theta.size(); ++k) {
                CAPTURE(set, k);
                const double h = 1e-5;
                std::vector<double> up = theta, down = theta;
                up[k] += h;
                down[k] -= h;
                const auto above = model.height(up, criterion), below = model.height(down, criterion);
                CHECK(here.log_det_slope[k] == Approx((above.log_det - below.log_det) / (2 * h)).epsilon(1e-6));
                CHECK(here.r2_slope[k] == Approx((above.r2 - below.r2) / (2 * h)).epsilon(1e-5));
            }
        }
    }
}

TEST_CASE("adding a constant to every score moves the means alone, scaling scales") {
    MixedData data = mixed_set("gaps");
    const MixedFit before = model_of(data).fit(MixedCriterion::restricted);
    for (double& score : data.y) score = 1000.0 + 10.0 * score;
    const MixedFit after = model_of(data).fit(MixedCriterion::restricted);
    CHECK(after.coefficients[0] == Approx(1000.0 + 10.0 * before.coefficients[0]).epsilon(1e-10));
    CHECK(after.coefficients[1] == Approx(10.0 * before.coefficients[1]).epsilon(1e-8));
    for (std::size_t t = 0; t < 3; ++t) CHECK(after.terms[t].deviation == Approx(10.0 * before.terms[t].deviation).epsilon(1e-7));
}

TEST_CASE("a balanced panel's variances are those of its mean squares") {
    const MixedData data = panel(12, 3, 2, 1.0, 1.5, 4);
    const MixedFit fit = model_of(data).fit(MixedCriterion::restricted);
    double within = 0.0, between_pairs = 0.0, between_tasters = 0.0, all = 0.0;
    std::vector<double> pair(36, 0.0), taster(12, 0.0), sample(3, 0.0);
    for (std::size_t i = 0; i < data.y.size(); ++i) {
        const auto at = static_cast<std::size_t>(data.terms[1].level[i]);
        pair[at] += data.y[i] / 2;
        taster[at / 3] += data.y[i] / 6;
        sample[at % 3] += data.y[i] / 24;
        all += data.y[i] / 72;
    }
    for (std::size_t i = 0; i < data.y.size(); ++i) within += std::pow(data.y[i] - pair[static_cast<std::size_t>(data.terms[1].level[i])], 2) / 36;
    for (std::size_t i = 0; i < 36; ++i) between_pairs += 2 * std::pow(pair[i] - taster[i / 3] - sample[i % 3] + all, 2) / 22;
    for (const double mean : taster) between_tasters += 6 * std::pow(mean - all, 2) / 11;
    REQUIRE(between_pairs > within);
    REQUIRE(between_tasters > between_pairs);
    CHECK(std::pow(fit.residual_deviation, 2) == Approx(within).epsilon(1e-7));
    CHECK(std::pow(fit.terms[1].deviation, 2) == Approx((between_pairs - within) / 2).epsilon(1e-6));
    CHECK(std::pow(fit.terms[0].deviation, 2) == Approx((between_tasters - between_pairs) / 6).epsilon(1e-6));
}

TEST_CASE("mixed models refuse in a sentence what they cannot fit") {
    MixedData data = panel(4, 2, 1, 1.0, 0.0, 1);
    const auto code = [&] {
        const auto made = LinearMixed::make(data);
        return made ? std::string("made") : made.faults().front().code;
    };
    CHECK(code() == "made");
    const MixedData sound = data;
    data.y.assign(data.y.size(), 3.1);
    CHECK(code() == "no-spread");
    data = sound;
    data.y[2] = std::nan("");
    CHECK(code() == "not-finite");
    data = sound;
    for (std::size_t i = 0; i < data.y.size(); ++i) data.x[2 * i] = data.x[2 * i + 1];
    CHECK(code() == "not-estimable");
    data = sound;
    data.terms[0] = {"score", {0, 1, 2, 3, 4, 5, 6, 7}, 8, {}};
    CHECK(code() == "no-repeats");
    data.terms[0] = {"taster", std::vector<std::int32_t>(8, 0), 1, {}};
    CHECK(code() == "one-level");
    data = {};
    data.columns = 1;
    CHECK(code() == "no-rows");
}
