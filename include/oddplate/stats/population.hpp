#pragma once
// Tasters who differ, on the scale of d': a mixed model with the method's own curve as link.

#include <cstdint>
#include <memory>
#include <optional>
#include <span>
#include <string_view>
#include <vector>

#include "oddplate/stats/beta_binomial.hpp"
#include "oddplate/stats/interval.hpp"
#include "oddplate/stats/link.hpp"
#include "oddplate/stats/taster_counts.hpp"

namespace oddplate::stats {

class FastCurve;

/// How d' lies among the people. Directed methods: normal, any sign. Undirected curves are even, so that a normal law about 0 would
/// pass for a difference; there d' is never below 0.
enum class TasterLaw {
    normal,       ///< place = mean, spread = standard deviation
    gamma,        ///< place = log of the mean, spread = standard deviation / mean
    log_normal    ///< place = log of the median, spread = standard deviation of log d'
};
[[nodiscard]] std::string_view to_text(TasterLaw law);
[[nodiscard]] inline TasterLaw law_for(const Link& link) { return link.is_signed ? TasterLaw::normal : TasterLaw::gamma; }

/// A law's two parameters; spread 0 = all alike, at most 5.
struct Place {
    double place{0.0};
    double spread{0.0};
};
[[nodiscard]] double median_d(TasterLaw law, const Place& at);

/// The likelihood of a panel's counts, Int Pc(d)^k (1 - Pc(d))^(n - k) f(d) dd for each group of alike tasters.
///
/// The integral is taken over y, d = place + spread y (normal), d = e^(place + spread y) (log-normal, density of y normal; gamma,
/// density of y proportional to exp((sy - expm1(sy))/s^2), which is normal in the limit s = 0), by the trapezoidal rule, whose
/// error for such functions falls like exp(-2 pi^2 w^2/h^2) when w is the width of the narrowest bell (Trefethen & Weideman 2014,
/// SIAM Review 56:385). The step h is fitted to the prior's and the answers' curvature together, h = .8 w (error about 1e-13; in log d at most .2, for the
/// curves themselves), so
/// the nodes, and with them the values of the curve, are shared by all groups. Below d = 1e-7 only a geometric tail is left (gamma
/// with a large spread), which is summed in closed form.
class Population {
public:
    /// At least one group. The curve and the counts must outlive this.
    Population(const Link& link, TasterLaw law, std::span<const AlikeCounts> counts);
    ~Population();
    Population(const Population&) = delete;
    Population& operator=(const Population&) = delete;

    /// Without binomial coefficients, which depend on nothing.
    [[nodiscard]] double log_likelihood(const Place& place) const;
    /// d' that everybody would need for the population's mean Pc; infinite where that is 1 to rounding.
    [[nodiscard]] double d_prime(const Place& place) const;

    /// One group's taster, his own answers given: E[d' | k, n] and P(d' > above | k, n).
    struct Taster {
        double d_prime{0.0};
        double above{0.0};
    };
    [[nodiscard]] Taster taster(const Place& place, const AlikeCounts& count, double above) const;

    [[nodiscard]] TasterLaw law() const noexcept { return m_law; }
    [[nodiscard]] std::span<const AlikeCounts> counts() const noexcept { return m_counts; }
    [[nodiscard]] const Link& link() const noexcept { return m_link; }

private:
    struct Nodes;
    class Sums;
    [[nodiscard]] Nodes nodes(const Place& place) const;

    const Link& m_link;
    TasterLaw m_law;
    std::span<const AlikeCounts> m_counts;
    std::unique_ptr<const FastCurve> m_curve;
    double m_tasters{0.0};
    std::int64_t m_most{0};    ///< answers of one taster
    double m_curvature{0.0};   ///< of one taster's log-likelihood in y, over spread^2, at its largest
};

struct PopulationFit {
    TasterLaw law{TasterLaw::normal};
    Place at;
    double log_likelihood{0.0};
    std::optional<double> d_prime;   ///< curve inverse of the population's mean Pc: what the pooled exact test is about
    Interval d_prime_limits;         ///< profile likelihood, at the edges exact; upper infinite where nothing bounds it
    std::optional<double> typical;   ///< median of the tasters' d': leans on the law
    Interval typical_limits;
    std::optional<double> spread;
    Interval spread_limits;          ///< upper infinite where no spread to 5 can be ruled out
    NoSpread why{NoSpread::has_one};  ///< why there is no typical taster and no spread; flat: no spread to 5 is too large for the data
};

/// Maximum likelihood over place and 0 <= spread <= 5, with profile intervals. A quantity of both (d', median) has as limits its
/// least and largest value where the log-likelihood is at most half the chi-square quantile below its top, which is its profile
/// interval, and approximate. Where all answers are right (of a directed method: or all wrong) the limit of d' is exact whatever law Pc has among
/// people (undirected methods: none of them below guessing): the mean at which the likeliest such law, one of two kinds, gives it the chance (1 - confidence)/2
/// (a product over tasters; for one answer each Clopper & Pearson 1934). Confidence in 0..1 (open); at least one group.
[[nodiscard]] PopulationFit fit_population(const Population& population, double confidence);

}   // namespace oddplate::stats
