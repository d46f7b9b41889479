#pragma once
// Tails of a sum of alike independent whole numbers, as more of them are added.

#include <complex>
#include <cstdint>
#include <vector>

#include "lattice.hpp"

namespace oddplate::stats {

/// P(X_1 + ... + X_n >= x) for n, n + 1, ... to `last`, from the law's discrete Fourier transform: the sum's is its n-th power, and a
/// tail is a sum over those frequencies at which that is not yet nothing, fewer with each n. Window: by Bernstein's inequality less than 1e-17 of the
/// sum lies outside it. Absolute error below 1e-12.
class SumTail {
public:
    /// The law starts at 0 or more; 1 <= n <= last. The window is at most `k_most_window` long; is_possible() is false beyond.
    SumTail(const Lattice& one, std::int64_t n, std::int64_t last);
    [[nodiscard]] bool is_possible() const { return m_possible; }
    void more();
    [[nodiscard]] double upper(std::int64_t x) const;
    [[nodiscard]] std::int64_t n() const { return m_n; }

private:
    struct Wave {
        std::size_t k;
        std::complex<double> one, sum;
    };
    void drop_faint();

    std::int64_t m_n;
    std::int64_t m_most;   // of one
    double m_mean{0.0};
    bool m_possible{true};
    std::vector<std::complex<double>> m_roots;   // exp(2 pi i k / M)
    std::vector<Wave> m_waves;                   // 0 < k <= M/2; that of k = 0 is 1
};

}   // namespace oddplate::stats
