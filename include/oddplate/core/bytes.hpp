#pragma once
// Fixed-size byte strings, hashing, and the one place where a seed is made.

#include <array>
#include <cstdint>
#include <string>
#include <string_view>

#include "oddplate/core/result.hpp"

namespace oddplate::core {

using Bytes32 = std::array<std::uint8_t, 32>;

/// SHA-256 (FIPS 180-4).
[[nodiscard]] Bytes32 sha256(std::string_view bytes);
/// BLAKE2b-256 of a text under a key (RFC 7693): nobody without the key can tell or make it.
[[nodiscard]] Bytes32 keyed_hash(const Bytes32& key, std::string_view text);
/// Whether two texts are equal, in a time that depends on their lengths alone.
[[nodiscard]] bool equal_in_constant_time(std::string_view a, std::string_view b);
/// 64 lower-case hexadecimal digits.
[[nodiscard]] std::string to_hex(const Bytes32& bytes);
/// Reads 64 hexadecimal digits of either case. `where` names the flag or place in the fault.
[[nodiscard]] Result<Bytes32> from_hex(std::string_view text, std::string_view where);
/// 32 bytes from the operating system's generator. The only source of chance in the program that no seed repeats.
[[nodiscard]] Bytes32 random_bytes32();
/// The first 24 hexadecimal digits of a hash, upper case, in groups of four: "9F2C-71AB-...".
[[nodiscard]] std::string printed_seal(std::string_view hex64);
/// Whether a text can stand on paper as a seal at all: 24 hex digits, or all 64 of a QR code; dashes and spaces are ignored.
[[nodiscard]] bool is_seal_text(std::string_view printed);
/// Whether what stands on paper (see is_seal_text; either case) begins the 64 digits of a hash.
[[nodiscard]] bool seal_matches(std::string_view printed, std::string_view hex64);

}   // namespace oddplate::core
