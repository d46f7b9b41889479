// Hashes, hexadecimal digits and the operating system's chance, by libsodium.
#include "oddplate/core/bytes.hpp"

#include <sodium.h>

#include <algorithm>
#include <cstdlib>

#include "oddplate/core/text.hpp"
#include "sodium_ready.hpp"

namespace oddplate::core {
namespace {

constexpr std::size_t k_seal_digits = 24;

/// 0 to 15, or -1.
int hex_digit(char c) {
    if (c >= '0' && c <= '9') return c - '0';
    if (c >= 'a' && c <= 'f') return c - 'a' + 10;
    if (c >= 'A' && c <= 'F') return c - 'A' + 10;
    return -1;
}

std::string without_dashes(std::string_view printed) {
    std::string digits;
    for (const char c : printed)
        if (c != '-' && c != ' ') digits += c;
    return digits;
}

}   // namespace

void sodium_ready() {
    static const int state = sodium_init();   // 0 the first time, 1 when it was ready, -1 when there is no source of chance
    if (state < 0) std::abort();
}

Bytes32 sha256(std::string_view bytes) {
    Bytes32 hash;
    crypto_hash_sha256(hash.data(), reinterpret_cast<const unsigned char*>(bytes.data()), bytes.size());
    return hash;
}

Bytes32 keyed_hash(const Bytes32& key, std::string_view text) {
    Bytes32 hash;
    if (crypto_generichash(hash.data(), hash.size(), reinterpret_cast<const unsigned char*>(text.data()), text.size(), key.data(), key.size()) != 0)
        std::abort();   // it fails for lengths alone, and these are right
    return hash;
}

bool equal_in_constant_time(std::string_view a, std::string_view b) { return a.size() == b.size() && sodium_memcmp(a.data(), b.data(), a.size()) == 0; }

std::string to_hex(const Bytes32& bytes) {
    constexpr std::string_view digits = "0123456789abcdef";
    std::string text;
    text.reserve(64);
    for (const std::uint8_t byte : bytes) {
        text += digits[byte >> 4];
        text += digits[byte & 15];
    }
    return text;
}

Result<Bytes32> from_hex(std::string_view text, std::string_view where) {
    const std::string expected = "64 hexadecimal digits (0-9 and a-f)";
    if (text.size() != 64) {
        return found(std::string(where), std::to_string(text.size()) + " characters", expected, {}, "bad-hex");
    }
    Bytes32 bytes{};
    for (std::size_t i = 0; i < text.size(); ++i) {
        const int digit = hex_digit(text[i]);
        if (digit < 0) {
            return found(std::string(where), "\"" + quoted(text.substr(i, 1)) + "\" at place " + std::to_string(i + 1), expected,
                         {}, "bad-hex");
        }
        bytes[i / 2] = static_cast<std::uint8_t>(bytes[i / 2] << 4 | digit);
    }
    return bytes;
}

Bytes32 random_bytes32() {
    sodium_ready();
    Bytes32 bytes;
    randombytes_buf(bytes.data(), bytes.size());
    return bytes;
}

std::string printed_seal(std::string_view hex64) {
    std::string seal;
    for (std::size_t i = 0; i < k_seal_digits && i < hex64.size(); ++i) {
        if (i > 0 && i % 4 == 0) seal += '-';
        const char c = hex64[i];
        seal += c >= 'a' && c <= 'f' ? static_cast<char>(c - 'a' + 'A') : c;
    }
    return seal;
}

bool is_seal_text(std::string_view printed) {
    const std::string digits = without_dashes(printed);
    return (digits.size() == k_seal_digits || digits.size() == 64) &&
           std::all_of(digits.begin(), digits.end(), [](char c) { return hex_digit(c) >= 0; });
}

bool seal_matches(std::string_view printed, std::string_view hex64) {
    const std::string digits = without_dashes(printed);
    return is_seal_text(printed) && lower_ascii(digits) == lower_ascii(hex64.substr(0, digits.size()));
}

}   // namespace oddplate::core
