// Faults: how they are worded, which exit code they lead to, and how a place is set inside a larger one.
#include "oddplate/core/result.hpp"

#include <algorithm>

namespace oddplate::core {

Error found(std::string where, std::string got, std::string expected, std::string hint, std::string code, ErrorKind kind) {
    std::string text = "found " + got + ", expected " + expected;
    if (!hint.empty()) text += " (" + hint + ")";
    return Error{kind, std::move(code), std::move(where), std::move(text)};
}

Error fault(ErrorKind kind, std::string code, std::string text, std::string where) {
    return Error{kind, std::move(code), std::move(where), std::move(text)};
}

int exit_code(const Faults& faults) noexcept {
    const bool ours = std::any_of(faults.begin(), faults.end(), [](const Error& error) {
        return error.kind == ErrorKind::io || error.kind == ErrorKind::check_failed || error.kind == ErrorKind::internal;
    });
    return ours ? 1 : 2;
}

Faults within(Faults faults, const std::string& place) {
    if (place.empty()) return faults;
    for (Error& error : faults) error.where = error.where.empty() ? place : place + " " + error.where;
    return faults;
}

}   // namespace oddplate::core
