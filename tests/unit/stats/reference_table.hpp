#pragma once
// Reads tests/reference/*.csv and keeps the worst relative error seen, so that a limit can be set from a measured peak.

#include <algorithm>
#include <cmath>
#include <cstdlib>
#include <fstream>
#include <map>
#include <sstream>
#include <string>
#include <vector>

namespace oddplate::tests {

using Row = std::map<std::string, std::string>;

inline double number(const Row& row, const std::string& column) {
    return std::strtod(row.at(column).c_str(), nullptr);
}
inline long long whole(const Row& row, const std::string& column) {
    return std::atoll(row.at(column).c_str());
}

inline std::vector<std::string> cells(const std::string& line) {
    std::vector<std::string> found;
    std::istringstream in(line);
    for (std::string cell; std::getline(in, cell, ',');) found.push_back(cell);
    return found;
}

/// Rows by column name; empty when the file is missing (tests check that it is not).
inline std::vector<Row> reference_rows(const std::string& name) {
    std::ifstream in(std::string(ODDPLATE_SOURCE_DIR) + "/tests/reference/" + name);
    std::vector<Row> rows;
    std::vector<std::string> header;
    for (std::string line; std::getline(in, line);) {
        if (line.empty() || line[0] == '#') continue;
        const std::vector<std::string> found = cells(line);
        if (header.empty()) {
            header = found;
            continue;
        }
        Row row;
        for (std::size_t i = 0; i < header.size() && i < found.size(); ++i) row[header[i]] = found[i];
        rows.push_back(row);
    }
    return rows;
}

/// |value - truth| / |truth|; where the truth is 0 the value itself.
inline double off(double value, double truth) {
    return truth == 0.0 ? std::fabs(value) : std::fabs(value / truth - 1.0);
}

/// The worst of many errors; a failing test prints it.
class Peak {
public:
    void note(double error) { m_worst = std::isnan(error) ? HUGE_VAL : std::max(m_worst, error); }
    [[nodiscard]] double worst() const { return m_worst; }

private:
    double m_worst{0.0};
};

}   // namespace oddplate::tests
