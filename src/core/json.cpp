// Reading JSON. nlohmann's parser hands over tokens (its SAX interface) and we build our own value, because the library alone would
// keep the last of two equal keys, stop at a NUL byte as if the text ended there, and set no limit to depth. Its messages go to no
// user: what was found and what could have stood there is told from the text around the place where it stopped.
#include "oddplate/core/json.hpp"

#define JSON_USE_IMPLICIT_CONVERSIONS 0
#include <nlohmann/json.hpp>

#include <algorithm>
#include <optional>

#include "oddplate/core/text.hpp"
#include "utf8.hpp"

namespace oddplate::core {
namespace {

Error bad_json(std::string where, std::string got, std::string expected, std::string hint = {}) {
    return found(std::move(where), std::move(got), std::move(expected), std::move(hint), "bad-json", ErrorKind::bad_file);
}

/// The first key that an object has twice, or nullptr. Sorted once, at the object's end, so that large objects stay cheap.
const std::string* duplicate_key(const Json::Object& members) {
    std::vector<const std::string*> keys;
    keys.reserve(members.size());
    for (const auto& member : members) keys.push_back(&member.first);
    std::sort(keys.begin(), keys.end(), [](const auto* a, const auto* b) { return *a < *b; });
    const auto twice = std::adjacent_find(keys.begin(), keys.end(), [](const auto* a, const auto* b) { return *a == *b; });
    return twice == keys.end() ? nullptr : *twice;
}

class Builder final : public nlohmann::json_sax<nlohmann::json> {
public:
    Builder(std::string_view text, JsonLimits limits) : m_text(text), m_depth(static_cast<std::size_t>(std::max(0, limits.depth))) {}

    bool null() override { return add(Json()); }
    bool boolean(bool value) override { return add(Json(value)); }
    bool number_integer(number_integer_t value) override { return add(Json(std::int64_t{value})); }
    bool number_unsigned(number_unsigned_t value) override {
        const bool fits = value <= static_cast<number_unsigned_t>(INT64_MAX);
        return add(fits ? Json(static_cast<std::int64_t>(value)) : Json(static_cast<double>(value)));
    }
    bool number_float(number_float_t value, const string_t&) override { return add(Json(value)); }
    bool string(string_t& value) override { return no_nul(value) && add(Json(std::move(value))); }
    bool binary(binary_t&) override { return false; }   // JSON text has none

    bool start_object(std::size_t) override { return open(Json::object()); }
    bool start_array(std::size_t) override { return open(Json::array()); }
    bool key(string_t& name) override {
        m_open.back().key = std::move(name);
        m_open.back().has_key = true;
        return no_nul(m_open.back().key);
    }
    bool end_array() override { return close(); }
    bool end_object() override {
        const std::string* twice = duplicate_key(m_open.back().value.as_object());
        if (twice == nullptr) return close();
        m_open.back().key = *twice;
        m_fault = bad_json(pointer(), "this key twice", "each key once");
        return false;
    }

    bool parse_error(std::size_t position, const std::string& token, const nlohmann::json::exception& error) override;

    Result<Json> take() {
        if (m_fault) return std::move(*m_fault);
        return std::move(m_root);
    }

private:
    struct Open {
        Json value;
        std::string key = {};
        bool has_key = false;   ///< the key stands, its value does not yet
    };

    bool open(Json value) {
        if (m_open.size() >= m_depth) {
            m_fault = bad_json(pointer(), "more than " + std::to_string(m_depth) + " levels of lists and objects", "a flatter text");
            return false;
        }
        m_open.push_back(Open{std::move(value)});
        return true;
    }

    bool close() {
        Json value = std::move(m_open.back().value);
        m_open.pop_back();
        return add(std::move(value));
    }

