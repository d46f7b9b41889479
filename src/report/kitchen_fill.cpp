// FILL: the cups of a pass, tub by tub. One tub below the other while they are full; in two columns where most hold a cup or two, so that a pass with
// many tubs is not a stack of half-empty pages.
#include <algorithm>
#include <span>

#include "kitchen.hpp"

namespace oddplate::report {
namespace {

constexpr double k_cell = 23.4, k_between = 7;

/// One tub and the cups that are filled from it.
struct Filled {
    const Tub& tub;
    std::vector<Cup> cups;
};

std::vector<Filled> by_tub(const Kitchen& kitchen, const Pass& pass) {
    const std::vector<Cup> cups = kitchen.in_fill_order(pass);
    std::vector<Filled> filled;
    for (auto from = cups.begin(); from != cups.end();) {
        const auto to = std::find_if(from, cups.end(), [&](const Cup& cup) { return cup.tub != from->tub; });
        filled.push_back({kitchen.tubs[from->tub], {from, to}});
        from = to;
    }
    return filled;
}

/// What a tub is called on the page, and the small line below it.
struct TubWords {
    std::string name, below;
};

TubWords words_of(const Kitchen& kitchen, const Tub& tub) {
    const std::string spot = kitchen.spot_label(tub.spot);
    if (kitchen.papers.blind_tubs) return {kitchen.voice.say("tub", {{"name", kitchen.tag(tub)}}), spot};
    if (kitchen.plan().versions.size() == 2 || tub.piece < 0) return {kitchen.tag(tub), spot};
    // A recipe's own name fills the line.
    const std::string piece = kitchen.voice.say("piece", {{"n", std::to_string(tub.piece + 1)}});
    return {tub.name, spot.empty() ? piece : piece + " · " + spot};
}

/// A column of tubs: a tub's name at the left, then its cups, at the end of the last row the box for having counted them.
class FillColumn {
public:
    /// `name`: the width of the names; `after`: between two tubs.
    FillColumn(Sheet& sheet, double left, double width, double name, double after) : m_sheet(sheet), m_left(left), m_width(width), m_name(name), m_after(after) {}

    [[nodiscard]] double height_of(const Filled& filled) const { return static_cast<double>(rows_of(filled)) * k_pass_row + m_after; }

    /// Draws the tub at the sheet's y, which moves on; a tub with many rows may go on overleaf.
    void draw(const Filled& filled) const {
        Canvas& canvas = m_sheet.canvas();
        const TubWords words = words_of(m_sheet.kitchen(), filled.tub);
        canvas.fitted(m_left, m_sheet.y - 1.4, m_name - 3, words.name, {.points = 16, .weight = Weight::bold});
        canvas.fitted(m_left, m_sheet.y + 4.6, m_name - 3, words.below, {.points = 11});
        for (std::size_t i = 0; i < filled.cups.size(); ++i) {
            if (i > 0 && i % in_row() == 0) next_row();
            const double x = m_left + m_name + k_cell * static_cast<double>(i % in_row());
            canvas.box(x, m_sheet.y, k_pass_box);
            canvas.line_of_text(x + k_pass_box + 1.2, m_sheet.y + 0.4, filled.cups[i].code, {.points = 17, .weight = Weight::bold});
        }
        counted(filled);
        m_sheet.y += k_pass_row;
        canvas.line(m_left, m_sheet.y, m_left + m_width, m_sheet.y, 0.15);
        m_sheet.y += m_after;
    }

private:
    [[nodiscard]] std::size_t in_row() const { return static_cast<std::size_t>((m_width - m_name) / k_cell); }
    [[nodiscard]] std::size_t rows_of(const Filled& filled) const {
        return (filled.cups.size() + in_row() - 1) / in_row() + (has_room_to_count(filled) ? 0 : 1);
    }
    [[nodiscard]] std::string count_of(const Filled& filled) const {
        return m_sheet.voice().say("counted", {{"n", static_cast<std::int64_t>(filled.cups.size())}});
    }
    [[nodiscard]] bool has_room_to_count(const Filled& filled) const {
        const double last_cell_ends = m_name + k_cell * static_cast<double>((filled.cups.size() - 1) % in_row() + 1);
        return m_width - m_sheet.canvas().extent(count_of(filled), k_count).width - 10 >= last_cell_ends;
    }
    void counted(const Filled& filled) const {
        if (!has_room_to_count(filled)) next_row();
        const std::string text = count_of(filled);
        const double right = m_left + m_width, height = m_sheet.canvas().extent(text, k_count).height;
        m_sheet.canvas().line_of_text(right - k_pass_box - 1.5, m_sheet.y + (k_pass_box - height) / 2, text, k_count);
        m_sheet.canvas().box(right - k_pass_box, m_sheet.y, k_pass_box);
    }
    void next_row() const {
        m_sheet.y += k_pass_row;
        m_sheet.keep(k_pass_row);
    }

