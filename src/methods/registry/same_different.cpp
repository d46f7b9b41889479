// Same or different: two portions, of one recipe or of two; the taster says whether they are alike. A signal is a pair of two.

#include <cmath>

#include "signals.hpp"

namespace oddplate::methods {
namespace {

constexpr core::Phrase k_phrases[] = {
    {"same-different.title", "Same or different"},
    {"same-different.asks", "Do people take these two for one dish or for two?"},
    {"same-different.look", "Two portions. They are alike, or they are not."},
    {"same-different.how", "Begin with the left one, then take the right one. You may go back as often as you like."},
    {"same-different.ask", "Are the two the SAME or DIFFERENT? Tick one."},
    {"same-different.tap", "Are the two the SAME or DIFFERENT? Tap one."},
    {"same-different.kind", "Not sure? Most people aren't. Tick your best guess: a guess helps, an empty slip doesn't."},
    {"same-different.word.same", "the same"},
    {"same-different.word.different", "different"},
    {"same-different.comment", "Anything you want to say, after you have ticked:"},
    {"same-different.before", "Before you tasted: did anything you saw, smelled or heard tell you whether the two were alike?"},
    {"same-different.advice", "Two portions and no word for the change; a question that everybody understands. People who say \"same\" freely hide a difference, so it takes many answers."},
    {"same-different.ready", "designs/plans/same-or-different.json"},
    {"same-different.advice_same", "The question as you put it, whichever way the change goes. What one calls the same differs from person to person and is counted too, so it takes many answers."},
};

constexpr std::string_view k_words[] = {"different", "same"};
constexpr signals::Family k_family{.rule = stats::SignalRule::same_different, .answers = k_words, .words = "signals.pairs",
                                     .kind_column = "pair", .is_signal = [](std::span<const int> versions) {
                                         return versions.size() == 2 && versions[0] != versions[1];
                                     }};

std::vector<Order> orders(const Round&, int) {
    return {{{0, 0}, -1, 0}, {{1, 1}, -1, 0}, {{0, 1}, -1, 1}, {{1, 0}, -1, 1}};   // trait: the pair differs
}

Answer decide(const Sensed& sensed, std::span<const std::string>, const Round&, const Plan&) {
    const double line = stats::best_criterion(stats::SignalRule::same_different, std::abs(sensed.d));
    return Word{std::abs(sensed.portions[0] - sensed.portions[1]) > line ? "different" : "same", 0};
}

constexpr Column k_columns[] = {{"taster"}, {"pair"}, {"answer"}, {"sureness", false}};

constexpr Advice k_advice[] = {{Wanted::noticed, false, "same-different.advice"}, {Wanted::same, false, "same-different.advice_same"}};

constexpr Source k_sources[] = {
    {"Fisher (1935), The Design of Experiments, chapter 2 (the exact test)"},
    {"Sorkin (1962), Journal of the Acoustical Society of America 34:1745 (same-different, difference rule; from memory)"},
    {"Macmillan & Creelman (2005), Detection Theory: A User's Guide"},
    {"Brown (1974), Journal of the Institute of Brewing 80:486 (R-index; from memory)"},
};

// By 40-digit arithmetic from the two formulas: F = 2 Phi(-tau/sqrt 2), H = 1 - Phi((tau - d)/sqrt 2) + Phi((-tau - d)/sqrt 2).
constexpr Example k_examples[] = {
    {R"({"hits":15,"signals":20,"false_alarms":8,"noises":20})", "criterion.estimate", 1.19023216289997, 5e-14,
     "computed: -sqrt 2 z(0.2)"},
    {R"({"hits":3,"signals":4,"false_alarms":1,"noises":4})", "p_value", 0.2428571428571429, 5e-16, "Fisher (1935): 17/70"},
};

}   // namespace

extern const Method same_different = signals::method_of<k_family>({
    .id = "same-different",
    .phrases = k_phrases,
    .portions = 2,
    .orders = orders,
    .decide = decide,
    .advice = k_advice,
    .weigh_columns = k_columns,
    .weigh_sample = "taster,pair,answer,sureness\nAnn,same,same,2\nBen,different,different,3",
    .link = &stats::same_different_link(),
    .sources = k_sources,
    .examples = k_examples,
});

}   // namespace oddplate::methods