    bool add(Json value) {
        if (m_open.empty()) {
            m_root = std::move(value);
            return true;
        }
        Open& parent = m_open.back();
        if (parent.value.is_array()) {
            parent.value.push(std::move(value));
        } else {
            parent.value.as_object().emplace_back(std::move(parent.key), std::move(value));
            parent.has_key = false;
        }
        return true;
    }

    bool no_nul(const std::string& value) {
        if (value.find('\0') == std::string::npos) return true;
        m_fault = bad_json(pointer(), "a NUL character (\\u0000) in a text", "text without it");
        return false;
    }

    /// Where the next value would stand (RFC 6901).
    std::string pointer() const {
        std::string path;
        for (const Open& open : m_open) {
            path += '/';
            if (open.value.is_array()) {
                path += std::to_string(open.value.as_array().size());
                continue;
            }
            for (const char c : open.key) path += c == '~' ? "~0" : c == '/' ? "~1" : std::string(1, c);
        }
        return core::quoted(path, 200);
    }

    std::string expected_after(char before) const;

    std::string_view m_text;
    std::size_t m_depth;
    std::vector<Open> m_open;
    Json m_root;
    std::optional<Error> m_fault;
};

/// What may follow the last thing that was read whole; `before` is its last byte, or 0 at the start.
std::string Builder::expected_after(char before) const {
    if (m_open.empty()) return before == '\0' ? "JSON" : "nothing after the end of the JSON";
    const Open& parent = m_open.back();
    const bool list = parent.value.is_array();
    if (list && before == '[') return "a value or ]";
    if (!list && before == '{') return "a key in double quotes or }";
    if (before == ',') return list ? "a value" : "a key in double quotes";
    if (!list && parent.has_key) return before == ':' ? "a value" : "a colon";
    return list ? "a comma or ]" : "a comma or }";
}

bool Builder::parse_error(std::size_t position, const std::string& token, const nlohmann::json::exception& error) {
    // (core::quoted, because std::quoted would be found by its argument.)
    // The parser stands one past the last byte it took. The token's own start is found by its length, where it has no escapes in it.
    std::size_t at = std::min(position > 0 ? position - 1 : 0, m_text.size());
    const std::string_view taken = m_text.substr(0, std::min(position, m_text.size()));
    if (!token.empty() && taken.ends_with(token)) at = taken.size() - token.size();
    const std::string where = place_at(m_text, at);
    constexpr int out_of_range = 406;   // nlohmann's number for a number beyond a double
    if (error.id == out_of_range) {
        m_fault = bad_json(where, core::quoted(token), "a number that a double can hold (up to about 1.8e308)");
        return false;
    }
    const std::size_t last = m_text.substr(0, at).find_last_not_of(" \t\r\n");
    const std::string expected = expected_after(last == std::string_view::npos ? '\0' : m_text[last]);
    const bool ended = m_text.find_first_not_of(" \t\r\n", at) == std::string_view::npos;
    m_fault = bad_json(where, ended ? "the end of the text" : "\"" + core::quoted(m_text.substr(at, 60), 20) + "\"", expected);
    return false;
}

}   // namespace

Result<Json> parse_json(std::string_view text, JsonLimits limits) {
    if (text.size() > limits.bytes) {
        return bad_json({}, with_commas(static_cast<long long>(text.size())) + " bytes",
                        "at most " + with_commas(static_cast<long long>(limits.bytes)));
    }
    // The library takes a NUL between tokens for the end of the text and would pass over what follows.
    if (const std::size_t nul = text.find('\0'); nul != std::string_view::npos) return bad_json(place_at(text, nul), "a NUL byte", "text");
    if (std::size_t bad = 0; !is_utf8(text, &bad)) {
        return bad_json(place_at(text, bad), "a byte that is no UTF-8", "text in UTF-8", "save the file as UTF-8");
    }
    Builder builder(text, limits);
    nlohmann::json::sax_parse(text.begin(), text.end(), &builder);   // every refusal is kept in the builder
    return builder.take();
}

}   // namespace oddplate::core
