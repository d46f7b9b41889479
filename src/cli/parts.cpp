#include "parts.hpp"

#include <charconv>
#include <cmath>

#include "oddplate/core/text.hpp"

namespace oddplate::cli {

core::Result<Desk> open_desk(Call& call, bool create) {
    auto book = call.open_book(create);
    if (!book) return book.faults();
    Desk desk{.book = std::move(*book), .keeper = nullptr};
    desk.keeper = std::make_unique<tasting::Keeper>(*desk.book, call.clock);
    return desk;
}

core::Result<methods::Settings> read_settings(const Call& call, std::span<const methods::Setting> settings) {
    core::Faults faults;
    methods::Settings out;
    for (const auto& setting : settings) {
        const std::string flag = methods::flag_name(setting.key);
        const auto typed = call.settings.find(flag);
        if (typed == call.settings.end()) {
            if (setting.required) faults.push_back(core::found(flag, "nothing", methods::expectation(setting), "", "missing", core::ErrorKind::usage));
            continue;
        }
        auto value = methods::read_setting_text(setting, typed->second);
        if (value) out.emplace(std::string(setting.key), std::move(*value));
        else faults.insert(faults.end(), value.faults().begin(), value.faults().end());
    }
    if (!faults.empty()) return faults;
    return out;
}

core::Result<double> number_flag(const Call& call, std::string_view flag) {
    const std::string text = call.value(flag);
    double value = 0;
    const auto [end, error] = std::from_chars(text.data(), text.data() + text.size(), value);
    if (error != std::errc{} || end != text.data() + text.size() || !std::isfinite(value))
        return core::found(std::string(flag), "\"" + core::quoted(text) + "\"", "a number");
    return value;
}

core::Result<double> number_flag_or(const Call& call, std::string_view flag, double otherwise, double lo, double hi) {
    if (!call.has(flag)) return otherwise;
    auto value = number_flag(call, flag);
    if (value && (*value < lo || *value > hi))
        return core::found(std::string(flag), core::quoted(call.value(flag)), "a number from " + core::shortest(lo) + " to " + core::shortest(hi));
    return value;
}

core::Result<std::int64_t> whole_flag_or(const Call& call, std::string_view flag, std::int64_t otherwise, std::int64_t lo, std::int64_t hi) {
    const auto value = number_flag_or(call, flag, static_cast<double>(otherwise), static_cast<double>(lo), static_cast<double>(hi));
    if (!value) return value.faults();
    if (*value != std::floor(*value)) return core::found(std::string(flag), core::quoted(call.value(flag)), "a whole number");
    return static_cast<std::int64_t>(*value);
}

core::Error not_for(const methods::Method& method, std::string_view verb) {
    return core::found("", "method " + std::string(method.id), "one that `" + std::string(verb) + "` can answer for",
                       "`oddplate weigh " + std::string(method.id) + " --csv FILE` analyses its tables", "not-for-this-method", core::ErrorKind::usage);
}

std::string counted(long long n, const std::string& one, const std::string& many) { return core::with_commas(n) + " " + (n == 1 ? one : many); }

}   // namespace oddplate::cli
