// Spots taken together, beside the plan's rule: closed testing, intervals that hold for all of them, the mean over spots.

#include <algorithm>
#include <cmath>

#include "oddplate/stats/binomial.hpp"
#include "oddplate/stats/closed_testing.hpp"
#include "oddplate/stats/two_kinds.hpp"
#include "right_answer_table.hpp"

namespace oddplate::methods::right_answer {
namespace {

/// Mean of the spots' shares right, and its standard error with tasters as the units (each taster's own part of the sum; a spot's
/// share is a ratio, taken to first order).
struct MeanOverSpots {
    std::optional<double> estimate, standard_error;
};

MeanOverSpots mean_over_spots(const Table& table) {
    std::vector<double> sets(table.spots), correct(table.spots);
    for (std::size_t cell = 0; cell < table.sets.size(); ++cell) {
        sets[cell % table.spots] += static_cast<double>(table.sets[cell]);
        correct[cell % table.spots] += static_cast<double>(table.correct[cell]);
    }
    double answered = 0, sum = 0;
    bool scatters = true;   // one answer at a spot would look as if it had no scatter
    for (std::size_t j = 0; j < table.spots; ++j) {
        if (sets[j] == 0) continue;
        ++answered;
        scatters = scatters && sets[j] > 1;
        sum += correct[j] / sets[j];
    }
    if (answered == 0) return {};
    double squares = 0;
    std::int64_t tasters = 0;
    for (std::size_t i = 0; i < table.tasters; ++i) {
        double part = 0;
        bool present = false;
        for (std::size_t j = 0; j < table.spots; ++j) {
            const std::size_t cell = i * table.spots + j;
            if (table.sets[cell] == 0) continue;
            present = true;
            part += (static_cast<double>(table.correct[cell]) - static_cast<double>(table.sets[cell]) * correct[j] / sets[j]) / sets[j];
        }
        squares += part * part / (answered * answered);
        tasters += present;
    }
    MeanOverSpots mean{sum / answered, std::nullopt};
    if (tasters > 1 && scatters) mean.standard_error = std::sqrt(squares * static_cast<double>(tasters) / static_cast<double>(tasters - 1));
    return mean;
}

}   // namespace

Together together(const Method& method, const Question& question, std::span<const Spot> spots) {
    std::vector<stats::SpotCount> counts;
    for (const Spot& spot : spots) counts.push_back({spot.count.correct, spot.count.of});
    const double chance = method.link->chance;
    const auto closed = stats::closed_test(counts, chance);
    Together found;
    found.p_anywhere = stats::smallest_p(counts, chance);
    for (std::size_t j = 0; j < spots.size(); ++j) {
        const Count& count = spots[j].count;
        const bool answered = count.of > 0;
        found.p_closed.push_back(closed && answered ? std::optional(closed->p_adjusted[j]) : std::nullopt);
        if (!answered || !question.confidence) {
            found.intervals.emplace_back();
            continue;
        }
        const double confidence = stats::simultaneous_confidence(*question.confidence, spots.size());
        found.intervals.emplace_back(count.by_tasters() ? stats::interval_by_tasters(count.correct, count.groups, chance, confidence)
                                                        : stats::clopper_pearson(count.correct, count.of, confidence));
    }
    return found;
}

void add_together(const Table& table, const Together& together, Findings& pooled) {
    const MeanOverSpots mean = mean_over_spots(table);
    pooled.add_optional("mean_over_spots.estimate", mean.estimate, "no answers");
    pooled.add_optional("mean_over_spots.standard_error", mean.standard_error, mean.estimate ? "there is one taster, or one answer at a spot" : "no answers");
    pooled.add("p_value_anywhere", together.p_anywhere);
}

void add_tasters(const Method& method, std::span<const Observation> observations, std::span<const std::string> names, const Round& round,
                 RoundFindings& found) {
    if (observations.empty()) return;
    const Question question = question_of(method, round);
    add_sureness(question, observations, found);
    const Table table = table_of(observations, round.spots.size());
    if (table.spots > 1) {
        std::vector<Spot> spots;
        for (std::size_t j = 0; j < table.spots; ++j) spots.push_back(counted(table, j, j + 1));
        const Together all = together(method, question, spots);
        for (std::size_t j = 0; j < table.spots; ++j) {
            Findings& findings = found.spots[j].findings;
            const std::string why = spots[j].count.of == 0 ? "no answers" : "more than eight spots";
            findings.add_optional("p_closed", all.p_closed[j], why);
            const auto& limits = all.intervals[j];
            const std::string no_limits = spots[j].count.of == 0 ? "no answers" : "alpha of a half or more leaves no confidence";
            findings.add_optional("simultaneous.lower", limits ? std::optional(limits->lower) : std::nullopt, no_limits);
            findings.add_optional("simultaneous.upper", limits ? std::optional(limits->upper) : std::nullopt, no_limits);
        }
        add_together(table, all, found.pooled);
    }
    if (counted(table, 0, table.spots).count.by_tasters()) add_population(method, question, table, found.pooled);
    constexpr std::size_t k_most_listed = 200;   // a longer list is read by nobody
    if (by_taster(table).size() > k_most_listed) return;
    const std::size_t said = found.pooled.words.size();
    add_each_taster(method, question, table, names, found.pooled);
    found.words.insert(found.words.end(), found.pooled.words.begin() + static_cast<std::ptrdiff_t>(said), found.pooled.words.end());
}

}   // namespace oddplate::methods::right_answer
