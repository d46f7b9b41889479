// The slips: one a tray, four to a sheet, or two where so much is asked that four would crowd. They run tray by tray in ballot order, and the sheets are filled so
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

/// Everything between the head and the foot, at `scale` times its full size.
void draw_body(Column& column, const Question& question, double scale) {
    const methods::Round& round = question.round();
    const Voice& voice = question.voice;
    const Type plain{.points = 9 * scale};
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
    answer_places(column, question, k_digits, 9 * scale);
    const std::string kind = voice.ask(round, "kind"), hush = voice.say("hush");
    column.text(kind, plain);
    if (kind.find(hush) == std::string::npos) column.text(hush, plain);   // some methods say it themselves
    column.gap(2);
    column.text(voice.ask(round, "comment"), plain);
    const bool roomy = !question.is_last() && question.of_set().codes.size() <= 3;
    column.writing_lines(roomy ? 2 : 1, 7);
    column.gap(2);
    hint_box(column, question, 9 * scale);
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
    draw_qr(canvas, slip.width - k_margin - k_qr + 1.5, bottom - k_qr + 1.5, k_qr, question.payload());
}

/// The column of a kind of slip, with its size of type and its gaps found.
struct Fit {
    double scale{1}, stretch{1};
};

Fit fit_body(Canvas& canvas, const Question& question, Size slip, double room) {
    Column measure{.canvas = canvas, .x = k_margin, .width = slip.width - 2 * k_margin, .layer = Layer::none};
    double scale = 1;
    for (; scale > 0.7; scale -= 0.04) {
        measure.y = measure.gaps = 0;
        draw_body(measure, question, scale);
        if (measure.y - 0.6 * measure.gaps <= room) break;   // the gaps give way before the words do
    }
    return {scale, std::clamp(1 + (room - measure.y) / measure.gaps, 0.3, 2.0)};
}

/// Whether some tray's words and boxes have to be made much smaller to fit on a quarter of a sheet.
bool are_crowded(Canvas& canvas, const RoomPapers& papers, const Voice& voice, Size slip) {
    constexpr double k_small = 0.85, k_tight = 0.5, k_top = k_margin + 13.5;
    const draw::RoomBallot& first = papers.room.ballots.front();
    for (std::size_t set = 0; set < first.sets.size(); ++set) {
        const Question question{papers, voice, 0, static_cast<int>(set)};
        const Fit fit = fit_body(canvas, question, slip, slip.height - k_margin - k_qr - k_top);
        if (fit.scale < k_small && fit.stretch < k_tight) return true;
    }
    return false;
}

/// Draws slips; those of one round, spot and tray share all but ballot, codes and QR code.
class SlipPress {
public:
    SlipPress(Canvas& canvas, Size slip) : m_canvas(canvas), m_slip(slip) {}

    /// `part` of the sheet; each has stamps of its own, so that no page shows one twice.
    void draw(const Question& question, std::size_t part) {
        constexpr double k_top = k_margin + 13.5;
        const std::string kind =
            std::to_string(question.of_set().round) + "/" + question.tray_line() + (question.is_last() ? "/last" : "");
        auto known = m_fits.find(kind);
        if (known == m_fits.end()) {
            const double room = m_slip.height - k_margin - k_qr - k_top;
            known = m_fits.emplace(kind, fit_body(m_canvas, question, m_slip, room)).first;
        }
        Column column{.canvas = m_canvas, .x = k_margin, .y = k_top, .width = m_slip.width - 2 * k_margin, .layer = Layer::words};
        column.stretch = known->second.stretch;
        m_canvas.stamp(kind + "/" + std::to_string(part), [&] {
            draw_fixed_face(m_canvas, question, m_slip);
            draw_body(column, question, known->second.scale);
        });
        column.y = k_top;
        column.layer = Layer::codes;
        draw_body(column, question, known->second.scale);
        draw_own_face(m_canvas, question, m_slip);
    }

private:
    Canvas& m_canvas;
    Size m_slip;
    std::map<std::string, Fit> m_fits;
};

/// Short ticks at the sheet's edges and a cross in its middle: where the knife goes.
void cut_marks(Canvas& canvas, Size sheet, bool across) {
    const double x = sheet.width / 2, y = sheet.height / 2, from = 3, to = 8;
    canvas.line(x, from, x, to, 0.15);
    canvas.line(x, sheet.height - to, x, sheet.height - from, 0.15);
    if (!across) return;
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
    const Size upright = portrait(papers.size);
    const bool two = !papers.room.ballots.empty() && are_crowded(*canvas, papers, voice, {upright.width / 2, upright.height / 2});
    const Size sheet = two ? landscape(papers.size) : upright;
    const Size slip{sheet.width / 2, two ? sheet.height : sheet.height / 2};
    const std::size_t many = two ? 2 : 4;
    SlipPress press(*canvas, slip);
    const std::vector<SlipPlace> pile = pile_of(papers.room);
    const std::size_t sheets = (pile.size() + many - 1) / many;
    for (std::size_t page = 0; page < sheets; ++page) {
        canvas->page(sheet);
        cut_marks(*canvas, sheet, !two);
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
