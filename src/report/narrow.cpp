// What is beside becomes what is below: names keep their size and get a line of their own, marks keep their proportions in the whole width.

#include "narrow.hpp"

#include <algorithm>

namespace oddplate::report {
namespace {

constexpr double k_width = 84, k_margin = 4, k_edge = 1;
constexpr double k_names_end = 30;            // marks that begin before leave no column of names
constexpr double k_indent = 4;                // a name below a heading
constexpr double k_above = 1.5;               // a row's marks begin at most so far above its name
constexpr double k_raised = 1;                 // a name above its place, away from its marks
constexpr double k_tick = 3;                  // the longest of an axis
constexpr double k_rules_end = 10;             // lines at the left that join rows
constexpr double k_letter = 0.21, k_line = 0.52;   // width of a letter and height of a line of one point, in mm

bool is_name(const Shape& shape) { return shape.stroke == Stroke::text && shape.x <= k_indent && shape.type.align == Align::left; }

double letters(const Shape& shape) {
    return k_letter * shape.type.points * static_cast<double>(std::count_if(shape.words.begin(), shape.words.end(), [](char c) { return (static_cast<unsigned char>(c) & 0xC0) != 0x80; }));
}

/// From where to where a shape reaches; of a text only where it is fastened, since its letters don't shrink.
std::pair<double, double> reach(const Shape& shape) {
    switch (shape.stroke) {
        case Stroke::line:
        case Stroke::dashes: return {std::min(shape.x, shape.to_x), std::max(shape.x, shape.to_x)};
        case Stroke::ring:
        case Stroke::disc: return {shape.x - shape.to_x, shape.x + shape.to_x};
        case Stroke::frame:
        case Stroke::bar: return {shape.x, shape.x + shape.to_x};
        case Stroke::text: break;
    }
    return {shape.x, shape.x};
}

/// How far its letters run on to the right.
double run_on(const Shape& shape) {
    if (shape.stroke != Stroke::text || shape.type.align == Align::right) return 0;
    return shape.type.align == Align::centre ? letters(shape) / 2 : letters(shape);
}

/// A line from top to bottom, as one that joins rows or stands for nothing.
bool is_upright(const Shape& shape) { return shape.stroke == Stroke::line && shape.x == shape.to_x; }

/// An upright line without the parts where a name stands on it.
void put_between_names(Picture& picture, Shape line, const std::vector<Shape>& names) {
    for (const Shape& name : names) {
        const double end = name.y + k_line * name.type.points;
        if (line.x < name.x || line.x > name.x + letters(name) || end <= line.y || name.y >= line.to_y) continue;
        if (name.y > line.y) {
            Shape part = line;
            part.to_y = name.y;
            picture.shapes.push_back(part);
        }
        line.y = end;
    }
    if (line.y < line.to_y) picture.shapes.push_back(line);
}

}   // namespace

std::optional<Picture> narrowed(const Picture& picture) {
    double left = picture.width, rules_end = 0;
    bool has_names = false;
    for (const Shape& shape : picture.shapes) {
        if (is_name(shape)) has_names = true;
        else left = std::min(left, reach(shape).first);
    }
    if (!has_names || left < k_names_end) return std::nullopt;

    double factor = 1;
    for (const Shape& shape : picture.shapes)
        if (const double beyond = reach(shape).second - left; !is_name(shape) && beyond > 0) factor = std::min(factor, (k_width - k_margin - std::max(run_on(shape), k_edge)) / beyond);
    const auto across = [&](double x) { return k_margin + factor * (x - left); };
    const auto down = [&](double y) {   // by the names at it and above
        double shift = 0;
        for (const Shape& name : picture.shapes)
            if (is_name(name) && name.y - k_above <= y) shift += k_line * name.type.points;
        return y + shift;
    };
    for (const Shape& shape : picture.shapes)   // beside the names, as in the roomy picture
        if (is_upright(shape) && shape.to_y - shape.y > k_tick && across(shape.x) < k_rules_end) rules_end = std::max(rules_end, across(shape.x) + shape.width);

    std::vector<Shape> names;
    for (Shape shape : picture.shapes) {
        if (!is_name(shape)) continue;
        shape.y = down(shape.y) - k_line * shape.type.points - k_raised;
        shape.x += rules_end > 0 ? rules_end + 0.5 : 0;
        names.push_back(std::move(shape));
    }
    Picture narrow{.width = k_width, .height = down(picture.height), .shapes = names};
    for (Shape shape : picture.shapes) {
        if (is_name(shape)) continue;
        const bool is_line = shape.stroke == Stroke::line || shape.stroke == Stroke::dashes, upright = is_upright(shape);
        shape.x = across(shape.x);
        shape.y = down(shape.y);
        if (is_line) shape.to_y = down(shape.to_y);
        shape.to_x = is_line ? across(shape.to_x) : shape.to_x * factor;
        if (upright) put_between_names(narrow, std::move(shape), names);
        else narrow.shapes.push_back(std::move(shape));
    }
    return narrow;
}

}   // namespace oddplate::report
