// What stands in tables: which columns, numbers as people write them, and cells that no spreadsheet runs.
#include "oddplate/core/csv.hpp"

#include <algorithm>
#include <charconv>
#include <cmath>
#include <optional>

#include "csv_decode.hpp"
#include "oddplate/core/text.hpp"

namespace oddplate::core {
namespace {

bool has(const std::vector<std::string>& names, std::string_view name) {
    return std::find(names.begin(), names.end(), name) != names.end();
}

/// A finite number in digits, with a point or a comma before the decimals.
std::optional<double> number_of(std::string_view text) {
    std::string digits = trimmed(text);
    if (std::count(digits.begin(), digits.end(), ',') == 1 && digits.find('.') == std::string::npos) {
        digits[digits.find(',')] = '.';
    }
    if (digits.find_first_not_of("0123456789.+-eE") != std::string::npos)
        return std::nullopt;   // from_chars would take "inf" and "nan"
    const char* first = digits.data();
    const char* last = first + digits.size();
    if (digits.size() > 1 && digits[0] == '+' && digits[1] != '-') ++first;   // from_chars knows no plus
    double value = 0;
    const auto [end, error] = std::from_chars(first, last, value);
    if (error != std::errc{} || end != last || !std::isfinite(value)) return std::nullopt;
    return value;
}

}   // namespace

Status expect_columns(const CsvTable& table, const std::vector<std::string>& required, const std::vector<std::string>& optional) {
    std::vector<std::string> free;   // known columns that the header does not have
    std::vector<std::string> known = required;
    known.insert(known.end(), optional.begin(), optional.end());
    std::copy_if(known.begin(), known.end(), std::back_inserter(free),
                 [&](const std::string& name) { return !has(table.header, name); });
    const std::string all = joined(known, ", ");
    std::vector<std::string> explained;   // missing ones that stand under a near name
    Faults faults;
    for (const std::string& name : table.header) {
        if (has(known, name)) continue;
        const std::string meant = nearest(name, free);
        if (!meant.empty()) explained.push_back(meant);
        const std::string hint = meant.empty() ? "" : "did you mean \"" + meant + "\"?";
        faults.push_back(
            found("header", "a column \"" + quoted(name) + "\"", "only " + all, hint, "unknown-column", ErrorKind::bad_file));
    }
    for (const std::string& name : required) {
        if (has(table.header, name) || has(explained, name)) continue;
        faults.push_back(found("header", "no column \"" + name + "\"", all, {}, "missing-column", ErrorKind::bad_file));
    }
    if (faults.empty()) return Done{};
    return faults;
}

Result<double> csv_number(std::string_view text, std::string_view where) {
    if (const std::optional<double> value = number_of(text)) return *value;
    const std::string got = trimmed(text).empty() ? "an empty cell" : "\"" + quoted(text) + "\"";
    return found(std::string(where), got, "a number such as 1.5", {}, "bad-number", ErrorKind::bad_file);
}

std::string csv_cell(std::string_view text) {
    constexpr std::string_view starts_formula = "=+-@\t\r";
    std::string cell(text);
    // A number may begin with + or -: it runs nothing, and must stay one.
    if (!text.empty() && starts_formula.find(text[0]) != std::string_view::npos && !number_of(text)) cell.insert(0, 1, '\'');
    const bool edge_space = !cell.empty() && (cell.front() == ' ' || cell.back() == ' ');
    if (!edge_space && cell.find_first_of(",;\t\"\r\n") == std::string::npos) return cell;
    std::string out = "\"";
    for (const char c : cell) {
        if (c == '"') out += '"';
        out += c;
    }
    return out + '"';
}

}   // namespace oddplate::core
