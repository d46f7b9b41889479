// Philox 4x32-10 (Salmon, Moraes, Dror & Shaw 2011): ten rounds of two multiplications; the key moves on by the golden ratio and
// sqrt(3) - 1 each round. Checked by the paper's known answers in philox.test.cpp.
#include "oddplate/core/philox.hpp"

#include <cmath>
#include <numbers>

#include <cstdlib>

namespace oddplate::core {
namespace {

constexpr std::uint64_t k_multiply_0 = 0xD2511F53;
constexpr std::uint64_t k_multiply_1 = 0xCD9E8D57;
constexpr std::uint32_t k_step_0 = 0x9E3779B9;
constexpr std::uint32_t k_step_1 = 0xBB67AE85;
constexpr int k_rounds = 10;

constexpr std::uint32_t low(std::uint64_t value) {
    return static_cast<std::uint32_t>(value);
}
constexpr std::uint32_t high(std::uint64_t value) {
    return static_cast<std::uint32_t>(value >> 32);
}

}   // namespace

std::array<std::uint32_t, 4> philox4x32(std::array<std::uint32_t, 4> counter, std::array<std::uint32_t, 2> key) {
    for (int round = 0; round < k_rounds; ++round) {
        const std::uint64_t p0 = k_multiply_0 * counter[0];
        const std::uint64_t p1 = k_multiply_1 * counter[2];
        counter = {high(p1) ^ counter[1] ^ key[0], low(p1), high(p0) ^ counter[3] ^ key[1], low(p0)};
        key[0] += k_step_0;
        key[1] += k_step_1;
    }
    return counter;
}

// The replicate stands in the upper half of the counter, the place within it in the lower half: streams cannot meet.
PhiloxStream::PhiloxStream(std::uint64_t seed, std::uint64_t replicate) noexcept
    : m_key{low(seed), high(seed)}, m_counter{0, 0, low(replicate), high(replicate)} {}

std::uint32_t PhiloxStream::next() noexcept {
    if (m_used == 4) {
        m_words = philox4x32(m_counter, m_key);
        if (++m_counter[0] == 0) ++m_counter[1];
        m_used = 0;
    }
    return m_words[static_cast<std::size_t>(m_used++)];
}

std::uint32_t PhiloxStream::below(std::uint32_t bound) noexcept {
    if (bound == 0) std::abort();
    const std::uint64_t all = std::uint64_t{1} << 32;
    const std::uint64_t limit = all - all % bound;
    for (;;) {
        const std::uint32_t word = next();
        if (word < limit) return word % bound;
    }
}

double PhiloxStream::uniform() noexcept {
    const std::uint64_t upper = next();
    const std::uint64_t bits = ((upper << 32) | next()) >> 12;
    return (static_cast<double>(bits) + 0.5) * 0x1p-52;   // 52 bits and a half are 53: exact, so the end 1 cannot be rounded to
}

double PhiloxStream::normal() noexcept {
    if (m_has_other) {
        m_has_other = false;
        return m_other;
    }
    const double radius = std::sqrt(-2 * std::log(uniform())), angle = 2 * std::numbers::pi * uniform();
    m_other = radius * std::sin(angle);
    m_has_other = true;
    return radius * std::cos(angle);
}

}   // namespace oddplate::core
