// Just about right: a portion of each recipe; how much each is liked, and of salt or smoke, say, too little, just right or too much.

#include "just_right.hpp"
#include "right_answer.hpp"
#include "trays.hpp"

namespace oddplate::methods {
namespace {

constexpr core::Phrase k_phrases[] = {
    {"just-about-right.title", "Just about right"},
    {"just-about-right.asks", "Is there too little or too much of something, and does that go with lower liking?"},
    {"just-about-right.look", "{portions}, each with a code."},
    {"just-about-right.how", "Eat them from left to right and answer for each before you go on. You may go back."},
    {"just-about-right.ask", "How much do you LIKE each? And what is too little, what too much?"},
    {"just-about-right.kind", "There is no right answer. Just right is an answer too."},
    {"just-about-right.low", "dislike it extremely"},
    {"just-about-right.high", "like it extremely"},
    {"just-about-right.comment", "Anything you want to say, after you have answered:"},
    {"just-about-right.before", "Before you tasted: did anything you saw, smelled or heard tell you about one of the portions?"},
    {"just-about-right.ready", "designs/plans/too-little-or-too-much.json"},
};

constexpr Column k_columns[] = {{"taster"}, {"sample"}, {"level"}, {"liking"}, {"attribute", false}};

constexpr Source k_sources[] = {
    {"Stuart (1955), Biometrika 42:412; Maxwell (1970), British Journal of Psychiatry 116:651 (do the answers change?), counted exactly"},
    {"McNemar (1947), Psychometrika 12:153 (just right or not)"},
    {"Fisher (1935), The Design of Experiments, section 21 (exchanging who is in which group)"},
    {"Hall (1992), The Bootstrap and Edgeworth Expansion, section 3.3 (intervals of mean drops)"},
    {"Holm (1979), Scandinavian Journal of Statistics 6:65"},
    {"Common practice: mean drops only for one person in five or more"},
};

}   // namespace

extern const Method just_about_right;
const Method just_about_right{
    .id = "just-about-right",
    .phrases = k_phrases,
    .scale = Scale::each,
    .portions = 0,
    .shape = just_right::shape,
    .orders = trays::orders,
    .round_settings = just_right::k_round_settings,
    .settle = just_right::settle,
    .may_abstain = right_answer::never_abstains,
    .score = just_right::score,
    .analyse = just_right::analyse,
    .verdict = just_right::verdict,
    .favours = trays::most,
    .claims_difference = leads::claims_difference,
    .outlook = just_right::outlook,
    .decide = just_right::decide,
    .verdicts = leads::k_verdicts,
    .count_settings = {},
    .size_settings = just_right::k_size_settings,
    .size = just_right::size,
    .weigh_columns = k_columns,
    .weigh_sample = "taster,sample,level,liking\nAnn,usual,just-right,7\nAnn,new,too-much,5",
    .weigh_settings = just_right::k_weigh_settings,
    .weigh = just_right::weigh_table,
    .sources = k_sources,
    .examples = {},
};

}   // namespace oddplate::methods
