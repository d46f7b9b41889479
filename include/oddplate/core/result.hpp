#pragma once
// What a function answers when its caller's data can be at fault: a value, or one or more faults in plain words.

#include <cstdlib>
#include <string>
#include <utility>
#include <variant>
#include <vector>

namespace oddplate::core {

/// The kind decides the exit code: io, check_failed and internal end with 1, everything else with 2.
enum class ErrorKind { usage, bad_value, bad_file, conflict, not_found, io, check_failed, internal };

/// One fault, said in one line. `code` is stable; `text` may be reworded.
struct Error {
    ErrorKind kind{ErrorKind::bad_value};
    std::string code;    ///< "probability-out-of-range"
    std::string where;   ///< flag, file and JSON pointer, file:line - the nearest thing the user can change; may be empty
    std::string text;    ///< "found 5, expected a number above 0 and below 1 (write 5 % as 0.05)"

    /// The fault as a user reads it: "where: text", or text alone.
    [[nodiscard]] std::string line() const { return where.empty() ? text : where + ": " + text; }
};

using Faults = std::vector<Error>;

/// "found GOT, expected EXPECTED (HINT)"; an empty hint leaves the brackets out.
[[nodiscard]] Error found(std::string where, std::string got, std::string expected, std::string hint = {},
                          std::string code = "bad-value", ErrorKind kind = ErrorKind::bad_value);

/// A fault whose text is a sentence of its own.
[[nodiscard]] Error fault(ErrorKind kind, std::string code, std::string text, std::string where = {});

/// Exit code of a list of faults: 1 where any is ours or the machine's, else 2.
[[nodiscard]] int exit_code(const Faults& faults) noexcept;

/// Each fault's place set inside a larger one ("/rounds/0" within "plan.json" gives "plan.json /rounds/0").
[[nodiscard]] Faults within(Faults faults, const std::string& place);

/// A T, or at least one fault.
template <class T>
class [[nodiscard]] Result {
public:
    Result(T value) : m_state(std::in_place_index<0>, std::move(value)) {}      // NOLINT(google-explicit-constructor)
    Result(Error error) : m_state(std::in_place_index<1>, Faults{std::move(error)}) {}   // NOLINT
    Result(Faults faults) : m_state(std::in_place_index<1>, std::move(faults)) {
        if (std::get<1>(m_state).empty()) std::abort();   // a fault list without a fault is a broken promise of ours
    }   // NOLINT

    [[nodiscard]] bool ok() const noexcept { return m_state.index() == 0; }
    explicit operator bool() const noexcept { return ok(); }

    [[nodiscard]] T& operator*() & { return std::get<0>(m_state); }
    [[nodiscard]] const T& operator*() const& { return std::get<0>(m_state); }
    [[nodiscard]] T&& operator*() && { return std::get<0>(std::move(m_state)); }
    [[nodiscard]] T* operator->() { return &std::get<0>(m_state); }
    [[nodiscard]] const T* operator->() const { return &std::get<0>(m_state); }

    [[nodiscard]] const Faults& faults() const { return std::get<1>(m_state); }

private:
    std::variant<T, Faults> m_state;
};

/// Success without a value, or faults.
struct Done {};
using Status = Result<Done>;

}   // namespace oddplate::core
