// Reading tables: the whole text is decoded first (csv_decode.cpp), then walked once. A reader of our own, because each complaint
// must name its line and column and because spreadsheets disagree about nearly everything else.
#include "oddplate/core/csv.hpp"

#include <algorithm>

#include "csv_decode.hpp"
#include "oddplate/core/text.hpp"
#include "utf8.hpp"

namespace oddplate::core {
namespace {

constexpr std::size_t k_most_bytes = std::size_t{256} << 20;

struct Cell {
    std::string text;
    std::size_t at;   ///< offset of its first byte, for complaints
    bool quoted;
};

struct Line {
    std::size_t number = 0;
    std::size_t at = 0;
    std::vector<Cell> cells;

    bool is_blank() const {
        return std::all_of(cells.begin(), cells.end(), [](const Cell& cell) { return !cell.quoted && cell.text.empty(); });
    }
};

/// The separator that the first line with text in it has most of, outside quotes; a comma where it has none.
char separator_of(std::string_view text) {
    std::size_t commas = 0, semicolons = 0, tabs = 0;
    bool in_quotes = false, at_start = true, any = false;   // at_start: of a cell, the only place where a quote opens
    for (std::size_t i = 0; i < text.size(); ++i) {
        const char c = text[i];
        if (in_quotes) {
            const bool twice = c == '"' && i + 1 < text.size() && text[i + 1] == '"';
            if (twice) ++i;
            if (c == '"' && !twice) in_quotes = false;
            continue;
        }
        if ((c == '\n' || c == '\r') && any) break;
        if (c == '"' && at_start) in_quotes = true;
        commas += c == ',' ? 1 : 0;
        semicolons += c == ';' ? 1 : 0;
        tabs += c == '\t' ? 1 : 0;
        const bool blank = c == ' ' || c == '\n' || c == '\r';
        any = any || !blank;
        at_start = c == ',' || c == ';' || c == '\t' || (at_start && blank);
    }
    if (semicolons > commas && semicolons >= tabs) return ';';
    return tabs > commas ? '\t' : ',';
}

class Reader {
public:
    Reader(std::string_view text, char separator) : m_text(text), m_separator(separator) {}

    bool at_end() const { return m_at == m_text.size(); }

    /// The next line of cells. `line` is used again and again, so that its memory is.
    Status next(Line& line) {
        line.number = m_line;
        line.at = m_at;
        line.cells.clear();
        for (;;) {
            if (Status cell = next_cell(line); !cell) return cell;
            if (at_end()) return Done{};
            const char c = m_text[m_at++];
            if (c == m_separator) continue;
            if (c == '\r' && !at_end() && m_text[m_at] == '\n') ++m_at;
            ++m_line;
            return Done{};
        }
    }

    std::string place(std::size_t at) const { return place_at(m_text, at); }

private:
    bool is_space(char c) const { return (c == ' ' || c == '\t') && c != m_separator; }
    bool ends_cell(char c) const { return c == m_separator || c == '\n' || c == '\r'; }
    void skip_spaces() {
        while (!at_end() && is_space(m_text[m_at])) ++m_at;
    }

    Status next_cell(Line& line) {
        skip_spaces();
        if (!at_end() && m_text[m_at] == '"') return quoted_cell(line);
        const std::size_t start = m_at;
        while (!at_end() && !ends_cell(m_text[m_at])) ++m_at;
        std::size_t end = m_at;
        while (end > start && is_space(m_text[end - 1])) --end;
        line.cells.push_back(Cell{std::string(m_text.substr(start, end - start)), start, false});
        return Done{};
    }

