#pragma once
// A verb of the command line is data: its name, its flags, its help and the function that runs it. Parsing, help and the tests of both are made
// from the table; nothing lists a verb a second time.

#include <functional>
#include <map>
#include <memory>
#include <set>
#include <span>
#include <string>
#include <string_view>
#include <vector>

#include "oddplate/core/clock.hpp"
#include "oddplate/core/json.hpp"
#include "oddplate/core/result.hpp"
#include "oddplate/core/words.hpp"
#include "oddplate/methods/method.hpp"
#include "oddplate/tasting/book.hpp"

namespace oddplate::cli {

/// "ID" is a place, "--csv" a flag; a flag with an empty `value` is given or not.
struct Flag {
    std::string_view name;
    std::string_view value;      ///< what stands for its value in the help: "FILE"
    std::string_view help;
    bool required{false};
};

/// What was typed, and where the answer goes. stdout is the answer, stderr is talk.
class Call {
public:
    std::map<std::string, std::string, std::less<>> values;   ///< "ID" or "--csv" -> text
    std::set<std::string, std::less<>> given;                  ///< flags without value
    std::map<std::string, std::string, std::less<>> settings;  ///< a method's own flags, by flag name
    const methods::Method* method{nullptr};
    core::Words words;
    core::SystemClock clock;
    std::string answer;                                        ///< written to stdout at the end

    [[nodiscard]] bool has(std::string_view name) const { return given.contains(name) || values.contains(name); }
    [[nodiscard]] bool json() const { return given.contains("--json"); }
    [[nodiscard]] std::string value(std::string_view name) const;
    void print(const core::Json& json) { answer += core::to_text(json) + "\n"; }
    void say(std::string_view line) { answer.append(line).push_back('\n'); }
    /// A line on stderr, at once.
    void tell(std::string_view line) const;
    /// Hands what was said so far to stdout now (long or interactive work).
    void flush();
    bool is_unwritten{false};   ///< something that was handed to stdout could not be written

    /// A tasting as the next command has to name it: with the book's flag, where this one was given it.
    [[nodiscard]] std::string named(const std::string& id) const;

    /// --book, or the book in the user's data folder.
    [[nodiscard]] core::Result<std::string> book_path() const;
    [[nodiscard]] core::Result<std::unique_ptr<tasting::Book>> open_book(bool create = false) const;
    /// A second way into a book that is open already.
    [[nodiscard]] core::Result<std::unique_ptr<tasting::Book>> open_again() const;
};

/// A list as the answer, each row written as it is made: a long one needs no memory.
class RowsOut {
public:
    explicit RowsOut(Call& call) : m_call(call) { m_call.answer += '['; }
    void add(const core::Json& row);
    void end() { m_call.answer += "]\n"; }

private:
    Call& m_call;
    bool m_first{true};
};

using ExitCode = int;

struct Verb {
    std::string_view name;
    std::string_view summary;                 ///< one line
    std::vector<Flag> flags;                  ///< places first, in order
    core::Result<ExitCode> (*run)(Call&);
    std::vector<std::string_view> examples;   ///< two, each a whole command
    std::span<const methods::Setting> (*settings)(const methods::Method&){nullptr};   ///< the flags that the method named by METHOD adds
    bool uses_book{false};                    ///< takes --book
    bool answers{true};                       ///< takes --json
};

[[nodiscard]] std::span<const Verb> verbs();
[[nodiscard]] const Verb* find_verb(std::string_view name);

/// Reads a verb's arguments into `call` (CLI11 underneath; its texts go to no user).
[[nodiscard]] core::Status parse(const Verb& verb, std::vector<std::string> arguments, Call& call);

[[nodiscard]] std::string help_text();
[[nodiscard]] std::string help_text(const Verb& verb, const methods::Method* method);

/// Runs a whole command line; the exit code.
[[nodiscard]] int run(const std::vector<std::string>& arguments);

}   // namespace oddplate::cli
