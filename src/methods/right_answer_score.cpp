// Which portion was picked, as a place on the tray.

#include <algorithm>

#include "right_answer.hpp"

namespace oddplate::methods::right_answer {

std::ptrdiff_t most_place(const Sensed& sensed) {
    return std::max_element(sensed.portions.begin(), sensed.portions.end()) - sensed.portions.begin();
}


core::Result<int> picked_place(const SetKey& key, const Answer& answer) {
    const auto* given = std::get_if<Codes>(&answer);
    if (given != nullptr && given->codes.size() == 1) {
        const auto at = std::find(key.codes.begin(), key.codes.end(), given->codes[0]);
        if (at != key.codes.end()) return static_cast<int>(at - key.codes.begin());
    }
    return core::found({}, canonical_text(answer, key.codes), expectation(AnswerShape{OneCode{}}, false, key.codes), {},
                       "bad-answer");
}

}   // namespace oddplate::methods::right_answer
