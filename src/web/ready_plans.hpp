#pragma once
// The plans of designs/plans, as they were built in.

#include <span>
#include <string_view>

namespace oddplate::web {

struct ReadyPlan {
    std::string_view name;   ///< "is-it-noticed.json"
    std::string_view text;
};

/// In order of their names.
[[nodiscard]] std::span<const ReadyPlan> ready_plans();

}   // namespace oddplate::web
