#include "votes_many.hpp"

#include <algorithm>
#include <map>

#include "oddplate/core/text.hpp"
#include "oddplate/stats/worths.hpp"
#include "ranks.hpp"

namespace oddplate::methods::votes {
namespace {

std::string why_none(stats::NoWorths why) {
    switch (why) {
        case stats::NoWorths::nothing: return "nobody compared two of them";
        case stats::NoWorths::ties: return "there are ties";
        case stats::NoWorths::apart: return "some were never compared with the others, not even through a third";
        case stats::NoWorths::one_sided: return "some won or lost every comparison with the others, so their worth has no bound";
        case stats::NoWorths::has_some: break;
    }
    return {};
}

struct Table {
    ranks::Ranked ranked;
    std::vector<stats::PairCount> pairs;
    bool both_ways{false};   ///< some pair was served in both orders
};

class Reader {
public:
    explicit Reader(const PlainTable& table) : m_table(table) {}

    core::Result<Table> read() {
        for (const PlainTable::Row& row : m_table.rows) take(row);
        if (m_faults.empty() && m_read.pairs.empty()) m_faults.push_back(core::found({}, "a header alone", "one comparison a line"));
        if (!m_faults.empty()) return m_faults;
        for (const stats::PairCount& pair : m_read.pairs) m_read.both_ways = m_read.both_ways || m_at.contains({pair.b, pair.a});
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
        const int a = number_of(first, m_samples, m_read.ranked.names), b = number_of(second, m_samples, m_read.ranked.names);
        std::vector<std::string> unused;
        const int who = number_of(taster, m_tasters, unused);
        const auto [at, fresh] = m_at.try_emplace({a, b}, m_read.pairs.size());
        if (fresh) m_read.pairs.push_back({.a = a, .b = b});
        stats::PairCount& count = m_read.pairs[at->second];
        (chosen == first ? count.for_a : chosen == second ? count.for_b : count.ties) += 1;
        m_read.ranked.trays.push_back({who, {a, b}, chosen == first ? std::vector<double>{1, 2} : chosen == second ? std::vector<double>{2, 1} : std::vector<double>{1, 1}});
        m_read.ranked.spots.push_back(0);
    }

    static int number_of(const std::string& name, std::map<std::string, int>& numbers, std::vector<std::string>& names) {
        const auto [at, fresh] = numbers.try_emplace(name, static_cast<int>(numbers.size()));
        if (fresh) names.push_back(name);
        return at->second;
    }

    const PlainTable& m_table;
    Table m_read;
    std::map<std::string, int> m_samples, m_tasters;
    std::map<std::pair<int, int>, std::size_t> m_at;
    core::Faults m_faults;
};

void add_worths(Findings& findings, const Table& table, double confidence) {
    std::erase_if(findings.lists, [](const List& list) { return list.key == "worths" || list.key == "places"; });
    const stats::PairSettings settings{.served_order = table.both_ways, .confidence = confidence};
    const stats::Worths found = stats::bradley_terry(table.pairs, table.ranked.samples(), settings), scale = stats::thurstone_v(table.pairs, table.ranked.samples(), settings);
    const bool any = found.why == stats::NoWorths::has_some;
    const std::string why = why_none(found.why);
    const auto where_any = [&](double value) { return any ? std::optional(value) : std::nullopt; };
    findings.add_optional("fit.deviance", where_any(found.deviance), why);
    findings.add_optional("fit.df", where_any(found.deviance_df), why);
    findings.add_optional("fit.p_value", where_any(found.deviance_p), why);
    findings.add_optional("served_first.log_odds", found.served_first, any ? "no pair was served in both orders" : why);
    findings.add_optional("served_first.standard_error", found.served_first_error, any ? "no pair was served in both orders" : why);
    findings.add_optional("tie", found.tie, any ? "there are no ties" : why);
    if (!any) return;
    List worths{"worths", {}}, values{"scale_values", {}};
    for (std::size_t j = 0; j < found.samples.size(); ++j) {
        const stats::Worth& worth = found.samples[j];
        const std::string& name = table.ranked.names[j];
        worths.rows.push_back({{"name", name}, {"share_first", worth.share_first}, {"lower", worth.lower}, {"upper", worth.upper}, {"log_worth", worth.log_worth}, {"standard_error", worth.standard_error}});
        values.rows.push_back({{"name", name}, {"value", scale.samples[j].log_worth}, {"standard_error", scale.samples[j].standard_error}});
    }
    findings.lists.push_back(std::move(worths));
    findings.lists.push_back(std::move(values));
}

}   // namespace

bool holds_pairs(const PlainTable& table) { return table.column("first") >= 0 && table.column("second") >= 0; }

core::Result<Findings> weigh_pairs(const Method& method, const PlainTable& table, const Settings& settings) {
    const auto read = Reader(table).read();
    if (!read) return read.faults();
    const ranks::Question question{.alpha = number(settings, "alpha").value_or(0.05), .expected = {}};
    Findings findings = ranks::findings_of(method, question, read->ranked, ranks::weigh(question, read->ranked));
    add_worths(findings, *read, number(settings, "confidence").value_or(1 - question.alpha));
    return findings;
}

}   // namespace oddplate::methods::votes
