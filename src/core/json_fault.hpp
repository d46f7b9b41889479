#pragma once
// Wording of faults in JSON text; private to core.

#include <cstddef>
#include <string>
#include <string_view>

#include "oddplate/core/result.hpp"

namespace oddplate::core {

/// Where reading stood: outside everything, in a list, in an object before a key or after a value, in an object after a key.
enum class JsonPlace { outside, in_list, in_object, after_key };

/// What stopped it: a token that is none or stands wrong, the inside of a text, a number beyond a double.
enum class JsonStop { token, text, number };

[[nodiscard]] Error bad_json(std::string where, std::string got, std::string expected, std::string hint = {});

/// `read`: how many bytes were taken when reading stopped (one more than there are: the end was met).
[[nodiscard]] Error json_fault(std::string_view text, std::size_t read, JsonPlace state, JsonStop stop);

}   // namespace oddplate::core
