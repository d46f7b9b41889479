#pragma once
// What our own functions promise each other. A broken promise is a fault of the program, never of the user's data.

#include <cstdlib>

namespace oddplate::stats {

/// Stops the program when a caller of ours broke a precondition (release builds too: a wrong verdict is worse than none).
inline void promise(bool holds) noexcept {
    if (!holds) std::abort();
}

}   // namespace oddplate::stats
