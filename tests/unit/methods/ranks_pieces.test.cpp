// Pieces of one recipe differ: ranks must not take the pieces for the recipes.
#include <catch2/catch.hpp>

#include <cmath>

#include "../../../src/methods/ranks.hpp"
#include "oddplate/core/philox.hpp"
#include "oddplate/stats/normal.hpp"

using namespace oddplate;
using namespace oddplate::methods;

namespace {

/// 48 people, four recipes, two pieces each that lie `scatter` apart; recipe 0 is liked `lead` more.
ranks::Ranked panel(std::uint64_t number, double scatter, double lead, bool known = true) {
    core::PhiloxStream stream(77, number);
    ranks::Ranked ranked{.names = {"a", "b", "c", "d"}, .trays = {}, .spots = {}};
    double own[8];
    for (double& piece : own) piece = scatter * stats::normal_quantile(stream.uniform());
    for (std::int32_t taster = 0; taster < 48; ++taster) {
        stats::RankedTray tray{taster, {0, 1, 2, 3}, {}};
        std::vector<std::int32_t> pieces;
        for (int sample = 0; sample < 4; ++sample) {
            pieces.push_back(sample * 2 + static_cast<std::int32_t>(stream.below(2)));
            tray.ranks.push_back(-own[pieces.back()] - (sample == 0 ? lead : 0) + stats::normal_quantile(stream.uniform()));
        }
        ranked.trays.push_back(std::move(tray));
        ranked.spots.push_back(0);
        if (known) ranked.pieces.push_back(std::move(pieces));
    }
    return ranked;
}

int claims(double scatter, double lead, bool known) {
    int found = 0;
    for (std::uint64_t number = 0; number < 200; ++number) {
        const ranks::Question question{.alpha = 0.05, .expected = {}, .quick = true};
        found += ranks::weigh(question, panel(number, scatter, lead, known)).verdict != leads::k_none;
    }
    return found;
}

int claims_beside(double scatter) {
    int found = 0;
    for (std::uint64_t number = 0; number < 400; ++number)
        for (const ranks::Besides& one : ranks::besides(panel(number, scatter, 0), std::nullopt))
            if (one.q <= 0.05) {
                ++found;
                break;
            }
    return found;
}

}   // namespace

// 200 seeded panels each. Where pieces scatter, leads of recipes that are alike stay within .05 (three standard errors: 19); as if nobody knew of pieces they
// are far more, which is why they are asked for.
TEST_CASE("recipes that are alike don't lead because their pieces differ", "[ranks][simulation]") {
    CHECK(claims(0.5, 0, true) <= 19);
    CHECK(claims(0.3, 0, true) <= 19);
    CHECK(claims(0, 0, true) <= 19);
    CHECK(claims(0.5, 0, false) > 60);
    CHECK(claims_beside(0.5) <= 33);   // of 400
}

TEST_CASE("a true lead is found over pieces that are alike, and none is made up where pieces are not known", "[ranks]") {
    CHECK(claims(0, 1, true) > 100);   // two pieces each leave four degrees of freedom: more pieces, not more people, make it surer
    CHECK_FALSE(ranks::by_pieces(panel(1, 0.5, 0, false)));
    const ranks::Weighed held = ranks::weigh({.alpha = 0.05, .expected = {}}, panel(3, 1.5, 0));
    CHECK(held.pieces_p);
    CHECK(held.pieces_hold_back);
    CHECK(held.verdict == leads::k_none);
}

