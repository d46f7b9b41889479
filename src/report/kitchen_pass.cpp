// One pass: fill the cups tub by tub, lay the trays ballot by ballot, note what was spilled. Worked wet, in a sleeve: large type,
// boxes of 8 mm, nothing that has to be looked up on another page.
#include <algorithm>

#include "kitchen.hpp"

namespace oddplate::report {
namespace {

std::string ballots_of(const Sheet& sheet, const Pass& pass) {
    const Arguments args{{"first", sheet.kitchen().plan().ballot_name(pass.ballots.front())}, {"last", sheet.kitchen().plan().ballot_name(pass.ballots.back())}};
    return sheet.voice().say(pass.ballots.size() == 1 ? "one_ballot" : "ballots", args);
}

void head(Sheet& sheet, const Pass& pass) {
    Canvas& canvas = sheet.canvas();
    const Voice& voice = sheet.voice();
    const methods::Plan& plan = sheet.kitchen().plan();
    const Type type{.points = 16, .weight = Weight::bold};
    const std::string what = ballots_of(sheet, pass) + " · " + voice.say("tray_only", {{"tray", std::to_string(pass.set + 1)}});
    std::string spots = sheet.kitchen().spots_of(pass, true);
    const bool too_long = canvas.extent(what + " · " + spots, type).width > (sheet.width() - 24) / 0.75;
    if (too_long) spots = voice.say("spots_of_the_map", {{"list", sheet.kitchen().spots_of(pass, false)}});
    canvas.fitted(sheet.left(), sheet.y, sheet.width() - 24, spots.empty() ? what : what + " · " + spots, type);
    sheet.y += 7;
    if (pass.late) {
        canvas.fitted(sheet.left(), sheet.y, sheet.width(), voice.say("late_pass"), {.points = 13});
    } else {
        const Arguments times{{"cut", voice.time(plan, pass.times.cut)},
                              {"fill", voice.time(plan, pass.times.fill)},
                              {"trays", voice.time(plan, pass.times.trays)},
                              {"serve", voice.time(plan, pass.times.serve)},
                              {"clear", voice.time(plan, pass.times.clear)}};
        canvas.fitted(sheet.left(), sheet.y, sheet.width(), voice.say("pass_times", times), {.points = 14});
    }
    sheet.y += 6.4;
    canvas.fitted(sheet.left(), sheet.y, sheet.width(), voice.say(plan.warm ? "hot_line" : "cold_line"), {.points = 14});
    sheet.y += 7;
    canvas.line(sheet.left(), sheet.y, sheet.right(), sheet.y, 0.5);
    sheet.y += 1;
}

/// Where the parts of one tray's row stand.
struct TrayColumns {
    double ballot{15}, code{16.4}, boxes{11}, width{0};
    std::size_t cups{0}, across{1};
};

TrayColumns tray_columns(const Sheet& sheet, std::size_t cups) {
    TrayColumns columns;
    columns.cups = cups;
    const double needed = columns.ballot + columns.code * static_cast<double>(cups) + 2 * columns.boxes;
    columns.across = std::max<std::size_t>(1, static_cast<std::size_t>((sheet.width() + 3) / (needed + 3)));
    columns.width = sheet.width() / static_cast<double>(columns.across);
    return columns;
}

void tray_titles(Sheet& sheet, const TrayColumns& columns, const std::vector<Cup>& sample, std::size_t used) {
    const Type small{.points = 9, .align = Align::centre};
    for (std::size_t column = 0; column < used; ++column) {
        double x = sheet.left() + columns.width * static_cast<double>(column);
        sheet.canvas().line_of_text(x, sheet.y, sheet.voice().say("ballot"), {.points = 9});
        x += columns.ballot;
        for (const Cup& cup : sample) {
            sheet.canvas().line_of_text(x + columns.code / 2 - 1.5, sheet.y, sheet.kitchen().place_of(cup), small);
            x += columns.code;
        }
        sheet.canvas().line_of_text(x + k_pass_box / 2, sheet.y, sheet.voice().say("read"), small);
        sheet.canvas().line_of_text(x + columns.boxes + k_pass_box / 2, sheet.y, sheet.voice().say("gone"), small);
    }
    sheet.y += 4.6;
}

void tray_row(Sheet& sheet, const TrayColumns& columns, double x, const std::vector<Cup>& cups) {
    Canvas& canvas = sheet.canvas();
    canvas.line_of_text(x + columns.ballot - 5, sheet.y + 0.4, sheet.kitchen().papers.room.plan.ballot_name(cups.front().ballot),
                        {.points = 17, .align = Align::right});
    x += columns.ballot;
    for (const Cup& cup : cups) {
        canvas.line_of_text(x + columns.code / 2 - 1.5, sheet.y + 0.4, cup.code,
                            {.points = 17, .weight = Weight::bold, .align = Align::centre});
        if (cup.is_off) canvas.line(x - 0.5, sheet.y + 4, x + columns.code - 2.5, sheet.y + 4, 1.1);
        x += columns.code;
    }
    canvas.box(x, sheet.y, k_pass_box);
    canvas.box(x + columns.boxes, sheet.y, k_pass_box);
}

void trays(Sheet& sheet, const Pass& pass) {
    const std::vector<Cup> sample = sheet.kitchen().tray(pass.ballots.front(), pass.set);
    const TrayColumns columns = tray_columns(sheet, sample.size());
    const std::size_t rows_in_all = (pass.ballots.size() + columns.across - 1) / columns.across;
    sheet.keep(14 + k_pass_row * std::min<double>(static_cast<double>(rows_in_all), 5));
    const bool counted = sample.size() > 3;   // places are numbers then, and the slip shows two rows
    sheet.heading(sheet.voice().say("trays"), sheet.voice().say(counted ? "trays_note_many" : "trays_note"));
    for (std::size_t next = 0; next < pass.ballots.size();) {
        if (next > 0) sheet.keep(sheet.left_over() + 1);
        const auto fit = std::max<std::size_t>(1, static_cast<std::size_t>((sheet.left_over() - 5) / k_pass_row));
        const std::size_t rest = pass.ballots.size() - next;
        const std::size_t rows = std::min(fit, (rest + columns.across - 1) / columns.across);
        const std::size_t here = std::min(rest, rows * columns.across);
        tray_titles(sheet, columns, sample, (here + rows - 1) / rows);
        const double top = sheet.y;
        for (std::size_t i = 0; i < here; ++i) {
            sheet.y = top + k_pass_row * static_cast<double>(i % rows);
            tray_row(sheet, columns, sheet.left() + columns.width * static_cast<double>(i / rows),
                     sheet.kitchen().tray(pass.ballots[next + i], pass.set));
        }
        sheet.y = top + k_pass_row * static_cast<double>(rows);
        next += here;
    }
}

/// The tubs that a pass takes from, each once.
std::vector<std::size_t> tubs_of(const Sheet& sheet, const Pass& pass) {
    std::vector<std::size_t> tubs;
    for (const Cup& cup : sheet.kitchen().in_fill_order(pass)) {
        if (tubs.empty() || tubs.back() != cup.tub) tubs.push_back(cup.tub);
    }
    return tubs;
}

constexpr double k_spill_line = 8.5;
constexpr std::size_t k_many_tubs = 12;   // whose spare boxes need more of the width

/// Where the boxes for spare bites stand: as many columns of tubs as their boxes leave room for.
struct SpareColumns {
    double width{0}, line{7.4};
    std::size_t across{1}, rows{0};
    int most{0};   ///< boxes that a column has room for
};

constexpr double k_spare_box = 5.9, k_spare_name = 24, k_spare_gap = 1.5;

SpareColumns spare_columns(const std::vector<std::size_t>& tubs, const std::vector<int>& spares, double width) {
    int most = 0;
    for (const std::size_t tub : tubs) most = std::max(most, spares[tub]);
    const bool many = tubs.size() > k_many_tubs;
    const std::size_t fit = static_cast<std::size_t>(width / (k_spare_name + k_spare_box * most + k_spare_gap));
    SpareColumns columns;
    columns.across = std::clamp<std::size_t>(fit, 1, many ? 4 : 2);
    columns.width = width / static_cast<double>(columns.across);
    columns.most = std::min(most, static_cast<int>((columns.width - k_spare_name - k_spare_gap) / k_spare_box));
    columns.rows = (tubs.size() + columns.across - 1) / columns.across;
    if (many) columns.line = 6.2;
    return columns;
}

/// Boxes to cross off for the spare bites of each tub; where there are more than the width holds, the rest as a number.
void spares_left(Sheet& sheet, const std::vector<std::size_t>& tubs, const std::vector<int>& spares, const SpareColumns& columns, double x) {
    Canvas& canvas = sheet.canvas();
    canvas.fitted(x, sheet.y, sheet.right() - x, sheet.voice().say("spares_left"), {.points = 10});
    const double name = columns.width - k_spare_gap - k_spare_box * columns.most;
    const Type type = sheet.tag_type(Weight::bold, name);
    for (std::size_t i = 0; i < tubs.size(); ++i) {
        const double left = x + columns.width * static_cast<double>(i % columns.across), top = sheet.y + 5 + columns.line * static_cast<double>(i / columns.across);
        const double boxes = left + name + 0.5;
        canvas.fitted(left, top, name, sheet.kitchen().short_tag(sheet.kitchen().tubs[tubs[i]]), type);
        const int spare = spares[tubs[i]], drawn = spare > columns.most ? columns.most - 2 : spare;
        for (int box = 0; box < drawn; ++box) canvas.box(boxes + k_spare_box * box, top, 5.4);
        if (spare > drawn) canvas.line_of_text(boxes + k_spare_box * drawn, top, "+ " + std::to_string(spare - drawn), {.points = 12});
    }
}

void spills(Sheet& sheet, const Pass& pass, const std::vector<int>& spares) {
    const std::vector<std::size_t> tubs = tubs_of(sheet, pass);
    const double table = tubs.size() > k_many_tubs ? 112 : 140;
    const double right_half = sheet.left() + table + 5;
    const SpareColumns columns = spare_columns(tubs, spares, sheet.right() - right_half);
    const double beside = 5 + columns.line * static_cast<double>(columns.rows) + 8;   // the right half, with the initials
    sheet.y += 1;
    sheet.keep(8 + std::max(23.0, beside));
    sheet.heading(sheet.voice().say("spills"), sheet.voice().say("spills_note"));
    const double ends = sheet.y + beside;
    spares_left(sheet, tubs, spares, columns, right_half);
    const char* const titles[] = {"ballot", "spill.code", "spill.tub", "spill.time", "spill.whole", "spill.by"};
    const double column = table / 6;
    for (std::size_t i = 0; i < 6; ++i) {
        sheet.canvas().fitted(sheet.left() + column * static_cast<double>(i), sheet.y, column - 2.5, sheet.voice().say(titles[i]),
                              {.points = 10});
    }
    sheet.y += 4.5;
    const double from = sheet.y;
    for (int i = 0; i < 4 && sheet.left_over() >= k_spill_line; ++i) {
        sheet.y += k_spill_line;
        sheet.canvas().line(sheet.left(), sheet.y, sheet.left() + table, sheet.y, 0.2);
    }
    for (std::size_t i = 1; i < 6; ++i) {
        const double x = sheet.left() + column * static_cast<double>(i) - 1.5;
        sheet.canvas().line(x, from, x, sheet.y, 0.15);
    }
    const double initials = std::min(std::max(sheet.y, ends), sheet.bottom()) - 6;
    blank_after(sheet.canvas(), right_half, initials, sheet.right(), sheet.voice().say("pass_done"), {.points = 12});
}

}   // namespace

void pass_pages(Sheet& sheet, const Pass& pass, const std::vector<int>& spares) {
    const Arguments args{{"n", std::to_string(pass.number)}, {"of", std::to_string(sheet.kitchen().passes.size())}};
    sheet.open(sheet.voice().say(pass.late ? "late_pass_title" : "pass_title", args));
    head(sheet, pass);
    fill_list(sheet, pass);
    trays(sheet, pass);
    spills(sheet, pass, spares);
}

}   // namespace oddplate::report
