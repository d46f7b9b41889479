#pragma once
// One set as the guest meets it: what lies there, what to do, where to answer. Slips and mats are two frames around it.

#include <string>

#include "furniture.hpp"

namespace oddplate::report {

/// One set of one ballot with all that its question needs.
struct Question {
    const RoomPapers& papers;
    const Voice& voice;
    int ballot{0};   ///< from 0
    int set{0};      ///< place on the ballot, from 0

    [[nodiscard]] const draw::RoomBallot& of_ballot() const { return papers.room.ballots[static_cast<std::size_t>(ballot)]; }
    [[nodiscard]] const draw::RoomSet& of_set() const { return of_ballot().sets[static_cast<std::size_t>(set)]; }
    [[nodiscard]] const methods::Round& round() const { return papers.plan.rounds[static_cast<std::size_t>(of_set().round)]; }
    [[nodiscard]] bool is_last() const { return set + 1 == static_cast<int>(of_ballot().sets.size()); }
    [[nodiscard]] int trays() const { return static_cast<int>(of_ballot().sets.size()); }
    [[nodiscard]] std::string ballot_name() const { return papers.plan.ballot_name(ballot); }
    /// "course 1 · tray 2 of 3 · edge", as much of it as there is.
    [[nodiscard]] std::string tray_line() const;
    /// Both ends of a scale and what they are called: "0 = not different at all, 10 = as different as can be".
    [[nodiscard]] std::string scale_line(const methods::ScoreEach& score) const;
    /// What the QR code says: ODDPLATE:<tasting>:<ballot>:<set>, or the link under which a phone answers that set.
    [[nodiscard]] std::string payload() const;
};

inline constexpr double k_smallest_words = 7;   // points, of what a guest reads

/// The places to answer in, drawn into the column for the answer's shape. `body` is the size of its words in points.
void answer_places(Column& column, const Question& question, double digit_height, double body);

/// The box for having had a hint beforehand; only the ballot's last slip has it.
void hint_box(Column& column, const Question& question, double body);

}   // namespace oddplate::report
