// The face of every kitchen page: what it is, whose it is, and that it does not belong into the room. With the key open, an edge
// so thick that a page lying in the wrong place is seen from the door.
#include <algorithm>

#include "code_face.hpp"
#include "kitchen.hpp"

namespace oddplate::report {
namespace {

constexpr double k_edge = 5;   // mm of black
constexpr double k_qr = 19;

void black_edge(Canvas& canvas) {
    const Size page = canvas.size();
    const double in = 5 + k_edge / 2;   // printers leave about 4 mm white
    canvas.frame(in, in, page.width - 2 * in, page.height - 2 * in, k_edge);
}

/// Of an evening that names its lot of meat.
std::string lot_of(const RoomPapers& papers, const Voice& voice) {
    const auto& evenings = papers.plan.evenings;
    return evenings.empty() || evenings.front().lot.empty() ? std::string() : " · " + voice.say("run.lot", {{"lot", evenings.front().lot}});
}

}   // namespace

void Sheet::open(const std::string& title) {
    m_title = title;
    face(false);
}

bool Sheet::keep(double height) {
    if (y + height <= bottom()) return false;
    face(true);
    return true;
}

void Sheet::face(bool follows) {
    const RoomPapers& papers = m_kitchen.papers.room;
    m_canvas.page(landscape(papers.size));
    ++m_page;
    if (!m_kitchen.papers.blind_tubs) black_edge(m_canvas);
    m_canvas.stamp("face", [&] { draw_qr(m_canvas, right() - k_qr + 1, 10.2, k_qr, whole_seal(papers)); });
    const double text_right = right() - k_qr - 3;
    const std::string title = follows ? voice().say("continued", {{"title", m_title}}) : m_title;
    m_canvas.fitted(left(), 13, width() * 0.62, title, {.points = 24, .weight = Weight::bold});
    m_canvas.line_of_text(text_right, 13.5, headline(papers) + lot_of(papers, voice()), {.points = 13, .weight = Weight::bold, .align = Align::right});
    m_canvas.line_of_text(text_right, 20, voice().say("not_for_the_room"),
                          {.points = 13, .weight = Weight::bold, .align = Align::right});
    m_canvas.line(left(), 27, text_right, 27, 0.5);
    const double foot = m_canvas.size().height - 17;
    m_canvas.line_of_text(left(), foot, seal_line(papers, voice()), {.points = 8});
    m_canvas.line_of_text(right(), foot, voice().say("kitchen_page", {{"n", std::to_string(m_page)}}),
                          {.points = 8, .align = Align::right});
    y = 28.5;
}

void Sheet::heading(const std::string& text, const std::string& note) {
    const Type type{.points = 16, .weight = Weight::bold};
    const Size size = m_canvas.extent(text, type);
    m_canvas.line_of_text(left(), y, text, type);
    if (!note.empty()) m_canvas.fitted(left() + size.width + 4, y + 1.2, width() - size.width - 4, note, {.points = 12});
    y += size.height + 0.8;
}

Type Sheet::tag_type(Weight weight, double width) {
    constexpr double k_smallest = 8.4;   // then the longest are cut
    Type type{.points = 12, .weight = weight};
    double widest = 0;
    for (const Tub& tub : m_kitchen.tubs) widest = std::max(widest, m_canvas.extent(m_kitchen.short_tag(tub), type).width);
    if (widest > width) type.points = std::max(k_smallest, type.points * width / widest * 0.995);
    return type;
}

}   // namespace oddplate::report
