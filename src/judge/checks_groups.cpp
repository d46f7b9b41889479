// Where several recipes lie on a tray: does what people said of them differ from one evening or piece of meat to another, and do the trays compare them all?

#include <algorithm>
#include <cmath>
#include <map>
#include <numeric>
#include <optional>
#include <set>
#include <utility>

#include "checks.hpp"
#include "oddplate/stats/blocks.hpp"
#include "oddplate/stats/several_groups.hpp"

namespace oddplate::judge {
namespace {

constexpr std::uint64_t k_seed = 23;
constexpr double k_few_short = 0.2;   // of the trays: so many are left out rather than the recipes that they lacked
constexpr double k_poor_trays = 0.8;   // of the A-efficiency that the best design has: a fifth of the answers' worth is lost

/// What is held against what: where recipes ran out on few trays, whole trays alone; else all trays, without those recipes.
struct Compared {
    std::set<int> left_out{};   ///< recipes that some tray lacked on which they should have lain
    bool whole_only{false};
    bool any_short{false};

    [[nodiscard]] bool takes(const CheckedRound& checked, const JoinedSet& set) const { return !whole_only || set.seen.scored.samples.size() == checked.joined.key_of(set).portions.size(); }
};

Compared what_to_compare(const CheckedRound& checked) {
    Compared found;
    std::set<int> all;
    std::size_t trays_short = 0;
    for (const JoinedSet* set : checked.counted) {
        const std::vector<int>& there = set->seen.scored.samples;
        all.insert(there.begin(), there.end());
        const auto& portions = checked.joined.key_of(*set).portions;
        trays_short += there.size() < portions.size() ? 1 : 0;
        for (const draw::KeyPortion& portion : portions)
            if (std::find(there.begin(), there.end(), portion.version) == there.end()) found.left_out.insert(portion.version);
    }
    found.any_short = trays_short > 0;
    const auto left = std::count_if(all.begin(), all.end(), [&](int version) { return !found.left_out.contains(version); });
    found.whole_only = found.any_short && (left < 2 || static_cast<double>(trays_short) <= k_few_short * static_cast<double>(checked.counted.size()));
    if (found.whole_only) found.left_out.clear();
    return found;
}

/// Each value's place among those of its tray that everybody could have met there, ties in the middle: what lay beside them elsewhere moves it nowhere.
std::vector<double> places_among(const methods::Scored& scored, const std::set<int>& left_out) {
    std::vector<double> places(scored.values.size(), std::nan(""));
    for (std::size_t i = 0; i < places.size(); ++i) {
        if (left_out.contains(scored.samples[i])) continue;
        places[i] = 0.5;
        for (std::size_t other = 0; other < places.size(); ++other)
            if (!left_out.contains(scored.samples[other])) places[i] += scored.values[other] < scored.values[i] ? 1 : scored.values[other] > scored.values[i] ? 0 : 0.5;
    }
    return places;
}

/// What one person said in one group: a column for each recipe's value less its tray's mean, and one for each recipe and attribute or word. Where a recipe ran out on some trays it is left out
/// of all, and the others' places among themselves stand for their values: else a shorter tray would look like another opinion.
class Rows {
public:
    Rows(std::size_t versions, std::set<int> left_out) : m_versions(versions), m_left_out(std::move(left_out)) {}

    void add(int group, std::int32_t taster, const methods::Scored& scored, int only_version = -1) {
        const std::vector<double> values = m_left_out.empty() ? scored.values : places_among(scored, m_left_out);
        double mean = 0, there = 0;
        for (const double value : values)
            if (!std::isnan(value)) mean += value, ++there;
        mean /= there;
        auto& mine = m_sums[{group, taster}];
        for (std::size_t i = 0; i < scored.samples.size(); ++i) {
            if ((only_version >= 0 && scored.samples[i] != only_version) || m_left_out.contains(scored.samples[i])) continue;
            const std::size_t more = i < scored.levels.size() ? scored.levels[i].size() : 0;
            const std::size_t width = m_versions * (1 + more);
            if (mine.size() < width) mine.resize(width);
            const auto put = [&](std::size_t column, double value) {
                mine[column].first += value;
                mine[column].second += 1;
            };
            if (there >= 2) put(static_cast<std::size_t>(scored.samples[i]), values[i] - mean);
            for (std::size_t a = 0; a < more; ++a) put(m_versions * (1 + a) + static_cast<std::size_t>(scored.samples[i]), scored.levels[i][a]);
        }
    }

