#pragma once
// The draw's two halves as text, kept apart: what the room may see, and the key. And the fingerprint over both.

#include <optional>
#include <string>

#include "oddplate/core/bytes.hpp"
#include "oddplate/core/json.hpp"
#include "oddplate/core/result.hpp"
#include "oddplate/draw/draw.hpp"

namespace oddplate::tasting {

/// Everything that only the key holds.
struct KeyPaper {
    core::Bytes32 seed{};
    core::Bytes32 salt{};
    draw::Key key;
    std::optional<core::Bytes32> host{};   ///< the host's part of the seed, in a draw with guests
};

[[nodiscard]] std::string room_to_text(const draw::Room& room);
[[nodiscard]] core::Result<draw::Room> room_from_text(const std::string& text);
[[nodiscard]] std::string key_to_text(const KeyPaper& paper);
[[nodiscard]] core::Result<KeyPaper> key_from_text(const std::string& text);

/// SHA-256 over a version line, the canonical plan, room and key as text, and the salt, each on a line of its own.
[[nodiscard]] std::string fingerprint(const methods::Plan& plan, const draw::Room& room, const KeyPaper& paper, int draw_version);

}   // namespace oddplate::tasting
