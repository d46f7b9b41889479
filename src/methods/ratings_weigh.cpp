// One fit; then who leads by it. Tests: tests/unit/methods/ratings.test.cpp

#include <algorithm>
#include <cmath>

#include "oddplate/stats/binomial.hpp"
#include "oddplate/stats/test_laws.hpp"
#include "ratings.hpp"

namespace oddplate::methods::ratings {
namespace {

constexpr const char* k_one_piece = "ratings.why.one_piece_a_sample";

std::vector<std::optional<double>> plain_means(const Scoring& scoring) {
    std::vector<double> sums(scoring.samples.size(), 0.0), counts(scoring.samples.size(), 0.0);
    for (const stats::Rating& rating : scoring.ratings) {
        sums[static_cast<std::size_t>(rating.sample)] += rating.score;
        counts[static_cast<std::size_t>(rating.sample)] += 1;
    }
    std::vector<std::optional<double>> means;
    for (std::size_t s = 0; s < sums.size(); ++s) means.push_back(counts[s] > 0 ? std::optional(sums[s] / counts[s]) : std::nullopt);
    return means;
}

/// Why the samples have no test although there is a fit, as a phrase.
std::string why_no_test(const stats::RatingModel& model) {
    const auto has = [&](stats::RatingNote note) { return std::find(model.notes.begin(), model.notes.end(), note) != model.notes.end(); };
    if (has(stats::RatingNote::one_piece_a_sample)) return k_one_piece;
    return "ratings.why.one_sitting_a_sample";
}

void find_leaders(Weighed& weighed, const Scoring& scoring, double alpha) {
    const stats::RatingModel& model = *weighed.model;
    weighed.leads = leads_at(model, scoring, alpha);
    for (const std::size_t s : by_mean(model))
        if (!weighed.best || (!weighed.leads[*weighed.best] && weighed.leads[s])) weighed.best = s;
    const auto leaders = static_cast<std::size_t>(std::count(weighed.leads.begin(), weighed.leads.end(), true));
    weighed.verdict = leads::verdict_of(true, leaders, scoring.lasted());
}

/// The difference that the least sure pair of what lasted shows with the power wanted: the bound of its simultaneous interval held against noncentral t with the pair's own degrees of freedom.
double could_show(const stats::RatingModel& model, const Scoring& scoring) {
    double largest = 0;
    for (const stats::SamplePair& pair : model.pairs) {
        const double error = pair.test.standard_error;
        if (!(error > 0) || scoring.ran_out(static_cast<std::size_t>(pair.a)) || scoring.ran_out(static_cast<std::size_t>(pair.b))) continue;
        largest = std::max(largest, error * stats::noncentrality_for((pair.limits.upper - pair.limits.lower) / 2 / error, pair.test.df, k_could_show_power));
    }
    return largest;
}

}   // namespace

std::vector<bool> leads_at(const stats::RatingModel& model, const Scoring& scoring, double alpha) {
    std::vector<bool> leads(model.samples.size(), true);
    for (const stats::SamplePair& pair : model.pairs)   // whoever is shown to be below another is not in front, be it far from the best of few scores
        if (!scoring.ran_out(static_cast<std::size_t>(pair.a)) && !scoring.ran_out(static_cast<std::size_t>(pair.b)) && stats::significant(pair.p_adjusted, alpha)) leads[static_cast<std::size_t>(pair.test.estimate > 0 ? pair.b : pair.a)] = false;
    for (const int gone : scoring.withdrawn) leads[static_cast<std::size_t>(gone)] = false;
    return leads;
}

namespace {

/// As if the pieces were all there is: which of these very ones are in front.
std::vector<std::size_t> pieces_in_front(const Question& question, const Scoring& scoring) {
    Scoring pieces = scoring;
    for (stats::Rating& rating : pieces.ratings) rating.piece = -1;
    const Weighed weighed = weigh(question, pieces, false);
    std::vector<std::size_t> front;
    for (const std::size_t s : weighed.leads.empty() ? std::vector<std::size_t>{} : by_mean(*weighed.model))
        if (weighed.leads[s]) front.push_back(s);
    return front;
}

}   // namespace

Weighed weigh(const Question& question, const Scoring& scoring, bool with_more) {
    Weighed weighed;
    weighed.means = plain_means(scoring);
    const stats::RatingQuestion asked{.confidence = question.confidence, .control = scoring.control, .carry_over = question.carry_over, .limits = with_more};
    auto model = stats::rating_model(scoring.ratings, static_cast<std::int32_t>(scoring.samples.size()), static_cast<std::int32_t>(scoring.tasters.size()), asked);
    if (!model) {
        weighed.why = weighed.why_not_ordered = model.faults().front().text;
        return weighed;
    }
    weighed.model = std::move(*model);
    if (weighed.model->test) {
        find_leaders(weighed, scoring, question.alpha);
        if (with_more && scoring.lasted() > 1) weighed.could_show = could_show(*weighed.model, scoring);
    } else {
        weighed.why = why_no_test(*weighed.model);
        if (with_more && weighed.why == k_one_piece) weighed.pieces_in_front = pieces_in_front(question, scoring);
    }
    if (with_more && scoring.samples.size() > 1) {
        const std::vector<std::size_t> order = by_mean(*weighed.model);
        weighed.split = leads::split_of(taste_trays(scoring), scoring.samples, static_cast<int>(order[0]), static_cast<int>(order[1]), false);
    }
    if (with_more) weighed.ordered = ordered_of(question, scoring, *weighed.model, weighed.why_not_ordered);
    return weighed;
}

}   // namespace oddplate::methods::ratings
