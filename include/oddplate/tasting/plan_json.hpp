#pragma once
// The plan file: read, checked, filled with its defaults, and written back in its one canonical form.

#include <string>
#include <string_view>

#include "oddplate/core/json.hpp"
#include "oddplate/core/result.hpp"
#include "oddplate/methods/plan.hpp"

namespace oddplate::tasting {

/// Reads a plan. Every fault of the file is reported at once, each with its JSON pointer after `file`; unknown keys with the nearest known one.
[[nodiscard]] core::Result<methods::Plan> read_plan(std::string_view text, const std::string& file);

/// The plan with every default filled in. Reading it back gives the same plan; its canonical text is what the fingerprint covers.
[[nodiscard]] core::Json plan_to_json(const methods::Plan& plan);

}   // namespace oddplate::tasting
