// A or not A: one portion, and a taster who has come to know the current recipe; is this it? The current recipe is A.

#include <cmath>

#include "difference.hpp"
#include "signals.hpp"

namespace oddplate::methods {
namespace {

constexpr core::Phrase k_phrases[] = {
    {"a-not-a.title", "A or not A"},
    {"a-not-a.asks", "Do people who know the current recipe notice that this is another one?"},
    {"a-not-a.look", "One portion. It is the one you came to know as A, or it isn't."},
    {"a-not-a.look.reminder",
     "Two portions: A itself, in its frame, and one with a code. The coded one is A again, or it isn't."},
    {"a-not-a.how", "Eat it slowly, and think of A. You may go back as often as you like."},
    {"a-not-a.how.reminder",
     "Eat A first, sip some water, then the one with the code. You may go back as often as you like."},
    {"a-not-a.ask", "Is it A? Tick one."},
    {"a-not-a.tap", "Is it A? Tap one."},
    {"a-not-a.kind", "Not sure? Most people aren't. Tick your best guess: a guess helps, an empty slip doesn't."},
    {"a-not-a.mark", "A"},
    {"a-not-a.word.a", "it is A"},
    {"a-not-a.word.not-a", "it is not A"},
    {"a-not-a.comment", "Anything you want to say, after you have ticked:"},
    {"a-not-a.before", "Before you tasted: did anything you saw, smelled or heard tell you which it was?"},
    {"a-not-a.advice", "For people who know the current recipe well: one portion at a time, so no taste has to be carried over to the next. How freely people say \"not A\" is counted too, so it takes more answers."},
    {"a-not-a.ready", "designs/plans/is-it-the-usual.json"},
    {"a-not-a.advice_same", "For people who know the current recipe well: it shows that the new one passes for it about as often as it does itself. That it may pass for it oftener is not looked at."},
};

constexpr std::string_view k_words[] = {"a", "not-a"};
constexpr signals::Family k_family{.rule = stats::SignalRule::yes_no, .answers = k_words, .words = "signals.yes",
                                     .kind_column = "sample", .is_signal = [](std::span<const int> versions) {
                                         return versions.size() == 1 && versions[0] == 0;
                                     }};

constexpr Setting k_own[] = {
    {.key = "a_sets", .kind = Kind::whole, .lo = 1, .hi = 9, .help = "A is served so often ... (default 1)"},
    {.key = "not_a_sets", .kind = Kind::whole, .lo = 1, .hi = 9, .help = "... for so many not-A (default 1)"},
    {.key = "reminder", .kind = Kind::flag, .help = "a marked portion of A lies beside the coded one"}};
const std::vector<Setting> k_round_settings =
    difference::with(signals::k_round_settings, k_own);

std::vector<Order> orders(const Round& round, int) {
    const int reference = flag(round.settings, "reminder") ? 0 : -1;
    std::vector<Order> all;
    for (std::int64_t i = 0; i < whole(round.settings, "a_sets").value_or(1); ++i) all.push_back({{0}, reference, 1});
    for (std::int64_t i = 0; i < whole(round.settings, "not_a_sets").value_or(1); ++i) all.push_back({{1}, reference, 0});
    return all;
}

/// No lean: the line lies half way. The current recipe has less of what sets the two apart.
Answer decide(const Sensed& sensed, std::span<const std::string>, const Round&, const Plan&) {
    return Word{sensed.portions[0] < sensed.d / 2 ? "a" : "not-a", 0};
}

constexpr Column k_columns[] = {{"taster"}, {"sample"}, {"answer"}, {"sureness", false}};

constexpr Advice k_advice[] = {{Wanted::noticed, false, "a-not-a.advice"}, {Wanted::same, false, "a-not-a.advice_same"}};

constexpr Source k_sources[] = {
    {"Fisher (1935), The Design of Experiments, chapter 2 (the exact test)"},
    {"Green & Swets (1966), Signal Detection Theory and Psychophysics (d' and criterion)"},
    {"Gourevitch & Galanter (1967), Psychometrika 32:25 (standard error of d'; from memory)"},
    {"Macmillan & Creelman (2005), Detection Theory: A User's Guide"},
    {"Brown (1974), Journal of the Institute of Brewing 80:486 (R-index; from memory)"},
};

constexpr Example k_examples[] = {
    {R"({"hits":3,"signals":4,"false_alarms":1,"noises":4})", "p_value", 0.2428571428571429, 5e-16,
     "Fisher (1935), a lady tasting tea: 3 of 4 right, 17/70"},
    {R"({"hits":4,"signals":4,"false_alarms":0,"noises":4})", "p_value", 0.0142857142857143, 5e-16,
     "Fisher (1935), a lady tasting tea: all right, 1/70"},
    {R"({"hits":85,"signals":100,"false_alarms":30,"noises":100})", "d_prime.estimate", 1.5608, 5e-5,
     "H .85, F .30: false-memory example after Macmillan & Creelman (2005), ch. 5, in public lecture notes (there 1.55 from z "
     "rounded to two digits)"},
};

}   // namespace

extern const Method a_not_a = signals::method_of<k_family>({
    .id = "a-not-a",
    .phrases = k_phrases,
    .portions = 1,
    .orders = orders,
    .round_settings = k_round_settings,
    .to_learn = [](const Round& round) { return flag(round.settings, "reminder") ? 0 : 2; },
    .decide = decide,
    .advice = k_advice,
    .weigh_columns = k_columns,
    .weigh_sample = "taster,sample,answer,sureness\nAnn,a,a,3\nAnn,not-a,a,1",
    .link = &stats::yes_no_link(),
    .sources = k_sources,
    .examples = k_examples,
});

}   // namespace oddplate::methods
