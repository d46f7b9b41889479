#pragma once
// A text locked under words that somebody else keeps.

#include <string>
#include <string_view>
#include <vector>

#include "oddplate/core/result.hpp"

namespace oddplate::core {

/// How many words open a box.
inline constexpr std::size_t k_seal_words = 5;

/// The 2,048 words that may be proposed (designs/words/seal_words.txt), in order. None begins another, so words run together can
/// still be told apart; any two differ by two slips of the pen or more, so one slip never makes another word of the list.
[[nodiscard]] const std::vector<std::string_view>& seal_word_list();

/// Five words by chance (the operating system's generator): 5 x 11 = 55 bits. Little for a key that can be tried at will; but
/// each try costs an Argon2id over 64 MB, so that trying half of all words takes some 1.8e16 times a tenth of a second and more.
/// Enough for an evening's secret among colleagues; no safe for decades.
[[nodiscard]] std::vector<std::string> propose_seal_words();

/// The words as typed: case does not matter, nor what stands between them (spaces, dashes, commas, dots, line ends or nothing).
/// Faults (usage, code "seal-words"): not five words, or which of them, by its number, is not on the list. A fault never repeats
/// what was typed.
[[nodiscard]] Result<std::vector<std::string>> read_seal_words(std::string_view typed);

/// Locks `plain` under `words`. One line of JSON:
///   {"box": base64, "cipher": "xsalsa20-poly1305", "format": "oddplate.sealed", "kdf": "argon2id13",
///    "memory": bytes, "nonce": base64, "passes": n, "salt": base64, "version": 1}
/// key = Argon2id 1.3 (RFC 9106, one lane) of the words joined by single spaces; box = libsodium's secretbox of the text, padded
/// to whole kilobytes (0x80 and zeros after it), so that its length tells nothing. 64 MB and 3 passes, as in the RFC's second
/// recommendation. Salt and nonce are fresh each time. Fault (io): the machine has not that much memory to spare.
[[nodiscard]] Result<std::string> seal_box(std::string_view plain, const std::vector<std::string>& words);

/// What `seal_box` locked. Faults: the words do not open it (usage, "wrong-words"; a changed box cannot be told from wrong
/// words); no box that this program can read, or one that asks for more than 1 GB or 64 passes (bad_file, "not-a-box"); too
/// little memory (io).
[[nodiscard]] Result<std::string> open_box(std::string_view box, const std::vector<std::string>& words);

/// Whether `box` has a box's shape; it is not opened. Faults as in `open_box`.
[[nodiscard]] Status check_box(std::string_view box);

}   // namespace oddplate::core
