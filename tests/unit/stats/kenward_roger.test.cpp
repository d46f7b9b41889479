#include "oddplate/stats/kenward_roger.hpp"

#include <catch2/catch.hpp>

#include "mixed_reference.hpp"
#include "oddplate/stats/test_laws.hpp"

using namespace oddplate;
using namespace oddplate::stats;
using oddplate::tests::mixed_set;
using oddplate::tests::mixed_truth;

namespace {

struct Fitted {
    LinearMixed model;
    MixedFit fit;
    explicit Fitted(const MixedData& data) : model(*LinearMixed::make(data)), fit(model.fit(MixedCriterion::restricted)) {}
    [[nodiscard]] FixedInference inference(FreedomKind kind = FreedomKind::kenward_roger) const { return FixedInference(model, fit, kind); }
};

// Unit contrasts for the coefficients from .. to - 1.
std::vector<double> units(std::size_t from, std::size_t to, std::size_t columns) {
    std::vector<double> out;
    for (std::size_t i = from; i < to; ++i) {
        out.resize(out.size() + columns, 0.0);
        out[out.size() - columns + i] = 1.0;
    }
    return out;
}

}   // namespace

TEST_CASE("Kenward-Roger agrees with its definition on dense matrices") {
    for (const std::string set : {"cake", "orchard", "npk", "wine", "gaps"}) {
        CAPTURE(set);
        const auto truth = mixed_truth(set, "restricted");
        const Fitted fitted(mixed_set(set));
        const std::size_t columns = fitted.fit.coefficients.size();
        const FixedInference inference = fitted.inference();
        REQUIRE(inference.kind() == FreedomKind::kenward_roger);
        const OverallTest all = inference.overall(units(1, columns, columns));
        CHECK(all.df1 == static_cast<double>(columns - 1));
        CHECK(all.f == Approx(truth.at("kr_f")).epsilon(2e-6));
        CHECK(all.df2 == Approx(truth.at("kr_df")).epsilon(2e-6));
        CHECK(all.p_value == f_upper(all.f, all.df1, all.df2));
        for (std::size_t i = 0; i < columns; ++i) {
            CHECK(std::sqrt(inference.covariance()[i * columns + i]) == Approx(truth.at("kr_se" + std::to_string(i))).epsilon(2e-6));
            if (i == 0 || i > 3 || !truth.contains("kr_df" + std::to_string(i))) continue;
            const ContrastTest one = inference.contrast(units(i, i + 1, columns));
            CHECK(one.df == Approx(truth.at("kr_df" + std::to_string(i))).epsilon(2e-6));
            CHECK(one.estimate == fitted.fit.coefficients[i]);
        }
    }
}

// Balanced tables: F and degrees of freedom of the analysis of variance. Cake: Cochran & Cox 1957, table 7.4 (temperature F(5) = 20.51986,
// recipe .24879, interaction 1.00620 by general software); OrchardSprays: Finney 1947, treatment 51.20127 on 7 and 42; npk: N 12.25873,
// P .54413, K 6.16569 with all interactions in the model (MASS), so that here only degrees of freedom can be held against it.
TEST_CASE("balanced tables have the F and the degrees of freedom of their analysis of variance") {
    const Fitted cake(mixed_set("cake"));
    // Main effects of a table with interaction: means over the other factor. Columns: 1, recipe 2, temperature 5, products 10.
    std::vector<double> temperature, recipe;
    for (std::size_t t = 0; t < 5; ++t) {
        temperature.resize(temperature.size() + 18, 0.0);
        double* c = temperature.data() + t * 18;
        c[3 + t] = 1.0;
        c[8 + 2 * t] = c[9 + 2 * t] = 1.0 / 3;
    }
    for (std::size_t r = 0; r < 2; ++r) {
        recipe.resize(recipe.size() + 18, 0.0);
        double* c = recipe.data() + r * 18;
        c[1 + r] = 1.0;
        for (std::size_t t = 0; t < 5; ++t) c[8 + 2 * t + r] = 1.0 / 6;
    }
    for (const FreedomKind kind : {FreedomKind::kenward_roger, FreedomKind::satterthwaite}) {
        const FixedInference inference = cake.inference(kind);
        const OverallTest heat = inference.overall(temperature), of_recipe = inference.overall(recipe), both = inference.overall(units(8, 18, 18));
        CHECK(heat.f == Approx(20.51986).epsilon(1e-6));
        CHECK(heat.df2 == Approx(210).epsilon(1e-5));
        CHECK(of_recipe.f == Approx(0.24879).margin(1e-5));
        CHECK(of_recipe.df2 == Approx(42).epsilon(1e-5));
        CHECK(both.f == Approx(1.00620).epsilon(1e-5));
        CHECK(both.df1 == 10);
    }
    const Fitted npk(mixed_set("npk"));
    CHECK(npk.inference().contrast(units(1, 2, 4)).df == Approx(15).epsilon(1e-8));
}

