// Tests: tests/unit/methods/ranks.test.cpp

#include "trays.hpp"

#include <algorithm>

#include "oddplate/stats/blocks.hpp"
#include "oddplate/stats/score_flip.hpp"

namespace oddplate::methods::trays {

namespace {

/// Every recipe once over a person's sittings: trays of one size that come out even, one spot, one draw for all sittings.
void settle_sittings(Round& round, const Plan& plan, const std::string& place, core::Faults& faults) {
    const auto sittings = whole(round.settings, "sittings");
    if (!sittings) return;
    const auto versions = static_cast<std::int64_t>(plan.versions.size());
    const std::string many = std::to_string(*sittings);
    const auto refuse = [&](const char* key, std::string got, std::string expected) { faults.push_back(core::found(place + "/" + key, std::move(got), std::move(expected))); };
    if (versions % *sittings != 0 || versions / *sittings < 2)
        return refuse("sittings", many, "a number that " + std::to_string(versions) + " versions can be split by, two or more at each sitting");
    const std::int64_t tray = whole(round.settings, "tray_size").value_or(versions / *sittings);
    if (tray != versions / *sittings) refuse("tray_size", std::to_string(tray), std::to_string(versions / *sittings) + " (" + std::to_string(versions) + " versions over " + many + " sittings), or nothing");
    if (round.sets_per_taster != 1 && round.sets_per_taster != *sittings) refuse("sets_per_taster", std::to_string(round.sets_per_taster), many + " (a tray a sitting), or nothing");
    if (round.spots.size() > 1) refuse("sittings", std::to_string(round.spots.size()) + " spots", "one spot where the recipes are split over sittings");
    if (!plan.evenings.empty()) refuse("sittings", many + " beside evenings", "one or the other: at `evenings` other people come, at `sittings` the same again");
    if (flag(round.settings, "usual_in_every_tray") || flag(round.settings, "strongest_last"))
        refuse("sittings", "usual_in_every_tray or strongest_last", "neither: over the sittings each recipe is served once, at every place alike");
    round.settings["tray_size"] = versions / *sittings;
    round.sittings = round.sets_per_taster = static_cast<int>(*sittings);
}

}   // namespace

void settle(const Method& method, Round& round, const Plan& plan, const std::string& place, core::Faults& faults) {
    const auto versions = static_cast<std::int64_t>(plan.versions.size());
    if (versions < method.fewest_versions || versions > k_most_versions)
        faults.push_back(core::found(place + "/method", std::to_string(versions) + " versions",
                                     std::to_string(method.fewest_versions) + " to " + std::to_string(k_most_versions) + " for " + std::string(method.id),
                                     versions == 2 ? "for two recipes ask paired-preference" : ""));
    const auto size = whole(round.settings, "tray_size");
    if (size && *size > versions)
        faults.push_back(core::found(place + "/tray_size", std::to_string(*size), "at most " + std::to_string(versions) + ", the number of versions"));
    settle_sittings(round, plan, place, faults);
    round.settings.try_emplace("tray_size", std::min<std::int64_t>(versions, k_most_versions));
    if (const auto stronger = words(round.settings, "stronger")) round.stronger = plan.version_index(*stronger);
    if (flag(round.settings, "strongest_last") && !round.settings.contains("stronger"))
        faults.push_back(core::found(place + "/stronger", "nothing", "the id of the version that comes last (\"strongest_last\": true)"));
    if (flag(round.settings, "strongest_last") && versions == 2)
        faults.push_back(core::found(place + "/strongest_last", "two recipes", "three or more: of two, what the last place does and what the recipe does are one and the same"));
    if (round.blank_sets > 0)
        faults.push_back(core::found(place + "/blank_sets", std::to_string(round.blank_sets), "0: a " + std::string(method.id) + " has no blank trays"));
}

namespace {

/// Rows in which `last` comes last wherever it is served. Complete trays are Williams' rows of the others, so those stay balanced for what came before.
stats::ServingRows with_last(stats::ServingRows served, int things, int size, int last) {
    if (size == things) {
        served = stats::serving_rows(things - 1, things - 1);
        for (auto& row : served.rows) {
            for (int& thing : row) thing += thing >= last ? 1 : 0;
            row.push_back(last);
        }
        return served;
    }
    for (auto& row : served.rows)
        if (const auto found = std::find(row.begin(), row.end(), last); found != row.end()) std::rotate(found, found + 1, row.end());
    return served;
}

/// Trays of one journey follow one another.
std::vector<Order> journeys(int versions, int size) {
    const stats::Journeys found = stats::journeys(versions, size);
    std::vector<Order> orders;
    for (std::size_t row = 0; row < found.rows.size(); ++row)
        for (auto tray = found.rows[row].begin(); tray != found.rows[row].end(); tray += size)
            orders.push_back({.versions = std::vector<int>(tray, tray + size), .reference = -1, .trait = static_cast<int>(row) % found.batch, .batch = static_cast<int>(row) / found.batch});
    return orders;
}

}   // namespace

std::vector<Order> orders(const Round& round, int versions) {
    const int most = std::min(versions, k_most_versions);
    const int size = static_cast<int>(std::clamp<std::int64_t>(whole(round.settings, "tray_size").value_or(most), 1, most));
    if (round.sittings > 1) return journeys(most, size);
    stats::ServingRows served = stats::serving_rows(most, size, flag(round.settings, "usual_in_every_tray"));
    if (flag(round.settings, "strongest_last") && round.stronger < most && most > 2) served = with_last(std::move(served), most, size, round.stronger);
    std::vector<Order> orders;
    for (std::size_t row = 0; row < served.rows.size(); ++row) {
        // Complete trays: which comes first. Smaller ones: which recipes they are, so that a taster's trays hold unlike ones.
        const int block = static_cast<int>(row) % served.batch;
        orders.push_back({.versions = served.rows[row], .reference = -1, .trait = size == most ? served.rows[row].front() : block, .batch = static_cast<int>(row) / served.batch});
    }
    return orders;
}

void say_always_last(std::vector<core::Sentence>& words, const Round& round, const Plan& plan) {
    if (!flag(round.settings, "strongest_last") || words.empty()) return;
    words.insert(words.begin() + 1, {"trays.always_last", {{"name", plan.versions[static_cast<std::size_t>(round.stronger)].id}}});
}

int first_of(const Scored& scored, bool most) {
    int first = -1;
    double best = 0;
    for (std::size_t i = 0; i < scored.values.size(); ++i) {
        const double value = most ? -scored.values[i] : scored.values[i];
        if (i > 0 && value == best) first = -1;
        if (i > 0 && value >= best) continue;
        best = value;
        first = scored.samples[i];
    }
    return first;
}

std::optional<double> spots_differ(std::span<const Observation> observations, const Plan& plan, std::uint64_t seed) {
    const std::size_t samples = plan.versions.size();
    std::optional<double> least;
    const std::size_t looks = samples == 2 ? 1 : samples;
    for (std::size_t s = 0; s < looks; ++s) {
        std::vector<stats::SpotScore> scores;
        for (const Observation& seen : observations) {
            const std::vector<double>& values = seen.scored.values;
            const std::vector<int>& versions = seen.scored.samples;
            double mean = 0;
            for (const double value : values) mean += value / static_cast<double>(values.size());
            for (std::size_t place = 0; place < versions.size(); ++place)
                if (static_cast<std::size_t>(versions[place]) == s) scores.push_back({seen.taster, seen.spot, values[place] - mean});
        }
        if (const auto p = stats::score_spots_p(scores, seed)) least = std::min(least.value_or(1), p->p * static_cast<double>(looks));
    }
    return least ? std::optional(std::min(1.0, *least)) : std::nullopt;
}

}   // namespace oddplate::methods::trays
