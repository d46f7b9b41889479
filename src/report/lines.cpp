// Wrapping counts characters, not bytes, so that an accent does not shorten its line.

#include "oddplate/report/lines.hpp"

#include <algorithm>

#include "oddplate/core/text.hpp"

namespace oddplate::report {

std::size_t columns_of(std::string_view text) {
    return static_cast<std::size_t>(
        std::count_if(text.begin(), text.end(), [](char c) { return (static_cast<unsigned char>(c) & 0xC0) != 0x80; }));
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
