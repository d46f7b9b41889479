// Which portions were picked, as places on the tray.

#include <algorithm>

#include "right_answer.hpp"

namespace oddplate::methods::right_answer {

std::ptrdiff_t most_place(const Sensed& sensed) {
    return std::max_element(sensed.portions.begin(), sensed.portions.end()) - sensed.portions.begin();
}

namespace {

/// Where a code lies on the tray, -1 where it does not.
int place_of(const SetKey& key, const std::string& code) {
    const auto at = std::find(key.codes.begin(), key.codes.end(), code);
    return at == key.codes.end() ? -1 : static_cast<int>(at - key.codes.begin());
}

core::Error not_of_shape(const SetKey& key, const Answer& answer, const AnswerShape& shape) {
    return core::found({}, canonical_text(answer, key.codes), expectation(shape, false, key.codes), {}, "bad-answer");
}

}   // namespace

core::Result<Scored> score_place(const SetKey& key, const Answer& answer, int right, std::string_view why) {
    const auto* given = std::get_if<Codes>(&answer);
    const auto* sure = std::get_if<Scores>(&answer);   // "417:2" is read as a score
    int picked = given != nullptr && given->codes.size() == 1 ? place_of(key, given->codes[0]) : -1;
    if (sure != nullptr && sure->scores.size() == 1) picked = place_of(key, sure->scores[0].first);
    if (picked < 0) return not_of_shape(key, answer, OneCode{});
    if (right < 0) return core::fault(core::ErrorKind::bad_value, "no-right-portion", std::string(why));
    Scored scored{.value = picked == right ? 1.0 : 0.0, .picked = picked};
    if (sure != nullptr) scored.values = {sure->scores[0].second};
    return scored;
}

core::Result<std::pair<int, int>> picked_pair(const SetKey& key, const Answer& answer) {
    const auto* given = std::get_if<Codes>(&answer);
    if (given == nullptr || given->codes.size() != 2) return not_of_shape(key, answer, CodeGroup{2});
    const auto [left, right] = std::minmax({place_of(key, given->codes[0]), place_of(key, given->codes[1])});
    if (left < 0 || left == right) return not_of_shape(key, answer, CodeGroup{2});
    return std::pair{left, right};
}

}   // namespace oddplate::methods::right_answer
