// Paired preference: two portions, one of each recipe; the taster rings the one that he would rather eat more of. No answer is
// right.

#include <algorithm>

#include "votes.hpp"

namespace oddplate::methods {
namespace {

constexpr core::Phrase k_phrases[] = {
    {"paired-preference.title", "Paired preference"},
    {"paired-preference.asks", "Which of the two do people like better?"},
    {"paired-preference.look", "Two portions."},
    {"paired-preference.how", "Eat the left one, sip some water, then eat the right one."},
    {"paired-preference.ask", "Ring the one you would rather eat more of."},
    {"paired-preference.tap", "Tap the one you would rather eat more of."},
    {"paired-preference.kind", "There is no right answer. Please don't talk about it till all are done."},
    {"paired-preference.none", "I like them equally"},
    {"paired-preference.comment", "What made you choose?"},
    {"paired-preference.before",
     "Before you tasted, did anything you saw, smelled or heard tell you about one of the two portions?"},
    {"paired-preference.advice", "Two portions, one of each: the plain way to ask which is liked. It does not say by how much, nor whether a few love it and a few hate it."},
    {"paired-preference.ready", "designs/plans/which-is-liked.json"},
};

/// Liking rises along the scale of the difference, so a true d above 0 means that the new recipe is the better liked.
Answer decide(const Sensed& sensed, std::span<const std::string> codes, const Round&, const Plan&) {
    const auto best = std::max_element(sensed.portions.begin(), sensed.portions.end()) - sensed.portions.begin();
    return Codes{{codes[static_cast<std::size_t>(best)]}};
}

constexpr std::string_view k_verdicts[] = {"new-preferred", "current-preferred", "no-clear-preference"};
constexpr Advice k_advice[] = {{Wanted::liked, false, "paired-preference.advice"}};

constexpr Source k_sources[] = {
    {"ISO 5495: paired comparison test (two-sided, equal split)"},
    {"Clopper & Pearson 1934, Biometrika 26:404 (interval)"},
    {"Fisher 1935, The Design of Experiments, section 21 (flipping the signs of net votes)"},
    {"Hartigan 1969, J. Am. Stat. Assoc. 64:1303 (typical values: the interval by tasters)"},
    {"Holm 1979, Scand. J. Statist. 6:65 (several spots)"},
    {"Ennis & Ennis 2012, J. Sensory Studies (what to do with undecided votes)"},
};

// Least votes of ISO 5495:2005, table A.2 (two-sided), at their alpha and one vote below; p from the definition, in exact
// fractions.
constexpr Example k_examples[] = {
    {R"({"for_new":15,"for_current":5})", "p_value", 0.04138946533203125, 5e-16,
     "ISO 5495 table A.2: 15 of 20 at .05; 43400/2^20"},
    {R"({"for_new":14,"for_current":6})", "p_value", 0.115318298339843750, 5e-16,
     "ISO 5495 table A.2: 14 of 20 is not enough; 120920/2^20"},
    {R"({"for_new":5,"for_current":15,"no_preference":4})", "p_value", 0.04138946533203125, 5e-16,
     "as 15 to 5: undecided votes are left out"},
    {R"({"for_new":6,"for_current":0})", "p_value", 0.03125, 0, "ISO 5495 table A.2: 6 of 6 at .05; 2/64"},
    {R"({"for_new":20,"for_current":10,"no_preference":10})", "three_outcomes.d", 0.476936276204470, 1e-12,
     "a = z(1/2) = 0, b = z(1/4): d = -z(1/4)/sqrt 2, by 40-digit arithmetic"},
    {R"({"for_new":5,"for_current":20})", "share_new.lower", 0.06831146401, 5e-11,
     "5 of 25, 95 % Clopper-Pearson (Conover 1999: .068 .407)"},
    {R"({"for_new":5,"for_current":20})", "share_new.upper", 0.40703743228, 5e-11,
     "5 of 25, 95 % Clopper-Pearson (Conover 1999: .068 .407)"},
    {R"({"for_new":682,"for_current":243,"not_less":0.75})", "share_new.lower", 0.7076682641, 5e-11,
     "682 of 925, 95 % (Conover 1971, p. 97)"},
};

}   // namespace

extern const Method paired_preference;
const Method paired_preference{
    .id = "paired-preference",
    .version = 1,
    .phrases = k_phrases,
    .scale = Scale::votes,
    .portions = 2,
    .shape = one_code,
    .orders = votes::orders,
    .round_settings = votes::k_round_settings,
    .settle = votes::settle,
    .may_abstain = votes::may_abstain,
    .score = votes::score,
    .analyse = votes::analyse,
    .verdict = votes::verdict,
    .claims_difference = votes::claims_difference,
    .outlook = votes::outlook,
    .decide = decide,
    .verdicts = k_verdicts,
    .advice = k_advice,
    .count_settings = votes::k_count_settings,
    .count = votes::count,
    .size_settings = votes::k_size_settings,
    .size = votes::size,
    .weigh_columns = votes::k_weigh_columns,
    .weigh_sample = "taster,for\nAnn,new\nBen,none",
    .weigh_settings = votes::k_weigh_settings,
    .weigh = votes::weigh_table,
    .link = nullptr,
    .sources = k_sources,
    .examples = k_examples,
};

}   // namespace oddplate::methods
