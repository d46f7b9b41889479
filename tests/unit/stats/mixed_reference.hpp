#pragma once
// The data sets of tests/reference/mixed_rows.csv as models, and what general software made of them.

#include <cmath>
#include <map>
#include <string>
#include <vector>

#include "oddplate/stats/linear_mixed.hpp"
#include "reference_table.hpp"

namespace oddplate::tests {

struct MixedColumns {
    std::vector<double> y, a, b, c, d;
};

inline MixedColumns mixed_columns(const std::string& set) {
    MixedColumns columns;
    for (const Row& row : reference_rows("mixed_rows.csv")) {
        if (row.at("set") != set) continue;
        columns.y.push_back(number(row, "y"));
        columns.a.push_back(number(row, "a"));
        columns.b.push_back(number(row, "b"));
        columns.c.push_back(number(row, "c"));
        columns.d.push_back(number(row, "d"));
    }
    return columns;
}

/// Codes that occur, renumbered from 0 in rising order.
inline stats::RandomTerm term_of(const std::string& name, const std::vector<double>& codes, std::vector<double> slope = {}) {
    std::map<double, std::int32_t> levels;
    for (const double code : codes) levels[code] = 0;
    std::int32_t next = 0;
    for (auto& [code, level] : levels) level = next++;
    stats::RandomTerm term{name, {}, next, std::move(slope)};
    for (const double code : codes) term.level.push_back(levels.at(code));
    return term;
}

/// Intercept and, for each factor, one column for every level but the first; `products` adds all products of the first two.
inline void fixed_part(stats::MixedData& data, const std::vector<std::vector<double>>& factors, bool products = false) {
    const std::size_t rows = data.y.size();
    std::vector<std::vector<double>> columns{std::vector<double>(rows, 1.0)};
    std::vector<std::vector<std::size_t>> of_factor;
    for (const auto& factor : factors) {
        const stats::RandomTerm term = term_of("", factor);
        of_factor.emplace_back();
        for (std::int32_t level = 1; level < term.levels; ++level) {
            of_factor.back().push_back(columns.size());
            columns.emplace_back(rows);
            for (std::size_t i = 0; i < rows; ++i) columns.back()[i] = term.level[i] == level ? 1.0 : 0.0;
        }
    }
    if (products)
        for (const std::size_t second : of_factor[1])
            for (const std::size_t first : of_factor[0]) {
                columns.emplace_back(rows);
                for (std::size_t i = 0; i < rows; ++i) columns.back()[i] = columns[first][i] * columns[second][i];
            }
    data.columns = columns.size();
    data.x.clear();
    for (std::size_t i = 0; i < rows; ++i)
        for (const auto& column : columns) data.x.push_back(column[i]);
}

inline stats::MixedData mixed_set(const std::string& set) {
    const MixedColumns in = mixed_columns(set);
    stats::MixedData data;
    data.y = in.y;
    if (set == "sleepstudy") {
        data.columns = 2;
        for (const double day : in.b) data.x.insert(data.x.end(), {1.0, day});
        data.terms = {term_of("a", in.a, in.b)};
    } else if (set == "cake") {
        fixed_part(data, {in.a, in.b}, true);
        data.terms = {term_of("c", in.c)};
    } else if (set == "warpbreaks") {
        fixed_part(data, {in.a, in.b}, true);
    } else if (set == "orchard") {
        fixed_part(data, {in.c});
        data.terms = {term_of("a", in.a), term_of("b", in.b)};
    } else if (set == "npk") {
        fixed_part(data, {in.b, in.c, in.d});
        data.terms = {term_of("a", in.a)};
    } else if (set == "wine" || set == "gaps") {
        fixed_part(data, {in.b});
        data.terms = {term_of("a", in.a)};
        if (set == "gaps") {
            std::vector<double> both;
            for (std::size_t i = 0; i < in.a.size(); ++i) both.push_back(in.a[i] * 100 + in.b[i]);
            data.terms.push_back(term_of("ab", both));
            data.terms.push_back(term_of("c", in.c));
        }
    } else {
        fixed_part(data, {});
        data.terms = {term_of("a", in.a)};
        if (set == "penicillin" || set == "pastes") data.terms.push_back(term_of("b", in.b));
    }
    return data;
}

inline std::map<std::string, double> mixed_truth(const std::string& set, const std::string& criterion) {
    std::map<std::string, double> truth;
    for (const Row& row : reference_rows("mixed_fits.csv"))
        if (row.at("set") == set && row.at("criterion") == criterion) truth[row.at("quantity")] = number(row, "value");
    return truth;
}

}   // namespace oddplate::tests
