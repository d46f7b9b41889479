#pragma once
// Ratings of several samples by many tasters: means, differences and where the scatter comes from.

#include <cstdint>
#include <optional>
#include <string_view>
#include <vector>

#include "oddplate/core/result.hpp"
#include "oddplate/stats/interval.hpp"
#include "oddplate/stats/kenward_roger.hpp"
#include "oddplate/stats/max_t.hpp"

namespace oddplate::stats {

/// One score. Missing ones are left out by the caller.
struct Rating {
    std::int32_t taster{0};
    std::int32_t sample{0};
    double score{0.0};
    std::int32_t sitting{0};
    std::int32_t piece{-1};      ///< whole pieces numbered over all samples; -1: not known
    std::int32_t position{-1};   ///< order of serving from 0; -1: not known
    std::int32_t before{-1};     ///< the sample tasted just before; -1: none, or not known
};

struct RatingQuestion {
    double confidence{0.95};
    std::optional<std::int32_t> control;   ///< the sample that the others are held against
    bool carry_over{false};                ///< let the sample tasted before shift the score
    std::uint64_t seed{1};                 ///< of max-|t| where it has to be integrated
    bool limits{true};                     ///< simultaneous limits (else infinite) and profile intervals of the deviations, which take longer than all the rest
};

/// Where scatter comes from.
enum class ScatterOf { taster, taster_by_sample, piece, sitting, residual };
[[nodiscard]] std::string_view to_text(ScatterOf what);

/// What could not be done, and why.
enum class RatingNote {
    one_piece_a_sample,         ///< each sample is one whole piece: a difference may be the piece's, so there is no test
    one_sitting_a_sample,       ///< each sample was served in one sitting only: the same
    piece_not_estimated,        ///< pieces are known, but each was scored once, or there is only one
    one_score_a_taster,         ///< nobody scored two: tasters' own levels go into the residual
    no_repeats,                 ///< no taster scored a sample twice: tasters' own liking of a sample goes into the residual
    repeats_alike,              ///< whoever scored a sample twice gave the same score: repeats were averaged
    position_not_estimable,     ///< position and sample cannot be told apart (the strongest is always last, say)
    carry_over_not_estimable,
    satterthwaite,              ///< degrees of freedom are Satterthwaite's: too many connected levels, or no information about a variance
    not_converged,              ///< gradient or curvature say that the likelihood's top was not reached
    no_variance_limits          ///< more than 20,000 scores: no profile intervals of the deviations
};
[[nodiscard]] std::string_view to_text(RatingNote note);

struct SampleMean {
    std::int32_t scores{0};
    double mean{0.0};             ///< by the model: at the average position, as if everybody had scored every sample
    double standard_error{0.0};
    double df{0.0};
    Interval limits;              ///< simultaneous over the samples
};

/// mean of a less mean of b.
struct SamplePair {
    std::int32_t a{0}, b{0};
    ContrastTest test;
    double p_adjusted{1.0};
    double p_error{0.0};          ///< standard error of p_adjusted where it was integrated
    Interval limits;              ///< simultaneous over the family
};

struct ScatterPart {
    ScatterOf what{ScatterOf::residual};
    double deviation{0.0};
    std::optional<Interval> limits;   ///< profile likelihood
    bool boundary{false};             ///< estimated as 0
};

struct RatingModel {
    std::vector<SampleMean> samples;
    std::optional<OverallTest> test;       ///< all samples alike? Absent with a note
    std::vector<SamplePair> pairs;         ///< all, in order of a, then b; p-values absent with `test` (they stay 1)
    std::vector<SamplePair> against;       ///< every other sample less the control
    std::vector<ScatterPart> scatter;      ///< the residual comes last
    std::optional<OverallTest> position;   ///< does the place in the row matter?
    std::optional<OverallTest> carry_over;
    std::vector<RatingNote> notes;
    MaxTKind family{MaxTKind::single};     ///< how the pairs' law was had
    double log_likelihood{0.0};            ///< restricted
    double gradient_norm{0.0};
    double least_curvature{0.0};
    std::vector<double> taster_shift;      ///< each taster's predicted level above or below the panel's; empty without a taster term
    std::vector<double> residuals;         ///< one a score, in the order given: score less mean of its sample and predicted level of its taster
};

/// Linear mixed model by REML: a mean a sample (and position, carry-over where they can be told apart from samples), with random tasters, tasters by
/// samples whenever one scored a sample twice (without it the sample test's errors rise to .1 - .3), pieces and sittings where there are several.
/// Tests by Kenward-Roger, families of comparisons by max-|t|. samples, tasters: how many there are; every one that has a score counts.
/// Refuses in one sentence: no score, one sample, one taster, scores all alike or leaving no spread.
[[nodiscard]] core::Result<RatingModel> rating_model(std::vector<Rating> ratings, std::int32_t samples, std::int32_t tasters, const RatingQuestion& question = {});

}   // namespace oddplate::stats
