// A sum's transform is the n-th power of one's; the tail is read off it wave by wave. Tests: tests/unit/stats/spots_size.test.cpp

#include "sum_tail.hpp"

#include <algorithm>
#include <cmath>
#include <numbers>

#include "oddplate/stats/promise.hpp"

namespace oddplate::stats {
namespace {

using Complex = std::complex<double>;

constexpr std::size_t k_most_window = std::size_t{1} << 22;
constexpr double k_log_outside = 40.0;   // exp(-40) of the sum may lie outside the window, on either side
constexpr double k_faint = 1e-22;

std::vector<Complex> roots_of_unity(std::size_t size) {
    std::vector<Complex> roots(size);
    for (std::size_t k = 0; k < size; ++k) {
        const double angle = 2.0 * std::numbers::pi * static_cast<double>(k) / static_cast<double>(size);
        roots[k] = {std::cos(angle), std::sin(angle)};
    }
    return roots;
}

// Cooley & Tukey (1965), size a power of two: sum over x of values[x] exp(2 pi i k x / size).
std::vector<Complex> transform(std::vector<Complex> values, const std::vector<Complex>& roots) {
    const std::size_t size = values.size();
    for (std::size_t i = 1, j = 0; i < size; ++i) {
        std::size_t bit = size >> 1;
        for (; (j & bit) != 0; bit >>= 1) j ^= bit;
        j |= bit;
        if (i < j) std::swap(values[i], values[j]);
    }
    for (std::size_t half = 1; half < size; half *= 2) {
        const std::size_t stride = size / (2 * half);
        for (std::size_t from = 0; from < size; from += 2 * half) {
            for (std::size_t k = 0; k < half; ++k) {
                const Complex w = roots[k * stride], odd = values[from + half + k], even = values[from + k];
                const Complex turned{w.real() * odd.real() - w.imag() * odd.imag(), w.real() * odd.imag() + w.imag() * odd.real()};
                values[from + k] = even + turned;
                values[from + half + k] = even - turned;
            }
        }
    }
    return values;
}

Complex times(const Complex& a, const Complex& b) {   // without the standard's care for infinities
    return {a.real() * b.real() - a.imag() * b.imag(), a.real() * b.imag() + a.imag() * b.real()};
}

// Bernstein (1946): P(|S - E S| >= t) <= 2 exp(-t^2 / (2 (n var + most t / 3))).
double reach(double n, double variance, double most) {
    const double third = k_log_outside * most / 3.0;
    return third + std::sqrt(third * third + 2.0 * k_log_outside * n * variance);
}

}   // namespace

SumTail::SumTail(const Lattice& one, std::int64_t n, std::int64_t last) : m_n(n), m_most(one.last()) {
    promise(one.first >= 0 && n >= 1 && last >= n);
    double squares = 0.0;
    for (std::int64_t x = one.first; x <= one.last(); ++x) {
        m_mean += one.at(x) * static_cast<double>(x);
        squares += one.at(x) * static_cast<double>(x) * static_cast<double>(x);
    }
    const double variance = std::max(0.0, squares - m_mean * m_mean);
    const double people = static_cast<double>(last), most = static_cast<double>(m_most);
    const double window = std::max(most + 2.0, std::min(people * most, 2.0 * reach(people, variance, most)) + 2.0);
    std::size_t size = 2;
    while (static_cast<double>(size) < window && size <= k_most_window) size *= 2;
    m_possible = size <= k_most_window;
    if (!m_possible) return;
    m_roots = roots_of_unity(size);
    std::vector<Complex> values(size);
    for (std::int64_t x = one.first; x <= one.last(); ++x) values[static_cast<std::size_t>(x)] = one.at(x);
    values = transform(std::move(values), m_roots);
    for (std::size_t k = 1; k <= size / 2; ++k) m_waves.push_back({k, values[k], std::pow(values[k], static_cast<double>(n))});
    drop_faint();
}

void SumTail::drop_faint() {
    std::erase_if(m_waves, [](const Wave& wave) { return std::norm(wave.sum) < k_faint * k_faint; });
}

void SumTail::more() {
    ++m_n;
    for (Wave& wave : m_waves) wave.sum = times(wave.sum, wave.one);
    if (m_n % 4 == 0) drop_faint();
}

double SumTail::upper(std::int64_t x) const {
    const std::size_t size = m_roots.size();
    const std::int64_t most = m_n * m_most;
    const std::int64_t window = static_cast<std::int64_t>(size);
    const auto middle = static_cast<std::int64_t>(static_cast<double>(m_n) * m_mean);
    const std::int64_t low = std::max<std::int64_t>(0, std::min(middle - window / 2, most - window + 1));
    const std::int64_t high = std::min(most, low + window - 1);
    if (x <= low) return 1.0;
    if (x > high) return 0.0;
    // Sum over y = x .. high of exp(-i w y) = (exp(-i w x) - exp(-i w (high + 1))) / (1 - exp(-i w)).
    const auto at = [&](std::size_t k, std::int64_t y) {
        return std::conj(m_roots[k * static_cast<std::size_t>(y % window) & (size - 1)]);
    };
    double sum = static_cast<double>(high - x + 1);
    for (const Wave& wave : m_waves) {
        const Complex over = 1.0 - std::conj(m_roots[wave.k]);
        const Complex part = times(wave.sum, times(at(wave.k, x) - at(wave.k, high + 1), std::conj(over))) / std::norm(over);
        sum += wave.k == size / 2 ? part.real() : 2.0 * part.real();
    }
    return std::clamp(sum / static_cast<double>(size), 0.0, 1.0);
}

}   // namespace oddplate::stats
