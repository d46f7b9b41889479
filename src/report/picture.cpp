// SVG is written here and not by the drawing library, whose SVG turns letters into outlines: text that is text can be selected, searched and read aloud.
// Test: end_to_end.report

#include "picture.hpp"

#include <fmt/format.h>

namespace oddplate::report {
namespace {

/// A length: enough digits for a printer, the same text for the same number everywhere.
std::string mm(double length) {
    std::string text = fmt::format("{:.2f}", length + 0.0);
    while (text.back() == '0') text.pop_back();
    if (text.back() == '.') text.pop_back();
    return text == "-0" ? "0" : text;
}

constexpr double k_mm_a_point = 1 / k_points_a_mm;

std::string anchor(Align align) {
    return align == Align::left ? "start" : align == Align::centre ? "middle" : "end";
}

std::string element(const Shape& shape) {
    const auto stroked = [&] { return fmt::format(" stroke=\"currentColor\" stroke-width=\"{}\" fill=\"none\"", mm(shape.width)); };
    switch (shape.stroke) {
        case Stroke::line:
        case Stroke::dashes:
            return fmt::format("<line x1=\"{}\" y1=\"{}\" x2=\"{}\" y2=\"{}\"{}{}/>", mm(shape.x), mm(shape.y), mm(shape.to_x), mm(shape.to_y), stroked(),
                               shape.stroke == Stroke::dashes ? " stroke-dasharray=\"1.2 1.2\"" : "");
        case Stroke::ring: return fmt::format("<circle cx=\"{}\" cy=\"{}\" r=\"{}\"{}/>", mm(shape.x), mm(shape.y), mm(shape.to_x), stroked());
        case Stroke::disc: return fmt::format("<circle cx=\"{}\" cy=\"{}\" r=\"{}\" fill=\"currentColor\"/>", mm(shape.x), mm(shape.y), mm(shape.to_x));
        case Stroke::frame:
            return fmt::format("<rect x=\"{}\" y=\"{}\" width=\"{}\" height=\"{}\"{}/>", mm(shape.x), mm(shape.y), mm(shape.to_x), mm(shape.to_y), stroked());
        case Stroke::bar:
            return fmt::format("<rect x=\"{}\" y=\"{}\" width=\"{}\" height=\"{}\" fill=\"currentColor\"/>", mm(shape.x), mm(shape.y), mm(shape.to_x), mm(shape.to_y));
        case Stroke::text: {
            const double size = shape.type.points * k_mm_a_point;
            return fmt::format("<text x=\"{}\" y=\"{}\" font-size=\"{}\" text-anchor=\"{}\"{} fill=\"currentColor\">{}</text>", mm(shape.x), mm(shape.y + size * 1.05), mm(size),
                               anchor(shape.type.align), shape.type.weight == Weight::bold ? " font-weight=\"700\"" : "", escaped(shape.words));
        }
    }
    return {};
}

}   // namespace

std::string svg_of(const Picture& picture, const std::string& title, const std::string& description) {
    std::string out = fmt::format("<svg xmlns=\"http://www.w3.org/2000/svg\" viewBox=\"0 0 {} {}\" role=\"img\" font-family=\"system-ui, sans-serif\">\n<title>{}</title>\n<desc>{}</desc>\n",
                                  mm(picture.width), mm(picture.height), escaped(title), escaped(description));
    for (const Shape& shape : picture.shapes) out += element(shape) + "\n";
    return out + "</svg>\n";
}

double draw_picture(Canvas& canvas, double x, double y, double width, const Picture& picture) {
    const double scale = width / picture.width;
    const auto fill_circle = [&](const Shape& shape) {
        cairo_new_sub_path(canvas.pen());
        cairo_arc(canvas.pen(), x + shape.x * scale, y + shape.y * scale, shape.to_x * scale, 0, 6.283185307179586);
        cairo_fill(canvas.pen());
    };
    for (const Shape& shape : picture.shapes) {
        const double left = x + shape.x * scale, top = y + shape.y * scale;
        switch (shape.stroke) {
            case Stroke::line: canvas.line(left, top, x + shape.to_x * scale, y + shape.to_y * scale, shape.width * scale); break;
            case Stroke::dashes: canvas.dashes(left, top, x + shape.to_x * scale, y + shape.to_y * scale, shape.width * scale); break;
            case Stroke::ring: canvas.ellipse(left, top, shape.to_x * scale, shape.to_x * scale, shape.width * scale); break;
            case Stroke::disc: fill_circle(shape); break;
            case Stroke::frame: canvas.frame(left, top, shape.to_x * scale, shape.to_y * scale, shape.width * scale); break;
            case Stroke::bar: canvas.filled(left, top, shape.to_x * scale, shape.to_y * scale); break;
            case Stroke::text: {
                Type type = shape.type;
                type.points *= scale;
                canvas.line_of_text(left, top, shape.words, type);
                break;
            }
        }
    }
    return picture.height * scale;
}

}   // namespace oddplate::report
