// One page to pin up, then the detail. It renders findings and knows no method's keys.

#include "oddplate/report/verdict_page.hpp"

#include <algorithm>

#include "acts.hpp"
#include "canvas.hpp"
#include "figures.hpp"
#include "further.hpp"
#include "marks.hpp"
#include "list_tables.hpp"
#include "number_rows.hpp"
#include "oddplate/core/bytes.hpp"
#include "oddplate/report/results.hpp"
#include "oddplate/tasting/names.hpp"
#include "verdict_parts.hpp"

namespace oddplate::report {
namespace {

constexpr double k_margin = 18;
constexpr double k_foot = 16;

/// Text and pictures running down pages, with the same foot on each.
class Flow {
public:
    Flow(Canvas& canvas, const VerdictPage& page, const core::Words& words) : m_canvas(canvas), m_page(page), m_words(words) { turn(); }

    [[nodiscard]] double width() const { return m_canvas.size().width - 2 * k_margin; }
    [[nodiscard]] double picture_width() const { return std::min(150.0, width()); }
    [[nodiscard]] Canvas& canvas() { return m_canvas; }

    void turn() {
        m_canvas.page(portrait(m_page.size));
        m_y = k_margin;
        const std::string foot = m_words.text("verdict_page.foot", {{"name", tasting::two_words(m_page.state.id)},
                                                                    {"seal", core::printed_seal(m_page.state.draw().fingerprint)}});
        m_canvas.line_of_text(k_margin, m_canvas.size().height - k_foot + 4, foot, {.points = 8});
        if (m_page.made_up) {
            m_canvas.text(k_margin, m_y, width(), m_words.text("verdict_page.made_up"), {.points = 9, .weight = Weight::bold});
            m_y += 7;
        }
    }

    [[nodiscard]] double left() const { return m_canvas.size().height - k_foot - m_y; }
    void need(double height) {
        if (height > left()) turn();
    }

    void text(const std::string& text, const Type& type, double indent = 0) {
        need(m_canvas.extent(text, type, width() - indent).height);
        m_y += m_canvas.text(k_margin + indent, m_y, width() - indent, text, type) + 1.2;
    }

    void gap(double mm) { m_y += mm; }

    void rule() {
        m_canvas.line(k_margin, m_y, k_margin + width(), m_y, 0.3);
        m_y += 3;
    }

    void marks(const std::string& label, const methods::Marks& marks, const core::Words& words) {
        need(26);
        if (!label.empty()) text(label, {.points = 11, .weight = Weight::bold});
        m_y += draw_marks(m_canvas, k_margin, m_y, width(), marks) + 1;
        text(words.text(marks.caption, {{"k", marks.ringed}, {"n", marks.of}, {"luck", marks.luck}}), {.points = 9});
        m_y += 1.5;
    }

    /// With the picture at `scale` of its usual width.
    [[nodiscard]] double height_of(const Figure& figure, const std::string& over, double scale = 1) {
        const auto high = [&](const std::string& text, const Type& type) { return text.empty() ? 0 : m_canvas.extent(text, type, width()).height + 1.2; };
        return high(over, {.points = 9}) + high(figure.title, {.points = 11, .weight = Weight::bold}) + figure.picture.height * scale * picture_width() / figure.picture.width + 1 +
               high(figure.caption, {.points = 9});
    }

    /// `over`: a line above it that may not stay behind on another page; may be empty.
    void figure(const Figure& figure, const std::string& over, double scale = 1) {
        need(height_of(figure, over, scale));
        if (!over.empty()) text(over, {.points = 9});
        text(figure.title, {.points = 11, .weight = Weight::bold});
        m_y += draw_picture(m_canvas, k_margin, m_y, scale * picture_width(), figure.picture) + 1;
        text(figure.caption, {.points = 9});
        m_y += 4;
    }

    void row(const NumberRow& row) {
        const Type type{.points = 8.5};
        const double left = width() * 0.36;
        const double height = std::max(m_canvas.extent(row.label, type, left - 2).height, m_canvas.extent(row.value, type, width() - left).height);
        need(height);
        m_canvas.text(k_margin, m_y, left - 2, row.label, type);
        m_canvas.text(k_margin + left, m_y, width() - left, row.value, type);
        m_y += height + 0.8;
    }

