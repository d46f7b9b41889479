// A term's deviation t is held by theta = t / sigma, so that the deviance is minimised over log sigma and the other thetas with its own gradient, each
// point starting where the last one ended. Tests: tests/unit/stats/variance_interval.test.cpp

#include "oddplate/stats/variance_interval.hpp"

#include <algorithm>
#include <cmath>
#include <limits>
#include <numbers>
#include <utility>

#include "chi_square.hpp"
#include "descend.hpp"
#include "mixed_system.hpp"
#include "oddplate/stats/promise.hpp"
#include "optimise.hpp"

namespace oddplate::stats {
namespace {

class Profile {
public:
    Profile(const LinearMixed& model, const MixedFit& fit, std::optional<std::size_t> term)
        : m_system(model.products(), fit.criterion), m_term(term), m_theta(fit.theta), m_fitted(fit.theta), m_fitted_log_sigma(std::log(fit.residual_deviation)), m_log_sigma(m_fitted_log_sigma),
          m_free(static_cast<double>(fit.criterion == MixedCriterion::restricted ? model.products().rows - model.products().fixed : model.products().rows)) {}

    /// The least deviance with the deviation held at `value`, from where the last point ended and from the fit: far out the other deviations may vanish, and
    /// from there no way leads back.
    double operator()(double value) {
        const auto [warm, end] = from(value, m_log_sigma, m_theta);
        const auto [fresh, other] = from(value, m_fitted_log_sigma, m_fitted);
        set(value, warm <= fresh ? end : other);
        return std::min(warm, fresh);
    }

private:
    std::pair<double, std::vector<double>> from(double value, double log_sigma, const std::vector<double>& theta) {
        std::vector<double> start;
        if (m_term) start.push_back(log_sigma);
        for (std::size_t k = 0; k < theta.size(); ++k)
            if (m_term != k) start.push_back(theta[k] == 0.0 ? 0.05 : theta[k]);   // a start at 0 would never leave it
        const Valley found = descend([&](const std::vector<double>& x) { return deviance(value, x); }, start, 1e-6, 1e-11);
        const Slope zeros = at_zeros(value, found);
        return {std::min(found.at.value, zeros.value), found.x};
    }
    void set(double value, const std::vector<double>& x) {
        std::size_t next = 0;
        m_log_sigma = m_term ? x[next++] : std::log(value);
        for (std::size_t k = 0; k < m_theta.size(); ++k) m_theta[k] = m_term == k ? value / std::exp(m_log_sigma) : x[next++];
    }
    Slope deviance(double value, const std::vector<double>& x) {
        set(value, x);
        m_system.go(m_theta);
        const LinearMixed::Height h = m_system.height(true);
        const double s2 = std::exp(2.0 * m_log_sigma);
        Slope out{h.log_det + m_free * (std::log(2.0 * std::numbers::pi) + 2.0 * m_log_sigma) + h.r2 / s2, {}};
        if (m_term) out.gradient.push_back(2.0 * m_free - 2.0 * h.r2 / s2 - m_theta[*m_term] * (h.log_det_slope[*m_term] + h.r2_slope[*m_term] / s2));
        for (std::size_t k = 0; k < m_theta.size(); ++k)
            if (m_term != k) out.gradient.push_back(h.log_det_slope[k] + h.r2_slope[k] / s2);
        return out;
    }
    // The other deviations that all but vanished, at 0.
    Slope at_zeros(double value, const Valley& found) {
        std::vector<double> x = found.x;
        for (std::size_t i = m_term ? 1 : 0; i < x.size(); ++i)
            if (std::fabs(x[i]) < 0.05) x[i] = 0.0;
        return x == found.x ? found.at : deviance(value, x);
    }

    MixedSystem m_system;
    std::optional<std::size_t> m_term;
    std::vector<double> m_theta, m_fitted;
    double m_fitted_log_sigma, m_log_sigma, m_free;
};

}   // namespace

Interval variance_interval(const LinearMixed& model, const MixedFit& fit, std::optional<std::size_t> term, double confidence) {
    promise(0.0 < confidence && confidence < 1.0 && !model.products().has_slope && (!term || *term < fit.terms.size()));
    const double estimate = term ? fit.terms[*term].deviation : fit.residual_deviation;
    const double scale = std::max(estimate, 0.05 * fit.residual_deviation), most = 1e3 * std::max(scale, fit.residual_deviation);
    const double floor = fit.deviance + 2.0 * profile_fall(confidence);
    Interval out{0.0, std::numeric_limits<double>::infinity()};
    Profile up(model, fit, term);
    double inside = estimate;
    for (double step = scale; inside < most; step *= 2.0) {
        const double outside = inside + step;
        if (up(outside) < floor) {
            inside = outside;
            continue;
        }
        out.upper = crossing([&](double value) { return floor - up(value); }, inside, outside, 1e-6 * scale);
        break;
    }
    Profile down(model, fit, term);
    inside = estimate;
    while (inside > 1e-3 * scale) {   // the residual's deviance grows without bound towards 0, a term's ends there
        const double half = inside / 2.0, outside = term && half <= 1e-3 * scale ? 0.0 : half;
        if (down(outside) < floor) {
            inside = outside;
            continue;
        }
        out.lower = crossing([&](double value) { return floor - down(value); }, inside, outside, 1e-6 * scale);
        break;
    }
    return out;
}

}   // namespace oddplate::stats
