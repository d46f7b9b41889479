// Reading JSON. nlohmann's parser hands over tokens (its SAX interface) and we build our own value, because the library alone
// would keep the last of two equal keys, stop at a NUL byte as if the text ended there, and set no limit to depth. Its messages
// go to no user: json_fault.cpp tells what was found and what could have stood there.
#include "oddplate/core/json.hpp"

#define JSON_USE_IMPLICIT_CONVERSIONS 0
#include <nlohmann/json.hpp>

#include <algorithm>
#include <iterator>
#include <optional>

#include "json_fault.hpp"
#include "oddplate/core/text.hpp"
#include "utf8.hpp"

namespace oddplate::core {
namespace {

/// The first key that an object has twice, or nullptr. Looked for once, at the object's end; large objects are sorted for it.
const std::string* duplicate_key(const Json::Object& members) {
    if (members.size() <= 8) {
        for (auto a = members.begin(); a != members.end(); ++a) {
            if (std::any_of(members.begin(), a, [&](const auto& b) { return a->first == b.first; })) return &a->first;
        }
        return nullptr;
    }
    std::vector<const std::string*> keys;
    keys.reserve(members.size());
    for (const auto& member : members) keys.push_back(&member.first);
    std::sort(keys.begin(), keys.end(), [](const auto* a, const auto* b) { return *a < *b; });
    const auto twice = std::adjacent_find(keys.begin(), keys.end(), [](const auto* a, const auto* b) { return *a == *b; });
    return twice == keys.end() ? nullptr : *twice;
}

/// Values wait on one stack until their list or object ends and can be made in its final size: half the memory of growing each.
class Builder final : public nlohmann::json_sax<nlohmann::json> {
public:
    Builder(std::string_view text, JsonLimits limits)
        : m_text(text), m_depth(static_cast<std::size_t>(std::max(0, limits.depth))) {}

    void hand_over(std::string_view list, const std::function<void(const Json&)>& take) {
        m_list = list;
        m_take = &take;
    }

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

    bool start_object(std::size_t) override { return open(JsonPlace::in_object); }
    bool start_array(std::size_t) override { return open(JsonPlace::in_list); }
    bool key(string_t& name) override {
        m_open.back().key = std::move(name);
        m_open.back().state = JsonPlace::after_key;
        return no_nul(m_open.back().key);
    }
    bool end_array() override;
    bool end_object() override;
    bool parse_error(std::size_t position, const std::string&, const nlohmann::json::exception& error) override;

    Result<Json> take() {
        if (m_fault) return std::move(*m_fault);
        return std::move(m_values.front().second);
    }

private:
    struct Open {
        JsonPlace state;
        std::size_t first;   ///< its first value on the stack
        std::string key = {};
        std::size_t handed = 0;   ///< rows handed over
    };

    bool open(JsonPlace state) {
        if (m_open.size() >= m_depth) {
            m_fault =
                bad_json(pointer(), "more than " + std::to_string(m_depth) + " levels of lists and objects", "a flatter text");
            return false;
        }
        m_open.push_back(Open{state, m_values.size()});
        return true;
    }

    bool is_in_handed_list() const {
        if (m_take == nullptr || m_open.empty() || m_open.back().state != JsonPlace::in_list) return false;
        return m_list.empty() ? m_open.size() == 1 : m_open.size() == 2 && m_open.front().key == m_list;
    }

    bool add(Json value) {
        if (is_in_handed_list()) {
            ++m_open.back().handed;
            (*m_take)(value);
            return true;
        }
        const bool member = !m_open.empty() && m_open.back().state == JsonPlace::after_key;
        m_values.emplace_back(member ? std::move(m_open.back().key) : std::string(), std::move(value));
        if (member) m_open.back().state = JsonPlace::in_object;
        return true;
    }

    bool no_nul(const std::string& value) {
        if (value.find('\0') == std::string::npos) return true;
        m_fault = bad_json(pointer(), "a NUL character (\\u0000) in a text", "text without it");
        return false;
    }

    std::string pointer() const;

