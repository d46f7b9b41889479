#pragma once
// Where a spot lies on the cut, as far as its name tells.

#include <string>
#include <vector>

#include "oddplate/report/voice.hpp"

namespace oddplate::report {

enum class Muscle { any, flat, point };
enum class Depth { any, ring, core };

struct Zone {
    std::string spot;
    std::string where{};   ///< the plan's line for it, may be empty
    Muscle muscle{Muscle::any};
    Depth depth{Depth::any};
    [[nodiscard]] bool drawn() const { return muscle != Muscle::any || depth != Depth::any; }
};

/// Whether the plan's own words (title, recipes, spots) name meat, or a cure or brine. What names neither is no meat as far as
/// the pages go: rules for slices, seams and nitrite would only be in the way.
[[nodiscard]] bool is_meat(const methods::Plan& plan, const Voice& voice);
[[nodiscard]] bool is_cured(const methods::Plan& plan, const Voice& voice);

/// The plan's spots, each once, in the plan's order. "flat-edge" is the ring of the flat; a name that says nothing is left for
/// the cook to draw in. The words that are looked for stand in the catalogue.
[[nodiscard]] std::vector<Zone> zones_of(const methods::Plan& plan, const Voice& voice);

}   // namespace oddplate::report
