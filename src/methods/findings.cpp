// Findings are a list of named values; these are the ways to look one up and to add one that may be missing.

#include "oddplate/methods/findings.hpp"

#include <algorithm>

namespace oddplate::methods {

const Value* Findings::find(std::string_view key) const {
    const auto at = std::find_if(fields.begin(), fields.end(), [&](const Field& field) { return field.key == key; });
    return at == fields.end() ? nullptr : &at->value;
}

std::optional<double> Findings::number(std::string_view key) const {
    const Value* value = find(key);
    if (value == nullptr) return std::nullopt;
    if (const auto* whole = std::get_if<std::int64_t>(value)) return static_cast<double>(*whole);
    if (const auto* real = std::get_if<double>(value)) return *real;
    return std::nullopt;
}

void Findings::add_optional(std::string key, const std::optional<double>& value, std::string why) {
    if (value)
        add(std::move(key), Value{*value});
    else
        add(std::move(key), Value{}, std::move(why));
}

std::string plain_name(std::string name) {
    std::replace(name.begin(), name.end(), '.', '\x1f');
    return name;
}

std::string named(std::string part) {
    std::replace(part.begin(), part.end(), '\x1f', '.');
    return part;
}

}   // namespace oddplate::methods
