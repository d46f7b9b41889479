#pragma once
// The draw's generator: ChaCha20, one derived key a purpose. (Simulation uses another generator, never this one.)

#include <cstddef>
#include <cstdint>
#include <utility>
#include <vector>

#include "oddplate/core/bytes.hpp"

namespace oddplate::core {

/// Fixed numbers: never reused, never renumbered, so that adding a purpose cannot shift another.
enum class Purpose : std::uint64_t { orders = 1, spot_orders = 2, codes = 3, pieces = 4, tubs = 5, spot_choice = 6, blanks = 7 };

/// A stream of 32-bit words for one purpose: key = BLAKE2b-256 subkey of the seed (libsodium crypto_kdf, context "oddplate",
/// subkey id = purpose), words = the ChaCha20 keystream (RFC 8439 block function with a 64-bit counter from 0 and the 8-byte nonce
/// `lane`, little endian), read as little-endian 32-bit words.
class ChanceStream {
public:
    ChanceStream(const Bytes32& seed, Purpose purpose, std::uint64_t lane);

    /// The next word of the keystream.
    std::uint32_t next();
    /// Uniform on 0 .. bound-1 (bound from 1): words at or above the largest multiple of bound not above 2^32 are thrown away.
    std::uint32_t below(std::uint32_t bound);

    /// Fisher-Yates from the end: for i = n-1 .. 1 swap i with below(i + 1).
    template <class T>
    void shuffle(std::vector<T>& items) {
        for (std::size_t i = items.size(); i > 1; --i) {
            std::swap(items[i - 1], items[below(static_cast<std::uint32_t>(i))]);
        }
    }

private:
    void refill();

    Bytes32 m_key;
    std::uint64_t m_lane;
    std::uint64_t m_block = 0;
    std::array<std::uint8_t, 1024> m_buffer{};
    std::size_t m_used = 1024;
};

}   // namespace oddplate::core
