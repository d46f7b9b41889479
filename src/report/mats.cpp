// Tray mats: a ring to stand each cup in, and the slip's words around it. The cup covers its ring; the code to be marked stands
// below.
#include <algorithm>
#include <cmath>

#include "code_face.hpp"
#include "question.hpp"

namespace oddplate::report {
namespace {

constexpr double k_margin = 12;
constexpr double k_ring = 74;    // mm; a four-ounce cup stands well within it
constexpr double k_below = 19;   // for the code under the ring
constexpr double k_qr = 24;

/// Places for the cups in at most two rows; the rings get smaller only when they must.
double draw_rings(Canvas& canvas, const Question& question, double top, double bottom) {
    const draw::RoomSet& set = question.of_set();
    const std::string letter = question.voice.mark(question.round(), set.reference);
    const std::size_t cups = set.codes.size() + (letter.empty() ? 0 : 1);
    const double width = canvas.size().width - 2 * k_margin;
    const auto ring_in = [&](std::size_t rows) {
        const std::size_t across = (cups + rows - 1) / rows;
        return std::min({k_ring, width / static_cast<double>(across) - 6, (bottom - top) / static_cast<double>(rows) - 4 - k_below});
    };
    const std::size_t rows = ring_in(2) > ring_in(1) ? 2 : 1, across = (cups + rows - 1) / rows;
    const double ring = ring_in(rows);
    for (std::size_t i = 0; i < cups; ++i) {
        const std::size_t row = i / across, in_row = std::min(across, cups - row * across);
        const double x = k_margin + width / static_cast<double>(in_row) * (static_cast<double>(i % across) + 0.5);
        const double y = top + (ring + k_below + 4) * static_cast<double>(row) + ring / 2;
        canvas.ellipse(x, y, ring / 2, ring / 2, 0.4);
        const std::string& mark = !letter.empty() && i == 0 ? letter : set.codes[i - (letter.empty() ? 0 : 1)];
        const double digit = code_height_that_fits(canvas, mark, 12, ring, k_below - 4);
        draw_code(canvas, x, y + ring / 2 + 3, mark, digit);
        if (!letter.empty() && i == 0) canvas.frame(x - digit, y + ring / 2 + 1, 2 * digit, code_block_height(digit) + 3, 0.5);
    }
    return top + (ring + k_below + 4) * static_cast<double>(rows);
}

void draw_mat(Canvas& canvas, const Question& question) {
    const Size page = canvas.size();
    const double right = page.width - k_margin;
    canvas.line_of_text(k_margin, k_margin, headline(question.papers), {.points = 16, .weight = Weight::bold});
    canvas.line_of_text(k_margin, k_margin + 8, question.tray_line(), {.points = 13});
    canvas.line_of_text(right, k_margin - 1, question.voice.say("ballot") + " " + question.ballot_name(),
                        {.points = 20, .weight = Weight::bold, .align = Align::right});
    canvas.line(k_margin, k_margin + 15.5, right, k_margin + 15.5, 0.4);
    draw_qr(canvas, right - k_qr + 2, page.height - k_margin - k_qr + 2, k_qr, question.payload());
    const std::string foot = question.voice.say("mat_foot") + " · " + seal_line(question.papers, question.voice);
    canvas.line_of_text(k_margin, page.height - k_margin - 3, foot, {.points = 8});

    Column words{.canvas = canvas, .x = k_margin, .y = k_margin + 18, .width = right - k_margin};
    const Type plain{.points = 13};
    words.text(question.voice.say("rinse"), plain);
    words.text(question.voice.ask(question.round(), "look") + " " + question.voice.ask(question.round(), "how"), plain);
    const double end = draw_rings(canvas, question, words.y + 5, page.height - k_margin - k_qr - 14);
    words.y = std::max(end, page.height - k_margin - k_qr - 16);
    words.width = right - k_margin - k_qr - 6;
    words.text(question.voice.ask(question.round(), "ask"), {.points = 16, .weight = Weight::bold});
    const methods::AnswerShape shape = method_of(question.round()).shape(question.round());
    std::string answer = question.voice.say("mat_answer");
    if (const auto* score = std::get_if<methods::ScoreEach>(&shape))
        answer = question.voice.say("mat_answer.scores", {{"scale", question.scale_line(*score)}});
    words.text(answer + " " + question.voice.say("hush"), plain);
}

}   // namespace

core::Result<std::string> mats_pdf(const RoomPapers& papers, const core::Words& words) {
    auto canvas = Canvas::open(papers.name);
    if (!canvas) return canvas.faults();
    const Voice voice(words, papers.plan);
    std::size_t most = 0;
    for (const draw::RoomBallot& ballot : papers.room.ballots) most = std::max(most, ballot.sets.size());
    for (std::size_t set = 0; set < most; ++set) {
        for (std::size_t ballot = 0; ballot < papers.room.ballots.size(); ++ballot) {
            if (set >= papers.room.ballots[ballot].sets.size()) continue;
            canvas->page(landscape(papers.size));
            draw_mat(*canvas, {papers, voice, static_cast<int>(ballot), static_cast<int>(set)});
        }
    }
    return canvas->finish();
}

}   // namespace oddplate::report
