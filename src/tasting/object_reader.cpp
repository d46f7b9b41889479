// One object, one reader: what is asked for is known, what is left is a slip of the pen and gets the nearest known key.

#include "object_reader.hpp"

#include <algorithm>
#include <cmath>
#include <set>

#include "oddplate/core/text.hpp"

namespace oddplate::tasting {
namespace {

constexpr int k_most_exact = 1'000'000'000;   // as much as a setting counts

}   // namespace

ObjectReader::ObjectReader(const core::Json& object, std::string place, core::Faults& faults)
    : m_object(object), m_place(std::move(place)), m_faults(faults) {}

void ObjectReader::add(std::string_view key, std::string got, std::string expected, std::string hint) {
    m_faults.push_back(core::found(at(key), std::move(got), std::move(expected), std::move(hint)));
}

void ObjectReader::add_once(std::string_view key, std::string got, std::string expected) {
    const std::string place = at(key);   // what stands below counts too: "/spots/0" is a fault of "/spots"
    for (const core::Error& fault : m_faults)
        if (fault.where == place || fault.where.starts_with(place + "/")) return;
    add(key, std::move(got), std::move(expected));
}

const core::Json* ObjectReader::any(std::string_view key) {
    if (std::find(m_known.begin(), m_known.end(), key) == m_known.end()) m_known.emplace_back(key);
    return m_object.find(key);
}

std::optional<methods::SettingValue> ObjectReader::take(const methods::Setting& setting,
                                                        const std::vector<std::string>& version_ids) {
    const core::Json* value = any(setting.key);
    if (value == nullptr) {
        if (setting.required) add(setting.key, "nothing", methods::expectation(setting));
        return std::nullopt;
    }
    core::Json whole;
    if (setting.kind == methods::Kind::whole) {   // 24.0 is a whole number in JSON
        if (const auto n = whole_in(*value, -k_most_exact, k_most_exact)) {
            whole = core::Json(std::int64_t{*n});
            value = &whole;
        }
    }
    auto read = methods::read_setting(setting, *value, at(setting.key), version_ids);
    if (read) return std::move(*read);
    m_faults.insert(m_faults.end(), read.faults().begin(), read.faults().end());
    return std::nullopt;
}

std::optional<double> ObjectReader::number(std::string_view key, double lo, double hi, bool open, bool required) {
    const auto value =
        take({.key = key, .kind = methods::Kind::number, .lo = lo, .hi = hi, .open = open, .required = required, .help = {}});
    return value ? std::optional(std::get<double>(*value)) : std::nullopt;
}

std::optional<int> ObjectReader::whole(std::string_view key, int lo, int hi, bool required) {
    const auto value = take({.key = key,
                             .kind = methods::Kind::whole,
                             .lo = static_cast<double>(lo),
                             .hi = static_cast<double>(hi),
                             .required = required,
                             .help = {}});
    return value ? std::optional(static_cast<int>(std::get<std::int64_t>(*value))) : std::nullopt;
}

std::optional<bool> ObjectReader::flag(std::string_view key) {
    const auto value = take({.key = key, .kind = methods::Kind::flag, .help = {}});
    return value ? std::optional(std::get<bool>(*value)) : std::nullopt;
}

std::optional<std::string> ObjectReader::choice(std::string_view key, std::span<const std::string_view> choices) {
    const auto value = take({.key = key, .kind = methods::Kind::choice, .choices = choices, .help = {}});
    return value ? std::optional(std::get<std::string>(*value)) : std::nullopt;
}

std::optional<int> whole_in(const core::Json& value, int lo, int hi) {
    if (!value.is_number()) return std::nullopt;
    const double x = value.as_number();
    if (!(x >= lo && x <= hi) || x != std::floor(x)) return std::nullopt;
    return static_cast<int>(x);
}

std::string pointer_token(std::string_view name) {
    std::string token;
    for (const char c : core::quoted(name)) token += c == '~' ? "~0" : c == '/' ? "~1" : std::string(1, c);
    return token;
}

std::optional<std::string> page_text_fault(const std::string& text, std::size_t most) {
    if (text.empty()) return "empty text";
    if (text.size() > most) return "text of " + std::to_string(text.size()) + " bytes";
    const bool control =
        std::any_of(text.begin(), text.end(), [](char c) { return static_cast<unsigned char>(c) < 0x20 || c == 0x7f; });
    if (control) return "a control character";
    if (!core::is_utf8(text)) return "bytes that are no UTF-8";
    return std::nullopt;
}

std::optional<std::string> plan_text_fault(const std::string& text, std::size_t most) {
    if (!text.empty() && (text.front() == ' ' || text.back() == ' '))
        return core::trimmed(text).empty() ? "nothing but spaces" : "a space at the beginning or the end";
    return page_text_fault(text, most);
}

std::optional<std::string> ObjectReader::text(std::string_view key, bool required) {
    const core::Json* value = any(key);
    if (value == nullptr) {
        if (required) add(key, "nothing", "text of 1 to 200 bytes");
        return std::nullopt;
    }
    if (!value->is_string()) {
        add(key, core::describe(*value), "text in quotes");
        return std::nullopt;
    }
    if (const auto bad = plan_text_fault(value->as_string(), 200)) {
        add(key, *bad, "text of 1 to 200 bytes without control characters");
        return std::nullopt;
    }
    return value->as_string();
}

std::optional<std::vector<std::string>> ObjectReader::texts(std::string_view key) {
    const core::Json* value = list(key, false);
    if (value == nullptr) return std::nullopt;
    std::vector<std::string> out;
    std::set<std::string> seen;
    for (std::size_t i = 0; i < value->as_array().size(); ++i) {
        const core::Json& item = value->as_array()[i];
        const std::string place = std::string(key) + "/" + std::to_string(i);
        if (!item.is_string()) {
            add(place, core::describe(item), "text in quotes");
        } else if (const auto bad = plan_text_fault(item.as_string(), 60)) {
            add(place, *bad, "text of 1 to 60 bytes without control characters");
        } else if (!seen.insert(item.as_string()).second) {
            add(place, core::describe(item) + " a second time", "each only once");
        } else {
            out.push_back(item.as_string());
        }
    }
    return out;
}

const core::Json* ObjectReader::list(std::string_view key, bool required) {
    const core::Json* value = any(key);
    if (value == nullptr) {
        if (required) add(key, "nothing", "a list");
        return nullptr;
    }
    if (value->is_array()) return value;
    add(key, core::describe(*value), "a list in [ ]");
    return nullptr;
}

const core::Json* ObjectReader::object(std::string_view key) {
    const core::Json* value = any(key);
    if (value == nullptr || value->is_object()) return value;
    add(key, core::describe(*value), "an object in { }");
    return nullptr;
}

void ObjectReader::refuse_the_rest() {
    for (const auto& [key, value] : m_object.as_object()) {
        if (std::find(m_known.begin(), m_known.end(), key) != m_known.end()) continue;
        const std::string near = core::nearest(key, m_known);
        const std::string hint = near.empty() ? "known here: " + core::joined(m_known, ", ") : "did you mean \"" + near + "\"?";
        m_faults.push_back(
            core::found(m_place + "/" + pointer_token(key), "an unknown key", "one that a plan knows", hint, "unknown-key"));
    }
}

}   // namespace oddplate::tasting
