#pragma once
// The seal's words at the command line: where they come from, and what they open.

#include <optional>
#include <vector>

#include "oddplate/tasting/keeper.hpp"
#include "verb.hpp"

namespace oddplate::cli {

/// The flag of every verb that may need the words.
inline constexpr Flag k_words_flag{
    "--words", "FILE", "the five words of a sealed tasting; - is standard input (on a terminal you are asked)", false};

/// The words: from --words FILE, else asked for on a terminal (nothing shows while they are typed). Off a terminal without the
/// flag: a fault (usage).
[[nodiscard]] core::Result<tasting::SealWords> ask_words(Call& call, const std::string& id);

/// The words where the tasting's key is locked, else nothing (and nobody is asked).
[[nodiscard]] core::Result<std::optional<tasting::SealWords>> words_if_locked(Call& call, tasting::Keeper& keeper,
                                                                              const tasting::State& state);

struct OpenedKey {
    tasting::KeyPaper paper;
    std::optional<tasting::SealWords> words;   ///< what opened it, where it was locked
};
/// The key, with the words where they are needed. Once the tasting is closed or was opened early, what they opened is kept, so
/// that nobody is asked again.
[[nodiscard]] core::Result<OpenedKey> open_key(Call& call, tasting::Keeper& keeper, const tasting::State& state,
                                               bool before_close = false);

/// The first half of a draw with guests: the host's number is kept and shown, then the guests' lines are read from standard
/// input, up to an empty one or the end.
[[nodiscard]] core::Result<tasting::GuestsPart> hear_guests(Call& call, tasting::Keeper& keeper, const std::string& id);

}   // namespace oddplate::cli
