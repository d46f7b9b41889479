// Text on the canvas. A layout is shaped once and kept: the same line stands on hundreds of slips.
#include <algorithm>
#include <cmath>

#include "canvas.hpp"

namespace oddplate::report {
namespace {

constexpr std::size_t k_most_layouts = 4096;   // then the store begins anew, so that a thousand slips don't fill the memory

/// Millimetres as Pango counts them, and back.
int units(double mm) {
    return static_cast<int>(std::lround(mm * k_points_a_mm * PANGO_SCALE));
}
double millimetres(int pango_units) {
    return pango_units / (k_points_a_mm * PANGO_SCALE);
}

std::string key_of(const std::string& text, const Type& type, double width) {
    return std::to_string(units(width)) + '/' + std::to_string(std::lround(type.points * 1000)) + '/' +
           std::to_string(static_cast<int>(type.weight)) + std::to_string(static_cast<int>(type.align)) + '/' +
           std::to_string(std::lround(type.leading * 1000)) + '/' + text;
}

PangoFontDescription* description(double points, Weight weight) {
    PangoFontDescription* font = pango_font_description_new();
    const std::string families = std::string(k_family) + "," + k_other_letters;
    pango_font_description_set_family(font, families.c_str());
    pango_font_description_set_weight(font, weight == Weight::bold ? PANGO_WEIGHT_BOLD : PANGO_WEIGHT_NORMAL);
    pango_font_description_set_size(font, static_cast<int>(std::lround(points * PANGO_SCALE)));
    return font;
}

PangoAlignment alignment(Align align) {
    if (align == Align::left) return PANGO_ALIGN_LEFT;
    return align == Align::centre ? PANGO_ALIGN_CENTER : PANGO_ALIGN_RIGHT;
}

}   // namespace

PangoLayout* Canvas::layout(const std::string& text, const Type& type, double width) {
    const std::string key = key_of(text, type, width);
    if (const auto kept = m_layouts.find(key); kept != m_layouts.end()) return kept->second.get();
    if (m_layouts.size() >= k_most_layouts) m_layouts.clear();
    Owned<PangoLayout> made(pango_layout_new(m_context.get()));
    PangoFontDescription* font = description(type.points, type.weight);
    pango_layout_set_font_description(made.get(), font);
    pango_font_description_free(font);
    pango_layout_set_text(made.get(), text.c_str(), static_cast<int>(text.size()));
    pango_layout_set_alignment(made.get(), alignment(type.align));
    pango_layout_set_line_spacing(made.get(), static_cast<float>(type.leading));
    if (width > 0) {
        pango_layout_set_width(made.get(), units(width));
        pango_layout_set_wrap(made.get(), PANGO_WRAP_WORD_CHAR);
    }
    PangoLayout* shaped = made.get();
    m_layouts.emplace(key, std::move(made));
    return shaped;
}

void Canvas::show(PangoLayout* layout, double x, double y) {
    cairo_save(pen());
    cairo_translate(pen(), x, y);
    cairo_scale(pen(), 1 / k_points_a_mm, 1 / k_points_a_mm);   // Pango draws in points
    cairo_move_to(pen(), 0, 0);
    pango_cairo_show_layout(pen(), layout);
    cairo_restore(pen());
}

Size Canvas::extent(const std::string& text, const Type& type, double width) {
    int w = 0, h = 0;
    pango_layout_get_size(layout(text, type, width), &w, &h);
    return {millimetres(w), millimetres(h)};
}

double Canvas::text(double x, double y, double width, const std::string& text, const Type& type) {
    show(layout(text, type, width), x, y);
    return extent(text, type, width).height;
}

double Canvas::line_of_text(double x, double y, const std::string& text, const Type& type) {
    const Size size = extent(text, type);
    const double back = type.align == Align::left ? 0 : type.align == Align::right ? size.width : size.width / 2;
    show(layout(text, type, 0), x - back, y);
    return size.height;
}

double Canvas::fitted(double x, double y, double width, const std::string& text, const Type& type) {
    Type fit = type;
    const Size full = extent(text, type);
    if (full.width > width) fit.points = std::max(type.points * 0.7, type.points * width / full.width * 0.995);
    const Size size = extent(text, fit);
    const double down = (full.height - size.height) / 2;
    const double shift = type.align == Align::left ? 0 : type.align == Align::right ? width : width / 2;
    if (size.width <= width) {
        line_of_text(x + shift, y + down, text, fit);
    } else {
        const Owned<PangoLayout> cut(pango_layout_copy(layout(text, fit, 0)));
        pango_layout_set_width(cut.get(), units(width));
        pango_layout_set_ellipsize(cut.get(), PANGO_ELLIPSIZE_END);
        show(cut.get(), x, y + down);
    }
    return full.height;
}

void Canvas::text_on_baseline(double x, double y, const std::string& text, const Type& type) {
    PangoLayout* shaped = layout(text, type, 0);
    show(shaped, x, y - millimetres(pango_layout_get_baseline(shaped)));
}

std::pair<double, double> Canvas::letter_at(const std::string& text, const Type& type, int index) {
    PangoRectangle place{};
    pango_layout_index_to_pos(layout(text, type, 0), index, &place);
    return {millimetres(place.x), millimetres(place.width)};
}

double Canvas::ink_height_a_point(const std::string& text, Weight weight) {
    constexpr double k_points = 100;
    PangoRectangle ink{};
    pango_layout_get_extents(layout(text, {.points = k_points, .weight = weight}, 0), &ink, nullptr);
    return millimetres(ink.height) / k_points;
}

}   // namespace oddplate::report
