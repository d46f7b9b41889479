// Numbers as people say them. A rounded number keeps one decimal near the ends, and "5" without a decimal is said only of what is
// 5 exactly: a p-value of 0.0501 beside a limit of 0.05 must not look the same.
#include "word_formats.hpp"

#include <charconv>
#include <cmath>

#include "oddplate/core/json.hpp"
#include "oddplate/core/text.hpp"

namespace oddplate::core {
namespace {

/// Rounding errors of sums may push a probability past its ends by this much.
constexpr double k_slack = 1e-9;

std::string decimals(double value, int places) {
    char digits[400];   // the longest double has 309 digits before its point
    const auto end = std::to_chars(digits, digits + sizeof digits, value, std::chars_format::fixed, places).ptr;
    const std::string text(digits, end);
    return text[0] == '-' && text.find_first_not_of("-0.") == std::string::npos ? text.substr(1) : text;   // no "-0.0"
}

/// 31 and 4.9 and 95.1; a whole number without a decimal.
std::string of_hundred(double hundredths) {
    if (std::abs(hundredths - std::round(hundredths)) < 100 * k_slack) return decimals(hundredths, 0);
    return decimals(hundredths, std::abs(hundredths) < 9.95 || (hundredths > 90 && hundredths < 100) ? 1 : 0);
}

std::string in_hundred(double p) {
    if (p < 0.001 - k_slack) return "fewer than 1 in 1,000";
    if (p >= 1 - k_slack) return "100 in 100";
    if (p > 0.999 + k_slack) return "nearly 100 in 100";
    return of_hundred(100 * p) + " in 100";
}

}   // namespace

std::optional<std::string> plain_text(const Argument& argument) {
    if (const auto* text = std::get_if<std::string>(&argument)) return *text;
    if (const auto* whole = std::get_if<std::int64_t>(&argument)) return with_commas(*whole);
    const double value = std::get<double>(argument);
    if (!std::isfinite(value)) return std::nullopt;
    return value == 0 ? "0" : shortest(value);
}

std::optional<std::string> formatted_text(const Argument& argument, std::string_view format) {
    if (std::holds_alternative<std::string>(argument)) return std::nullopt;
    const auto* whole = std::get_if<std::int64_t>(&argument);
    const double value = whole != nullptr ? static_cast<double>(*whole) : std::get<double>(argument);
    if (!std::isfinite(value)) return std::nullopt;
    if (format.size() == 1 && format[0] >= '0' && format[0] <= '9') return decimals(value, format[0] - '0');
    if (format == "percent") return of_hundred(100 * value) + " %";
    if (!(value >= -k_slack && value <= 1 + k_slack)) return std::nullopt;
    if (format == "in100") return in_hundred(value);
    if (format == "of100") return decimals(std::round(100 * value), 0);
    if (format == "of10") return decimals(std::round(10 * value), 0);
    return std::nullopt;
}

}   // namespace oddplate::core
