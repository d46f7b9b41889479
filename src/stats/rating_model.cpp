// One fit of the terms that the scores can carry, its covariance, and families of contrasts on it. Tests: tests/unit/stats/rating_model.test.cpp

#include "oddplate/stats/rating_model.hpp"

#include <algorithm>
#include <cmath>
#include <limits>
#include <map>

#include "oddplate/stats/promise.hpp"
#include "oddplate/stats/variance_interval.hpp"
#include "rating_plan.hpp"

namespace oddplate::stats {
namespace {

using core::ErrorKind;
using core::fault;
constexpr std::size_t k_most_for_limits = 20000;

// What the scores leave when every level of every term may take what it likes, beside what they hold.
bool leaves_nothing(const LinearMixed& model, std::size_t terms) {
    if (terms == 0) return false;
    const auto r2 = [&](double theta) { return model.height(std::vector<double>(terms, theta), MixedCriterion::full).r2; };
    return r2(1e5) < 1e-8 * r2(0.0);
}

class Reader {
public:
    Reader(const RatingPlan& plan, const LinearMixed& model, const MixedFit& fit, const RatingQuestion& question)
        : m_plan(plan), m_columns(plan.data.columns), m_inference(model, fit), m_question(question) {}

    [[nodiscard]] FreedomKind kind() const { return m_inference.kind(); }
    [[nodiscard]] std::vector<double> unit(std::size_t a) const {
        std::vector<double> c(m_columns, 0.0);
        c[a] = 1.0;
        return c;
    }
    [[nodiscard]] std::vector<double> covariance_of_means() const {
        std::vector<double> out;
        for (std::size_t i = 0; i < m_plan.samples; ++i)
            for (std::size_t j = 0; j < m_plan.samples; ++j) out.push_back(m_inference.covariance()[i * m_columns + j]);
        return out;
    }
    [[nodiscard]] std::optional<OverallTest> of_columns(std::size_t from, std::size_t many) const {
        if (many == 0) return std::nullopt;
        std::vector<double> contrasts;
        for (std::size_t c = from; c < from + many; ++c) {
            const std::vector<double> one = unit(c);
            contrasts.insert(contrasts.end(), one.begin(), one.end());
        }
        return m_inference.overall(contrasts);
    }
    [[nodiscard]] OverallTest alike() const {
        std::vector<double> contrasts;
        for (std::size_t s = 1; s < m_plan.samples; ++s) {
            std::vector<double> one = unit(s);
            one[0] = -1.0;
            contrasts.insert(contrasts.end(), one.begin(), one.end());
        }
        return m_inference.overall(contrasts);
    }
    void means(std::vector<SampleMean>& samples) const {
        const auto law = m_question.limits ? std::optional(MaxT::of(covariance_of_means(), m_plan.samples, m_question.seed)) : std::nullopt;
        for (std::size_t s = 0; s < samples.size(); ++s) {
            const ContrastTest test = m_inference.contrast(unit(s));
            const double reach = law ? law->quantile(1.0 - m_question.confidence, test.df) * test.standard_error : std::numeric_limits<double>::infinity();
            samples[s].mean = test.estimate;
            samples[s].standard_error = test.standard_error;
            samples[s].df = test.df;
            samples[s].limits = {test.estimate - reach, test.estimate + reach};
        }
    }
    [[nodiscard]] SamplePair pair(std::size_t a, std::size_t b, const MaxT& law) const {
        std::vector<double> c = unit(a);
        c[b] = -1.0;
        SamplePair out{static_cast<std::int32_t>(a), static_cast<std::int32_t>(b), m_inference.contrast(c), 1.0, 0.0, {}};
        const double reach = m_question.limits ? law.quantile(1.0 - m_question.confidence, out.test.df) * out.test.standard_error : std::numeric_limits<double>::infinity();
        out.limits = {out.test.estimate - reach, out.test.estimate + reach};
        const MaxTail tail = law.upper(std::fabs(out.test.t), out.test.df);
        out.p_adjusted = std::max(tail.value, out.test.p_value);   // integration's error never makes several comparisons surer than one
        out.p_error = tail.error;
        return out;
    }

private:
    const RatingPlan& m_plan;
    std::size_t m_columns;
    FixedInference m_inference;
    RatingQuestion m_question;
};

void add_scatter(RatingModel& out, const RatingPlan& plan, const LinearMixed& model, const MixedFit& fit, const RatingQuestion& question) {
    const bool with_limits = question.limits && plan.data.y.size() <= k_most_for_limits;
    const auto limits = [&](std::optional<std::size_t> term) {
        return with_limits ? std::optional(variance_interval(model, fit, term, question.confidence)) : std::nullopt;
    };
    for (std::size_t t = 0; t < plan.terms.size(); ++t) out.scatter.push_back({plan.terms[t], fit.terms[t].deviation, limits(t), fit.terms[t].boundary});
    out.scatter.push_back({ScatterOf::residual, fit.residual_deviation, limits(std::nullopt), false});
    if (question.limits && !with_limits) out.notes.push_back(RatingNote::no_variance_limits);
}

void add_residuals(RatingModel& out, const std::vector<Rating>& given, const std::vector<Rating>& used, std::int32_t tasters, const RatingPlan& plan, const MixedFit& fit) {
    if (!plan.terms.empty() && plan.terms.front() == ScatterOf::taster) {
        out.taster_shift.assign(static_cast<std::size_t>(tasters), 0.0);
        for (std::size_t i = 0; i < used.size(); ++i)
            out.taster_shift[static_cast<std::size_t>(used[i].taster)] = fit.terms.front().shifts[static_cast<std::size_t>(plan.data.terms.front().level[i])];
    }
    for (const Rating& rating : given) {
        const double level = out.taster_shift.empty() ? 0.0 : out.taster_shift[static_cast<std::size_t>(rating.taster)];
        out.residuals.push_back(rating.score - out.samples[static_cast<std::size_t>(rating.sample)].mean - level);
    }
}

core::Status sound(const std::vector<Rating>& ratings, std::int32_t samples, std::int32_t tasters) {
    if (ratings.empty()) return fault(ErrorKind::bad_value, "no-scores", "there is no score to look at");
    std::vector<bool> scored(static_cast<std::size_t>(samples), false);
    for (const Rating& rating : ratings) {
        promise(0 <= rating.sample && rating.sample < samples && 0 <= rating.taster && rating.taster < tasters && std::isfinite(rating.score));
        scored[static_cast<std::size_t>(rating.sample)] = true;
    }
    if (samples < 2) return fault(ErrorKind::bad_value, "one-sample", "there is only one sample, and nothing to compare it with");
    if (!std::all_of(scored.begin(), scored.end(), [](bool yes) { return yes; })) return fault(ErrorKind::bad_value, "sample-unscored", "a sample has no score at all");
    if (tasters_in(ratings) < 2) return fault(ErrorKind::bad_value, "one-taster", "there is only one taster, and nothing says how others would score");
    return core::Done{};
}

core::Error no_spread() {
    return fault(ErrorKind::bad_value, "no-spread", "every taster gives the samples the same steps, so that no scatter is left to judge a difference by");
}

}   // namespace

core::Result<RatingModel> rating_model(std::vector<Rating> ratings, std::int32_t samples, std::int32_t tasters, const RatingQuestion& question) {
    promise(0.0 < question.confidence && question.confidence < 1.0 && (!question.control || (0 <= *question.control && *question.control < samples)));
    if (const core::Status status = sound(ratings, samples, tasters); !status) return status.faults();
    std::vector<Rating> used = ratings;
    RatingPlan plan = rating_plan(used, samples, question.carry_over);
    auto model = LinearMixed::make(plan.data);
    if (!model) return model.faults();
    if (leaves_nothing(*model, plan.terms.size())) {
        if (std::find(plan.terms.begin(), plan.terms.end(), ScatterOf::taster_by_sample) == plan.terms.end()) return no_spread();
        used = averaged(ratings);
        plan = rating_plan(used, samples, question.carry_over);
        std::erase(plan.notes, RatingNote::no_repeats);
        plan.notes.push_back(RatingNote::repeats_alike);
        model = LinearMixed::make(plan.data);
        if (!model) return model.faults();
        if (leaves_nothing(*model, plan.terms.size())) return no_spread();
    }
    const MixedFit fit = model->fit(MixedCriterion::restricted);
    const Reader reader(plan, *model, fit, question);
    RatingModel out;
    out.notes = plan.notes;
    out.samples.resize(plan.samples);
    for (const Rating& rating : ratings) ++out.samples[static_cast<std::size_t>(rating.sample)].scores;
    reader.means(out.samples);
    const std::vector<double> covariance = reader.covariance_of_means();
    const MaxT all_pairs = MaxT::pairs(covariance, plan.samples, question.seed);
    out.family = all_pairs.kind();
    for (std::size_t a = 0; a < plan.samples; ++a)
        for (std::size_t b = a + 1; b < plan.samples; ++b) out.pairs.push_back(reader.pair(a, b, all_pairs));
    if (question.control) {
        const auto control = static_cast<std::size_t>(*question.control);
        const MaxT family = MaxT::against(covariance, plan.samples, control, question.seed);
        for (std::size_t s = 0; s < plan.samples; ++s)
            if (s != control) out.against.push_back(reader.pair(s, control, family));
    }
    if (plan.testable) out.test = reader.alike();
    out.position = reader.of_columns(plan.samples, plan.positions);
    out.carry_over = reader.of_columns(plan.samples + plan.positions, plan.carried);
    if (!plan.testable)
        for (auto* family : {&out.pairs, &out.against})
            for (SamplePair& pair : *family) pair.test.p_value = pair.p_adjusted = 1.0;
    add_scatter(out, plan, *model, fit, question);
    if (reader.kind() == FreedomKind::satterthwaite) out.notes.push_back(RatingNote::satterthwaite);
    if (!fit.converged) out.notes.push_back(RatingNote::not_converged);
    out.log_likelihood = fit.log_likelihood;
    out.gradient_norm = fit.gradient_norm;
    out.least_curvature = fit.least_curvature;
    add_residuals(out, ratings, used, tasters, plan, fit);
    return out;
}

}   // namespace oddplate::stats
