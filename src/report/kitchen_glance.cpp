// Page 2: the whole evening, one line a pass, then what the kitchen writes down: temperatures, the clock, the look beforehand.
#include <algorithm>
#include <string>
#include <vector>

#include "kitchen.hpp"

namespace oddplate::report {
namespace {

struct Cell {
    std::string text;
    double width;
};

void row(Sheet& sheet, const std::vector<Cell>& cells, double points, bool boxed) {
    double x = sheet.left();
    for (const Cell& cell : cells) {
        sheet.canvas().fitted(x, sheet.y, cell.width - 2, cell.text, {.points = points});
        x += cell.width;
    }
    if (boxed) sheet.canvas().box(sheet.right() - 6, sheet.y, 5.4);
}

std::vector<Cell> cells_of(const Sheet& sheet, const std::vector<std::string>& texts) {
    const double fixed[] = {17, 26, 17, 0, 17, 20, 20, 20, 20, 20, 10};
    double rest = sheet.width();
    for (const double width : fixed) rest -= width;
    std::vector<Cell> cells;
    for (std::size_t i = 0; i < texts.size(); ++i) cells.push_back({texts[i], i == 3 ? rest : fixed[i]});
    return cells;
}

void titles(Sheet& sheet) {
    std::vector<std::string> texts;
    for (const char* id : {"pass", "list.ballots_short", "tray_short", "list.spot", "cups_short", "cut", "fill_short",
                           "trays_short", "serve", "clear", "done"}) {
        texts.push_back(sheet.voice().say(id));
    }
    row(sheet, cells_of(sheet, texts), 10, false);
    sheet.y += 5;
    sheet.canvas().line(sheet.left(), sheet.y, sheet.right(), sheet.y, 0.4);
    sheet.y += 1.2;
}

void pass_line(Sheet& sheet, const Pass& pass) {
    const Kitchen& kitchen = sheet.kitchen();
    const methods::Plan& plan = kitchen.plan();
    const auto time = [&](int minutes) { return pass.late ? std::string("–") : sheet.voice().time(plan, minutes); };
    const std::string first = plan.ballot_name(pass.ballots.front()), last = plan.ballot_name(pass.ballots.back());
    const std::size_t cups = kitchen.in_fill_order(pass).size();
    std::string spots = pass.late ? sheet.voice().say("late_short") : kitchen.spots_of(pass, true);
    if (spots.size() > 40) spots = kitchen.spots_of(pass, false);   // long names stand on the map; their numbers do here
    row(sheet,
        cells_of(sheet, {std::to_string(pass.number), first == last ? first : first + "–" + last, std::to_string(pass.set + 1),
                         spots, std::to_string(cups), time(pass.times.cut), time(pass.times.fill), time(pass.times.trays),
                         time(pass.times.serve), time(pass.times.clear)}),
        14, true);
    sheet.y += 6.4;
    sheet.canvas().line(sheet.left(), sheet.y, sheet.right(), sheet.y, 0.12);
    sheet.y += 0.9;
}

void paragraph(Sheet& sheet, const std::string& text, Weight weight = Weight::regular) {
    const Type type{.points = 12, .weight = weight};
    const double height = sheet.canvas().extent(text, type, sheet.width()).height;
    sheet.keep(height);
    sheet.canvas().text(sheet.left(), sheet.y, sheet.width(), text, type);
    sheet.y += height + 1.2;
}

void clock_words(Sheet& sheet) {
    const auto& passes = sheet.kitchen().passes;
    int longest = 0;
    for (const Pass& pass : passes) {
        if (!pass.late) longest = std::max(longest, minutes_on_the_way(pass));
    }
    sheet.y += 2;
    if (sheet.kitchen().plan().start.empty()) paragraph(sheet, sheet.voice().say("run.no_start"), Weight::bold);
    paragraph(sheet, sheet.voice().say("paces"));
    const Arguments args{{"minutes", std::to_string(longest)}, {"most", std::to_string(k_most_minutes_warm)}};
    const bool slow = sheet.kitchen().plan().warm && longest > k_most_minutes_warm;
    paragraph(sheet, sheet.voice().say(slow ? "way_too_long" : "way", args), slow ? Weight::bold : Weight::regular);
}

/// A table to write into: titles, then empty lines.
void log_table(Sheet& sheet, const std::string& title, const std::string& note, const std::vector<std::string>& columns) {
    constexpr double k_line = 8.5, k_around = 24;   // titles above it, the food code below
    constexpr int k_fewest = 5, k_most = 14;
    sheet.y += 2;
    sheet.keep(k_around + k_line * k_fewest);
    const int lines = std::clamp(static_cast<int>((sheet.left_over() - k_around) / k_line), k_fewest, k_most);
    sheet.heading(title, note);
    const double width = sheet.width() / static_cast<double>(columns.size());
    for (std::size_t i = 0; i < columns.size(); ++i) {
        sheet.canvas().fitted(sheet.left() + width * static_cast<double>(i) + 1, sheet.y, width - 2, columns[i], {.points = 10});
    }
    sheet.y += 5;
    const double top = sheet.y;
    for (int i = 0; i <= lines; ++i) sheet.canvas().line(sheet.left(), top + k_line * i, sheet.right(), top + k_line * i, 0.2);
    sheet.y = top + k_line * lines;
    for (std::size_t i = 0; i <= columns.size(); ++i) {
        const double x = sheet.left() + width * static_cast<double>(i);
        sheet.canvas().line(x, top, x, sheet.y, 0.15);
    }
    sheet.y += 2;
}

/// Blind tubs: what the plater believes beforehand; it goes in with the answers.
void look_check(Sheet& sheet) {
    constexpr double k_none = 40;   // mm for the last box, with its words
    sheet.y += 1;
    sheet.keep(20);
    const Kitchen& kitchen = sheet.kitchen();
    const bool several = kitchen.plan().versions.size() > 2;   // then all of them are changed but one
    sheet.heading(sheet.voice().say("look"), sheet.voice().say(several ? "look_note.several" : "look_note"));
    for (std::size_t row_index = 0; row_index < kitchen.papers.key.tubs.size(); ++row_index) {
        sheet.keep(8);
        double x = sheet.left();
        const std::string& spot = kitchen.papers.key.tubs[row_index].spot;
        sheet.canvas().fitted(x, sheet.y, 60, spot.empty() ? sheet.voice().say("map.whole_cut") : kitchen.spot_label(spot),
                              {.points = 13});
        x += 64;
        std::string last;
        for (const Tub& tub : kitchen.tubs) {
            if (tub.row != static_cast<int>(row_index) || tub.name == last || kitchen.is_off(tub.version)) continue;
            last = tub.name;
            if (x + 20 > sheet.right() - k_none) {   // twelve recipes are more than a line holds
                x = sheet.left() + 64;
                sheet.y += 8;
                sheet.keep(8);
            }
            sheet.canvas().box(x, sheet.y, 6);
            sheet.canvas().line_of_text(x + 8, sheet.y - 0.2, tub.name, {.points = 14, .weight = Weight::bold});
            x += 20;
        }
        sheet.canvas().box(x, sheet.y, 6);
        sheet.canvas().line_of_text(x + 8, sheet.y, sheet.voice().say("look_none"), {.points = 13});
        sheet.y += 8;
    }
}

}   // namespace

void glance_pages(Sheet& sheet) {
    const Voice& voice = sheet.voice();
    sheet.open(voice.say("glance"));
    titles(sheet);
    for (const Pass& pass : sheet.kitchen().passes) {
        if (sheet.keep(8)) titles(sheet);
        pass_line(sheet, pass);
    }
    clock_words(sheet);
    if (sheet.kitchen().papers.blind_tubs) look_check(sheet);
    const bool warm = sheet.kitchen().plan().warm;
    const std::vector<std::string> columns = {voice.say("log.time"), voice.say("log.what"), voice.say("log.temperature"),
                                              voice.say("log.out"),  voice.say("log.gone"), voice.say("spill.by")};
    log_table(sheet, voice.say(warm ? "log.hot" : "log.cold"), voice.say(warm ? "log.hot_note" : "log.cold_note"), columns);
    paragraph(sheet, voice.say("food_code"));
}

}   // namespace oddplate::report
