// The scores taken as words in an order, since nobody promises that the step from 6 to 7 is as large as that from 7 to 8.

#include <algorithm>
#include <cmath>
#include <set>

#include "ratings.hpp"

namespace oddplate::methods::ratings {
namespace {

constexpr std::size_t k_most_words = 11;       // 0 to 10
constexpr std::size_t k_most_scores = 2000;    // of the bootstrap, which fits 999 tables
constexpr std::size_t k_most_odds = 28;        // pairs whose profile is followed: eight samples
constexpr std::uint64_t k_seed = 7;            // of the tables drawn

/// Why these scores are not a few words, each given once a sample.
std::string why_not(const Scoring& scoring, const stats::RatingModel& model, const std::set<double>& words) {
    const auto whole = [](double score) { return score == std::floor(score); };
    if (!std::all_of(words.begin(), words.end(), whole) || words.size() > k_most_words) return "ratings.why.no_few_words";
    if (words.size() < 2) return "ratings.why.one_word";
    if (scoring.ratings.size() > k_most_scores) return "ratings.why.many_scores";
    for (const stats::ScatterPart& part : model.scatter) {
        const bool known = part.what == stats::ScatterOf::taster || part.what == stats::ScatterOf::residual;
        if (!known && !(part.boundary && part.what == stats::ScatterOf::piece)) return "ratings.why.more_scatter";   // pieces that came out as alike do no harm
    }
    if (std::find(model.notes.begin(), model.notes.end(), stats::RatingNote::repeats_alike) != model.notes.end()) return "ratings.why.more_scatter";
    return {};
}

/// Samples against the first, then places in the row against the first place, where the scores can tell them apart.
stats::OrderedData data_of(const Scoring& scoring, const stats::RatingModel& model, const std::set<double>& words) {
    stats::OrderedData data;
    std::int32_t last = 0;
    for (const stats::Rating& rating : scoring.ratings) last = std::max(last, rating.position);
    const std::size_t samples = scoring.samples.size(), places = model.position ? static_cast<std::size_t>(last) : 0;
    data.columns = samples - 1 + places;
    const bool one_each = std::find(model.notes.begin(), model.notes.end(), stats::RatingNote::one_score_a_taster) != model.notes.end();
    for (const stats::Rating& rating : scoring.ratings) {
        for (std::size_t s = 1; s < samples; ++s) data.x.push_back(static_cast<std::size_t>(rating.sample) == s ? 1.0 : 0.0);
        for (std::size_t p = 1; p <= places; ++p) data.x.push_back(static_cast<std::size_t>(rating.position) == p ? 1.0 : 0.0);
        data.y.push_back(static_cast<std::int32_t>(std::distance(words.begin(), words.find(rating.score))));
        if (!one_each) data.taster.push_back(rating.taster);
    }
    return data;
}

}   // namespace

std::optional<Ordered> ordered_of(const Question& question, const Scoring& scoring, const stats::RatingModel& model, std::string& why) {
    std::set<double> words;
    for (const stats::Rating& rating : scoring.ratings) words.insert(rating.score);
    why = why_not(scoring, model, words);
    if (!why.empty()) return std::nullopt;
    if (!model.test) {
        why = "ratings.why.as_above";
        return std::nullopt;
    }
    const stats::OrderedData data = data_of(scoring, model, words);
    const std::size_t others = scoring.samples.size() - 1;
    const auto fit = stats::fit_cumulative_link(data);
    const auto test = stats::test_cumulative_link(data, 0, others, k_seed);
    if (!fit || !test) {
        why = (fit ? test.faults() : fit.faults()).front().text;
        return std::nullopt;
    }
    Ordered ordered{*fit, *test, {}, {0.0}};
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
