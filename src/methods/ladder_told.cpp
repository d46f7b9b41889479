// Tests: tests/unit/methods/votes.test.cpp (tables), ranks_ladder.test.cpp (rounds)

#include "ladder_told.hpp"

#include <algorithm>
#include <array>
#include <cmath>
#include <cstdio>

#include "level_looks.hpp"
#include "oddplate/core/json.hpp"
#include "oddplate/stats/binomial.hpp"

namespace oddplate::methods::ladders {
namespace {

std::string why_none(const stats::Ladder& found) {
    switch (found.rise.why) {
        case stats::NoPoint::one_level: return "not to be found, since only one level was tasted";
        case stats::NoPoint::no_slope: return "more of it does not bring more votes for the usual one";
        case stats::NoPoint::all_one_way: return "one level parts all votes, so the point lies somewhere around it and no nearer";
        case stats::NoPoint::one_taster: return "one person";
        case stats::NoPoint::not_reached: return found.rise.above ? "above the highest level tasted" : "below the lowest level tasted";
        case stats::NoPoint::at_luck:   // nothing is guessed here
        case stats::NoPoint::has_one: break;
    }
    return {};
}

const stats::LadderStep* first_shown(const stats::Ladder& found) {
    for (const stats::LadderStep& step : found.steps)
        if (step.shown) return &step;
    return nullptr;
}

List steps_list(const Told& told) {
    List list{"steps", {}};
    for (const stats::LadderStep& step : told.found.steps) {
        std::vector<Field> row{{"level", step.level}, {"for_current", step.for_control}, {"for_new", step.for_sample}, {"p_value", step.p_value}};
        if (!told.pieces_p.empty()) {
            const auto held = told.pieces_p.find(step.level);
            row.push_back(held == told.pieces_p.end() ? Field{"pieces_p_value", {}, "no piece of one of them is known"} : Field{"pieces_p_value", held->second});
        }
        row.push_back({"shown", step.shown});
        if (!told.ran_out.empty()) row.push_back({"ran_out", told.ran_out.contains(step.level)});
        list.rows.push_back(std::move(row));
    }
    return list;
}

/// A level to about a thirtieth of the ladder's length or finer: nobody weighs salt closer than that.
std::string shown(const stats::Ladder& found, double level) {
    if (std::abs(level) > 1e15) return core::shortest(level);
    const double tenth = (found.steps.back().level - found.steps.front().level) / 10;
    const int digits = tenth > 0 ? std::clamp(static_cast<int>(std::ceil(0.5 - std::log10(tenth))), 0, 6) : 2;
    std::array<char, 64> text{};
    std::snprintf(text.data(), text.size(), "%.*f", digits, level);
    return text.data();
}

/// Limits of a level's share are exact where everybody there chose once.
LevelLooks looks_of(const Told& told) {
    const stats::Ladder& found = told.found;
    LevelLooks looks{.steps = {}, .luck = 0.5, .wanted = told.at, .words = "picture.ladder", .confidence = told.confidence};
    for (const stats::LadderStep& step : found.steps) {
        LevelLooks::Step seen{.level = step.level, .count = step.for_control, .of = step.for_control + step.for_sample};
        if (seen.of > 0 && seen.of == step.tasters) seen.limits = stats::clopper_pearson(seen.count, seen.of, told.confidence);
        seen.ran_out = told.ran_out.contains(step.level);
        looks.steps.push_back(seen);
    }
    if (found.rise.curve) looks.curve = level_curve(*found.rise.curve, found.steps.front().level, found.steps.back().level, false);
    if (found.rise.point) looks.point = LevelLooks::Point{*found.rise.point, found.rise.limits};
    return looks;
}

}   // namespace

Told told(const Votes& votes, double at, double alpha, double confidence) {
    return {.votes = votes, .found = stats::ladder(votes.votes, at, alpha, confidence), .at = at, .alpha = alpha, .confidence = confidence};
}

void hold_to_pieces(Told& told, std::map<double, double> pieces_p) {
    told.pieces_p = std::move(pieces_p);
    bool all_above = true;
    for (auto step = told.found.steps.rbegin(); step != told.found.steps.rend(); ++step) {
        const auto held = told.pieces_p.find(step->level);
        const bool borne_out = held == told.pieces_p.end() || stats::significant(held->second, told.alpha);
        told.pieces_hold_back = told.pieces_hold_back || (step->shown && all_above && !borne_out);
        all_above = all_above && step->shown && borne_out;
        step->shown = all_above;
    }
}

bool Told::rejected() const { return first_shown(found) != nullptr; }

void add(Findings& findings, const Told& told) {
    const stats::Ladder& found = told.found;
    const stats::LadderStep* const first = first_shown(found);
    const std::string why = why_none(found);
    findings.add_optional("rejection.estimate", found.rise.point, why);
    const bool has = found.rise.point.has_value();
    const auto limit = [&](double value) { return has && std::isfinite(value) ? std::optional(value) : std::nullopt; };
    findings.add_optional("rejection.lower", limit(found.rise.limits.lower), has ? "not within the levels tasted" : why);
    findings.add_optional("rejection.upper", limit(found.rise.limits.upper), has ? "not within the levels tasted" : why);
    findings.add("rejection.confidence", told.confidence);
    findings.add("rejection.interval", std::string("Fieller's, by tasters"));
    findings.add("rejection.share", told.at);
    findings.add_optional("first_rejected", first != nullptr ? std::optional(first->level) : std::nullopt, "at no level shown");
    const auto slope = found.rise.curve ? std::optional(found.rise.curve->slope()) : std::nullopt;
    findings.add_optional("slope", slope, why);
    findings.add_optional("fit.p_value", found.steps.size() > 2 && slope ? std::optional(found.rise.misfit_p) : std::nullopt, slope ? "two levels fit any curve" : why);
    findings.lists.push_back(steps_list(told));
    if (!found.steps.empty()) findings.level_looks = looks_of(told);
}

std::vector<core::Sentence> words_of(const Told& told) {
    const stats::Ladder& found = told.found;
    const double at = told.at;
    std::vector<core::Sentence> words;
    const stats::LadderStep* const first = first_shown(found);
    if (found.steps.empty()) return {{"ladder.nobody", {}}};
    const std::map<std::string, core::Argument> args{{"n", (first != nullptr ? *first : found.steps.back()).tasters}, {"alpha", told.alpha}, {"share", at}, {"level", core::shortest(first != nullptr ? first->level : 0)},
                                                     {"high", core::shortest(found.steps.back().level)},
                                                     {"name", first != nullptr && told.names.contains(first->level) ? told.names.at(first->level) : std::string()},
                                                     {"high_name", told.names.contains(found.steps.back().level) ? told.names.at(found.steps.back().level) : std::string()}};
    const std::string salt = told.names.empty() ? "" : ".salt";
    const auto of = [&](std::string id, std::map<std::string, core::Argument> with) { words.push_back({std::move(id) + salt, std::move(with)}); };
    of(first != nullptr ? "ladder.rejected" : "ladder.borne", args);
    if (told.pieces_hold_back) words.push_back({"ladder.pieces_hold_back", {}});
    if (found.rise.point) {
        const bool lower = std::isfinite(found.rise.limits.lower), upper = std::isfinite(found.rise.limits.upper);
        of(lower && upper ? "ladder.point" : lower ? "ladder.point.from" : upper ? "ladder.point.to" : "ladder.point.open",
                         {{"share", at}, {"point", shown(found, *found.rise.point)}, {"lower", shown(found, lower ? found.rise.limits.lower : 0)}, {"upper", shown(found, upper ? found.rise.limits.upper : 0)}});
        if (!told.pieces_p.empty()) words.push_back({"ladder.pieces", {}});
    } else {
        words.push_back({"ladder.no_point", {{"share", at}, {"why", why_none(found)}}});
    }
    if (found.rise.misfit_p <= k_alarm) words.push_back({"ladder.misfit", {{"p", found.rise.misfit_p}}});
    if (told.votes.undecided > 0) words.push_back({"ladder.undecided", {{"n", told.votes.undecided}}});
    words.push_back({"ladder.caution", {}});
    return words;
}

}   // namespace oddplate::methods::ladders
