// A plain table of ticked words read: one line a portion, the words of a cell with slashes between, an empty cell where none fitted.

#include <algorithm>
#include <map>
#include <set>

#include "numbered_names.hpp"
#include "oddplate/core/json.hpp"
#include "oddplate/core/text.hpp"
#include "ticks.hpp"

namespace oddplate::methods::ticks {
namespace {

constexpr std::size_t k_most_samples = 30, k_most_words = 60;
constexpr Setting k_weigh[] = {k_alpha, {.key = "confidence", .lo = 0, .hi = 1, .open = true, .help = "of the intervals (default 1 - alpha)"}};

struct Line {
    std::int32_t taster, sample;
    std::set<std::int32_t> words;
};

Ticked ticked_of(std::span<const Line> lines, const NumberedNames& samples, const NumberedNames& words) {
    Ticked ticked{.samples = samples.names, .words = words.names, .trays = {}};
    std::map<std::int32_t, std::size_t> tray_of;
    for (const Line& line : lines) {
        const auto [at, is_new] = tray_of.emplace(line.taster, ticked.trays.size());
        if (is_new) ticked.trays.push_back({.taster = line.taster, .samples = {}, .ticked = {}});
        Tray& tray = ticked.trays[at->second];
        tray.samples.push_back(line.sample);
        tray.ticked.emplace_back(words.names.size(), false);
        for (const std::int32_t word : line.words) tray.ticked.back()[static_cast<std::size_t>(word)] = true;
    }
    std::erase_if(ticked.trays, [](const Tray& tray) { return tray.samples.size() < 2; });   // one portion has nothing beside it
    return ticked;
}

}   // namespace

constinit const std::span<const Setting> k_weigh_settings{k_weigh};

core::Result<Findings> weigh_table(const Method& method, const PlainTable& table, const Settings& settings) {
    NumberedNames tasters{"taster"}, samples{"sample"}, words{"words"};
    core::Faults faults;
    std::vector<Line> lines;
    std::set<std::pair<std::int32_t, std::int32_t>> seen;
    const auto cell = [&](const PlainTable::Row& row, std::string_view name) { return core::trimmed(row.cells[static_cast<std::size_t>(table.column(name))]); };
    for (const PlainTable::Row& row : table.rows) {
        const std::string place = "line " + std::to_string(row.line), ticked = cell(row, "words");
        const auto taster = tasters.number(cell(row, "taster"), place, faults), sample = samples.number(cell(row, "sample"), place, faults);
        if (!taster || !sample) continue;
        if (!seen.emplace(*taster, *sample).second)
            faults.push_back(core::found(place, "taster " + core::quoted(cell(row, "taster")) + " and sample " + core::quoted(cell(row, "sample")) + " a second time", "one line a taster and sample, its words with slashes between"));
        Line line{*taster, *sample, {}};
        if (!ticked.empty())
            for (const std::string& word : core::split(ticked, '/'))
                if (const auto number = words.number(core::trimmed(word), place, faults)) line.words.insert(*number);
        lines.push_back(std::move(line));
    }
    if (samples.names.size() > k_most_samples) faults.push_back(core::found("sample", std::to_string(samples.names.size()) + " samples", "at most " + std::to_string(k_most_samples)));
    if (words.names.size() > k_most_words) faults.push_back(core::found("words", std::to_string(words.names.size()) + " different words", "at most " + std::to_string(k_most_words)));
    if (faults.empty() && samples.names.size() < 2) faults.push_back(core::found("sample", samples.names.empty() ? "no row" : "one name", "two samples or more"));
    if (faults.empty() && words.names.empty()) faults.push_back(core::found("words", "no word at all", "words with slashes between (salty/dry), empty where none fitted"));
    if (!faults.empty()) return faults;
    const double alpha = number(settings, "alpha").value_or(0.05);
    const Question question{alpha, number(settings, "confidence").value_or(1 - alpha)};
    const Ticked ticked = ticked_of(lines, samples, words);
    return findings_of(method, question, ticked, weigh(question, ticked));
}

}   // namespace oddplate::methods::ticks
