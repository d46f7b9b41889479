// A or not A: one portion, and a taster who has come to know the current recipe; is this it? The current recipe is A.

#include <cmath>

#include "signals.hpp"

namespace oddplate::methods {
namespace {

constexpr core::Phrase k_phrases[] = {
    {"a-not-a.title", "A or not A"},
    {"a-not-a.asks", "Do people who know the current recipe notice that this is another one?"},
    {"a-not-a.look", "One portion. It is the one you came to know as A, or it isn't."},
    {"a-not-a.look.reminder",
     "Two portions: A itself, marked and in its frame, and one with a code. The coded one is A again, or it isn't."},
    {"a-not-a.how", "Eat it slowly, and think of A. You may go back as often as you like."},
    {"a-not-a.how.reminder",
     "Eat the marked one first, sip some water, then the one with the code. You may go back as often as you like."},
    {"a-not-a.ask", "Is it A? Tick one."},
    {"a-not-a.kind", "Not sure? Most people aren't. Tick your best guess: a guess helps, an empty slip doesn't."},
    {"a-not-a.word.a", "it is A"},
    {"a-not-a.word.not-a", "it is not A"},
    {"a-not-a.comment", "Anything you want to say, after you have ticked:"},
    {"a-not-a.before", "Before you tasted: did anything you saw, smelled or heard tell you which it was?"},
    {"a-not-a.advice", "For people who know the current recipe well: one portion at a time, so no taste has to be carried over to the next. How freely people say \"not A\" is counted too, so it takes more answers."},
};

constexpr std::string_view k_words[] = {"a", "not-a"};
constexpr signals::Family k_family{.rule = stats::SignalRule::yes_no, .answers = k_words, .words = "signals.yes"};

constexpr std::string_view k_aims[] = {"difference", "similarity"};
constexpr Setting k_round_settings[] = {
    {.key = "aim",
     .kind = Kind::choice,
     .choices = k_aims,
     .help = "what the tasting is for: to find a difference, or to show that it is small enough"},
    {.key = "detect_d", .lo = 0, .hi = 30, .open = true, .help = "the difference that should be found, as d'"},
    {.key = "same_below_d",
     .lo = 0,
     .hi = 30,
     .open = true,
     .help = "the largest difference that still counts as the same dish, as d' (default: detect)"},
    {.key = "a_sets", .kind = Kind::whole, .lo = 1, .hi = 9, .help = "A is served so often ... (default 1)"},
    {.key = "not_a_sets", .kind = Kind::whole, .lo = 1, .hi = 9, .help = "... for so many not-A (default 1)"},
    {.key = "reminder", .kind = Kind::flag, .help = "a marked portion of A lies beside the coded one"},
    {.key = "sureness", .kind = Kind::flag, .help = "tasters also say how sure they are, in three steps"}};

std::vector<Order> orders(const Round& round, int) {
    const int reference = flag(round.settings, "reminder") ? 0 : -1;
    std::vector<Order> all;
    for (std::int64_t i = 0; i < whole(round.settings, "a_sets").value_or(1); ++i) all.push_back({{0}, reference, 1});
    for (std::int64_t i = 0; i < whole(round.settings, "not_a_sets").value_or(1); ++i) all.push_back({{1}, reference, 0});
    return all;
}

core::Result<Scored> score(const SetKey& key, const Answer& answer, const Round& round, const Plan&) {
    return signals::score(k_family, key.versions.size() == 1 && key.versions[0] == 0, key, answer, round);
}

/// No lean: the line lies half way. The current recipe has less of what sets the two apart.
Answer decide(const Sensed& sensed, std::span<const std::string>, const Round&, const Plan&) {
    return Word{sensed.portions[0] < sensed.d / 2 ? "a" : "not-a", 0};
}

std::optional<bool> kind(std::string_view text) {
    if (text == "a") return true;
    return text == "not-a" ? std::optional(false) : std::nullopt;
}

constexpr Column k_columns[] = {{"taster"}, {"sample"}, {"answer"}, {"sureness", false}};

constexpr Advice k_advice[] = {{Wanted::noticed, false, "a-not-a.advice"}};

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

extern const Method a_not_a;
const Method a_not_a{
    .id = "a-not-a",
    .phrases = k_phrases,
    .portions = 1,
    .shape = [](const Round& round) { return signals::shape(k_family, round); },
    .orders = orders,
    .round_settings = k_round_settings,
    .settle = signals::settle,
    .may_abstain = right_answer::never_abstains,
    .score = score,
    .analyse = [](const Method& method, std::span<const Observation> observations, const Round& round,
                  const Plan& plan) { return signals::analyse(method, k_family, observations, round, plan); },
    .claims_difference = right_answer::claims_difference,
    .outlook = [](const Method& method, const Round& round,
                  const Plan& plan) { return signals::outlook(method, k_family, round, plan); },
    .decide = decide,
    .verdicts = right_answer::k_verdicts,
    .advice = k_advice,
    .count_settings = signals::k_count_settings,
    .count = [](const Method& method, const Settings& settings) { return signals::count(method, k_family, settings); },
    .size_settings = signals::k_size_settings,
    .size = [](const Method& method, const Settings& settings) { return signals::size(method, k_family, settings); },
    .weigh_columns = k_columns,
    .weigh_settings = signals::k_weigh_settings,
    .weigh = [](const Method& method, const PlainTable& table,
                const Settings& settings) { return signals::weigh_table(method, k_family, "sample", kind, table, settings); },
    .right_of_n = false,
    .link = &stats::yes_no_link(),
    .sources = k_sources,
    .examples = k_examples,
};

}   // namespace oddplate::methods
