#include "oddplate/stats/rating_model.hpp"
#include "oddplate/stats/normal.hpp"
#include "oddplate/core/philox.hpp"
#include "oddplate/stats/variance_interval.hpp"

#include <catch2/catch.hpp>

#include <cmath>

#include "mixed_reference.hpp"

using namespace oddplate;
using namespace oddplate::stats;
using oddplate::tests::mixed_set;

// lme4 1.1.31, confint(fit, method = "profile") of the full likelihood fits (it profiles that one, to about 1e-3).
TEST_CASE("profile limits of deviations agree with the general package") {
    const auto limits = [](const std::string& set, std::optional<std::size_t> term) {
        const LinearMixed model = *LinearMixed::make(mixed_set(set));
        return variance_interval(model, model.fit(MixedCriterion::full), term, 0.95);
    };
    CHECK(limits("dyestuff", 0).lower == Approx(12.198535).epsilon(2e-3).margin(2e-3));
    CHECK(limits("dyestuff", 0).upper == Approx(84.063047).epsilon(2e-3));
    CHECK(limits("dyestuff", std::nullopt).lower == Approx(38.229985).epsilon(2e-3).margin(2e-3));
    CHECK(limits("dyestuff", std::nullopt).upper == Approx(67.657696).epsilon(2e-3));
    CHECK(limits("penicillin", 0).lower == Approx(0.63356597).epsilon(2e-3).margin(2e-3));
    CHECK(limits("penicillin", 0).upper == Approx(1.182104).epsilon(2e-3));
    CHECK(limits("penicillin", 1).lower == Approx(1.0957895).epsilon(2e-3).margin(2e-3));
    CHECK(limits("penicillin", 1).upper == Approx(3.5562919).epsilon(2e-3));
    CHECK(limits("penicillin", std::nullopt).lower == Approx(0.4858454).epsilon(2e-3).margin(2e-3));
    CHECK(limits("penicillin", std::nullopt).upper == Approx(0.62945348).epsilon(2e-3));
    CHECK(limits("gaps", 1).lower == Approx(0).epsilon(2e-3).margin(2e-3));
    CHECK(limits("gaps", 1).upper == Approx(1.1972486).epsilon(2e-3));
    CHECK(limits("gaps", 0).lower == Approx(0.57626524).epsilon(2e-3).margin(2e-3));
    CHECK(limits("gaps", 0).upper == Approx(1.5729616).epsilon(2e-3));
    CHECK(limits("gaps", 2).lower == Approx(0.18311608).epsilon(2e-3).margin(2e-3));
    CHECK(limits("gaps", 2).upper == Approx(1.7344538).epsilon(2e-3));
    CHECK(limits("gaps", std::nullopt).lower == Approx(0.92696658).epsilon(2e-3).margin(2e-3));
    CHECK(limits("gaps", std::nullopt).upper == Approx(1.4590073).epsilon(2e-3));
}

TEST_CASE("the deviance at a profile limit, all else free, lies the quantile above the least") {
    const LinearMixed model = *LinearMixed::make(mixed_set("dyestuff"));
    const MixedFit fit = model.fit(MixedCriterion::restricted);
    const Interval limits = variance_interval(model, fit, 0, 0.9);
    CHECK(limits.lower < fit.terms[0].deviation);
    CHECK(limits.upper > fit.terms[0].deviation);
    // One random term: at a fixed deviation t only the residual variance is free; a fine search over theta = t / sigma finds the same height.
    const double n = 29;
    for (const double t : {limits.lower, limits.upper}) {
        double best = 1e300;
        for (double theta = 0.05; theta < 6; theta *= 1.0005) {
            const double at[] = {theta}, s2 = t * t / (theta * theta);
            const auto h = model.height(at, MixedCriterion::restricted);
            best = std::min(best, h.log_det + n * std::log(2 * 3.14159265358979323846 * s2) + h.r2 / s2);
        }
        CHECK(best - fit.deviance == Approx(2.7055434541).epsilon(1e-4));   // chi-square, one degree of freedom, 10 %
    }
}

TEST_CASE("a deviation estimated as 0 has 0 as its lower limit") {
    const LinearMixed model = *LinearMixed::make(mixed_set("dyestuff2"));
    const MixedFit fit = model.fit(MixedCriterion::restricted);
    REQUIRE(fit.terms[0].boundary);
    const Interval limits = variance_interval(model, fit, 0, 0.95);
    CHECK(limits.lower == 0);
    CHECK(limits.upper > 0.1);
    CHECK(limits.upper < 10);
}

// Small tables with pieces and places as covariates, where the pieces' scatter often comes out as 0: the limits lie on both sides of every estimate.
TEST_CASE("deviation limits: an estimate never is its own limit", "[stats][mixed]") {
    int parts = 0;
    for (std::uint64_t table = 0; table < 60; ++table) {
        core::PhiloxStream stream(31, table);
        std::vector<stats::Rating> ratings;
        for (int taster = 0; taster < 32; ++taster) {
            const double own = 0.7 * stats::normal_quantile(stream.uniform());
            for (int place = 0; place < 3; ++place) {
                const int sample = (taster + place) % 4, piece = sample * 3 + static_cast<int>(stream.below(3));
                ratings.push_back({.taster = taster, .sample = sample, .score = std::round(6 + own + 0.3 * sample + stats::normal_quantile(stream.uniform())), .piece = piece, .position = place});
            }
        }
        const auto model = stats::rating_model(ratings, 4, 32, {});
        REQUIRE(model);
        for (const stats::ScatterPart& part : model->scatter) {
            INFO("table " << table << ", " << to_text(part.what) << " " << part.deviation);
            REQUIRE(part.limits);
            ++parts;
            CHECK(part.limits->upper > part.deviation * 1.02);
            CHECK((part.deviation < 0.02 || part.limits->lower < part.deviation * 0.98));
        }
    }
    CHECK(parts >= 120);
}
