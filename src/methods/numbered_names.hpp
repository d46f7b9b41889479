#pragma once
// Names of a plain table, numbered as they come. Two that differ in capitals alone are most likely one, and are refused.

#include <cstdint>
#include <map>
#include <optional>
#include <string>
#include <string_view>
#include <vector>

#include "oddplate/core/result.hpp"
#include "oddplate/core/text.hpp"

namespace oddplate::methods {

class NumberedNames {
public:
    explicit NumberedNames(std::string_view what) : m_what(what) {}

    /// Nothing where the name is empty or spelled otherwise than before, with a fault.
    std::optional<std::int32_t> number(const std::string& name, const std::string& place, core::Faults& faults) {
        const std::string where = place + " " + std::string(m_what);
        if (name.empty()) {
            faults.push_back(core::found(where, "nothing", "a name or number"));
            return std::nullopt;
        }
        const auto [at, is_new] = m_numbers.emplace(core::lower_ascii(name), static_cast<std::int32_t>(names.size()));
        if (is_new) names.push_back(name);
        const std::string& known = names[static_cast<std::size_t>(at->second)];
        if (known == name) return at->second;
        faults.push_back(core::found(where, core::quoted(name), core::quoted(known) + " as before", "one spelling, capitals too"));
        return std::nullopt;
    }

    std::vector<std::string> names;

private:
    std::string_view m_what;
    std::map<std::string, std::int32_t> m_numbers;
};

}   // namespace oddplate::methods
