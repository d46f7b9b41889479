// The grammar of answers: what an answer is taken for, it is taken for again when its one text is read.

#include <array>

#include "laws.hpp"
#include "oddplate/methods/answer.hpp"

using namespace oddplate;
using namespace oddplate::methods;

extern "C" int LLVMFuzzerTestOneInput(const std::uint8_t* data, std::size_t size) {
    static const std::vector<std::string> k_codes{"417", "862", "305", "590"};
    static constexpr std::array<std::string_view, 2> k_words{"same", "different"};
    const auto answer = parse_answer(fuzz::text_of(data, size));
    if (!fuzz::taken(answer)) return 0;
    const AnswerShape shapes[] = {OneCode{}, CodeGroup{2}, OneWord{k_words, 3}, ScoreEach{0, 10}, OrderAll{true}, OrderAll{false}};
    for (const AnswerShape& shape : shapes)
        for (const bool may_abstain : {false, true}) {
            if (!fuzz::taken(check_answer(*answer, shape, may_abstain, k_codes))) continue;
            const std::string text = canonical_text(*answer, k_codes);
            const auto again = parse_answer(text);
            fuzz::holds(again.ok() && check_answer(*again, shape, may_abstain, k_codes).ok(), "a text that is kept is an answer");
            fuzz::holds(canonical_text(*again, k_codes) == text, "an answer has one text");
        }
    return 0;
}
