// Rating: a portion of each recipe, each scored by itself on a labelled scale. Which leads, by how much, and for whom?

#include "ratings.hpp"
#include "right_answer.hpp"
#include "trays.hpp"

namespace oddplate::methods {
namespace {

constexpr core::Phrase k_phrases[] = {
    {"rating.title", "Rating"},
    {"rating.asks", "How much is each recipe liked, and which leads?"},
    {"rating.look", "{portions}, each with a code."},
    {"rating.how", "Eat them from left to right and score each before you go on. You may go back."},
    {"rating.ask", "How much do you LIKE each?"},
    {"rating.kind", "There is no right answer. Use the whole scale if you feel like it."},
    {"rating.low", "dislike it extremely"},
    {"rating.high", "like it extremely"},
    {"rating.comment", "Anything you want to say, after you have scored:"},
    {"rating.before", "Before you tasted: did anything you saw, smelled or heard tell you about one of the portions?"},
    {"rating.ready", "designs/plans/how-much-is-each-liked.json"},
};

constexpr Column k_columns[] = {{"taster"}, {"sample"}, {"score"}, {"sitting", false}, {"position", false}, {"piece", false}};

constexpr Source k_sources[] = {
    {"Patterson & Thompson (1971), Biometrika 58:545 (restricted likelihood)"},
    {"Kenward & Roger (1997), Biometrics 53:983 (tests of means in small panels)"},
    {"Hothorn, Bretz & Westfall (2008), Biometrical Journal 50:346 (all comparisons at once, by the largest t)"},
    {"McCullagh & Nelder (1989), Generalized Linear Models, section 5.2 (scores as words in an order)"},
    {"Common practice: nine steps of liking"},
};

}   // namespace

extern const Method rating;
const Method rating{
    .id = "rating",
    .phrases = k_phrases,
    .scale = Scale::each,
    .portions = 0,
    .shape = ratings::shape,
    .orders = trays::orders,
    .round_settings = ratings::k_round_settings,
    .settle = ratings::settle,
    .may_abstain = right_answer::never_abstains,
    .score = ratings::score,
    .analyse = ratings::analyse,
    .verdict = ratings::verdict,
    .add_tasters = ratings::add_tasters,
    .favours = trays::most,
    .claims_difference = leads::claims_difference,
    .outlook = ratings::outlook,
    .decide = ratings::decide,
    .verdicts = leads::k_verdicts,
    .count_settings = {},
    .size_settings = ratings::k_size_settings,
    .size = ratings::size,
    .weigh_columns = k_columns,
    .weigh_sample = "taster,sample,score\nAnn,usual,6\nAnn,new,7.5",
    .weigh_settings = ratings::k_weigh_settings,
    .weigh = ratings::weigh_table,
    .sources = k_sources,
    .examples = {},
};

}   // namespace oddplate::methods
