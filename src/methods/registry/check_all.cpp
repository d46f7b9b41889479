// Check all that apply: a portion of each recipe, and of a list of words those that fit it.

#include "right_answer.hpp"
#include "ticks.hpp"
#include "trays.hpp"

namespace oddplate::methods {
namespace {

constexpr core::Phrase k_phrases[] = {
    {"check-all.title", "Check all that apply"},
    {"check-all.asks", "Which words fit one recipe more than another?"},
    {"check-all.look", "{portions}, each with a code."},
    {"check-all.how", "Eat them from left to right and tick for each before you go on. You may go back."},
    {"check-all.ask", "Which words FIT each?"},
    {"check-all.kind", "There is no right answer. Several words may fit, or none."},
    {"check-all.comment", "Anything you want to say, after you have answered:"},
    {"check-all.before", "Before you tasted: did anything you saw, smelled or heard tell you about one of the portions?"},
    {"check-all.ready", "designs/plans/which-words-fit.json"},
};

constexpr Column k_columns[] = {{"taster"}, {"sample"}, {"words"}};

constexpr Source k_sources[] = {
    {"Cochran (1950), Biometrika 37:256 (does a word fit some more than others?), by Friedman's statistic with ties (Conover 1999, Practical Nonparametric Statistics, section 5.8), exact"},
    {"McNemar (1947), Psychometrika 12:153 (two recipes)"},
    {"Holm (1979), Scandinavian Journal of Statistics 6:65 (over words, over words and pairs)"},
    {"Clopper & Pearson (1934), Biometrika 26:404 (shares); Agresti & Min (2005), Statistics in Medicine 24:729 (differences of shares)"},
    {"Common practice: the words stand in another order for each taster"},
};

}   // namespace

extern const Method check_all;
const Method check_all{
    .id = "check-all",
    .phrases = k_phrases,
    .scale = Scale::each,
    .portions = 0,
    .shape = ticks::shape,
    .orders = trays::orders,
    .round_settings = ticks::k_round_settings,
    .settle = ticks::settle,
    .may_abstain = right_answer::never_abstains,
    .score = ticks::score,
    .analyse = ticks::analyse,
    .verdict = ticks::verdict,
    .claims_difference = ticks::claims_difference,
    .outlook = ticks::outlook,
    .decide = ticks::decide,
    .verdicts = ticks::k_verdicts,
    .count_settings = {},
    .size_settings = ticks::k_size_settings,
    .size = ticks::size,
    .weigh_columns = k_columns,
    .weigh_sample = "taster,sample,words\nAnn,usual,salty/dry\nAnn,new,dry",
    .weigh_settings = ticks::k_weigh_settings,
    .weigh = ticks::weigh_table,
    .sources = k_sources,
    .examples = {},
};

}   // namespace oddplate::methods
