// A table of right and wrong answers that was not drawn here: count's keys by tasters, then the spots and the people.

#include <algorithm>
#include <array>
#include <map>

#include "right_answer_levels.hpp"
#include "right_answer_table.hpp"

namespace oddplate::methods::right_answer {
namespace {

constexpr std::array<Column, 4> k_columns{
    {{"taster"}, {"correct"}, {"spot", false}, {"level", false, "how much of it was in the odd portion, a number above 0: tells from where on people notice it"}}};
constexpr std::size_t k_most_spots = 100;

/// Names in the order in which they first come.
class Numbering {
public:
    std::size_t number_of(const std::string& name) {
        const auto [at, is_new] = m_numbers.try_emplace(name, m_names.size());
        if (is_new) m_names.push_back(name);
        return at->second;
    }
    [[nodiscard]] const std::vector<std::string>& names() const { return m_names; }

private:
    std::map<std::string, std::size_t> m_numbers;
    std::vector<std::string> m_names;
};

struct Read {
    Table table;
    std::vector<std::string> tasters, spots;
};

core::Result<Read> read(const PlainTable& plain) {
    const auto taster_at = static_cast<std::size_t>(plain.column("taster"));
    const auto correct_at = static_cast<std::size_t>(plain.column("correct"));
    const int spot_at = plain.column("spot");
    struct Answer {
        std::size_t taster, spot;
        bool right;
    };
    std::vector<Answer> answers;
    Numbering tasters, spots;
    core::Faults faults;
    for (const PlainTable::Row& row : plain.rows) {
        const std::string place = "line " + std::to_string(row.line);
        const std::string spot = spot_at < 0 ? std::string() : row.cells[static_cast<std::size_t>(spot_at)];
        const auto right = right_or_wrong(row.cells[correct_at]);
        if (!right) faults.push_back(core::found(place, "correct \"" + row.cells[correct_at] + "\"", "1 or 0 (yes or no)"));
        if (row.cells[taster_at].empty()) faults.push_back(core::found(place, "no taster", "a name or a number"));
        if (spot_at >= 0 && spot.empty()) faults.push_back(core::found(place, "no spot", "a name, as on the other lines"));
        if (faults.empty()) answers.push_back({tasters.number_of(row.cells[taster_at]), spots.number_of(spot), *right});
    }
    if (faults.empty() && answers.empty()) faults.push_back(core::found({}, "a header alone", "one answer a line"));
    if (spots.names().size() > k_most_spots)
        faults.push_back(core::found({}, std::to_string(spots.names().size()) + " spots", "100 at most", "is another column called spot?"));
    if (!faults.empty()) return faults;
    Read read{{tasters.names().size(), spots.names().size(), {}, {}}, tasters.names(), spots.names()};
    read.table.sets.assign(read.table.tasters * read.table.spots, 0);
    read.table.correct = read.table.sets;
    for (const Answer& answer : answers) {
        const std::size_t cell = answer.taster * read.table.spots + answer.spot;
        ++read.table.sets[cell];
        read.table.correct[cell] += answer.right;
    }
    return read;
}

/// The spots' own rows; every name stands for answers.
void add_spots(const Method& method, const Question& question, const Read& given, const Weighing& weighing, Findings& findings) {
    const Together all = together(method, question, weighing.spots);
    add_together(given.table, all, findings);
    List list{.key = "spots", .rows = {}};
    const auto limit = [](const std::optional<stats::Interval>& limits, double stats::Interval::*end) {
        return limits ? Value{(*limits).*end} : Value{};
    };
    for (std::size_t j = 0; j < weighing.spots.size(); ++j) {
        const Spot& spot = weighing.spots[j];
        list.rows.push_back({{"spot", given.spots[j]},
                             {"correct", spot.count.correct},
                             {"of", spot.count.of},
                             {"p_value", spot.weighed.p_different},
                             {"p_adjusted", spot.p_adjusted},
                             {"p_value_similar", spot.weighed.p_similar ? Value{*spot.weighed.p_similar} : Value{}},
                             {"verdict", std::string(to_text(combine(spot.weighed.different, spot.weighed.similar)))},
                             {"p_closed", all.p_closed[j] ? Value{*all.p_closed[j]} : Value{}, "more than eight spots"},
                             {"simultaneous_lower", limit(all.intervals[j], &stats::Interval::lower)},
                             {"simultaneous_upper", limit(all.intervals[j], &stats::Interval::upper)}});
    }
    findings.lists.push_back(std::move(list));
}

/// Where few enough is the question, it has to be shown at every spot, as in a tasting.
void decide_by_spot(const Method& method, const Question& question, const Weighing& weighing, Findings& findings) {
    findings.verdict = to_text(combine(weighing.different, weighing.similar));
    findings.words = {{"right.weigh.any_spot", {}}};
    say_by_spot(findings.words, method, question, weighing, DecideOn::any_spot);
    const bool below =
        std::any_of(weighing.spots.begin(), weighing.spots.end(), [](const Spot& spot) { return spot.weighed.below_chance; });
    findings.warnings.clear();
    if (below) findings.warnings.emplace_back("below_chance");
}

/// Spots and all of them together, weighed by the rule that goes with the aim.
Weighing weigh_spots(const Method& method, const Family& family, const Question& question, const Read& given, DecideOn rule) {
    const Table& table = given.table;
    Weighing weighing;
    for (std::size_t j = 0; j < table.spots; ++j) {
        Spot spot = counted(table, j, j + 1);
        spot.name = given.spots[j];
        spot.weighed = weigh(method, family, question, spot.count);
        spot.p_for_rule = spot.weighed.p_different;
        weighing.spots.push_back(std::move(spot));
    }
    weighing.pooled = counted(table, 0, table.spots);
    weighing.pooled.weighed = weigh(method, family, question, weighing.pooled.count);
    compare_and_decide(question, table, rule, Asked::all, weighing);
    return weighing;
}

}   // namespace

constinit const std::span<const Column> k_weigh_columns{k_columns};

std::optional<bool> right_or_wrong(const std::string& text) {
    if (text == "1" || text == "yes") return true;
    if (text == "0" || text == "no") return false;
    return std::nullopt;
}

core::Result<Findings> weigh_table(const Method& method, const Family& family, const PlainTable& plain, const Settings& settings) {
    if (holds_levels(plain)) return weigh_levels(method, plain, settings);
    if (core::Faults faults = both_given(settings); !faults.empty()) return faults;
    const auto given = read(plain);
    if (!given) return given.faults();
    const Table& table = given->table;
    const Question question = question_of(method, settings, number(settings, "alpha").value_or(0.05));
    const bool several = table.spots > 1, by_spot = several && question.similarity;
    const Weighing weighing = weigh_spots(method, family, question, *given, by_spot ? DecideOn::any_spot : DecideOn::overall);
    const Spot& pooled = weighing.pooled;
    if (pooled.count.by_tasters() && question.interval != stats::IntervalKind::clopper_pearson)
        return core::found("--interval", *words(settings, "interval"), "no other interval than the one by tasters",
                           "some gave several answers; leave the flag out");
    Findings findings = findings_of(method, family, question, pooled.count, pooled.weighed);
    findings.add("tasters", pooled.tasters);
    findings.add("answers", pooled.count.of);
    if (pooled.tasters == 1 && pooled.count.of > 1) findings.words.push_back({"right.weigh.one_taster", {}});
    if (several) {
        findings.add("decide_on", std::string(by_spot ? "any-spot" : "overall"));
        findings.add_optional("heterogeneity.p_value", weighing.heterogeneity, std::string(to_text(weighing.untested)));
        if (by_spot) decide_by_spot(method, question, weighing, findings);
        add_spots(method, question, *given, weighing, findings);
    }
    add_population(method, question, table, findings);
    add_each_taster(method, question, table, given->tasters, findings);
    return findings;
}

}   // namespace oddplate::methods::right_answer
