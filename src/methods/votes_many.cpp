#include "votes_many.hpp"

#include <map>

#include "oddplate/core/text.hpp"
#include "ranks.hpp"

namespace oddplate::methods::votes {
namespace {

class Reader {
public:
    explicit Reader(const PlainTable& table) : m_table(table) {}

    core::Result<ranks::Ranked> read() {
        for (const PlainTable::Row& row : m_table.rows) take(row);
        if (m_faults.empty() && m_read.trays.empty()) m_faults.push_back(core::found({}, "a header alone", "one comparison a line"));
        if (!m_faults.empty()) return m_faults;
        m_read.as_served = true;
        return std::move(m_read);
    }

private:
    void take(const PlainTable::Row& row) {
        const auto cell = [&](std::string_view name) { return core::trimmed(row.cells[static_cast<std::size_t>(m_table.column(name))]); };
        const std::string place = "line " + std::to_string(row.line), taster = cell("taster"), first = cell("first"), second = cell("second"), chosen = cell("for");
        if (taster.empty()) m_faults.push_back(core::found(place, "no taster", "a name or a number"));
        if (first.empty() || second.empty() || first == second)
            return m_faults.push_back(core::found(place, core::quoted(first) + " and " + core::quoted(second), "two different samples, in the order in which they were served"));
        if (chosen != first && chosen != second && chosen != "none")
            return m_faults.push_back(core::found(place, "a vote for " + core::quoted(chosen), core::quoted(first) + ", " + core::quoted(second) + " or none"));
        const int a = number_of(first, m_samples, m_read.names), b = number_of(second, m_samples, m_read.names);
        std::vector<std::string> unused;
        const int who = number_of(taster, m_tasters, unused);
        m_read.trays.push_back({who, {a, b}, chosen == first ? std::vector<double>{1, 2} : chosen == second ? std::vector<double>{2, 1} : std::vector<double>{1, 1}});
        m_read.spots.push_back(0);
    }

    static int number_of(const std::string& name, std::map<std::string, int>& numbers, std::vector<std::string>& names) {
        const auto [at, fresh] = numbers.try_emplace(name, static_cast<int>(numbers.size()));
        if (fresh) names.push_back(name);
        return at->second;
    }

    const PlainTable& m_table;
    ranks::Ranked m_read;
    std::map<std::string, int> m_samples, m_tasters;
    core::Faults m_faults;
};

}   // namespace

bool holds_pairs(const PlainTable& table) { return table.column("first") >= 0 && table.column("second") >= 0; }

core::Result<Findings> weigh_pairs(const Method& method, const PlainTable& table, const Settings& settings) {
    const auto read = Reader(table).read();
    if (!read) return read.faults();
    const ranks::Question question{.alpha = number(settings, "alpha").value_or(0.05), .expected = {}, .confidence = number(settings, "confidence")};
    return ranks::findings_of(method, question, *read, ranks::weigh(question, *read));
}

}   // namespace oddplate::methods::votes
