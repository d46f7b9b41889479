// A plain table of ratings read: names numbered in the order in which they come.

#include <cmath>
#include <map>
#include <tuple>
#include <utility>

#include "numbered_names.hpp"
#include "oddplate/core/csv.hpp"
#include "oddplate/core/text.hpp"
#include "ratings.hpp"

namespace oddplate::methods::ratings {
namespace {

constexpr double k_largest_score = 1e6;
constexpr std::size_t k_most_samples = 30;   // 435 pairs
constexpr std::int32_t k_last_position = 100;

class Reading {
public:
    explicit Reading(const PlainTable& table) : m_table(table) { m_scoring.has_positions = table.column("position") >= 0; }

    core::Result<Scoring> all() {
        for (const PlainTable::Row& row : m_table.rows) read(row);
        if (m_samples.names.size() > k_most_samples)
            m_faults.push_back(core::found("sample", std::to_string(m_samples.names.size()) + " samples", "at most " + std::to_string(k_most_samples)));
        if (!m_faults.empty()) return m_faults;
        m_scoring.samples = std::move(m_samples.names);
        m_scoring.tasters = std::move(m_tasters.names);
        return std::move(m_scoring);
    }

private:
    const PlainTable& m_table;
    Scoring m_scoring;
    NumberedNames m_samples{"sample"}, m_tasters{"taster"}, m_sittings{"sitting"}, m_pieces{"piece"};
    std::map<std::pair<std::int32_t, std::int32_t>, std::int32_t> m_piece_numbers;   // by sample and name: a name is a piece of its sample alone
    core::Faults m_faults;

    std::string cell(const PlainTable::Row& row, std::string_view name) const {
        return core::trimmed(row.cells[static_cast<std::size_t>(m_table.column(name))]);
    }

    void read(const PlainTable::Row& row) {
        const std::string place = "line " + std::to_string(row.line), score = cell(row, "score");
        const auto taster = m_tasters.number(cell(row, "taster"), place, m_faults), sample = m_samples.number(cell(row, "sample"), place, m_faults);
        const auto sitting = m_table.column("sitting") < 0 ? std::optional<std::int32_t>(0) : m_sittings.number(cell(row, "sitting"), place, m_faults);
        const auto position = m_scoring.has_positions ? position_in(row, place) : std::optional<std::int32_t>(-1);
        const auto piece = m_table.column("piece") < 0 ? std::optional<std::int32_t>(-1) : m_pieces.number(cell(row, "piece"), place, m_faults);
        if (score.empty()) {
            ++m_scoring.left_out;
            return;
        }
        const auto points = core::csv_number(score, place + " score");
        if (!points || std::abs(*points) > k_largest_score) {
            m_faults.push_back(core::found(place + " score", core::quoted(score), "a number from -1,000,000 to 1,000,000, or nothing where none was given"));
            return;
        }
        if (taster && sample && sitting && position && piece)
            m_scoring.ratings.push_back({.taster = *taster, .sample = *sample, .score = *points, .sitting = *sitting, .piece = piece_of(*sample, *piece), .position = *position});
    }

    std::int32_t piece_of(std::int32_t sample, std::int32_t name) {
        return name < 0 ? -1 : m_piece_numbers.emplace(std::pair{sample, name}, static_cast<std::int32_t>(m_piece_numbers.size())).first->second;
    }

    /// As people count: the first served is 1.
    std::optional<std::int32_t> position_in(const PlainTable::Row& row, const std::string& place) {
        const std::string text = cell(row, "position");
        const auto number = core::csv_number(text, place);
        if (number && *number >= 1 && *number <= k_last_position && *number == std::floor(*number)) return static_cast<std::int32_t>(*number) - 1;
        m_faults.push_back(core::found(place + " position", text.empty() ? "nothing" : core::quoted(text), "a whole number from 1 to " + std::to_string(k_last_position) + ": served first, second, ..."));
        return std::nullopt;
    }
};

/// The sample at the place before, in the same sitting of the same taster. Rows without places have none before them.
void note_what_came_before(Scoring& scoring) {
    std::map<std::tuple<std::int32_t, std::int32_t, std::int32_t>, std::int32_t> at;   // taster, sitting, position
    for (const stats::Rating& rating : scoring.ratings)
        if (rating.position >= 0) at[{rating.taster, rating.sitting, rating.position}] = rating.sample;
    for (stats::Rating& rating : scoring.ratings) {
        const auto before = at.find({rating.taster, rating.sitting, rating.position - 1});
        if (rating.position > 0 && before != at.end()) rating.before = before->second;
    }
}

core::Status name_control(Scoring& scoring, const std::string& name) {
    for (std::size_t s = 0; s < scoring.samples.size(); ++s)
        if (core::lower_ascii(scoring.samples[s]) == core::lower_ascii(core::trimmed(name))) scoring.control = static_cast<std::int32_t>(s);
    if (scoring.control) return core::Done{};
    const std::string near = core::nearest(name, scoring.samples);
    return core::found("--control", core::quoted(name), "one of " + core::joined(scoring.samples, ", "), near.empty() ? "" : "did you mean " + near + "?");
}

constexpr Setting k_weigh[] = {
    k_alpha,
    {.key = "confidence", .lo = 0, .hi = 1, .open = true, .help = "of the intervals, for all samples or pairs at once (default 1 - alpha)"},
    {.key = "control", .kind = Kind::words, .help = "the sample that every other one is held against as well"},
    {.key = "carry_over", .kind = Kind::flag, .help = "let the sample eaten before (by position, within taster and sitting) shift a score, and say whether it did"}};

}   // namespace

constinit const std::span<const Setting> k_weigh_settings{k_weigh};

Question question_of(const Settings& settings, double alpha) {
    return {alpha, number(settings, "confidence").value_or(1 - alpha), flag(settings, "carry_over")};
}

core::Result<Scoring> read_table(const PlainTable& table, const Settings& settings) {
    auto scoring = Reading(table).all();
    if (!scoring) return scoring.faults();
    if (const auto control = words(settings, "control"))
        if (const auto named = name_control(*scoring, *control); !named) return named.faults();
    return scoring;
}

core::Result<Findings> weigh_table(const Method& method, const PlainTable& table, const Settings& settings) {
    auto scoring = read_table(table, settings);
    if (!scoring) return scoring.faults();
    if (flag(settings, "carry_over")) note_what_came_before(*scoring);
    const Question question = question_of(settings, number(settings, "alpha").value_or(0.05));
    return findings_of(method, question, *scoring, weigh(question, *scoring, true));
}

}   // namespace oddplate::methods::ratings
