#pragma once
// What a method can be told: each setting is one value with its name, kind, range and help. Command line, plan file, page form and
// JSON schema are all made from it, so a new setting is written in one place.

#include <cstdint>
#include <limits>
#include <map>
#include <optional>
#include <span>
#include <string>
#include <string_view>
#include <variant>

#include "oddplate/core/json.hpp"
#include "oddplate/core/result.hpp"

namespace oddplate::methods {

enum class Kind {
    flag,      ///< true or false; on the command line present or absent
    whole,     ///< a whole number, lo..hi, ends included
    number,    ///< a number; lo and hi are left out where `open` is set
    choice,    ///< one of `choices`
    version,   ///< the id of a version of the plan
    words      ///< free text
};

struct Setting {
    std::string_view key;                      ///< snake_case as in a plan: "detect_pd"; the flag is "--detect-pd"
    Kind kind{Kind::number};
    double lo{0}, hi{std::numeric_limits<double>::infinity()};
    bool open{false};                          ///< the ends themselves are refused
    double sense_below{std::numeric_limits<double>::infinity()};   ///< numbers in range from here on are refused too ...
    std::string_view senseless{};                                  ///< ... for this reason
    std::span<const std::string_view> choices{};
    bool required{false};
    std::string_view help;                     ///< one plain line
};

/// How often chance may fool us, of a plan, a round and every one-off question.
inline constexpr Setting k_alpha{.key = "alpha",
                                 .lo = 0,
                                 .hi = 1,
                                 .open = true,
                                 .sense_below = 0.5,
                                 .senseless = "from 0.5 on luck would fool you at least every second time",
                                 .help = "how often chance may fool us (default 0.05)"};

using SettingValue = std::variant<bool, std::int64_t, double, std::string>;
using Settings = std::map<std::string, SettingValue, std::less<>>;

// What was set, or nothing. The kind must be the setting's own (a fault of ours otherwise).
[[nodiscard]] std::optional<double> number(const Settings& settings, std::string_view key);
[[nodiscard]] std::optional<std::int64_t> whole(const Settings& settings, std::string_view key);
[[nodiscard]] std::optional<std::string> words(const Settings& settings, std::string_view key);
[[nodiscard]] bool flag(const Settings& settings, std::string_view key);

/// One value read from JSON against its setting: kind and range. `where` is the JSON pointer for the fault, `version_ids` the ids that a
/// Kind::version may name.
[[nodiscard]] core::Result<SettingValue> read_setting(const Setting& setting, const core::Json& value, const std::string& where,
                                                      std::span<const std::string> version_ids);
/// One value read from a command line's text.
[[nodiscard]] core::Result<SettingValue> read_setting_text(const Setting& setting, const std::string& text);
/// "a number above 0 and below 1", "a whole number from 1 to 10,000", "one of difference, similarity".
[[nodiscard]] std::string expectation(const Setting& setting);
/// "--detect-pd" for "detect_pd".
[[nodiscard]] std::string flag_name(std::string_view key);

}   // namespace oddplate::methods
