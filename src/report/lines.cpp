// Wrapping counts characters, not bytes, so that an accent does not shorten its line.

#include "oddplate/report/lines.hpp"

#include <algorithm>

#include "oddplate/core/text.hpp"

namespace oddplate::report {

std::size_t columns_of(std::string_view text) {
    return static_cast<std::size_t>(
        std::count_if(text.begin(), text.end(), [](char c) { return (static_cast<unsigned char>(c) & 0xC0) != 0x80; }));
}

std::string shortened(std::string_view text, std::size_t most) {
    if (columns_of(text) <= most) return std::string(text);
    std::size_t end = 0;
    for (std::size_t kept = 0; kept + 1 < most; ++kept)
        for (++end; (static_cast<unsigned char>(text[end]) & 0xC0) == 0x80;) ++end;
    while (end > 0 && text[end - 1] == ' ') --end;
    return std::string(text.substr(0, end)) + "…";
}

std::string lines_of(std::string_view text, std::string_view first, std::string_view rest) {
    std::string out;
    std::string line(first);
    bool is_bare = true;
    for (const std::string& word : core::split(text, ' ')) {
        if (word.empty()) continue;
        if (!is_bare && columns_of(line) + 1 + columns_of(word) > k_columns) {
            out += line + "\n";
            line = rest;
            is_bare = true;
        }
        if (!is_bare) line += ' ';
        line += word;
        is_bare = false;
    }
    return out + line + "\n";
}

}   // namespace oddplate::report
