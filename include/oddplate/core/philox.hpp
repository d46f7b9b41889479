#pragma once
// The generator of simulations and permutation tests: counter based, so replicate i is the same on any number of threads.

#include <array>
#include <cstddef>
#include <cstdint>

namespace oddplate::core {

/// Philox 4x32-10 (Salmon, Moraes, Dror & Shaw 2011, "Parallel random numbers: as easy as 1, 2, 3"): four words for a counter and
/// a key. Known answer: zero counter and key give 6627e8d5 e169c58d bc57ac4c 9b00dbd8. No cipher: never used in a draw.
[[nodiscard]] std::array<std::uint32_t, 4> philox4x32(std::array<std::uint32_t, 4> counter, std::array<std::uint32_t, 2> key);

/// The words of one replicate.
class PhiloxStream {
public:
    PhiloxStream(std::uint64_t seed, std::uint64_t replicate) noexcept;
    std::uint32_t next() noexcept;
    /// Uniform on 0 .. bound-1, by rejection.
    std::uint32_t below(std::uint32_t bound) noexcept;
    /// Uniform on the open interval (0, 1): (52 random bits + 1/2) / 2^52, from two words. (With 53 bits the largest would round to 1.)
    double uniform() noexcept;
    /// Standard normal, from four words for every two of them. Source: Box & Muller (1958), Annals of Mathematical Statistics 29:610.
    double normal() noexcept;

private:
    std::array<std::uint32_t, 2> m_key;
    std::array<std::uint32_t, 4> m_counter;
    std::array<std::uint32_t, 4> m_words{};
    int m_used = 4;
    double m_other{0};          // the second of two normal ones
    bool m_has_other{false};
};

}   // namespace oddplate::core