    std::string_view m_text;
    std::size_t m_depth;
    std::vector<Open> m_open;
    Json::Object m_values;   ///< a list's values stand here with empty keys
    std::optional<Error> m_fault;
    std::string_view m_list;
    const std::function<void(const Json&)>* m_take = nullptr;
};

bool Builder::end_array() {
    const auto first = m_values.begin() + static_cast<std::ptrdiff_t>(m_open.back().first);
    Json::Array items;
    items.reserve(static_cast<std::size_t>(m_values.end() - first));
    for (auto item = first; item != m_values.end(); ++item) items.push_back(std::move(item->second));
    m_values.erase(first, m_values.end());
    m_open.pop_back();
    return add(Json(std::move(items)));
}

bool Builder::end_object() {
    const auto first = m_values.begin() + static_cast<std::ptrdiff_t>(m_open.back().first);
    Json::Object members(std::make_move_iterator(first), std::make_move_iterator(m_values.end()));
    m_values.erase(first, m_values.end());
    if (const std::string* twice = duplicate_key(members); twice != nullptr) {
        m_open.back().key = *twice;
        m_fault = bad_json(pointer(), "this key twice", "each key once");
        return false;
    }
    m_open.pop_back();
    return add(Json(std::move(members)));
}

/// Where the next value would stand (RFC 6901).
std::string Builder::pointer() const {
    std::string path;
    for (std::size_t i = 0; i < m_open.size(); ++i) {
        path += '/';
        if (m_open[i].state == JsonPlace::in_list) {
            const std::size_t end = i + 1 < m_open.size() ? m_open[i + 1].first : m_values.size();
            path += std::to_string(m_open[i].handed + end - m_open[i].first);
            continue;
        }
        for (const char c : m_open[i].key) path += c == '~' ? "~0" : c == '/' ? "~1" : std::string(1, c);
    }
    return core::quoted(path, 200);
}

bool Builder::parse_error(std::size_t position, const std::string&, const nlohmann::json::exception& error) {
    constexpr int out_of_range = 406;   // nlohmann's number for a number beyond a double
    const JsonPlace state = m_open.empty() ? JsonPlace::outside : m_open.back().state;
    // Only the wording hangs on the library's message: a text read whole in a wrong place ends at the same byte as a broken one.
    const bool in_text = std::string_view(error.what()).find("invalid string") != std::string_view::npos;
    const JsonStop stop = error.id == out_of_range ? JsonStop::number : in_text ? JsonStop::text : JsonStop::token;
    m_fault = json_fault(m_text, position, state, stop);
    return false;
}

Result<Json> read(std::string_view text, std::string_view list, const std::function<void(const Json&)>* take, JsonLimits limits) {
    if (text.size() > limits.bytes) {
        return bad_json({}, with_commas(static_cast<long long>(text.size())) + " bytes",
                        "at most " + with_commas(static_cast<long long>(limits.bytes)));
    }
    if (text.substr(0, 3) == "\xEF\xBB\xBF") text.remove_prefix(3);
    if (text.find_first_not_of(" \t\r\n") == std::string_view::npos) return bad_json({}, "an empty text", "JSON");
    // The library takes a NUL between tokens for the end of the text and would pass over what follows.
    if (const std::size_t nul = text.find('\0'); nul != std::string_view::npos)
        return bad_json(place_at(text, nul), "a NUL byte", "text");
    if (std::size_t bad = 0; !is_utf8(text, &bad)) {
        return bad_json(place_at(text, bad), "a byte that is no UTF-8", "text in UTF-8", "save the file as UTF-8");
    }
    Builder builder(text, limits);
    if (take != nullptr) builder.hand_over(list, *take);
    nlohmann::json::sax_parse(text.begin(), text.end(), &builder);   // every refusal is kept in the builder
    return builder.take();
}

}   // namespace

Result<Json> parse_json(std::string_view text, JsonLimits limits) {
    return read(text, {}, nullptr, limits);
}

Result<Json> parse_json_rows(std::string_view text, std::string_view list, const std::function<void(const Json&)>& take,
                             JsonLimits limits) {
    return read(text, list, &take, limits);
}

}   // namespace oddplate::core
