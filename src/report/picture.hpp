#pragma once
// A picture as a list of strokes, in millimetres, black only: the same one is drawn on paper, into an image and as SVG.

#include <string>
#include <vector>

#include "canvas.hpp"
#include "oddplate/report/markup.hpp"

namespace oddplate::report {

enum class Stroke { line, dashes, ring, disc, frame, bar, text };

struct Shape {
    Stroke stroke{Stroke::line};
    double x{0}, y{0};               ///< a line's beginning, a circle's centre, a box's or a text's top left corner (text: its end or middle, as aligned)
    double to_x{0}, to_y{0};         ///< a line's end; a circle's radius in to_x; a box's width and height
    double width{0.35};              ///< of the line
    std::string words{};
    Type type{.points = 9};
};

struct Picture {
    double width{160}, height{0};
    std::vector<Shape> shapes;

    void line(double x, double y, double to_x, double to_y, double thick = 0.35) { shapes.push_back({Stroke::line, x, y, to_x, to_y, thick}); }
    void dashes(double x, double y, double to_x, double to_y) { shapes.push_back({Stroke::dashes, x, y, to_x, to_y, 0.35}); }
    void ring(double x, double y, double radius) { shapes.push_back({Stroke::ring, x, y, radius, 0, 0.35}); }
    void disc(double x, double y, double radius) { shapes.push_back({Stroke::disc, x, y, radius, 0}); }
    void frame(double x, double y, double w, double h) { shapes.push_back({Stroke::frame, x, y, w, h, 0.35}); }
    void bar(double x, double y, double w, double h) { shapes.push_back({Stroke::bar, x, y, w, h}); }
    void text(double x, double y, std::string words, Type type = {.points = 9}) { shapes.push_back({Stroke::text, x, y, 0, 0, 0, std::move(words), type}); }
};

/// One self-contained element with a title and a description for those who don't see it; real text; the colour of the text around it. Equal pictures give
/// equal bytes.
[[nodiscard]] std::string svg_of(const Picture& picture, const std::string& title, const std::string& description);

/// Draws it with its top left corner at (x, y), `width` mm wide; answers its height there. Text and lines are scaled with it.
double draw_picture(Canvas& canvas, double x, double y, double width, const Picture& picture);

}   // namespace oddplate::report
