#pragma once
// What is said is data until the last moment: a sentence is the id of a phrase and its arguments. Lower layers make sentences,
// the catalogue of words turns them into text, so languages are data and nobody glues words.

#include <cstdint>
#include <map>
#include <string>
#include <string_view>
#include <variant>
#include <vector>

namespace oddplate::core {

/// A phrase as its owner writes it: a stable id and the English template.
struct Phrase {
    std::string_view id;
    std::string_view english;
};

using Argument = std::variant<std::int64_t, double, std::string>;

struct Sentence {
    std::string id;                          ///< "judge.noticed"
    std::map<std::string, Argument> args;    ///< {"k": 13, "n": 24}
    friend bool operator==(const Sentence&, const Sentence&) = default;
};

}   // namespace oddplate::core
