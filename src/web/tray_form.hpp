#pragma once
// One set as a form: what can be tapped, and what a tap says in the grammar of entry.

#include "house.hpp"
#include "oddplate/methods/method.hpp"
#include "oddplate/report/voice.hpp"

namespace oddplate::web {

/// One set on one phone; both 0-based.
struct Tray {
    const tasting::State& state;
    int ballot, set;

    [[nodiscard]] const std::vector<draw::RoomSet>& sets() const { return state.room.ballots[static_cast<std::size_t>(ballot)].sets; }
    [[nodiscard]] const draw::RoomSet& room() const { return sets()[static_cast<std::size_t>(set)]; }
    [[nodiscard]] const methods::Round& round() const { return state.plan.rounds[static_cast<std::size_t>(room().round)]; }
    [[nodiscard]] const std::string& spot() const { return round().spots[static_cast<std::size_t>(room().spot)]; }
    [[nodiscard]] methods::AnswerShape shape() const { return report::method_of(round()).shape(round()); }
};

/// A label with its box, drawn as a ticket.
[[nodiscard]] Markup choice(const std::string& kind, const std::string& name, const std::string& value, const std::string& shown, const std::string& face);
/// What stands inside the form: the choices of the method, with their question.
[[nodiscard]] Markup choices_of(const Tray& tray, const report::Voice& voice);
/// The answer that was sent, in the grammar of entry; what it lacks the entry says.
[[nodiscard]] std::string answer_in(const Visit& visit, const Tray& tray);

}   // namespace oddplate::web
