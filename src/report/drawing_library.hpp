#pragma once
// Cairo, Pango and fontconfig, opened when the first paper is made and not when the program starts: loading the thirty libraries
// behind them takes longer than most commands. Inside this namespace a call reads as it always does; it goes through a pointer of
// the same name, which hides the library's function, so that the program needs none of them to be linked.

#include <cairo-pdf.h>
#include <fontconfig/fontconfig.h>
#include <pango/pangocairo.h>
#include <pango/pangofc-fontmap.h>

#include "oddplate/core/result.hpp"

namespace oddplate::report {

/// Every function of the three that papers use; one that is missing here fails to link.
#define ODDPLATE_DRAWING_FUNCTIONS(X) \
    X(FcConfigAppFontAddFile) X(FcConfigCreate) X(FcConfigDestroy) X(cairo_arc) X(cairo_clip) X(cairo_close_path) \
    X(cairo_create) X(cairo_destroy) X(cairo_fill) X(cairo_font_options_create) X(cairo_font_options_destroy) \
    X(cairo_image_surface_create) X(cairo_surface_write_to_png_stream) \
    X(cairo_font_options_set_hint_metrics) X(cairo_font_options_set_hint_style) X(cairo_line_to) X(cairo_move_to) \
    X(cairo_new_path) X(cairo_new_sub_path) X(cairo_paint) X(cairo_path_extents) \
    X(cairo_pdf_surface_create_for_stream) X(cairo_pdf_surface_set_metadata) X(cairo_pdf_surface_set_size) \
    X(cairo_recording_surface_create) X(cairo_rectangle) X(cairo_restore) X(cairo_save) X(cairo_scale) \
    X(cairo_set_dash) X(cairo_set_fill_rule) X(cairo_set_line_width) X(cairo_set_source_rgb) \
    X(cairo_set_source_surface) X(cairo_show_page) X(cairo_stroke) X(cairo_surface_destroy) X(cairo_surface_finish) \
    X(cairo_surface_status) X(cairo_translate) X(g_object_unref) X(g_type_check_instance_cast) \
    X(pango_cairo_context_set_font_options) X(pango_cairo_font_map_get_type) X(pango_cairo_font_map_new_for_font_type) \
    X(pango_cairo_font_map_set_resolution) X(pango_cairo_show_layout) X(pango_context_set_language) \
    X(pango_context_set_round_glyph_positions) X(pango_fc_font_map_get_type) X(pango_fc_font_map_set_config) \
    X(pango_font_description_free) X(pango_font_description_new) X(pango_font_description_set_family) \
    X(pango_font_description_set_size) X(pango_font_description_set_weight) X(pango_font_map_create_context) \
    X(pango_language_from_string) X(pango_layout_copy) X(pango_layout_get_baseline) X(pango_layout_get_extents) \
    X(pango_layout_get_size) X(pango_layout_index_to_pos) X(pango_layout_new) X(pango_layout_set_alignment) \
    X(pango_layout_set_ellipsize) X(pango_layout_set_font_description) X(pango_layout_set_line_spacing) \
    X(pango_layout_set_text) X(pango_layout_set_width) X(pango_layout_set_wrap)

#define ODDPLATE_DECLARE(name) inline decltype(&::name) name = nullptr;
ODDPLATE_DRAWING_FUNCTIONS(ODDPLATE_DECLARE)
#undef ODDPLATE_DECLARE

/// To be called before any of them; from the second time on it costs nothing. They stay open till the program ends. Fault (io):
/// the libraries are missing, or older than what is needed.
[[nodiscard]] core::Status open_drawing_library();

}   // namespace oddplate::report
