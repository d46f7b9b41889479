// Drawing: from a seed to what is kept of it, the room's half apart from the key's. With words the key's half is written only as
// a box that they open: its plain text goes from this function's memory into the cipher, never to the book.

#include "oddplate/core/sealed_box.hpp"
#include "oddplate/tasting/guests.hpp"
#include "oddplate/tasting/keeper.hpp"
#include "refusals.hpp"

namespace oddplate::tasting {
namespace {

using core::Json;

std::size_t servings_of(const draw::Room& room) {
    std::size_t n = 0;
    for (const auto& ballot : room.ballots)
        for (const auto& set : ballot.sets) n += set.codes.size() + (set.reference.empty() ? 0 : 1);
    return n;
}

std::size_t sets_of(const draw::Room& room) {
    std::size_t n = 0;
    for (const auto& ballot : room.ballots) n += ballot.sets.size();
    return n;
}

core::Status may_draw(const State& state) {
    const auto refuse = [&](const std::string& why) {
        return core::fault(core::ErrorKind::conflict, "too-late-to-draw",
                           state.id + " " + why + "; `oddplate again " + state.id + "` makes a fresh tasting of the same plan");
    };
    if (state.stage == Stage::closed) return refuse("is closed");
    if (!state.early_openings.empty()) return refuse("was opened early");
    if (!state.answers.empty() || !state.told.empty())
        return refuse("has answers already, and they belong to the draw that stands");
    return core::Done{};
}

/// The seed, and the host's part where guests had a say.
core::Status choose_seed(const State& state, const DrawOptions& options, KeyPaper& paper) {
    if (!options.guests) {
        paper.seed = options.seed ? *options.seed : core::random_bytes32();
        return core::Done{};
    }
    if (auto good = check_guests(options.guests->lines); !good) return good;
    if (state.host_number != host_number(options.guests->host)) {
        return core::fault(core::ErrorKind::conflict, "other-number",
                           "another draw of " + state.id +
                               " was begun meanwhile, so the number that the guests saw no longer stands: begin again");
    }
    paper.host = options.guests->host;
    paper.seed = guests_seed(options.guests->host, options.guests->lines);
    return core::Done{};
}

Json drawn_body(const DrawOptions& options, const DrawAnswer& answer) {
    Json body = Json::object();
    body.set("draw", answer.number);
    body.set("draw_version", draw::k_draw_version);
    body.set("fingerprint", answer.fingerprint);
    body.set("seed_given", options.seed.has_value());
    body.set("sealed", options.seal.has_value());
    body.set("ballots", answer.ballots);
    body.set("sets", answer.sets);
    body.set("servings", answer.servings);
    if (options.guests) {
        Json lines = Json::array();
        for (const auto& line : options.guests->lines) lines.push(line);
        body.set("guests", std::move(lines));
    }
    return body;
}

}   // namespace

core::Status Keeper::keep_drawn(const State& state, const DrawOptions& options, const draw::Room& room, const KeyPaper& paper,
                                const DrawAnswer& answer) {
    if (auto status = m_book.keep(state.id, Paper::room, answer.number, room_to_text(room)); !status) return status;
    if (options.seal) {
        const auto box = core::seal_box(key_to_text(paper), *options.seal);
        if (!box) return box.faults();
        if (auto status = m_book.keep(state.id, Paper::sealed, answer.number, *box); !status) return status;
    } else if (auto status = m_book.keep(state.id, Paper::key, answer.number, key_to_text(paper)); !status) {
        return status;
    }
    return append(state, kinds::drawn, drawn_body(options, answer), nullptr);
}

core::Result<DrawAnswer> Keeper::draw(const std::string& id, const DrawOptions& options) {
    if (options.seed && (options.seal || options.guests))
        return core::fault(core::ErrorKind::usage, "seed-known",
                           "a seed that is given is known to whoever gave it, so it goes with neither a seal nor guests");
    Transaction transaction(m_book);
    if (auto begun = transaction.begin(); !begun) return begun.faults();
    auto state = load(id);
    if (!state) return state.faults();
    if (auto status = may_draw(*state); !status) return status.faults();
    KeyPaper paper;
    if (auto status = choose_seed(*state, options, paper); !status) return status.faults();
    paper.salt = core::random_bytes32();
    auto drawn = draw::draw(state->plan, paper.seed);
    if (!drawn) return drawn.faults();
    paper.key = std::move(drawn->key);

    DrawAnswer answer;
    answer.ballots = static_cast<int>(drawn->room.ballots.size());
    answer.sets = static_cast<int>(sets_of(drawn->room));
    answer.servings = static_cast<int>(servings_of(drawn->room));
    answer.number = static_cast<int>(state->draws.size()) + 1;
    answer.fingerprint = fingerprint(state->plan, drawn->room, paper, draw::k_draw_version);
    answer.spreads = std::move(drawn->spreads);
    answer.trays = drawn->trays;
    answer.beside_usual = drawn->beside_usual;
    answer.balanced_at = drawn->balanced_at;
    answer.codes_dealt_again = drawn->codes_dealt_again;
    if (auto status = keep_drawn(*state, options, drawn->room, paper, answer); !status) return status.faults();
    if (auto status = transaction.commit(); !status) return status.faults();
    answer.plan = std::move(state->plan);
    return answer;
}

core::Result<core::Bytes32> Keeper::commit_host(const std::string& id) {
    const core::Bytes32 host = core::random_bytes32();
    auto status = act(id, kinds::host_committed, [&](State& state) -> core::Result<Json> {
        if (auto allowed = may_draw(state); !allowed) return allowed.faults();
        return Json::object().set("number", host_number(host));
    });
    if (!status) return status.faults();
    return host;
}

}   // namespace oddplate::tasting
