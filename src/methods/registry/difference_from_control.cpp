// Difference from control: a marked portion of the current recipe, and two with codes, one of which is the current recipe again.
// How different is each from the marked one?

#include <algorithm>
#include <cmath>

#include "scores.hpp"

namespace oddplate::methods {
namespace {

constexpr core::Phrase k_phrases[] = {
    {"difference-from-control.title", "Difference from the current recipe"},
    {"difference-from-control.asks",
     "How different is the new recipe from the current one, beyond what people score for no difference at all?"},
    {"difference-from-control.look",
     "Three portions: R, in its frame, and two with codes. A coded one may be R again."},
    {"difference-from-control.how",
     "Eat R first, then the others from left to right. You may go back as often as you like."},
    {"difference-from-control.ask", "How DIFFERENT from R is each?"},
    {"difference-from-control.kind", "Not sure? Put down what you taste. Small numbers are answers too, and 0 is one."},
    {"difference-from-control.low", "not different at all"},
    {"difference-from-control.high", "as different as can be"},
    {"difference-from-control.comment", "Anything you want to say, after you have scored:"},
    {"difference-from-control.before",
     "Before you tasted: did anything you saw, smelled or heard tell you about one of the coded portions?"},
    {"difference-from-control.ready", "designs/plans/how-different.json"},
};

std::vector<Order> orders(const Round&, int) {
    return {{{0, 1}, 0, 0}, {{1, 0}, 0, 1}};   // trait: which comes first
}

/// Two and a half points for each unit of difference from the marked one; a made-up taster's habit, for rehearsals.
Answer decide(const Sensed& sensed, std::span<const std::string> codes, const Round& round, const Plan&) {
    const double top = static_cast<double>(whole(round.settings, "scale").value_or(static_cast<std::int64_t>(scores::k_scale)));
    Scores given;
    for (std::size_t i = 0; i < codes.size(); ++i)
        given.scores.emplace_back(codes[i], std::min(top, std::round(2.5 * std::abs(sensed.portions[i] - sensed.reference))));
    return given;
}

constexpr Column k_columns[] = {{"taster"}, {"sample"}, {"score"}};

constexpr Source k_sources[] = {
    {"Fisher (1935), The Design of Experiments, section 21 (flipping the signs of differences)"},
    {"Hartigan (1969), Journal of the American Statistical Association 64:1303 (the interval)"},
    {"Common practice: a blind control takes up what people score for no difference"},
};

}   // namespace

extern const Method difference_from_control;
const Method difference_from_control{
    .id = "difference-from-control",
    .phrases = k_phrases,
    .scale = Scale::values,
    .portions = 2,
    .shape = scores::shape,
    .orders = orders,
    .round_settings = scores::k_round_settings,
    .settle = scores::settle,
    .may_abstain = right_answer::never_abstains,
    .score = scores::score,
    .analyse = scores::analyse,
    .claims_difference = right_answer::claims_difference,
    .outlook = scores::outlook,
    .decide = decide,
    .verdicts = right_answer::k_verdicts,
    .count_settings = {},
    .size_settings = scores::k_size_settings,
    .size = scores::size,
    .weigh_columns = k_columns,
    .weigh_sample = "taster,sample,score\nAnn,control,2\nAnn,new,4.5",
    .weigh_settings = scores::k_weigh_settings,
    .weigh = scores::weigh_table,
    .sources = k_sources,
    .examples = {},
};

}   // namespace oddplate::methods
