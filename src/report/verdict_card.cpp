// The picture to send on. It says who was asked and when, so that it can't be taken for more than it is.

#include <algorithm>

#include "figures.hpp"
#include "oddplate/tasting/names.hpp"
#include "verdict_parts.hpp"

namespace oddplate::report {
namespace {

constexpr int k_wide = 1080, k_high = 1350;
constexpr double k_mm = 108, k_margin = 8, k_width = k_mm - 2 * k_margin;
constexpr double k_rule_up = 12;    // the foot's rule above the margin
constexpr double k_clear = 2.5;     // left white above it
constexpr double k_gaps = 3 + 3 + 5 + 2;   // after title, headline, its rest, the picture

/// The card's words in one measure of how far they had to give way: 0 as large as they may be, 1 as small as can be read.
class Said {
public:
    Said(Canvas& canvas, std::string title, Headline headline) : m_canvas(canvas), m_title(std::move(title)), m_headline(std::move(headline)) {}

    [[nodiscard]] double height(double way) { return high(m_title, title(way)) + high(m_headline.head, head(way)) + high(m_headline.rest, rest(way)); }
    /// As large as `room` allows; the headline never takes more than a third of the card.
    [[nodiscard]] double way_into(double room) {
        constexpr double k_step = 1.0 / 40, k_most = 36;
        double way = 0;
        const auto fits = [&] { return height(way) <= room && high(m_headline.head, head(way)) <= k_most && high(m_headline.rest, rest(way)) <= k_most; };
        while (way < 1 && !fits()) way = std::min(1.0, way + k_step);
        return way;
    }
    double draw(double way) {
        double y = k_margin;
        y += m_canvas.text(k_margin, y, k_width, m_title, title(way)) + 3;
        y += m_canvas.text(k_margin, y, k_width, m_headline.head, head(way)) + 3;
        if (!m_headline.rest.empty()) y += m_canvas.text(k_margin, y, k_width, m_headline.rest, rest(way));
        return y + 5;
    }

private:
    [[nodiscard]] static Type title(double way) { return {.points = 12 - 4 * way}; }
    [[nodiscard]] static Type head(double way) { return {.points = 34 - 20 * way, .weight = Weight::bold, .leading = 0.9}; }
    [[nodiscard]] static Type rest(double way) { return {.points = 13 - 5 * way}; }
    double high(const std::string& text, const Type& type) { return text.empty() ? 0 : m_canvas.extent(text, type, k_width).height; }

    Canvas& m_canvas;
    std::string m_title;
    Headline m_headline;
};

/// A caption stands in four lines or in small type.
Type caption_type(Canvas& canvas, const std::string& caption) {
    constexpr double k_most = 13, k_least = 6.5;
    Type type{.points = 9};
    while (type.points > k_least && canvas.extent(caption, type, k_width).height > k_most) type.points -= 0.5;
    return type;
}

double caption_height(Canvas& canvas, const std::string& caption) {
    return canvas.extent(caption, caption_type(canvas, caption), k_width).height;
}

void foot(Canvas& canvas, const VerdictFiles& files, const core::Words& words, double bottom) {
    const VerdictPage& page = files.page;
    const judge::JudgedRound& round = page.outcome.at_close.rounds.front();
    const std::string n = words.text("report.card.n", {{"tasters", static_cast<std::int64_t>(round.findings.pooled.number("tasters").value_or(0))},
                                                       {"answers", std::int64_t{round.tally.counted}}});
    canvas.line(k_margin, bottom - k_rule_up, k_mm - k_margin, bottom - k_rule_up, 0.5);
    canvas.fitted(k_margin, bottom - 10, k_width, n + (files.date.empty() ? "" : " · " + files.date), {.points = 11, .weight = Weight::bold});
    canvas.fitted(k_margin, bottom - 4.6, k_width, page.made_up ? words.text("verdict_page.made_up") : words.text("report.card.foot", {{"name", tasting::two_words(page.state.id)}}), {.points = 8});
}

}   // namespace

core::Result<std::string> verdict_card(const VerdictFiles& files, const core::Words& words) {
    auto canvas = Canvas::open_image(k_wide, k_high, k_mm);
    if (!canvas) return canvas.faults();
    const VerdictPage& page = files.page;
    const double bottom = canvas->size().height - k_margin;
    const double room = bottom - k_rule_up - k_clear - k_margin - k_gaps;   // of words, picture and caption
    Said said(*canvas, page.state.plan.title, headline_of(page.outcome.at_close.rounds.front(), words));
    const double scale = k_width / Picture{}.width;   // a picture fills the width
    const auto caption_high = [&](const std::string& caption) { return caption_height(*canvas, caption) / scale; };
    const auto figure = card_figure(page.outcome.at_close, page.state.plan, words, (room - said.height(1)) / scale, caption_high);
    canvas->filled(0, 0, k_mm, 2.4);
    const double caption = figure ? caption_height(*canvas, figure->caption) : 0, picture = figure ? figure->picture.height * scale : 0;
    const double way = said.way_into(room - caption - picture);
    double y = said.draw(way);
    if (figure) {
        const double left = std::max(0.0, room - said.height(way) - caption);   // less than the picture's height only where no words are small enough
        y += draw_picture(*canvas, k_margin, y, k_width * std::min(1.0, left / picture), figure->picture) + 2;
        canvas->text(k_margin, y, k_width, figure->caption, caption_type(*canvas, figure->caption));
    }
    foot(*canvas, files, words, bottom);
    return canvas->finish();
}

}   // namespace oddplate::report
