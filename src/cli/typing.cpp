#include "typing.hpp"

#include <unistd.h>

#include <cctype>
#include <charconv>
#include <iostream>

#include "oddplate/core/text.hpp"
#include "oddplate/tasting/evenings.hpp"
#include "oddplate/tasting/names.hpp"

namespace oddplate::cli {
namespace {

core::Error not_a_slip(const std::string& text, const tasting::State& state) {
    const std::string ballot = state.plan.evenings.empty() ? "a ballot's number from 1 to " + std::to_string(state.plan.ballots())
                                                           : "a ballot such as " + state.ballot_name(0) + ", or tonight's by its number alone";
    return core::found("", "\"" + core::quoted(text) + "\"", ballot + ", u (undo) or q (stop)");
}

}   // namespace

std::optional<int> whole_in(std::string text, int lo, int hi) {
    if (text.size() > 4 && text[text.size() - 4] == ',') text.erase(text.size() - 4, 1);
    int value = 0;
    const auto [end, fault] = std::from_chars(text.data(), text.data() + text.size(), value);
    if (fault != std::errc{} || end != text.data() + text.size() || value < lo || value > hi) return std::nullopt;
    return value;
}

Terminal::Terminal(Call& call) : m_call(call), m_prompts(isatty(STDIN_FILENO) != 0) {}

std::optional<std::string> Terminal::ask(std::string_view phrase, std::map<std::string, core::Argument> args) {
    if (m_prompts) {
        m_call.answer += m_call.words.text(phrase, std::move(args)) + " ";
        m_call.flush();
    }
    std::string line;
    if (!std::getline(std::cin, line)) return std::nullopt;
    return line;
}

void Terminal::say(std::string_view phrase, std::map<std::string, core::Argument> args) { say_plain(m_call.words.text(phrase, std::move(args))); }

void Terminal::say_plain(std::string_view text) {
    m_call.say(text);
    m_call.flush();
}

core::Status Terminal::complain(const core::Faults& faults) {
    if (core::exit_code(faults) == 1) return faults;
    say_plain(faults.front().line());
    return core::Done{};
}

core::Result<SlipLine> read_slip_line(const tasting::State& state, const std::string& line) {
    std::vector<std::string> parts;
    for (auto& part : core::split(line, ' '))
        if (!part.empty()) parts.push_back(part);
    std::string letters;
    std::size_t words = 0;
    while (words < parts.size() && std::all_of(parts[words].begin(), parts[words].end(), [](unsigned char c) { return std::isalpha(c) != 0; })) {
        letters += (letters.empty() ? "" : " ") + parts[words];
        ++words;
    }
    const std::string name = tasting::two_words(state.id);
    if (words > 0 && core::lower_ascii(letters) != core::lower_ascii(name))
        return core::found("", "a slip of \"" + core::quoted(letters) + "\"", "one of " + name, "put it with its own tasting", "other-tasting");
    parts.erase(parts.begin(), parts.begin() + static_cast<std::ptrdiff_t>(words));
    if (parts.empty()) return not_a_slip(line, state);
    SlipLine slip;
    slip.ballot = state.ballot_of(tasting::ballot_typed(state, parts[0]));
    if (slip.ballot < 0) return not_a_slip(parts[0], state);
    if (parts.size() == 1) return slip;
    const int sets = static_cast<int>(state.room.ballots[static_cast<std::size_t>(slip.ballot)].sets.size());
    int set = -1;
    const auto [end, error] = std::from_chars(parts[1].data(), parts[1].data() + parts[1].size(), set);
    if (error != std::errc{} || end != parts[1].data() + parts[1].size() || set < 0 || set > sets || parts.size() < 3)
        return core::found("", "\"" + core::quoted(line) + "\"", "a ballot's number alone, or ballot, tray (1 to " + std::to_string(sets) + ", 0 for the last box) and answer");
    slip.set = set - 1;
    slip.answer = core::joined(std::span(parts).subspan(2), " ");
    return slip;
}

}   // namespace oddplate::cli
