#pragma once
// A picture for a screen that is as wide as a hand.

#include <optional>

#include "picture.hpp"

namespace oddplate::report {

/// The same picture, 84 mm wide, with type of the same size, so that on a phone its letters are about as large as those around it: names that stood to the left of
/// their marks stand above them. Nothing where the picture is no list of names with marks beside each.
[[nodiscard]] std::optional<Picture> narrowed(const Picture& picture);

}   // namespace oddplate::report
