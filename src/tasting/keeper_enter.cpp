// Taking answers in: each is checked against its ballot, kept as text, and scored by nobody before judging.

#include <map>
#include <optional>

#include "object_reader.hpp"
#include "oddplate/core/text.hpp"
#include "oddplate/methods/method.hpp"
#include "oddplate/tasting/intake.hpp"
#include "oddplate/tasting/keeper.hpp"
#include "oddplate/tasting/shorthand.hpp"
#include "oddplate/tasting/typed.hpp"
#include "refusals.hpp"

namespace oddplate::tasting {
namespace {

using core::Json;

constexpr const char* k_already = "answered-already";

core::Error already_says(const State& state, const std::string& ballot, const std::string& set, const std::string& kept, const std::string& now) {
    return core::fault(core::ErrorKind::conflict, k_already,
                       "ballot " + ballot + (set == "0" ? " its last box" : " tray " + set) + " says " + kept + " already; to change it: oddplate correct " + state.id +
                           " --ballot " + ballot + " --set " + set + " --answer \"" + now + "\" --why \"...\"");
}

/// A batch is checked against what stands and against itself, so that a file cannot answer one set twice.
class Sorter {
public:
    explicit Sorter(const State& state) : m_state(state) {}

    /// The row for the log, nothing when it is there already, or why not.
    core::Result<std::optional<Json>> take(const IncomingAnswer& incoming) {
        const auto ballot = ballot_named(m_state, incoming.ballot);
        if (!ballot) return ballot.faults();
        if (m_state.is_spoiled(*ballot))
            return core::fault(core::ErrorKind::conflict, "spoiled", "ballot " + incoming.ballot + " was marked as spoiled: its answers do not count");
        const auto set = set_named(m_state, *ballot, incoming.set, true);
        if (!set) return set.faults();
        if (auto named = check_taster(*ballot, incoming.taster); !named) return named.faults();
        const Typed said = *set < 0 ? typed_box(incoming.answer) : Typed{incoming.answer, {}};
        auto text = answer_text(m_state, *ballot, *set, said.answer);
        const auto kept = standing(*ballot, *set);
        if (m_state.stage != Stage::closed && (!text || kept != *text))   // a file that was read before harms nothing, even when its evening is over
            if (auto on = must_be_on(m_state, *ballot); !on) return on.faults();
        if (!text) return text.faults();
        if (kept && *kept != *text) return already_says(m_state, incoming.ballot, incoming.set, *kept, *text);
        if (kept) {
            if (!incoming.taster.empty() && !m_state.tasters.contains(*ballot) && must_be_on(m_state, *ballot)) m_names[*ballot] = incoming.taster;   // the answer is old, whose it is is news
            return std::optional<Json>{};
        }
        m_texts[{*ballot, *set}] = *text;
        if (!incoming.taster.empty()) m_tasters[*ballot] = incoming.taster;
        return std::optional(row_of(incoming.taster, incoming.note.empty() ? said.note : incoming.note, incoming.ballot, *set, *text));
    }

    /// Nicknames that came with answers which stand already, for ballots that have none.
    [[nodiscard]] std::map<int, std::string> names() const {
        std::map<int, std::string> news = m_names;
        std::erase_if(news, [&](const auto& one) { return m_tasters.contains(one.first); });
        return news;
    }

private:
    static Json row_of(const std::string& taster, const std::string& note, const std::string& ballot, int set, const std::string& text) {
        Json row = Json::array();
        row.push(ballot);
        row.push(set + 1);
        row.push(text);
        if (!taster.empty() || !note.empty()) row.push(taster.empty() ? Json() : Json(taster));
        if (!note.empty()) row.push(note);
        return row;
    }

    core::Status check_taster(int ballot, const std::string& taster) const {
        if (taster.empty()) return core::Done{};
        if (const auto bad = page_text_fault(taster, 60)) return core::found("", *bad, "a nickname of 1 to 60 bytes");
        std::string name;
        if (const auto here = m_tasters.find(ballot); here != m_tasters.end()) name = here->second;
        else if (const auto there = m_state.tasters.find(ballot); there != m_state.tasters.end()) name = there->second;
        if (name.empty() || name == taster) return core::Done{};
        return core::fault(core::ErrorKind::conflict, "other-taster",
                           "ballot " + m_state.ballot_name(ballot) + " is " + core::quoted(name) + "'s, found \"" + core::quoted(taster) + "\"");
    }

    std::optional<std::string> standing(int ballot, int set) const {
        if (const auto here = m_texts.find({ballot, set}); here != m_texts.end()) return here->second;
        if (set < 0) {
            const auto told = m_state.told.find(ballot);
            return told == m_state.told.end() ? std::nullopt : std::optional<std::string>(told->second ? "yes" : "no");
        }
        const auto kept = m_state.answers.find({ballot, set});
        return kept == m_state.answers.end() ? std::nullopt : std::optional(kept->second.text);
    }

