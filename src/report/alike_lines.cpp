#include "alike_lines.hpp"

#include <algorithm>
#include <set>

namespace oddplate::report {
namespace {

std::string text_of(const std::vector<methods::Field>& row, std::string_view key) {
    for (const methods::Field& field : row)
        if (field.key == key && std::holds_alternative<std::string>(field.value)) return std::get<std::string>(field.value);
    return {};
}

double number_of(const std::vector<methods::Field>& row, std::string_view key, double otherwise) {
    for (const methods::Field& field : row)
        if (field.key == key && std::holds_alternative<double>(field.value)) return std::get<double>(field.value);
    return otherwise;
}

}   // namespace

std::vector<std::pair<std::size_t, std::size_t>> alike_runs(const methods::Findings& findings, const std::vector<std::string>& names, double alpha) {
    std::set<std::pair<std::string, std::string>> apart;
    for (const methods::List& list : findings.lists)
        if (list.key == "pairs")
            for (const auto& row : list.rows)
                if (number_of(row, "p_adjusted", 1) <= alpha * (1 + 1e-12)) {
                    apart.emplace(text_of(row, "a"), text_of(row, "b"));
                    apart.emplace(text_of(row, "b"), text_of(row, "a"));
                }
    std::vector<std::pair<std::size_t, std::size_t>> runs;
    for (std::size_t first = 0; first < names.size(); ++first) {
        std::size_t last = first;
        const auto fits = [&](std::size_t next) {
            for (std::size_t i = first; i < next; ++i)
                if (apart.contains({names[i], names[next]})) return false;
            return true;
        };
        while (last + 1 < names.size() && fits(last + 1)) ++last;
        if (last > first && (runs.empty() || last > runs.back().second)) runs.emplace_back(first, last);
    }
    return runs;
}

}   // namespace oddplate::report
