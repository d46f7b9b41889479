// Files from elsewhere. A file whose log does not chain is refused at once, so the target also plays the sender who knows how to
// chain one: rows that were changed get the hashes that belong to them. Whatever is then taken in must be a tasting that every
// command can use.

#include "laws.hpp"
#include "oddplate/tasting/outcome.hpp"
#include "oddplate/tasting/parcel.hpp"
#include "oddplate/tasting/plan_json.hpp"
#include "oddplate/tasting/proof.hpp"
#include "oddplate/tasting/seating.hpp"
#include "unit/tasting/memory_book.hpp"

using namespace oddplate;
using namespace oddplate::tasting;

namespace {

void chain_anew(core::Json& file) {
    const core::Json* id = file.find("id");
    const core::Json* log = file.find("log");
    if (id == nullptr || !id->is_string() || log == nullptr || !log->is_array()) return;
    core::Json rows = *log;
    std::string previous;
    std::int64_t seq = 0;
    for (core::Json& item : rows.as_array()) {
        LogRow row{.seq = ++seq, .kind = {}, .at = {}, .body = {}, .hash = {}};
        for (const auto& [key, into] : {std::pair{"kind", &row.kind}, {"at", &row.at}, {"body", &row.body}})
            if (const core::Json* value = item.find(key); value != nullptr && value->is_string()) *into = value->as_string();
        if (!item.is_object()) return;
        row.hash = previous = chain_hash(previous, id->as_string(), row);
        item.set("seq", row.seq);
        item.set("hash", row.hash);
    }
    file.set("log", std::move(rows));
}

/// The seal number of a draw that was changed, as its sender would write it.
void seal_anew(core::Json& file) {
    const core::Json *log = file.find("log"), *room_text = file.find("room"), *key_text = file.find("key");
    if (log == nullptr || !log->is_array() || room_text == nullptr || !room_text->is_string() || key_text == nullptr || !key_text->is_string()) return;
    const auto room = room_from_text(room_text->as_string());
    const auto key = key_from_text(key_text->as_string());
    if (!room || !key) return;
    core::Json rows = *log;
    methods::Plan plan;
    for (core::Json& item : rows.as_array()) {
        const core::Json *kind = item.find("kind"), *body = item.find("body");
        if (kind == nullptr || body == nullptr || !kind->is_string() || !body->is_string()) return;
        auto read = core::parse_json(body->as_string());
        if (!read || !read->is_object()) continue;
        if (kind->as_string() == kinds::planned && read->find("plan") != nullptr) {
            auto planned = read_plan(core::to_text(*read->find("plan")), "plan");
            if (planned) plan = std::move(*planned);
        } else if (kind->as_string() == kinds::drawn) {
            read->set("fingerprint", fingerprint(plan, *room, *key, draw::k_draw_version));
            item.set("body", core::to_canonical_text(*read));
        }
    }
    file.set("log", std::move(rows));
}

void use(Keeper& keeper, const std::string& id) {
    auto state = keeper.load(id);
    fuzz::holds(state.ok(), "what was taken in can be loaded");
    const auto rows = keeper.book().rows(id, 0);
    fuzz::holds(rows.ok(), "its log can be read");
    if (state->draws.empty()) return;
    const Reconciliation slips = reconcile(*state);
    fuzz::holds(slips.printed == slips.dealt + slips.left_over, "slips add up");
    auto paper = keeper.key(*state);
    std::optional<KeyPaper> known;
    if (fuzz::taken(paper)) known = *paper;
    for (const Proof& proof : prove(*state, *rows, known, {})) fuzz::holds(proof.holds.value_or(true), "what was taken in proves itself");
    if (known) fuzz::taken(outcome_of(*state, *known));
}

void take(const std::string& text) {
    const auto parcel = unpack(text, "sent.json");
    if (!fuzz::taken(parcel)) return;
    testing::MemoryBook book;
    const testing::TickingClock clock;
    Keeper keeper(book, clock);
    if (!fuzz::taken(take_in(keeper, *parcel))) return;
    use(keeper, parcel->id);
    const auto out = pack(keeper, parcel->id);
    fuzz::holds(out.ok(), "what was taken in can be sent on");
    const auto again = unpack(*out, "again.json");
    fuzz::holds(again.ok(), "and is read again");
    testing::MemoryBook other;
    Keeper elsewhere(other, clock);
    fuzz::holds(take_in(elsewhere, *again).ok(), "and taken in elsewhere");
    const auto twice = pack(elsewhere, parcel->id);
    fuzz::holds(twice.ok() && *twice == *out, "and is the same file then");
}

}   // namespace

extern "C" int LLVMFuzzerTestOneInput(const std::uint8_t* data, std::size_t size) {
    const std::string text(fuzz::text_of(data, size));
    take(text);
    auto file = core::parse_json(text);
    if (!file || !file->is_object()) return 0;
    seal_anew(*file);
    chain_anew(*file);
    take(core::to_text(*file));
    return 0;
}
