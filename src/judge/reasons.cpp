#include "reasons.hpp"

#include <algorithm>
#include <map>
#include <set>

#include "oddplate/core/word_split.hpp"
#include "oddplate/core/words.hpp"
#include "oddplate/stats/binomial.hpp"
#include "oddplate/stats/cochran.hpp"
#include "oddplate/stats/holm.hpp"

namespace oddplate::judge {
namespace {

constexpr std::uint64_t k_seed = 17;      // of exchanges drawn where there are too many to count
constexpr std::size_t k_fewest = 5;       // people, before anything of theirs is shown
constexpr std::size_t k_most_words = 12;

struct Writer {
    std::set<std::string> words;
    std::map<int, int> leans;   // by side: how often
    int side{-1};
};

/// Words that say nothing of a taste, in every language there is.
const std::set<std::string>& idle_words() {
    static const std::set<std::string> all = [] {
        std::set<std::string> idle;
        for (const std::string_view code : core::Words::languages())
            if (const auto words = core::Words::in_language(code))
                for (std::string& word : core::words_in(words->text("reasons.idle"))) idle.insert(std::move(word));
        return idle;
    }();
    return all;
}

/// The sides of a method: 0 and 1 of votes and of right answers, else the versions.
int side_of(const methods::Method& method, const methods::Scored& scored) {
    switch (method.scale) {
        case methods::Scale::right: return scored.value > 0.5 ? 1 : 0;
        case methods::Scale::votes: return scored.value > 0 ? 1 : scored.value < 0 ? 0 : -1;
        case methods::Scale::each: return method.favours == nullptr ? -1 : method.favours(scored);
        case methods::Scale::values: break;
    }
    return -1;
}

std::string side_name(const methods::Method& method, const methods::Plan& plan, std::size_t side) {
    if (method.scale == methods::Scale::right) return side == 1 ? "right" : "wrong";
    return plan.versions[side].id;
}

/// By taster: those who wrote anything.
std::map<std::int32_t, Writer> writers_of(const CheckedRound& checked, const methods::Method& method) {
    std::map<std::int32_t, Writer> writers;
    for (const JoinedSet* set : checked.counted) {
        Writer& writer = writers[set->seen.taster];
        if (const int side = side_of(method, set->seen.scored); side >= 0) ++writer.leans[side];
        for (std::string& word : core::words_in(set->given->note)) writer.words.insert(std::move(word));
    }
    std::erase_if(writers, [](const auto& one) { return one.second.words.empty(); });
    for (auto& [taster, writer] : writers) {
        int most = 0;
        for (const auto& [side, times] : writer.leans) {
            writer.side = times > most ? side : times == most ? -1 : writer.side;
            most = std::max(most, times);
        }
    }
    return writers;
}

bool wrote(const Writer& writer, const std::string& beginning, bool whole) {
    if (whole) return writer.words.contains(beginning);
    const auto at = writer.words.lower_bound(beginning);
    return at != writer.words.end() && at->starts_with(beginning);
}

/// The plan's own; else what enough people wrote, the most written first.
std::vector<std::string> words_to_count(const methods::Round& round, const std::map<std::int32_t, Writer>& writers) {
    if (!round.reasons.empty()) return round.reasons;
    std::map<std::string, std::size_t> people;
    for (const auto& [taster, writer] : writers)
        for (const std::string& word : writer.words)
            if (!idle_words().contains(word)) ++people[word];
    std::vector<std::pair<std::string, std::size_t>> enough;
    for (const auto& one : people)
        if (one.second >= k_fewest) enough.push_back(one);
    std::stable_sort(enough.begin(), enough.end(), [](const auto& a, const auto& b) { return a.second > b.second; });
    std::vector<std::string> words;
    for (std::size_t i = 0; i < std::min(enough.size(), k_most_words); ++i) words.push_back(enough[i].first);
    return words;
}

struct Counted {
    std::string word;
    std::int64_t people{0};
    std::vector<std::int64_t> by_side;
    std::optional<double> p;
    double p_adjusted{1};
};

Counted count(const std::string& word, bool whole, const std::map<std::int32_t, Writer>& writers, std::size_t sides) {
    Counted counted{.word = word, .by_side = std::vector<std::int64_t>(sides, 0), .p = {}};
    std::vector<std::int64_t> sets, hits;
    for (const auto& [taster, writer] : writers) {
        const bool is = wrote(writer, word, whole);
        counted.people += is;
        if (writer.side < 0) continue;
        const auto side = static_cast<std::size_t>(writer.side);
        counted.by_side[side] += is;
        sets.resize(sets.size() + sides, 0);
        hits.resize(hits.size() + sides, 0);
        sets[sets.size() - sides + side] = 1;
        hits[hits.size() - sides + side] = is;
    }
    if (sides < 2 || counted.people < static_cast<std::int64_t>(k_fewest)) return counted;
    const stats::SpotTest test = stats::spots_differ({sides, sets, hits}, k_seed);
    if (test.p_value) counted.p = test.p_value->p;
    return counted;
}

std::vector<methods::Field> word_row(const Counted& counted) {
    std::vector<methods::Field> row{{"word", counted.word}};
    const bool is_shown = counted.people >= static_cast<std::int64_t>(k_fewest);
    row.push_back(is_shown ? methods::Field{"people", counted.people} : methods::Field{"people", {}, "fewer than five people wrote it"});
    const char* why = is_shown ? "no two sides of five people or more to compare" : "fewer than five people wrote it";
    for (const char* key : {"p_value", "p_adjusted"})
        row.push_back(counted.p ? methods::Field{key, std::string_view(key) == "p_value" ? *counted.p : counted.p_adjusted} : methods::Field{key, {}, why});
    return row;
}

/// Whether sides may be shown at all: two or more with anybody in them, none of them of fewer than five people, whom the others' counts would give away.
bool may_show_sides(const std::vector<std::int64_t>& of) {
    std::size_t sides = 0;
    for (const std::int64_t people : of) {
        if (people == 0) continue;
        if (people < static_cast<std::int64_t>(k_fewest)) return false;
        ++sides;
    }
    return sides >= 2;
}

/// Where it was written most for the people of the side. Sides may be shown.
core::Sentence word_sentence(const Counted& counted, const std::vector<std::int64_t>& of, const std::vector<std::string>& names) {
    std::size_t most = 0, least = 0;
    const auto rate = [&](std::size_t side) { return static_cast<double>(counted.by_side[side]) / static_cast<double>(of[side]); };
    bool any = false;
    for (std::size_t side = 0; side < of.size(); ++side) {
        if (of[side] == 0) continue;
        if (!any || rate(side) > rate(most)) most = side;
        if (!any || rate(side) < rate(least)) least = side;
        any = true;
    }
    return {"judge.reasons.word",
            {{"word", counted.word},
             {"most", names[most]},
             {"k", counted.by_side[most]},
             {"m", of[most]},
             {"least", names[least]},
             {"l", counted.by_side[least]},
             {"n", of[least]},
             {"q", counted.p_adjusted}}};
}

/// "salty (20), dry (7)": those that may be shown, as many as a sentence bears.
std::string list_of(const std::vector<Counted>& all) {
    constexpr std::size_t k_most_named = 5;
    std::string list;
    std::size_t named = 0;
    for (const Counted& counted : all) {
        if (counted.people < static_cast<std::int64_t>(k_fewest)) continue;
        if (named == k_most_named) return list + " ...";
        list += (named++ == 0 ? "" : ", ") + counted.word + " (" + std::to_string(counted.people) + ")";
    }
    return list.empty() ? "-" : list;
}

}   // namespace

void add_reasons(const CheckedRound& checked, methods::RoundFindings& findings) {
    const methods::Plan& plan = checked.subject.plan;
    const auto index = static_cast<std::size_t>(checked.round);
    const methods::Round& round = plan.rounds[index];
    const methods::Method& method = *checked.joined.methods[index];
    const std::map<std::int32_t, Writer> writers = writers_of(checked, method);
    if (writers.empty()) return;
    const bool planned = !round.reasons.empty();
    const std::size_t sides = method.scale == methods::Scale::each ? plan.versions.size() : 2;
    std::vector<std::int64_t> of(sides, 0);
    for (const auto& [taster, writer] : writers)
        if (writer.side >= 0) ++of[static_cast<std::size_t>(writer.side)];
    std::vector<Counted> all;
    std::vector<double> p_values;
    for (const std::string& word : words_to_count(round, writers)) {
        all.push_back(count(word, !planned, writers, sides));
        if (!may_show_sides(of)) all.back().p.reset();   // a p-value gives counts away too
        if (all.back().p) p_values.push_back(*all.back().p);
    }
    const std::vector<double> adjusted = stats::holm_adjusted(p_values);
    std::size_t next = 0;
    for (Counted& counted : all)
        if (counted.p) counted.p_adjusted = adjusted[next++];

    std::vector<std::string> names;
    for (std::size_t side = 0; side < sides; ++side) names.push_back(side_name(method, plan, side));
    methods::List words{"reasons", {}}, by{"reasons_by", {}};
    for (const Counted& counted : all) {
        words.rows.push_back(word_row(counted));
        for (std::size_t side = 0; side < sides; ++side) {
            const bool is_shown = counted.people >= static_cast<std::int64_t>(k_fewest) && may_show_sides(of);
            by.rows.push_back({{"word", counted.word}, {"chose", names[side]}, is_shown ? methods::Field{"people", counted.by_side[side]} : methods::Field{"people", {}, "fewer than five people wrote it, or are on one of the sides"}, {"of", of[side]}});
        }
    }
    const bool any_side = std::any_of(of.begin(), of.end(), [](std::int64_t people) { return people > 0; });
    if (!words.rows.empty()) findings.pooled.lists.push_back(std::move(words));
    if (!by.rows.empty() && any_side) findings.pooled.lists.push_back(std::move(by));
    const auto n = static_cast<std::int64_t>(writers.size());
    if (all.empty()) {
        findings.words.push_back({"judge.reasons.few", {{"n", n}}});
        return;
    }
    const std::size_t before = findings.words.size();
    for (const Counted& counted : all)
        if (may_show_sides(of) && counted.p && stats::significant(counted.p_adjusted, round.alpha)) findings.words.push_back(word_sentence(counted, of, names));
    const bool any_shown = findings.words.size() > before;
    findings.words.insert(findings.words.begin() + static_cast<std::ptrdiff_t>(before), {planned ? "judge.reasons.planned" : "judge.reasons.exploratory", {{"n", n}, {"words", static_cast<std::int64_t>(all.size())}, {"list", list_of(all)}}});
    if (!any_shown && any_side) findings.words.push_back({may_show_sides(of) ? "judge.reasons.none" : "judge.reasons.few_on_side", {}});
}

}   // namespace oddplate::judge
