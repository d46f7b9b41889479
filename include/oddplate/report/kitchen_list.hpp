#pragma once
// What the kitchen does, pass by pass, as lists: the same as on its paper, for a screen.

#include <string>
#include <vector>

#include "oddplate/report/papers.hpp"

namespace oddplate::report {

struct FillRow {
    std::string tub, spot;                ///< "Tub K", "1 edge"; "NEW" where the tubs carry names
    std::vector<std::string> codes;       ///< in the order of filling
};
struct TrayRow {
    std::string ballot;                   ///< "7"
    std::vector<std::string> codes;       ///< left to right as the guest sees them, a reference first; "–" for a cup that is off
};
struct PassList {
    std::string title, when;              ///< "Pass 3 of 8", "cut 18:05, ..."; for spare ballots what to wait for
    std::vector<FillRow> fill;
    std::vector<TrayRow> trays;
};
struct KitchenList {
    std::string face;                     ///< not for the room
    std::string safety;                   ///< the hot or cold line
    std::vector<std::string> off;         ///< a sentence for each recipe that ran out
    std::vector<PassList> passes;
};

[[nodiscard]] KitchenList kitchen_list(const KitchenPapers& papers, const core::Words& words);

}   // namespace oddplate::report
