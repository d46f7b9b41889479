// The triangle: three portions, two alike; the taster names the odd one. Right by guessing 1 time in 3.

#include <algorithm>
#include <cmath>
#include <iterator>

#include "oddplate/stats/curves.hpp"
#include "difference.hpp"
#include "right_answer.hpp"

namespace oddplate::methods {
namespace {

constexpr core::Phrase k_phrases[] = {
    {"triangle.title", "Triangle"},
    {"triangle.asks", "Can people tell these two apart at all?"},
    {"triangle.look", "Three portions. Two are alike, one is different."},
    {"triangle.how", "Begin with the left one and go on to the right. You may go back as often as you like."},
    {"triangle.ask", "Ring the one that is DIFFERENT."},
    {"triangle.tap", "Tap the one that is DIFFERENT."},
    {"triangle.kind", "Not sure? Most people aren't. Ring your best guess: a guess helps, an empty slip doesn't."},
    {"triangle.comment", "Anything you want to say, after you have chosen:"},
    {"triangle.before", "Before you tasted: did anything you saw, smelled or heard tell you which one was different?"},
    {"triangle.advice", "It needs no word for the change, and three portions are quickly served; but the odd one has to be told from two others at once, which takes many people."},
    {"triangle.ready", "designs/plans/is-it-noticed.json"},
};

std::vector<Order> orders(const Round&, int) {
    // A is the current recipe, B the other. Each odd version three times, each place twice.
    constexpr int a = 0, b = 1;
    return {{{a, b, b}, -1, a}, {{b, a, a}, -1, b}, {{a, a, b}, -1, b},
            {{b, b, a}, -1, a}, {{a, b, a}, -1, b}, {{b, a, b}, -1, a}};
}

/// The place that differs from both others; -1 where there is none.
int odd_place(std::span<const int> versions) {
    for (std::size_t i = 0; i < versions.size(); ++i)
        if (std::count(versions.begin(), versions.end(), versions[i]) == 1 && versions.size() == 3 &&
            versions[(i + 1) % 3] == versions[(i + 2) % 3])
            return static_cast<int>(i);
    return -1;
}

const std::vector<Setting> k_round_settings = difference::with(right_answer::k_round_settings, {&right_answer::k_sureness, 1});

constexpr right_answer::Family k_family{
    .ways = 3, .right_way = [](const Order& order, const Round&, const Plan&) { return odd_place(order.versions); }};

core::Result<Scored> score(const SetKey& key, const Answer& answer, const Round&, const Plan&) {
    return right_answer::score_place(key, answer, odd_place(key.versions), "this set held no odd portion, so no answer to it is right");
}

/// The two nearest each other are taken for the pair.
Answer decide(const Sensed& sensed, std::span<const std::string> codes, const Round&, const Plan&) {
    const auto& x = sensed.portions;
    const double without[] = {std::fabs(x[1] - x[2]), std::fabs(x[0] - x[2]), std::fabs(x[0] - x[1])};
    return right_answer::picks(codes, std::min_element(std::begin(without), std::end(without)) - std::begin(without));
}

constexpr Advice k_advice[] = {{Wanted::noticed, false, "triangle.advice"}, {Wanted::same, false, "triangle.advice"}};

constexpr Source k_sources[] = {
    {"ISO 4120:2004, Sensory analysis - Methodology - Triangle test (tests D and S, similarity sizes, guard below chance)"},
    {"Ura (1960), Reports of Statistical Application Research JUSE 7:107 (the curve)"},
    {"David & Trivedi (1962), Pair, triangle and duo-trio tests (the curve)"},
    {"Ennis (1993), Journal of Sensory Studies 8:353 (tables of the curve)"},
    {"Bi, Ennis & O'Mahony (1997), Journal of Sensory Studies 12:87 (standard error of d')"},
};

constexpr std::string_view k_byer = "Byer & Abrams (1953), bitterness of quinine, 25 of 50 right; Hollander & Wolfe, example 2.2";
constexpr Example k_examples[] = {
    {R"({"correct":25,"of":50})", "p_value", 0.01082668445, 5e-12, k_byer},
    {R"({"correct":25,"of":50})", "discriminators.estimate", 0.25, 5e-11, k_byer},
    {R"({"correct":25,"of":50,"confidence":0.95})", "proportion_correct.lower", 0.3552729971, 5e-11, k_byer},
    {R"({"correct":25,"of":50,"confidence":0.95})", "proportion_correct.upper", 0.6447270029, 5e-11, k_byer},
    {R"({"correct":14,"of":30})", "p_value", 0.089770915, 5e-10,
     "a published classroom tea tasting, 14 of 30; exact value computed"},
    {R"({"correct":12,"of":24})", "least_correct", 13, 0, "ISO 4120:2004, table A.1, n = 24, alpha 0.05"},
    {R"({"correct":12,"of":36,"alpha":0.01})", "least_correct", 20, 0, "ISO 4120:2004, table A.1, n = 36, alpha 0.01"},
    {R"({"correct":11,"of":36,"aim":"similarity","detect_pd":0.3})", "most_correct", 13, 0,
     "ISO 4120:2004, table A.2's definition, n = 36, pd 0.3, 0.05 (computed)"},
};

}   // namespace

extern const Method triangle = right_answer::method_of<k_family>({
    .id = "triangle",
    .phrases = k_phrases,
    .portions = 3,
    .shape = right_answer::picked_code,
    .orders = orders,
    .round_settings = k_round_settings,
    .score = score,
    .decide = decide,
    .advice = k_advice,
    .link = &stats::triangle_link(),
    .sources = k_sources,
    .examples = k_examples,
});

}   // namespace oddplate::methods
