#pragma once
// Pages in millimetres over Cairo and Pango. Black only; y runs down from the top edge; text is text (it can be selected and
// searched), and equal calls give equal bytes.

#include <memory>
#include <string>
#include <unordered_map>

#include "fonts.hpp"
#include "oddplate/core/result.hpp"
#include "oddplate/report/papers.hpp"

namespace oddplate::report {

struct Size {
    double width{0}, height{0};
};
/// The sheet as it stands upright, and lying on its side.
[[nodiscard]] Size portrait(PaperSize paper);
[[nodiscard]] Size landscape(PaperSize paper);

enum class Weight { regular, bold };
enum class Align { left, centre, right };

/// How a piece of text looks. `points` is the font size; `leading` stretches the distance between lines.
struct Type {
    double points{10};
    Weight weight{Weight::regular};
    Align align{Align::left};
    double leading{1.0};
};

inline constexpr double k_points_a_mm = 72.0 / 25.4;

class Canvas {
public:
    /// Fault: no usable font (io).
    [[nodiscard]] static core::Result<Canvas> open(const std::string& title);

    /// One white picture of so many pixels, `mm_wide` across, instead of pages; `finish` gives a PNG.
    [[nodiscard]] static core::Result<Canvas> open_image(int pixels_wide, int pixels_high, double mm_wide);

    /// Begins the next page.
    void page(Size size);
    [[nodiscard]] Size size() const { return m_size; }

    // ---- text; (x, y) is the top left corner, and the result the height in mm
    /// Wrapped to `width` and aligned within it.
    double text(double x, double y, double width, const std::string& text, const Type& type);
    /// One line that begins, is centred or ends at x, as `type.align` says.
    double line_of_text(double x, double y, const std::string& text, const Type& type);
    /// One line within `width`: down to seven tenths of its size where it must be, then cut with an ellipsis.
    double fitted(double x, double y, double width, const std::string& text, const Type& type);
    /// Left edge at x, standing on y.
    void text_on_baseline(double x, double y, const std::string& text, const Type& type);
    /// Width and height; width 0 = one line.
    [[nodiscard]] Size extent(const std::string& text, const Type& type, double width = 0);
    /// Left edge and width of letter `index` (bytes) in a line that begins at 0.
    [[nodiscard]] std::pair<double, double> letter_at(const std::string& text, const Type& type, int index);
    /// Height of the ink of `text` for a font of one point, in mm.
    [[nodiscard]] double ink_height_a_point(const std::string& text, Weight weight);

    // ---- shapes; widths of lines in mm
    void line(double x1, double y1, double x2, double y2, double width = 0.2);
    void dashes(double x1, double y1, double x2, double y2, double width = 0.2);
    void frame(double x, double y, double width, double height, double line = 0.25, double radius = 0);
    void filled(double x, double y, double width, double height);
    void ellipse(double x, double y, double half_width, double half_height, double line = 0.25);
    /// A tick box, sitting with its top left corner at (x, y).
    void box(double x, double y, double side) { frame(x, y, side, side, side > 5 ? 0.4 : 0.25); }

    // ---- areas of any shape: move, line_to, close, then one of the fills
    cairo_t* pen() { return m_pen.get(); }
    /// Fills the pen's current path with slanting lines `gap` mm apart and forgets it.
    void hatch_path(double gap, bool rising = true);

    /// Everything that `draw` puts down is moved by (x, y).
    template <class Draw>
    void at(double x, double y, Draw&& draw) {
        cairo_save(pen());
        cairo_translate(pen(), x, y);
        draw();
        cairo_restore(pen());
    }

    /// What `draw` puts down, kept under `key` and written into the document once, however many pages show it. Equal keys must
    /// draw equal things, and a page shows a stamp once (Cairo 1.16 would name it twice in the page's list of things). A stack of
    /// slips is the same words over and over.
    template <class Draw>
    void stamp(const std::string& key, Draw&& draw) {
        if (m_stamps.find(key) == m_stamps.end()) {
            begin_stamp(key);
            draw();
            end_stamp();
        }
        show_stamp(key);
    }

    /// The document's bytes. Fault: it could not be made (internal).
    [[nodiscard]] core::Result<std::string> finish();

private:
    struct FreeSurface {
        void operator()(cairo_surface_t* surface) const { cairo_surface_destroy(surface); }
    };
    struct FreePen {
        void operator()(cairo_t* pen) const { cairo_destroy(pen); }
    };

    Canvas() = default;
    PangoLayout* layout(const std::string& text, const Type& type, double width);
    void show(PangoLayout* layout, double x, double y);
    void begin_stamp(const std::string& key);
    void end_stamp();
    void show_stamp(const std::string& key);

    std::unique_ptr<std::string> m_bytes;   // where the surface writes; its address must stay
    Owned<PangoContext> m_context;
    std::unique_ptr<cairo_surface_t, FreeSurface> m_surface;
    std::unique_ptr<cairo_t, FreePen> m_pen;
    std::unique_ptr<cairo_t, FreePen> m_page_pen;   // waits here while a stamp is drawn
    std::unordered_map<std::string, std::unique_ptr<cairo_surface_t, FreeSurface>> m_stamps;
    std::unordered_map<std::string, Owned<PangoLayout>> m_layouts;   // most lines of a paper stand on many pages
    Size m_size;
    bool m_begun{false};
    bool m_is_image{false};
};

}   // namespace oddplate::report
