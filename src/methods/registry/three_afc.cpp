// Which of three is saltiest? One portion of the version that has more, two of the other. Right by guessing 1 time in 3.

#include <algorithm>

#include "oddplate/stats/curves.hpp"
#include "difference.hpp"
#include "right_answer.hpp"

namespace oddplate::methods {
namespace {

constexpr core::Phrase k_phrases[] = {
    {"three-afc.title", "Which has most (three portions)"},
    {"three-afc.asks", "Can people tell which one of three has more of one named taste?"},
    {"three-afc.look", "Three portions. Two are alike, one is {attribute} than they are."},
    {"three-afc.how", "Begin with the left one and go on to the right. You may go back as often as you like."},
    {"three-afc.ask", "Ring the one that is {attribute}."},
    {"three-afc.tap", "Tap the one that is {attribute}."},
    {"three-afc.kind", "Hard to say? It is for most people. Ring your best guess: a guess helps, an empty slip doesn't."},
    {"three-afc.comment", "Anything you want to say, after you have chosen:"},
    {"three-afc.before", "Before you tasted: did anything you saw, smelled or heard tell you which one was {attribute}?"},
    {"three-afc.advice", "With a word for the change it needs few people, since guessing seldom helps; but each eats three portions, and it sees only that one taste, one way."},
    {"three-afc.ready", "designs/plans/saltiest-of-three.json"},
};

std::vector<Order> orders(const Round& round, int) {
    const int strong = round.stronger, weak = 1 - strong;   // two of the weaker one leave no doubt about what is asked for
    return {{{strong, weak, weak}, -1, 0}, {{weak, strong, weak}, -1, 1}, {{weak, weak, strong}, -1, 2}};
}

int strong_place(std::span<const int> versions, int strong) {
    if (versions.size() != 3 || std::count(versions.begin(), versions.end(), strong) != 1) return -1;
    return static_cast<int>(std::find(versions.begin(), versions.end(), strong) - versions.begin());
}

const std::vector<Setting> k_round_settings = difference::with(right_answer::k_directed_round_settings, {&right_answer::k_sureness, 1});

constexpr right_answer::Family k_family{
    .ways = 3,
    .right_way = [](const Order& order, const Round& round, const Plan&) { return strong_place(order.versions, round.stronger); }};

core::Result<Scored> score(const SetKey& key, const Answer& answer, const Round& round, const Plan&) {
    return right_answer::score_place(
        key, answer, strong_place(key.versions, round.stronger),
        "this set did not hold one portion of the stronger version and two of the other, so no answer to it is right");
}

Answer decide(const Sensed& sensed, std::span<const std::string> codes, const Round&, const Plan&) {
    return right_answer::picks(codes, right_answer::most_place(sensed));
}

constexpr Advice k_advice[] = {{Wanted::noticed, true, "three-afc.advice"}, {Wanted::same, true, "three-afc.advice"}};

constexpr Source k_sources[] = {
    {"ISO 5495:2005, Sensory analysis - Methodology - Paired comparison test (the directed question)"},
    {"ISO 4120:2004, Sensory analysis - Methodology - Triangle test (least right answers at 1 in 3)"},
    {"Ennis (1993), Journal of Sensory Studies 8:353 (the curve and its tables)"},
    {"Bi, Ennis & O'Mahony (1997), Journal of Sensory Studies 12:87 (standard error of d')"},
};

constexpr std::string_view k_ennis = "Ennis (1993), three alternatives; digits by quadrature";
constexpr Example k_examples[] = {
    {R"({"correct":12,"of":24})", "least_correct", 13, 0, "ISO 4120:2004, table A.1, n = 24, alpha 0.05 (the same guessing rate)"},
    {R"({"correct":1,"of":2})", "d_prime.estimate", 0.5565, 5e-5, k_ennis},
    {R"({"correct":3,"of":4})", "d_prime.estimate", 1.4338, 5e-5, k_ennis},
    {R"({"correct":9,"of":10})", "d_prime.estimate", 2.2302, 5e-5, k_ennis},
    {R"({"correct":8,"of":19,"aim":"similarity","detect_d":1})", "most_correct", 8, 0,
     "definition: P(X <= 8) <= .05 < P(X <= 9) at .6337, n = 19 (computed)"},
};

}   // namespace

extern const Method three_afc = right_answer::method_of<k_family>({
    .id = "three-afc",
    .phrases = k_phrases,
    .portions = 3,
    .shape = right_answer::picked_code,
    .orders = orders,
    .round_settings = k_round_settings,
    .score = score,
    .decide = decide,
    .advice = k_advice,
    .link = &stats::three_afc_link(),
    .sources = k_sources,
    .examples = k_examples,
});

}   // namespace oddplate::methods
