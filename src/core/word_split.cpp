#include "oddplate/core/word_split.hpp"

#include <utf8proc.h>

#include <cstdlib>

#include "utf8.hpp"

namespace oddplate::core {
namespace {

bool is_letter(std::uint32_t code) {
    switch (utf8proc_category(static_cast<utf8proc_int32_t>(code))) {
        case UTF8PROC_CATEGORY_LU:
        case UTF8PROC_CATEGORY_LL:
        case UTF8PROC_CATEGORY_LT:
        case UTF8PROC_CATEGORY_LM:
        case UTF8PROC_CATEGORY_LO:
        case UTF8PROC_CATEGORY_MN:
        case UTF8PROC_CATEGORY_MC: return true;
        default: return false;
    }
}

std::string composed(const std::string& word) {
    utf8proc_uint8_t* text = nullptr;
    const auto bytes = utf8proc_map(reinterpret_cast<const utf8proc_uint8_t*>(word.data()), static_cast<utf8proc_ssize_t>(word.size()), &text,
                                    static_cast<utf8proc_option_t>(UTF8PROC_STABLE | UTF8PROC_COMPOSE));
    if (bytes < 0) return word;   // only out of memory or text that is no UTF-8, and the letters were read one by one
    std::string answer(reinterpret_cast<const char*>(text), static_cast<std::size_t>(bytes));
    std::free(text);
    return answer;
}

}   // namespace

std::vector<std::string> words_in(std::string_view text) {
    std::vector<std::string> words;
    std::string word;
    const auto end_word = [&] {
        if (!word.empty()) words.push_back(composed(word));
        word.clear();
    };
    for (std::size_t at = 0; at < text.size();) {
        const Utf8Letter letter = utf8_letter(text, at);
        at += letter.bytes;
        if (letter.good && is_letter(letter.code)) append_utf8(word, static_cast<std::uint32_t>(utf8proc_tolower(static_cast<utf8proc_int32_t>(letter.code))));
        else end_word();
    }
    end_word();
    return words;
}

}   // namespace oddplate::core
