// The file holds the log as it is, so that import followed by export gives the same bytes.

#include "oddplate/tasting/parcel.hpp"

#include <algorithm>

#include "oddplate/core/sealed_box.hpp"
#include "oddplate/core/text.hpp"
#include "oddplate/tasting/names.hpp"
#include "oddplate/tasting/proof.hpp"
#include "oddplate/tasting/seating.hpp"

namespace oddplate::tasting {
namespace {

using core::Json;

core::Error not_ours(const std::string& file, const std::string& why) {
    return core::fault(core::ErrorKind::bad_file, "not-a-tasting", "found " + why + ", expected a file written by `oddplate export`", file);
}

core::Result<LogRow> row_from(const Json& item, const std::string& file) {
    LogRow row;
    const Json* seq = item.find("seq");
    if (seq == nullptr || !seq->is_integer()) return not_ours(file, "a log row without its number");
    row.seq = seq->as_integer();
    const std::pair<const char*, std::string*> parts[] = {{"kind", &row.kind}, {"at", &row.at}, {"body", &row.body}, {"hash", &row.hash}};
    for (const auto& [key, into] : parts) {
        const Json* value = item.find(key);
        if (value == nullptr || !value->is_string()) return not_ours(file, "log row " + std::to_string(row.seq) + " without its " + key);
        *into = value->as_string();
    }
    return row;
}

core::Status read_papers(const Json& json, const std::string& file, Parcel& parcel) {
    const std::pair<const char*, std::optional<std::string>*> papers[] = {{"room", &parcel.room}, {"key", &parcel.key}, {"sealed", &parcel.sealed}};
    for (const auto& [key, into] : papers) {
        const Json* value = json.find(key);
        if (value == nullptr || value->is_null()) continue;
        if (!value->is_string()) return not_ours(file, std::string("a ") + key + " that is no text");
        *into = value->as_string();
    }
    return core::Done{};
}

bool same_rows(const std::vector<LogRow>& a, const std::vector<LogRow>& b, std::size_t n) {
    return std::equal(a.begin(), a.begin() + static_cast<std::ptrdiff_t>(n), b.begin(), [](const LogRow& x, const LogRow& y) { return x.hash == y.hash; });
}

/// The key, which belongs to the draw that the log tells of.
core::Result<KeyPaper> check_key(const State& state, const std::string& key_text) {
    if (state.draws.empty()) return core::fault(core::ErrorKind::bad_file, "key-without-draw", "the file has a list of codes but no draw");
    auto paper = key_of(state, key_text);
    if (!paper) return paper;
    if (fingerprint(state.plan, state.room, *paper, state.draw().draw_version) != state.draw().fingerprint)
        return core::fault(core::ErrorKind::bad_file, "seal-broken", "the list of codes or the ballots in the file are not those that were drawn: the seal number differs");
    return paper;
}

/// What `verify` says of the file must not be worse once it is in the book.
core::Status check_proofs(const State& state, const Parcel& parcel, const std::optional<KeyPaper>& paper) {
    for (const Proof& proof : prove(state, parcel.rows, paper, {}))
        if (proof.holds.has_value() && !*proof.holds) return core::fault(core::ErrorKind::bad_file, "not-proved", "the file does not prove itself: " + proof.says);
    return core::Done{};
}

/// A box cannot be looked into without its words; they will show whether it holds what was drawn.
core::Status check_sealed(const State& state, const std::string& box) {
    if (state.draws.empty() || !state.draw().sealed)
        return core::fault(core::ErrorKind::bad_file, "box-without-draw", "the file has a sealed list of codes but its last draw was not sealed");
    return core::check_box(box);
}

core::Status write_all(Keeper& keeper, const Parcel& parcel, const State& state, std::size_t have) {
    Book& book = keeper.book();
    if (have == 0)
        if (auto status = book.begin_tasting(parcel.id); !status) return status;
    for (std::size_t i = have; i < parcel.rows.size(); ++i)
        if (auto status = book.append(parcel.id, parcel.rows[i]); !status) return status;
    if (state.draws.empty()) return core::Done{};
    const int number = state.draw().number;
    const std::pair<Paper, const std::optional<std::string>*> papers[] = {{Paper::room, &parcel.room}, {Paper::key, &parcel.key}, {Paper::sealed, &parcel.sealed}};
    for (const auto& [paper, text] : papers) {
        if (!*text) continue;
        const auto there = book.paper(parcel.id, paper, number);
        if (!there) return there.faults();
        if (*there) continue;   // the book that drew it has its own
        if (auto status = book.keep(parcel.id, paper, number, **text); !status) return status;
    }
    return core::Done{};
}

}   // namespace

core::Result<std::string> pack(Keeper& keeper, const std::string& id) {
    auto state = keeper.load(id);
    if (!state) return state.faults();
    const auto rows = keeper.book().rows(id, 0);
    if (!rows) return rows.faults();
    Json log = Json::array();
    for (const LogRow& row : *rows) {
        Json item = Json::object();
        item.set("seq", row.seq);
        item.set("kind", row.kind);
        item.set("at", row.at);
        item.set("body", row.body);
        item.set("hash", row.hash);
        log.push(std::move(item));
    }
    Json out = Json::object();
    out.set("format", "oddplate.tasting");
    out.set("version", 1);
    out.set("id", id);
    out.set("log", std::move(log));
    if (!state->draws.empty()) {
        out.set("room", room_to_text(state->room));
        if (state->is_opened()) {
            const auto key = keeper.book().paper(id, Paper::key, state->draw().number);
            if (!key) return key.faults();
            if (*key) out.set("key", **key);
        }
        const auto sealed = keeper.book().paper(id, Paper::sealed, state->draw().number);
        if (!sealed) return sealed.faults();
        if (*sealed) out.set("sealed", **sealed);
    }
    return to_canonical_text(out) + "\n";
}

core::Result<Parcel> unpack(std::string_view text, const std::string& file) {
    auto json = core::parse_json(text);
    if (!json) return core::within(json.faults(), file);
    const Json* format = json->find("format");
    if (format == nullptr || !format->is_string() || format->as_string() != "oddplate.tasting") return not_ours(file, "no tasting");
    const Json* version = json->find("version");
    if (version == nullptr || !version->is_integer() || version->as_integer() != 1)
        return not_ours(file, "version " + (version == nullptr ? std::string("none") : core::describe(*version)) + " of the format");
    const Json* id = json->find("id");
    const Json* log = json->find("log");
    if (id == nullptr || !id->is_string() || !is_id(id->as_string())) return not_ours(file, "no id of eight letters");
    if (log == nullptr || !log->is_array() || log->as_array().empty()) return not_ours(file, "no log");
    Parcel parcel{.id = id->as_string(), .rows = {}, .room = {}};
    for (const Json& item : log->as_array()) {
        auto row = row_from(item, file);
        if (!row) return row.faults();
        parcel.rows.push_back(std::move(*row));
    }
    if (auto chained = check_chain(parcel.id, parcel.rows); !chained) return core::within(chained.faults(), file);
    if (auto read = read_papers(*json, file, parcel); !read) return read.faults();
    return parcel;
}

core::Result<State> state_of(const Parcel& parcel) {
    State state;
    state.id = parcel.id;
    if (auto folded = fold(state, parcel.rows); !folded) return folded.faults();
    if (!state.draws.empty()) {
        if (!parcel.room) return core::fault(core::ErrorKind::bad_file, "room-missing", "the file tells of a draw but has no ballots");
        if (auto seated = seat(state, *parcel.room); !seated) return seated.faults();
    }
    return state;
}

core::Result<TakenIn> take_in(Keeper& keeper, const Parcel& parcel) {
    const auto state = state_of(parcel);
    if (!state) return state.faults();
    std::optional<KeyPaper> paper;
    if (parcel.key) {
        auto key = check_key(*state, *parcel.key);
        if (!key) return key.faults();
        paper = std::move(*key);
    }
    if (auto proved = check_proofs(*state, parcel, paper); !proved) return proved.faults();
    if (parcel.sealed)
        if (auto fits = check_sealed(*state, *parcel.sealed); !fits) return fits.faults();
    Transaction transaction(keeper.book());
    if (auto begun = transaction.begin(); !begun) return begun.faults();
    const auto here = keeper.book().rows(parcel.id, 0);
    if (!here) return here.faults();
    const std::size_t shared = std::min(here->size(), parcel.rows.size());
    if (!same_rows(*here, parcel.rows, shared)) {
        return core::fault(core::ErrorKind::conflict, "other-history",
                           "the book has a tasting " + parcel.id + " with another history: the two went different ways after row " +
                               std::to_string(std::mismatch(here->begin(), here->begin() + static_cast<std::ptrdiff_t>(shared), parcel.rows.begin(),
                                                            [](const LogRow& x, const LogRow& y) { return x.hash == y.hash; }).first - here->begin()));
    }
    const std::size_t have = here->size();
    if (have > parcel.rows.size()) return TakenIn::older_than_here;
    if (auto written = write_all(keeper, parcel, *state, have); !written) return written.faults();
    if (auto status = transaction.commit(); !status) return status.faults();
    if (have == 0) return TakenIn::new_tasting;
    return have == parcel.rows.size() ? TakenIn::there_already : TakenIn::further_acts;
}

}   // namespace oddplate::tasting
