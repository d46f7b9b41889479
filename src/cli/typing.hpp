#pragma once
// Talking with whoever types: prompts on a terminal, plain confirmations through a pipe, each line out at once.

#include <map>
#include <optional>
#include <string>
#include <string_view>

#include "oddplate/tasting/state.hpp"
#include "verb.hpp"

namespace oddplate::cli {

/// "24" and "10,000"; a comma before three digits is a thousands mark here, since half a guest can't be meant.
[[nodiscard]] std::optional<int> whole_in(std::string text, int lo, int hi);

class Terminal {
public:
    explicit Terminal(Call& call);
    /// The next line, or nothing at the end of input. The prompt is shown on a terminal only.
    std::optional<std::string> ask(std::string_view phrase, std::map<std::string, core::Argument> args = {});
    void say(std::string_view phrase, std::map<std::string, core::Argument> args = {});
    void say_plain(std::string_view text);
    /// A fault that typing again can mend is said; any other is handed back.
    core::Status complain(const core::Faults& faults);

private:
    Call& m_call;
    bool m_prompts;
};

/// A line that names a slip: ballot, set and answer 0-based; set -2 and an empty answer where only the ballot was typed.
struct SlipLine {
    int ballot{0};
    int set{-2};
    std::string answer;
};

/// "7", "7 2 418", with or without the tasting's two words before; another tasting's words are refused.
[[nodiscard]] core::Result<SlipLine> read_slip_line(const tasting::State& state, const std::string& line);

}   // namespace oddplate::cli
