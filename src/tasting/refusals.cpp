#include "refusals.hpp"

#include <charconv>

#include "object_reader.hpp"
#include "oddplate/core/text.hpp"

namespace oddplate::tasting {

core::Error not_drawn_yet(const State& state) {
    return core::fault(core::ErrorKind::conflict, "not-drawn", state.id + " has no ballots yet: run `oddplate draw " + state.id + "` first");
}

core::Error key_elsewhere(const State& state) {
    return core::fault(core::ErrorKind::conflict, "key-elsewhere",
                       "this book has the ballots of " + state.id +
                           " but not its list of codes: it stays in the book that drew it; export the answers from here and import them there");
}

core::Status must_be_open(const State& state) {
    if (state.draws.empty()) return not_drawn_yet(state);
    if (state.stage == Stage::closed) {
        return core::fault(core::ErrorKind::conflict, "closed",
                           "entry of " + state.id + " is closed; answers that turn up now go in with `oddplate enter " + state.id + " --late`");
    }
    if (!state.early_openings.empty()) {
        return core::fault(core::ErrorKind::conflict, "opened-early",
                           "the list of codes of " + state.id + " was opened early, so no answer is taken in any more");
    }
    return core::Done{};
}

core::Status must_be_on(const State& state, int ballot) {
    const int evening = state.plan.evening_at(ballot);
    if (state.plan.evenings.empty() || !state.is_over(evening)) return core::Done{};
    return core::fault(core::ErrorKind::conflict, "evening-over",
                       "evening " + std::to_string(evening + 1) + " is over, so ballot " + state.ballot_name(ballot) +
                           " takes no more answers; what turns up now goes in with `oddplate enter " + state.id + " --late` after the last evening");
}

core::Result<int> ballot_named(const State& state, const std::string& name) {
    const int ballot = state.ballot_of(name);
    if (ballot >= 0) return ballot;
    const std::string expected = state.plan.evenings.empty() ? "a ballot from 1 to " + std::to_string(state.plan.ballots())
                                                             : "a ballot as it stands on the slips, evening first, such as " + state.ballot_name(0);
    return core::found("", "ballot \"" + core::quoted(name) + "\"", expected, "", "unknown-ballot");
}

core::Result<int> set_named(const State& state, int ballot, const std::string& text, bool last_box) {
    const int sets = static_cast<int>(state.room.ballots.at(static_cast<std::size_t>(ballot)).sets.size());
    int number = -1;
    const auto [end, error] = std::from_chars(text.data(), text.data() + text.size(), number);
    const bool whole = error == std::errc{} && end == text.data() + text.size();
    if (whole && ((number >= 1 && number <= sets) || (last_box && number == 0))) return number - 1;
    return core::found("", "set \"" + core::quoted(text) + "\" on ballot " + state.ballot_name(ballot),
                       "a set from 1 to " + std::to_string(sets) + (last_box ? ", or 0 for the last box" : ""), "", "unknown-set");
}

core::Status check_reason(const std::string& why, const char* flag) {
    if (const auto bad = page_text_fault(why, 400)) return core::found(flag, *bad, "a reason in words, 1 to 400 bytes: it stands in the report");
    return core::Done{};
}

}   // namespace oddplate::tasting
