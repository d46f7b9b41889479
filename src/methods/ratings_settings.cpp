// What a round of ratings can be told, and what one answer is worth.

#include <algorithm>
#include <cmath>

#include "oddplate/core/json.hpp"
#include "oddplate/core/text.hpp"
#include "ratings.hpp"
#include "trays.hpp"

namespace oddplate::methods::ratings {
namespace {

// Nine steps of liking: common practice.
constexpr std::int64_t k_low = 1, k_top = 9;
constexpr double k_largest = 100;
constexpr Setting k_round[] = {
    trays::k_tray_size,
    trays::k_sittings,
    trays::k_usual_in_every_tray,
    trays::k_stronger,
    trays::k_strongest_last,
    {.key = "against_usual", .kind = Kind::flag, .help = "hold every recipe against the usual one as well"},
    {.key = "scale", .kind = Kind::whole, .lo = 2, .hi = k_largest, .help = "the top of the scale (default 9)"},
    {.key = "scale_low", .kind = Kind::whole, .lo = 0, .hi = k_largest - 1, .help = "where the scale begins (default 1)"},
    {.key = "scale_step", .lo = 0.1, .hi = k_largest, .help = "the step from one answer to the next (default 1)"},
    {.key = "scale_words", .kind = Kind::words, .help = "what the steps are called, lowest first, with | between: the two ends, or every step"},
    {.key = "carry_over", .kind = Kind::flag, .help = "let the portion eaten before shift a score, and say whether it did"},
    {.key = "detect_score", .lo = 0, .hi = k_largest, .open = true, .help = "the difference between two recipes' means that should be shown, in points"},
    {.key = "spread", .lo = 0, .hi = 2 * k_largest, .open = true, .help = "standard deviation of one taster's differences between two recipes, in points (from an earlier tasting; 2 to 3 is usual)"}};

double low_of(const Round& round) { return static_cast<double>(whole(round.settings, "scale_low").value_or(k_low)); }
double step_of(const Round& round) { return number(round.settings, "scale_step").value_or(1); }
std::vector<std::string> words_in(const Round& round) {
    std::vector<std::string> all;
    if (const auto given = words(round.settings, "scale_words"))
        for (const std::string& word : core::split(*given, '|')) all.push_back(core::trimmed(word));
    return all;
}
double top_of(const Round& round) { return static_cast<double>(whole(round.settings, "scale").value_or(k_top)); }

}   // namespace

constinit const std::span<const Setting> k_round_settings{k_round};

void settle(const Method& method, Round& round, const Plan& plan, const std::string& place, core::Faults& faults) {
    trays::settle(method, round, plan, place, faults);
    round.settings.try_emplace("scale_low", k_low);
    round.settings.try_emplace("scale", k_top);
    const double low = low_of(round), top = top_of(round);
    if (low >= top)
        faults.push_back(core::found(place + "/scale_low", core::shortest(low), "a whole number below the scale's top (" + core::shortest(top) + ")"));
    const double step = step_of(round), steps = (top - low) / step;
    if (low < top && std::abs(steps - std::round(steps)) > 1e-9)
        faults.push_back(core::found(place + "/scale_step", core::shortest(step), "a step that leads from " + core::shortest(low) + " to " + core::shortest(top)));
    const std::vector<std::string> called = words_in(round);
    const bool named = called.empty() || called.size() == 2 || static_cast<double>(called.size()) == std::round(steps) + 1;
    if (!named || std::any_of(called.begin(), called.end(), [](const std::string& word) { return word.empty(); }))
        faults.push_back(core::found(place + "/scale_words", std::to_string(called.size()) + " words", "two, for the ends, or one for each of the " + core::shortest(std::round(steps) + 1) + " steps, with | between"));
    if (const auto points = number(round.settings, "detect_score"); points && *points > top - low)
        faults.push_back(core::found(place + "/detect_score", core::shortest(*points), "at most the scale's length (" + core::shortest(top - low) + ")"));
    if (round.settings.contains("detect_score") != round.settings.contains("spread"))
        faults.push_back(core::found(place + "/spread", round.settings.contains("spread") ? "no detect_score" : "nothing", "detect_score and spread together"));
}

AnswerShape shape(const Round& round) { return ScoreEach{.lo = low_of(round), .hi = top_of(round), .step = step_of(round), .words = words_in(round)}; }

core::Result<Scored> score(const SetKey& key, const Answer& answer, const Round& round, const Plan&) {
    const auto refused = [&] { return core::found({}, canonical_text(answer, key.codes), expectation(shape(round), false, key.codes), {}, "bad-answer"); };
    const auto* given = std::get_if<Scores>(&answer);
    if (given == nullptr) return refused();
    Scored scored;
    for (std::size_t place = 0; place < key.codes.size(); ++place) {
        const auto mine = std::find_if(given->scores.begin(), given->scores.end(), [&](const auto& score) { return score.first == key.codes[place]; });
        if (mine == given->scores.end()) continue;   // not on the tray after all
        scored.values.push_back(mine->second);
        scored.samples.push_back(key.versions[place]);
    }
    if (scored.values.size() != given->scores.size()) return refused();
    const bool two = key.codes.size() == 2;
    for (std::size_t i = 0; i < scored.values.size(); ++i)
        scored.value += !two ? scored.values[i] / static_cast<double>(scored.values.size()) : scored.samples[i] == 0 ? -scored.values[i] : scored.values[i];
    return scored;
}

/// The middle of the scale and a quarter of its length for each unit of taste; a made-up taster's habit, for rehearsals.
Answer decide(const Sensed& sensed, std::span<const std::string> codes, const Round& round, const Plan&) {
    const double low = low_of(round), top = top_of(round), step = step_of(round);
    Scores given;
    for (std::size_t i = 0; i < codes.size(); ++i)
        given.scores.emplace_back(codes[i], std::clamp(low + step * std::round(((top - low) / 2 + (top - low) / 4 * sensed.portions[i]) / step), low, top));
    return given;
}

}   // namespace oddplate::methods::ratings
