#pragma once
// A ladder of levels as a picture.

#include <string>

#include "oddplate/core/words.hpp"
#include "oddplate/methods/findings.hpp"

namespace oddplate::report {

/// SVG, 160 mm across: the share at each level with its limits, the curve, the lines of luck and of the share asked for, and the point with its interval as a bar on
/// the axis. Equal input gives equal bytes.
[[nodiscard]] std::string level_svg(const methods::LevelLooks& looks, const core::Words& words);

}   // namespace oddplate::report
