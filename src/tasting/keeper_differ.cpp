// Paper and phone may disagree. The first answer stands, the other is kept beside it, and somebody who holds the slip says which is right.

#include <algorithm>

#include "oddplate/tasting/keeper.hpp"
#include "refusals.hpp"

namespace oddplate::tasting {

using core::Json;

core::Status Keeper::note_differing(State& state, const std::vector<OtherAnswer>& others, const std::string& from) {
    constexpr int k_most_a_set = 4;   // a phone that goes on tapping fills neither the log nor the desk
    Transaction transaction(m_book);
    if (auto begun = transaction.begin(); !begun) return begun;
    if (auto fresh = refresh(state); !fresh) return fresh;
    if (auto status = must_be_open(state); !status) return status;
    Json rows = Json::array();
    std::vector<Difference> known = state.differences;
    for (const OtherAnswer& other : others) {
        const auto of_set = [&](const Difference& each) { return each.ballot == other.ballot && each.set == other.set; };
        const auto told = std::count_if(known.begin(), known.end(), of_set);
        const bool is_known = std::any_of(known.begin(), known.end(), [&](const Difference& each) { return of_set(each) && each.answer == other.answer && each.from == from; });
        const auto kept = state.answers.find({other.ballot, other.set});
        if (told >= k_most_a_set || is_known || kept == state.answers.end() || kept->second.text == other.answer) continue;
        known.push_back({.ballot = other.ballot, .set = other.set, .answer = other.answer, .from = from});
        Json row = Json::array();
        row.push(state.ballot_name(other.ballot));
        row.push(other.set + 1);
        row.push(other.answer);
        rows.push(std::move(row));
    }
    if (rows.as_array().empty()) return core::Done{};
    Json body = Json::object();
    body.set("from", from);
    body.set("answers", std::move(rows));
    LogRow written;
    if (auto status = append(state, kinds::differed, body, &written); !status) return status;
    if (auto status = transaction.commit(); !status) return status;
    return fold(state, {written});
}

core::Status Keeper::let_stand(const std::string& id, const std::string& ballot, const std::string& set, const std::string& why) {
    if (auto status = check_reason(why); !status) return status;
    return act(id, kinds::first_stands, [&](State& state) -> core::Result<Json> {
        if (auto status = must_be_open(state); !status) return status.faults();
        const auto number = ballot_named(state, ballot);
        if (!number) return number.faults();
        const auto place = set_named(state, *number, set, false);
        if (!place) return place.faults();
        const auto open = state.open_differences();
        if (std::none_of(open.begin(), open.end(), [&](const Difference& each) { return each.ballot == *number && each.set == *place; }))
            return core::fault(core::ErrorKind::conflict, "nothing-differs", "ballot " + ballot + " tray " + set + " has one answer only, or was settled already");
        Json body = Json::object();
        body.set("ballot", ballot);
        body.set("set", *place + 1);
        body.set("why", why);
        return body;
    });
}

}   // namespace oddplate::tasting
