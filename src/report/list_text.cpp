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

/// The columns that say what a row is about: the words it begins with, as far as they leave room for a number.
std::vector<std::size_t> heads_of(const std::vector<TableColumn>& columns) {
    std::vector<std::size_t> heads{0};
    std::size_t width = columns[0].width;
    while (heads.size() < columns.size() && !columns[heads.size()].is_number && width + columns[heads.size()].width < k_widest / 2) {
        width += k_gap.size() + columns[heads.size()].width;
        heads.push_back(heads.size());
    }
    return heads;
}

/// The columns of one table: what its rows are about, and as many from `next` on as fit.
std::vector<std::size_t> that_fit(const std::vector<TableColumn>& columns, const std::vector<std::size_t>& heads, std::size_t& next) {
    std::vector<std::size_t> fit = heads;
    std::size_t width = 0;
    for (const std::size_t head : heads) width += columns[head].width + (head > 0 ? k_gap.size() : 0);
    while (next < columns.size() && (fit.size() == heads.size() || width + k_gap.size() + columns[next].width <= k_widest)) {
        width += k_gap.size() + columns[next].width;
        fit.push_back(next++);
    }
    return fit;
}

/// Rows that hold no estimate at all, only why not, are for the files.
methods::List that_tell(const methods::List& list) {
    methods::List told{list.key, {}};
    for (const auto& row : list.rows) {
        const auto absent = std::count_if(row.begin(), row.end(), [](const methods::Field& field) { return std::holds_alternative<std::monostate>(field.value); });
        if (absent < 4) told.rows.push_back(row);
    }
    return told;
}

}   // namespace

std::string lists_text(const methods::Findings& findings, const core::Words& words, const std::string& indent) {
    std::string out;
    for (const methods::List& whole : findings.lists) {
        const methods::List list = that_tell(whole);
        if (list.rows.empty()) continue;
        out += "\n" + indent + label_of(list.key, words) + "\n";
        const std::size_t rows = std::min(list.rows.size(), k_most_rows);
        const std::vector<TableColumn> columns = columns_of_list(list, rows, words);
        const std::vector<std::size_t> heads = heads_of(columns);
        std::size_t next = heads.size();
        do {
            const std::vector<std::size_t> fit = that_fit(columns, heads, next);
            for (std::size_t row = 0; row <= rows; ++row) {
                std::string line;
                for (const std::size_t j : fit) line += (line.empty() ? "" : std::string(k_gap)) + padded(columns[j], row);
                line.erase(line.find_last_not_of(' ') + 1);
                out += indent + "  " + line + "\n";
            }
        } while (next < columns.size());
        if (whole.rows.size() > rows)
            out += lines_of(words.text("results.list_more", {{"n", static_cast<std::int64_t>(whole.rows.size() - rows)}}), indent + "  ", indent + "  ");
    }
    return out;
}

}   // namespace oddplate::report
