// Made up for the acid test: a score for each portion, no right answer, no curve, nothing to count by hand.

#include "oddplate/methods/method.hpp"
#include "oddplate/stats/preference.hpp"

namespace oddplate::methods {
namespace {

constexpr core::Phrase k_phrases[] = {
    {"point-score.title", "Points"},
    {"point-score.asks", "How many points does each get?"},
    {"point-score.look", "Two portions."},
    {"point-score.how", "Go from left to right."},
    {"point-score.ask", "Give each from 0 to 10 points."},
    {"point-score.kind", "There is no right answer."},
    {"point-score.comment", "Anything to say?"},
    {"point-score.before", "Did anything tell you beforehand?"},
    {"point-score.verdict", "The second recipe got {mean:1} points more on average."},
};

constexpr std::string_view k_weights[] = {"plain", "double"};
constexpr Setting k_settings[] = {
    {.key = "weight", .kind = Kind::choice, .choices = k_weights, .help = "made up: how points are weighed"}};

std::vector<Order> orders(const Round&, int) {
    return {{{0, 1}, -1, 0}, {{1, 0}, -1, 1}};
}

core::Result<Scored> score(const SetKey& key, const Answer& answer, const Round&, const Plan&) {
    const auto* given = std::get_if<Scores>(&answer);
    if (given == nullptr || given->scores.size() != key.codes.size())
        return core::found({}, "another answer", expectation(ScoreEach{0, 10}, false, key.codes));
    Scored scored;
    for (std::size_t i = 0; i < key.codes.size(); ++i)
        for (const auto& [code, points] : given->scores)
            if (code == key.codes[i]) {
                scored.values.push_back(points);
                scored.value += key.versions[i] == 1 ? points : -points;
            }
    return scored;
}

Findings weighed(std::span<const Observation> observations, std::int32_t spot) {
    std::int64_t n = 0, higher = 0, lower = 0;
    double sum = 0;
    for (const Observation& seen : observations) {
        if (spot >= 0 && seen.spot != spot) continue;
        ++n;
        sum += seen.scored.value;
        higher += seen.scored.value > 0 ? 1 : 0;
        lower += seen.scored.value < 0 ? 1 : 0;
    }
    Findings findings;
    const double mean = n > 0 ? sum / static_cast<double>(n) : 0;
    const double p = stats::preference_p(higher, lower);
    findings.verdict = p > 0.05 ? "level" : higher > lower ? "more-points" : "fewer-points";
    findings.add_optional("mean", n > 0 ? std::optional(mean) : std::nullopt, "no answers");
    findings.add("p_value", Value{p});
    findings.words.push_back({"point-score.verdict", {{"mean", mean}}});
    return findings;
}

RoundFindings analyse(const Method&, std::span<const Observation> observations, const Round& round, const Plan&) {
    RoundFindings found;
    for (std::size_t j = 0; j < round.spots.size(); ++j)
        found.spots.push_back({round.spots[j], weighed(observations, static_cast<std::int32_t>(j))});
    found.pooled = weighed(observations, -1);
    found.heterogeneity_why = "not asked";
    found.verdict = found.pooled.verdict;
    found.words = found.pooled.words;
    return found;
}

constexpr Source k_sources[] = {{"made up"}};

}   // namespace

extern const Method point_score{
    .id = "point-score",
    .phrases = k_phrases,
    .scale = Scale::values,
    .portions = 2,
    .shape = [](const Round&) -> AnswerShape { return ScoreEach{0, 10}; },
    .orders = orders,
    .round_settings = k_settings,
    .settle = [](const Method&, Round&, const Plan&, const std::string&, core::Faults&) {},
    .may_abstain = [](const Round&) { return false; },
    .score = score,
    .analyse = analyse,
    .claims_difference = [](std::string_view verdict) { return verdict != "level"; },
    .outlook = [](const Method&, const Round&, const Plan&) { return Outlook{}; },
    .count_settings = {},
    .size_settings = {},
    .sources = k_sources,
    .examples = {},
};

}   // namespace oddplate::methods
