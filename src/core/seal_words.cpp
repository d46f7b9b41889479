// The words of a seal. They are told apart without what stands between them, because none of the list begins another; so a
// cramped hand, dashes and line ends all read alike.

#include <sodium.h>

#include <algorithm>
#include <optional>

#include "oddplate/core/sealed_box.hpp"
#include "sodium_ready.hpp"

namespace oddplate::embedded {
extern const std::string_view seal_words;
}

namespace oddplate::core {
namespace {

Error not_the_words(std::string text) {
    return fault(ErrorKind::usage, "seal-words", std::move(text));
}

Error misspelt(std::size_t number) {
    return not_the_words("word " + std::to_string(number) + " is none of the words that a seal can have: look at its spelling");
}

constexpr std::size_t k_shortest = 4;   // letters in the list's shortest words

bool is_between(char c) {
    return std::string_view(" \t\r\n-_.,;").find(c) != std::string_view::npos;
}

/// The one word of the list that `text` begins with.
std::optional<std::string_view> word_at_front(std::string_view text) {
    const auto& list = seal_word_list();
    auto after = std::upper_bound(list.begin(), list.end(), text);
    if (after == list.begin()) return std::nullopt;
    --after;   // what begins a text stands right before it in order, as no word of the list begins another
    return text.starts_with(*after) ? std::optional(*after) : std::nullopt;
}

/// One piece between separators: a word, or several run together.
Status split_piece(std::string_view piece, std::vector<std::string>& words) {
    for (bool first = true; !piece.empty(); first = false) {
        const auto word = word_at_front(piece);
        // A rest that is too short for a word is an ending of the word before ("lamps").
        if (!word) return misspelt(words.size() + (first || piece.size() >= k_shortest ? 1 : 0));
        words.emplace_back(*word);
        piece.remove_prefix(word->size());
    }
    return Done{};
}

}   // namespace

const std::vector<std::string_view>& seal_word_list() {
    static const std::vector<std::string_view> k_list = [] {
        std::vector<std::string_view> list;
        std::string_view rest = embedded::seal_words;
        for (std::size_t end = rest.find('\n'); end != std::string_view::npos; end = rest.find('\n')) {
            list.push_back(rest.substr(0, end));
            rest.remove_prefix(end + 1);
        }
        return list;
    }();
    return k_list;
}

std::vector<std::string> propose_seal_words() {
    sodium_ready();
    const auto& list = seal_word_list();
    std::vector<std::string> words;
    for (std::size_t i = 0; i < k_seal_words; ++i)
        words.emplace_back(list[randombytes_uniform(static_cast<std::uint32_t>(list.size()))]);
    return words;
}

Result<std::vector<std::string>> read_seal_words(std::string_view typed) {
    std::vector<std::string> words;
    std::string piece;
    const auto finish = [&]() -> Status {
        auto status = split_piece(piece, words);
        piece.clear();
        return status;
    };
    for (const char c : typed) {
        if (!is_between(c)) {
            piece += c >= 'A' && c <= 'Z' ? static_cast<char>(c - 'A' + 'a') : c;
        } else if (auto status = finish(); !status) {
            return status.faults();
        }
    }
    if (auto status = finish(); !status) return status.faults();
    if (words.size() != k_seal_words)
        return not_the_words("found " + std::to_string(words.size()) + (words.size() == 1 ? " word" : " words") +
                             ", expected the five words of the seal");
    return words;
}

}   // namespace oddplate::core
