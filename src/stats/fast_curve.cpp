// Chebyshev coefficients from the curve's values at each piece's own Chebyshev points; Clenshaw's sum reads them.
// Tests: tests/unit/stats/population.test.cpp

#include "fast_curve.hpp"

#include <cmath>
#include <numbers>

namespace oddplate::stats {
namespace {

constexpr double k_last_signed = 12.0;   // beyond it 1 - Pc is below 1e-16 with these curves
constexpr double k_last_unsigned = 24.0;
constexpr double k_length = 0.5;

FastCurve::Chances chances(const Link& link, double d) {
    const double shortfall = link.shortfall(d);
    return {shortfall < 0.5 ? 1.0 - shortfall : link.chance + link.gain(d), shortfall};
}

}   // namespace

FastCurve::FastCurve(const Link& link) : m_link(link), m_first(link.is_signed ? -k_last_signed : 0.0) {
    std::array<std::array<double, k_terms>, k_terms> cosine;   // [point][term]
    for (int point = 0; point < k_terms; ++point)
        for (int term = 0; term < k_terms; ++term)
            cosine[static_cast<std::size_t>(point)][static_cast<std::size_t>(term)] = std::cos(std::numbers::pi * term * (point + 0.5) / k_terms);
    const auto pieces = static_cast<std::size_t>(((link.is_signed ? k_last_signed : k_last_unsigned) - m_first) / k_length);
    m_pieces.resize(pieces);
    for (std::size_t i = 0; i < pieces; ++i) {
        Piece& piece = m_pieces[i];
        piece.right.fill(0.0);
        piece.wrong.fill(0.0);
        const double middle = m_first + k_length * (static_cast<double>(i) + 0.5);
        for (const auto& row : cosine) {
            const Chances here = chances(link, middle + k_length / 2.0 * row[1]);
            for (std::size_t term = 0; term < k_terms; ++term) {
                const double share = (term == 0 ? 1.0 : 2.0) / k_terms * row[term];
                piece.right[term] += share * here.right;
                piece.wrong[term] += share * here.wrong;
            }
        }
    }
}

FastCurve::Chances FastCurve::at(double d) const {
    const double along = (d - m_first) / k_length;
    if (!(along >= 0.0 && along < static_cast<double>(m_pieces.size()))) return chances(m_link, d);
    const auto index = static_cast<std::size_t>(along);
    const Piece& piece = m_pieces[index];
    const double x = 2.0 * (along - static_cast<double>(index)) - 1.0;
    double right = 0.0, right_before = 0.0, wrong = 0.0, wrong_before = 0.0;
    for (std::size_t term = k_terms; --term > 0;) {
        const double next_right = 2.0 * x * right - right_before + piece.right[term];
        const double next_wrong = 2.0 * x * wrong - wrong_before + piece.wrong[term];
        right_before = right, right = next_right;
        wrong_before = wrong, wrong = next_wrong;
    }
    return {x * right - right_before + piece.right[0], x * wrong - wrong_before + piece.wrong[0]};
}

}   // namespace oddplate::stats
