#pragma once
// The picture of a count: a row of rings, some filled, and the line of luck.

#include "canvas.hpp"
#include "oddplate/methods/findings.hpp"

namespace oddplate::report {

/// Draws the rings into `width` mm from (x, y), in rows where one is not enough; answers the height used. Above 400 answers a bar stands for them.
double draw_marks(Canvas& canvas, double x, double y, double width, const methods::Marks& marks);

}   // namespace oddplate::report