    [[nodiscard]] std::vector<stats::GroupedRow> all() const {
        std::size_t width = 0;
        for (const auto& [who, sums] : m_sums) width = std::max(width, sums.size());
        std::vector<stats::GroupedRow> rows;
        for (const auto& [who, sums] : m_sums) {
            stats::GroupedRow row{who.first, std::vector<double>(width, std::nan(""))};
            for (std::size_t column = 0; column < sums.size(); ++column)
                if (sums[column].second > 0) row.values[column] = sums[column].first / sums[column].second;
            rows.push_back(std::move(row));
        }
        return rows;
    }

private:
    std::size_t m_versions;
    std::set<int> m_left_out;
    std::map<std::pair<int, std::int32_t>, std::vector<std::pair<double, double>>> m_sums;   // by group and taster: sum and number of each column
};

/// Whether trays of all lengths together compare every version with every other, through others if need be.
bool joins_all(const std::map<std::size_t, stats::Design>& lengths, int versions) {
    std::vector<int> part(static_cast<std::size_t>(versions));
    std::iota(part.begin(), part.end(), 0);
    for (const auto& [length, rows] : lengths)
        for (const auto& row : rows)
            for (const int version : row) {
                const int from = part[static_cast<std::size_t>(version)], into = part[static_cast<std::size_t>(row.front())];
                std::replace(part.begin(), part.end(), from, into);
            }
    return std::all_of(part.begin(), part.end(), [&](int one) { return one == part.front(); });
}

}   // namespace

methods::Check check_evenings_of_several(const CheckedRound& checked) {
    methods::Check check{.id = "evenings_agree", .p_value = {}, .alarm = false, .words = {"judge.evenings.one", {}}};
    const Compared taken = what_to_compare(checked);
    std::set<int> evenings;
    for (const JoinedSet* set : checked.counted) evenings.insert(checked.subject.plan.evening_at(set->ballot));
    if (taken.any_short && evenings.size() > 1) check.words = {"judge.evenings.lacking", {}};
    Rows rows(checked.subject.plan.versions.size(), taken.left_out);
    for (const JoinedSet* set : checked.counted)
        if (taken.takes(checked, *set)) rows.add(checked.subject.plan.evening_at(set->ballot), set->seen.taster, set->seen.scored);
    const auto p = stats::several_groups_p(rows.all(), k_seed);
    if (!p) return check;
    check.p_value = p->p;
    check.alarm = p->p <= k_alarm;
    check.words = {check.alarm ? "judge.evenings.several_unlike" : "judge.evenings.alike", {{"p", p->p}}};
    return check;
}

methods::Check check_pieces(const CheckedRound& checked) {
    methods::Check check{.id = "pieces_agree", .p_value = {}, .alarm = false, .words = {"judge.pieces.uncompared", {}}};
    const auto& versions = checked.subject.plan.versions;
    const Compared taken = what_to_compare(checked);
    double least = 1;
    std::size_t compared = 0, unlike = 0;
    for (std::size_t version = 0; version < versions.size(); ++version) {
        Rows rows(versions.size(), taken.left_out);
        for (const JoinedSet* set : checked.counted) {
            const auto& pieces = set->seen.pieces;
            if (version < pieces.size() && pieces[version] >= 0 && taken.takes(checked, *set)) rows.add(pieces[version], set->seen.taster, set->seen.scored, static_cast<int>(version));
        }
        const auto p = stats::several_groups_p(rows.all(), k_seed);
        if (!p) continue;
        ++compared;
        if (p->p < least) least = p->p, unlike = version;
    }
    if (compared == 0) return check;
    check.p_value = std::min(1.0, static_cast<double>(compared) * least);   // Bonferroni over the recipes
    check.alarm = *check.p_value <= k_alarm;
    check.words = {check.alarm ? "judge.pieces.unlike" : "judge.pieces.alike", {{"recipe", versions[unlike].id}, {"p", *check.p_value}}};
    return check;
}

methods::Check check_trays(const CheckedRound& checked) {
    // A recipe that was withdrawn before anybody had it is none of those that trays could compare.
    std::set<int> tasted;
    for (const JoinedSet* set : checked.counted) tasted.insert(set->seen.scored.samples.begin(), set->seen.scored.samples.end());
    std::vector<int> number;   // by version; -1 where it is left out
    int versions = 0;
    for (int version = 0; version < static_cast<int>(checked.subject.plan.versions.size()); ++version) {
        const auto& gone = checked.subject.plan.withdrawn;
        const bool never_there = !tasted.contains(version) && std::find(gone.begin(), gone.end(), version) != gone.end();
        number.push_back(never_there ? -1 : versions++);
    }
    // The measure takes rows of one length: at each spot the commonest, since trays that lack a withdrawn recipe are shorter.
    std::map<int, std::map<std::size_t, stats::Design>> trays;   // by spot and length
    for (const JoinedSet* set : checked.counted) {
        if (set->seen.scored.samples.size() < 2) continue;
        auto& row = trays[set->seen.spot][set->seen.scored.samples.size()].emplace_back();
        for (const int version : set->seen.scored.samples) row.push_back(number[static_cast<std::size_t>(version)]);
    }
    std::optional<stats::DesignReport> worst;
    std::size_t met = 0;   // pairs of portions on one tray, at that spot
    bool mixed = false;    // what trays of that length leave apart, others join
    for (const auto& [spot, lengths] : trays) {
        const auto& [length, rows] = *std::max_element(lengths.begin(), lengths.end(), [](const auto& a, const auto& b) { return std::pair(a.second.size(), a.first) < std::pair(b.second.size(), b.first); });
        const stats::DesignReport here = stats::design_report(rows, versions);
        if (worst && here.a_efficiency / here.bound >= worst->a_efficiency / worst->bound) continue;
        worst = here;
        met = rows.size() * length * (length - 1) / 2;
        mixed = !here.connected && joins_all(lengths, versions);
    }
    if (!worst) return {.id = "trays_compare", .p_value = {}, .alarm = false, .words = {"judge.trays.none", {}}};
    if (mixed) return {.id = "trays_compare", .p_value = {}, .alarm = false, .words = {"judge.trays.mixed", {}}};
    const double share = worst->connected ? worst->a_efficiency / worst->bound : 0;
    const auto pairs = static_cast<std::size_t>(versions * (versions - 1) / 2);
    const bool poor = share < k_poor_trays, unmet = worst->pairs_apart > 0 && met >= 2 * pairs;   // there was room for each pair to meet twice
    const char* const said = !worst->connected ? "judge.trays.apart" : poor ? "judge.trays.poor" : unmet ? "judge.trays.unmet" : "judge.trays.well";
    return {.id = "trays_compare", .p_value = {}, .alarm = poor || unmet, .words = {said, {{"share", share}, {"a", worst->a_efficiency}, {"bound", worst->bound}, {"n", std::int64_t{worst->pairs_apart}}}}};
}

}   // namespace oddplate::judge
