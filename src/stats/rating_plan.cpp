// Counting settles it: a term needs levels that come back, tasters by samples need somebody who scored a sample twice, and pieces or sittings that are
// the samples under another name leave no test of samples at all. Positions are coded to sum to 0, so that a sample's mean is that at the average place.
// Tests: tests/unit/stats/rating_model.test.cpp

#include "rating_plan.hpp"

#include <algorithm>
#include <map>
#include <set>

namespace oddplate::stats {
namespace {

using Code = std::function<std::int64_t(const Rating&)>;

std::size_t distinct(const std::vector<Rating>& ratings, const Code& code) {
    std::set<std::int64_t> seen;
    for (const Rating& rating : ratings) seen.insert(code(rating));
    return seen.size();
}

RandomTerm numbered(std::string name, const std::vector<Rating>& ratings, const Code& code) {
    std::map<std::int64_t, std::int32_t> numbers;
    RandomTerm term{std::move(name), {}, 0, {}};
    for (const Rating& rating : ratings) term.level.push_back(numbers.emplace(code(rating), static_cast<std::int32_t>(numbers.size())).first->second);
    term.levels = static_cast<std::int32_t>(numbers.size());
    return term;
}

std::int64_t taster_of(const Rating& rating) { return rating.taster; }
std::int64_t pair_of(const Rating& rating) { return (static_cast<std::int64_t>(rating.taster) << 32) + rating.sample; }

// A term whose every level belongs to one sample, and every sample to one level, is the sample under another name.
bool is_the_sample(const std::vector<Rating>& ratings, const Code& code) {
    const std::size_t levels = distinct(ratings, code), samples = distinct(ratings, [](const Rating& r) { return std::int64_t{r.sample}; });
    return levels == samples && distinct(ratings, [&](const Rating& r) { return (code(r) << 32) + r.sample; }) == samples;
}

void add_terms(RatingPlan& plan, const std::vector<Rating>& ratings) {
    const std::size_t rows = ratings.size();
    const auto add = [&](ScatterOf what, const Code& code) {
        plan.data.terms.push_back(numbered(std::string(to_text(what)), ratings, code));
        plan.terms.push_back(what);
    };
    if (distinct(ratings, taster_of) < rows)
        add(ScatterOf::taster, taster_of);
    else
        plan.notes.push_back(RatingNote::one_score_a_taster);
    if (distinct(ratings, pair_of) < rows)
        add(ScatterOf::taster_by_sample, pair_of);
    else
        plan.notes.push_back(RatingNote::no_repeats);
    const Code piece = [](const Rating& r) { return std::int64_t{r.piece}; }, sitting = [](const Rating& r) { return std::int64_t{r.sitting}; };
    if (std::all_of(ratings.begin(), ratings.end(), [](const Rating& r) { return r.piece >= 0; })) {
        const std::size_t pieces = distinct(ratings, piece);
        if (is_the_sample(ratings, piece)) {
            plan.testable = false;
            plan.notes.push_back(RatingNote::one_piece_a_sample);
        } else if (pieces < 2 || pieces == rows) {
            plan.notes.push_back(RatingNote::piece_not_estimated);
        } else {
            add(ScatterOf::piece, piece);
        }
    }
    const std::size_t sittings = distinct(ratings, sitting);
    if (sittings < 2 || sittings == rows) return;
    if (is_the_sample(ratings, sitting)) {
        plan.testable = false;
        plan.notes.push_back(RatingNote::one_sitting_a_sample);
    } else if (distinct(ratings, taster_of) != sittings || distinct(ratings, [](const Rating& r) { return (std::int64_t{r.taster} << 32) + r.sitting; }) != sittings) {
        add(ScatterOf::sitting, sitting);
    }
}

// Indicators that sum to 0 over the codes 0 .. many - 1: many - 1 columns; a code below 0 counts as none of them.
std::vector<std::vector<double>> centred(const std::vector<Rating>& ratings, std::int32_t many, std::int32_t Rating::* code) {
    std::vector<std::vector<double>> columns(static_cast<std::size_t>(many - 1), std::vector<double>(ratings.size(), 0.0));
    for (std::size_t i = 0; i < ratings.size(); ++i) {
        const std::int32_t at = ratings[i].*code;
        for (std::int32_t c = 0; c + 1 < many; ++c) columns[static_cast<std::size_t>(c)][i] = at < 0 ? 0.0 : at == c ? 1.0 : at == many - 1 ? -1.0 : 0.0;
    }
    return columns;
}

void append(MixedData& data, const std::vector<std::vector<double>>& more) {
    const std::size_t rows = data.y.size(), columns = data.columns + more.size();
    std::vector<double> x;
    x.reserve(rows * columns);
    for (std::size_t i = 0; i < rows; ++i) {
        x.insert(x.end(), data.x.begin() + static_cast<std::ptrdiff_t>(i * data.columns), data.x.begin() + static_cast<std::ptrdiff_t>((i + 1) * data.columns));
        for (const auto& column : more) x.push_back(column[i]);
    }
    data.x = std::move(x);
    data.columns = columns;
}

// Adds columns where they can be told apart from what stands already; how many were added.
std::size_t try_append(RatingPlan& plan, const std::vector<std::vector<double>>& more, RatingNote otherwise) {
    if (more.empty()) return 0;
    MixedData wider = plan.data;
    append(wider, more);
    wider.terms.clear();
    if (!LinearMixed::make(wider)) {
        plan.notes.push_back(otherwise);
        return 0;
    }
    append(plan.data, more);
    return more.size();
}

}   // namespace

RatingPlan rating_plan(const std::vector<Rating>& ratings, std::int32_t samples, bool carry_over) {
    RatingPlan plan;
    plan.samples = plan.data.columns = static_cast<std::size_t>(samples);
    for (const Rating& rating : ratings) {
        plan.data.y.push_back(rating.score);
        for (std::int32_t s = 0; s < samples; ++s) plan.data.x.push_back(s == rating.sample ? 1.0 : 0.0);
    }
    std::int32_t last = 0;
    bool placed = true;
    for (const Rating& rating : ratings) {
        last = std::max(last, rating.position);
        placed = placed && rating.position >= 0;
    }
    if (placed && last > 0) plan.positions = try_append(plan, centred(ratings, last + 1, &Rating::position), RatingNote::position_not_estimable);
    if (carry_over) plan.carried = try_append(plan, centred(ratings, samples, &Rating::before), RatingNote::carry_over_not_estimable);
    add_terms(plan, ratings);
    return plan;
}

std::vector<Rating> averaged(const std::vector<Rating>& ratings) {
    std::map<std::int64_t, std::pair<Rating, int>> cells;
    for (const Rating& rating : ratings) {
        auto& [sum, many] = cells.emplace(pair_of(rating), std::pair{rating, 0}).first->second;
        sum.score = (sum.score * many + rating.score) / (many + 1);
        ++many;
        sum.position = sum.before = -1;
    }
    std::vector<Rating> out;
    for (const auto& [pair, cell] : cells) out.push_back(cell.first);
    return out;
}

std::size_t tasters_in(const std::vector<Rating>& ratings) { return distinct(ratings, taster_of); }

std::string_view to_text(ScatterOf what) {
    switch (what) {
        case ScatterOf::taster: return "taster";
        case ScatterOf::taster_by_sample: return "taster_by_sample";
        case ScatterOf::piece: return "piece";
        case ScatterOf::sitting: return "sitting";
        case ScatterOf::residual: break;
    }
    return "residual";
}

std::string_view to_text(RatingNote note) {
    switch (note) {
        case RatingNote::one_piece_a_sample: return "one_piece_a_sample";
        case RatingNote::one_sitting_a_sample: return "one_sitting_a_sample";
        case RatingNote::piece_not_estimated: return "piece_not_estimated";
        case RatingNote::one_score_a_taster: return "one_score_a_taster";
        case RatingNote::no_repeats: return "no_repeats";
        case RatingNote::repeats_alike: return "repeats_alike";
        case RatingNote::position_not_estimable: return "position_not_estimable";
        case RatingNote::carry_over_not_estimable: return "carry_over_not_estimable";
        case RatingNote::satterthwaite: return "satterthwaite";
        case RatingNote::not_converged: return "not_converged";
        case RatingNote::no_variance_limits: break;
    }
    return "no_variance_limits";
}

}   // namespace oddplate::stats
