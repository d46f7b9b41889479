// What the family can be told, what it asks tasters and what one answer is worth.

#include <algorithm>

#include "difference.hpp"
#include "signals.hpp"

namespace oddplate::methods::signals {
namespace {

using difference::k_aim;
using difference::k_most_d;
using difference::k_power;

constexpr std::int64_t k_most_answers = 10'000'000;

constexpr Setting k_detect{
    .key = "detect_d", .lo = 0, .hi = k_most_d, .open = true, .help = "the difference that should be found, as d'"};
constexpr Setting k_same{.key = "same_below_d",
                         .lo = 0,
                         .hi = k_most_d,
                         .open = true,
                         .help = "the largest difference that still counts as the same dish, as d' (default: detect)"};
constexpr Setting k_confidence{
    .key = "confidence", .lo = 0, .hi = 1, .open = true, .help = "of the intervals (default 1 - 2 alpha)"};

constexpr Setting counted(std::string_view key, bool from_one, std::string_view help) {
    return {.key = key,
            .kind = Kind::whole,
            .lo = from_one ? 1.0 : 0.0,
            .hi = static_cast<double>(k_most_answers),
            .required = true,
            .help = help};
}

constexpr Setting k_count[] = {
    counted("hits", false, "signals called so: \"a\" to A, \"different\" to different pairs"),
    counted("signals", true, "answers to A, or to different pairs"),
    counted("false_alarms", false, "the same word to the others: \"a\" to not-A, \"different\" to same pairs"),
    counted("noises", true, "answers to not-A, or to same pairs"),
    k_aim,
    k_alpha,
    k_confidence,
    k_detect,
    k_same};
constexpr Setting k_round[] = {
    k_aim, k_detect, k_same, {.key = "sureness", .kind = Kind::flag, .help = "tasters also say how sure they are, in three steps"}};
constexpr Setting k_weigh[] = {k_aim, k_alpha, k_confidence, k_detect, k_same};
constexpr Setting k_criterion{.key = "criterion",
                             .lo = -6,
                             .hi = 12,
                             .help = "where tasters draw the line between the two words (default: no lean; pairs: where most are right)"};
constexpr Setting k_curve[] = {k_criterion};
constexpr Setting k_size[] = {
    k_detect,
    k_aim,
    k_alpha,
    k_power,
    {.key = "true_d",
     .lo = 0,
     .hi = k_most_d,
     .help = "similarity: the true difference assumed for the power, as d' (default 0)"},
    k_criterion,
    {.key = "a_sets", .kind = Kind::whole, .lo = 1, .hi = 9, .help = "A is served so often ... (default 1)"},
    {.key = "not_a_sets", .kind = Kind::whole, .lo = 1, .hi = 9, .help = "... for so many not-A (default 1)"},
    difference::k_tasters};

}   // namespace

constinit const std::span<const Setting> k_count_settings{k_count};
constinit const std::span<const Setting> k_size_settings{k_size};
constinit const std::span<const Setting> k_weigh_settings{k_weigh};
constinit const std::span<const Setting> k_curve_settings{k_curve};
constinit const std::span<const Setting> k_round_settings{k_round};

Question question_of(const Settings& settings, double alpha) {
    Question question;
    question.alpha = alpha;
    question.confidence = number(settings, "confidence");
    if (!question.confidence && alpha < 0.5) question.confidence = 1 - 2 * alpha;
    question.similarity = words(settings, "aim") == "similarity";
    question.detect = number(settings, "detect_d");
    question.margin = number(settings, "same_below_d");
    if (!question.margin) question.margin = question.detect;
    question.criterion = number(settings, "criterion");
    return question;
}

void settle(const Method& method, Round& round, const Plan& plan, const std::string& place, core::Faults& faults) {
    difference::need_two_versions(method, plan, place, faults);
    for (const Setting& setting : method.round_settings) {
        if (setting.kind == Kind::flag) round.settings.try_emplace(std::string(setting.key), false);
        if (setting.kind == Kind::whole) round.settings.try_emplace(std::string(setting.key), std::int64_t{1});
    }
    if (const auto d = number(round.settings, "detect_d")) round.settings.try_emplace("same_below_d", *d);
    difference::settle_aim(round);
}

AnswerShape shape(const Family& family, const Round& round) {
    return OneWord{family.answers, flag(round.settings, "sureness") ? k_steps : 0};
}

core::Result<Scored> score(const Family& family, const SetKey& key, const Answer& answer, const Round& round) {
    const auto* given = std::get_if<Word>(&answer);
    if (given == nullptr || std::find(family.answers.begin(), family.answers.end(), given->word) == family.answers.end())
        return core::found({}, canonical_text(answer, key.codes), expectation(shape(family, round), false, key.codes), {},
                           "bad-answer");
    Scored scored{.value = (given->word == family.answers.front()) == family.is_signal(key.versions) ? 1.0 : 0.0};
    if (given->sureness > 0) scored.values = {static_cast<double>(given->sureness)};
    return scored;
}

}   // namespace oddplate::methods::signals