// A recipe that truly lies at the margin: three in ten put it before the usual one, pieces scatter. 400 seeded panels of 80 people and four pieces: at .05 at most 20 + 3 standard errors = 33
// say that more do; as if nobody knew of pieces far more. Where everybody prefers it, it is shown.
TEST_CASE("that more than a share prefer a recipe is not shown by its pieces alone", "[ranks][simulation]") {
    const auto panel_at = [](std::uint64_t number, double share, double scatter) {
        core::PhiloxStream stream(78, number);
        ranks::Ranked ranked{.names = {"usual", "new"}, .trays = {}, .spots = {}};
        double own[8];
        for (double& piece : own) piece = scatter * stream.normal();
        const double lead = stats::normal_quantile(share) * std::sqrt(2 + 2 * scatter * scatter);
        for (std::int32_t taster = 0; taster < 80; ++taster) {
            const auto usual = static_cast<std::int32_t>(stream.below(4)), other = static_cast<std::int32_t>(stream.below(4));
            const double gap = lead + own[4 + other] - own[usual] + std::sqrt(2.0) * stream.normal();
            ranked.trays.push_back({taster, {0, 1}, gap > 0 ? std::vector<double>{2, 1} : std::vector<double>{1, 2}});
            ranked.spots.push_back(0);
            ranked.pieces.push_back({usual, pieces::k_most + other});
        }
        return ranked;
    };
    int alike = 0, unknown = 0, found = 0, true_found = 0;
    for (std::uint64_t number = 0; number < 400; ++number) {
        ranks::Ranked at_margin = panel_at(number, 0.3, 0.8);
        alike += *ranks::besides(at_margin, 0.3).front().not_less <= 0.05;
        at_margin.pieces.clear();
        unknown += *ranks::besides(at_margin, 0.3).front().not_less <= 0.05;
        found += *ranks::besides(panel_at(number, 0.3, 0), 0.3).front().not_less <= 0.05;
        true_found += *ranks::besides(panel_at(number, 0.6, 0), 0.3).front().not_less <= 0.05;
    }
    CHECK(alike <= 33);
    CHECK(found <= 33);
    CHECK(unknown > 60);
    CHECK(true_found > 380);
}

// 24 people at two of three spots, three of four recipes on a tray, so that hardly anybody has the same recipes twice: one comes first at one spot and last at
// another. Turned off, the same people put it first everywhere.
TEST_CASE("an order that turns over from spot to spot is seen on small trays", "[ranks]") {
    const Method& asked = **find("ranking");
    Plan plan;
    for (const char* id : {"a", "b", "c", "d"}) plan.versions.push_back({id, id});
    plan.tasters = 24;
    Round round;
    round.method = "ranking";
    round.spots = {"lean", "middle", "fat"};
    round.settings["tray_size"] = std::int64_t{3};
    plan.rounds = {round};
    const auto seen = [&](bool turns) {
        std::vector<Observation> all;
        core::PhiloxStream stream(9, 1);
        for (std::int32_t taster = 0; taster < 24; ++taster)
            for (int place = 0; place < 2; ++place) {
                Observation one{.taster = taster, .ballot = taster, .spot = (taster + place) % 3, .scored = {}};
                std::vector<double> felt;
                for (int sample = 0; sample < 4; ++sample) {
                    if (sample == (taster + 2 * place) % 4) continue;
                    const double lead = sample != 0 ? 0 : turns && one.spot == 2 ? -3 : 3;
                    one.scored.samples.push_back(sample);
                    felt.push_back(-lead + stats::normal_quantile(stream.uniform()));
                }
                one.scored.values = stats::midranks(felt);
                all.push_back(std::move(one));
            }
        return all;
    };
    const RoundFindings turned = asked.analyse(asked, seen(true), plan.rounds[0], plan), steady = asked.analyse(asked, seen(false), plan.rounds[0], plan);
    REQUIRE(turned.heterogeneity);
    CHECK(*turned.heterogeneity < 0.05);
    REQUIRE(steady.heterogeneity);
    CHECK(*steady.heterogeneity > 0.05);
}

// Of two recipes a contrast is their pair, taken to one side; and a trend of four is claimed no oftener than alpha where only pieces scatter (200 seeded panels: 19 is three standard errors above 10).
TEST_CASE("an expected order is held to the pieces", "[ranks][simulation]") {
    const ranks::Ranked one = panel(3, 0.7, 0);
    std::vector<pieces::Tray> two;
    for (pieces::Tray tray : ranks::piece_trays(one)) {
        tray.samples.resize(2), tray.values.resize(2), tray.pieces.resize(2);
        two.push_back(std::move(tray));
    }
    const double pair = pieces::between(two)->pairs.at({0, 1}).first;
    const double up = *pieces::contrast_above(two, std::vector<double>{-1, 1}), down = *pieces::contrast_above(two, std::vector<double>{1, -1});
    CHECK(std::min(up, down) == Approx(pair / 2).epsilon(1e-9));
    CHECK(up + down == Approx(1).epsilon(1e-9));
    int people = 0, claimed = 0;
    for (std::uint64_t number = 0; number < 200; ++number) {
        const auto weighed = ranks::weigh({.alpha = 0.05, .expected = {0, 1, 2, 3}}, panel(number, 0.7, 0));
        people += weighed.page->p.p <= 0.05;
        claimed += std::max(weighed.page->p.p, *weighed.page_pieces_p) <= 0.05;
    }
    CHECK(people > 30);
    CHECK(claimed <= 19);
}
