#pragma once
// A link as a picture that a phone reads.

#include <string>

#include "html.hpp"

namespace oddplate::web {

/// Black on white whatever the page's colours, with its quiet zone (ISO/IEC 18004); hidden from screen readers, so the link itself must stand beside it.
[[nodiscard]] Markup qr(const std::string& text);

}   // namespace oddplate::web
