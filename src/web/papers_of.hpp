#pragma once
// A tasting's papers as the page makes them: its slips open on a phone.

#include "house.hpp"
#include "oddplate/report/papers.hpp"
#include "oddplate/tasting/evenings.hpp"

namespace oddplate::web {

/// Of one evening, which outlives what is answered: the papers lend its plan and its ballots.
[[nodiscard]] report::RoomPapers room_papers(const House& house, const tasting::State& state, const tasting::Part& part, report::PaperSize size);

/// The key for the kitchen's papers. Faults: not drawn yet; the list of codes is locked (its words are for the command line).
[[nodiscard]] core::Result<tasting::KeyPaper> kitchen_key(const House& house, tasting::Keeper& keeper, const tasting::State& state);

}   // namespace oddplate::web
