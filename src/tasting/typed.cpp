#include "oddplate/tasting/typed.hpp"

#include "oddplate/core/text.hpp"

namespace oddplate::tasting {

Typed typed_line(std::string_view line) {
    const auto at = line.find(';');
    if (at == std::string_view::npos) return {core::trimmed(line), {}};
    return {core::trimmed(line.substr(0, at)), core::trimmed(line.substr(at + 1))};
}

}   // namespace oddplate::tasting
