// Small questions about text. Bytes that are no UTF-8 are looked at one by one, so nothing here can read past the end.
#include "oddplate/core/text.hpp"

#include <algorithm>
#include <cstdint>
#include <cstring>

#include "utf8.hpp"

namespace oddplate::core {
namespace {

constexpr std::string_view k_spaces = " \t\r\n\f\v";

/// Optimal string alignment: insert, delete, replace, swap of neighbours, no part edited twice. Three rows are enough.
std::size_t edit_distance(std::string_view a, std::string_view b) {
    std::vector<std::size_t> before(b.size() + 1);
    std::vector<std::size_t> last(b.size() + 1);
    std::vector<std::size_t> row(b.size() + 1);
    for (std::size_t j = 0; j <= b.size(); ++j) last[j] = j;
    for (std::size_t i = 1; i <= a.size(); ++i) {
        row[0] = i;
        for (std::size_t j = 1; j <= b.size(); ++j) {
            const std::size_t replace = last[j - 1] + (a[i - 1] == b[j - 1] ? 0 : 1);
            row[j] = std::min({last[j] + 1, row[j - 1] + 1, replace});
            if (i > 1 && j > 1 && a[i - 1] == b[j - 2] && a[i - 2] == b[j - 1]) row[j] = std::min(row[j], before[j - 2] + 1);
        }
        std::swap(before, last);
        std::swap(last, row);
    }
    return last[b.size()];
}

/// Characters that move a terminal's cursor, end a line or turn the direction of writing.
bool is_control(std::uint32_t c) {
    return c < 0x20 || (c >= 0x7f && c < 0xa0) || c == 0x2028 || c == 0x2029 || (c >= 0x202a && c <= 0x202e) ||
           (c >= 0x2066 && c <= 0x2069);
}

}   // namespace

std::string nearest(std::string_view word, std::span<const std::string> candidates) {
    std::string best;
    std::size_t best_distance = 0;
    if (word.empty()) return best;
    for (const std::string& candidate : candidates) {
        const std::size_t longer = std::max(word.size(), candidate.size());
        const std::size_t allowed = std::max<std::size_t>(1, longer / 3);
        if (longer - std::min(word.size(), candidate.size()) > allowed) continue;   // keeps a huge word cheap
        const std::size_t distance = edit_distance(word, candidate);
        if (distance > allowed || (!best.empty() && distance >= best_distance)) continue;
        best = candidate;
        best_distance = distance;
    }
    return best;
}

bool is_utf8(std::string_view bytes, std::size_t* bad_at) {
    std::size_t at = 0;
    while (at < bytes.size()) {
        std::uint64_t eight = 0;
        while (at + 8 <= bytes.size()) {   // eight plain letters at a time
            std::memcpy(&eight, bytes.data() + at, 8);
            if ((eight & 0x8080808080808080u) != 0) break;
            at += 8;
        }
        if (at == bytes.size()) break;
        const Utf8Letter letter = utf8_letter(bytes, at);
        if (!letter.good) {
            if (bad_at != nullptr) *bad_at = at;
            return false;
        }
        at += letter.bytes;
    }
    return true;
}

std::string trimmed(std::string_view text) {
    const std::size_t first = text.find_first_not_of(k_spaces);
    if (first == std::string_view::npos) return {};
    return std::string(text.substr(first, text.find_last_not_of(k_spaces) - first + 1));
}

std::string lower_ascii(std::string_view text) {
    std::string lower(text);
    for (char& c : lower) {
        if (c >= 'A' && c <= 'Z') c = static_cast<char>(c - 'A' + 'a');
    }
    return lower;
}

std::vector<std::string> split(std::string_view text, char separator) {
    std::vector<std::string> parts;
    for (;;) {
        const std::size_t end = text.find(separator);
        parts.emplace_back(text.substr(0, end));
        if (end == std::string_view::npos) return parts;
        text.remove_prefix(end + 1);
    }
}

std::string joined(std::span<const std::string> parts, std::string_view separator) {
    std::string text;
    for (std::size_t i = 0; i < parts.size(); ++i) {
        if (i > 0) text += separator;
        text += parts[i];
    }
    return text;
}

std::string quoted(std::string_view text, std::size_t most) {
    std::string out;
    std::size_t letters = 0;
    std::size_t cut = 0;   // where `out` must end to leave room for the three dots
    for (std::size_t at = 0; at < text.size(); ++letters) {
        if (letters + 3 <= most) cut = out.size();
        if (letters == most) return most < 3 ? out : out.substr(0, cut) + "...";
        const Utf8Letter letter = utf8_letter(text, at);
        if (!letter.good) {
            out += '?';
        } else if (is_control(letter.code)) {
            out += ' ';
        } else {
            out += text.substr(at, letter.bytes);
        }
        at += letter.bytes;
    }
    return out;
}

std::string with_commas(long long value) {
    const bool negative = value < 0;
    const unsigned long long size =
        negative ? 0ULL - static_cast<unsigned long long>(value) : static_cast<unsigned long long>(value);
    std::string text = std::to_string(size);
    for (std::size_t at = text.size(); at > 3;) {
        at -= 3;
        text.insert(at, 1, ',');
    }
    return negative ? "-" + text : text;
}

}   // namespace oddplate::core
