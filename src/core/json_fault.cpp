// Wording of faults in JSON text. Up to the fault the text is good JSON, so a simple walk over tokens finds the one that holds
// it.
#include "json_fault.hpp"

#include <algorithm>

#include "oddplate/core/text.hpp"
#include "utf8.hpp"

namespace oddplate::core {
namespace {

constexpr std::string_view k_blank = " \t\r\n";
constexpr std::string_view k_ends_word = " \t\r\n{}[]:,\"";

struct Token {
    std::size_t start;
    std::size_t end;
    char before;   ///< last byte of the token before it; NUL when it is the first
};

std::size_t end_of_token(std::string_view text, std::size_t start) {
    if (text[start] != '"') {
        const std::size_t end = std::min(text.find_first_of(k_ends_word, start), text.size());
        return end == start ? start + 1 : end;
    }
    for (std::size_t at = start + 1; at < text.size(); ++at) {
        if (text[at] == '\\') {
            ++at;
        } else if (text[at] == '"') {
            return at + 1;
        }
    }
    return text.size();
}

/// "tru" and "1." and "-": reading stopped behind them, at a byte that is not to blame.
bool is_broken_word(std::string_view word) {
    if (k_ends_word.find(word[0]) != std::string_view::npos || word == "true" || word == "false" || word == "null") return false;
    return !(word.back() >= '0' && word.back() <= '9');
}

/// The token with the byte at `offset` in it, or an empty one at the text's end.
Token token_at(std::string_view text, std::size_t offset) {
    Token token{0, 0, '\0'};
    for (;;) {
        const std::size_t start = text.find_first_not_of(k_blank, token.end);
        if (token.end > 0) token.before = text[token.end - 1];
        if (start == std::string_view::npos) return {text.size(), text.size(), token.before};
        token.start = start;
        token.end = end_of_token(text, start);
        const std::string_view word = text.substr(start, token.end - start);
        if (offset < token.end || (offset == token.end && is_broken_word(word))) return token;
    }
}

std::string expected_here(char before, JsonPlace state) {
    if (state == JsonPlace::outside) return before == '\0' ? "JSON" : "nothing after the end of the JSON";
    if (before == '[') return "a value or ]";
    if (before == '{') return "a key in double quotes or }";
    if (before == ':') return "a value";
    if (state == JsonPlace::after_key) return "a colon";
    const bool list = state == JsonPlace::in_list;
    if (before == ',') return list ? "a value" : "a key in double quotes";
    return list ? "a comma or ]" : "a comma or }";
}

/// A fault inside a text: a control character, an unknown escape, half a surrogate pair, or no end.
Error text_fault(std::string_view text, std::size_t at, const Token& token) {
    if (at >= text.size()) return bad_json(place_at(text, token.start), "a text that never ends", "a closing double quote");
    if (static_cast<unsigned char>(text[at]) < 0x20) {
        return bad_json(place_at(text, at), "a line end, tab or other control character in a text",
                        "\\n, \\t or \\u0001 in its place");
    }
    const std::size_t back = std::max(std::min(text.rfind('\\', at), at), token.start);
    return bad_json(place_at(text, back), "\"" + quoted(text.substr(back, at - back + 1), 20) + "\" in a text",
                    "a letter or one of \\\" \\\\ \\/ \\b \\f \\n \\r \\t \\u0041 (surrogates in pairs)");
}

}   // namespace

Error bad_json(std::string where, std::string got, std::string expected, std::string hint) {
    return found(std::move(where), std::move(got), std::move(expected), std::move(hint), "bad-json", ErrorKind::bad_file);
}

Error json_fault(std::string_view text, std::size_t read, JsonPlace state, JsonStop stop) {
    const std::size_t at = read > 0 ? read - 1 : 0;
    if (stop == JsonStop::text) return text_fault(text, at, token_at(text, std::min(at, text.size() - 1)));
    const Token token = token_at(text, at);
    const std::string where = place_at(text, token.start);
    const std::string shown = quoted(text.substr(token.start, std::min<std::size_t>(token.end - token.start, 200)), 20);
    if (stop == JsonStop::number) return bad_json(where, shown, "a number that a double can hold (up to about 1.8e308)");
    const std::string got = token.start == text.size() ? "the end of the text"
                            : text[token.start] == '"' ? shown
                                                       : "\"" + shown + "\"";
    return bad_json(where, got, expected_here(token.before, state));
}

}   // namespace oddplate::core
