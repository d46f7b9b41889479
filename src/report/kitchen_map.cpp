// Page 1: where to cut and how much. The cut from above with its slices in letters (numbers are the spots'), one slice as it lies on the board, the cutting
// list.
#include <fmt/format.h>

#include <algorithm>
#include <cmath>

#include "cutting.hpp"
#include "oddplate/core/text.hpp"
#include "zones.hpp"

namespace oddplate::report {
namespace {

constexpr int k_slices = 12;

/// How close things stand, in mm and points: the longer the list, the closer, so that one page can be hung up.
struct Spacing {
    double map, row_points, row, after_row, rule_points, after_rule;
};
constexpr Spacing k_roomy{38, 15, 7.6, 1, 11.5, 0.8}, k_tight{27, 15, 6.4, 0.6, 10.5, 0.4}, k_dense{20, 13, 5.6, 0.2, 10, 0.1};

const Spacing& spacing_for(std::size_t rows) {
    if (rows > 9) return k_dense;
    return rows > 6 ? k_tight : k_roomy;
}

void pill_path(cairo_t* pen, double x, double y, double width, double height) {
    const double radius = std::min(width, height) / 2;
    const double quarter = std::acos(0.0);
    cairo_new_sub_path(pen);
    cairo_arc(pen, x + width - radius, y + radius, radius, -quarter, 0);
    cairo_arc(pen, x + width - radius, y + height - radius, radius, 0, quarter);
    cairo_arc(pen, x + radius, y + height - radius, radius, quarter, 2 * quarter);
    cairo_arc(pen, x + radius, y + radius, radius, 2 * quarter, 3 * quarter);
    cairo_close_path(pen);
}

/// The shading of zone `index`: four that differ on a bad copy too.
void shade(Canvas& canvas, std::size_t index) {
    const double gap = index % 4 < 2 ? 2.2 : 1.1;
    canvas.hatch_path(gap, index % 2 == 0);
}

void number_in(Canvas& canvas, double x, double y, std::size_t zone) {
    constexpr double k_side = 6.4;
    cairo_t* pen = canvas.pen();
    cairo_set_source_rgb(pen, 1, 1, 1);
    canvas.filled(x - k_side / 2, y - k_side / 2, k_side, k_side);
    cairo_set_source_rgb(pen, 0, 0, 0);
    canvas.frame(x - k_side / 2, y - k_side / 2, k_side, k_side, 0.3);
    canvas.line_of_text(x, y - 2.9, std::to_string(zone + 1), {.points = 13, .weight = Weight::bold, .align = Align::centre});
}

bool any_muscle(const std::vector<Zone>& zones) {
    return std::any_of(zones.begin(), zones.end(), [](const Zone& zone) { return zone.muscle != Muscle::any; });
}

/// From above: slices from a at the fixed end on, both ends and the seam crossed out.
void from_above(Sheet& sheet, const std::vector<Zone>& zones, double x, double y, double width, double height) {
    Canvas& canvas = sheet.canvas();
    const double slice = width / k_slices;
    const bool muscles = any_muscle(zones);
    const double seam = x + slice * 7;
    const auto strike_out = [&](double from) {
        cairo_save(canvas.pen());
        pill_path(canvas.pen(), x, y, width, height);
        cairo_clip(canvas.pen());
        cairo_rectangle(canvas.pen(), from, y, slice, height);
        canvas.hatch_path(1.6);
        cairo_restore(canvas.pen());
    };
    strike_out(x);
    strike_out(x + slice * (k_slices - 1));
    if (muscles) strike_out(seam);
    pill_path(canvas.pen(), x, y, width, height);
    cairo_set_line_width(canvas.pen(), 0.6);
    cairo_stroke(canvas.pen());
    char letter = 'a';
    for (int i = 1; i < k_slices; ++i) {
        const double at = x + slice * i;
        canvas.line(at, y + 1, at, y + height - 1, 0.25);
        const bool unused = i == k_slices - 1 || (muscles && i == 7);
        if (unused) continue;
        canvas.line_of_text(at + slice / 2, y + height / 2 - 3, std::string(1, letter++), {.points = 13, .align = Align::centre});
    }
    canvas.line_of_text(x, y + height + 1.5, sheet.voice().say("map.fixed_end"), {.points = 10});
    canvas.line_of_text(x + width, y + height + 1.5, sheet.voice().say("map.unused"), {.points = 10, .align = Align::right});
    if (!muscles) return;
    canvas.line_of_text(x + slice * 4, y - 5, sheet.voice().say("map.flat"),
                        {.points = 11, .weight = Weight::bold, .align = Align::centre});
    canvas.line_of_text(x + slice * 9.5, y - 5, sheet.voice().say("map.point"),
                        {.points = 11, .weight = Weight::bold, .align = Align::centre});
}

/// One slice on the board with the zones of one muscle shaded: ring, core, or all of it.
void slice_view(Sheet& sheet, const std::vector<Zone>& zones, Muscle muscle, double x, double y, double width, double height) {
    Canvas& canvas = sheet.canvas();
    cairo_t* pen = canvas.pen();
    const double rim = height * 0.24;
    for (std::size_t i = 0; i < zones.size(); ++i) {
        const Zone& zone = zones[i];
        if (!zone.drawn() || (zone.muscle != Muscle::any && zone.muscle != muscle)) continue;
        cairo_new_path(pen);
        if (zone.depth == Depth::core) {
            pill_path(pen, x + rim * 1.3, y + rim * 1.3, width - 2.6 * rim, height - 2.6 * rim);
        } else {
            pill_path(pen, x, y, width, height);
        }
        if (zone.depth == Depth::ring) {
            pill_path(pen, x + rim, y + rim, width - 2 * rim, height - 2 * rim);
            cairo_set_fill_rule(pen, CAIRO_FILL_RULE_EVEN_ODD);
        }
        shade(canvas, i);
        cairo_set_fill_rule(pen, CAIRO_FILL_RULE_WINDING);
        const double across = zone.depth == Depth::ring ? x + width * 0.3 : x + width / 2;
        number_in(canvas, across, zone.depth == Depth::ring ? y + height - rim / 2 : y + height / 2, i);
    }
    pill_path(pen, x, y, width, height);
    cairo_set_line_width(pen, 0.6);
    cairo_stroke(pen);
    const char* const name = muscle == Muscle::flat    ? "map.slice_flat"
                             : muscle == Muscle::point ? "map.slice_point"
                                                       : "map.slice";
    canvas.line_of_text(x + width / 2, y + height + 1.5, sheet.voice().say(name), {.points = 10, .align = Align::centre});
}

void slices(Sheet& sheet, const std::vector<Zone>& zones, double x, double y, double width, double height) {
    if (!any_muscle(zones)) return slice_view(sheet, zones, Muscle::any, x, y, width, height);
    const double half = (width - 6) / 2;
    slice_view(sheet, zones, Muscle::flat, x, y, half, height);
    slice_view(sheet, zones, Muscle::point, x + half + 6, y, half, height);
}

/// Which number is which spot, and where it is.
void legend(Sheet& sheet, const std::vector<Zone>& zones) {
    const Type type{.points = 12};
    for (std::size_t i = 0; i < zones.size(); ++i) {
        sheet.keep(6);
        const std::string name = zones[i].spot.empty() ? sheet.voice().say("map.whole_cut") : zones[i].spot;
        std::string text = fmt::format("{}  {}", i + 1, name);
        if (!zones[i].where.empty()) text += ": " + zones[i].where;
        if (!zones[i].drawn() && !zones[i].spot.empty()) text += " " + sheet.voice().say("map.draw_it");
        sheet.canvas().fitted(sheet.left(), sheet.y, sheet.width(), text, type);
        sheet.y += 6;
    }
    sheet.y += 1;
}

void list_row(Sheet& sheet, const std::vector<std::string>& cells, bool title, const Spacing& spacing) {
    constexpr double k_numbers = 27;   // width of a column of numbers
    const Type name{.points = title ? 10.0 : spacing.row_points, .weight = title ? Weight::regular : Weight::bold};
    const Type spot{.points = std::min(13.0, spacing.row_points)};
    const Type number{.points = title ? 10.0 : spacing.row_points, .align = Align::right};
    const double numbers = static_cast<double>(cells.size() - 2) * k_numbers;
    const double names = sheet.width() - numbers;
    sheet.canvas().fitted(sheet.left(), sheet.y, names * 0.64 - 3, cells[0], title ? name : spot);
    sheet.canvas().fitted(sheet.left() + names * 0.64, sheet.y, names * 0.36 - 2, cells[1], name);
    for (std::size_t i = 2; i < cells.size(); ++i) {
        const double right = sheet.left() + names + k_numbers * static_cast<double>(i - 1);
        sheet.canvas().line_of_text(right, sheet.y, cells[i], number);
    }
    sheet.y += title ? 5 : spacing.row;
    sheet.canvas().line(sheet.left(), sheet.y, sheet.right(), sheet.y, title ? 0.4 : 0.15);
    sheet.y += spacing.after_row;
}

std::string weight_of(const Sheet& sheet, int bites) {
    const double grams = sheet.kitchen().plan().grams.value_or(0) * bites;
    return grams > 0 ? sheet.voice().say("grams", {{"n", static_cast<std::int64_t>(std::lround(grams))}}) : "";
}

/// A map helps where spots have to be found on a piece of meat.
bool has_map(const Sheet& sheet) {
    const std::vector<Zone>& zones = sheet.kitchen().zones;
    return zones.size() > 1 || zones.front().drawn() || is_meat(sheet.kitchen().plan(), sheet.voice());
}

void list(Sheet& sheet, const Spacing& spacing) {
    const Kitchen& kitchen = sheet.kitchen();
    const Voice& voice = sheet.voice();
    const bool blind = kitchen.papers.blind_tubs;
    const std::vector<std::string> titles = {voice.say("list.spot"),    voice.say(blind ? "list.each" : "list.tub"),
                                             voice.say("list.ballots"), voice.say("list.late"),
                                             voice.say("list.spare"),   voice.say("list.in_all"),
                                             voice.say("list.weight")};
    sheet.keep(26);
    sheet.heading(voice.say(has_map(sheet) ? "list" : "list.plain"), voice.say(blind ? "list_note_blind" : "list_note"));
    list_row(sheet, titles, true, spacing);
    for (const Cutting& line : cutting_list(kitchen)) {
        if (!blind && kitchen.is_off(kitchen.tubs[line.tub].version)) continue;
        if (sheet.keep(9)) list_row(sheet, titles, true, spacing);
        const std::string tub = blind ? voice.say("each_tub") : kitchen.tag(kitchen.tubs[line.tub]);
        list_row(sheet,
                 {line.spot.empty() ? voice.say(has_map(sheet) ? "map.whole_cut" : "map.whole_dish") : kitchen.spot_label(line.spot), tub,
                  std::to_string(line.ballots), std::to_string(line.late), std::to_string(line.spare),
                  std::to_string(line.in_all()), weight_of(sheet, line.in_all())},
                 false, spacing);
    }
}

/// Bites that go out under no code.
void known_line(Sheet& sheet) {
    const methods::Plan& plan = sheet.kitchen().plan();
    const int each = known_portions(plan);
    if (each == 0) return;
    sheet.keep(8);
    const Arguments args{{"n", std::int64_t{each} * plan.ballots()}, {"each", std::int64_t{each}}, {"version", plan.versions[0].label}};
    sheet.y += 1 + sheet.canvas().text(sheet.left(), sheet.y + 1, sheet.width(), sheet.voice().say("list.known", args), {.points = 13, .weight = Weight::bold});
}

/// What the names on tubs and labels stand for, where they are not the recipes' own. Only where the tubs bear names: letters say nothing here.
void names_line(Sheet& sheet, const Spacing& spacing) {
    if (sheet.kitchen().papers.blind_tubs) return;
    const methods::Plan& plan = sheet.kitchen().plan();
    std::vector<std::string> names;
    for (std::size_t v = 0; v < plan.versions.size(); ++v) {
        const auto tub = std::find_if(sheet.kitchen().tubs.begin(), sheet.kitchen().tubs.end(),
                                      [&](const Tub& each) { return each.version == static_cast<int>(v); });
        if (tub != sheet.kitchen().tubs.end() && tub->name != plan.versions[v].label) names.push_back(tub->name + " = " + plan.versions[v].label);
    }
    if (names.empty()) return;
    const std::string text = sheet.voice().say("list.names", {{"names", core::joined(names, ",  ")}});
    const Type type{.points = spacing.row_points - 2, .weight = Weight::bold};
    sheet.keep(sheet.canvas().extent(text, type, sheet.width()).height + 1);
    sheet.y += 1 + sheet.canvas().text(sheet.left(), sheet.y, sheet.width(), text, type);
}

/// Whether the plan says of two recipes that they hold different salt.
bool salt_differs(const methods::Plan& plan) {
    const auto& salt = plan.salt_percent;
    return std::any_of(salt.begin(), salt.end(), [&](const auto& one) { return one.second != salt.begin()->second; });
}

void rules(Sheet& sheet, const Spacing& spacing) {
    const Type type{.points = spacing.rule_points};
    sheet.y += 1.5;
    const bool tubs = sheet.kitchen().papers.blind_tubs;
    const methods::Plan& plan = sheet.kitchen().plan();
    const bool meat = is_meat(plan, sheet.voice());
    std::vector<std::string> ids;
    if (!tubs) {
        ids.emplace_back(meat ? "cut_rule.turns" : "cut_rule.turns.plain");
    } else {
        ids.emplace_back("cut_rule.tubs");
    }
    ids.emplace_back(meat ? "cut_rule.bites" : "cut_rule.bites.plain");
    if (is_cured(plan, sheet.voice())) ids.emplace_back(salt_differs(plan) ? "cut_rule.cure" : "cut_rule.cure.same");
    ids.emplace_back("food_code");
    for (const std::string& id : ids) {
        const std::string text = sheet.voice().say(id);
        const double height = sheet.canvas().extent(text, type, sheet.width()).height;
        sheet.keep(height);
        sheet.canvas().text(sheet.left(), sheet.y, sheet.width(), text, type);
        sheet.y += height + spacing.after_rule;
    }
}

void map(Sheet& sheet, const std::vector<Zone>& zones, double height) {
    const double above = sheet.width() * 0.55;
    sheet.y += any_muscle(zones) ? 8 : 5;
    from_above(sheet, zones, sheet.left(), sheet.y, above, height);
    slices(sheet, zones, sheet.left() + above + 8, sheet.y, sheet.width() - above - 8, height);
    sheet.y += height + 9;
    legend(sheet, zones);
}

}   // namespace

void cutting_pages(Sheet& sheet) {
    const std::vector<Zone>& zones = sheet.kitchen().zones;
    const bool mapped = has_map(sheet);
    sheet.open(sheet.voice().say(mapped ? "map.title" : "map.title.list"));
    const Spacing& spacing = spacing_for(cutting_list(sheet.kitchen()).size());
    for (const std::string& line : sheet.kitchen().off_lines()) {
        const Type type{.points = 15, .weight = Weight::bold};
        sheet.y += sheet.canvas().text(sheet.left(), sheet.y, sheet.width() - 22, line, type) + 1;
    }
    if (mapped) map(sheet, zones, spacing.map);
    const bool several = sheet.kitchen().plan().versions.size() > 2;   // their rows need the names' meaning; two are told apart without it
    if (several) names_line(sheet, spacing);
    list(sheet, spacing);
    known_line(sheet);
    if (!several) names_line(sheet, spacing);
    rules(sheet, spacing);
}

}   // namespace oddplate::report
