// Everybody can do this sum again with a pencil and any SHA-256: the two recipes are one line each.

#include "oddplate/tasting/guests.hpp"

#include "object_reader.hpp"
#include "oddplate/core/text.hpp"

namespace oddplate::tasting {
namespace {

constexpr std::size_t k_most_lines = 200;

core::Error not_lines(std::string got, std::string expected) {
    return core::found("", std::move(got), std::move(expected), "", "guests-words", core::ErrorKind::usage);
}

}   // namespace

std::string host_number(const core::Bytes32& host) {
    return core::to_hex(core::sha256(core::to_hex(host)));
}

core::Bytes32 guests_seed(const core::Bytes32& host, const std::vector<std::string>& lines) {
    return core::sha256("oddplate guests 1\n" + core::to_hex(host) + "\n" + core::joined(lines, "\n"));
}

core::Status check_guests(const std::vector<std::string>& lines) {
    if (lines.empty()) return not_lines("no words of the guests", "one line or more: words, or what their dice show");
    if (lines.size() > k_most_lines) return not_lines(std::to_string(lines.size()) + " lines of the guests", "200 at most");
    for (std::size_t i = 0; i < lines.size(); ++i) {
        if (const auto bad = page_text_fault(lines[i])) return not_lines(*bad + " in line " + std::to_string(i + 1) + " of the guests", "1 to 200 bytes of text");
    }
    return core::Done{};
}

}   // namespace oddplate::tasting
