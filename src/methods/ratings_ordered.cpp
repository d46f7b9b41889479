// The scores taken as words in an order, since nobody promises that the step from 6 to 7 is as large as that from 7 to 8.

#include <algorithm>
#include <cmath>
#include <map>
#include <set>
#include <utility>

#include "ratings.hpp"

namespace oddplate::methods::ratings {
namespace {

constexpr std::size_t k_most_words = 11;       // 0 to 10
constexpr std::size_t k_most_scores = 2000;    // of a fit with its intervals and drawn tables
constexpr std::size_t k_many_scores = 300;     // above them fewer tables are drawn, so that a report stays quick
constexpr int k_draws = 999, k_fewer_draws = 199;
constexpr std::size_t k_most_odds = 28;        // pairs whose profile is followed: eight samples
constexpr std::uint64_t k_seed = 7;            // of the tables drawn

/// Why these scores are not a few words.
std::string why_not(const Scoring& scoring, const std::set<double>& words) {
    const auto whole = [](double score) { return score == std::floor(score); };
    if (!std::all_of(words.begin(), words.end(), whole) || words.size() > k_most_words) return "ratings.why.no_few_words";
    if (words.size() < 2) return "ratings.why.one_word";
    if (scoring.ratings.size() > k_most_scores) return "ratings.why.many_scores";
    return {};
}

bool has(const stats::RatingModel& model, stats::RatingNote note) { return std::find(model.notes.begin(), model.notes.end(), note) != model.notes.end(); }

bool found_scatter(const stats::RatingModel& model, stats::ScatterOf what) {
    return std::any_of(model.scatter.begin(), model.scatter.end(), [&](const stats::ScatterPart& part) { return part.what == what && !part.boundary; });
}

/// What the scores as numbers show, or can't rule out, and one level a block does not know: its errors then are too small for a p.
std::vector<std::string> left_out_of(const stats::RatingModel& model) {
    std::vector<std::string> out;
    if (found_scatter(model, stats::ScatterOf::taster_by_sample)) out.emplace_back("a person's own taste of a recipe");
    if (found_scatter(model, stats::ScatterOf::piece) || has(model, stats::RatingNote::one_piece_a_sample)) out.emplace_back("pieces");
    if (found_scatter(model, stats::ScatterOf::sitting)) out.emplace_back("what one person's trays have in common");   // each tray is a block of its own
    if (has(model, stats::RatingNote::one_sitting_a_sample)) out.emplace_back("sittings");
    return out;
}

/// Repeats that are all alike say a thing once, as in the model of the numbers.
std::vector<stats::Rating> told_once(const Scoring& scoring, const stats::RatingModel& model) {
    if (!has(model, stats::RatingNote::repeats_alike)) return scoring.ratings;
    std::vector<stats::Rating> out;
    std::set<std::pair<std::int32_t, std::int32_t>> met;
    for (const stats::Rating& rating : scoring.ratings)
        if (met.emplace(rating.taster, rating.sample).second) out.push_back(rating);
    return out;
}

/// Samples against the first, then places in the row against the first place, where the scores can tell them apart.
stats::OrderedData data_of(const Scoring& scoring, const stats::RatingModel& model, const std::set<double>& words) {
    stats::OrderedData data;
    std::int32_t last = 0;
    for (const stats::Rating& rating : scoring.ratings) last = std::max(last, rating.position);
    const std::size_t samples = scoring.samples.size(), places = model.position ? static_cast<std::size_t>(last) : 0;
    data.columns = samples - 1 + places;
    const bool one_each = has(model, stats::RatingNote::one_score_a_taster), by_tray = found_scatter(model, stats::ScatterOf::sitting);
    std::map<std::pair<std::int32_t, std::int32_t>, std::int32_t> blocks;
    for (const stats::Rating& rating : told_once(scoring, model)) {
        for (std::size_t s = 1; s < samples; ++s) data.x.push_back(static_cast<std::size_t>(rating.sample) == s ? 1.0 : 0.0);
        for (std::size_t p = 1; p <= places; ++p) data.x.push_back(static_cast<std::size_t>(rating.position) == p ? 1.0 : 0.0);
        data.y.push_back(static_cast<std::int32_t>(std::distance(words.begin(), words.find(rating.score))));
        if (one_each) continue;
        const auto block = blocks.emplace(std::pair{rating.taster, by_tray ? rating.sitting : 0}, static_cast<std::int32_t>(blocks.size()));
        data.taster.push_back(block.first->second);
    }
    return data;
}

}   // namespace

std::optional<Ordered> ordered_of(const Question& question, const Scoring& scoring, const stats::RatingModel& model, std::string& why) {
    std::set<double> words;
    for (const stats::Rating& rating : scoring.ratings) words.insert(rating.score);
    why = why_not(scoring, words);
    if (!why.empty()) return std::nullopt;
    const stats::OrderedData data = data_of(scoring, model, words);
    const std::size_t others = scoring.samples.size() - 1;
    const auto fit = stats::fit_cumulative_link(data);
    if (!fit || !fit->converged) {
        why = fit ? "ratings.why.no_top" : fit.faults().front().text;
        return std::nullopt;
    }
    Ordered ordered{*fit, {}, left_out_of(model), {}, {0.0}};
    if (model.test && ordered.left_out.empty()) {
        const auto test = stats::test_cumulative_link(data, 0, others, k_seed, data.y.size() > k_many_scores ? k_fewer_draws : k_draws);
        if (!test) {
            why = test.faults().front().text;
            return std::nullopt;
        }
        ordered.test = *test;
    }
    ordered.log_odds.insert(ordered.log_odds.end(), fit->coefficients.begin(), fit->coefficients.begin() + static_cast<std::ptrdiff_t>(others));
    for (const stats::SamplePair& pair : model.pairs) {
        std::vector<double> c(data.columns, 0.0);
        if (pair.a > 0) c[static_cast<std::size_t>(pair.a) - 1] = 1;
        if (pair.b > 0) c[static_cast<std::size_t>(pair.b) - 1] = -1;
        ordered.odds.push_back(model.pairs.size() <= k_most_odds ? std::optional(stats::cumulative_interval(data, *fit, c, question.confidence)) : std::nullopt);
    }
    return ordered;
}

}   // namespace oddplate::methods::ratings
