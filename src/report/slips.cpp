// The slips: one a tray, four to a sheet, or two or one where so much is asked that more would crowd. They run tray by tray in ballot order, and the sheets are filled so
// that cutting the whole stack gives four piles, or two, that only need to be laid on one another.
#include <algorithm>
#include <map>
#include <vector>

#include "code_face.hpp"
#include "question.hpp"

namespace oddplate::report {
namespace {

constexpr double k_margin = 6.5;
constexpr double k_digits = 10;   // mm; a slip is read on the lap
constexpr double k_qr = 21;
constexpr double k_quiet = 1.5;   // of the code's white edge; it may lie on the margin
constexpr double k_body = 9;      // points of the words
constexpr double k_number = 34;   // kept free for the ballot's number

struct SlipPlace {
    int ballot, set;
};

/// All slips in the order of the pile: every ballot's first tray, then every second, ...
std::vector<SlipPlace> pile_of(const draw::Room& room) {
    std::size_t most = 0;
    for (const draw::RoomBallot& ballot : room.ballots) most = std::max(most, ballot.sets.size());
    std::vector<SlipPlace> pile;
    for (std::size_t set = 0; set < most; ++set) {
        for (std::size_t ballot = 0; ballot < room.ballots.size(); ++ballot) {
            if (set < room.ballots[ballot].sets.size()) pile.push_back({static_cast<int>(ballot), static_cast<int>(set)});
        }
    }
    return pile;
}

/// Lines to write on that a slip has room for at best.
int most_lines(const Question& question) {
    return !question.is_last() && question.of_set().codes.size() <= 3 ? 2 : 1;
}

/// Everything between the head and the foot, at `scale` times its full size, with so many lines to write on.
void draw_body(Column& column, const Question& question, double scale, int lines) {
    const methods::Round& round = question.round();
    const Voice& voice = question.voice;
    const Type plain{.points = k_body * scale};
    column.text(voice.say("rinse"), plain);
    column.gap(2.5);
    column.text(voice.ask(round, "look"), plain);
    const methods::AnswerShape shape = method_of(round).shape(round);
    const auto* score = std::get_if<methods::ScoreEach>(&shape);
    const bool in_lines = (score != nullptr && !score->steps().empty()) || std::holds_alternative<methods::TickEach>(shape);
    const bool two_rows = question.of_set().codes.size() > 3 && !in_lines;   // a scale has a line a code
    column.text(voice.ask(round, "how") + (two_rows ? " " + voice.say("upper_row_first") : ""), plain);
    column.gap(1.2);
    column.text(voice.ask(round, "ask"), {.points = 11 * scale, .weight = Weight::bold});
    column.gap(2.5);
    answer_places(column, question, k_digits, k_body * scale);
    const std::string kind = voice.ask(round, "kind"), hush = voice.say("hush");
    column.text(kind, plain);
    if (kind.find(hush) == std::string::npos) column.text(hush, plain);   // some methods say it themselves
    column.gap(2);
    column.text(voice.ask(round, "comment"), plain);
    column.writing_lines(lines, 7);
    column.gap(2);
    hint_box(column, question, k_body * scale);
}

/// What all slips of this tray share, above and below.
void draw_fixed_face(Canvas& canvas, const Question& question, Size slip) {
    const double right = slip.width - k_margin, bottom = slip.height - k_margin, side = 3.4;
    canvas.fitted(k_margin, k_margin + 0.2, right - k_margin - k_number, headline(question.papers),
                  {.points = 11, .weight = Weight::bold});
    canvas.fitted(k_margin, k_margin + 6.4, right - k_margin, question.tray_line(), {.points = 9});
    canvas.line(k_margin, k_margin + 11.3, right, k_margin + 11.3, 0.3);
    canvas.box(k_margin, bottom - 9.5, side);
    canvas.line_of_text(k_margin + side + 1.5, bottom - 10, question.voice.say("helped"), {.points = 8});
    canvas.fitted(k_margin, bottom - 2.6, slip.width - 2 * k_margin - k_qr, seal_line(question.papers, question.voice),
                  {.points = 6});
}

/// What is this slip's own: its ballot and its QR code.
void draw_own_face(Canvas& canvas, const Question& question, Size slip) {
    const double right = slip.width - k_margin, bottom = slip.height - k_margin;
    const Type number{.points = 17, .weight = Weight::bold, .align = Align::right};
    const double number_width = canvas.extent(question.ballot_name(), number).width;
    canvas.line_of_text(right, k_margin - 1.6, question.ballot_name(), number);
    canvas.line_of_text(right - number_width - 2, k_margin + 1.3, question.voice.say("ballot"),
                        {.points = 9, .align = Align::right});
    draw_qr(canvas, slip.width - k_margin - k_qr + k_quiet, bottom - k_qr + k_quiet, k_qr, question.payload());
}

/// How the slips lie on a sheet.
struct Layout {
    std::size_t many;   ///< slips a sheet
    double largest;     ///< how many times its usual size the type may be
};
constexpr Layout k_layouts[] = {{4, 1.0}, {2, 1.25}, {1, 1.5}};

Size sheet_of(const Layout& layout, PaperSize paper) {
    return layout.many == 2 ? landscape(paper) : portrait(paper);
}

Size slip_of(const Layout& layout, PaperSize paper) {
    const Size sheet = sheet_of(layout, paper);
    return {layout.many == 1 ? sheet.width : sheet.width / 2, layout.many == 4 ? sheet.height / 2 : sheet.height};
}

constexpr double k_top = k_margin + 13.5;

/// The column of a kind of slip, with its size of type, its gaps and its lines to write on found.
struct Fit {
    double scale{1}, stretch{1};
    int lines{1};
    bool fits{false}, cramped{false};
};

Fit measured(Canvas& canvas, const Question& question, Size slip, double scale, int lines) {
    const double room = slip.height - k_margin - k_qr + k_quiet - k_top;
    Column column{.canvas = canvas, .x = k_margin, .width = slip.width - 2 * k_margin, .layer = Layer::none};
    draw_body(column, question, scale, lines);
    return {scale, std::clamp(1 + (room - column.y) / column.gaps, 0.3, 2.0), lines, column.y - 0.6 * column.gaps <= room, column.cramped};
}

/// The largest words that fit; a line to write on and the gaps give way before them.
Fit fit_body(Canvas& canvas, const Question& question, Size slip, double largest) {
    constexpr double k_step = 0.04, k_smallest = k_smallest_words / k_body;
    Fit fit;
    for (double scale = largest; scale >= k_smallest; scale -= k_step) {
        for (int lines = most_lines(question); lines >= 1; --lines) {
            fit = measured(canvas, question, slip, scale, lines);
            if (fit.fits) return fit;
        }
    }
    return fit;
}

/// Whether some tray's words and boxes have to be made much smaller to fit on a slip of this size.
bool are_crowded(Canvas& canvas, const RoomPapers& papers, const Voice& voice, const Layout& layout) {
    constexpr double k_small = 0.85, k_tight = 0.5;
    const draw::RoomBallot& first = papers.room.ballots.front();
    for (std::size_t set = 0; set < first.sets.size(); ++set) {
        const Question question{papers, voice, 0, static_cast<int>(set)};
        const Fit fit = fit_body(canvas, question, slip_of(layout, papers.size), layout.largest);
        if (!fit.fits || fit.cramped || (fit.scale < k_small && fit.stretch < k_tight)) return true;
    }
    return false;
}

/// As many slips a sheet as leave all of them readable.
Layout layout_of(Canvas& canvas, const RoomPapers& papers, const Voice& voice) {
    for (const Layout& layout : k_layouts)
        if (papers.room.ballots.empty() || !are_crowded(canvas, papers, voice, layout)) return layout;
    return *std::rbegin(k_layouts);
}

/// Draws slips; those of one round, spot and tray share all but ballot, codes and QR code.
class SlipPress {
public:
    SlipPress(Canvas& canvas, Size slip, double largest) : m_canvas(canvas), m_slip(slip), m_largest(largest) {}

