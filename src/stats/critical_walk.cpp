// Recurrences of the binomial in n and in the cut, anchored to the direct tail often enough that rounding never adds up.
// Tests: tests/unit/stats/critical_walk.test.cpp

#include "oddplate/stats/critical_walk.hpp"

#include <cmath>

#include "oddplate/stats/binomial.hpp"
#include "oddplate/stats/promise.hpp"

namespace oddplate::stats {
namespace {

// An anchor costs about sqrt(n) steps, so it comes after as many moves.
bool is_due(std::int64_t moves, std::int64_t n) {
    return moves > 512 && static_cast<double>(moves) > 2.0 * std::sqrt(static_cast<double>(n));
}

// cut of the test at n: least_correct - 1, or n where nothing is significant.
std::int64_t critical_cut(std::int64_t n, double p0, double alpha) {
    const auto least = least_correct(n, p0, alpha);
    return least ? *least - 1 : n;
}

}   // namespace

CutWalk::CutWalk(std::int64_t n, std::int64_t cut, double p) : m_n(n), m_cut(cut), m_p(p) {
    promise(0 <= cut && cut <= n && 0.0 <= p && p <= 1.0);
    anchor();
}

void CutWalk::anchor() {
    m_at = binomial_pmf(m_cut, m_n, m_p);
    m_above = binomial_upper(m_cut + 1, m_n, m_p);
    m_moves = 0;
}

void CutWalk::more() {
    m_above += m_p * m_at;
    ++m_n;
    m_at *= (1.0 - m_p) * static_cast<double>(m_n) / static_cast<double>(m_n - m_cut);
    if (is_due(++m_moves, m_n) || m_p == 1.0) anchor();
}

void CutWalk::raise() {
    promise(m_cut < m_n);
    if (m_p == 1.0 || m_at == 0.0) {   // the ratio below would be 0 / 0
        ++m_cut;
        anchor();
        return;
    }
    m_at *= static_cast<double>(m_n - m_cut) / static_cast<double>(m_cut + 1) * (m_p / (1.0 - m_p));
    ++m_cut;
    m_above -= m_at;
    if (is_due(++m_moves, m_n) || m_above < m_at) anchor();
}

CriticalWalk::CriticalWalk(std::int64_t n, double p0, double alpha) : m_alpha(alpha), m_walk(n, critical_cut(n, p0, alpha), p0) {}

bool CriticalWalk::more() {
    m_walk.more();
    if (significant(m_walk.above(), m_alpha)) return false;
    m_walk.raise();
    return true;
}

}   // namespace oddplate::stats