    const State& m_state;
    std::map<std::pair<int, int>, std::string> m_texts;
    std::map<int, std::string> m_tasters, m_names;
};

/// The ballot, the tray and the answer are good ones: another answer stands there, that is all. The last box is no tray, and has no code to look for.
void note_other(const State& state, const IncomingAnswer& incoming, std::vector<OtherAnswer>& others) {
    const auto ballot = ballot_named(state, incoming.ballot);
    const auto set = set_named(state, *ballot, incoming.set, true);
    if (*set >= 0) others.push_back({*ballot, *set, *answer_text(state, *ballot, *set, incoming.answer)});
}

core::Status name_ballots(Keeper& keeper, State& state, const std::map<int, std::string>& names) {
    if (names.empty() || state.stage == Stage::closed) return core::Done{};   // late answers never count, whoever gave them
    for (const auto& [ballot, name] : names)
        if (auto named = keeper.hand(state.id, state.ballot_name(ballot), name); !named) return named;
    return keeper.refresh(state);
}

}   // namespace

core::Status may_enter(const State& state, bool late) {
    if (!late) return must_be_open(state);
    if (state.draws.empty()) return not_drawn_yet(state);
    if (state.stage == Stage::closed) return core::Done{};
    return core::fault(core::ErrorKind::conflict, "not-closed", "--late is for answers that turn up after `oddplate close`; entry of " + state.id + " is still open");
}

core::Result<std::string> answer_text(const State& state, int ballot, int set, const std::string& typed) {
    if (set < 0) {
        const std::string word = core::lower_ascii(made_whole(state, ballot, set, core::trimmed(typed)));
        if (word == "yes" || word == "no") return word;
        return core::found("", "\"" + core::quoted(typed) + "\"", "yes or no in the last box", "", "bad-answer");
    }
    const auto& served = state.room.ballots[static_cast<std::size_t>(ballot)].sets[static_cast<std::size_t>(set)];
    const methods::Round& round = state.plan.rounds[static_cast<std::size_t>(served.round)];
    const auto method = methods::find(round.method);
    if (!method) return method.faults();
    const methods::AnswerShape shape = (*method)->shape(round);
    auto answer = methods::parse_answer(made_whole(state, ballot, set, typed));
    const std::vector<std::string>& codes = state.codes_meant(ballot, set, typed);
    const methods::Portions portions{.served = codes.size(), .may_lack = state.may_lack(ballot, set)};
    const bool may_abstain = (*method)->may_abstain(round);
    const bool in_codes = !std::holds_alternative<methods::OneWord>(shape) && !std::holds_alternative<methods::ScoreEach>(shape) && !std::holds_alternative<methods::TickEach>(shape);
    if (!answer && (!in_codes || answer.faults().front().code == "bad-answer"))   // no answer of any method: say what this one takes
        return core::found("", typed.empty() ? "nothing" : core::quoted(typed), methods::expectation(shape, may_abstain, codes, portions.may_lack) + ", or blank, void or not-served", "", "bad-answer");
    if (!answer) return answer.faults();
    if (auto fits = methods::check_answer(*answer, shape, may_abstain, codes, portions, core::trimmed(typed)); !fits) return fits.faults();
    return methods::canonical_text(*answer, codes);
}

core::Result<Intake> Keeper::enter(State& state, const std::vector<IncomingAnswer>& answers, const std::string& from, bool keep_good, bool late) {
    Transaction transaction(m_book);
    if (auto begun = transaction.begin(); !begun) return begun.faults();
    if (auto fresh = refresh(state); !fresh) return fresh.faults();
    if (auto allowed = may_enter(state, late); !allowed) return allowed.faults();

    Intake intake;
    Json rows = Json::array();
    std::optional<Sorter> sorter(state);
    for (const IncomingAnswer& incoming : answers) {
        auto row = sorter->take(incoming);
        if (!row) {
            for (const core::Error& error : row.faults()) intake.rejected.push_back({incoming.line, error.line(), error.code});
            if (row.faults().front().code == k_already) note_other(state, incoming, intake.others);
        } else if (*row) {
            rows.push(std::move(**row));
            ++intake.accepted;
        } else {
            ++intake.already;
        }
    }
    const std::map<int, std::string> names = sorter->names();
    sorter.reset();   // 100,000 answers are a lot of text to hold twice
    const bool nothing_new = intake.accepted == 0;
    if (nothing_new || (!intake.rejected.empty() && !keep_good)) {
        const bool refused = !intake.rejected.empty() && !keep_good;
        if (refused) intake.accepted = 0;
        if (refused || names.empty()) return intake;
        if (auto none = transaction.commit(); !none) return none.faults();   // nothing in it: the names are acts of their own
        if (auto named = name_ballots(*this, state, names); !named) return named.faults();
        return intake;
    }
    Json body = Json::object();
    body.set("from", from);
    if (late) body.set("late", true);
    body.set("answers", std::move(rows));
    LogRow written;
    if (auto status = append(state, kinds::answered, body, &written); !status) return status.faults();
    if (auto status = transaction.commit(); !status) return status.faults();
    body = Json();
    if (auto folded = fold(state, {written}); !folded) return folded.faults();
    if (auto named = name_ballots(*this, state, names); !named) return named.faults();
    return intake;
}

}   // namespace oddplate::tasting
