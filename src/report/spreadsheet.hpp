#pragma once
// Tables as an .xlsx workbook. The library underneath is seen by spreadsheet.cpp alone.

#include <string>
#include <variant>
#include <vector>

#include "oddplate/core/result.hpp"

namespace oddplate::report {

/// Text stays text whatever it begins with: "=1+1" is four characters and never a formula. Numbers are finite. Monostate is an empty cell.
using Cell = std::variant<std::monostate, std::string, double>;

struct Sheet {
    std::string name;                      ///< 1 to 31 characters, none of []:*?/\ in it
    std::vector<double> widths;            ///< of the columns, in characters
    std::vector<std::vector<Cell>> rows;   ///< the first one is the heading where `is_table`
    bool is_table{true};                   ///< heading bold and kept in sight, columns that can be filtered; else the first cell alone is a heading
};

/// The workbook's bytes; equal input gives equal bytes. Faults (io): the library is missing; no room for the temporary file; a sheet that the format cannot
/// hold (1,048,576 rows, 32,767 characters in a cell).
[[nodiscard]] core::Result<std::string> spreadsheet(const std::vector<Sheet>& sheets);

}   // namespace oddplate::report
