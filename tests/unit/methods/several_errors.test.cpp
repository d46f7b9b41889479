// How often several recipes that are alike, or partly alike, are told apart all the same: seeded simulation, with ties, gaps and people who scatter unequally.
#include <catch2/catch.hpp>

#include <algorithm>
#include <cmath>

#include "../../../src/methods/ranks.hpp"
#include "../../../src/methods/ratings.hpp"
#include "oddplate/core/philox.hpp"
#include "oddplate/stats/blocks.hpp"
#include "oddplate/stats/normal.hpp"

using namespace oddplate;
using namespace oddplate::methods;

namespace {

/// What made-up people are like.
struct House {
    int samples{4}, tasters{24};
    double gap{0};              ///< by how much samples 0 and 1 are liked more than the others
    double missing{0};          ///< share of answers that never came
    double step{0};             ///< liking is felt in steps of this; 0: no ties
    double divisive{0};         ///< by how many times sample 0 scatters more than the others; 0: as they do
    bool unequal{false};        ///< some people's answers, and some samples', scatter three times as much as others'
    int tray{0};                ///< samples on a tray; 0: all
};

std::vector<std::string> names(int n) {
    std::vector<std::string> all;
    for (int i = 0; i < n; ++i) all.push_back(std::string(1, static_cast<char>('a' + i)));
    return all;
}

/// One taster's liking of each sample of his tray; NaN where it never came.
std::vector<double> liking(const House& house, const std::vector<int>& tray, int taster, core::PhiloxStream& stream) {
    std::vector<double> felt;
    const double own = 2 * stats::normal_quantile(stream.uniform());
    for (const int sample : tray) {
        const double scatter = house.unequal ? (taster % 3 == 0 ? 1.8 : 0.6) * (sample % 2 == 0 ? 1.3 : 0.7) : house.divisive > 0 && sample == 0 ? house.divisive : 1;
        double value = own + (sample < 2 ? house.gap : 0) + scatter * stats::normal_quantile(stream.uniform());
        if (house.step > 0) value = house.step * std::round(value / house.step);
        felt.push_back(stream.uniform() < house.missing ? std::nan("") : value);
    }
    return felt;
}

std::vector<int> tray_of(const House& house, int taster) {
    if (house.tray == 0) {
        std::vector<int> all;
        for (int i = 0; i < house.samples; ++i) all.push_back(i);
        return all;
    }
    const auto served = stats::serving_rows(house.samples, house.tray);
    return served.rows[static_cast<std::size_t>(taster) % served.rows.size()];
}

ranks::Ranked ranked_by(const House& house, std::uint64_t panel) {
    ranks::Ranked ranked{.names = names(house.samples), .trays = {}, .spots = {}};
    for (int taster = 0; taster < house.tasters; ++taster) {
        core::PhiloxStream stream(panel, static_cast<std::uint64_t>(taster));
        stats::RankedTray tray{taster, {}, {}};
        const std::vector<int> served = tray_of(house, taster);
        const std::vector<double> felt = liking(house, served, taster, stream);
        for (std::size_t i = 0; i < served.size(); ++i)
            if (!std::isnan(felt[i])) {
                tray.samples.push_back(served[i]);
                tray.ranks.push_back(-felt[i]);
            }
        if (tray.samples.size() < 2) continue;
        ranked.trays.push_back(std::move(tray));
        ranked.spots.push_back(0);
    }
    return ranked;
}

ratings::Scoring scored_by(const House& house, std::uint64_t panel) {
    ratings::Scoring scoring{.samples = names(house.samples), .tasters = {}, .ratings = {}, .control = {}};
    for (int taster = 0; taster < house.tasters; ++taster) {
        core::PhiloxStream stream(panel, static_cast<std::uint64_t>(taster));
        scoring.tasters.push_back(std::to_string(taster));
        const std::vector<int> served = tray_of(house, taster);
        const std::vector<double> felt = liking(house, served, taster, stream);
        for (std::size_t i = 0; i < served.size(); ++i)
            if (!std::isnan(felt[i])) scoring.ratings.push_back({.taster = taster, .sample = served[i], .score = felt[i]});
    }
    return scoring;
}

/// Three standard errors of a share that is the nominal one.
double slack(double share, int times) { return 3 * std::sqrt(share * (1 - share) / times); }

}   // namespace

TEST_CASE("ranking: of recipes that are all alike one is put in front as seldom as the rule says", "[ranks][simulation]") {
    const std::pair<const char*, House> houses[] = {{"four", {.samples = 4}},
                                                    {"four, ties", {.samples = 4, .step = 1}},
                                                    {"five, gaps", {.samples = 5, .missing = 0.15}},
                                                    {"six, unequal", {.samples = 6, .unequal = true}},
                                                    {"seven on trays of three", {.samples = 7, .tasters = 28, .tray = 3}},
                                                    {"eight on trays of four, ties and gaps", {.samples = 8, .tasters = 28, .missing = 0.1, .step = 1, .tray = 4}}};
    for (const auto& [name, house] : houses) {
        const int k_panels = house.samples == 8 ? 100 : 400;   // shuffles of trays of many take long
        int alarms = 0;
        for (int panel = 0; panel < k_panels; ++panel)
            alarms += ranks::weigh({.alpha = 0.05, .expected = {}, .quick = true}, ranked_by(house, 4000 + static_cast<std::uint64_t>(panel))).verdict != leads::k_none;
        INFO(name << ": " << alarms << " of " << k_panels);
        CHECK(alarms <= k_panels * (0.05 + slack(0.05, k_panels)));
    }
}

