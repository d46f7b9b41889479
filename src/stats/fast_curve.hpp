#pragma once
// A curve tabulated: a likelihood asks for it some hundred thousand times, at a handful of nanoseconds each.

#include <array>
#include <vector>

#include "oddplate/stats/link.hpp"

namespace oddplate::stats {

/// Pc and 1 - Pc by Chebyshev polynomials on pieces of d half a unit long, from the curve's own values; within 1e-13 relative of the
/// curve for d in -12..12 (0..12 where it has no sign; used to 24 there), a test holds it to that; outside, the curve itself is asked. Pc and 1 - Pc
/// are entire: the error of degree 13, a quarter of a unit to each side, is below (1/4)^14 / 2^13 / 14! of their 14th derivative.
class FastCurve {
public:
    explicit FastCurve(const Link& link);

    struct Chances {
        double right{0.0};
        double wrong{0.0};
    };
    [[nodiscard]] Chances at(double d) const;

private:
    static constexpr int k_terms = 14;
    struct Piece {
        std::array<double, k_terms> right, wrong;   // Chebyshev coefficients
    };
    const Link& m_link;
    double m_first;
    std::vector<Piece> m_pieces;
};

}   // namespace oddplate::stats