    static constexpr Type k_count{.points = 12, .align = Align::right};

    Sheet& m_sheet;
    double m_left, m_width, m_name, m_after;
};

double height_in_all(const FillColumn& column, std::span<const Filled> tubs) {
    double height = 0;
    for (const Filled& filled : tubs) height += column.height_of(filled);
    return height;
}

/// How many of the tubs a column of this height holds.
std::size_t that_fit(const FillColumn& column, std::span<const Filled> tubs, double height) {
    std::size_t fit = 0;
    while (fit < tubs.size() && height_in_all(column, tubs.first(fit + 1)) <= height) ++fit;
    return fit;
}

/// Down the left column, then down the right one; the last page's two are about equally long.
void in_two_columns(Sheet& sheet, const FillColumn& left, const FillColumn& right, std::span<const Filled> tubs) {
    while (!tubs.empty()) {
        double height = height_in_all(left, tubs) / 2;
        const auto holds_all = [&] {
            const std::size_t first = that_fit(left, tubs, height);
            return that_fit(left, tubs.subspan(first), height) == tubs.size() - first;
        };
        while (height < sheet.left_over() && !holds_all()) height += 1;
        height = std::min(height, sheet.left_over());
        const double top = sheet.y;
        double end = top;
        for (const FillColumn* column : {&left, &right}) {
            const std::size_t here = that_fit(left, tubs, height);
            sheet.y = top;
            for (const Filled& filled : tubs.first(here)) column->draw(filled);
            end = std::max(end, sheet.y);
            tubs = tubs.subspan(here);
        }
        sheet.y = end;
        if (!tubs.empty()) sheet.keep(sheet.left_over() + 1);
    }
}

}   // namespace

void fill_list(Sheet& sheet, const Pass& pass) {
    sheet.heading(sheet.voice().say("fill"), sheet.voice().say("fill_note"));
    sheet.y += 0.6;
    for (const std::string& line : sheet.kitchen().off_lines()) {
        sheet.canvas().fitted(sheet.left(), sheet.y, sheet.width(), line, {.points = 13, .weight = Weight::bold});
        sheet.y += 7.4;
    }
    constexpr double k_worth_it = 0.8, k_tallest = 60;   // of the one column's height; mm that a tub may take in two
    const std::vector<Filled> tubs = by_tub(sheet.kitchen(), pass);
    const double half = (sheet.width() - k_between) / 2;
    const FillColumn whole(sheet, sheet.left(), sheet.width(), 52, 1.8);
    const FillColumn left(sheet, sheet.left(), half, 40, 0.7), right(sheet, sheet.left() + half + k_between, half, 40, 0.7);
    const bool low = std::all_of(tubs.begin(), tubs.end(), [&](const Filled& filled) { return left.height_of(filled) <= k_tallest; });
    if (low && height_in_all(left, tubs) / 2 < k_worth_it * height_in_all(whole, tubs)) return in_two_columns(sheet, left, right, tubs);
    for (const Filled& filled : tubs) {
        constexpr double k_four_rows = 4 * k_pass_row + 3;   // a longer tub may begin where four rows are left
        sheet.keep(std::min(whole.height_of(filled) + 1.2, k_four_rows));
        whole.draw(filled);
    }
}

}   // namespace oddplate::report
