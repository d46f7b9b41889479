#pragma once
// Findings as rows of a small table, for terminal and page alike: an estimate and its interval are one row.

#include <string>
#include <vector>

#include "oddplate/core/words.hpp"
#include "oddplate/judge/judge.hpp"
#include "oddplate/methods/findings.hpp"

namespace oddplate::report {

struct NumberRow {
    std::string label;
    std::string value;
    std::string explained{};   ///< what the number is, in a sentence or two; empty where the row goes on from the one before
};

/// One row a whole piece of meat, and the phrase that says what their numbers are.
[[nodiscard]] std::vector<NumberRow> piece_rows(const judge::JudgedRound& round, const methods::Plan& plan, const core::Words& words);
[[nodiscard]] std::string piece_caption(const judge::JudgedRound& round);

inline constexpr std::size_t k_most_rows = 40;   ///< of one list; the rest is for --json
/// A value as a reader sees it: four digits, or a dash with the reason where there is none.
[[nodiscard]] std::string value_text(const methods::Value& value, const std::string& why, const core::Words& words);
/// What a key is called; a method may call a number by a name of its own.
[[nodiscard]] std::string label_of(const std::string& key, const core::Words& words, const std::string& method = {});

/// What a key's number is: in the words for the key, for its method's own, or for its last part ("x.p_value" is a p-value); empty where nobody wrote any.
[[nodiscard]] std::string explanation_of(const std::string& key, const core::Words& words, const std::string& method = {});

/// The fields; lists are tables of their own (list_tables.hpp).
[[nodiscard]] std::vector<NumberRow> field_rows(const methods::Findings& findings, const core::Words& words);

}   // namespace oddplate::report
