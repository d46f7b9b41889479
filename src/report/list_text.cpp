#include "list_text.hpp"

#include <algorithm>
#include <vector>

#include "list_tables.hpp"
#include "oddplate/report/lines.hpp"

namespace oddplate::report {
namespace {

constexpr double k_widest = 78;   // columns of a line, the indent left out
constexpr std::string_view k_gap = "  ";

std::size_t widest(const std::vector<std::string>& cells) {
    std::size_t most = 0;
    for (const std::string& cell : cells) most = std::max(most, columns_of(cell));
    return most;
}

std::string padded(const std::string& cell, std::size_t width, bool to_the_right) {
    const std::string space(width - columns_of(cell), ' ');
    return to_the_right ? space + cell : cell + space;
}

}   // namespace

std::string lists_text(const methods::Findings& findings, const core::Words& words, const std::string& indent) {
    std::string out;
    for (const ListTable& table : list_tables(findings, words)) {
        out += "\n" + indent + table.label + "\n";
        std::vector<double> widths;
        for (std::size_t j = 0; j < table.columns.size(); ++j) widths.push_back(static_cast<double>(widest(table.columns[j]) + (j > 0 ? k_gap.size() : 0)));
        for (const std::vector<std::size_t>& piece : pieces_of(table, widths, k_widest))
            for (std::size_t row = 0; row < table.rows(); ++row) {
                std::string line;
                for (const std::size_t j : piece) line += (line.empty() ? "" : std::string(k_gap)) + padded(table.columns[j][row], widest(table.columns[j]), table.is_number[j]);
                line.erase(line.find_last_not_of(' ') + 1);
                out += indent + "  " + line + "\n";
            }
        if (table.left_out > 0) out += lines_of(words.text("results.list_more", {{"n", static_cast<std::int64_t>(table.left_out)}}), indent + "  ", indent + "  ");
    }
    return out;
}

}   // namespace oddplate::report