// Randall 1989, line scores of 9 judges x 8 bottles: judges are complete blocks, so the bottles' F is that of the two-way table.
TEST_CASE("complete blocks give the two-way table's F, and a variance of 0 keeps its degrees of freedom") {
    const MixedData wine = mixed_set("wine");
    const Fitted fitted(wine);
    double judge[9]{}, bottle[8]{}, all = 0, error = 0, between = 0;
    for (std::size_t i = 0; i < 72; ++i) {
        judge[i / 8] += wine.y[i] / 8;
        bottle[i % 8] += wine.y[i] / 9;
        all += wine.y[i] / 72;
    }
    for (std::size_t i = 0; i < 72; ++i) error += std::pow(wine.y[i] - judge[i / 8] - bottle[i % 8] + all, 2) / 56;
    for (const double mean : bottle) between += 9 * std::pow(mean - all, 2) / 7;
    const OverallTest test = fitted.inference().overall(units(1, 8, 8));
    CHECK(test.f == Approx(between / error).epsilon(1e-7));
    CHECK(test.df2 == Approx(56).epsilon(1e-8));

    // OrchardSprays' columns have no variance of their own: 42 remain as in the Latin square. The error there is larger than the mixed model's.
    const Fitted orchard(mixed_set("orchard"));
    REQUIRE(orchard.fit.terms[1].boundary);
    CHECK(orchard.inference().overall(units(1, 8, 8)).df2 == Approx(42).epsilon(1e-8));
}

TEST_CASE("without random terms the tests are those of plain regression") {
    const Fitted plain(mixed_set("warpbreaks"));   // R's help: interaction F(2, 48) = 4.18907, p = .02104419
    for (const FreedomKind kind : {FreedomKind::kenward_roger, FreedomKind::satterthwaite}) {
        const OverallTest test = plain.inference(kind).overall(units(4, 6, 6));
        CHECK(test.f == Approx(4.18907).epsilon(2e-6));
        CHECK(test.df2 == Approx(48).epsilon(1e-9));
        CHECK(test.p_value == Approx(0.02104419).epsilon(1e-6));
        CHECK(plain.inference(kind).contrast(units(1, 2, 6)).df == Approx(48).epsilon(1e-9));
    }
}

TEST_CASE("contrasts that follow from others are not counted twice, and slopes take Satterthwaite's degrees of freedom") {
    const Fitted gaps(mixed_set("gaps"));
    std::vector<double> pairs = units(1, 4, 4);
    const OverallTest three = gaps.inference().overall(pairs);
    pairs.insert(pairs.end(), {0, 1, -1, 0, 0, 1, 0, -1, 0, 0, 1, -1});
    const OverallTest six = gaps.inference().overall(pairs);
    CHECK(six.df1 == 3);
    CHECK(six.f == Approx(three.f).epsilon(1e-9));
    CHECK(six.df2 == Approx(three.df2).epsilon(1e-9));
    // Kenward-Roger and Satterthwaite differ, but not by much, at twenty tasters.
    const ContrastTest other = gaps.inference(FreedomKind::satterthwaite).contrast(units(1, 2, 4));
    CHECK(other.df == Approx(gaps.inference().contrast(units(1, 2, 4)).df).epsilon(0.15));

    // Kuznetsova, Brockhoff & Christensen 2017, J. Statistical Software 82(13): Days in sleepstudy has 17 degrees of freedom, t = 6.77 (from memory).
    const Fitted sleep(mixed_set("sleepstudy"));
    const FixedInference inference = sleep.inference();
    CHECK(inference.kind() == FreedomKind::satterthwaite);
    const ContrastTest days = inference.contrast(units(1, 2, 2));
    CHECK(days.df == Approx(17).epsilon(1e-4));
    CHECK(days.t == Approx(6.77).margin(5e-3));
}
