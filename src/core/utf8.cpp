// UTF-8 letter by letter, and places in a text.
#include "utf8.hpp"

namespace oddplate::core {

Utf8Letter utf8_letter(std::string_view text, std::size_t at) {
    constexpr Utf8Letter bad{false, 1, 0};
    const auto byte = [&](std::size_t i) { return static_cast<std::uint32_t>(static_cast<unsigned char>(text[i])); };
    const std::uint32_t first = byte(at);
    if (first < 0x80) return {true, 1, first};
    const std::size_t more = first >= 0xf0 ? 3 : first >= 0xe0 ? 2 : 1;
    if (first < 0xc2 || first > 0xf4 || at + more >= text.size()) return bad;
    std::uint32_t code = first & (0x3fu >> more);
    for (std::size_t i = 1; i <= more; ++i) {
        const std::uint32_t next = byte(at + i);
        if ((next & 0xc0) != 0x80) return bad;
        code = (code << 6) | (next & 0x3f);
    }
    const bool overlong = (more == 2 && code < 0x800) || (more == 3 && code < 0x10000);
    if (overlong || (code >= 0xd800 && code <= 0xdfff) || code > 0x10ffff) return bad;
    return {true, more + 1, code};
}

void append_utf8(std::string& text, std::uint32_t code) {
    const auto put = [&](std::uint32_t byte) { text += static_cast<char>(byte); };
    if (code < 0x80) {
        put(code);
    } else if (code < 0x800) {
        put(0xc0 | (code >> 6));
        put(0x80 | (code & 0x3f));
    } else if (code < 0x10000) {
        put(0xe0 | (code >> 12));
        put(0x80 | ((code >> 6) & 0x3f));
        put(0x80 | (code & 0x3f));
    } else {
        put(0xf0 | (code >> 18));
        put(0x80 | ((code >> 12) & 0x3f));
        put(0x80 | ((code >> 6) & 0x3f));
        put(0x80 | (code & 0x3f));
    }
}

std::string place_at(std::string_view text, std::size_t offset) {
    std::size_t line = 1;
    std::size_t start = text.substr(0, 3) == "\xEF\xBB\xBF" ? 3 : 0;   // a byte-order mark takes no column
    const std::size_t end = offset < text.size() ? offset : text.size();
    for (std::size_t at = start; at < end; ++at) {
        const bool pair = text[at] == '\r' && at + 1 < text.size() && text[at + 1] == '\n';
        if (pair || (text[at] != '\n' && text[at] != '\r')) continue;   // of CRLF, the LF counts
        ++line;
        start = at + 1;
    }
    std::size_t column = 1;
    for (std::size_t at = start; at < end; ++at) {
        if ((static_cast<unsigned char>(text[at]) & 0xc0) != 0x80) ++column;
    }
    return "line " + std::to_string(line) + ", column " + std::to_string(column);
}

}   // namespace oddplate::core
