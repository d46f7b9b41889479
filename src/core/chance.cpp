// The draw's generator: a key a purpose out of the seed, then the plain ChaCha20 keystream. Both steps are public algorithms, so
// that anybody can re-derive a draw from its seed in another language.
#include "oddplate/core/chance.hpp"

#include <sodium.h>

#include <cstdlib>

#include "sodium_ready.hpp"

namespace oddplate::core {
namespace {

constexpr std::size_t k_block_bytes = 64;
constexpr char k_context[crypto_kdf_CONTEXTBYTES + 1] = "oddplate";

}   // namespace

ChanceStream::ChanceStream(const Bytes32& seed, Purpose purpose, std::uint64_t lane) : m_key{}, m_lane(lane) {
    static_assert(crypto_kdf_KEYBYTES == 32 && crypto_stream_chacha20_KEYBYTES == 32 && crypto_stream_chacha20_NONCEBYTES == 8);
    sodium_ready();
    if (crypto_kdf_derive_from_key(m_key.data(), m_key.size(), static_cast<std::uint64_t>(purpose), k_context, seed.data()) !=
        0) {
        std::abort();   // only lengths can be wrong, and they are fixed above
    }
}

void ChanceStream::refill() {
    std::array<std::uint8_t, 8> nonce{};
    for (std::size_t i = 0; i < nonce.size(); ++i) nonce[i] = static_cast<std::uint8_t>(m_lane >> (8 * i));
    m_buffer.fill(0);
    if (crypto_stream_chacha20_xor_ic(m_buffer.data(), m_buffer.data(), m_buffer.size(), nonce.data(), m_block, m_key.data()) !=
        0) {
        std::abort();
    }
    m_block += m_buffer.size() / k_block_bytes;
    m_used = 0;
}

std::uint32_t ChanceStream::next() {
    if (m_used == m_buffer.size()) refill();
    std::uint32_t word = 0;
    for (unsigned i = 0; i < 4; ++i) word |= static_cast<std::uint32_t>(m_buffer[m_used++]) << (8 * i);
    return word;
}

std::uint32_t ChanceStream::below(std::uint32_t bound) {
    if (bound == 0) std::abort();
    const std::uint64_t all = std::uint64_t{1} << 32;
    const std::uint64_t limit = all - all % bound;
    for (;;) {
        const std::uint32_t word = next();
        if (word < limit) return word % bound;
    }
}

}   // namespace oddplate::core
