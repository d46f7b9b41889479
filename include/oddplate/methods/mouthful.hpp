#pragma once
// What one mouth takes in an evening (common practice). Whoever warns, advises or offers more trays goes by these.

namespace oddplate::methods {

inline constexpr int k_many_portions = 6;       ///< beyond it tongues tire: a warning, and no advice goes there
inline constexpr int k_too_many_portions = 9;   ///< beyond it an evening answers nothing

}   // namespace oddplate::methods
