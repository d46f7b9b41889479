// The document and its shapes. Cairo draws in points; the pen is scaled once a page, so that everything else is in millimetres.
#include "canvas.hpp"

#include <cmath>

namespace oddplate::report {
namespace {

constexpr double k_pi = 3.14159265358979323846;

cairo_status_t append(void* bytes, const unsigned char* data, unsigned length) {
    static_cast<std::string*>(bytes)->append(reinterpret_cast<const char*>(data), length);
    return CAIRO_STATUS_SUCCESS;
}

/// Outlines as they are: nothing is nudged to the pixels of some screen.
Owned<PangoContext> exact_context(PangoFontMap* fonts) {
    Owned<PangoContext> context(pango_font_map_create_context(fonts));
    cairo_font_options_t* options = cairo_font_options_create();
    cairo_font_options_set_hint_style(options, CAIRO_HINT_STYLE_NONE);
    cairo_font_options_set_hint_metrics(options, CAIRO_HINT_METRICS_OFF);
    pango_cairo_context_set_font_options(context.get(), options);
    cairo_font_options_destroy(options);
    pango_context_set_round_glyph_positions(context.get(), FALSE);
    pango_context_set_language(context.get(), pango_language_from_string("en"));   // not the machine's
    return context;
}

}   // namespace

Size portrait(PaperSize paper) {
    return paper == PaperSize::letter ? Size{215.9, 279.4} : Size{210, 297};
}

Size landscape(PaperSize paper) {
    const Size upright = portrait(paper);
    return {upright.height, upright.width};
}

core::Result<Canvas> Canvas::open(const std::string& title) {
    auto fonts = open_fonts();
    if (!fonts) return fonts.faults();
    Canvas canvas;
    canvas.m_context = exact_context(*fonts);
    canvas.m_bytes = std::make_unique<std::string>();
    canvas.m_surface.reset(cairo_pdf_surface_create_for_stream(append, canvas.m_bytes.get(), 100, 100));
    cairo_surface_t* surface = canvas.m_surface.get();
    cairo_pdf_surface_set_metadata(surface, CAIRO_PDF_METADATA_TITLE, title.c_str());
    cairo_pdf_surface_set_metadata(surface, CAIRO_PDF_METADATA_CREATOR, "oddplate");
    // A fixed date: the paper's date stands on its face, and equal input must give equal bytes.
    cairo_pdf_surface_set_metadata(surface, CAIRO_PDF_METADATA_CREATE_DATE, "2000-01-01T00:00:00Z");
    return canvas;
}

core::Result<Canvas> Canvas::open_image(int pixels_wide, int pixels_high, double mm_wide) {
    auto fonts = open_fonts();
    if (!fonts) return fonts.faults();
    Canvas canvas;
    canvas.m_context = exact_context(*fonts);
    canvas.m_bytes = std::make_unique<std::string>();
    canvas.m_is_image = canvas.m_begun = true;
    canvas.m_surface.reset(cairo_image_surface_create(CAIRO_FORMAT_RGB24, pixels_wide, pixels_high));
    canvas.m_pen.reset(cairo_create(canvas.m_surface.get()));
    cairo_set_source_rgb(canvas.pen(), 1, 1, 1);
    cairo_paint(canvas.pen());
    cairo_set_source_rgb(canvas.pen(), 0, 0, 0);
    const double scale = pixels_wide / mm_wide;
    cairo_scale(canvas.pen(), scale, scale);
    canvas.m_size = {mm_wide, pixels_high / scale};
    return canvas;
}

void Canvas::page(Size size) {
    if (m_begun) cairo_show_page(pen());
    m_begun = true;
    m_pen.reset();
    m_size = size;
    cairo_pdf_surface_set_size(m_surface.get(), size.width * k_points_a_mm, size.height * k_points_a_mm);
    m_pen.reset(cairo_create(m_surface.get()));
    cairo_scale(pen(), k_points_a_mm, k_points_a_mm);
}

void Canvas::line(double x1, double y1, double x2, double y2, double width) {
    cairo_set_line_width(pen(), width);
    cairo_move_to(pen(), x1, y1);
    cairo_line_to(pen(), x2, y2);
    cairo_stroke(pen());
}

void Canvas::dashes(double x1, double y1, double x2, double y2, double width) {
    const double lengths[] = {1.2, 1.2};
    cairo_set_dash(pen(), lengths, 2, 0);
    line(x1, y1, x2, y2, width);
    cairo_set_dash(pen(), nullptr, 0, 0);
}

void Canvas::frame(double x, double y, double width, double height, double line_width, double radius) {
    cairo_set_line_width(pen(), line_width);
    if (radius <= 0) {
        cairo_rectangle(pen(), x, y, width, height);
    } else {
        cairo_new_sub_path(pen());
        cairo_arc(pen(), x + width - radius, y + radius, radius, -k_pi / 2, 0);
        cairo_arc(pen(), x + width - radius, y + height - radius, radius, 0, k_pi / 2);
        cairo_arc(pen(), x + radius, y + height - radius, radius, k_pi / 2, k_pi);
        cairo_arc(pen(), x + radius, y + radius, radius, k_pi, 1.5 * k_pi);
        cairo_close_path(pen());
    }
    cairo_stroke(pen());
}

void Canvas::filled(double x, double y, double width, double height) {
    cairo_rectangle(pen(), x, y, width, height);
    cairo_fill(pen());
}

void Canvas::ellipse(double x, double y, double half_width, double half_height, double line_width) {
    cairo_save(pen());
    cairo_translate(pen(), x, y);
    cairo_scale(pen(), half_width, half_height);
    cairo_new_sub_path(pen());
    cairo_arc(pen(), 0, 0, 1, 0, 2 * k_pi);
    cairo_restore(pen());
    cairo_set_line_width(pen(), line_width);
    cairo_stroke(pen());
}

void Canvas::hatch_path(double gap, bool rising) {
    double left = 0, top = 0, right = 0, bottom = 0;
    cairo_path_extents(pen(), &left, &top, &right, &bottom);
    cairo_save(pen());
    cairo_clip(pen());
    const double height = bottom - top;
    for (double x = left - height; x < right; x += gap) {
        cairo_move_to(pen(), x, rising ? bottom : top);
        cairo_line_to(pen(), x + height, rising ? top : bottom);
    }
    cairo_set_line_width(pen(), 0.2);
    cairo_stroke(pen());
    cairo_restore(pen());
}

void Canvas::begin_stamp(const std::string& key) {
    const cairo_rectangle_t area{0, 0, m_size.width * k_points_a_mm, m_size.height * k_points_a_mm};
    auto& surface = m_stamps[key];
    surface.reset(cairo_recording_surface_create(CAIRO_CONTENT_COLOR_ALPHA, &area));
    m_page_pen = std::move(m_pen);
    m_pen.reset(cairo_create(surface.get()));
    cairo_scale(pen(), k_points_a_mm, k_points_a_mm);
}

void Canvas::end_stamp() {
    m_pen = std::move(m_page_pen);
}

void Canvas::show_stamp(const std::string& key) {
    cairo_save(pen());
    cairo_scale(pen(), 1 / k_points_a_mm, 1 / k_points_a_mm);
    cairo_set_source_surface(pen(), m_stamps[key].get(), 0, 0);
    cairo_paint(pen());
    cairo_restore(pen());
}

core::Result<std::string> Canvas::finish() {
    m_stamps.clear();
    m_pen.reset();
    if (m_is_image && cairo_surface_write_to_png_stream(m_surface.get(), append, m_bytes.get()) != CAIRO_STATUS_SUCCESS)
        return core::fault(core::ErrorKind::internal, "picture-not-made", "the picture could not be made");
    cairo_surface_finish(m_surface.get());
    if (cairo_surface_status(m_surface.get()) != CAIRO_STATUS_SUCCESS) {
        return core::fault(core::ErrorKind::internal, "paper-not-made", "the paper could not be made");
    }
    return std::move(*m_bytes);
}

}   // namespace oddplate::report
