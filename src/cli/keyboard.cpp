// The desk: a loop over slips. It never shows a count or anything else that could tell a version; it shows the codes of the tray at hand, which
// are printed on the slip as well, so that a wrong slip is noticed before it is typed.

#include "keyboard.hpp"

#include <unistd.h>

#include <iostream>
#include <optional>
#include <set>

#include "oddplate/core/text.hpp"
#include "oddplate/tasting/intake.hpp"
#include "oddplate/tasting/names.hpp"
#include "oddplate/tasting/shorthand.hpp"
#include "oddplate/tasting/typed.hpp"
#include "typing.hpp"

namespace oddplate::cli {
namespace {

struct Place {
    int ballot, set;   // 0-based; set -1 is the last box
};

class FirstPass {
public:
    FirstPass(Call& call, tasting::Keeper& keeper, tasting::State state, bool late)
        : m_terminal(call), m_words(call.words), m_keeper(keeper), m_state(std::move(state)), m_named(call.named(m_state.id)), m_late(late), m_several(tasting::asks_several_kinds(m_state, call.words)) {}

    core::Result<ExitCode> run() {
        m_terminal.say("keyboard.begin", {{"name", tasting::two_words(m_state.id)}});
        for (const std::string& line : tasting::how_to_type(m_state, m_words)) m_terminal.say_plain(line);
        while (const auto line = m_terminal.ask("keyboard.ballot")) {
            const std::string text = core::trimmed(*line);
            if (text.empty()) continue;
            if (text == "q") break;
            if (text == "b") continue;   // is there already
            auto status = text == "u" ? undo() : begin(text);
            if (!status) return status.faults();
        }
        say_end();
        return 0;
    }

private:
    /// "7", "BLUE GATE 7" or, all at once, "7 2 418".
    core::Status begin(const std::string& text) {
        auto slip = read_slip_line(m_state, text);
        if (!slip) return m_terminal.complain(slip.faults());
        if (!slip->answer.empty()) return keep({slip->ballot, slip->set}, slip->answer);
        return type_ballot(slip->ballot);
    }

    core::Status type_ballot(int ballot) {
        const int sets = static_cast<int>(m_state.room.ballots[static_cast<std::size_t>(ballot)].sets.size());
        bool asked = false;
        for (int set = 0; set < sets; ++set) {
            if (m_state.answers.contains({ballot, set})) continue;
            asked = true;
            const Reply reply = type_set({ballot, set});
            if (!reply.status) return reply.status;
            if (reply.leave) return core::Done{};
        }
        if (m_state.told.contains(ballot)) {
            if (!asked) m_terminal.say("keyboard.complete", {{"ballot", m_state.ballot_name(ballot)}, {"id", m_named}});
            return core::Done{};
        }
        return type_set({ballot, -1}).status;
    }

    struct Reply {
        core::Status status;
        bool leave{false};
    };

    /// Asks until an answer is kept, the tray is left (an empty line) or the slip is (b, or the end of input).
    Reply type_set(Place place) {
        while (const auto line = ask_for(place)) {
            const std::string text = core::trimmed(*line);
            if (text.empty()) return {core::Done{}, false};
            if (text == "b" || text == "q") return {core::Done{}, true};
            if (text == "u") {
                if (auto status = undo(); !status) return {status, true};
                continue;
            }
            const bool kept_before = is_kept(place);
            if (auto status = keep(place, text); !status) return {status, true};
            if (!kept_before && is_kept(place)) return {core::Done{}, false};
        }
        return {core::Done{}, true};
    }

    std::optional<std::string> ask_for(Place place) {
        if (place.set < 0) return m_terminal.ask("keyboard.last_box");
        const auto& set = m_state.room.ballots[static_cast<std::size_t>(place.ballot)].sets[static_cast<std::size_t>(place.set)];
        if (m_several && set.round != m_asked) m_terminal.say_plain("  " + tasting::how_to_type(m_state, place.ballot, place.set, m_words));   // another question than the last tray's
        m_asked = set.round;
        return m_terminal.ask("keyboard.tray", {{"n", std::int64_t{place.set + 1}}, {"codes", core::joined(set.codes, " ")}});
    }

