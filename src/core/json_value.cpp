// The value's own small parts. Reading stands in json.cpp (by nlohmann's tokens), writing in json_write.cpp.
#include "oddplate/core/json.hpp"

#include <cstdlib>
#include <stdexcept>

#include "oddplate/core/text.hpp"

namespace oddplate::core {

const Json* Json::find(std::string_view key) const {
    if (!is_object()) return nullptr;
    for (const auto& [name, value] : as_object()) {
        if (name == key) return &value;
    }
    return nullptr;
}

const Json& Json::at(std::string_view key) const {
    const Json* member = find(key);
    if (member == nullptr)
        throw std::out_of_range(std::string(key));   // as a wrong kind does: a fault of ours, or a book changed by hand
    return *member;
}

Json& Json::set(std::string_view key, Json value) {
    for (auto& [name, old] : as_object()) {
        if (name != key) continue;
        old = std::move(value);
        return *this;
    }
    as_object().emplace_back(std::string(key), std::move(value));
    return *this;
}

std::string describe(const Json& value) {
    if (value.is_null()) return "null";
    if (value.is_bool()) return value.as_bool() ? "true" : "false";
    if (value.is_integer()) return std::to_string(value.as_integer());
    if (value.is_number()) return shortest(value.as_number());
    if (value.is_array()) return "a list";
    if (value.is_object()) return "an object";
    return "\"" + quoted(value.as_string(), 38) + "\"";
}

}   // namespace oddplate::core
