// The picture to send on. It says who was asked and when, so that it can't be taken for more than it is.

#include "figures.hpp"
#include "oddplate/tasting/names.hpp"
#include "verdict_parts.hpp"

namespace oddplate::report {
namespace {

constexpr int k_wide = 1080, k_high = 1350;
constexpr double k_mm = 108, k_margin = 8;

/// As large as the room allows.
double text_within(Canvas& canvas, double y, double room, const std::string& text, Type type, double least) {
    const double width = k_mm - 2 * k_margin;
    while (type.points > least && canvas.extent(text, type, width).height > room) type.points -= 0.5;
    return canvas.text(k_margin, y, width, text, type);
}

}   // namespace

core::Result<std::string> verdict_card(const VerdictFiles& files, const core::Words& words) {
    auto canvas = Canvas::open_image(k_wide, k_high, k_mm);
    if (!canvas) return canvas.faults();
    const VerdictPage& page = files.page;
    const judge::JudgedRound& round = page.outcome.at_close.rounds.front();
    const Headline headline = headline_of(round, words);
    const double width = k_mm - 2 * k_margin, bottom = canvas->size().height - k_margin;
    canvas->filled(0, 0, k_mm, 2.4);
    double y = k_margin;
    y += text_within(*canvas, y, 12, page.state.plan.title, {.points = 12}, 8) + 3;
    y += text_within(*canvas, y, 34, headline.head, {.points = 34, .weight = Weight::bold, .leading = 0.9}, 16) + 3;
    y += text_within(*canvas, y, 36, headline.rest, {.points = 13}, 8) + 5;
    for (const Figure& figure : figures_of(page.outcome.at_close, page.state.plan, words)) {
        if (figure.round != 0) break;
        const double scale = std::min(1.0, (bottom - 22 - y) / (figure.picture.height * width / figure.picture.width));
        if (scale <= 0.3) break;
        y += draw_picture(*canvas, k_margin, y, width * scale, figure.picture) + 2;
        y += text_within(*canvas, y, 12, figure.caption, {.points = 9}, 6);
        break;
    }
    const std::string n = words.text("report.card.n", {{"tasters", static_cast<std::int64_t>(round.findings.pooled.number("tasters").value_or(0))},
                                                       {"answers", std::int64_t{round.tally.counted}}});
    canvas->line(k_margin, bottom - 12, k_mm - k_margin, bottom - 12, 0.5);
    canvas->fitted(k_margin, bottom - 10, width, n + (files.date.empty() ? "" : " · " + files.date), {.points = 11, .weight = Weight::bold});
    canvas->fitted(k_margin, bottom - 4.6, width, page.made_up ? words.text("verdict_page.made_up") : words.text("report.card.foot", {{"name", tasting::two_words(page.state.id)}}), {.points = 8});
    return canvas->finish();
}

}   // namespace oddplate::report