    /// `part` of the sheet; each has stamps of its own, so that no page shows one twice.
    void draw(const Question& question, std::size_t part) {
        const std::string kind =
            std::to_string(question.of_set().round) + "/" + question.tray_line() + (question.is_last() ? "/last" : "");
        auto known = m_fits.find(kind);
        if (known == m_fits.end()) known = m_fits.emplace(kind, fit_body(m_canvas, question, m_slip, m_largest)).first;
        const Fit& fit = known->second;
        Column column{.canvas = m_canvas, .x = k_margin, .y = k_top, .width = m_slip.width - 2 * k_margin, .layer = Layer::words};
        column.stretch = fit.stretch;
        m_canvas.stamp(kind + "/" + std::to_string(part), [&] {
            draw_fixed_face(m_canvas, question, m_slip);
            draw_body(column, question, fit.scale, fit.lines);
        });
        column.y = k_top;
        column.layer = Layer::codes;
        draw_body(column, question, fit.scale, fit.lines);
        draw_own_face(m_canvas, question, m_slip);
    }

private:
    Canvas& m_canvas;
    Size m_slip;
    double m_largest;
    std::map<std::string, Fit> m_fits;
};

/// Short ticks at the sheet's edges and a cross in its middle: where the knife goes.
void cut_marks(Canvas& canvas, Size sheet, std::size_t many) {
    if (many == 1) return;
    const double x = sheet.width / 2, y = sheet.height / 2, from = 3, to = 8;
    canvas.line(x, from, x, to, 0.15);
    canvas.line(x, sheet.height - to, x, sheet.height - from, 0.15);
    if (many == 2) return;
    canvas.line(from, y, to, y, 0.15);
    canvas.line(sheet.width - to, y, sheet.width - from, y, 0.15);
    canvas.line(x - 2, y, x + 2, y, 0.15);
    canvas.line(x, y - 2, x, y + 2, 0.15);
}

}   // namespace

core::Result<std::string> ballots_pdf(const RoomPapers& papers, const core::Words& words) {
    auto canvas = Canvas::open(papers.name);
    if (!canvas) return canvas.faults();
    const Voice voice(words, papers.plan);
    const Layout layout = layout_of(*canvas, papers, voice);
    const Size sheet = sheet_of(layout, papers.size), slip = slip_of(layout, papers.size);
    const std::size_t many = layout.many;
    SlipPress press(*canvas, slip, layout.largest);
    const std::vector<SlipPlace> pile = pile_of(papers.room);
    const std::size_t sheets = (pile.size() + many - 1) / many;
    for (std::size_t page = 0; page < sheets; ++page) {
        canvas->page(sheet);
        cut_marks(*canvas, sheet, many);
        for (std::size_t part = 0; part < many; ++part) {
            const std::size_t place = part * sheets + page;
            if (place >= pile.size()) continue;
            const Question question{papers, voice, pile[place].ballot, pile[place].set};
            const double x = part % 2 == 0 ? 0 : slip.width, y = part < 2 ? 0 : slip.height;
            canvas->at(x, y, [&] { press.draw(question, part); });
        }
    }
    return canvas->finish();
}

}   // namespace oddplate::report
