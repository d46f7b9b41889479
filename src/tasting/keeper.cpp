// The shape of every act: lock, read what stands, check, append one row, make it durable, answer.

#include "oddplate/tasting/keeper.hpp"

#include <algorithm>
#include <utility>

#include "oddplate/core/text.hpp"
#include "oddplate/tasting/names.hpp"
#include "oddplate/tasting/outcome.hpp"
#include "oddplate/tasting/seating.hpp"
#include "refusals.hpp"

namespace oddplate::tasting {

core::Result<State> Keeper::load(const std::string& id) {
    auto rows = m_book.rows(id, 0);
    if (!rows) return rows.faults();
    if (rows->empty()) {
        const auto all = m_book.tastings();
        const std::string near = all ? core::nearest(id, *all) : std::string();
        return core::found("", "no tasting \"" + core::quoted(id) + "\" in this book", "the eight letters that `oddplate new` gave",
                           near.empty() ? "" : "did you mean " + near + "?", "unknown-tasting", core::ErrorKind::not_found);
    }
    State state;
    state.id = id;
    if (auto folded = fold(state, *rows); !folded) return folded.faults();
    if (!state.draws.empty()) {
        auto text = m_book.paper(id, Paper::room, state.draw().number);
        if (!text) return text.faults();
        if (!*text) return core::fault(core::ErrorKind::check_failed, "room-missing", "the book has lost the ballots of " + id);
        if (auto seated = seat(state, **text); !seated) return seated.faults();
    }
    if (auto counted = count_ran_out(state); !counted) return counted.faults();
    return state;
}

core::Result<std::optional<KeyPaper>> Keeper::open_key(const State& state) {
    const auto text = m_book.paper(state.id, Paper::key, state.draw().number);
    if (!text) return text.faults();
    if (!*text) return std::optional<KeyPaper>{};
    auto paper = key_of(state, **text);
    if (!paper) return paper.faults();
    return std::optional(std::move(*paper));
}

core::Status Keeper::count_ran_out(State& state) {
    state.ran_out.reset();
    if (state.withdrawals.empty() || state.draws.empty()) return core::Done{};
    auto paper = open_key(state);
    if (!paper) return paper.faults();
    if (!*paper) return core::Done{};
    judge::Case subject = case_of(state, AnswersAs::now);
    subject.key = std::move((*paper)->key);
    std::swap(subject.room, state.room);   // lent: it is large
    auto counts = judge::ran_out_of(subject);
    std::swap(subject.room, state.room);
    if (!counts) return counts.faults();
    state.ran_out = std::move(*counts);
    return core::Done{};
}

core::Status Keeper::refresh(State& state) {
    auto rows = m_book.rows(state.id, state.last_seq - 1);
    if (!rows) return rows.faults();
    const bool goes_on = !rows->empty() && rows->front().seq == state.last_seq && rows->front().hash == state.head;
    if (goes_on) {
        const std::size_t draws = state.draws.size();
        rows->erase(rows->begin());
        if (auto folded = fold(state, *rows); !folded) return folded;
        const bool turned = std::any_of(rows->begin(), rows->end(), [](const LogRow& row) { return row.kind == kinds::withdrawn || row.kind == kinds::served_again || row.kind == kinds::tubs_found; });
        if (state.draws.size() == draws) return turned ? count_ran_out(state) : core::Done{};
    }
    auto fresh = load(state.id);   // wiped, or drawn anew meanwhile: the ballots are others
    if (!fresh) return fresh.faults();
    state = std::move(*fresh);
    return core::Done{};
}

core::Status Keeper::append(const State& state, const char* kind, const core::Json& body, LogRow* written) {
    LogRow row{.seq = state.last_seq + 1, .kind = kind, .at = m_clock.now(), .body = core::to_canonical_text(body), .hash = {}};
    row.hash = chain_hash(state.head, state.id, row);
    if (auto status = m_book.append(state.id, row); !status) return status;
    if (written != nullptr) *written = std::move(row);
    return core::Done{};
}

core::Status Keeper::act(const std::string& id, const char* kind, const Body& body) {
    Transaction transaction(m_book);
    if (auto begun = transaction.begin(); !begun) return begun;
    auto state = load(id);
    if (!state) return state.faults();
    auto made = body(*state);
    if (!made) return made.faults();
    if (auto status = append(*state, kind, *made, nullptr); !status) return status;
    return transaction.commit();
}

core::Result<KeyPaper> Keeper::key(const State& state, bool before_close, const std::optional<SealWords>& words) {
    if (state.draws.empty()) return not_drawn_yet(state);
    if (!before_close && !state.is_opened()) {
        return core::fault(core::ErrorKind::conflict, "still-closed",
                           "the list of codes of " + state.id + " opens after `oddplate close " + state.id + "`, when the answers are in");
    }
    auto text = m_book.paper(state.id, Paper::key, state.draw().number);
    if (!text) return text.faults();
    if (*text) return key_of(state, **text);
    return state.draw().sealed ? open_sealed(state, words) : key_elsewhere(state);
}

core::Status Keeper::note_printed(const std::string& id, const std::vector<std::string>& papers) {
    return act(id, kinds::printed, [&](State& state) -> core::Result<core::Json> {
        if (state.draws.empty()) return not_drawn_yet(state);
        core::Json list = core::Json::array();
        for (const auto& paper : papers) list.push(paper);
        core::Json body = core::Json::object();
        body.set("papers", std::move(list));
        return body;
    });
}

core::Status Keeper::note_second_pass(const std::string& id, int compared, int differed) {
    return act(id, kinds::second_pass, [&](State&) -> core::Result<core::Json> {
        core::Json body = core::Json::object();
        body.set("compared", compared);
        body.set("differed", differed);
        return body;
    });
}

}   // namespace oddplate::tasting
