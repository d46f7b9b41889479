// Two out of five: two of one recipe, three of the other; the taster names the two. Right by guessing 1 time in 10.

#include <algorithm>
#include <numeric>

#include "oddplate/stats/curves.hpp"
#include "right_answer.hpp"

namespace oddplate::methods {
namespace {

constexpr core::Phrase k_phrases[] = {
    {"two-out-of-five.title", "Two out of five"},
    {"two-out-of-five.asks", "Can people find the two that differ from three others?"},
    {"two-out-of-five.look", "Five portions: two of one kind, three of another."},
    {"two-out-of-five.how", "Begin at the left and go on to the right. You may go back as often as you like."},
    {"two-out-of-five.ask", "Three are alike, and the two others are alike. Ring the TWO."},
    {"two-out-of-five.tap", "Three are alike, and the two others are alike. Tap the TWO."},
    {"two-out-of-five.kind", "Not sure? Most people aren't. Ring two anyway: a guess helps, an empty slip doesn't."},
    {"two-out-of-five.comment", "Anything you want to say, after you have chosen:"},
    {"two-out-of-five.before", "Before you tasted: did anything you saw, smelled or heard tell you which two are of one kind?"},
    {"two-out-of-five.advice", "Guessing hardly ever helps, so it needs few people; but each eats five portions, which is much for a tongue. For things one looks at or touches it is at its best."},
    {"two-out-of-five.ready", "designs/plans/two-of-five.json"},
};

/// All ten places for the two, with either recipe as the two. trait: which recipe is the two.
std::vector<Order> orders(const Round&, int) {
    std::vector<Order> orders;
    for (std::size_t i = 0; i < 5; ++i)
        for (std::size_t j = i + 1; j < 5; ++j)
            for (const int two : {0, 1}) {
                std::vector<int> versions(5, 1 - two);
                versions[i] = versions[j] = two;
                orders.push_back({std::move(versions), -1, two});
            }
    return orders;
}

constexpr right_answer::Family k_family{};   // ten ways: no exact test given the orders

core::Result<Scored> score(const SetKey& key, const Answer& answer, const Round&, const Plan&) {
    const auto pair = right_answer::picked_pair(key, answer);
    if (!pair) return pair.faults();
    const auto twos = [&](int version) { return std::count(key.versions.begin(), key.versions.end(), version); };
    const int one = key.versions[static_cast<std::size_t>(pair->first)], other = key.versions[static_cast<std::size_t>(pair->second)];
    if (key.versions.size() != 5 || (twos(key.versions[0]) != 2 && twos(key.versions[0]) != 3))
        return core::fault(core::ErrorKind::bad_value, "no-two", "this set did not hold two of one version and three of the other, so no answer to it is right");
    return Scored{.value = one == other && twos(one) == 2 ? 1.0 : 0.0};
}

/// Two and three with the least sum of squares within: the two lowest where the median lies above the mean, else the two highest.
Answer decide(const Sensed& sensed, std::span<const std::string> codes, const Round&, const Plan&) {
    std::vector<std::size_t> places{0, 1, 2, 3, 4};
    std::sort(places.begin(), places.end(), [&](std::size_t a, std::size_t b) { return sensed.portions[a] < sensed.portions[b]; });
    const double mean = std::accumulate(sensed.portions.begin(), sensed.portions.end(), 0.0) / 5;
    const bool low = sensed.portions[places[2]] > mean;
    return right_answer::picks_pair(codes, places[low ? 0 : 3], places[low ? 1 : 4]);
}

constexpr Advice k_advice[] = {{Wanted::noticed, false, "two-out-of-five.advice"}, {Wanted::same, false, "two-out-of-five.advice"}};

constexpr Source k_sources[] = {
    {"The two-out-of-five test of common practice: ten ways to name two, one right"},
    {"The curve is derived in this program for the grouping with the least sum of squares; no published one is known to us"},
    {"Bi, Ennis & O'Mahony (1997), Journal of Sensory Studies 12:87 (standard error of d')"},
};

constexpr std::string_view k_exact = "definition: fewest right with P(X >= k) <= alpha at 1 in 10 (computed in exact fractions)";
constexpr Example k_examples[] = {
    {R"({"correct":1,"of":6})", "least_correct", 3, 0, k_exact},
    {R"({"correct":1,"of":12})", "least_correct", 4, 0, k_exact},
    {R"({"correct":1,"of":24})", "least_correct", 6, 0, k_exact},
    {R"({"correct":1,"of":30,"alpha":0.01})", "least_correct", 8, 0, k_exact},
    {R"({"correct":1,"of":50,"alpha":0.001})", "least_correct", 14, 0, k_exact},
    {R"({"correct":1,"of":100})", "least_correct", 16, 0, k_exact},
    {R"({"correct":1,"of":2,"same_below_d":2})", "same_below.proportion_correct", 0.477, 1e-3,
     "the curve at d' = 2 by simulation of the grouping (4 million sets)"},
};

}   // namespace

extern const Method two_out_of_five = right_answer::method_of<k_family>({
    .id = "two-out-of-five",
    .phrases = k_phrases,
    .portions = 5,
    .shape = right_answer::pair_of_codes,
    .orders = orders,
    .round_settings = right_answer::k_round_settings,
    .score = score,
    .decide = decide,
    .advice = k_advice,
    .link = &stats::two_out_of_five_link(),
    .sources = k_sources,
    .examples = k_examples,
});

}   // namespace oddplate::methods
