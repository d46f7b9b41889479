#pragma once
// What every target shares: its input as text, and a law that stops the program where it does not hold.

#include <cstdint>
#include <cstdio>
#include <cstdlib>
#include <string>
#include <string_view>

#include "oddplate/core/result.hpp"
#include "oddplate/core/text.hpp"

namespace oddplate::fuzz {

inline std::string_view text_of(const std::uint8_t* data, std::size_t size) { return {reinterpret_cast<const char*>(data), size}; }

inline void holds(bool law, const char* what) {
    if (law) return;
    std::fprintf(stderr, "broken: %s\n", what);
    std::abort();
}

/// Whatever was refused was refused by faults of one clean line each, and is no fault of ours.
template <class T>
bool taken(const core::Result<T>& result) {
    if (result.ok()) return true;
    holds(!result.faults().empty(), "a refusal says why");
    for (const core::Error& fault : result.faults()) {
        holds(fault.kind != core::ErrorKind::internal, "a refusal is no fault of the program");
        holds(fault.line().find('\n') == std::string::npos && core::is_utf8(fault.line()), "a fault is one line of text");
    }
    return false;
}

}   // namespace oddplate::fuzz
