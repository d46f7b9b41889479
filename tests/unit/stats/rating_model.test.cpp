#include "oddplate/stats/rating_model.hpp"

#include <catch2/catch.hpp>

#include <algorithm>

#include "mixed_reference.hpp"
#include "oddplate/core/philox.hpp"
#include "oddplate/stats/normal.hpp"

using namespace oddplate;
using namespace oddplate::stats;

namespace {

std::vector<Rating> wine() {
    const auto columns = tests::mixed_columns("wine");
    std::vector<Rating> ratings;
    for (std::size_t i = 0; i < columns.y.size(); ++i)
        ratings.push_back({static_cast<std::int32_t>(columns.a[i]), static_cast<std::int32_t>(columns.b[i]), columns.y[i]});
    return ratings;
}

RatingModel fitted(const std::vector<Rating>& ratings, std::int32_t samples, std::int32_t tasters, const RatingQuestion& question = {}) {
    auto model = rating_model(ratings, samples, tasters, question);
    REQUIRE(model);
    return *std::move(model);
}

bool has(const RatingModel& model, RatingNote note) { return std::find(model.notes.begin(), model.notes.end(), note) != model.notes.end(); }

const SamplePair& pair_of(const RatingModel& model, int a, int b) {
    for (const SamplePair& pair : model.pairs)
        if (pair.a == a && pair.b == b) return pair;
    FAIL("no such pair");
    return model.pairs.front();
}

// Tasters with a level and a liking of their own; pieces, sittings and positions that do nothing.
std::vector<Rating> kitchen(int tasters, int samples, int times, std::uint64_t seed) {
    core::PhiloxStream chance(seed, 0);
    const auto normal = [&] { return normal_quantile(chance.uniform()); };
    std::vector<Rating> out;
    for (int t = 0; t < tasters; ++t) {
        const double level = normal();
        for (int s = 0; s < samples; ++s) {
            const double liking = 0.7 * normal();
            for (int r = 0; r < times; ++r)
                out.push_back({t, s, 5 + 0.4 * s + level + liking + normal(), r, s * 3 + (t + r) % 3, (s + t + r) % samples, s == 0 ? -1 : (s + t) % samples});
        }
    }
    return out;
}

}   // namespace

// R 4.2.2 on the line scores of Randall 1989: aov(score ~ judge + bottle), F = 11.845 on 7 and 56; TukeyHSD pairs.
TEST_CASE("complete ratings give the two-way table's F and Tukey's comparisons") {
    const RatingModel model = fitted(wine(), 8, 9);
    REQUIRE(model.test);
    CHECK(model.test->f == Approx(11.845).margin(5e-4));
    CHECK(model.test->df1 == 7);
    CHECK(model.test->df2 == Approx(56).epsilon(1e-8));
    CHECK(model.test->p_value == Approx(3.79e-9).epsilon(2e-3));
    CHECK(model.family == MaxTKind::range);
    REQUIRE(model.pairs.size() == 28);
    const SamplePair& first = pair_of(model, 0, 6);
    CHECK(first.test.estimate == Approx(-40.555555556).epsilon(1e-9));
    CHECK(first.limits.lower == Approx(-59.23593020).epsilon(1e-6));
    CHECK(first.limits.upper == Approx(-21.87518091).epsilon(1e-6));
    CHECK(first.p_adjusted == Approx(1.774174718e-07).margin(1e-10));
    CHECK(pair_of(model, 0, 1).p_adjusted == Approx(0.9897053918).epsilon(1e-7));
    CHECK(pair_of(model, 2, 5).p_adjusted == Approx(0.8680584590).epsilon(1e-7));
    CHECK(has(model, RatingNote::no_repeats));
    REQUIRE(model.scatter.size() == 2);
    CHECK(model.scatter[0].what == ScatterOf::taster);
    CHECK(model.scatter[0].deviation == Approx(8.51699398).epsilon(1e-6));   // lme4, tests/reference/mixed_fits.csv
    CHECK(model.samples[0].mean == Approx(257.0 / 9).epsilon(1e-12));
    CHECK(model.samples[0].scores == 9);
}

TEST_CASE("renaming samples or tasters permutes the results, a constant moves the means alone") {
    std::vector<Rating> ratings = kitchen(10, 4, 2, 3);
    ratings.erase(ratings.begin() + 5, ratings.begin() + 9);
    const RatingModel before = fitted(ratings, 4, 10);
    for (Rating& rating : ratings) {
        rating.sample = 3 - rating.sample;
        rating.taster = (rating.taster + 4) % 10;
        rating.before = rating.before < 0 ? -1 : 3 - rating.before;
        rating.score += 100;
    }
    std::reverse(ratings.begin(), ratings.end());
    const RatingModel after = fitted(ratings, 4, 10);
    CHECK(after.test->f == Approx(before.test->f).epsilon(1e-7));
    CHECK(after.test->df2 == Approx(before.test->df2).epsilon(1e-6));
    for (int s = 0; s < 4; ++s)
        CHECK(after.samples[static_cast<std::size_t>(3 - s)].mean == Approx(before.samples[static_cast<std::size_t>(s)].mean + 100).epsilon(1e-9));
    CHECK(pair_of(after, 2, 3).test.estimate == Approx(-pair_of(before, 0, 1).test.estimate).epsilon(1e-7));
    CHECK(pair_of(after, 2, 3).p_adjusted == Approx(pair_of(before, 0, 1).p_adjusted).epsilon(0.02));   // other directions are drawn
}