    /// Columns as wide as their widest cell; what is wider than the page goes below, its rows named again.
    void table(const ListTable& table, const core::Words& words) {
        const Type type{.points = 8};
        constexpr double k_between = 3.5, k_row = 3.9;
        need(4 * k_row + 4);
        text(table.label, {.points = 8.5, .weight = Weight::bold});
        std::vector<double> widths;
        for (const auto& column : table.columns) {
            double width = 0;
            for (const std::string& cell : column) width = std::max(width, m_canvas.extent(cell, type).width);
            widths.push_back(width + k_between);
        }
        const auto line = [&](const std::vector<std::size_t>& piece, std::size_t row) {
            double x = k_margin;
            for (const std::size_t j : piece) {
                if (table.is_number[j]) m_canvas.line_of_text(x + widths[j] - k_between, m_y, table.columns[j][row], {.points = 8, .align = Align::right});
                else m_canvas.line_of_text(x, m_y, table.columns[j][row], type);
                x += widths[j];
            }
            m_y += k_row;
            if (row > 0) return;
            m_canvas.line(k_margin, m_y - 0.2, std::min(x - k_between, k_margin + width()), m_y - 0.2, 0.15);
            m_y += 0.5;
        };
        for (const std::vector<std::size_t>& piece : pieces_of(table, widths, width() + k_between)) {
            need(3 * k_row);
            line(piece, 0);
            for (std::size_t row = 1; row < table.rows(); ++row) {
                const double before = m_y;
                need(k_row);
                if (m_y < before) line(piece, 0);   // a new page: its columns are named again
                line(piece, row);
            }
            m_y += 1.5;
        }
        if (table.left_out > 0) text(words.text("results.list_more", {{"n", static_cast<std::int64_t>(table.left_out)}}), type);
        m_y += 1;
    }

