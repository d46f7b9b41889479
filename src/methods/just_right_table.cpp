// A plain table of levels and liking read: one line a person, sample and attribute.

#include <cmath>
#include <set>
#include <tuple>

#include "just_right.hpp"
#include "numbered_names.hpp"
#include "oddplate/core/csv.hpp"
#include "oddplate/core/json.hpp"
#include "oddplate/core/text.hpp"

namespace oddplate::methods::just_right {
namespace {

constexpr std::size_t k_most_samples = 30, k_most_attributes = 30;
constexpr double k_largest_liking = 1e6;
constexpr const char* k_level_expected = "too-little, just-right or too-much, or a whole number from -2 (far too little) over 0 (just right) to 2 (far too much)";

std::optional<double> level_of(const std::string& text) {
    std::string word = core::lower_ascii(text);
    for (char& c : word)
        if (c == ' ' || c == '_') c = '-';
    if (word == "too-little") return -1;
    if (word == "just-right") return 0;
    if (word == "too-much") return 1;
    const auto number = core::csv_number(text, "level");
    if (!number || std::abs(*number) > 2 || *number != std::floor(*number)) return std::nullopt;
    return *number;
}

class Reading {
public:
    explicit Reading(const PlainTable& table) : m_table(table), m_has_attributes(table.column("attribute") >= 0) {}

    core::Result<Opinions> all() {
        for (const PlainTable::Row& row : m_table.rows) read(row);
        check_number("sample", m_samples.names.size(), k_most_samples);
        check_number("attribute", m_attributes.names.size(), k_most_attributes);
        if (!m_faults.empty()) return m_faults;
        for (Opinion& opinion : m_opinions.rows)   // one line of several may say how the sample was liked
            if (const auto at = m_likings.find({opinion.taster, opinion.sample}); at != m_likings.end()) opinion.liking = at->second;
        m_opinions.samples = std::move(m_samples.names);
        m_opinions.tasters = std::move(m_tasters.names);
        m_opinions.attributes = m_has_attributes ? std::move(m_attributes.names) : std::vector<std::string>{""};
        return std::move(m_opinions);
    }

private:
    const PlainTable& m_table;
    bool m_has_attributes;
    Opinions m_opinions;
    NumberedNames m_samples{"sample"}, m_tasters{"taster"}, m_attributes{"attribute"};
    std::set<std::tuple<std::int32_t, std::int32_t, std::int32_t>> m_seen;
    std::map<std::pair<std::int32_t, std::int32_t>, double> m_likings;
    core::Faults m_faults;

    std::string cell(const PlainTable::Row& row, std::string_view name) const { return core::trimmed(row.cells[static_cast<std::size_t>(m_table.column(name))]); }

    void check_number(const char* what, std::size_t many, std::size_t most) {
        if (many > most) m_faults.push_back(core::found(what, std::to_string(many) + " " + what + "s", "at most " + std::to_string(most)));
    }

    void read(const PlainTable::Row& row) {
        const std::string place = "line " + std::to_string(row.line);
        const auto taster = m_tasters.number(cell(row, "taster"), place, m_faults), sample = m_samples.number(cell(row, "sample"), place, m_faults);
        const auto attribute = m_has_attributes ? m_attributes.number(cell(row, "attribute"), place, m_faults) : std::optional<std::int32_t>(0);
        if (!taster || !sample || !attribute) return;
        read_liking(row, place, {*taster, *sample});
        const std::string level = cell(row, "level");
        if (level.empty()) {
            ++m_opinions.left_out;
            return;
        }
        const auto value = level_of(level);
        if (!value) m_faults.push_back(core::found(place + " level", core::quoted(level), k_level_expected));
        if (!m_seen.emplace(*taster, *sample, *attribute).second)
            m_faults.push_back(core::found(place, "taster " + core::quoted(cell(row, "taster")) + " and sample " + core::quoted(cell(row, "sample")) + " a second time",
                                           m_has_attributes ? "one line a taster, sample and attribute" : "one line a taster and sample", m_has_attributes ? "" : "several things asked go with a column `attribute`"));
        if (value) m_opinions.rows.push_back({*taster, *sample, *attribute, *value, {}});
    }

    void read_liking(const PlainTable::Row& row, const std::string& place, std::pair<std::int32_t, std::int32_t> whose) {
        const std::string text = cell(row, "liking");
        if (text.empty()) return;
        const auto liking = core::csv_number(text, place);
        if (!liking || std::abs(*liking) > k_largest_liking) {
            m_faults.push_back(core::found(place + " liking", core::quoted(text), "a number from -1,000,000 to 1,000,000, or nothing where none was given"));
            return;
        }
        const auto [at, is_new] = m_likings.emplace(whose, *liking);
        if (!is_new && at->second != *liking)
            m_faults.push_back(core::found(place + " liking", core::quoted(text), core::shortest(at->second) + " as before", "a sample is liked as a whole, whatever the attribute"));
    }
};

constexpr Setting k_weigh[] = {k_alpha, {.key = "confidence", .lo = 0, .hi = 1, .open = true, .help = "of the intervals (default 1 - alpha)"}};

}   // namespace

constinit const std::span<const Setting> k_weigh_settings{k_weigh};

core::Result<Opinions> read_table(const PlainTable& table) { return Reading(table).all(); }

core::Result<Findings> weigh_table(const Method& method, const PlainTable& table, const Settings& settings) {
    const auto opinions = read_table(table);
    if (!opinions) return opinions.faults();
    const double alpha = number(settings, "alpha").value_or(0.05);
    const Question question{alpha, number(settings, "confidence").value_or(1 - alpha)};
    return findings_of(method, question, *opinions, weigh(question, *opinions));
}

}   // namespace oddplate::methods::just_right
