// The rule of the standards and a curve stand side by side: the one is what everybody knows and compares, the other takes luck off.

#include "right_answer_levels.hpp"

#include <algorithm>
#include <array>
#include <charconv>
#include <cmath>
#include <cstdio>
#include <map>

#include "level_looks.hpp"
#include "oddplate/core/text.hpp"
#include "oddplate/stats/link.hpp"
#include "oddplate/stats/threshold.hpp"
#include "right_answer_table.hpp"

namespace oddplate::methods::right_answer {
namespace {

constexpr double k_most = 1e30;   // no dilution comes near it, nor 1 in it; what is made of such levels stays a number
constexpr std::string_view k_noticed = "noticed", k_not_shown = "not-noticed";

struct Given {
    std::vector<stats::LevelAnswer> answers;
    std::vector<std::string> tasters;   ///< by number
    bool repeated{false};               ///< somebody answered twice at a level
};

/// All that was found, before it is said.
struct Found {
    std::vector<stats::NoticeStep> steps;
    stats::GroupThreshold group;
    stats::Rise curve;
    const stats::NoticeStep* first{nullptr};   ///< the lowest level shown

    [[nodiscard]] std::optional<double> point() const { return curve.point ? std::optional(std::exp(*curve.point)) : std::nullopt; }
};

core::Faults out_of_place(const PlainTable& plain, const Settings& settings) {
    core::Faults faults;
    for (const std::string_view key : {"aim", "detect_d", "detect_pd", "same_below_d", "same_below_pd", "interval"})
        if (settings.contains(key)) faults.push_back(core::found(flag_name(key), "a table with a column level", "a table without one", "leave the flag out"));
    if (plain.column("spot") >= 0) faults.push_back(core::found("line 1", "the columns spot and level", "one of the two", "weigh each spot's ladder in a file of its own"));
    return faults;
}

core::Result<Given> read(const PlainTable& plain) {
    Given given;
    core::Faults faults;
    std::map<std::string, std::int32_t> numbers;
    std::map<std::pair<std::int32_t, double>, int> seen;
    bool said_low = false;
    for (const PlainTable::Row& row : plain.rows) {
        const auto cell = [&](std::string_view name) { return core::trimmed(row.cells[static_cast<std::size_t>(plain.column(name))]); };
        const std::string place = "line " + std::to_string(row.line), taster = cell("taster"), text = cell("level"), answer = cell("correct");
        double level = 0;
        const auto [end, error] = std::from_chars(text.data(), text.data() + text.size(), level);
        const bool is_number = error == std::errc{} && end == text.data() + text.size() && std::abs(level) <= k_most && !(level > 0 && level < 1 / k_most);
        const auto right = right_or_wrong(answer);
        if (taster.empty()) faults.push_back(core::found(place, "no taster", "a name or a number"));
        if (!right) faults.push_back(core::found(place, "correct \"" + core::quoted(answer) + "\"", "1 or 0 (yes or no)"));
        if (!is_number) faults.push_back(core::found(place, "the level \"" + core::quoted(text) + "\"", "a number such as 2.4"));
        if (is_number && !(level > 0) && !said_low) {
            faults.push_back(core::found(place, "the level " + core::shortest(level), "a number above 0", "levels are compared by how many times as much they are; a tray without any of it is no level"));
            said_low = true;
        }
        if (!right || !is_number || !(level > 0)) continue;
        const auto [at, is_new] = numbers.try_emplace(taster, static_cast<std::int32_t>(numbers.size()));
        if (is_new) given.tasters.push_back(taster);
        given.repeated = ++seen[{at->second, level}] > 1 || given.repeated;
        given.answers.push_back({at->second, level, *right});
    }
    if (faults.empty() && given.answers.empty()) faults.push_back(core::found({}, "a header alone", "one answer a line"));
    if (!faults.empty()) return faults;
    return given;
}

std::string why_none(const stats::Rise& curve) {
    switch (curve.why) {
        case stats::NoPoint::one_level: return "only one level was tasted";
        case stats::NoPoint::no_slope: return "more of it does not bring more right answers";
        case stats::NoPoint::at_luck: return "there are no more right answers than luck gives";
        case stats::NoPoint::all_one_way: return "one level parts the answers, so the point lies somewhere around it and no nearer";
        case stats::NoPoint::one_taster: return "one person";
        case stats::NoPoint::not_reached: return curve.above ? "above the highest level tasted" : "below the lowest level tasted";
        case stats::NoPoint::has_one: break;
    }
    return {};
}

std::string why_none(stats::NoGroup why) {
    switch (why) {
        case stats::NoGroup::one_level: return "nobody tasted more than one level";
        case stats::NoGroup::all_below: return "everybody was right from the lowest level on, so it lies below";
        case stats::NoGroup::all_above: return "everybody missed the highest level they tasted, so it lies above";
        case stats::NoGroup::mostly_beyond: return "more than half of the people lie beyond the levels tasted, where the rule guesses half a step";
        case stats::NoGroup::one_taster: return "one person";
        case stats::NoGroup::one_step: return "all people's thresholds fall between the same two levels, and how they differ within is not seen";
        case stats::NoGroup::too_few: return "too few people to bound it";
        case stats::NoGroup::has_one: break;
    }
    return {};
}

std::string_view to_text(stats::Among among) {
    return among == stats::Among::below ? "below the levels" : among == stats::Among::above ? "above the levels" : "between two levels";
}

/// Three digits: a ladder's steps are coarser than that. Nothing where it is open.
std::string shown(double level) {
    if (!std::isfinite(level)) return {};
    if (!(level > 1e-4 && level < 1e6)) return core::shortest(level);
    std::array<char, 64> text{};
    std::snprintf(text.data(), text.size(), "%.*f", std::clamp(2 - static_cast<int>(std::floor(std::log10(level))), 0, 6), level);
    std::string digits = text.data();
    if (digits.find('.') != std::string::npos) {
        digits.erase(digits.find_last_not_of('0') + 1);
        if (digits.back() == '.') digits.pop_back();
    }
    return digits;
}

void say_curve(const Found& found, std::vector<core::Sentence>& words) {
    const auto point = found.point();
    if (!point) {
        words.push_back({"threshold.no_curve", {{"why", why_none(found.curve)}}});
        return;
    }
    const double low = found.curve.limits.lower, high = found.curve.limits.upper;
    const char* id = std::isfinite(low) && std::isfinite(high) ? "threshold.curve" : std::isfinite(low) ? "threshold.curve.from" : std::isfinite(high) ? "threshold.curve.to" : "threshold.curve.open";
    words.push_back({id, {{"point", shown(*point)}, {"lower", std::isfinite(low) ? shown(std::exp(low)) : ""}, {"upper", shown(std::exp(high))}}});
    if (found.curve.misfit_p <= k_alarm) words.push_back({"threshold.misfit", {{"p", found.curve.misfit_p}}});
}

std::vector<core::Sentence> words_of(const Found& found, const Given& given, double guess, double alpha) {
    std::vector<core::Sentence> words;
    const auto people = static_cast<std::int64_t>(given.tasters.size());
    words.push_back({found.first != nullptr ? "threshold.noticed" : "threshold.not_noticed",
                     {{"n", people}, {"alpha", alpha}, {"level", core::shortest(found.first != nullptr ? found.first->level : 0)}, {"high", core::shortest(found.steps.back().level)}}});
    const stats::GroupThreshold& group = found.group;
    if (group.limits) words.push_back({"threshold.group", {{"point", shown(*group.estimate)}, {"lower", shown(group.limits->lower)}, {"upper", shown(group.limits->upper)}}});
    else if (group.estimate) words.push_back({"threshold.group.alone", {{"point", shown(*group.estimate)}, {"why", why_none(group.no_limits)}}});
    else words.push_back({"threshold.no_group", {{"why", why_none(group.why)}}});
    if ((group.estimate || group.why == stats::NoGroup::mostly_beyond) && group.below + group.above > 0)
        words.push_back({"threshold.beyond", {{"n", group.below + group.above}, {"below", group.below}, {"above", group.above}}});
    if (group.estimate) words.push_back({"threshold.luck", {{"guess", guess}}});
    say_curve(found, words);
    const auto alone = std::count_if(group.each.begin(), group.each.end(), [](const stats::OwnThreshold& each) { return !each.estimate; });
    if (alone > 0 && group.why != stats::NoGroup::one_level) words.push_back({"threshold.one_level", {{"n", static_cast<std::int64_t>(alone)}}});
    if (given.repeated) words.push_back({"threshold.repeated", {}});
    words.push_back({"threshold.caution", {}});
    return words;
}

void add_group(const stats::GroupThreshold& group, double confidence, Findings& findings) {
    const std::string why = why_none(group.why), no_limits = why_none(group.no_limits);
    findings.add_optional("threshold.estimate", group.estimate, why);
    findings.add_optional("threshold.lower", group.limits ? std::optional(group.limits->lower) : std::nullopt, no_limits);
    findings.add_optional("threshold.upper", group.limits ? std::optional(group.limits->upper) : std::nullopt, no_limits);
    findings.add("threshold.confidence", confidence);
    findings.add("threshold.interval", std::string("Student's t on the common logarithms, by tasters"));
    findings.add_optional("threshold.sd_log10", group.limits ? group.sd_log10 : std::nullopt, no_limits);
    findings.add("threshold.below", group.below);
    findings.add("threshold.above", group.above);
}

void add_curve(const Found& found, double guess, double confidence, Findings& findings) {
    const std::string why = why_none(found.curve);
    const auto limit = [&](double x) { return found.curve.point && std::isfinite(x) ? std::optional(std::exp(x)) : std::nullopt; };
    const std::string open = found.curve.point ? "not within the levels tasted" : why;
    findings.add_optional("curve.estimate", found.point(), why);
    findings.add_optional("curve.lower", limit(found.curve.limits.lower), open);
    findings.add_optional("curve.upper", limit(found.curve.limits.upper), open);
    findings.add("curve.confidence", confidence);
    findings.add("curve.interval", std::string("Fieller's on the logarithms, by tasters"));
    findings.add("curve.share", guess + (1 - guess) / 2);
    const auto slope = found.curve.curve ? std::optional(found.curve.curve->slope()) : std::nullopt;
    findings.add_optional("curve.slope", slope, why);
    findings.add_optional("fit.p_value", found.steps.size() > 2 && slope ? std::optional(found.curve.misfit_p) : std::nullopt, slope ? "two levels fit any curve" : why);
}

void add_lists(const Found& found, const Given& given, Findings& findings) {
    List levels{"levels", {}}, each{"each_threshold", {}};
    for (const stats::NoticeStep& step : found.steps)
        levels.rows.push_back({{"level", step.level}, {"correct", step.right}, {"of", step.of}, {"p_value", step.p_value}, {"shown", step.shown}});
    for (const stats::OwnThreshold& own : found.group.each)
        each.rows.push_back({{"taster", given.tasters[static_cast<std::size_t>(own.taster)]}, {"correct", own.right}, {"of", own.of},
                             {"threshold", own.estimate ? Value{*own.estimate} : Value{}, own.estimate ? "" : "one level"},
                             {"where", own.estimate ? Value{std::string(to_text(own.among))} : Value{}, own.estimate ? "" : "one level"}});
    findings.lists.push_back(std::move(levels));
    findings.lists.push_back(std::move(each));
}

/// Limits of a level's share are exact where everybody there answered once.
LevelLooks looks_of(const Found& found, double guess, double confidence) {
    LevelLooks looks{.steps = {}, .logarithmic = true, .luck = guess, .wanted = guess + (1 - guess) / 2, .words = "picture.threshold", .confidence = confidence};
    for (const stats::NoticeStep& step : found.steps) {
        LevelLooks::Step seen{.level = step.level, .count = step.right, .of = step.of};
        if (step.of == step.tasters) seen.limits = stats::clopper_pearson(step.right, step.of, confidence);
        looks.steps.push_back(seen);
    }
    if (found.curve.curve) looks.curve = level_curve(*found.curve.curve, found.steps.front().level, found.steps.back().level, true);
    if (found.curve.point) looks.point = LevelLooks::Point{std::exp(*found.curve.point), stats::Interval{std::exp(found.curve.limits.lower), std::exp(found.curve.limits.upper)}};
    if (found.group.estimate) looks.beside = LevelLooks::Point{*found.group.estimate, found.group.limits};
    return looks;
}

}   // namespace

bool holds_levels(const PlainTable& table) { return table.column("level") >= 0; }

core::Result<Findings> weigh_levels(const Method& method, const PlainTable& plain, const Settings& settings) {
    if (core::Faults faults = out_of_place(plain, settings); !faults.empty()) return faults;
    const auto given = read(plain);
    if (!given) return given.faults();
    const double alpha = number(settings, "alpha").value_or(0.05), confidence = number(settings, "confidence").value_or(1 - 2 * alpha), guess = method.link->chance;
    Found found{.steps = stats::notice_steps(given->answers, guess, alpha),
                .group = stats::best_estimates(given->answers, confidence),
                .curve = stats::notice_curve(given->answers, guess, confidence)};
    for (const stats::NoticeStep& step : found.steps)
        if (step.shown && found.first == nullptr) found.first = &step;
    Findings findings;
    findings.verdict = found.first != nullptr ? k_noticed : k_not_shown;
    findings.add("method", std::string(method.id));
    add_group(found.group, confidence, findings);
    add_curve(found, guess, confidence, findings);
    findings.add_optional("first_noticed", found.first != nullptr ? std::optional(found.first->level) : std::nullopt, "at no level shown");
    findings.add("chance", guess);
    findings.add("tasters", static_cast<std::int64_t>(given->tasters.size()));
    findings.add("answers", static_cast<std::int64_t>(given->answers.size()));
    add_lists(found, *given, findings);
    findings.words = words_of(found, *given, guess, alpha);
    findings.level_looks = looks_of(found, guess, confidence);
    return findings;
}

}   // namespace oddplate::methods::right_answer
