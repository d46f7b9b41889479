#pragma once
// Lists of findings as tables of text, for terminal, page and paper alike.

#include <cstddef>
#include <functional>
#include <string>
#include <vector>

#include "oddplate/core/words.hpp"
#include "oddplate/methods/findings.hpp"

namespace oddplate::report {

struct ListTable {
    std::string label, explained;               ///< what the list is; explained may be empty
    std::vector<std::vector<std::string>> columns;   ///< the header first, then a cell a row
    std::vector<bool> is_number;                ///< by column: set to the right
    std::size_t left_out{0};                    ///< rows that are in the files alone

    [[nodiscard]] std::size_t rows() const { return columns.empty() ? 0 : columns.front().size(); }   ///< with the header
};

/// One table a list that has a row to show. Left out are rows that hold no estimate at all (only why not), those beyond k_most_rows, and a column that says of every one
/// that it leads: then none does.
[[nodiscard]] std::vector<ListTable> list_tables(const methods::Findings& findings, const core::Words& words);

/// The columns of each piece of a table that is wider than `room`, by the width of each column with its gap: every piece begins with the words that say what its rows are about.
[[nodiscard]] std::vector<std::vector<std::size_t>> pieces_of(const ListTable& table, const std::vector<double>& widths, double room);

}   // namespace oddplate::report