    bool is_kept(Place place) const {
        return place.set < 0 ? m_state.told.contains(place.ballot) : m_state.answers.contains({place.ballot, place.set});
    }

    std::string kept_text(Place place) const {
        if (place.set < 0) return m_state.told.at(place.ballot) ? "yes" : "no";
        return m_state.answers.at({place.ballot, place.set}).text;
    }

    /// Kept on disk, then confirmed; a refusal is said and the line may be typed again.
    core::Status keep(Place place, const std::string& typed) {
        const tasting::Typed line = tasting::typed_line(typed);
        const tasting::IncomingAnswer answer{.ballot = m_state.ballot_name(place.ballot), .set = std::to_string(place.set + 1), .answer = line.answer, .note = line.note};
        const auto intake = m_keeper.enter(m_state, {answer}, "keyboard", false, m_late);
        if (!intake) return intake.faults();
        if (!intake->rejected.empty()) {
            m_terminal.say_plain(intake->rejected.front().reason);
            return core::Done{};
        }
        m_last = place;
        say_kept(answer.ballot, place, is_kept(place) ? kept_text(place) : line.answer);   // late ones stand in the log alone
        return core::Done{};
    }

    /// Asks for the last kept answer again; what is typed now is a correction, and both rows stay in the log.
    core::Status undo() {
        if (!m_last || m_late) {
            m_terminal.say("keyboard.nothing_to_undo");
            return core::Done{};
        }
        const Place place = *m_last;
        while (const auto line = ask_for(place)) {
            std::string text = core::trimmed(*line);
            if (text.empty() || text == "b" || text == "q") return core::Done{};
            const tasting::Correction correction{.ballot = m_state.ballot_name(place.ballot), .set = std::to_string(place.set + 1), .answer = text,
                                                 .why = "typed again"};
            if (auto status = m_keeper.correct(m_state.id, correction); !status) {
                if (core::exit_code(status.faults()) == 1) return status;
                m_terminal.say_plain(status.faults().front().line());
                continue;
            }
            if (auto fresh = m_keeper.refresh(m_state); !fresh) return fresh;
            say_kept(correction.ballot, place, kept_text(place));
            return core::Done{};
        }
        return core::Done{};
    }

    /// How far the pile is typed, which tells nothing of what was answered, and how to go on.
    void say_end() {
        std::set<int> ballots;
        for (const auto& [place, answer] : m_state.answers) ballots.insert(place.first);
        m_terminal.say(m_late ? "keyboard.end_late" : "keyboard.end",
                       {{"n", static_cast<std::int64_t>(m_state.answers.size())}, {"ballots", static_cast<std::int64_t>(ballots.size())}, {"id", m_named}});
    }

    void say_kept(const std::string& ballot, Place place, const std::string& answer) {
        m_terminal.say(place.set < 0 ? "keyboard.kept_box" : "keyboard.kept", {{"ballot", ballot}, {"set", std::int64_t{place.set + 1}}, {"answer", answer}});
    }

    Terminal m_terminal;
    const core::Words& m_words;
    tasting::Keeper& m_keeper;
    tasting::State m_state;
    std::string m_named;   ///< as the next command names it
    bool m_late, m_several;
    int m_asked{-1};   ///< the round of the tray that was asked about last
    std::optional<Place> m_last;
};

}   // namespace

core::Result<ExitCode> type_answers(Call& call, tasting::Keeper& keeper, const std::string& id, bool late) {
    auto state = keeper.load(id);
    if (!state) return state.faults();
    if (auto allowed = tasting::may_enter(*state, late); !allowed) return allowed.faults();
    return FirstPass(call, keeper, std::move(*state), late).run();
}

}   // namespace oddplate::cli
