#pragma once
// Reading tables that people and spreadsheets made.

#include <cstddef>
#include <string>
#include <string_view>
#include <vector>

#include "oddplate/core/result.hpp"

namespace oddplate::core {

struct CsvRow {
    std::size_t line;                  ///< line of the file on which the row starts, from 1
    std::vector<std::string> cells;    ///< as text, outer spaces trimmed where the cell was not quoted
};

struct CsvTable {
    std::vector<std::string> header;   ///< lower case, trimmed
    std::vector<CsvRow> rows;          ///< each with as many cells as the header; lines with nothing in them are skipped
    char separator;                    ///< ',' ';' or a tab, as found

    /// Index of a column, or -1.
    [[nodiscard]] int column(std::string_view name) const;
};

/// Reads a table with a header. Copes with quotes (doubled inside), line ends of LF, CRLF and CR, mixed too, a byte-order mark, UTF-8 and
/// UTF-16 of either order (by mark, or by NULs at every other place), separators , ; and tab (the one that the header has most of), cells
/// missing at a row's end, and what spreadsheets leave behind: columns at the right end without name and content, lines of separators
/// only. Refused with line and column: NUL bytes in UTF-8, invalid UTF-8, a quote that never ends, text after a closing quote,
/// more cells than the header has, an empty file, a header with two columns of one name. Limit 256 MB.
[[nodiscard]] Result<CsvTable> parse_csv(std::string_view bytes);

/// The columns that must be there are there and no other than the `optional` ones; faults name the nearest known column.
[[nodiscard]] Status expect_columns(const CsvTable& table, const std::vector<std::string>& required,
                                    const std::vector<std::string>& optional);

/// A number as people write it: "1.5", "1,5", "-2e3"; a comma is always a decimal comma, and there are no thousands marks. Finite.
[[nodiscard]] Result<double> csv_number(std::string_view text, std::string_view where);

/// A cell as written to a file: quoted where needed. Text that a spreadsheet would run (= + - @ tab CR at the start) gets an apostrophe
/// in front; numbers, which may begin with a sign, do not.
[[nodiscard]] std::string csv_cell(std::string_view text);

}   // namespace oddplate::core
