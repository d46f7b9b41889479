#pragma once
// How a code looks: digits of a stated height, a bar under them, the 7 crossed.

#include <string>

#include "canvas.hpp"

namespace oddplate::report {

/// Width of a code whose digits are `digit_height` mm high.
[[nodiscard]] double code_width(Canvas& canvas, const std::string& code, double digit_height);
/// The greatest digit height, at most `wanted`, at which the code fits into `width` x `height` with its bar.
[[nodiscard]] double code_height_that_fits(Canvas& canvas, const std::string& code, double wanted, double width, double height);
/// Height of digits, gap and bar together.
[[nodiscard]] double code_block_height(double digit_height);

/// Centred on x, the digits' top at y. The bar under the code tells which way is up: 168 and 891 would else be one another.
/// The text layer holds the plain digits.
void draw_code(Canvas& canvas, double x, double y, const std::string& code, double digit_height);

/// A QR code as vectors, `side` mm wide with its quiet zone of four modules. Level M.
void draw_qr(Canvas& canvas, double x, double y, double side, const std::string& payload);

}   // namespace oddplate::report
