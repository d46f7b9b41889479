#pragma once
// Every word on paper comes from the catalogue, through here.

#include <map>
#include <string>
#include <string_view>

#include "oddplate/core/words.hpp"
#include "oddplate/draw/draw.hpp"
#include "oddplate/methods/method.hpp"
#include "oddplate/methods/plan.hpp"

namespace oddplate::report {

using Arguments = std::map<std::string, core::Argument>;

/// The catalogue with the plan's methods' phrases in it, and the short ways of asking it.
class Voice {
public:
    Voice(const core::Words& words, const methods::Plan& plan);

    /// The phrase "paper.<id>".
    [[nodiscard]] std::string say(std::string_view id, Arguments args = {}) const;
    /// The method's phrase "<method>.<name>", with the round's attribute; "<method>.<name>.<flag>" where there is one for a flag that
    /// the round sets.
    [[nodiscard]] std::string ask(const methods::Round& round, std::string_view name) const;
    /// The same, or `otherwise` where the method has none of that name.
    [[nodiscard]] std::string ask_or(const methods::Round& round, std::string_view name, std::string otherwise) const;

    /// What stands on the marked portion: the method's own letter, else the draw's.
    [[nodiscard]] std::string mark(const methods::Round& round, const std::string& drawn) const { return drawn.empty() ? drawn : ask_or(round, "mark", drawn); }

    /// "left", "middle", "right"; more than three portions are counted: "1st", "2nd", ...
    [[nodiscard]] std::string place(int index, int portions) const;
    /// Minutes after the start as the time of day ("18:05"), or as "+65 min" where the plan names no start.
    [[nodiscard]] std::string time(const methods::Plan& plan, int minutes) const;

private:
    /// "Three portions", of a round whose plan says how many lie on a tray.
    [[nodiscard]] std::string portions(const methods::Round& round) const;

    core::Words m_words;
};

/// The plan's method of a round; the plan was checked, so it is there.
[[nodiscard]] const methods::Method& method_of(const methods::Round& round);

/// Where a course is split over sittings: at which of them, from 1, the tray of that place on the ballot is served.
[[nodiscard]] int sitting_on(const std::vector<draw::RoomSet>& sets, int set);
/// In which order the words of a list stand on a ballot: each ballot begins with the next one, so that every word stands everywhere equally often.
[[nodiscard]] std::vector<std::size_t> word_order(std::size_t words, int ballot);
/// What the two ends of a scale are called, in the round's own words or the method's; both empty where nobody named them.
[[nodiscard]] std::pair<std::string, std::string> scale_ends(const Voice& voice, const methods::Round& round, const methods::ScoreEach& score);
/// What the steps of a scale are called: its two ends, or every step that has a word: "0 = not different at all, 10 = as different as can be".
[[nodiscard]] std::string scale_line(const Voice& voice, const methods::Round& round, const methods::ScoreEach& score);

}   // namespace oddplate::report
