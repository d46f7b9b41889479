// One mark an answer, so that nobody has to trust a bar: ringed ones first, then the rest; the line of luck stands where guessing would end.

#include "marks.hpp"

#include <algorithm>
#include <cmath>

namespace oddplate::report {
namespace {

constexpr std::int64_t k_most_rings = 400;
constexpr double k_row_gap = 2.5;

void disc(Canvas& canvas, double x, double y, double radius) {
    cairo_arc(canvas.pen(), x, y, radius, 0, 2 * M_PI);
    cairo_fill(canvas.pen());
}

double draw_bar(Canvas& canvas, double x, double y, double width, const methods::Marks& marks) {
    constexpr double k_height = 7;
    const double n = static_cast<double>(marks.of);
    canvas.frame(x, y + 2, width, k_height, 0.35);
    canvas.filled(x, y + 2, width * static_cast<double>(marks.ringed) / n, k_height);
    const double luck = x + width * marks.luck / n;
    canvas.line(luck, y, luck, y + k_height + 4, 0.8);
    return k_height + 4;
}

}   // namespace

double draw_marks(Canvas& canvas, double x, double y, double width, const methods::Marks& marks) {
    if (marks.of <= 0) return 0;
    if (marks.of > k_most_rings) return draw_bar(canvas, x, y, width, marks);
    const auto n = static_cast<int>(marks.of);
    const int rows = n <= 30 ? 1 : (n + 39) / 40;
    const int across = (n + rows - 1) / rows;
    const double pitch = std::min(6.5, width / across);
    const double radius = pitch * 0.38;
    for (int i = 0; i < n; ++i) {
        const double cx = x + pitch * (i % across + 0.5), cy = y + 2 + (pitch + k_row_gap) * (i / across) + pitch / 2;
        canvas.ellipse(cx, cy, radius, radius, 0.35);
        if (i < marks.ringed) disc(canvas, cx, cy, radius * 0.72);
    }
    // The line stands in the row in which luck would end, after as many rings as luck gives.
    const int row = std::min(rows - 1, static_cast<int>(marks.luck / across));
    const double luck_x = x + pitch * (marks.luck - row * across);
    const double row_y = y + 2 + (pitch + k_row_gap) * row;
    canvas.line(luck_x, row_y - 2, luck_x, row_y + pitch + 2, 0.9);
    return 4 + (pitch + k_row_gap) * rows;
}

}   // namespace oddplate::report
