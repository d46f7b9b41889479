// Two passes by two people, compared: what was typed first is never shown, so that the second pass cannot lean on it.

#include <algorithm>
#include <map>
#include <vector>

#include "keyboard.hpp"
#include "oddplate/core/text.hpp"
#include "oddplate/stats/interval.hpp"
#include "oddplate/tasting/intake.hpp"
#include "oddplate/tasting/names.hpp"
#include "typing.hpp"

namespace oddplate::cli {
namespace {

using Place = std::pair<int, int>;   // ballot, set; both 0-based

class SecondPass {
public:
    SecondPass(Call& call, tasting::Keeper& keeper, tasting::State state)
        : m_terminal(call), m_keeper(keeper), m_state(std::move(state)) {}

    core::Result<ExitCode> run() {
        m_terminal.say("keyboard.second_begin", {{"name", tasting::two_words(m_state.id)}});
        while (const auto line = m_terminal.ask("keyboard.ballot")) {
            const std::string text = core::trimmed(*line);
            if (text.empty()) continue;
            if (text == "q") break;
            const auto slip = read_slip_line(m_state, text);
            if (!slip) {
                m_terminal.say_plain(slip.faults().front().line());
                continue;
            }
            if (!slip->answer.empty()) take({slip->ballot, slip->set}, slip->answer);
            else type_ballot(slip->ballot);
        }
        if (auto settled = settle(); !settled) return settled.faults();
        return report();
    }

private:
    void type_ballot(int ballot) {
        const auto& sets = m_state.room.ballots[static_cast<std::size_t>(ballot)].sets;
        for (int set = 0; set < static_cast<int>(sets.size()); ++set) {
            bool taken = false;
            while (!taken) {
                const auto line = ask_for({ballot, set});
                if (!line) return;
                const std::string text = core::trimmed(*line);
                if (text == "b" || text == "q") return;
                taken = text.empty() || take({ballot, set}, text);
            }
        }
    }

    std::optional<std::string> ask_for(Place place) {
        const auto& set = m_state.room.ballots[static_cast<std::size_t>(place.first)].sets[static_cast<std::size_t>(place.second)];
        return m_terminal.ask("keyboard.tray", {{"n", std::int64_t{place.second + 1}}, {"codes", core::joined(set.codes, " ")}});
    }

    bool take(Place place, const std::string& typed) {
        if (place.second < 0) return true;   // the last box is compared by nobody: it never enters the verdict
        auto text = tasting::answer_text(m_state, place.first, place.second, typed);
        if (!text) {
            m_terminal.say_plain(text.faults().front().line());
            return false;
        }
        m_typed[place] = *text;
        return true;
    }

    /// Each difference is read a third time from the slip; two readings that agree stand.
    core::Status settle() {
        for (const auto& [place, second] : m_typed) {
            const auto kept = m_state.answers.find(place);
            if (kept == m_state.answers.end()) {
                if (auto status = keep_missing(place, second); !status) return status;
                continue;
            }
            ++m_compared;
            if (kept->second.text == second) continue;
            ++m_differed;
            if (auto status = read_again(place, kept->second.text, second); !status) return status;
        }
        return core::Done{};
    }

    core::Status keep_missing(Place place, const std::string& text) {
        const auto intake = m_keeper.enter(m_state, {{.ballot = m_state.ballot_name(place.first), .set = std::to_string(place.second + 1), .answer = text}}, "keyboard", false, false);
        if (!intake) return intake.faults();
        m_terminal.say("keyboard.was_missing", {{"ballot", m_state.ballot_name(place.first)}, {"set", std::int64_t{place.second + 1}}});
        return core::Done{};
    }

    core::Status read_again(Place place, const std::string& first, const std::string& second) {
        while (true) {
            m_terminal.say("keyboard.differ", {{"ballot", m_state.ballot_name(place.first)}, {"set", std::int64_t{place.second + 1}}});
            const auto line = ask_for(place);
            if (!line) {
                ++m_left;
                return core::Done{};
            }
            const auto third = tasting::answer_text(m_state, place.first, place.second, core::trimmed(*line));
            if (!third) {
                m_terminal.say_plain(third.faults().front().line());
                continue;
            }
            if (*third == first) return core::Done{};
            if (*third != second) continue;
            return m_keeper.correct(m_state.id, {.ballot = m_state.ballot_name(place.first), .set = std::to_string(place.second + 1), .answer = second,
                                                 .why = "second pass: read twice so"});
        }
    }

    core::Result<ExitCode> report() {
        if (auto noted = m_keeper.note_second_pass(m_state.id, m_compared, m_differed); !noted) return noted.faults();
        std::map<std::string, core::Argument> args{{"compared", std::int64_t{m_compared}}, {"differed", std::int64_t{m_differed}}, {"left", std::int64_t{m_left}}};
        if (m_compared > 0) {
            const auto interval = stats::clopper_pearson(m_differed, m_compared, 0.95);
            args["rate"] = static_cast<double>(m_differed) / m_compared;
            args["upper"] = interval.upper;
        }
        m_terminal.say(m_compared > 0 ? "keyboard.second_end" : "keyboard.second_nothing", args);
        if (m_left > 0) m_terminal.say("keyboard.second_left", args);
        return m_left > 0 ? 1 : 0;
    }

    Terminal m_terminal;
    tasting::Keeper& m_keeper;
    tasting::State m_state;
    std::map<Place, std::string> m_typed;
    int m_compared{0}, m_differed{0}, m_left{0};
};

}   // namespace

core::Result<ExitCode> type_second_pass(Call& call, tasting::Keeper& keeper, const std::string& id) {
    auto state = keeper.load(id);
    if (!state) return state.faults();
    if (auto allowed = tasting::may_enter(*state, false); !allowed) return allowed.faults();
    return SecondPass(call, keeper, std::move(*state)).run();
}

}   // namespace oddplate::cli
