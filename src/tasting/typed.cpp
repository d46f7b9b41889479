#include "oddplate/tasting/typed.hpp"

#include <algorithm>
#include <string_view>

#include "oddplate/core/text.hpp"

namespace oddplate::tasting {

Typed typed_line(std::string_view line) {
    const auto at = line.find(';');
    if (at == std::string_view::npos) return {core::trimmed(line), {}};
    return {core::trimmed(line.substr(0, at)), core::trimmed(line.substr(at + 1))};
}

Typed typed_box(std::string_view line) {
    const std::string text = core::trimmed(line);
    const std::size_t end = std::min(text.find_first_of(" ,;:"), text.size());
    const std::string word = core::lower_ascii(text.substr(0, end));
    const std::size_t from = text.find_first_not_of(" ,;:-", end), sign = text.find_first_not_of(' ', end);
    const bool is_yes = word == "yes" || word == "y", is_no = word == "no" || word == "n";
    const bool ends = sign == std::string::npos || std::string_view(",;:").find(text[sign]) != std::string_view::npos;
    if (!is_yes && !(is_no && ends)) return {text, {}};   // "no answer" is no no
    return {word, from == std::string::npos ? std::string() : text.substr(from)};
}

int version_meant(const methods::Plan& plan, std::string_view typed) {
    if (const int exactly = plan.version_index(typed); exactly >= 0) return exactly;
    const std::string wanted = core::lower_ascii(core::trimmed(typed));
    int found = -1;
    for (std::size_t v = 0; v < plan.versions.size(); ++v) {
        if (core::lower_ascii(plan.versions[v].id) != wanted && core::lower_ascii(plan.versions[v].label) != wanted) continue;
        if (found >= 0) return -1;
        found = static_cast<int>(v);
    }
    return found;
}

}   // namespace oddplate::tasting
