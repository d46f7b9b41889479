#pragma once
// Walking panel sizes upward: as n grows by one, the critical count grows by 0 or 1, so each step costs a few multiplications.

#include <cstdint>

namespace oddplate::stats {

/// Binomial(n, p) with a cut c, 0 <= c <= n: knows P(X = c) and P(X > c) while n and c move.
///   more()   n -> n + 1:  P(X > c) grows by p P(X = c)
///   raise()  c -> c + 1:  P(X > c) shrinks by P(X = c + 1)
/// Found anew from scratch every 512 moves (2 sqrt(n) for large n) and wherever a subtraction ate more than half: the error stays
/// below 1e-13 for n to 60,000 and grows with sqrt(n) beyond.
class CutWalk {
public:
    CutWalk(std::int64_t n, std::int64_t cut, double p);
    void more();
    void raise();   ///< needs cut() < n()
    [[nodiscard]] std::int64_t n() const noexcept { return m_n; }
    [[nodiscard]] std::int64_t cut() const noexcept { return m_cut; }
    [[nodiscard]] double at_cut() const noexcept { return m_at; }     ///< P(X = c)
    [[nodiscard]] double above() const noexcept { return m_above; }   ///< P(X > c)
    /// P(X > c - 1) = P(X >= c)
    [[nodiscard]] double from_cut() const noexcept { return m_above + m_at; }

private:
    void anchor();

    std::int64_t m_n;
    std::int64_t m_cut;
    double m_p;
    double m_at{0.0};
    double m_above{0.0};
    std::int64_t m_moves{0};
};

/// The one-sided test "X >= k at p0 is significant at alpha" for n, n + 1, ...: the cut is k - 1, and cut() == n() means that no
/// count is significant.
class CriticalWalk {
public:
    CriticalWalk(std::int64_t n, double p0, double alpha);
    /// n -> n + 1; true when the critical count went up with it.
    bool more();
    [[nodiscard]] std::int64_t n() const noexcept { return m_walk.n(); }
    [[nodiscard]] std::int64_t cut() const noexcept { return m_walk.cut(); }
    [[nodiscard]] bool possible() const noexcept { return m_walk.cut() < m_walk.n(); }
    [[nodiscard]] double size() const noexcept { return m_walk.above(); }      ///< the test's true alpha
    [[nodiscard]] double at_cut() const noexcept { return m_walk.at_cut(); }   ///< P(X = cut) at p0

private:
    double m_alpha;
    CutWalk m_walk;
};

}   // namespace oddplate::stats
