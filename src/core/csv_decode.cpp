// From the bytes of a table to UTF-8. Spreadsheets write UTF-16 as "Unicode text"; older ones write a national 8-bit set, which
// cannot be told apart from another and is therefore refused with the way out.
#include "csv_decode.hpp"

#include <algorithm>
#include <cstdint>

#include "oddplate/core/text.hpp"
#include "utf8.hpp"

namespace oddplate::core {
namespace {

enum class Order { little, big };

/// UTF-16 without a mark: a header of plain letters has a NUL in every pair, always on the same side.
bool looks_like_utf16(std::string_view bytes, Order order) {
    const std::size_t pairs = std::min<std::size_t>(bytes.size(), 1024) / 2;
    const std::size_t high = order == Order::little ? 1 : 0;
    std::size_t nuls = 0;
    for (std::size_t i = 0; i < pairs; ++i) {
        if (bytes[2 * i + 1 - high] == '\0') return false;
        if (bytes[2 * i + high] == '\0') ++nuls;
    }
    return pairs > 0 && 2 * nuls > pairs;
}

Result<std::string> from_utf16(std::string_view bytes, Order order) {
    const auto unit = [&](std::size_t at) {
        const auto a = static_cast<unsigned char>(bytes[at]);
        const auto b = static_cast<unsigned char>(bytes[at + 1]);
        return static_cast<std::uint32_t>(order == Order::little ? a | b << 8 : b | a << 8);
    };
    std::string text;
    text.reserve(bytes.size() / 2 + bytes.size() / 8);
    const std::string expected = "text in UTF-16 or UTF-8";
    for (std::size_t at = 0; at < bytes.size(); at += 2) {
        if (at + 1 == bytes.size())
            return bad_csv(place_at(text, text.size()), "half a letter at the end", expected, "the file was cut off");
        std::uint32_t code = unit(at);
        if (code >= 0xd800 && code < 0xe000) {
            const std::uint32_t second = code < 0xdc00 && at + 3 < bytes.size() ? unit(at + 2) : 0;
            if (second < 0xdc00 || second > 0xdfff)
                return bad_csv(place_at(text, text.size()), "half of a pair of UTF-16 letters", expected);
            code = 0x10000 + ((code - 0xd800) << 10) + (second - 0xdc00);
            at += 2;
        }
        append_utf8(text, code);
    }
    return text;
}

Result<std::string> decoded(std::string_view bytes) {
    const std::string_view mark = bytes.substr(0, 2);
    if (mark == "\xFF\xFE") return from_utf16(bytes.substr(2), Order::little);
    if (mark == "\xFE\xFF") return from_utf16(bytes.substr(2), Order::big);
    if (looks_like_utf16(bytes, Order::little)) return from_utf16(bytes, Order::little);
    if (looks_like_utf16(bytes, Order::big)) return from_utf16(bytes, Order::big);
    return std::string(bytes);
}

}   // namespace

Error bad_csv(std::string where, std::string got, std::string expected, std::string hint) {
    return found(std::move(where), std::move(got), std::move(expected), std::move(hint), "bad-csv", ErrorKind::bad_file);
}

Result<std::string> csv_text(std::string_view bytes) {
    Result<std::string> text = decoded(bytes);
    if (!text) return text;
    if (text->starts_with("\xEF\xBB\xBF")) text->erase(0, 3);
    if (const std::size_t nul = text->find('\0'); nul != std::string::npos) {
        return bad_csv(place_at(*text, nul), "a NUL byte", "text", "this is no table saved as text");
    }
    if (std::size_t bad = 0; !is_utf8(*text, &bad)) {
        return bad_csv(place_at(*text, bad), "a byte that is no UTF-8", "text in UTF-8", "save the table as CSV UTF-8");
    }
    return text;
}

}   // namespace oddplate::core
