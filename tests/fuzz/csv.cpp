// Reading tables: every row is as wide as the header, text is UTF-8, and the cells written again are read as the same.

#include "laws.hpp"
#include "oddplate/core/csv.hpp"

using namespace oddplate;

extern "C" int LLVMFuzzerTestOneInput(const std::uint8_t* data, std::size_t size) {
    const auto table = core::parse_csv(fuzz::text_of(data, size));
    if (!fuzz::taken(table)) return 0;
    std::size_t line = 1;
    for (const auto& row : table->rows) {
        fuzz::holds(row.cells.size() == table->header.size(), "a row is as wide as the header");
        fuzz::holds(row.line > line, "lines go up");
        line = row.line;
        for (const std::string& cell : row.cells) {
            fuzz::holds(core::is_utf8(cell) && cell.find('\0') == std::string::npos, "a cell is clean text");
            fuzz::taken(core::csv_number(cell, "cell"));
            const auto again = core::parse_csv("a,b\nx," + core::csv_cell(cell) + "\n");
            fuzz::holds(again.ok() && again->rows.size() == 1, "a cell that was written can be read");
            const std::string& read = again->rows[0].cells[1];
            fuzz::holds(read == cell || read == "'" + cell, "and is the same, or has its apostrophe");
        }
    }
    return 0;
}
