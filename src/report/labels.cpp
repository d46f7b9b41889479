// Labels in the order of filling. A guest sees them, so a label holds nothing but code, ballot, tray and place: no tub, no spot,
// and no mark that labels of one tub share. Where a pass begins is told by a label that goes on no cup.
#include <algorithm>
#include <span>
#include <vector>

#include "code_face.hpp"
#include "kitchen.hpp"

namespace oddplate::report {
namespace {

constexpr double k_cup_digits = 14;   // mm; read at 1.5 m
constexpr double k_inset = 2.5;       // printers and die cuts are off by a millimetre or two

struct Spot {
    double x{0}, y{0};
};

/// Walks over the sheets label by label.
class Labels {
public:
    Labels(Canvas& canvas, const LabelSheet& sheet, PaperSize paper, std::string foot)
        : m_canvas(canvas), m_sheet(sheet), m_paper(paper), m_foot(std::move(foot)), m_next(std::max(0, sheet.start - 1)) {}

    Spot next() {
        const int on_sheet = m_sheet.columns * m_sheet.rows;
        if (m_next % on_sheet == 0 || !m_begun) page();
        const int at = m_next++ % on_sheet;
        return corner(at % m_sheet.columns, at / m_sheet.columns);
    }
    void page() {
        m_begun = true;
        m_canvas.page(portrait(m_paper));
        const double grid_ends = m_sheet.top + m_sheet.rows * m_sheet.height + (m_sheet.rows - 1) * m_sheet.gap_y;
        const double margin = m_canvas.size().height - grid_ends;
        const Type type{.points = 5};
        if (margin >= 3) m_canvas.line_of_text(10, grid_ends + 0.4, m_foot, type);
    }
    [[nodiscard]] Spot corner(int column, int row) const {
        return {m_sheet.left + m_sheet.offset_x + column * (m_sheet.width + m_sheet.gap_x),
                m_sheet.top + m_sheet.offset_y + row * (m_sheet.height + m_sheet.gap_y)};
    }

private:
    Canvas& m_canvas;
    const LabelSheet& m_sheet;
    PaperSize m_paper;
    std::string m_foot;
    int m_next;
    bool m_begun{false};
};

/// A small line in the label's foot: ballot and place, tray, the tasting's name.
void cup_label(Canvas& canvas, const Kitchen& kitchen, const Cup& cup, const LabelSheet& sheet, Spot at) {
    const double inside = sheet.width - 2 * k_inset;
    const double foot = std::clamp(sheet.height * 0.17, 2.6, 5.5);
    const double room = sheet.height - 2 * k_inset - foot - 0.6;
    const double digit = code_height_that_fits(canvas, cup.code, std::max(k_cup_digits, room * 0.62), inside, room);
    draw_code(canvas, at.x + sheet.width / 2, at.y + k_inset + (room - code_block_height(digit)) / 2, cup.code, digit);
    const double points = foot * k_points_a_mm * 0.72;
    const double y = at.y + sheet.height - k_inset - foot;
    const Arguments args{
        {"ballot", kitchen.papers.room.plan.ballot_name(cup.ballot)}, {"place", kitchen.place_of(cup)}, {"tray", std::to_string(cup.set + 1)}};
    const bool trays = kitchen.papers.room.room.ballots.front().sets.size() > 1;
    const std::string where = kitchen.voice.say("label_place", args);
    canvas.fitted(at.x + k_inset, y, inside * 0.45, where, {.points = points, .weight = Weight::bold});
    const std::string name =
        trays ? kitchen.voice.say("label_tray", args) + " · " + kitchen.papers.room.name : kitchen.papers.room.name;
    canvas.fitted(at.x + k_inset + inside * 0.47, y, inside * 0.53, name, {.points = points * 0.75, .align = Align::right});
}

/// "K 5: 469–292", "R 4: 890–956": what the strip of labels holds, tub by tub. An item is not broken over two lines.
std::vector<std::string> tubs_in_order(const Kitchen& kitchen, const std::vector<Cup>& cups) {
    std::vector<std::string> tubs;
    for (auto from = cups.begin(); from != cups.end();) {
        const auto to = std::find_if(from, cups.end(), [&](const Cup& cup) { return cup.tub != from->tub; });
        const std::string codes = to - from == 1 ? from->code : from->code + "–" + (to - 1)->code;
        const std::string item = kitchen.short_tag(kitchen.tubs[from->tub]) + " " + std::to_string(to - from) + ": " + codes;
        tubs.emplace_back();
        for (const char c : item) {
            if (c == ' ') {
                tubs.back() += "\u00a0";
            } else {
                tubs.back() += c;
            }
        }
        from = to;
    }
    return tubs;
}

/// These in as few lines as the width allows. Lines are broken here: a dash within an item would let it be broken, too.
std::string in_lines(Canvas& canvas, std::span<const std::string> tubs, double points, double width) {
    std::string text, line;
    for (const std::string& tub : tubs) {
        const std::string longer = line + (line.empty() ? "" : "   ") + tub;
        const bool fits = line.empty() || canvas.extent(longer, {.points = points}).width <= width;
        if (!fits) text += line + "\n";
        line = fits ? longer : tub;
    }
    return text + line;
}

constexpr double k_smallest = 7;   // points that a wet hand's owner still reads

/// One label between two passes: what comes now, as many tubs from `next` on as it holds in type of at least 7 points. Answers the first that it doesn't.
std::size_t pass_label(Canvas& canvas, const Kitchen& kitchen, const Pass& pass, const std::vector<std::string>& tubs, std::size_t next, const LabelSheet& sheet,
                       Spot at) {
    const double inside = sheet.width - 2 * k_inset;
    canvas.frame(at.x + k_inset / 2, at.y + k_inset / 2, sheet.width - k_inset, sheet.height - k_inset, 0.8);
    const Arguments args{{"n", std::to_string(pass.number)},
                         {"ballots", kitchen.plan().ballot_name(pass.ballots.front()) + "–" + kitchen.plan().ballot_name(pass.ballots.back())},
                         {"tray", std::to_string(pass.set + 1)}};
    double y = at.y + k_inset;
    y += canvas.fitted(at.x + k_inset + 1, y, inside - 2, kitchen.voice.say("label_pass", args),
                       {.points = 10, .weight = Weight::bold});
    const double room = at.y + sheet.height - k_inset - y - 4;
    const std::size_t from = next++;
    const auto text = [&](std::size_t to, double points) { return in_lines(canvas, std::span(tubs).subspan(from, to - from), points, inside - 2); };
    const auto fits = [&](std::size_t to, double points) { return canvas.extent(text(to, points), {.points = points}, inside - 2).height <= room; };
    while (next < tubs.size() && fits(next + 1, k_smallest)) ++next;
    double points = 9;
    while (points > k_smallest && !fits(next, points)) points -= 0.5;
    canvas.text(at.x + k_inset + 1, y, inside - 2, text(next, points), {.points = points});
    canvas.line_of_text(at.x + k_inset + 1, at.y + sheet.height - k_inset - 3.6, kitchen.voice.say("label_no_cup"), {.points = k_smallest});
    return next;
}

void corner_marks(Canvas& canvas, const LabelSheet& sheet, const Labels& labels) {
    constexpr double k_arm = 4;
    for (const int column : {0, sheet.columns - 1}) {
        for (const int row : {0, sheet.rows - 1}) {
            const Spot at = labels.corner(column, row);
            for (const double x : {at.x, at.x + sheet.width}) {
                for (const double y : {at.y, at.y + sheet.height}) {
                    canvas.line(x - k_arm, y, x + k_arm, y, 0.2);
                    canvas.line(x, y - k_arm, x, y + k_arm, 0.2);
                }
            }
        }
    }
}

void ruler(Canvas& canvas, const Voice& voice, double x, double y) {
    canvas.line(x, y, x + 100, y, 0.3);
    for (int mm = 0; mm <= 100; ++mm) {
        const double length = mm % 10 == 0 ? 6 : mm % 5 == 0 ? 4 : 2.5;
        canvas.line(x + mm, y, x + mm, y - length, 0.15);
        if (mm % 10 == 0) canvas.line_of_text(x + mm, y + 1, std::to_string(mm), {.points = 8, .align = Align::centre});
    }
    canvas.line_of_text(x, y + 6, voice.say("ruler"), {.points = 10, .weight = Weight::bold});
}

void calibration_page(Canvas& canvas, const Kitchen& kitchen, const LabelSheet& sheet, Labels& labels) {
    labels.page();
    corner_marks(canvas, sheet, labels);
    const Size page = canvas.size();
    const double x = (page.width - 100) / 2;
    double y = page.height * 0.24;
    canvas.line_of_text(x, y, kitchen.voice.say("calibration"), {.points = 18, .weight = Weight::bold});
    ruler(canvas, kitchen.voice, x, y + 26);
    y += 44;
    y += canvas.text(x, y, 110, kitchen.voice.say("calibration_how"), {.points = 11, .leading = 1.1}) + 6;
    const Arguments args{{"columns", std::to_string(sheet.columns)},
                         {"rows", std::to_string(sheet.rows)},
                         {"width", sheet.width},
                         {"height", sheet.height},
                         {"x", sheet.offset_x},
                         {"y", sheet.offset_y}};
    y += canvas.text(x, y, 110, kitchen.voice.say("calibration_now", args), {.points = 11}) + 6;
    y += canvas.line_of_text(x, y, headline(kitchen.papers.room), {.points = 11, .weight = Weight::bold}) + 1;
    canvas.line_of_text(x, y, seal_line(kitchen.papers.room, kitchen.voice), {.points = 8});
    draw_qr(canvas, x, y + 6, 24, whole_seal(kitchen.papers.room));
}

}   // namespace

core::Result<std::string> labels_pdf(const KitchenPapers& papers, const LabelSheet& sheet, const core::Words& words) {
    auto canvas = Canvas::open(papers.room.name);
    if (!canvas) return canvas.faults();
    const Voice voice(words, papers.room.plan);
    const Kitchen kitchen(papers, voice);
    Labels labels(*canvas, sheet, papers.room.size, seal_line(papers.room, voice));
    for (const Pass& pass : kitchen.passes) {
        const std::vector<Cup> cups = kitchen.in_fill_order(pass);
        if (cups.empty()) continue;
        const std::vector<std::string> tubs = tubs_in_order(kitchen, cups);
        for (std::size_t next = 0; next < tubs.size();) next = pass_label(*canvas, kitchen, pass, tubs, next, sheet, labels.next());
        for (const Cup& cup : cups) cup_label(*canvas, kitchen, cup, sheet, labels.next());
    }
    calibration_page(*canvas, kitchen, sheet, labels);
    return canvas->finish();
}

}   // namespace oddplate::report
