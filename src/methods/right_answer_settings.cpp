// What the family can be told, and how it becomes a question: margins in d' or as the share of people who can tell.

#include <algorithm>
#include <array>
#include <cstdlib>

#include "difference.hpp"
#include "oddplate/stats/link.hpp"
#include "right_answer.hpp"

namespace oddplate::methods::right_answer {
namespace {

using difference::k_aim;
using difference::k_most_d;
using difference::k_power;

constexpr std::string_view k_rules[] = {"overall", "any-spot", "each-spot"};
constexpr std::int64_t k_most_answers = 100'000'000;

constexpr Setting k_detect_d{.key = "detect_d",
                             .lo = 0,
                             .hi = k_most_d,
                             .open = true,
                             .help = "the difference that should be found, as d' (instead of a share of people)"};
constexpr Setting k_detect_pd{.key = "detect_pd",
                              .lo = 0,
                              .hi = 1,
                              .open = true,
                              .help = "the difference that should be found, as the share of people who can tell (0.4 = 4 in 10)"};
constexpr Setting k_same_d{.key = "same_below_d",
                           .lo = 0,
                           .hi = k_most_d,
                           .open = true,
                           .help = "the largest difference that still counts as the same dish, as d' (default: detect)"};
constexpr Setting k_same_pd{
    .key = "same_below_pd",
    .lo = 0,
    .hi = 1,
    .open = true,
    .help = "the largest share of people who can tell that still counts as the same dish (default: detect)"};
constexpr Setting k_confidence{.key = "confidence",
                               .lo = 0,
                               .hi = 1,
                               .open = true,
                               .help = "of the interval (default 1 - 2 alpha, which never contradicts the verdict)"};

constexpr std::string_view k_intervals[] = {"clopper-pearson", "mid-p", "wilson", "likelihood"};
constexpr stats::IntervalKind k_kinds[] = {stats::IntervalKind::clopper_pearson, stats::IntervalKind::mid_p, stats::IntervalKind::wilson,
                                           stats::IntervalKind::likelihood};

constexpr Setting k_count[] = {
    {.key = "correct", .kind = Kind::whole, .lo = 0, .hi = k_most_answers, .required = true, .help = "right answers"},
    {.key = "of", .kind = Kind::whole, .lo = 1, .hi = k_most_answers, .required = true, .help = "answers in all"},
    k_aim,
    k_alpha,
    k_confidence,
    k_detect_d,
    k_detect_pd,
    k_same_d,
    k_same_pd,
    {.key = "interval",
     .kind = Kind::choice,
     .choices = k_intervals,
     .help = "which interval: clopper-pearson (the default, guaranteed), mid-p, wilson, or the profile likelihood of d'; the verdict never changes"}};
constexpr Setting k_size[] = {
    k_detect_d,
    k_detect_pd,
    k_aim,
    k_alpha,
    k_power,
    {.key = "true_d",
     .lo = 0,
     .hi = k_most_d,
     .help = "similarity: the true difference assumed for the power, as d' (default 0)"},
    {.key = "spots", .kind = Kind::whole, .lo = 1, .hi = 100, .help = "how many spots of the cut each person tastes (default 1)"},
    {.key = "decide_on",
     .kind = Kind::choice,
     .choices = k_rules,
     .help = "the rule over spots (default overall; similarity: any-spot)"},
    {.key = "sets_per_taster", .kind = Kind::whole, .lo = 1, .hi = 100, .help = "sets a spot for each person (default 1)"},
    {.key = "gamma",
     .lo = 0,
     .hi = 1,
     .help = "how far people differ in what they can tell: 0 all alike, 1 two kinds (default 0)"},
    difference::k_tasters};
constexpr Setting k_round[] = {k_aim, k_detect_d, k_detect_pd, k_same_d, k_same_pd};
constexpr Setting k_directed_round[] = {
    k_aim,
    k_detect_d,
    k_detect_pd,
    k_same_d,
    k_same_pd,
    {.key = "attribute", .kind = Kind::words, .required = true, .help = "what is asked, as a comparing word: saltier"},
    {.key = "stronger", .kind = Kind::version, .required = true, .help = "the version that has more of it"}};

bool is_directed(const Method& method) {
    for (const Setting& setting : method.round_settings)
        if (setting.key == "stronger" && setting.required) return true;
    return false;
}

/// The margin that is meant where only the difference to find was given.
void fill_margin(Settings& settings) {
    if (settings.contains("same_below_d") || settings.contains("same_below_pd")) return;
    if (const auto d = number(settings, "detect_d"))
        settings.emplace("same_below_d", *d);
    else if (const auto pd = number(settings, "detect_pd"))
        settings.emplace("same_below_pd", *pd);
}

void refuse_both(const Settings& settings, std::string_view one, std::string_view other, const std::string& place,
                 core::Faults& faults) {
    if (settings.contains(one) && settings.contains(other))
        faults.push_back(core::found(place, "both " + std::string(one) + " and " + std::string(other), "one of them"));
}

}   // namespace

constinit const std::span<const Setting> k_count_settings{k_count};
constinit const std::span<const Setting> k_size_settings{k_size};
constinit const std::span<const Setting> k_weigh_settings{std::span(k_count).subspan(2)};
constinit const std::span<const Setting> k_round_settings{k_round};
constinit const std::span<const Setting> k_directed_round_settings{k_directed_round};
constinit const Setting k_sureness{.key = "sureness", .kind = Kind::flag, .help = "tasters also say how sure they are, in three steps"};

AnswerShape picked_code(const Round& round) {
    return OneCode{flag(round.settings, "sureness") ? k_sureness_steps : 0};
}

std::optional<Difference> difference_of(const Method& method, const Settings& settings, std::string_view d_key,
                                        std::string_view pd_key) {
    if (method.link == nullptr) std::abort();
    const stats::Link& link = *method.link;
    if (const auto d = number(settings, d_key))
        return Difference{*d, stats::discriminators_from_d(link, *d), stats::proportion_correct(link, *d)};
    if (const auto pd = number(settings, pd_key))
        return Difference{stats::d_from_discriminators(link, *pd), *pd, stats::proportion_from_discriminators(link.chance, *pd)};
    return std::nullopt;
}

Question question_of(const Method& method, const Settings& settings, double alpha) {
    Question question;
    question.alpha = alpha;
    question.confidence = number(settings, "confidence");
    if (!question.confidence && alpha < 0.5) question.confidence = 1 - 2 * alpha;
    if (const auto named = words(settings, "interval"))
        question.interval = k_kinds[std::find(std::begin(k_intervals), std::end(k_intervals), *named) - std::begin(k_intervals)];
    question.similarity = words(settings, "aim") == "similarity";
    question.detect = difference_of(method, settings, "detect_d", "detect_pd");
    question.margin = difference_of(method, settings, "same_below_d", "same_below_pd");
    if (!question.margin) question.margin = question.detect;
    return question;
}

core::Faults both_given(const Settings& settings) {
    core::Faults faults;
    for (const auto& [one, other] : {std::pair{"detect_d", "detect_pd"}, std::pair{"same_below_d", "same_below_pd"}})
        if (settings.contains(one) && settings.contains(other))
            faults.push_back(core::found(flag_name(other), flag_name(one) + " as well", "one of the two"));
    return faults;
}

Question question_of(const Method& method, const Round& round) {
    return question_of(method, round.settings, round.alpha);
}

void settle(const Method& method, Round& round, const Plan& plan, const std::string& place, core::Faults& faults) {
    refuse_both(round.settings, "detect_d", "detect_pd", place, faults);
    refuse_both(round.settings, "same_below_d", "same_below_pd", place, faults);
    difference::need_two_versions(method, plan, place, faults);
    if (is_directed(method)) {
        if (!round.settings.contains("attribute"))
            faults.push_back(
                core::found(place + "/attribute", "nothing", "what is asked, as a comparing word", "\"attribute\": \"saltier\""));
        if (!round.settings.contains("stronger"))
            faults.push_back(core::found(place + "/stronger", "nothing", "the id of the version that has more of it"));
    }
    if (const auto stronger = words(round.settings, "stronger")) round.stronger = plan.version_index(*stronger);
    fill_margin(round.settings);
    difference::settle_aim(round);
}

}   // namespace oddplate::methods::right_answer
