#include "advice_talk.hpp"

#include <functional>
#include <optional>

#include "oddplate/core/text.hpp"
#include "oddplate/tasting/wishes.hpp"
#include "typing.hpp"

namespace oddplate::cli {
namespace {

bool take_yes(const std::string& text, bool& yes) {
    yes = text == "yes" || text == "y";
    return yes || text == "no" || text == "n";
}

bool take_wanted(const std::string& text, methods::Asked& asked) {
    if (text == "noticed" || text == "1") asked.wanted = methods::Wanted::noticed;
    else if (text == "liked" || text == "2") asked.wanted = methods::Wanted::liked;
    else if (text == "same" || text == "3") asked.wanted = methods::Wanted::same;
    else return false;
    return true;
}

bool take_in_ten(const std::string& text, methods::Asked& asked) {
    const auto value = tasting::number_in(text);
    if (!value || !(*value > 0 && *value < 10)) return false;
    asked.notice_in_ten = *value;
    return true;
}

bool take_share(const std::string& text, methods::Asked& asked) {
    const auto value = tasting::number_in(text);
    if (!value || !(*value > 0 && *value < 10) || *value == 5) return false;
    asked.share = *value / 10;
    return true;
}

bool take_people(const std::string& text, methods::Asked& asked) {
    if (text.empty()) return true;   // not known yet
    asked.people = whole_in(text, 1, 10'000);
    return asked.people.has_value();
}

}   // namespace

core::Result<methods::Asked> ask_for_advice(Call& call) {
    Terminal terminal(call);
    methods::Asked asked;
    struct AskedFor {
        const char* phrase;
        std::function<bool(const std::string&)> take;
        std::optional<bool> liked{};   ///< only where liking is asked for, or only where it is not
    };
    const AskedFor questions[] = {
        {"advise.ask.wanted", [&](const std::string& text) { return take_wanted(text, asked); }},
        {"advise.ask.direction", [&](const std::string& text) { return take_yes(text, asked.direction); }, false},
        {"advise.ask.in_ten", [&](const std::string& text) { return take_in_ten(text, asked); }, false},
        {"advise.ask.share", [&](const std::string& text) { return take_share(text, asked); }, true},
        {"advise.ask.people", [&](const std::string& text) { return take_people(text, asked); }}};
    for (const auto& [phrase, take, liked] : questions) {
        if (liked && *liked != (asked.wanted == methods::Wanted::liked)) continue;
        for (;;) {
            const auto line = terminal.ask(phrase);
            if (!line) return core::fault(core::ErrorKind::usage, "usage", "the input ended before the last question was answered");
            if (take(core::lower_ascii(core::trimmed(*line)))) break;
            terminal.say(std::string(phrase) + ".again");
        }
    }
    return asked;
}

}   // namespace oddplate::cli