TEST_CASE("ranking: one of two that are liked alike is said to trail the other as seldom as the rule says", "[ranks][simulation]") {
    constexpr int k_panels = 200;
    const std::pair<const char*, House> houses[] = {{"four", {.samples = 4, .gap = 1.2}}, {"six, ties and gaps", {.samples = 6, .gap = 1.2, .missing = 0.1, .step = 1}}, {"seven on trays of three, enough people", {.samples = 7, .tasters = 140, .gap = 1.5, .tray = 3}}};
    for (const auto& [name, house] : houses) {
        int wrong = 0, found = 0;
        for (int panel = 0; panel < k_panels; ++panel) {
            const ranks::Weighed weighed = ranks::weigh({.alpha = 0.05, .expected = {}, .quick = true}, ranked_by(house, 9000 + static_cast<std::uint64_t>(panel)));
            if (weighed.verdict == leads::k_none) continue;
            ++found;
            const auto leads = [&](int sample) { return std::find(weighed.leading.begin(), weighed.leading.end(), sample) != weighed.leading.end(); };
            wrong += !leads(0) || !leads(1);
        }
        INFO(name << ": " << wrong << " wrong, " << found << " found, of " << k_panels);
        CHECK(wrong <= k_panels * (0.05 + slack(0.05, k_panels)));
        CHECK(found > k_panels / 5);   // there is something to be wrong about
    }
}

TEST_CASE("rating: intervals of all pairs hold together as often as they say", "[ratings][simulation]") {
    constexpr int k_panels = 120;
    const std::pair<const char*, House> houses[] = {{"four", {.samples = 4, .gap = 0.8}},
                                                    {"five, steps", {.samples = 5, .gap = 0.8, .step = 1}},
                                                    {"six, gaps", {.samples = 6, .gap = 0.8, .missing = 0.15}},
                                                    {"seven on trays of three", {.samples = 7, .tasters = 28, .gap = 0.8, .tray = 3}},
                                                    {"eight", {.samples = 8, .tasters = 16, .gap = 0.8}}};
    for (const auto& [name, house] : houses) {
        int held = 0;
        for (int panel = 0; panel < k_panels; ++panel) {
            const ratings::Weighed weighed = ratings::weigh({.alpha = 0.05, .confidence = 0.95}, scored_by(house, 7000 + static_cast<std::uint64_t>(panel)), false);
            REQUIRE(weighed.model);
            held += std::all_of(weighed.model->pairs.begin(), weighed.model->pairs.end(), [&](const stats::SamplePair& pair) {
                const double truth = (pair.a < 2 ? house.gap : 0) - (pair.b < 2 ? house.gap : 0);
                return pair.limits.lower <= truth && truth <= pair.limits.upper;
            });
        }
        INFO(name << ": " << held << " of " << k_panels);
        CHECK(held >= k_panels * (0.95 - slack(0.95, k_panels)));
    }
}

// Scatter that differs by taster and by sample is not in the model: the family of pairs then errs oftener than alpha, up to twice as often. Measured here so that
// it is known: see DEVELOPERS.md.
TEST_CASE("rating: unequal scatter costs the intervals up to as much again as alpha", "[ratings][simulation]") {
    constexpr int k_panels = 120;
    int held = 0;
    const House house{.samples = 6, .gap = 0.8, .unequal = true};
    for (int panel = 0; panel < k_panels; ++panel) {
        const ratings::Weighed weighed = ratings::weigh({.alpha = 0.05, .confidence = 0.95}, scored_by(house, 8000 + static_cast<std::uint64_t>(panel)), false);
        REQUIRE(weighed.model);
        held += std::all_of(weighed.model->pairs.begin(), weighed.model->pairs.end(), [&](const stats::SamplePair& pair) {
            const double truth = (pair.a < 2 ? house.gap : 0) - (pair.b < 2 ? house.gap : 0);
            return pair.limits.lower <= truth && truth <= pair.limits.upper;
        });
    }
    INFO(held << " of " << k_panels);
    CHECK(held >= k_panels * 0.9);
}

TEST_CASE("rating: one recipe that scatters four times as much errs oftener than alpha, and is warned of", "[ratings][simulation]") {
    constexpr int k_panels = 200;
    int wrong = 0, warned = 0, false_warnings = 0;
    for (int panel = 0; panel < k_panels; ++panel) {
        const auto number = 12000 + static_cast<std::uint64_t>(panel);
        const ratings::Scoring divided = scored_by({.divisive = 4}, number), even = scored_by({}, number);
        const ratings::Weighed weighed = ratings::weigh({.alpha = 0.05, .confidence = 0.95}, divided, false);
        const ratings::Weighed quiet = ratings::weigh({.alpha = 0.05, .confidence = 0.95}, even, false);
        REQUIRE((weighed.model && quiet.model));
        wrong += weighed.verdict != leads::k_none;
        const auto unequal = ratings::unequal_scatter(divided, *weighed.model);
        warned += unequal && unequal->widest == 0;
        false_warnings += ratings::unequal_scatter(even, *quiet.model).has_value();
    }
    INFO(wrong << " wrong, " << warned << " warned, " << false_warnings << " warned for nothing, of " << k_panels);
    CHECK(wrong <= k_panels * (0.1 + slack(0.1, k_panels)));
    CHECK(warned >= k_panels * 0.8);
    CHECK(false_warnings <= k_panels * (0.01 + slack(0.01, k_panels)));
}
