// Rows of a list are drawn, whatever method they come from. A line beside names says what letters would: those beside one line can't be told apart.

#include "figures_samples.hpp"

#include <algorithm>
#include <cmath>
#include <cstdio>

#include "alike_lines.hpp"
#include "oddplate/report/lines.hpp"

namespace oddplate::report {
namespace {

using Row = std::vector<methods::Field>;

constexpr double k_left = 52, k_right = 154;   // of an axis, in a picture of 160 mm
constexpr double k_row = 8;
constexpr std::size_t k_longest_name = 30;

const methods::List* list_of(const methods::Findings& findings, std::string_view key) {
    const auto at = std::find_if(findings.lists.begin(), findings.lists.end(), [&](const methods::List& list) { return list.key == key; });
    return at == findings.lists.end() || at->rows.empty() ? nullptr : &*at;
}

const methods::Value* cell(const Row& row, std::string_view key) {
    const auto at = std::find_if(row.begin(), row.end(), [&](const methods::Field& field) { return field.key == key; });
    return at == row.end() ? nullptr : &at->value;
}

std::optional<double> number_in(const Row& row, std::string_view key) {
    const methods::Value* value = cell(row, key);
    if (value == nullptr) return std::nullopt;
    if (const auto* whole = std::get_if<std::int64_t>(value)) return static_cast<double>(*whole);
    if (const auto* real = std::get_if<double>(value)) return *real;
    return std::nullopt;
}

std::string text_in(const Row& row, std::string_view key) {
    const methods::Value* value = cell(row, key);
    const auto* text = value == nullptr ? nullptr : std::get_if<std::string>(value);
    return text == nullptr ? std::string() : *text;
}

bool is_true(const Row& row, std::string_view key) {
    const methods::Value* value = cell(row, key);
    return value != nullptr && std::holds_alternative<bool>(*value) && std::get<bool>(*value);
}

std::string id_of(const judge::JudgedRound& round, const char* kind) { return "course-" + std::to_string(round.round + 1) + "-" + kind; }

std::string shown(double value, int digits) {
    char text[40];
    std::snprintf(text, sizeof text, "%.*f", digits, value);
    return text;
}

/// An axis in whole steps about these numbers.
struct Axis {
    double lo, hi, step;
    [[nodiscard]] double at(double value) const { return k_left + (k_right - k_left) * (std::clamp(value, lo, hi) - lo) / (hi - lo); }
};

Axis axis_about(double least, double most) {
    double step = std::pow(10.0, std::floor(std::log10(std::max(most - least, 1e-9))));
    while ((most - least) / step < 3) step /= 2;
    while ((most - least) / step > 8) step *= 2;
    return {std::floor(least / step) * step, std::ceil(most / step + 1e-9) * step, step};
}

void draw_axis(Picture& picture, const Axis& axis, double y, double points = 8) {
    picture.line(k_left, y, k_right, y, 0.25);
    const int digits = axis.step >= 1 ? 0 : axis.step >= 0.5 ? 1 : 2;
    for (double value = axis.lo; value <= axis.hi + axis.step / 2; value += axis.step) {
        picture.line(axis.at(value), y, axis.at(value), y + 1.5, 0.25);
        picture.text(axis.at(value), y + 2, shown(value, digits), {.points = points, .align = Align::centre});
    }
}

/// One sample of the picture.
struct Sample {
    std::string name;
    bool ran_out;
    double mean;
    std::optional<double> lower, upper;
};

/// Without a test of the samples nothing is told apart, and no line should say so.
bool has_comparisons(const methods::Findings& findings) {
    const methods::List* pairs = list_of(findings, "pairs");
    return pairs != nullptr && number_in(pairs->rows.front(), "p_adjusted");
}

/// The highest first; `key` holds the middle, and all is told in `times` its unit.
std::vector<Sample> samples_of(const methods::List& list, std::string_view key, double times) {
    std::vector<Sample> samples;
    const auto scaled = [&](std::optional<double> value) { return value ? std::optional(times * *value) : value; };
    for (const Row& row : list.rows)
        if (const auto mean = scaled(number_in(row, key))) samples.push_back({text_in(row, "name"), is_true(row, "ran_out"), *mean, scaled(number_in(row, "lower")), scaled(number_in(row, "upper"))});
    std::stable_sort(samples.begin(), samples.end(), [](const Sample& a, const Sample& b) { return a.mean > b.mean; });
    return samples;
}

/// A row each, the first of them the highest; a line beside those that can't be told apart.
Picture dots(const std::vector<Sample>& samples, const Axis& axis, const judge::JudgedRound& round, const core::Words& words) {
    Picture picture;
    std::vector<std::string> names;
    for (std::size_t i = 0; i < samples.size(); ++i) {
        const Sample& one = samples[i];
        const double y = k_row * static_cast<double>(i);
        picture.text(0, y + 0.6, one.ran_out ? words.text("figure.ran_out", {{"name", shortened(one.name, k_longest_name - 10)}}) : shortened(one.name, k_longest_name), {.points = 10});
        if (one.lower && one.upper) picture.line(axis.at(*one.lower), y + 2.8, axis.at(*one.upper), y + 2.8, 1.1);
        picture.disc(axis.at(one.mean), y + 2.8, 1.7);
        names.push_back(one.name);
    }
    if (has_comparisons(round.findings.pooled)) {
        double x = k_left - 3;
        for (const auto& [first, last] : alike_runs(round.findings.pooled, names, round.alpha)) {
            picture.line(x, k_row * static_cast<double>(first) + 1, x, k_row * static_cast<double>(last) + 4.6, 0.8);
            x -= 1.6;
        }
    }
    const double floor = k_row * static_cast<double>(samples.size());
    draw_axis(picture, axis, floor);
    picture.height = floor + 8;
    return picture;
}

std::vector<std::string> row_of(const Sample& one, int digits) {
    return {one.name, shown(one.mean, digits), one.lower ? shown(*one.lower, digits) : "–", one.upper ? shown(*one.upper, digits) : "–"};
}

/// A word that people could tick, and how likely luck makes its recipes so unlike.
struct WordTested {
    std::string word;
    double p{1};
    bool is_shown{false};   ///< to fit some recipes more than others, at the round's alpha
};

std::vector<WordTested> words_tested(const judge::JudgedRound& round) {
    std::vector<WordTested> tested;
    if (const methods::List* tests = list_of(round.findings.pooled, "words_ticked"))
        for (const Row& row : tests->rows) {
            const double p = number_in(row, "p_adjusted").value_or(1);
            tested.push_back({text_in(row, "word"), p, p <= round.alpha * (1 + 1e-12)});
        }
    return tested;
}

/// In percent.
struct Ticks {
    double share, lower, upper;
};

std::optional<Ticks> ticks_in(const Row& row) {
    const auto share = number_in(row, "share");
    if (!share) return std::nullopt;
    return Ticks{100 * *share, 100 * number_in(row, "lower").value_or(*share), 100 * number_in(row, "upper").value_or(*share)};
}

/// A line for each recipe below its word, all `times` as large as on a page; only words among `tested` where there are any.
Picture ticks_picture(const methods::List& list, const std::vector<WordTested>& tested, double times) {
    const Axis axis{0, 100, 20};
    const double line = 5.4 * times;
    const auto longest = static_cast<std::size_t>(static_cast<double>(k_longest_name) / times) - 1;
    Picture picture;
    double y = 0;
    std::string last;
    for (const Row& row : list.rows) {
        const std::string word = text_in(row, "word");
        const auto test = std::find_if(tested.begin(), tested.end(), [&](const WordTested& one) { return one.word == word; });
        if (test == tested.end() && !tested.empty()) continue;
        if (word != last) {
            y += last.empty() ? 0 : 2 * times;
            picture.text(0, y + 0.4, shortened(word, longest) + (test != tested.end() && test->is_shown ? " *" : ""), {.points = 11 * times});
            y += line + 0.6;
            last = word;
        }
        picture.text(4, y + 0.4, shortened(text_in(row, "name"), longest), {.points = 9 * times});
        if (const auto ticks = ticks_in(row)) {
            picture.line(axis.at(ticks->lower), y + 2.6 * times, axis.at(ticks->upper), y + 2.6 * times, 1.1);
            picture.disc(axis.at(ticks->share), y + 2.6 * times, 1.5 * times);
        }
        y += line;
    }
    draw_axis(picture, axis, y, 8 * times);
    picture.height = y + 4 + 4 * times;
    return picture;
}

}   // namespace

std::optional<Figure> samples_figure(const judge::JudgedRound& round, const core::Words& words) {
    const methods::List* list = list_of(round.findings.pooled, "samples");
    const std::vector<Sample> samples = list == nullptr ? std::vector<Sample>{} : samples_of(*list, "mean", 1);
    if (samples.size() < 2) return std::nullopt;
    Figure figure{.id = id_of(round, "samples"), .round = round.round, .title = words.text("figure.samples"), .caption = words.text("figure.samples.caption"), .picture = {}, .table = {}};
    figure.table.push_back({words.text("figure.sample"), words.text("figure.mean"), words.text("figure.lower"), words.text("figure.upper")});
    double least = samples.back().mean, most = samples.front().mean;
    for (const Sample& one : samples) {
        least = std::min(least, one.lower.value_or(least)), most = std::max(most, one.upper.value_or(most));
        figure.table.push_back(row_of(one, 2));
    }
    figure.picture = dots(samples, axis_about(least, most), round, words);
    return figure;
}

std::optional<Figure> worths_figure(const judge::JudgedRound& round, const core::Words& words) {
    const methods::Findings& pooled = round.findings.pooled;
    const methods::List* list = list_of(pooled, "worths");
    if (list == nullptr || list_of(pooled, "places") != nullptr) return std::nullopt;   // places show the orders themselves
    const std::vector<Sample> samples = samples_of(*list, "share_first", 100);
    Figure figure{.id = id_of(round, "worths"), .round = round.round, .title = words.text("figure.worths"), .caption = words.text("figure.worths.caption"), .picture = dots(samples, {0, 100, 20}, round, words), .table = {}};
    figure.table.push_back({words.text("figure.sample"), words.text("figure.worths.share"), words.text("figure.lower"), words.text("figure.upper")});
    for (const Sample& one : samples) figure.table.push_back(row_of(one, 0));
    return figure;
}

std::optional<Figure> levels_figure(const judge::JudgedRound& round, const core::Words& words) {
    const methods::List* list = list_of(round.findings.pooled, "distribution");
    if (list == nullptr) return std::nullopt;
    const bool by_answers = std::any_of(list->rows.begin(), list->rows.end(), [](const Row& row) { return number_in(row, "answers").value_or(0) > number_in(row, "people").value_or(0); });
    Figure figure{.id = id_of(round, "levels"), .round = round.round, .title = words.text(by_answers ? "figure.levels.answers" : "figure.levels"), .caption = {}, .picture = {}, .table = {}};
    figure.table.push_back({words.text("figure.sample"), words.text("paper.too_little"), words.text("paper.just_right"), words.text("paper.too_much")});
    Picture& picture = figure.picture;
    double y = 0;
    for (const Row& row : list->rows) {
        const double little = number_in(row, "too_little").value_or(0), right = number_in(row, "just_right").value_or(0), much = number_in(row, "too_much").value_or(0), all = little + right + much;
        if (all == 0) continue;
        const std::string attribute = text_in(row, "attribute"), name = (attribute.empty() ? "" : attribute + ", ") + text_in(row, "sample");
        picture.text(0, y + 1, shortened(name, k_longest_name), {.points = 10});
        const double scale = (k_right - k_left) / all;
        picture.bar(k_left + scale * little, y + 4.6, scale * right, 1.2);   // a foot under those who say just right
        double x = k_left;
        for (const double said : {little, right, much}) {
            if (said == 0) continue;
            picture.frame(x, y + 0.4, scale * said, 4.2);
            picture.text(x + scale * said / 2, y + 0.7, shown(said, 0), {.points = 8, .align = Align::centre});
            x += scale * said;
        }
        figure.table.push_back({name, shown(little, 0), shown(right, 0), shown(much, 0)});
        y += k_row;
    }
    if (y == 0) return std::nullopt;
    picture.height = y;
    figure.caption = words.text(by_answers ? "figure.levels.caption.answers" : "figure.levels.caption");
    return figure;
}

std::optional<Figure> ticks_figure(const judge::JudgedRound& round, const core::Words& words) {
    const methods::List* list = list_of(round.findings.pooled, "ticks");
    if (list == nullptr) return std::nullopt;
    Figure figure{.id = id_of(round, "ticks"), .round = round.round, .title = words.text("figure.ticks"), .caption = words.text("figure.ticks.caption"), .picture = ticks_picture(*list, words_tested(round), 1), .table = {}};
    figure.table.push_back({words.text("figure.sample"), words.text("figure.ticks.share"), words.text("figure.lower"), words.text("figure.upper")});
    for (const Row& row : list->rows)
        if (const auto ticks = ticks_in(row)) figure.table.push_back({text_in(row, "word") + ", " + text_in(row, "name"), shown(ticks->share, 0), shown(ticks->lower, 0), shown(ticks->upper, 0)});
    return figure;
}

std::optional<Figure> ticks_card(const judge::JudgedRound& round, const core::Words& words, double most_high) {
    constexpr double k_larger = 1.4;
    std::optional<Figure> figure = ticks_figure(round, words);
    if (!figure) return std::nullopt;
    std::vector<WordTested> shown_words = words_tested(round);
    const auto all = static_cast<std::int64_t>(shown_words.size());
    if (shown_words.empty()) return figure;
    const methods::List& list = *list_of(round.findings.pooled, "ticks");
    std::stable_sort(shown_words.begin(), shown_words.end(), [](const WordTested& a, const WordTested& b) { return a.p < b.p; });
    figure->picture = ticks_picture(list, shown_words, k_larger);
    while (shown_words.size() > 1 && figure->picture.height > most_high) {
        shown_words.pop_back();
        figure->picture = ticks_picture(list, shown_words, k_larger);
    }
    const auto n = static_cast<std::int64_t>(shown_words.size());
    if (n < all) figure->caption = words.text("figure.ticks.card", {{"n", n}, {"all", all}});
    return figure;
}

std::optional<Figure> drops_figure(const judge::JudgedRound& round, const core::Words& words) {
    const methods::List* list = list_of(round.findings.pooled, "drops");
    if (list == nullptr) return std::nullopt;
    std::vector<const Row*> rows;
    double least = 0, most = 0;
    for (const Row& row : list->rows) {
        const auto drop = number_in(row, "drop");
        if (!drop) continue;
        rows.push_back(&row);
        least = std::min({least, *drop, number_in(row, "lower").value_or(*drop)});
        most = std::max({most, *drop, number_in(row, "upper").value_or(*drop)});
    }
    if (rows.empty()) return std::nullopt;
    Figure figure{.id = id_of(round, "drops"), .round = round.round, .title = words.text("figure.drops"), .caption = words.text("figure.drops.caption"), .picture = {}, .table = {}};
    figure.table.push_back({words.text("figure.sample"), words.text("figure.drops.share"), words.text("figure.drops.points"), words.text("figure.lower"), words.text("figure.upper")});
    const Axis axis = axis_about(least, most);
    Picture& picture = figure.picture;
    const double floor = k_row * static_cast<double>(rows.size());
    picture.line(axis.at(0), 0, axis.at(0), floor, 0.7);
    for (std::size_t i = 0; i < rows.size(); ++i) {
        const Row& row = *rows[i];
        const double y = k_row * static_cast<double>(i), drop = *number_in(row, "drop");
        const auto lower = number_in(row, "lower"), upper = number_in(row, "upper");
        const std::string side = words.text(text_in(row, "side") == "too-much" ? "paper.too_much" : "paper.too_little"), attribute = text_in(row, "attribute");
        const std::string name = text_in(row, "sample") + ": " + side + (attribute.empty() ? "" : " (" + attribute + ")");
        picture.text(0, y + 0.6, shortened(name, k_longest_name), {.points = 9});
        if (lower && upper) picture.line(axis.at(*lower), y + 2.8, axis.at(*upper), y + 2.8, 1.1);
        picture.disc(axis.at(drop), y + 2.8, 1.7);
        figure.table.push_back({name, shown(100 * number_in(row, "share").value_or(0), 0), shown(drop, 2), lower ? shown(*lower, 2) : "–", upper ? shown(*upper, 2) : "–"});
    }
    draw_axis(picture, axis, floor);
    picture.height = floor + 8;
    return figure;
}

}   // namespace oddplate::report
