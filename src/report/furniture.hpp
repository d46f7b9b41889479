#pragma once
// What stands on every page, and text that runs down a column.

#include <string>

#include "canvas.hpp"
#include "oddplate/report/voice.hpp"

namespace oddplate::report {

/// "BLUE GATE · 14 June", or the name alone where there is no date.
[[nodiscard]] std::string headline(const RoomPapers& papers);
/// "seal 9F2C-71AB-... · log 3F9A21C0": what ties the page to its draw and to the log as it then stood.
[[nodiscard]] std::string seal_line(const RoomPapers& papers, const Voice& voice);

/// All 64 digits of the seal as a QR code says them: upper case, which makes a coarser and so a sturdier code.
[[nodiscard]] std::string whole_seal(const RoomPapers& papers);

/// Which parts of a column are put on the page: a slip's words are the same on hundreds of slips, its codes never are.
enum class Layer { none, words, codes, both };

/// A column that fills from the top. Measuring first (Layer::none) tells how high it gets.
struct Column {
    Canvas& canvas;
    double x{0}, y{0}, width{0};
    Layer layer{Layer::both};
    double stretch{1};   ///< multiplies the gaps
    double gaps{0};      ///< their sum so far, unstretched
    bool cramped{false}; ///< something in it came out smaller than a hand can tick, for want of width

    [[nodiscard]] bool draws_words() const { return layer == Layer::words || layer == Layer::both; }
    [[nodiscard]] bool draws_codes() const { return layer == Layer::codes || layer == Layer::both; }
    void text(const std::string& text, const Type& type);
    void gap(double mm);
    /// `fill` writing lines with their usual distance.
    void writing_lines(int lines, double distance);
};

/// "label ______" to the column's edge: a line to write on after a word.
void blank_after(Canvas& canvas, double x, double y, double right, const std::string& label, const Type& type);

}   // namespace oddplate::report
