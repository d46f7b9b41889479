// A plain table of words: taster, the kind of set, the answer, and how sure.

#include <algorithm>
#include <charconv>
#include <map>

#include "oddplate/core/text.hpp"
#include "signals.hpp"

namespace oddplate::methods::signals {
namespace {

/// "3", or the part after a colon; 0 for nothing, -1 for no such step.
int step_of(std::string_view text) {
    if (text.empty()) return 0;
    int step = -1;
    const auto [end, error] = std::from_chars(text.data(), text.data() + text.size(), step);
    return error == std::errc{} && end == text.data() + text.size() && 1 <= step && step <= k_steps ? step : -1;
}

}   // namespace

core::Result<Findings> weigh_table(const Method& method, const Family& family, const PlainTable& table, const Settings& settings) {
    const auto knows = [&](const std::string& word) {
        return std::find(family.answers.begin(), family.answers.end(), word) != family.answers.end();
    };
    const auto column = [&](std::string_view name) { return table.column(name); };
    const int sure = column("sureness");
    std::map<std::string, std::size_t> tasters;
    Answers answers;
    core::Faults faults;
    const std::string either = std::string(family.answers.front()) + " or " + std::string(family.answers.back());
    for (const PlainTable::Row& row : table.rows) {
        const auto cell = [&](int at) { return at < 0 ? std::string() : core::trimmed(row.cells[static_cast<std::size_t>(at)]); };
        const std::string place = "line " + std::to_string(row.line);
        const std::string asked = core::lower_ascii(cell(column(family.kind_column)));
        const std::string given = core::lower_ascii(cell(column("answer")));
        const std::string word = given.substr(0, given.find(':'));
        const std::string said_step = given.find(':') == std::string::npos ? cell(sure) : given.substr(given.find(':') + 1);
        const int step = step_of(said_step);
        if (cell(column("taster")).empty()) faults.push_back(core::found(place + " taster", "nothing", "a name or number"));
        if (!knows(asked))
            faults.push_back(core::found(place + " " + std::string(family.kind_column), core::quoted(asked), either));
        if (!knows(word))
            faults.push_back(core::found(place + " answer", core::quoted(given), either));
        if (step < 0)
            faults.push_back(
                core::found(place + " sureness", core::quoted(said_step), "a whole number from 1 to " + std::to_string(k_steps)));
        if (!faults.empty()) continue;
        const std::size_t taster = tasters.emplace(cell(column("taster")), tasters.size()).first->second;
        answers.add(taster, asked == family.answers.front(), word == family.answers.front(), step);
    }
    if (!faults.empty()) return faults;
    const Question question = question_of(settings, number(settings, "alpha").value_or(0.05));
    const bool several = answers.several();
    Findings findings = findings_of(method, family, question, answers, weigh(family, question, answers, several));
    findings.add("tasters", answers.people());
    findings.add("answers", static_cast<std::int64_t>(table.rows.size()));
    return findings;
}

}   // namespace oddplate::methods::signals
