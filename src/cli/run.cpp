// One command: find the verb, read its flags, run it, write the answer, say the faults.

#include <unistd.h>

#include <algorithm>
#include <cerrno>
#include <cstdio>
#include <cstdlib>

#include "oddplate/book/book_file.hpp"
#include "oddplate/core/text.hpp"
#include "verb.hpp"

#ifndef ODDPLATE_VERSION
#error "the build gives the version"
#endif

namespace oddplate::cli {
namespace {

constexpr std::size_t k_most_faults = 20;

int say_faults(const core::Faults& faults) {
    for (std::size_t i = 0; i < std::min(faults.size(), k_most_faults); ++i)
        std::fprintf(stderr, "oddplate: %s\n", faults[i].line().c_str());
    if (faults.size() > k_most_faults) std::fprintf(stderr, "oddplate: and %zu more\n", faults.size() - k_most_faults);
    return core::exit_code(faults);
}

/// False when the answer could not be written (a full disk behind a redirection). A closed pipe counts as written.
bool write_out(std::string_view text) {
    while (!text.empty()) {
        const ssize_t n = ::write(STDOUT_FILENO, text.data(), text.size());
        if (n < 0 && errno == EINTR) continue;
        if (n < 0) return errno == EPIPE;
        text.remove_prefix(static_cast<std::size_t>(n));
    }
    return true;
}

int say_unwritten() {
    std::fputs("oddplate: the answer could not be written to standard output\n", stderr);
    return 1;
}

int answer_with(std::string_view text, int code) { return write_out(text) ? code : say_unwritten(); }

core::Error unknown_verb(const std::string& word) {
    std::vector<std::string> names;
    for (const Verb& verb : verbs()) names.emplace_back(verb.name);
    const std::string near = core::nearest(word, names);
    return core::found("", "the command \"" + core::quoted(word) + "\"", "one that `oddplate --help` lists",
                       near.empty() ? "" : "did you mean " + near + "?", "unknown-command", core::ErrorKind::usage);
}

bool wants_help(const std::vector<std::string>& arguments) {
    return std::any_of(arguments.begin(), arguments.end(), [](const std::string& a) { return a == "--help" || a == "-h"; });
}

core::Words all_words() {
    core::Words words = core::Words::english();
    for (const methods::Method* method : methods::all()) words.add(method->phrases);
    return words;
}

}   // namespace

std::string Call::value(std::string_view name) const {
    const auto found = values.find(name);
    return found == values.end() ? std::string() : found->second;
}

void Call::tell(std::string_view line) const { std::fprintf(stderr, "oddplate: %.*s\n", static_cast<int>(line.size()), line.data()); }

void Call::flush() {
    is_unwritten |= !write_out(answer);
    answer.clear();
}

void RowsOut::add(const core::Json& row) {
    constexpr std::size_t k_piece = 1u << 16;
    if (!m_first) m_call.answer += ',';
    m_first = false;
    m_call.answer += core::to_text(row);
    if (m_call.answer.size() > k_piece) m_call.flush();
}

std::string Call::named(const std::string& id) const {
    if (!has("--book")) return id;
    const std::string file = value("--book");
    return id + " --book " + (file.find(' ') == std::string::npos ? file : "\"" + file + "\"");
}

core::Result<std::string> Call::book_path() const {
    if (has("--book")) {
        if (value("--book").empty()) return core::found("--book", "nothing", "the name of the book's file");
        return value("--book");
    }
    if (const char* data = std::getenv("XDG_DATA_HOME"); data != nullptr && data[0] == '/') return std::string(data) + "/oddplate/book.sqlite";
    if (const char* home = std::getenv("HOME"); home != nullptr && home[0] != '\0') return std::string(home) + "/.local/share/oddplate/book.sqlite";
    return core::fault(core::ErrorKind::usage, "no-home", "there is no home folder to keep the book in; name one with --book FILE");
}

core::Result<std::unique_ptr<tasting::Book>> Call::open_book(bool create) const {
    auto path = book_path();
    if (!path) return path.faults();
    return book::open_book(*path, create ? book::WhenMissing::create : book::WhenMissing::refuse);
}

core::Result<std::unique_ptr<tasting::Book>> Call::open_again() const {
    auto path = book_path();
    if (!path) return path.faults();
    return book::open_book(*path, book::WhenMissing::is_open);
}

int run(const std::vector<std::string>& arguments) {
    if (arguments.empty())
        return say_faults({core::found("", "no command", "one that `oddplate --help` lists, such as `oddplate new PLAN.json`", "", "no-command", core::ErrorKind::usage)});
    const std::string& first = arguments.front();
    if (first == "--version") return answer_with("oddplate " ODDPLATE_VERSION "\n", 0);
    if (first == "--help" || first == "-h" || first == "help") return answer_with(help_text(), 0);
    const Verb* verb = find_verb(first);
    if (verb == nullptr) return say_faults({unknown_verb(first)});

    const std::vector<std::string> rest(arguments.begin() + 1, arguments.end());
    Call call;
    call.words = all_words();
    if (wants_help(rest)) {
        const methods::Method* method = nullptr;
        if (verb->settings != nullptr && !rest.empty() && rest.front().front() != '-')
            if (const auto named = methods::find(rest.front())) method = *named;
        return answer_with(help_text(*verb, method), 0);
    }
    if (auto parsed = parse(*verb, rest, call); !parsed) return say_faults(parsed.faults());
    auto code = verb->run(call);
    if (!code) return say_faults(code.faults());
    call.flush();
    return call.is_unwritten ? say_unwritten() : *code;
}

}   // namespace oddplate::cli
