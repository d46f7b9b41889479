#pragma once
// A small JSON value of our own, so that no library type crosses a layer. Objects keep the order in which keys were added.

#include <cstddef>
#include <cstdint>
#include <functional>
#include <initializer_list>
#include <string>
#include <string_view>
#include <utility>
#include <variant>
#include <vector>

#include "oddplate/core/result.hpp"

namespace oddplate::core {

class Json {
public:
    using Array = std::vector<Json>;
    using Object = std::vector<std::pair<std::string, Json>>;

    Json() = default;
    Json(std::nullptr_t) {}                                                  // NOLINT(google-explicit-constructor)
    Json(bool value) : m_value(value) {}                                     // NOLINT
    Json(int value) : m_value(std::int64_t{value}) {}                        // NOLINT
    Json(std::int64_t value) : m_value(value) {}                             // NOLINT
    Json(std::size_t value) : m_value(static_cast<std::int64_t>(value)) {}   // NOLINT
    Json(double value) : m_value(value) {}                                   // NOLINT
    Json(const char* value) : m_value(std::string(value)) {}                 // NOLINT
    Json(std::string value) : m_value(std::move(value)) {}                   // NOLINT
    Json(std::string_view value) : m_value(std::string(value)) {}            // NOLINT
    Json(Array value) : m_value(std::move(value)) {}                         // NOLINT
    Json(Object value) : m_value(std::move(value)) {}                        // NOLINT

    [[nodiscard]] static Json object() { return Json(Object{}); }
    [[nodiscard]] static Json array() { return Json(Array{}); }

    [[nodiscard]] bool is_null() const { return std::holds_alternative<std::nullptr_t>(m_value); }
    [[nodiscard]] bool is_bool() const { return std::holds_alternative<bool>(m_value); }
    [[nodiscard]] bool is_integer() const { return std::holds_alternative<std::int64_t>(m_value); }
    [[nodiscard]] bool is_number() const { return is_integer() || std::holds_alternative<double>(m_value); }
    [[nodiscard]] bool is_string() const { return std::holds_alternative<std::string>(m_value); }
    [[nodiscard]] bool is_array() const { return std::holds_alternative<Array>(m_value); }
    [[nodiscard]] bool is_object() const { return std::holds_alternative<Object>(m_value); }

    // The accessors below must be called on the kind they name (std::get throws otherwise: a fault of ours).
    [[nodiscard]] bool as_bool() const { return std::get<bool>(m_value); }
    [[nodiscard]] std::int64_t as_integer() const { return std::get<std::int64_t>(m_value); }
    [[nodiscard]] double as_number() const {
        return is_integer() ? static_cast<double>(as_integer()) : std::get<double>(m_value);
    }
    [[nodiscard]] const std::string& as_string() const { return std::get<std::string>(m_value); }
    [[nodiscard]] const Array& as_array() const { return std::get<Array>(m_value); }
    [[nodiscard]] Array& as_array() { return std::get<Array>(m_value); }
    [[nodiscard]] const Object& as_object() const { return std::get<Object>(m_value); }
    [[nodiscard]] Object& as_object() { return std::get<Object>(m_value); }

    /// The member with this key, or nullptr (also when this is no object).
    [[nodiscard]] const Json* find(std::string_view key) const;
    /// The member with this key; it must be there (std::out_of_range otherwise).
    [[nodiscard]] const Json& at(std::string_view key) const;
    /// Sets a member: replaced where the key is there, else added at the end. Returns *this, for chaining.
    Json& set(std::string_view key, Json value);
    void push(Json value) { as_array().push_back(std::move(value)); }

    friend bool operator==(const Json&, const Json&) = default;

private:
    std::variant<std::nullptr_t, bool, std::int64_t, double, std::string, Array, Object> m_value{nullptr};
};

struct JsonLimits {
    std::size_t bytes = 64u << 20;
    int depth = 32;
};

/// Reads JSON text. Refused, with the place (line and column, or a JSON pointer): what is no JSON, anything after the end,
/// duplicate keys, NaN and infinities, numbers beyond a double, invalid UTF-8, NUL in text, more than `limits` allow. A UTF-8
/// byte-order mark at the start is skipped. Whole numbers that fit 64 bits are integers, every other number a double.
[[nodiscard]] Result<Json> parse_json(std::string_view text, JsonLimits limits = {});

/// The same, for a text with one long list: the member `list` of the outermost object or, where `list` is empty, the outermost value
/// itself. Its rows go to `take` one by one, as each ends, so that they never stand in memory together; the answer has an empty list
/// in their place. Rows may have been taken before a fault comes; what `take` throws goes to the caller.
[[nodiscard]] Result<Json> parse_json_rows(std::string_view text, std::string_view list, const std::function<void(const Json&)>& take,
                                           JsonLimits limits = {});

/// One line, no spaces; doubles as the shortest text that reads back equal. A NaN or infinity is a broken promise: aborts.
[[nodiscard]] std::string to_text(const Json& value);
/// The text of a list of `n` rows that are made one by one: row(0), row(1), ... answers a Json.
template <class Row>
[[nodiscard]] std::string list_text(std::size_t n, Row row) {
    std::string text = "[";
    for (std::size_t i = 0; i < n; ++i) {
        if (i > 0) text += ',';
        text += to_text(row(i));
    }
    return text += ']';
}
/// Two-space indent, a newline at the end.
[[nodiscard]] std::string to_pretty_text(const Json& value);
/// One line with the keys of every object sorted by bytes: what fingerprints and exports are made of.
[[nodiscard]] std::string to_canonical_text(const Json& value);

/// The shortest decimal text that reads back to the same double ("0.05", "1e-12"); the value must be finite.
[[nodiscard]] std::string shortest(double value);

/// A value in at most 40 characters, for "found ...": text in quotes, arrays as "a list", objects as "an object".
[[nodiscard]] std::string describe(const Json& value);

}   // namespace oddplate::core