    Status quoted_cell(Line& line) {
        const std::size_t start = m_at++;
        std::string text;
        for (;;) {
            const std::size_t quote = m_text.find('"', m_at);
            if (quote == std::string_view::npos) {
                return bad_csv(place(start), "a quote that never ends", "a closing quote",
                               "a quote inside a cell is written twice");
            }
            text += m_text.substr(m_at, quote - m_at);
            m_at = quote + 1;
            if (at_end() || m_text[m_at] != '"') break;
            text += '"';
            ++m_at;
        }
        count_lines(text);
        skip_spaces();
        if (!at_end() && !ends_cell(m_text[m_at])) {
            return bad_csv(place(m_at), "text after a closing quote", "the end of the cell",
                           "a quote inside a cell is written twice");
        }
        line.cells.push_back(Cell{std::move(text), start, true});
        return Done{};
    }

    void count_lines(std::string_view text) {
        for (std::size_t i = 0; i < text.size(); ++i) {
            const bool pair = text[i] == '\r' && i + 1 < text.size() && text[i + 1] == '\n';
            if (!pair && (text[i] == '\n' || text[i] == '\r')) ++m_line;
        }
    }

    std::string_view m_text;
    char m_separator;
    std::size_t m_at = 0;
    std::size_t m_line = 1;
};

/// Names in lower case. Columns at the right end without a name are what a spreadsheet leaves of cells that were once used.
Result<std::vector<std::string>> header_of(const Line& line, const Reader& reader) {
    std::vector<std::string> names;
    for (const Cell& cell : line.cells) names.push_back(lower_ascii(trimmed(cell.text)));
    while (names.size() > 1 && names.back().empty()) names.pop_back();
    std::vector<std::size_t> order(names.size());
    for (std::size_t i = 0; i < order.size(); ++i) order[i] = i;
    std::sort(order.begin(), order.end(),
              [&](std::size_t a, std::size_t b) { return names[a] != names[b] ? names[a] < names[b] : a < b; });
    for (std::size_t i = 1; i < order.size(); ++i) {
        if (names[order[i]] != names[order[i - 1]]) continue;
        return bad_csv(reader.place(line.cells[order[i]].at), "a second column \"" + quoted(names[order[i]]) + "\"",
                       "each column once");
    }
    return names;
}

/// The cells of a row, as many as the header has. `width` counts the header's nameless cells at the right end too.
Result<CsvRow> row_of(Line& line, std::size_t columns, std::size_t width, const Reader& reader) {
    for (std::size_t i = columns; i < line.cells.size(); ++i) {
        if (i < width && line.cells[i].text.empty()) continue;
        const std::string got = std::to_string(line.cells.size()) + " cells";
        return bad_csv(reader.place(line.cells[i].at), got, "at most the " + std::to_string(columns) + " of the header");
    }
    CsvRow row{line.number, std::vector<std::string>(columns)};
    for (std::size_t i = 0; i < columns && i < line.cells.size(); ++i) row.cells[i] = std::move(line.cells[i].text);
    return row;
}

}   // namespace

int CsvTable::column(std::string_view name) const {
    const auto at = std::find(header.begin(), header.end(), name);
    return at == header.end() ? -1 : static_cast<int>(at - header.begin());
}

Result<CsvTable> parse_csv(std::string_view bytes) {
    if (bytes.size() > k_most_bytes)
        return bad_csv({}, with_commas(static_cast<long long>(bytes.size())) + " bytes", "at most 256 MB");
    const Result<std::string> text = csv_text(bytes);
    if (!text) return text.faults();
    CsvTable table{{}, {}, separator_of(*text)};
    Reader reader(*text, table.separator);
    Line line;
    std::size_t width = 0;
    while (!reader.at_end()) {
        if (Status read = reader.next(line); !read) return read.faults();
        if (line.is_blank()) continue;
        if (table.header.empty()) {
            Result<std::vector<std::string>> header = header_of(line, reader);
            if (!header) return header.faults();
            table.header = *std::move(header);
            width = line.cells.size();
            continue;
        }
        Result<CsvRow> row = row_of(line, table.header.size(), width, reader);
        if (!row) return row.faults();
        table.rows.push_back(*std::move(row));
    }
    if (table.header.empty()) return bad_csv({}, "an empty file", "a header and rows");
    return table;
}

}   // namespace oddplate::core
