#include "figures_conduct.hpp"

#include <algorithm>
#include <cmath>

#include <fmt/format.h>

#include "oddplate/stats/interval.hpp"

namespace oddplate::report {
namespace {

constexpr double k_left = 44, k_right = 148, k_row = 8, k_head = 7;
constexpr double k_confidence = 0.9;
constexpr std::size_t k_most_people = 120;

Figure begun(const judge::JudgedRound& round, const char* kind, const core::Words& words) {
    return {.id = "course-" + std::to_string(round.round + 1) + "-" + kind, .round = round.round, .title = words.text(std::string("figure.") + kind), .caption = {}, .picture = {}, .table = {}};
}

std::string place_name(std::size_t place, std::size_t of, const core::Words& words) {
    if (place == 0) return words.text("paper.place_first");
    return place + 1 == of ? words.text("paper.place_last") : std::to_string(place + 1);
}

}   // namespace

std::optional<Figure> picks_figure(const judge::JudgedRound& round, const core::Words& words) {
    const std::size_t places = round.picks.size();
    if (places < 2) return std::nullopt;
    Figure figure = begun(round, "picks", words);
    figure.table.push_back({words.text("figure.picks.place"), words.text("figure.picks.picked"), words.text("figure.picks.even")});
    double most = 1;
    std::int64_t all = 0;
    for (const judge::PlacePick& pick : round.picks) {
        most = std::max({most, static_cast<double>(pick.picked), pick.even});
        all += pick.picked;
    }
    const auto x = [&](double times) { return k_left + (k_right - k_left) * times / most; };
    double y = 0;
    for (std::size_t place = 0; place < places; ++place, y += k_row) {
        const judge::PlacePick& pick = round.picks[place];
        const std::string name = place_name(place, places, words);
        figure.picture.text(0, y + 1, name, {.points = 10});
        figure.picture.frame(k_left, y + 1, std::max(0.3, x(static_cast<double>(pick.picked)) - k_left), k_row - 3.5);   // open, so that the line shows inside
        figure.picture.line(x(pick.even), y, x(pick.even), y + k_row - 1.5, 0.9);
        figure.picture.text(x(std::max(static_cast<double>(pick.picked), pick.even)) + 2, y + 1, std::to_string(pick.picked), {.points = 9});
        figure.table.push_back({name, std::to_string(pick.picked), fmt::format("{:.1f}", pick.even)});
    }
    figure.picture.height = y + 1;
    figure.caption = words.text("figure.picks.caption", {{"n", all}});
    return figure;
}

std::optional<Figure> sitting_figure(const judge::JudgedRound& round, const core::Words& words) {
    const std::size_t places = round.sitting.size();
    if (places < 2) return std::nullopt;
    Figure figure = begun(round, "sitting", words);
    figure.table.push_back({words.text("figure.sitting.tray"), words.text("figure.sitting.right"), words.text("figure.answers"), words.text("figure.lower"), words.text("figure.upper")});
    const auto x = [](double share) { return k_left + (k_right - k_left) * share; };
    double y = k_head;
    std::int64_t all = 0;
    for (std::size_t place = 0; place < places; ++place) {
        const auto& [right, of] = round.sitting[place];
        if (of == 0) continue;
        const stats::Interval could = stats::clopper_pearson(right, of, k_confidence);
        const double share = static_cast<double>(right) / static_cast<double>(of);
        figure.picture.text(0, y + 0.6, place_name(place, places, words), {.points = 10});
        figure.picture.line(x(could.lower), y + 2.8, x(could.upper), y + 2.8, 1.1);
        figure.picture.disc(x(share), y + 2.8, 1.7);
        figure.table.push_back({place_name(place, places, words), std::to_string(right), std::to_string(of), fmt::format("{:.0f}", 100 * could.lower), fmt::format("{:.0f}", 100 * could.upper)});
        y += k_row;
        all += of;
    }
    if (figure.table.size() < 3) return std::nullopt;
    for (const int tick : {0, 25, 50, 75, 100}) {
        figure.picture.line(x(tick / 100.0), y, x(tick / 100.0), y + 1.2, 0.3);
        figure.picture.text(x(tick / 100.0), y + 1.8, std::to_string(tick), {.points = 8, .align = Align::centre});
    }
    figure.picture.line(k_left, y, k_right, y, 0.3);
    if (const auto chance = round.findings.pooled.number("chance")) {
        figure.picture.line(x(*chance), k_head - 2, x(*chance), y, 0.7);
        figure.picture.text(x(*chance), 0, words.text("figure.nothing.proportion_correct"), {.points = 8, .align = Align::centre});
    }
    figure.picture.height = y + 7;
    figure.caption = words.text("figure.sitting.caption", {{"n", all}});
    return figure;
}

std::optional<Figure> scale_use_figure(const judge::JudgedRound& round, const core::Words& words) {
    const auto& looks = round.findings.pooled.score_looks;
    if (!looks || looks->use.size() < 5 || looks->use.size() > k_most_people) return std::nullopt;   // fewer would be known by their line
    Figure figure = begun(round, "scale_use", words);
    figure.table.push_back({words.text("figure.scale_use.lowest"), words.text("figure.mean"), words.text("figure.scale_use.highest")});
    double lo = looks->use.front().low, hi = looks->use.front().high;
    for (const auto& one : looks->use) lo = std::min(lo, one.low), hi = std::max(hi, one.high);
    const double width = hi > lo ? hi - lo : 1;
    constexpr double k_top = 2, k_floor = 46, k_from = 12, k_to = 156;
    const auto y = [&](double score) { return k_floor - (k_floor - k_top) * (score - lo) / width; };
    const double pitch = (k_to - k_from) / static_cast<double>(looks->use.size());
    for (std::size_t i = 0; i < looks->use.size(); ++i) {
        const auto& one = looks->use[i];
        const double x = k_from + pitch * (static_cast<double>(i) + 0.5);
        figure.picture.line(x, y(one.low), x, y(one.high), std::min(0.9, pitch * 0.3));
        figure.picture.disc(x, y(one.mean), std::min(1.4, pitch * 0.35));
        figure.table.push_back({fmt::format("{:.3g}", one.low), fmt::format("{:.2f}", one.mean), fmt::format("{:.3g}", one.high)});
    }
    for (const double level : {lo, hi}) figure.picture.text(k_from - 3, y(level) - 2, fmt::format("{:.3g}", level), {.points = 8, .align = Align::right});
    figure.picture.line(k_from - 1, k_top, k_from - 1, k_floor, 0.3);
    figure.picture.height = k_floor + 2;
    figure.caption = words.text("figure.scale_use.caption", {{"n", static_cast<std::int64_t>(looks->use.size())}});
    return figure;
}

std::optional<Figure> left_over_figure(const judge::JudgedRound& round, const core::Words& words) {
    const auto& looks = round.findings.pooled.score_looks;
    if (!looks || looks->left_over.size() < 8) return std::nullopt;
    Figure figure = begun(round, "left_over", words);
    figure.table.push_back({words.text("figure.left_over.expected"), words.text("figure.left_over.seen")});
    double most = 2;
    for (const auto& [expected, seen] : looks->left_over) most = std::max({most, std::abs(expected), std::abs(seen)});
    constexpr double k_top = 2, k_floor = 62, k_from = 40, k_to = 120;
    const auto x = [&](double value) { return k_from + (k_to - k_from) * (value + most) / (2 * most); };
    const auto y = [&](double value) { return k_floor - (k_floor - k_top) * (value + most) / (2 * most); };
    figure.picture.line(x(-most), y(-most), x(most), y(most), 0.5);
    for (const auto& [expected, seen] : looks->left_over) {
        figure.picture.ring(x(expected), y(seen), 0.9);
        figure.table.push_back({fmt::format("{:.2f}", expected), fmt::format("{:.2f}", seen)});
    }
    figure.picture.frame(k_from, k_top, k_to - k_from, k_floor - k_top);
    figure.picture.height = k_floor + 2;
    figure.caption = words.text("figure.left_over.caption", {{"n", looks->scores}});
    return figure;
}

}   // namespace oddplate::report
