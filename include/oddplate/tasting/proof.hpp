#pragma once
// Whether a tasting is what it says it is: the chain of its log, the draw from its seed, the fingerprint, the paper.

#include <optional>
#include <string>
#include <vector>

#include "oddplate/core/result.hpp"
#include "oddplate/tasting/drawn_json.hpp"
#include "oddplate/tasting/log.hpp"
#include "oddplate/tasting/state.hpp"

namespace oddplate::tasting {

/// One thing that was looked at. `holds` is nothing where it could not be looked at yet.
struct Proof {
    std::string id;                  ///< "log", "draw", "guests" (in a draw with guests), "fingerprint", "printed"
    std::optional<bool> holds;
    std::string says;                ///< one plain sentence
};

/// `paper` is the key, where it is at hand; `printed` what stands on a page ("9F2C-71AB-...", or all 64 digits), empty for none.
[[nodiscard]] std::vector<Proof> prove(const State& state, const std::vector<LogRow>& rows, const std::optional<KeyPaper>& paper,
                                       const std::string& printed);

}   // namespace oddplate::tasting
