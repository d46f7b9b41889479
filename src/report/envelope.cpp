// The words of a seal on paper, for the day when nobody remembers them. Page 1 is a cover, so that the printer's tray shows
// nothing; folded with the cover outside it goes into an envelope whose flap two people sign.
#include "furniture.hpp"

namespace oddplate::report {
namespace {

constexpr double k_margin = 20;

void cover(Canvas& canvas, const RoomPapers& papers, const core::Words& words) {
    canvas.page(portrait(papers.size));
    const double width = canvas.size().width - 2 * k_margin;
    const double y = canvas.size().height * 0.36;
    canvas.text(k_margin, y, width, headline(papers), {.points = 22, .weight = Weight::bold, .align = Align::centre});
    canvas.text(k_margin, y + 14, width, words.text("seal.envelope.cover"),
                {.points = 15, .align = Align::centre, .leading = 1.2});
}

void inside(Canvas& canvas, const RoomPapers& papers, const std::vector<std::string>& seal_words, const core::Words& words) {
    canvas.page(portrait(papers.size));
    const double right = canvas.size().width - k_margin, foot = canvas.size().height - k_margin;
    canvas.line_of_text(k_margin, 12, headline(papers), {.points = 11});
    Column column{.canvas = canvas, .x = k_margin, .y = 24, .width = right - k_margin};
    column.text(words.text("seal.envelope.title"), {.points = 20, .weight = Weight::bold});
    column.gap(3);
    column.text(words.text("seal.envelope.only_if"), {.points = 13});
    column.gap(10);
    for (std::size_t i = 0; i < seal_words.size(); ++i) {
        canvas.line_of_text(column.x, column.y + 3.4, std::to_string(i + 1), {.points = 16});
        canvas.line_of_text(column.x + 14, column.y, seal_words[i], {.points = 34, .weight = Weight::bold});
        column.y += 19;
    }
    column.gap(8);
    column.text(words.text("seal.envelope.how", {{"id", papers.tasting_id}}), {.points = 13});
    blank_after(canvas, k_margin, foot - 20, right, words.text("seal.envelope.signed"), {.points = 13});
    canvas.line_of_text(k_margin, foot - 4, seal_line(papers, Voice(words, papers.plan)), {.points = 8});
}

}   // namespace

core::Result<std::string> envelope_pdf(const RoomPapers& papers, const std::vector<std::string>& seal_words,
                                       const core::Words& words) {
    auto canvas = Canvas::open(papers.name);
    if (!canvas) return canvas.faults();
    cover(*canvas, papers, words);
    inside(*canvas, papers, seal_words, words);
    return canvas->finish();
}

}   // namespace oddplate::report
