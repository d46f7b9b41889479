#pragma once
// Every set that was dealt, with what was answered and what it scored: for tables that somebody else computes from.

#include <optional>
#include <string>
#include <vector>

#include "oddplate/judge/judge.hpp"

namespace oddplate::judge {

struct AnswerRow {
    int ballot{0}, set{0}, round{0}, spot{0};   ///< 0-based; the spot within its round
    int taster{0};                              ///< 0-based number; ballots of one nickname are one taster
    std::string answer{};                       ///< canonical text, "" where nothing was entered
    std::string fate{};                         ///< "counted", "undecided", "blank", "void", "not-served", "missing", "insider", "opened", "late"
    std::optional<double> score{};              ///< as the method scores it: 1 right, 0 wrong; +1 for the new recipe, -1 for the current one; a difference of scores
    std::string each{};                         ///< where a tray gives a number a portion: version ids with theirs, "current=2 maple=1", in serving order
    bool is_blank{false};                       ///< two pieces of one recipe
    int trait{0};                               ///< of the order that was served (methods::Order::trait): of a word, 1 where a difference should be told
};

/// In order of ballots and sets. Faults as judge().
[[nodiscard]] core::Result<std::vector<AnswerRow>> answer_rows(const Case& subject);

}   // namespace oddplate::judge
