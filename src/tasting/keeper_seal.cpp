// The list of codes under its words. What they open is held against the seal number in the log before anybody believes it, so a
// box that was exchanged for another one does not pass.

#include "oddplate/core/sealed_box.hpp"
#include "oddplate/tasting/keeper.hpp"
#include "oddplate/tasting/seating.hpp"
#include "refusals.hpp"

namespace oddplate::tasting {
namespace {

core::Status must_be_what_was_drawn(const State& state, const KeyPaper& paper) {
    if (fingerprint(state.plan, state.room, paper, state.draw().draw_version) == state.draw().fingerprint) return core::Done{};
    return core::fault(core::ErrorKind::check_failed, "seal-broken",
                       "the sealed list of codes of " + state.id +
                           " is not the one that was drawn, or plan or ballots were changed after it: the seal number differs");
}

}   // namespace

core::Result<bool> Keeper::is_locked(const State& state) {
    if (state.draws.empty() || !state.draw().sealed) return false;
    const auto open = m_book.paper(state.id, Paper::key, state.draw().number);
    if (!open) return open.faults();
    if (*open) return false;
    const auto box = m_book.paper(state.id, Paper::sealed, state.draw().number);
    if (!box) return box.faults();
    return box->has_value();
}

core::Result<KeyPaper> Keeper::open_sealed(const State& state, const std::optional<SealWords>& words) {
    const auto box = m_book.paper(state.id, Paper::sealed, state.draw().number);
    if (!box) return box.faults();
    if (!*box) return key_elsewhere(state);
    if (!words) {
        return core::fault(core::ErrorKind::usage, "words-needed",
                           "the list of codes of " + state.id +
                               " is sealed: its five words are needed (--words FILE, or --words - for standard input)");
    }
    const auto text = core::open_box(**box, *words);
    if (!text) return text.faults();
    auto paper = key_of(state, *text);
    if (!paper) return paper.faults();
    if (auto same = must_be_what_was_drawn(state, *paper); !same) return same.faults();
    return paper;
}

core::Status Keeper::unlock(const std::string& id, const KeyPaper& paper) {
    Transaction transaction(m_book);
    if (auto begun = transaction.begin(); !begun) return begun;
    const auto state = load(id);
    if (!state) return state.faults();
    if (state->draws.empty()) return not_drawn_yet(*state);
    if (!state->is_opened())
        return core::fault(core::ErrorKind::conflict, "still-closed",
                           "the list of codes of " + id + " stays locked until `oddplate close " + id + "`");
    if (auto same = must_be_what_was_drawn(*state, paper); !same) return same;
    const auto there = m_book.paper(id, Paper::key, state->draw().number);
    if (!there) return there.faults();
    if (*there) return core::Done{};   // another hand was faster
    if (auto kept = m_book.keep(id, Paper::key, state->draw().number, key_to_text(paper)); !kept) return kept;
    if (auto written = append(*state, kinds::unsealed, core::Json::object(), nullptr); !written) return written;
    return transaction.commit();
}

}   // namespace oddplate::tasting
