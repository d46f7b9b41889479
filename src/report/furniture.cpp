// The small parts that all pages share.
#include "furniture.hpp"

#include "oddplate/core/bytes.hpp"

namespace oddplate::report {

std::string headline(const RoomPapers& papers) {
    return papers.date.empty() ? papers.name : papers.name + " · " + papers.date;
}

std::string seal_line(const RoomPapers& papers, const Voice& voice) {
    std::string log = core::printed_seal(papers.log_head);
    log = log.substr(0, 9);   // two groups of four: enough to find the row, and nothing rests on it alone
    return voice.say("seal_line", {{"seal", core::printed_seal(papers.seal)}, {"log", log}});
}

std::string whole_seal(const RoomPapers& papers) {
    std::string seal = papers.seal;
    for (char& c : seal) c = c >= 'a' && c <= 'f' ? static_cast<char>(c - 'a' + 'A') : c;
    return seal;
}

void Column::text(const std::string& text, const Type& type) {
    if (text.empty()) return;
    if (draws_words()) canvas.text(x, y, width, text, type);
    y += canvas.extent(text, type, width).height;
}

void Column::gap(double mm) {
    gaps += mm;
    y += mm * stretch;
}

void Column::writing_lines(int lines, double distance) {
    for (int i = 0; i < lines; ++i) {
        y += distance;
        if (draws_words()) canvas.line(x, y, x + width, y, 0.15);
    }
}

void blank_after(Canvas& canvas, double x, double y, double right, const std::string& label, const Type& type) {
    const Size size = canvas.extent(label, type);
    canvas.line_of_text(x, y, label, {.points = type.points, .weight = type.weight});
    const double foot = y + size.height * 0.86;
    if (x + size.width + 2 < right) canvas.line(x + size.width + 1.5, foot, right, foot, 0.15);
}

}   // namespace oddplate::report
