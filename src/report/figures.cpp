// What is worth a picture is asked of the findings by key, so that a method which gives the same keys gets the same pictures. No bar hides its answers, no
// colour carries a meaning, and every line says in words what it is.

#include "figures.hpp"

#include <algorithm>
#include <cmath>
#include <optional>

#include "figure_level.hpp"
#include "figure_places.hpp"
#include "figures_conduct.hpp"
#include "figures_samples.hpp"
#include "oddplate/methods/method.hpp"
#include "oddplate/report/lines.hpp"
#include "oddplate/stats/interval.hpp"
#include "oddplate/stats/link.hpp"
#include "oddplate/stats/power.hpp"

namespace oddplate::report {
namespace {

constexpr double k_left = 44, k_right = 154;   // of an axis, in a picture of 160 mm

std::string number(double x, int digits) {
    const double scale = std::pow(10.0, digits);
    std::string text = std::to_string(std::round(x * scale) / scale);
    text.resize(text.find('.') + (digits > 0 ? static_cast<std::size_t>(digits) + 1 : 0));
    return text;
}

/// A count as the figures ask for it: a spot's or all together, with the name to print.
struct Counted {
    std::string name;
    const methods::Findings* findings;
};

std::vector<Counted> counts_of(const judge::JudgedRound& round, const core::Words& words) {
    std::vector<Counted> counts;
    for (const auto& spot : round.findings.spots) counts.push_back({spot.spot.empty() ? words.text("results.one_spot") : spot.spot, &spot.findings});
    if (counts.size() > 1) counts.push_back({words.text("results.pooled"), &round.findings.pooled});
    return counts;
}

std::string id_of(const judge::JudgedRound& round, const char* kind) {
    return "course-" + std::to_string(round.round + 1) + "-" + kind;
}

// ---- one mark an answer
constexpr int k_across = 40;
constexpr std::int64_t k_most_marks = 400;

double marks_row(Picture& picture, double y, const methods::Marks& marks) {
    const auto n = static_cast<int>(marks.of);
    const int across = std::min(n, k_across), rows = (n + across - 1) / across;
    const double pitch = std::min(8.0, k_right / across), row = pitch + 2.5;
    for (int i = 0; i < n; ++i) {
        const double x = pitch * (i % across + 0.5), at = y + row * (i / across) + pitch / 2 + 1.5;
        picture.ring(x, at, pitch * 0.38);
        if (i < marks.ringed) picture.disc(x, at, pitch * 0.26);
    }
    const int luck_row = std::min(rows - 1, static_cast<int>(marks.luck / across));
    const double luck = pitch * (marks.luck - luck_row * across);
    picture.line(luck, y + row * luck_row, luck, y + row * luck_row + pitch + 3, 0.9);
    return row * rows + 3;
}

std::optional<Figure> marks_figure(const judge::JudgedRound& round, const core::Words& words) {
    Figure figure{.id = id_of(round, "marks"), .round = round.round, .title = words.text("figure.marks"), .caption = {}, .picture = {}, .table = {}};
    figure.table.push_back({words.text("figure.of"), words.text("figure.ringed"), words.text("figure.answers"), words.text("figure.luck")});
    std::vector<Counted> counts = counts_of(round, words);
    if (counts.size() > 1) counts.pop_back();   // all spots together would show each answer twice
    for (const Counted& one : counts) {
        if (!one.findings->marks || one.findings->marks->of == 0 || one.findings->marks->of > k_most_marks) continue;
        const methods::Marks& marks = *one.findings->marks;
        if (counts.size() > 1) {
            figure.picture.text(0, figure.picture.height, shortened(one.name, 60), {.points = 10, .weight = Weight::bold});
            figure.picture.height += 6;
        }
        figure.picture.height += marks_row(figure.picture, figure.picture.height, marks) + 2;
        const std::string said = words.text(marks.caption, {{"k", marks.ringed}, {"n", marks.of}, {"luck", marks.luck}});
        figure.caption += (figure.caption.empty() ? "" : " ") + (counts.size() > 1 ? one.name + ": " + said : said);
        figure.table.push_back({one.name, std::to_string(marks.ringed), std::to_string(marks.of), number(marks.luck, 1)});
    }
    if (figure.table.size() < 2) return std::nullopt;
    return figure;
}

// ---- estimates with their intervals
/// An estimate that a method may give, where nothing lies on its scale, and where its margin stands.
struct Scale {
    const char* estimate;        ///< key before ".estimate"
    const char* nothing;         ///< key of the value when there is nothing; absent: `at`
    double at;
    const char* margin;          ///< key of the difference that matters, absent where the method has none
    bool is_share;
};

constexpr Scale k_scales[] = {{"proportion_correct", "chance", 0, "same_below.proportion_correct", true},
                              {"share_new", nullptr, 0.5, nullptr, true},
                              {"mean_difference", nullptr, 0, "same_below_score", false},
                              {"d_prime", nullptr, 0, "same_below.d_prime", false}};

std::optional<double> get(const methods::Findings& findings, const std::string& key) {
    return findings.number(key);
}

const Scale* scale_of(const methods::Findings& findings) {
    for (const Scale& scale : k_scales)
        if (get(findings, std::string(scale.estimate) + ".estimate")) return &scale;
    return nullptr;
}

struct Axis {
    double lo{0}, hi{1};
    [[nodiscard]] double at(double value) const { return k_left + (k_right - k_left) * (std::clamp(value, lo, hi) - lo) / (hi - lo); }
};

Axis axis_of(const Scale& scale, const std::vector<Counted>& counts) {
    if (scale.is_share) return {};
    Axis axis{-0.5, 0.5};
    for (const Counted& one : counts)
        for (const char* end : {".estimate", ".lower", ".upper"})
            if (const auto value = get(*one.findings, std::string(scale.estimate) + end)) {
                axis.lo = std::min(axis.lo, std::floor(*value * 2) / 2);
                axis.hi = std::max(axis.hi, std::ceil(*value * 2) / 2);
            }
    if (scale.margin != nullptr)
        if (const auto margin = get(*counts.front().findings, scale.margin)) axis.hi = std::max(axis.hi, std::ceil(*margin * 2) / 2);
    return axis;
}

std::string shown(const Scale& scale, double value) {
    return scale.is_share ? number(100 * value, 0) : number(value, 2);
}

void axis_line(Picture& picture, const Scale& scale, const Axis& axis, double y) {
    picture.line(k_left, y, k_right, y, 0.25);
    constexpr int k_steps = 4;
    for (int i = 0; i <= k_steps; ++i) {
        const double value = axis.lo + (axis.hi - axis.lo) * i / k_steps, x = axis.at(value);
        picture.line(x, y, x, y + 1.5, 0.25);
        picture.text(x, y + 2, shown(scale, value), {.points = 8, .align = Align::centre});
    }
}

std::optional<Figure> interval_figure(const judge::JudgedRound& round, const core::Words& words) {
    const std::vector<Counted> counts = counts_of(round, words);
    if (counts.empty()) return std::nullopt;
    const Scale* scale = scale_of(counts.back().findings->find("tasters") ? *counts.back().findings : *counts.front().findings);
    if (scale == nullptr) return std::nullopt;
    const std::string name = scale->estimate;
    Figure figure{.id = id_of(round, "intervals"), .round = round.round, .title = words.text("figure." + name), .caption = {}, .picture = {}, .table = {}};
    figure.table.push_back({words.text("figure.of"), words.text("figure.estimate"), words.text("figure.lower"), words.text("figure.upper"), words.text("figure.answers")});
    const Axis axis = axis_of(*scale, counts);
    const double nothing = scale->nothing != nullptr ? get(*counts.front().findings, scale->nothing).value_or(scale->at) : scale->at;
    const auto margin = scale->margin != nullptr ? get(*counts.front().findings, scale->margin) : std::nullopt;
    Picture& picture = figure.picture;
    const double first = 8;
    double y = first;
    for (const Counted& one : counts) {
        const auto estimate = get(*one.findings, name + ".estimate"), lower = get(*one.findings, name + ".lower"), upper = get(*one.findings, name + ".upper");
        if (!estimate) continue;
        picture.text(0, y + 0.6, shortened(one.name, 24), {.points = 10});
        if (lower || upper) picture.line(axis.at(lower.value_or(axis.lo)), y + 2.8, axis.at(upper.value_or(axis.hi)), y + 2.8, 1.1);
        picture.disc(axis.at(*estimate), y + 2.8, 1.7);
        const auto answers = get(*one.findings, "answers");
        figure.table.push_back({one.name, shown(*scale, *estimate), lower ? shown(*scale, *lower) : "–", upper ? shown(*scale, *upper) : "–", answers ? number(*answers, 0) : ""});
        y += 8;
    }
    if (y == first) return std::nullopt;
    picture.line(axis.at(nothing), first - 2, axis.at(nothing), y, 0.7);
    const bool is_close = margin && std::fabs(axis.at(*margin) - axis.at(nothing)) < 34;   // then the two words lie apart, away from each other
    picture.text(axis.at(nothing) + (is_close ? 1 : 0), 0, words.text("figure.nothing." + name), {.points = 8, .align = is_close ? Align::right : Align::centre});
    if (margin) {
        picture.dashes(axis.at(*margin), first - 2, axis.at(*margin), y);
        picture.text(axis.at(*margin) - (is_close ? 1 : 0), 0, words.text("figure.margin"), {.points = 8, .align = is_close ? Align::left : Align::centre});
    }
    axis_line(picture, *scale, axis, y + 1);
    picture.height = y + 9;
    const auto confidence = get(*counts.front().findings, name + ".confidence");
    figure.caption = words.text(margin ? "figure.intervals.margin" : "figure.intervals", {{"confidence", confidence.value_or(0.9)}});
    return figure;
}

// ---- how many could truly tell
/// Quantiles of the mid-p confidence law of the share who can tell: each of the 20 people stands for one twentieth of what is plausible.
std::optional<Figure> tell_figure(const judge::JudgedRound& round, const core::Words& words) {
    const methods::Findings& pooled = round.findings.pooled;
    const auto correct = get(pooled, "correct"), of = get(pooled, "of"), chance = get(pooled, "chance"), tasters = get(pooled, "tasters");
    if (!correct || !of || !chance || *of < 1 || !tasters || *tasters != *of) return std::nullopt;
    constexpr int k_dots = 20;
    std::vector<int> tell;
    for (int i = 0; i < k_dots; ++i) {
        const double level = (i + 0.5) / k_dots, confidence = std::fabs(2 * level - 1);
        const auto limits = stats::mid_p(static_cast<std::int64_t>(*correct), static_cast<std::int64_t>(*of), std::max(confidence, 1e-6));
        const double p = level < 0.5 ? limits.lower : limits.upper;
        tell.push_back(static_cast<int>(std::lround(100 * stats::discriminators_from_proportion(*chance, p))));
    }
    Figure figure{.id = id_of(round, "who-can-tell"), .round = round.round, .title = words.text("figure.tell"), .caption = {}, .picture = {}, .table = {}};
    figure.table.push_back({words.text("figure.tell.people"), words.text("figure.tell.dots")});
    constexpr double k_left_edge = 8, k_width = 146, k_bin = 5, k_dot = 2.6;
    int highest = 0;
    std::vector<int> bins(101 / static_cast<int>(k_bin) + 1, 0);
    for (const int people : tell) highest = std::max(highest, ++bins[static_cast<std::size_t>(people / static_cast<int>(k_bin))]);
    const double floor = 4 + highest * 2 * k_dot;
    for (std::size_t bin = 0; bin < bins.size(); ++bin) {
        for (int i = 0; i < bins[bin]; ++i)
            figure.picture.disc(k_left_edge + k_width * (static_cast<double>(bin) * k_bin + k_bin / 2) / 105, floor - k_dot - i * 2 * k_dot, k_dot * 0.86);
        if (bins[bin] > 0) {
            const auto from = std::to_string(bin * static_cast<std::size_t>(k_bin));
            figure.table.push_back({from + "–" + std::to_string(std::min<std::size_t>(100, bin * static_cast<std::size_t>(k_bin) + 4)), std::to_string(bins[bin])});
        }
    }
    figure.picture.line(k_left_edge, floor, k_left_edge + k_width, floor, 0.35);
    for (int people = 0; people <= 100; people += 20)
        figure.picture.text(k_left_edge + k_width * (people + k_bin / 2) / 105, floor + 1, std::to_string(people), {.points = 8, .align = Align::centre});
    figure.picture.height = floor + 7;
    figure.caption = words.text("figure.tell.caption", {{"n", static_cast<std::int64_t>(*of)}, {"low", std::int64_t{tell[1]}}, {"high", std::int64_t{tell[k_dots - 2]}}});
    return figure;
}

// ---- what the panel could have seen
std::optional<Figure> reach_figure(const judge::JudgedRound& round, const methods::Plan& plan, const core::Words& words) {
    const methods::Findings& pooled = round.findings.pooled;
    const auto of = get(pooled, "of"), chance = get(pooled, "chance"), tasters = get(pooled, "tasters");
    const auto& asked = plan.rounds[static_cast<std::size_t>(round.round)];
    const bool is_one_count = asked.spots.size() == 1 || asked.decide_on == methods::DecideOn::overall;
    if (!of || !chance || *of < 1 || !tasters || *tasters != *of || !is_one_count) return std::nullopt;
    Figure figure{.id = id_of(round, "reach"), .round = round.round, .title = words.text("figure.reach"), .caption = {}, .picture = {}, .table = {}};
    figure.table.push_back({words.text("figure.reach.people"), words.text("figure.reach.chance")});
    constexpr double k_top = 4, k_floor = 44, k_from = 16, k_to = 154;
    const auto x = [&](double pd) { return k_from + (k_to - k_from) * pd; };
    const auto y = [&](double power) { return k_floor - (k_floor - k_top) * power; };
    Picture& picture = figure.picture;
    for (const double level : {0.0, 0.5, 0.8, 1.0}) {
        if (level == 0.8) picture.dashes(k_from, y(level), k_to, y(level));
        else picture.line(k_from, y(level), k_to, y(level), 0.2);
        picture.text(k_from - 2, y(level) - 2, number(100 * level, 0), {.points = 8, .align = Align::right});
    }
    double last = 0;
    std::optional<double> reach;
    constexpr int k_steps = 100;
    for (int i = 0; i <= k_steps; ++i) {
        const double pd = static_cast<double>(i) / k_steps;
        const double power = stats::power_difference(static_cast<std::int64_t>(*of), *chance, stats::proportion_from_discriminators(*chance, pd), asked.alpha);
        if (i > 0) picture.line(x(pd - 1.0 / k_steps), y(last), x(pd), y(power), 0.8);
        if (!reach && power >= 0.8) reach = pd;
        if (i % 10 == 0) {
            picture.text(x(pd), k_floor + 1, std::to_string(i), {.points = 8, .align = Align::centre});
            figure.table.push_back({std::to_string(i), number(100 * power, 0)});
        }
        last = power;
    }
    picture.height = k_floor + 7;
    figure.caption = reach ? words.text("figure.reach.caption", {{"n", static_cast<std::int64_t>(*of)}, {"share", *reach}})
                           : words.text("figure.reach.never", {{"n", static_cast<std::int64_t>(*of)}});
    return figure;
}

}   // namespace

std::vector<Figure> figures_of(const judge::Judged& judged, const methods::Plan& plan, const core::Words& words) {
    std::vector<Figure> figures;
    const auto add = [&](std::optional<Figure> figure) {
        if (figure) figures.push_back(std::move(*figure));
    };
    for (const auto& round : judged.rounds) {
        add(marks_figure(round, words));
        add(interval_figure(round, words));
        add(tell_figure(round, words));
        add(reach_figure(round, plan, words));
        add(level_figure(round, words));
        add(places_figure(round, plan, words));
        add(samples_figure(round, words));
        add(worths_figure(round, words));
        add(levels_figure(round, words));
        add(drops_figure(round, words));
        add(ticks_figure(round, words));
        add(picks_figure(round, words));
        add(sitting_figure(round, words));
        add(scale_use_figure(round, words));
        add(left_over_figure(round, words));
    }
    return figures;
}

std::optional<Figure> card_figure(const judge::Judged& judged, const methods::Plan& plan, const core::Words& words, double most_high,
                                  const std::function<double(const std::string&)>& caption_high) {
    const judge::JudgedRound& round = judged.rounds.front();
    constexpr double k_ticks_caption = 20;   // mm that a caption may take where the picture is cut to its room
    if (auto levels = level_card(round, words)) return levels;
    if (auto ticks = ticks_card(round, words, most_high - k_ticks_caption)) return ticks;
    std::optional<Figure> first;
    for (Figure& figure : figures_of(judged, plan, words)) {
        if (figure.round != 0) break;
        if (figure.picture.height + caption_high(figure.caption) <= most_high) return std::move(figure);
        if (!first) first = std::move(figure);
    }
    return first;
}

}   // namespace oddplate::report
