// One value at a time is held against its setting: kind first, then range. Command line and plan file share the checks, so that a
// fault reads the same wherever the value came from.

#include "oddplate/methods/settings.hpp"

#include <algorithm>
#include <charconv>
#include <cmath>
#include <cstdlib>

#include "oddplate/core/text.hpp"

namespace oddplate::methods {
namespace {

constexpr std::int64_t k_most_whole = 1'000'000'000;   // no count of people or portions comes near; arithmetic on it stays exact

template <class T>
std::optional<T> get(const Settings& settings, std::string_view key) {
    const auto at = settings.find(key);
    if (at == settings.end()) return std::nullopt;
    const T* value = std::get_if<T>(&at->second);
    if (value == nullptr) std::abort();   // settings are checked on their way in: another kind here is a fault of ours
    return *value;
}

core::Error wrong(const Setting& setting, const std::string& where, std::string got, std::string hint = {}) {
    return core::found(where, std::move(got), expectation(setting), std::move(hint));
}

bool is_within(const Setting& setting, double x) {
    if (!std::isfinite(x)) return false;
    return setting.open ? setting.lo < x && x < setting.hi : setting.lo <= x && x <= setting.hi;
}

/// "write 5 % as 0.05" where a share was given in per cent; of people 4 may have been meant in ten.
std::string percent_hint(const Setting& setting, double x) {
    if (!(setting.lo >= 0 && setting.hi <= 1 && 1 < x && x < 100)) return {};
    if (setting.key.ends_with("_pd") && x < 10) return core::shortest(x) + " in ten is " + core::shortest(x / 10) + ", " + core::shortest(x) + " % is " + core::shortest(x / 100);
    if (!is_within(setting, x / 100)) x = 50 * (setting.lo + setting.hi);   // 1.5 for a share above a half was hardly 1.5 %
    return "write " + core::shortest(x) + " % as " + core::shortest(x / 100);
}

core::Result<SettingValue> checked_number(const Setting& setting, double x, const std::string& where, const std::string& got) {
    if (!is_within(setting, x)) return wrong(setting, where, got, percent_hint(setting, x));
    if (x >= setting.sense_below)
        return core::found(where, got, "a number below " + core::shortest(setting.sense_below), std::string(setting.senseless));
    return SettingValue{x};
}

core::Result<SettingValue> checked_whole(const Setting& setting, std::int64_t x, const std::string& where,
                                         const std::string& got) {
    if (x < -k_most_whole || x > k_most_whole || !is_within(setting, static_cast<double>(x))) return wrong(setting, where, got);
    return SettingValue{x};
}

core::Result<SettingValue> checked_choice(const Setting& setting, const std::string& text, const std::string& where,
                                          std::string got) {
    if (std::find(setting.choices.begin(), setting.choices.end(), text) != setting.choices.end()) return SettingValue{text};
    const std::vector<std::string> choices(setting.choices.begin(), setting.choices.end());
    const std::string near = core::nearest(text, choices);
    return wrong(setting, where, std::move(got), near.empty() ? std::string{} : "did you mean " + near + "?");
}

core::Result<SettingValue> checked_version(const std::string& text, const std::string& where,
                                           std::span<const std::string> version_ids) {
    if (std::find(version_ids.begin(), version_ids.end(), text) != version_ids.end()) return SettingValue{text};
    return core::found(where, core::quoted(text), "the id of a version: " + core::joined(version_ids, ", "));
}

std::string range_words(const Setting& setting, const std::string& noun) {
    const auto number_words = [&](double x) {
        return setting.kind == Kind::whole ? core::with_commas(static_cast<long long>(x)) : core::shortest(x);
    };
    const bool no_floor = std::isinf(setting.lo), no_ceiling = std::isinf(setting.hi);
    if (no_floor && no_ceiling) return noun;
    if (setting.open) {
        if (no_ceiling) return noun + " above " + number_words(setting.lo);
        if (no_floor) return noun + " below " + number_words(setting.hi);
        return noun + " above " + number_words(setting.lo) + " and below " + number_words(setting.hi);
    }
    if (no_ceiling) return noun + ", " + number_words(setting.lo) + " or more";
    if (no_floor) return noun + ", " + number_words(setting.hi) + " or less";
    return noun + " from " + number_words(setting.lo) + " to " + number_words(setting.hi);
}

}   // namespace

std::optional<double> number(const Settings& settings, std::string_view key) {
    return get<double>(settings, key);
}
std::optional<std::int64_t> whole(const Settings& settings, std::string_view key) {
    return get<std::int64_t>(settings, key);
}
std::optional<std::string> words(const Settings& settings, std::string_view key) {
    return get<std::string>(settings, key);
}
bool flag(const Settings& settings, std::string_view key) {
    return get<bool>(settings, key).value_or(false);
}

core::Result<SettingValue> read_setting(const Setting& setting, const core::Json& value, const std::string& where,
                                        std::span<const std::string> version_ids) {
    const std::string got = core::describe(value);
    switch (setting.kind) {
        case Kind::flag:
            if (value.is_bool()) return SettingValue{value.as_bool()};
            break;
        case Kind::whole:
            if (value.is_integer()) return checked_whole(setting, value.as_integer(), where, got);
            break;
        case Kind::number:
            if (value.is_number()) return checked_number(setting, value.as_number(), where, got);
            break;
        case Kind::choice:
            if (value.is_string()) return checked_choice(setting, value.as_string(), where, got);
            break;
        case Kind::version:
            if (value.is_string()) return checked_version(value.as_string(), where, version_ids);
            break;
        case Kind::words:
            if (value.is_string() && !core::trimmed(value.as_string()).empty())
                return SettingValue{core::trimmed(value.as_string())};
            break;
    }
    return wrong(setting, where, got);
}

core::Result<SettingValue> read_setting_text(const Setting& setting, const std::string& text) {
    const std::string where = flag_name(setting.key);
    const std::string plain = core::trimmed(text);
    const std::string got = plain.empty() ? "nothing" : core::quoted(plain);
    const char* const first = plain.data() + (plain.starts_with('+') ? 1 : 0);
    const char* const last = plain.data() + plain.size();
    switch (setting.kind) {
        case Kind::flag:
            if (plain.empty() || plain == "true") return SettingValue{true};
            if (plain == "false") return SettingValue{false};
            break;
        case Kind::whole: {
            std::int64_t x = 0;
            const auto [end, fault] = std::from_chars(first, last, x);
            if (fault == std::errc{} && end == last && first != last) return checked_whole(setting, x, where, got);
            break;
        }
        case Kind::number: {
            double x = 0;
            const auto [end, fault] = std::from_chars(first, last, x);
            if (fault == std::errc{} && end == last && first != last) return checked_number(setting, x, where, got);
            if (plain.find(',') != std::string::npos) return wrong(setting, where, got, "write the decimal point as a full stop");
            break;
        }
        case Kind::choice:
            return checked_choice(setting, plain, where, got);
        case Kind::version:
        case Kind::words:
            if (!plain.empty()) return SettingValue{plain};
            break;
    }
    return wrong(setting, where, got);
}

std::string expectation(const Setting& setting) {
    switch (setting.kind) {
        case Kind::flag:
            return "true or false";
        case Kind::whole:
            return range_words(setting, "a whole number");
        case Kind::number:
            return range_words(setting, "a number");
        case Kind::choice: {
            const std::vector<std::string> choices(setting.choices.begin(), setting.choices.end());
            return "one of " + core::joined(choices, ", ");
        }
        case Kind::version:
            return "the id of a version";
        case Kind::words:
            return "some text";
    }
    return {};
}

std::string flag_name(std::string_view key) {
    std::string flag = "--" + std::string(key);
    std::replace(flag.begin(), flag.end(), '_', '-');
    return flag;
}

}   // namespace oddplate::methods
