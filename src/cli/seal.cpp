// Words are typed without showing, as passwords are; they go from here to the cipher and nowhere else.

#include "seal.hpp"

#include <termios.h>
#include <unistd.h>

#include <iostream>

#include "oddplate/core/files.hpp"
#include "oddplate/core/sealed_box.hpp"
#include "oddplate/core/text.hpp"
#include "oddplate/tasting/guests.hpp"

namespace oddplate::cli {
namespace {

constexpr std::size_t k_most_bytes = 4096;

/// Keys typed do not show while this lives.
class Unseen {
public:
    Unseen() {
        m_known = tcgetattr(STDIN_FILENO, &m_before) == 0;
        if (!m_known) return;
        termios quiet = m_before;
        quiet.c_lflag &= ~static_cast<tcflag_t>(ECHO);
        tcsetattr(STDIN_FILENO, TCSAFLUSH, &quiet);
    }
    Unseen(const Unseen&) = delete;
    Unseen& operator=(const Unseen&) = delete;
    ~Unseen() {
        if (m_known) tcsetattr(STDIN_FILENO, TCSAFLUSH, &m_before);
    }

private:
    termios m_before{};
    bool m_known{false};
};

core::Result<std::string> typed_words(const Call& call, const std::string& id) {
    if (call.has("--words")) return core::read_file(call.value("--words"), k_most_bytes);
    if (isatty(STDIN_FILENO) == 0) {
        return core::fault(core::ErrorKind::usage, "words-needed",
                           "the list of codes of " + id +
                               " is sealed: its five words are needed (--words FILE, or --words - for standard input)");
    }
    std::fprintf(stderr, "%s ", call.words.text("seal.ask").c_str());
    std::fflush(stderr);
    std::string line;
    {
        const Unseen unseen;
        std::getline(std::cin, line);
    }
    std::fputs("\n", stderr);
    return line;
}

/// Lines until an empty one or the end.
std::vector<std::string> read_lines() {
    std::vector<std::string> lines;
    for (std::string line; std::getline(std::cin, line);) {
        line = core::trimmed(line);
        if (line.empty()) break;
        lines.push_back(line);
    }
    return lines;
}

}   // namespace

core::Result<tasting::SealWords> ask_words(Call& call, const std::string& id) {
    const auto typed = typed_words(call, id);
    if (!typed) return typed.faults();
    return core::read_seal_words(*typed);
}

core::Result<std::optional<tasting::SealWords>> words_if_locked(Call& call, tasting::Keeper& keeper,
                                                                const tasting::State& state) {
    const auto locked = keeper.is_locked(state);
    if (!locked) return locked.faults();
    if (!*locked) return std::optional<tasting::SealWords>{};
    auto words = ask_words(call, state.id);
    if (!words) return words.faults();
    return std::optional(std::move(*words));
}

core::Result<OpenedKey> open_key(Call& call, tasting::Keeper& keeper, const tasting::State& state, bool before_close) {
    std::optional<tasting::SealWords> words;
    if (before_close || state.is_opened()) {   // else the refusal comes before any question
        auto needed = words_if_locked(call, keeper, state);
        if (!needed) return needed.faults();
        words = std::move(*needed);
    }
    auto paper = keeper.key(state, before_close, words);
    if (!paper) return paper.faults();
    if (words && state.is_opened())
        if (auto kept = keeper.unlock(state.id, *paper); !kept) return kept.faults();
    return OpenedKey{std::move(*paper), std::move(words)};
}

core::Result<tasting::GuestsPart> hear_guests(Call& call, tasting::Keeper& keeper, const std::string& id) {
    const auto host = keeper.commit_host(id);
    if (!host) return host.faults();
    const std::string shown = call.words.text("seal.host_number", {{"number", core::printed_seal(tasting::host_number(*host))}});
    if (call.json()) {   // standard output is for the one answer
        call.tell(shown);
    } else {
        call.say(shown);
        call.flush();
    }
    if (isatty(STDIN_FILENO) != 0) call.tell(call.words.text("seal.guests_now"));
    tasting::GuestsPart guests{.host = *host, .lines = read_lines()};
    if (auto good = tasting::check_guests(guests.lines); !good) return good.faults();
    return guests;
}

}   // namespace oddplate::cli
