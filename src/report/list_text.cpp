#include "list_text.hpp"

#include <algorithm>
#include <vector>

#include "number_rows.hpp"
#include "oddplate/report/lines.hpp"

namespace oddplate::report {
namespace {

constexpr std::size_t k_widest = 78;   // columns of a line, the indent left out
constexpr std::string_view k_gap = "  ";

struct TableColumn {
    std::vector<std::string> cells;   // the header first
    std::size_t width{0};
    bool is_number{true};
};

std::vector<TableColumn> columns_of_list(const methods::List& list, std::size_t rows, const core::Words& words) {
    std::vector<TableColumn> columns(list.rows.front().size());
    for (std::size_t j = 0; j < columns.size(); ++j) {
        TableColumn& column = columns[j];
        column.cells.push_back(label_of(list.rows.front()[j].key, words));
        for (std::size_t i = 0; i < rows; ++i) {
            const methods::Value& value = list.rows[i][j].value;
            column.cells.push_back(value_text(value, {}, words));
            column.is_number = column.is_number && !std::holds_alternative<std::string>(value);
        }
        for (const std::string& cell : column.cells) column.width = std::max(column.width, columns_of(cell));
    }
    return columns;
}

std::string padded(const TableColumn& column, std::size_t row) {
    const std::string& cell = column.cells[row];
    const std::string space(column.width - columns_of(cell), ' ');
    return column.is_number ? space + cell : cell + space;
}

/// The columns of one table: the first one and as many from `next` on as fit.
std::vector<std::size_t> that_fit(const std::vector<TableColumn>& columns, std::size_t& next) {
    std::vector<std::size_t> fit{0};
    std::size_t width = columns[0].width;
    while (next < columns.size() && (fit.size() == 1 || width + k_gap.size() + columns[next].width <= k_widest)) {
        width += k_gap.size() + columns[next].width;
        fit.push_back(next++);
    }
    return fit;
}

}   // namespace

std::string lists_text(const methods::Findings& findings, const core::Words& words, const std::string& indent) {
    std::string out;
    for (const methods::List& list : findings.lists) {
        if (list.rows.empty()) continue;
        out += "\n" + indent + label_of(list.key, words) + "\n";
        const std::size_t rows = std::min(list.rows.size(), k_most_rows);
        const std::vector<TableColumn> columns = columns_of_list(list, rows, words);
        std::size_t next = 1;
        do {
            const std::vector<std::size_t> fit = that_fit(columns, next);
            for (std::size_t row = 0; row <= rows; ++row) {
                std::string line;
                for (const std::size_t j : fit) line += (line.empty() ? "" : std::string(k_gap)) + padded(columns[j], row);
                line.erase(line.find_last_not_of(' ') + 1);
                out += indent + "  " + line + "\n";
            }
        } while (next < columns.size());
        if (list.rows.size() > rows)
            out += lines_of(words.text("results.list_more", {{"n", static_cast<std::int64_t>(list.rows.size() - rows)}}), indent + "  ", indent + "  ");
    }
    return out;
}

}   // namespace oddplate::report