    void findings(const methods::Findings& findings, const core::Words& words) {
        for (const auto& number : field_rows(findings, words)) row(number);
        for (const ListTable& list : list_tables(findings, words)) table(list, words);
    }

private:
    Canvas& m_canvas;
    const VerdictPage& m_page;
    const core::Words& m_words;
    double m_y{0};
};

void put_marks(Flow& flow, const judge::JudgedRound& round, const core::Words& words) {
    if (round.findings.spots.size() > 1) {
        for (const auto& spot : round.findings.spots)
            if (spot.findings.marks) flow.marks(spot.spot, *spot.findings.marks, words);
    } else if (round.findings.pooled.marks) {
        flow.marks(round.findings.spots.empty() ? "" : round.findings.spots.front().spot, *round.findings.pooled.marks, words);
    }
}

/// The verdict's few words large, what they rest on below.
void put_verdict(Flow& flow, const Headline& headline, bool first) {
    flow.text(headline.head, {.points = first ? 24.0 : 16.0, .weight = Weight::bold});
    if (!headline.rest.empty()) flow.text(headline.rest, {.points = 12, .weight = Weight::bold});
}

void put_round(Flow& flow, const judge::JudgedRound& round, const core::Words& words, bool first) {
    const auto& sentences = round.findings.words;
    if (!first) flow.rule();
    flow.text(words.text("verdict_page.course", {{"n", std::int64_t{round.round + 1}}, {"title", words.text(round.method + ".title")}}), {.points = 9.5});
    if (!sentences.empty()) put_verdict(flow, headline_of(round, words), first);
    flow.gap(2);
    put_marks(flow, round, words);
    for (const core::Sentence& sentence : further_words(round.findings)) flow.text(words.text(sentence), {.points = 10.5});
    flow.gap(2);
    if (round.findings.checks.empty()) return;
    flow.text(words.text("verdict_page.checks"), {.points = 10.5, .weight = Weight::bold});
    for (const auto& check : checks_to_say(round.findings))
        flow.text((check.alarm ? "! " : "· ") + words.text(check.words), {.points = 9.5, .weight = check.alarm ? Weight::bold : Weight::regular}, 3);
    flow.gap(3);
}

void put_conduct(Flow& flow, const VerdictPage& page, const core::Words& words) {
    flow.text(words.text("verdict_page.rest"), {.points = 10.5, .weight = Weight::bold});
    for (const std::string& said : behind_it(page, words)) flow.text(said, {.points = 9.5});
}

/// The largest scale at which the picture stands on what is left of the page; 0 where its words would be too small to read.
double scale_here(Flow& flow, const Figure& figure, const std::string& over) {
    constexpr double k_least = 0.8, k_step = 0.05;
    for (double scale = 1; scale > k_least - k_step / 2; scale -= k_step)
        if (flow.height_of(figure, over, scale) <= flow.left()) return scale;
    return 0;
}

/// The pictures beyond the rings, which stand with the verdict. The first stands below the words where there is room for it: a page pinned up alone has its
/// picture.
void put_figures(Flow& flow, const VerdictPage& page, const core::Words& words) {
    constexpr double k_heading = 10;   // mm that the heading takes
    bool is_first = true, has_heading = false;
    for (const Figure& figure : figures_of(page.outcome.at_close, page.state.plan, words)) {
        if (figure.id.ends_with("-marks")) continue;
        std::string over;
        if (page.outcome.at_close.rounds.size() > 1)
            over = words.text("verdict_page.course", {{"n", std::int64_t{figure.round + 1}}, {"title", words.text(page.outcome.at_close.rounds[static_cast<std::size_t>(figure.round)].method + ".title")}});
        if (is_first) flow.gap(4);
        const double scale = is_first ? scale_here(flow, figure, over) : 0;
        is_first = false;
        if (scale > 0) {
            flow.figure(figure, over, scale);
            continue;
        }
        if (!has_heading) {
            flow.need(k_heading + flow.height_of(figure, over));
            flow.text(words.text("verdict_page.pictures"), {.points = 14, .weight = Weight::bold});
            flow.gap(2);
        }
        has_heading = true;
        flow.figure(figure, over);
    }
}

void put_numbers(Flow& flow, const judge::Judged& judged, const methods::Plan& plan, const core::Words& words) {
    flow.turn();
    flow.text(words.text("verdict_page.numbers"), {.points = 14, .weight = Weight::bold});
    for (const auto& round : judged.rounds) {
        const bool several = round.findings.spots.size() > 1;
        flow.gap(2);
        flow.text(words.text("verdict_page.course", {{"n", std::int64_t{round.round + 1}}, {"title", words.text(round.method + ".title")}}), {.points = 11, .weight = Weight::bold});
        if (several)
            for (const auto& spot : round.findings.spots) {
                flow.need(30);
                flow.text(spot.spot, {.points = 9.5, .weight = Weight::bold});
                flow.findings(spot.findings, words);
                flow.gap(2);
            }
        flow.need(30);
        if (several) flow.text(words.text("results.pooled"), {.points = 9.5, .weight = Weight::bold});
        flow.findings(round.findings.pooled, words);
        if (round.pieces.empty()) continue;
        flow.gap(2);
        flow.need(30);
        flow.text(words.text(piece_caption(round)), {.points = 9.5, .weight = Weight::bold});
        for (const auto& row : piece_rows(round, plan, words)) flow.row(row);
    }
}

void put_acts(Flow& flow, const VerdictPage& page, const core::Words& words) {
    if (page.rows.empty()) return;
    flow.gap(4);
    flow.need(40);
    flow.text(words.text("report.acts"), {.points = 14, .weight = Weight::bold});
    for (const std::string& said : concealment_of(page, words)) flow.text(said, {.points = 9});
    flow.gap(2);
    for (const Act& act : acts_of(page, words)) flow.row({act.at, act.says});
    flow.gap(2);
    flow.text(versions_of(page, words), {.points = 9});
}

}   // namespace

core::Result<std::string> verdict_pdf(const VerdictPage& page, const core::Words& words) {
    auto canvas = Canvas::open(page.state.plan.title);
    if (!canvas) return canvas.faults();
    Flow flow(*canvas, page, words);
    flow.text(page.state.plan.title, {.points = 12});
    flow.gap(1);
    flow.rule();
    for (const auto& round : page.outcome.at_close.rounds) put_round(flow, round, words, round.round == 0);
    put_conduct(flow, page, words);
    put_figures(flow, page, words);
    put_numbers(flow, page.outcome.at_close, page.state.plan, words);
    put_acts(flow, page, words);
    return canvas->finish();
}

}   // namespace oddplate::report
