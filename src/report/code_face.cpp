// Codes are read at arm's length in half light, from wet cups that lie about in any direction. The font gives an open 6 and 9 and
// a flagged 1; the stroke through the 7 is drawn over it, so that the text layer keeps the plain digit.
#include "code_face.hpp"

#include <algorithm>
#include <cmath>
#include <qrcodegen/qrcodegen.hpp>
#include <utility>

namespace oddplate::report {
namespace {

constexpr double k_gap = 0.16;   // between digits and bar, in digit heights
constexpr double k_bar = 0.09;   // thickness of the bar

/// The font size whose 7 (flat above and below) is this high.
Type type_of_height(Canvas& canvas, double digit_height) {
    return {.points = digit_height / canvas.ink_height_a_point("7", Weight::bold), .weight = Weight::bold};
}

void cross_sevens(Canvas& canvas, double x, double y, const std::string& code, const Type& type, double digit_height) {
    for (std::size_t i = 0; i < code.size(); ++i) {
        if (code[i] != '7') continue;
        const auto [left, width] = canvas.letter_at(code, type, static_cast<int>(i));
        const double middle = y + digit_height * 0.53;
        canvas.line(x + left + width * 0.2, middle, x + left + width * 0.82, middle, digit_height * 0.1);
    }
}

}   // namespace

double code_width(Canvas& canvas, const std::string& code, double digit_height) {
    return canvas.extent(code, type_of_height(canvas, digit_height)).width;
}

double code_block_height(double digit_height) {
    return digit_height * (1 + k_gap + k_bar);
}

double code_height_that_fits(Canvas& canvas, const std::string& code, double wanted, double width, double height) {
    const double by_width = width / code_width(canvas, code, 1);
    return std::min({wanted, by_width, height / code_block_height(1)});
}

void draw_code(Canvas& canvas, double x, double y, const std::string& code, double digit_height) {
    const Type type = type_of_height(canvas, digit_height);
    const double width = canvas.extent(code, type).width;
    const double left = x - width / 2;
    canvas.text_on_baseline(left, y + digit_height, code, type);
    cross_sevens(canvas, left, y, code, type, digit_height);
    canvas.filled(left, y + digit_height * (1 + k_gap), width, digit_height * k_bar);
}

void draw_qr(Canvas& canvas, double x, double y, double side, const std::string& payload) {
    constexpr int k_quiet = 4;
    constexpr int k_mask =
        2;   // any of the eight is a valid code; trying them all for the prettiest takes longer than the rest of the slip
    const auto segments = qrcodegen::QrSegment::makeSegments(payload.c_str());
    const auto code = qrcodegen::QrCode::encodeSegments(segments, qrcodegen::QrCode::Ecc::MEDIUM, 1, 40, k_mask);
    const int modules = code.getSize();
    // Whole quarters of a point: half of the time of a stack of slips was the printing of long decimals.
    const double quarter = 0.25 / k_points_a_mm;
    const double module = std::floor(side / (modules + 2 * k_quiet) / quarter) * quarter;
    x = std::round(x / quarter) * quarter;
    y = std::round(y / quarter) * quarter;
    x += module * k_quiet;
    y += module * k_quiet;
    for (const auto& [column, row] : {std::pair{0, 0}, std::pair{modules - 7, 0}, std::pair{0, modules - 7}}) {
        canvas.frame(x + module * column + module / 2, y + module * row + module / 2, module * 6, module * 6, module);
        canvas.filled(x + module * (column + 2), y + module * (row + 2), module * 3, module * 3);
    }
    const auto dark = [&](int column, int row) {
        const bool in_a_finder = (row < 7 && (column < 7 || column >= modules - 7)) || (row >= modules - 7 && column < 7);
        return !in_a_finder && code.getModule(column, row);
    };
    cairo_t* pen = canvas.pen();
    for (int row = 0; row < modules; ++row) {
        const double middle = y + module * row + module / 2;
        for (int column = 0; column < modules; ++column) {
            const int from = column;   // a run of dark modules is one stroke: no hair lines between them
            while (column < modules && dark(column, row)) ++column;
            if (column == from) continue;
            cairo_move_to(pen, x + module * from, middle);
            cairo_line_to(pen, x + module * column, middle);
        }
    }
    cairo_set_line_width(pen, module);
    cairo_stroke(pen);
}

}   // namespace oddplate::report
