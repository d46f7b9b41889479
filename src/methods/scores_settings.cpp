// What a score of the difference can be told, and what one answer is worth.

#include <algorithm>

#include "difference.hpp"
#include "oddplate/core/json.hpp"
#include "scores.hpp"

namespace oddplate::methods::scores {
namespace {

using difference::k_aim;
using difference::k_power;

constexpr double k_most = 15;
constexpr Setting k_same{
    .key = "same_below_score",
    .lo = 0,
    .hi = k_most,
    .open = true,
    .help = "the largest mean difference from the blind control that still counts as the same dish, in points"};
constexpr Setting k_detect{
    .key = "detect_score", .lo = 0, .hi = k_most, .open = true, .help = "the mean difference that should be found, in points"};
constexpr Setting k_spread{
    .key = "spread",
    .lo = 0,
    .hi = 2 * k_most,
    .open = true,
    .help = "standard deviation of tasters' differences, in points (from an earlier tasting; 2 to 3 is usual)"};
constexpr Setting k_confidence{
    .key = "confidence", .lo = 0, .hi = 1, .open = true, .help = "of the interval (default 1 - 2 alpha)"};
constexpr Setting k_round[] = {
    k_aim,
    k_same,
    k_detect,
    k_spread,
    {.key = "scale", .kind = Kind::whole, .lo = 4, .hi = k_most, .help = "the top of the scale, which begins at 0 (default 10)"}};
constexpr Setting k_weigh[] = {k_aim, k_alpha, k_confidence, k_same};
constexpr Setting k_size[] = {
    k_detect,
    k_spread,
    k_alpha,
    k_power,
    difference::k_tasters};

}   // namespace

constinit const std::span<const Setting> k_round_settings{k_round};
constinit const std::span<const Setting> k_weigh_settings{k_weigh};
constinit const std::span<const Setting> k_size_settings{k_size};

Question question_of(const Settings& settings, double alpha) {
    Question question;
    question.alpha = alpha;
    question.confidence = number(settings, "confidence");
    if (!question.confidence && alpha < 0.5) question.confidence = 1 - 2 * alpha;
    question.margin = number(settings, "same_below_score");
    question.detect = number(settings, "detect_score");
    question.spread = number(settings, "spread");
    question.similarity = words(settings, "aim") == "similarity";
    return question;
}

void settle(const Method& method, Round& round, const Plan& plan, const std::string& place, core::Faults& faults) {
    difference::need_two_versions(method, plan, place, faults);
    round.settings.try_emplace("scale", static_cast<std::int64_t>(k_scale));
    const auto top = static_cast<double>(whole(round.settings, "scale").value_or(0));
    for (const char* key : {"same_below_score", "detect_score"})
        if (const auto points = number(round.settings, key); points && *points >= top)
            faults.push_back(core::found(place + "/" + key, core::shortest(*points),
                                         "a number below the scale's top (" + core::shortest(top) + ")"));
    if (round.settings.contains("detect_score") != round.settings.contains("spread"))
        faults.push_back(core::found(place + "/spread", round.settings.contains("spread") ? "no detect_score" : "nothing",
                                     "detect_score and spread together"));
    difference::settle_aim(round);
}

AnswerShape shape(const Round& round) {
    return ScoreEach{0, static_cast<double>(whole(round.settings, "scale").value_or(static_cast<std::int64_t>(k_scale)))};
}

core::Result<Scored> score(const SetKey& key, const Answer& answer, const Round& round, const Plan&) {
    const auto* given = std::get_if<Scores>(&answer);
    if (given == nullptr || given->scores.size() != key.codes.size())
        return core::found({}, canonical_text(answer, key.codes), expectation(shape(round), false, key.codes), {}, "bad-answer");
    Scored scored{.values = std::vector<double>(key.codes.size(), 0)};
    for (const auto& [code, points] : given->scores) {
        const auto at = std::find(key.codes.begin(), key.codes.end(), code);
        if (at == key.codes.end())
            return core::found({}, canonical_text(answer, key.codes), expectation(shape(round), false, key.codes), {},
                               "bad-answer");
        const auto place = static_cast<std::size_t>(at - key.codes.begin());
        scored.values[place] = points;
        scored.value += key.versions[place] == 0 ? -points : points;
    }
    return scored;
}

}   // namespace oddplate::methods::scores
