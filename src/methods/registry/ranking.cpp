// Ranking: three portions or more, each another recipe (or some of them a tray); the taster puts them in order. No answer is right.

#include "leads.hpp"
#include "ranks.hpp"
#include "trays.hpp"

namespace oddplate::methods {
namespace {

constexpr core::Phrase k_phrases[] = {
    {"ranking.title", "Ranking"},
    {"ranking.asks", "Which of three recipes or more do people like most, and in which order?"},
    {"ranking.asks.against_usual", "Is any of them worse than the usual recipe?"},
    {"ranking.asks.against_usual.ladder", "From which level on would people rather have the usual one?"},
    {"ranking.look", "{portions}. All may be different."},
    {"ranking.look.two", "Two portions. They may be different."},
    {"ranking.how", "Eat them from left to right, with a sip of water between. You may go back and taste again."},
    {"ranking.ask", "Put them in order: the one you would rather eat MORE of comes first."},
    {"ranking.ask.two", "Which one would you rather eat MORE of? Its code goes first."},
    {"ranking.tap", "Tap them in order: first the one you would rather eat MORE of."},
    {"ranking.tap.two", "Tap the one you would rather eat MORE of, then the other."},
    {"ranking.kind", "Close? Put one of them first all the same. There is no right answer."},
    {"ranking.comment", "What made you choose the first one?"},
    {"ranking.before", "Before you tasted, did anything you saw, smelled or heard tell you about one of the portions?"},
    {"ranking.ready", "designs/plans/which-of-four.json"},
};

bool never_abstains(const Round&) { return false; }

constexpr Source k_sources[] = {
    {"Friedman (1937), Journal of the American Statistical Association 32:675; ties: Conover (1999), Practical Nonparametric Statistics, section 5.8"},
    {"Durbin (1951), British Journal of Psychology, Statistical Section 4:85; Skillings & Mack (1981), Technometrics 23:171 (not all on every tray)"},
    {"Page (1963), Journal of the American Statistical Association 58:216 (an order expected beforehand)"},
    {"Fisher (1935), The Design of Experiments, section 21 (pairs by flipping signs); Holm (1979), Scandinavian Journal of Statistics 6:65"},
    {"Berger (1982), Technometrics 24:295 (none is worse: each test at alpha whole)"},
    {"Bradley & Terry (1952), Biometrika 39:324; ties: Davidson (1970), Journal of the American Statistical Association 65:317; the one served first: Davidson & Beaver (1977), Biometrics 33:693 (trays of two)"},
    {"Maurer, Hothorn & Lehmacher (1995), in Biometrie in der chemisch-pharmazeutischen Industrie 6 (a ladder's levels from the highest down)"},
    {"ISO 8587 (ranking)"},
};

}   // namespace

extern const Method ranking;
const Method ranking{
    .id = "ranking",
    .phrases = k_phrases,
    .scale = Scale::each,
    .portions = 0,
    .fewest_versions = 3,
    .shape = ranks::shape,
    .orders = trays::orders,
    .round_settings = ranks::k_round_settings,
    .settle = ranks::settle,
    .may_abstain = never_abstains,
    .score = ranks::score,
    .analyse = ranks::analyse,
    .verdict = ranks::verdict,
    .favours = trays::least,
    .claims_difference = ranks::claims_difference,
    .outlook = ranks::outlook,
    .decide = ranks::decide,
    .verdicts = ranks::k_verdicts,
    .count_settings = {},
    .size_settings = ranks::k_size_settings,
    .size = ranks::size,
    .weigh_columns = ranks::k_weigh_columns,
    .weigh_sample = "taster,sample,rank\nAnn,a,1\nAnn,b,2",
    .weigh_settings = ranks::k_weigh_settings,
    .weigh = ranks::weigh_table,
    .right_of_n = false,
    .sources = k_sources,
    .examples = {},
};

}   // namespace oddplate::methods
