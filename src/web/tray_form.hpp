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
    /// How many portions can be missing with enough left to answer for; 0 where the question takes no less than all.
    [[nodiscard]] std::size_t spare() const;
    /// How many of its portions an answer may leave out: those that ran out, as entry counts them, so that nobody is led into a refusal. That it differs from tray
    /// to tray tells what the tray does: one that held the recipe goes out a cup short. Of a tray served before it ran out it tells that one of these codes is it,
    /// never which: it is offered where two portions lie or more, for every code alike.
    [[nodiscard]] std::size_t may_lack() const;
    /// Whether the tray may not have come at all. Entry takes that of any tray, so it is asked of all alike: of a tray of one it would name the code, and of a pair
    /// whether it is of two recipes.
    [[nodiscard]] bool may_stay_out() const;
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
