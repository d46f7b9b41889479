// The last pages: every code in ascending order, for the cup that fell over.
#include <algorithm>
#include <vector>

#include "kitchen.hpp"

namespace oddplate::report {
namespace {

std::vector<Cup> by_code(const Kitchen& kitchen) {
    std::vector<Cup> cups;
    const auto& ballots = kitchen.papers.room.room.ballots;
    for (std::size_t ballot = 0; ballot < ballots.size(); ++ballot) {
        for (std::size_t set = 0; set < ballots[ballot].sets.size(); ++set) {
            for (Cup& cup : kitchen.tray(static_cast<int>(ballot), static_cast<int>(set))) {
                if (cup.place >= 0 && !cup.is_off) cups.push_back(std::move(cup));   // references all bear one mark
            }
        }
    }
    std::stable_sort(cups.begin(), cups.end(), [](const Cup& a, const Cup& b) { return a.code < b.code; });
    return cups;
}

/// Where the parts of an entry stand, from its left edge.
constexpr double k_ballot = 20, k_tray = 28, k_place = 30.5, k_tub = 45.5, k_between = 6;   // a tub's name keeps clear of the next code
constexpr double k_line = 6.2, k_title = 5;

/// Four columns, or three where the tubs' names need the room.
std::size_t columns_for(Sheet& sheet) {
    double widest = 0;
    for (const Tub& tub : sheet.kitchen().tubs) {
        widest = std::max(widest, sheet.canvas().extent(sheet.kitchen().short_tag(tub), {.points = 12}).width);
    }
    return k_tub + widest + k_between <= sheet.width() / 4 ? 4 : 3;
}

void titles(Sheet& sheet, double x) {
    Canvas& canvas = sheet.canvas();
    const Voice& voice = sheet.voice();
    const Type type{.points = 8}, right{.points = 8, .align = Align::right};
    canvas.line_of_text(x, sheet.y, voice.say("spill.code"), type);
    canvas.line_of_text(x + k_ballot, sheet.y, voice.say("ballot"), right);
    canvas.line_of_text(x + k_tray + 0.5, sheet.y, voice.say("tray_short"), right);
    canvas.line_of_text(x + k_place, sheet.y, voice.say("place"), type);
    canvas.line_of_text(x + k_tub, sheet.y, voice.say("tub_short"), type);
}

void entry(Sheet& sheet, const Cup& cup, double x, double y, double width, const Type& tag) {
    Canvas& canvas = sheet.canvas();
    const Kitchen& kitchen = sheet.kitchen();
    canvas.line_of_text(x, y, cup.code, {.points = 13, .weight = Weight::bold});
    canvas.line_of_text(x + k_ballot, y + 0.3, kitchen.papers.room.plan.ballot_name(cup.ballot), {.points = 12, .align = Align::right});
    canvas.line_of_text(x + k_tray, y + 0.3, std::to_string(cup.set + 1), {.points = 12, .align = Align::right});
    canvas.fitted(x + k_place, y + 0.3, k_tub - k_place - 1, kitchen.place_of(cup), {.points = 11});
    canvas.fitted(x + k_tub, y + 0.3, width - k_tub - k_between, kitchen.short_tag(kitchen.tubs[cup.tub]), tag);
}

}   // namespace

void find_pages(Sheet& sheet) {
    sheet.open(sheet.voice().say("find_title"));
    const std::vector<Cup> cups = by_code(sheet.kitchen());
    const std::size_t columns = columns_for(sheet);
    const double width = sheet.width() / static_cast<double>(columns);
    const Type tag = sheet.tag_type(Weight::regular, width - k_tub - k_between);
    for (std::size_t next = 0; next < cups.size();) {
        if (next > 0) sheet.keep(sheet.left_over() + 1);
        const auto fit = static_cast<std::size_t>((sheet.left_over() - k_title) / k_line);
        const std::size_t rest = cups.size() - next;
        const std::size_t rows = std::min(fit, (rest + columns - 1) / columns);
        const std::size_t here = std::min(rest, rows * columns);
        for (std::size_t column = 0; column * rows < here; ++column)
            titles(sheet, sheet.left() + width * static_cast<double>(column));
        sheet.y += k_title;
        for (std::size_t i = 0; i < here; ++i) {
            entry(sheet, cups[next + i], sheet.left() + width * static_cast<double>(i / rows), sheet.y + k_line * static_cast<double>(i % rows), width, tag);
        }
        next += here;
    }
}

}   // namespace oddplate::report
