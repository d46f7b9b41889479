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
    /// How many of its portions an answer may leave out: as many as recipes were withdrawn, so long as enough is left to answer for; 0 where the question takes
    /// no less. Which portions these are the room must not know, so it is the same for every code and for trays that never held the recipe.
    [[nodiscard]] std::size_t may_lack() const;
};

/// A label with its box, drawn as a ticket; `needed`: one of the radio buttons of this name must be on.
[[nodiscard]] Markup choice(const std::string& kind, const std::string& name, const std::string& value, const std::string& shown, const std::string& face, bool needed = true);
/// What stands inside the form: the choices of the method, with their question.
[[nodiscard]] Markup choices_of(const Tray& tray, const report::Voice& voice);
/// What a page says back of an answer that was kept: the code, their order or the word; nothing of scores, which nobody holds against a tray.
[[nodiscard]] std::string said_back(const Tray& tray, const report::Voice& voice, const std::string& kept);
/// The answer that was sent, in the grammar of entry; what it lacks the entry says.
[[nodiscard]] std::string answer_in(const Visit& visit, const Tray& tray);

}   // namespace oddplate::web
