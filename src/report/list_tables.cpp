// Tests: tests/unit/report/list_tables.test.cpp

#include "list_tables.hpp"

#include <algorithm>

#include "number_rows.hpp"

namespace oddplate::report {
namespace {

constexpr std::ptrdiff_t k_empty = 4;   // so many absent numbers, and a row tells nothing

/// Rows that hold no estimate at all, only why not, are for the files.
std::vector<const std::vector<methods::Field>*> that_tell(const methods::List& list) {
    std::vector<const std::vector<methods::Field>*> rows;
    for (const auto& row : list.rows) {
        const auto absent = std::count_if(row.begin(), row.end(), [](const methods::Field& field) { return std::holds_alternative<std::monostate>(field.value); });
        if (absent < k_empty && rows.size() < k_most_rows) rows.push_back(&row);
    }
    return rows;
}

const methods::Field* find(const std::vector<methods::Field>& row, const std::string& key) {
    const auto at = std::find_if(row.begin(), row.end(), [&](const methods::Field& field) { return field.key == key; });
    return at == row.end() ? nullptr : &*at;
}

/// All keys of all rows, in the order in which they come up: a row that lacks one has a dash there.
std::vector<std::string> keys_of(const std::vector<const std::vector<methods::Field>*>& rows) {
    std::vector<std::string> keys;
    for (const auto* row : rows)
        for (const methods::Field& field : *row)
            if (std::find(keys.begin(), keys.end(), field.key) == keys.end()) keys.push_back(field.key);
    return keys;
}

ListTable table_of(const methods::List& list, const core::Words& words) {
    ListTable table{.label = label_of(list.key, words), .explained = explanation_of(list.key, words), .columns = {}, .is_number = {}};
    const auto rows = that_tell(list);
    table.left_out = list.rows.size() - rows.size();
    if (rows.empty()) return table;
    for (const std::string& key : keys_of(rows)) {
        std::vector<std::string> column{label_of(key, words)};
        bool number = true, all_lead = key == "leads";
        for (const auto* row : rows) {
            const methods::Field* field = find(*row, key);
            const methods::Value value = field == nullptr ? methods::Value{} : field->value;
            column.push_back(value_text(value, {}, words));
            number = number && !std::holds_alternative<std::string>(value);
            all_lead = all_lead && std::holds_alternative<bool>(value) && std::get<bool>(value);
        }
        if (all_lead) continue;
        table.columns.push_back(std::move(column));
        table.is_number.push_back(number);
    }
    return table;
}

}   // namespace

std::vector<ListTable> list_tables(const methods::Findings& findings, const core::Words& words) {
    std::vector<ListTable> tables;
    for (const methods::List& list : findings.lists)
        if (ListTable table = table_of(list, words); table.rows() > 1) tables.push_back(std::move(table));
    return tables;
}

std::vector<std::vector<std::size_t>> pieces_of(const ListTable& table, const std::vector<double>& widths, double room) {
    std::vector<std::size_t> heads{0};
    double head = widths[0];
    while (heads.size() < widths.size() && !table.is_number[heads.size()] && head + widths[heads.size()] < room / 2) {
        head += widths[heads.size()];
        heads.push_back(heads.size());
    }
    std::vector<std::vector<std::size_t>> pieces;
    std::size_t next = heads.size();
    do {
        std::vector<std::size_t> fit = heads;
        double width = head;
        while (next < widths.size() && (fit.size() == heads.size() || width + widths[next] <= room)) {
            width += widths[next];
            fit.push_back(next++);
        }
        pieces.push_back(std::move(fit));
    } while (next < widths.size());
    return pieces;
}

}   // namespace oddplate::report
