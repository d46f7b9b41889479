#pragma once
// What a taster can answer, for all methods alike: the grammar of entry. Answers are kept as canonical text and scored only at judging.

#include <span>
#include <string>
#include <string_view>
#include <utility>
#include <variant>
#include <vector>

#include "oddplate/core/result.hpp"

namespace oddplate::methods {

struct Codes { std::vector<std::string> codes; };                                  ///< "417", or a group "417+862"
struct Word { std::string word; int sureness{0}; };                                ///< "same", "same:3"; 0 = not said
struct Scores {                                                                    ///< "417:6.5 862:4"
    std::vector<std::pair<std::string, double>> scores;
    std::vector<std::vector<double>> levels{};                                     ///< beside the scores, where more was asked of each: "417:7/-1/0 862:4/0/1"
};
struct Ordering { std::vector<std::vector<std::string>> groups; };                 ///< "417>862=305": first is most; ties share a group
enum class Mark { none, blank, void_, not_served };                                ///< could not choose; left empty; two marks; not served

using Answer = std::variant<Codes, Word, Scores, Ordering, Mark>;

/// What a method takes. Marks are taken by every method; `none` only where the round lets a taster abstain.
struct OneCode { int sureness_steps{0}; };                                         ///< "417"; with steps also "417:2"
struct CodeGroup { int size; };
struct OneWord { std::span<const std::string_view> words; int sureness_steps; };
/// A score from lo to hi for each code, in steps of `step` (0: any). words: what the steps are called - none, the two ends, or one a step. attributes: each
/// portion is also too little (-1), just right (0) or too much (1) of these.
struct ScoreEach {
    double lo, hi;
    double step{0};
    std::vector<std::string> words{};
    std::vector<std::string> attributes{};

    /// The steps where a guest can tick one, from lo to hi; empty where there are none, or more than eleven.
    [[nodiscard]] std::vector<double> steps() const;
};
struct OrderAll { bool ties; };
/// For each code the numbers of the words that fit it, rising, from 1; 0 where none does: "417:1/3 862:0".
struct TickEach { std::vector<std::string> words; };
using AnswerShape = std::variant<OneCode, CodeGroup, OneWord, ScoreEach, OrderAll, TickEach>;

/// The numbers ticked for the `index`-th code of a TickEach answer; empty where none was.
[[nodiscard]] std::vector<double> ticked_numbers(const Scores& answer, std::size_t index);

/// Reads the text of an answer (spaces around parts allowed; words in any case). Faults say what an answer looks like.
[[nodiscard]] core::Result<Answer> parse_answer(std::string_view text);

/// Whether the answer is of the method's shape and every code in it is on the set; a code that is not is refused with the nearest that is.
/// `served`: how many portions lay on the tray (0: as many as codes; more codes may be told where trays were swapped); `may_lack`: how many of them may be
/// missing from scores and orders, as their recipe was withdrawn. Two must be left to put in order, one to score. `typed`: what a fault quotes, where that is
/// not the answer's canonical text.
struct Portions {
    std::size_t served{0}, may_lack{0};
};
[[nodiscard]] core::Status check_answer(const Answer& answer, const AnswerShape& shape, bool may_abstain,
                                        std::span<const std::string> codes, Portions portions = {}, std::string_view typed = {});

/// The one text of an answer: equal answers have equal texts (groups and scores in the set's serving order).
[[nodiscard]] std::string canonical_text(const Answer& answer, std::span<const std::string> codes);

/// What the shape wants, in words for a fault: "one code of this tray (417, 862 or 305)"; where portions may be missing, also how that is written.
[[nodiscard]] std::string expectation(const AnswerShape& shape, bool may_abstain, std::span<const std::string> codes, std::size_t may_lack = 0);

}   // namespace oddplate::methods
