// The same round with answers added or left out, each weighed as the round itself is. All of it is exploratory; the verdict never
// rests on it.

#include "variants.hpp"

#include <algorithm>
#include <optional>
#include <utility>

#include "checks.hpp"
#include "places.hpp"

namespace oddplate::judge {
namespace {

using Observations = std::vector<methods::Observation>;

Variant weighed(std::string id, int answers, const Observations& observations, const Case& subject, const Joined& joined,
                int round) {
    const auto index = static_cast<std::size_t>(round);
    const methods::Method& method = *joined.methods[index];
    methods::RoundFindings findings = method.analyse(method, observations, subject.plan.rounds[index], subject.plan);
    return {
        .id = std::move(id), .answers = answers, .verdict = std::move(findings.verdict), .pooled = std::move(findings.pooled)};
}

using Keep = bool (*)(const JoinedSet&);

std::size_t count(const RoundSets& sets, Keep keep) {
    return static_cast<std::size_t>(
        std::count_if(sets.begin(), sets.end(), [&](const JoinedSet* set) { return set->is_scored && keep(*set); }));
}

Observations chosen(const RoundSets& sets, Keep keep) {
    Observations observations;
    observations.reserve(count(sets, keep));
    for (const JoinedSet* set : sets)
        if (set->is_scored && keep(*set)) observations.push_back(set->seen);
    return observations;
}

bool counts(const JoinedSet& set) {
    return set.fate == Fate::counted;
}

bool is_lost(const JoinedSet& set) {
    return set.fate == Fate::missing || set.fate == Fate::blank || set.fate == Fate::void_;
}

enum class End { low, high };

/// What counts, and every lost set as if the highest (lowest) scoring place had been picked; nothing where a place cannot be
/// picked.
std::optional<Observations> with_lost_at(End end, const Case& subject, const Joined& joined, int round, const RoundSets& sets) {
    const auto index = static_cast<std::size_t>(round);
    PlaceScores scores(*joined.methods[index], subject.plan.rounds[index], subject.plan);
    Observations observations = observations_of(sets);
    for (const JoinedSet* set : sets) {
        if (!is_lost(*set)) continue;
        const std::vector<double>& by_place = scores.of(joined.key_of(*set));
        if (by_place.empty()) return std::nullopt;
        const auto [least, most] = std::minmax_element(by_place.begin(), by_place.end());
        const auto place = end == End::low ? least : most;
        methods::Observation imagined = set->seen;
        imagined.scored = {.value = *place, .picked = static_cast<int>(place - by_place.begin())};
        observations.push_back(std::move(imagined));
    }
    return observations;
}

}   // namespace

std::vector<methods::Observation> observations_of(const RoundSets& sets) {
    return chosen(sets, counts);
}

std::vector<Variant> variants_of(const Case& subject, const Joined& joined, int round, const RoundSets& sets,
                                 const Tally& tally) {
    std::vector<Variant> variants;
    const auto counted = static_cast<int>(count(sets, counts));
    const auto add = [&](const char* id, Keep keep) {
        const int changed = std::abs(static_cast<int>(count(sets, keep)) - counted);
        if (changed > 0) variants.push_back(weighed(id, changed, chosen(sets, keep), subject, joined, round));
    };
    add("with_insiders", [](const JoinedSet& set) { return counts(set) || (set.is_insider && !set.is_late); });
    add("with_late", [](const JoinedSet& set) { return counts(set) || (set.is_late && !set.is_insider); });
    add("without_told", [](const JoinedSet& set) { return counts(set) && !set.is_told; });
    if (!is_much_missing(tally)) return variants;
    for (const auto& [id, end] : {std::pair{"missing_high", End::high}, {"missing_low", End::low}}) {
        const auto imagined = with_lost_at(end, subject, joined, round, sets);
        if (imagined)
            variants.push_back(weighed(id, static_cast<int>(imagined->size()) - counted, *imagined, subject, joined, round));
    }
    return variants;
}

namespace {

/// Several recipes a tray: a piece is told by what its own portions came to, not by the tray.
bool has_places(const methods::Method& method) { return method.scale == methods::Scale::each; }

void add_portions(const draw::KeySet& key, const methods::Scored& scored, std::size_t pieces, std::vector<PieceRow>& rows, std::vector<double>& sums) {
    for (const draw::KeyPortion& portion : key.portions) {
        const auto mine = std::find(scored.samples.begin(), scored.samples.end(), portion.version);
        if (mine == scored.samples.end()) continue;
        const std::size_t row = static_cast<std::size_t>(portion.version) * pieces + static_cast<std::size_t>(portion.piece);
        ++rows.at(row).trays;
        sums.at(row) += scored.values[static_cast<std::size_t>(mine - scored.samples.begin())];
    }
}

}   // namespace

std::vector<PieceRow> pieces_of(const Case& subject, const Joined& joined, const RoundSets& sets) {
    if (subject.plan.pieces < 2) return {};
    const auto pieces = static_cast<std::size_t>(subject.plan.pieces);
    std::vector<PieceRow> rows;
    for (int version = 0; version < static_cast<int>(subject.plan.versions.size()); ++version)
        for (int piece = 0; piece < subject.plan.pieces; ++piece) rows.push_back({.version = version, .piece = piece, .mean = {}});
    std::vector<double> sums(rows.size(), 0);
    for (const JoinedSet* set : sets) {
        if (!counts(*set)) continue;
        if (has_places(*joined.methods[static_cast<std::size_t>(set->round)])) {
            add_portions(joined.key_of(*set), set->seen.scored, pieces, rows, sums);
            continue;
        }
        std::vector<std::size_t> on_tray;
        for (const draw::KeyPortion& portion : joined.key_of(*set).portions)
            on_tray.push_back(static_cast<std::size_t>(portion.version) * pieces + static_cast<std::size_t>(portion.piece));
        std::sort(on_tray.begin(), on_tray.end());
        on_tray.erase(std::unique(on_tray.begin(), on_tray.end()), on_tray.end());
        for (const std::size_t row : on_tray) {
            ++rows.at(row).trays;
            sums.at(row) += set->seen.scored.value;
        }
    }
    for (std::size_t row = 0; row < rows.size(); ++row)
        if (rows[row].trays > 0) rows[row].mean = sums[row] / static_cast<double>(rows[row].trays);
    return rows;
}

}   // namespace oddplate::judge
