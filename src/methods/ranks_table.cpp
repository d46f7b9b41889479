// A plain table of ranks.

#include <algorithm>
#include <charconv>
#include <cmath>
#include <map>

#include "oddplate/core/text.hpp"
#include "ranks.hpp"

namespace oddplate::methods::ranks {
namespace {

constexpr std::size_t k_most_samples = 40;

std::optional<double> read_rank(const std::string& text) {
    std::string plain = text;
    std::replace(plain.begin(), plain.end(), ',', '.');
    double value = 0;
    const auto [end, error] = std::from_chars(plain.data(), plain.data() + plain.size(), value);
    if (error != std::errc{} || end != plain.data() + plain.size() || !std::isfinite(value) || value <= 0 || value > 1000) return std::nullopt;
    return value;
}

/// One name's number, given out in the order in which names come.
class Numbers {
public:
    int of(const std::string& name) {
        const auto [at, fresh] = m_numbers.try_emplace(name, static_cast<int>(m_numbers.size()));
        if (fresh) m_names.push_back(name);
        return at->second;
    }
    [[nodiscard]] const std::vector<std::string>& names() const { return m_names; }

private:
    std::map<std::string, int> m_numbers;
    std::vector<std::string> m_names;
};

}   // namespace

std::optional<std::vector<int>> expected_order(const std::string& text, std::span<const std::string> names) {
    std::vector<int> order;
    for (std::size_t start = 0; start <= text.size();) {
        const std::size_t comma = std::min(text.find(',', start), text.size());
        const auto at = std::find(names.begin(), names.end(), core::trimmed(text.substr(start, comma - start)));
        if (at == names.end()) return std::nullopt;
        const int index = static_cast<int>(at - names.begin());
        if (std::find(order.begin(), order.end(), index) != order.end()) return std::nullopt;
        order.push_back(index);
        start = comma + 1;
    }
    if (order.size() != names.size()) return std::nullopt;
    return order;
}

core::Result<Findings> weigh_table(const Method& method, const PlainTable& table, const Settings& settings) {
    std::map<std::pair<std::string, std::string>, std::map<std::string, double>> by_tray;   // taster and tray -> sample -> rank
    std::vector<std::pair<std::string, std::string>> order;
    Numbers samples, tasters;
    core::Faults faults;
    std::int64_t left_out = 0;
    for (const PlainTable::Row& row : table.rows) {
        const auto cell = [&](std::string_view name) {
            const int column = table.column(name);
            return column < 0 ? std::string() : core::trimmed(row.cells[static_cast<std::size_t>(column)]);
        };
        const std::string place = "line " + std::to_string(row.line), taster = cell("taster"), sample = cell("sample");
        if (!taster.empty() && !sample.empty() && cell("rank").empty()) {   // nothing said: a gap, as in a table of ratings
            ++left_out;
            (void)samples.of(sample);
            continue;
        }
        const auto rank = read_rank(cell("rank"));
        if (taster.empty()) faults.push_back(core::found(place + " taster", "nothing", "a name or number"));
        if (sample.empty()) faults.push_back(core::found(place + " sample", "nothing", "the sample's name"));
        if (!rank) faults.push_back(core::found(place + " rank", core::quoted(cell("rank")), "a number above 0, 1 for the first"));
        if (taster.empty() || sample.empty() || !rank) continue;
        const auto key = std::pair(taster, cell("tray"));
        const auto [tray, fresh] = by_tray.try_emplace(key);
        if (fresh) order.push_back(key);
        if (!tray->second.emplace(sample, *rank).second)
            faults.push_back(core::found(place, core::quoted(sample) + " twice from " + core::quoted(taster), "each sample once a tray", "a column `tray` tells several trays of one taster apart"));
        (void)samples.of(sample);
    }
    if (samples.names().size() > k_most_samples)
        faults.push_back(core::found("sample", std::to_string(samples.names().size()) + " names", "at most " + std::to_string(k_most_samples) + " samples"));
    if (faults.empty() && samples.names().size() < 2)
        faults.push_back(core::found("sample", samples.names().empty() ? "no row" : "one name", "two samples or more to put in order"));
    if (!faults.empty()) return faults;
    Question question{.alpha = number(settings, "alpha").value_or(0.05), .expected = {}};
    if (const auto said = words(settings, "expected")) {
        const auto found = expected_order(*said, samples.names());
        if (!found)
            return core::found("--expected", core::quoted(*said), "every sample of the file once, with commas between: " + core::joined(samples.names(), ","), {},
                               "bad-expected", core::ErrorKind::usage);
        question.expected = *found;
    }
    Ranked ranked{.names = samples.names(), .trays = {}, .spots = {}};
    for (const auto& key : order) {
        stats::RankedTray tray{.taster = tasters.of(key.first), .samples = {}, .ranks = {}};
        for (const auto& [sample, rank] : by_tray[key]) {
            tray.samples.push_back(samples.of(sample));
            tray.ranks.push_back(rank);
        }
        if (tray.samples.size() < 2 && left_out > 0) continue;   // what its gaps left of a tray is no order
        ranked.trays.push_back(std::move(tray));
        ranked.spots.push_back(0);
    }
    Findings findings = findings_of(method, question, ranked, weigh(question, ranked));
    if (left_out > 0) {
        findings.add("left_out", left_out);
        findings.words.push_back({"ranks.left_out", {{"n", left_out}}});
    }
    return findings;
}

}   // namespace oddplate::methods::ranks
