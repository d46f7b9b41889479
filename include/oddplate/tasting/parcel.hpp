#pragma once
// One tasting as one file that another machine can take in. A function of the tasting alone: no clock, no path, sorted keys.

#include <string>
#include <string_view>

#include "oddplate/core/result.hpp"
#include "oddplate/tasting/keeper.hpp"

namespace oddplate::tasting {

/// What an import came to.
enum class TakenIn { new_tasting, further_acts, there_already, older_than_here };

struct Parcel {
    std::string id;
    std::vector<LogRow> rows;
    std::optional<std::string> room;   ///< the text of Paper::room of the last draw
    std::optional<std::string> key{};      ///< only after close
    std::optional<std::string> sealed{};   ///< the key's box of a sealed draw, before close and after
};

/// The file's text. Before close (and before an early opening) it holds no key, no seed, no salt, save in a sealed box.
[[nodiscard]] core::Result<std::string> pack(Keeper& keeper, const std::string& id);
/// Reads a file and holds its log's chain together; `file` names it in faults.
[[nodiscard]] core::Result<Parcel> unpack(std::string_view text, const std::string& file);
/// Takes a parcel into the book. A tasting that is here with another history is refused.
[[nodiscard]] core::Result<TakenIn> take_in(Keeper& keeper, const Parcel& parcel);

/// A parcel's state, as a book would load it; used to verify a file without a book.
[[nodiscard]] core::Result<State> state_of(const Parcel& parcel);

}   // namespace oddplate::tasting