TEST_CASE("ratings take up the terms that they can tell") {
    const RatingModel model = fitted(kitchen(24, 4, 2, 5), 4, 24, {0.95, 0, true, 1});
    REQUIRE(model.scatter.size() == 5);
    CHECK(model.scatter[1].what == ScatterOf::taster_by_sample);
    CHECK(model.scatter[2].what == ScatterOf::piece);
    CHECK(model.scatter[3].what == ScatterOf::sitting);
    CHECK_FALSE(has(model, RatingNote::no_repeats));
    REQUIRE(model.position);
    CHECK(model.position->df1 == 3);
    REQUIRE(model.carry_over);
    CHECK(model.against.size() == 3);
    CHECK(model.against[0].b == 0);
    for (const SamplePair& pair : model.against) CHECK(pair.p_adjusted <= pair_of(model, 0, pair.a).p_adjusted + 1e-9);   // three comparisons, not six
    for (const ScatterPart& part : model.scatter) {
        REQUIRE(part.limits);
        CHECK(part.limits->lower <= part.deviation);
        CHECK(part.limits->upper >= part.deviation);
    }
    CHECK(model.taster_shift.size() == 24);
    CHECK(model.residuals.size() == 192);
}

TEST_CASE("a whole piece a sample leaves no test, several do") {
    std::vector<Rating> ratings = kitchen(12, 3, 1, 6);
    for (Rating& rating : ratings) rating.piece = rating.sample;
    const RatingModel one = fitted(ratings, 3, 12);
    CHECK_FALSE(one.test);
    CHECK(has(one, RatingNote::one_piece_a_sample));
    for (const SamplePair& pair : one.pairs) CHECK(pair.p_adjusted == 1);
    for (Rating& rating : ratings) rating.piece = rating.sample * 2 + rating.taster % 2;
    const RatingModel two = fitted(ratings, 3, 12);
    REQUIRE(two.test);
    CHECK(two.test->df2 < 12);   // three degrees of freedom are those of the pieces; tasters' many scores cannot buy more
    for (Rating& rating : ratings) rating.piece = -1, rating.sitting = rating.sample;
    CHECK(has(fitted(ratings, 3, 12), RatingNote::one_sitting_a_sample));
}

TEST_CASE("a place that is the sample is left out and said") {
    std::vector<Rating> ratings = kitchen(8, 3, 1, 7);
    for (Rating& rating : ratings) rating.position = rating.sample;
    const RatingModel model = fitted(ratings, 3, 8);
    CHECK_FALSE(model.position);
    CHECK(has(model, RatingNote::position_not_estimable));
}

TEST_CASE("repeats that are all alike are averaged, and said") {
    std::vector<Rating> ratings = kitchen(8, 3, 1, 8);
    const RatingModel single = fitted(ratings, 3, 8);
    std::vector<Rating> twice = ratings;
    for (Rating rating : ratings) twice.push_back(rating);
    for (Rating& rating : twice) rating.sitting = 0, rating.position = rating.before = rating.piece = -1;
    for (Rating& rating : ratings) rating.sitting = 0, rating.position = rating.before = rating.piece = -1;
    const RatingModel model = fitted(twice, 3, 8);
    CHECK(has(model, RatingNote::repeats_alike));
    CHECK(model.test->f == Approx(fitted(ratings, 3, 8).test->f).epsilon(1e-8));
    CHECK(model.samples[0].scores == 16);
    CHECK(model.residuals.size() == 48);
}

TEST_CASE("two samples are a paired t") {
    const std::vector<double> a{5, 6, 4, 7, 5.5, 6}, b{6, 6.5, 5.5, 7, 6, 7.5};
    std::vector<Rating> ratings;
    double mean = 0, square = 0;
    for (std::size_t i = 0; i < 6; ++i) {
        ratings.push_back({static_cast<std::int32_t>(i), 0, a[i]});
        ratings.push_back({static_cast<std::int32_t>(i), 1, b[i]});
        mean += (a[i] - b[i]) / 6;
    }
    for (std::size_t i = 0; i < 6; ++i) square += std::pow(a[i] - b[i] - mean, 2) / 5;
    const RatingModel model = fitted(ratings, 2, 6);
    CHECK(model.pairs[0].test.t == Approx(mean / std::sqrt(square / 6)).epsilon(1e-7));
    CHECK(model.pairs[0].test.df == Approx(5).epsilon(1e-7));
    CHECK(model.pairs[0].p_adjusted == model.pairs[0].test.p_value);
    CHECK(model.family == MaxTKind::single);
}

TEST_CASE("ratings that say nothing are refused in a sentence") {
    const auto code = [](const std::vector<Rating>& ratings, std::int32_t samples, std::int32_t tasters) {
        const auto model = rating_model(ratings, samples, tasters);
        REQUIRE_FALSE(model);
        return model.faults().front().code;
    };
    CHECK(code({}, 3, 4) == "no-scores");
    CHECK(code({{0, 0, 5}, {1, 0, 6}}, 1, 2) == "one-sample");
    CHECK(code({{0, 0, 5}, {1, 0, 6}}, 2, 2) == "sample-unscored");
    CHECK(code({{0, 0, 5}, {0, 1, 6}, {0, 1, 7}}, 2, 1) == "one-taster");
    CHECK(code({{0, 0, 5}, {0, 1, 5}, {1, 0, 5}, {1, 1, 5}}, 2, 2) == "no-spread");
    CHECK(code({{0, 0, 5}, {0, 1, 6}, {1, 0, 7}, {1, 1, 8}}, 2, 2) == "no-spread");    // all the same steps
    CHECK(code({{0, 0, 5}, {1, 1, 6}}, 2, 2) == "no-spread");
}
