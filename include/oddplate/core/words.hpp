#pragma once
// The one catalogue of words.

#include <map>
#include <optional>
#include <span>
#include <string>
#include <string_view>
#include <vector>

#include "oddplate/core/result.hpp"
#include "oddplate/core/sentence.hpp"

namespace oddplate::core {

/// Phrases by id. Templates hold {name} for an argument and {name:format} with one of these formats (x is the argument):
///   {p:in100}     a probability as a chance in a hundred, never 0 or 100: "4.9 in 100", "fewer than 1 in 1,000"
///   {s:of100}     a share as whole people of a hundred: "31"
///   {s:of10}      a share as whole people of ten: "4"
///   {s:percent}   "3 %" (one decimal below 10)
///   {x:1} {x:2}   a number with that many decimals (0 to 9)
///   {n|one taster|# tasters}   a choice by number: the first text for 1, else the second; # is the number (1,234)
/// in100 and percent leave the decimal out only where the number is whole: "5 in 100" is exactly 0.05, "5.0 in 100" is near it.
/// The texts of a choice may hold holes of their own. A whole number without format is written with thousands commas. Another language
/// has its own decimal and thousands marks ("number.point", "number.thousands"). An unknown id, a missing argument or a bad format is a fault of ours: the text then reads "[id]", and a test over every phrase keeps it
/// from happening.
class Words {
public:
    /// The English catalogue that is built in (designs/words/en.json).
    [[nodiscard]] static Words english();

    /// The codes of the languages that are built in, as in BCP 47: "en" first.
    [[nodiscard]] static std::span<const std::string_view> languages();
    /// The catalogue in one of them (designs/words/<code>.json); what it lacks stays English. Nothing for another code. The other
    /// languages hold what guests, runner and kitchen read, the methods' phrases for them too: don't add() the English ones over them.
    [[nodiscard]] static std::optional<Words> in_language(std::string_view code);

    /// Adds phrases of a method; an id that is already there is replaced.
    void add(std::span<const Phrase> phrases);
    /// Adds or replaces from JSON text {"id":"template", ...}; used for other languages, where a missing entry stays English.
    [[nodiscard]] Status add_json(std::string_view json_text);

    [[nodiscard]] std::string text(const Sentence& sentence) const;
    [[nodiscard]] std::string text(std::string_view id, std::map<std::string, Argument> args = {}) const;
    [[nodiscard]] bool has(std::string_view id) const;
    [[nodiscard]] const std::map<std::string, std::string, std::less<>>& all() const { return m_phrases; }

private:
    std::map<std::string, std::string, std::less<>> m_phrases;
};

}   // namespace oddplate::core
