// Closing, opening, judging, proving.

#include <unistd.h>

#include <algorithm>
#include <cmath>

#include "oddplate/core/files.hpp"
#include "oddplate/core/text.hpp"
#include "oddplate/report/lines.hpp"
#include "oddplate/report/results.hpp"
#include "oddplate/tasting/evenings.hpp"
#include "oddplate/tasting/outcome.hpp"
#include "oddplate/tasting/parcel.hpp"
#include "oddplate/tasting/proof.hpp"
#include "oddplate/tasting/seating.hpp"
#include "parts.hpp"
#include "seal.hpp"

namespace oddplate::cli {
namespace {

using core::Json;

std::vector<std::pair<const char*, int>> numbers_of(const tasting::Reconciliation& counts) {
    return {{"printed", counts.printed}, {"dealt", counts.dealt}, {"left_over", counts.left_over}, {"spoiled", counts.spoiled}, {"sets_dealt", counts.sets_dealt},
            {"answered", counts.answered}, {"blank", counts.blank}, {"void", counts.void_}, {"not_served", counts.not_served}, {"missing", counts.missing}};
}

Json counts_json(const tasting::Reconciliation& counts) {
    Json out = Json::object();
    for (const auto& [key, value] : numbers_of(counts)) out.set(key, value);
    return out;
}

void say_counts(Call& call, const tasting::Reconciliation& counts) {
    std::map<std::string, core::Argument> args;
    for (const auto& [key, value] : numbers_of(counts)) args[key] = std::int64_t{value};
    call.say(call.words.text("close.ballots", args));
    call.say(call.words.text("close.trays", args));
}

/// A look that the plan named: what it says is one word, whether the tasting may end; nothing of how the answers lie.
core::Result<bool> look(Call& call, tasting::Keeper& keeper, const std::string& id, int evening) {
    auto state = keeper.load(id);
    if (!state) return state.faults();
    auto opened = open_key(call, keeper, *state, true);
    if (!opened) return opened.faults();
    const auto may_end = tasting::may_end(*state, opened->paper, evening);
    if (!may_end) return may_end.faults();
    if (auto noted = keeper.note_look(id, evening, *may_end); !noted) return noted.faults();
    return *may_end;
}

/// Closing can't be undone, so a person is asked to look at the pile again; a script has said what it wants, and is told.
core::Result<std::string> look_again(const Call& call, const tasting::State& state) {
    if (call.has("--yes") || !state.is_open_for_entry() || state.answers.empty()) return std::string();
    if (isatty(STDIN_FILENO) != 0)
        if (auto pile = tasting::look_at_pile(state); !pile) return pile.faults();
    return tasting::short_of(state);
}

/// Counts only, until the last evening: then the tasting is closed.
core::Result<ExitCode> close_evening(Call& call, tasting::Keeper& keeper, const tasting::State& before) {
    const std::string& id = before.id;
    const auto number = number_flag(call, "--evening");
    if (!number || *number != std::floor(*number) || *number < 1 || *number > 20)
        return core::found("--evening", "\"" + core::quoted(call.value("--evening")) + "\"", "the number of an evening such as 1");
    const int evening = static_cast<int>(*number) - 1;
    const bool names_look = std::find(before.plan.looks.begin(), before.plan.looks.end(), evening + 1) != before.plan.looks.end();
    if (names_look && !call.has("--words"))   // asked for before anything is changed
        if (const auto words = words_if_locked(call, keeper, before); !words) return words.faults();
    const bool is_planned = evening < static_cast<int>(before.plan.evenings.size());
    const auto lacks = is_planned && !before.is_over(evening) ? look_again(call, tasting::part_of(before, evening).state) : core::Result<std::string>(std::string());
    if (!lacks) return lacks.faults();
    const auto closed = keeper.close_evening(id, evening, call.has("--yes"));
    if (!closed) return closed.faults();
    if (!lacks->empty()) call.tell("closed all the same: " + *lacks);
    Json out = counts_json(closed->counts).set("evening", evening + 1).set("evenings_left", closed->left);
    std::string next = "close.evening.next";
    if (closed->left == 0) {
        if (auto all = keeper.close(id, true); !all) return all.faults();
        next = "close.evening.last";
    } else if (names_look) {
        const auto ended = look(call, keeper, id, evening);
        if (!ended) return ended.faults();
        out.set("may_end", *ended);
        next = *ended ? "close.evening.may_end" : "close.evening.go_on";
    }
    if (call.json()) {
        call.print(out);
        return 0;
    }
    say_counts(call, closed->counts);
    call.answer += report::lines_of(call.words.text(next, {{"id", call.named(id)}, {"n", std::int64_t{evening + 1}}, {"left", std::int64_t{closed->left}}}));
    for (int earlier = 0; earlier < evening; ++earlier)
        if (!before.is_over(earlier)) call.answer += report::lines_of(call.words.text("close.evening.earlier", {{"id", call.named(id)}, {"n", std::int64_t{earlier + 1}}}));
    return 0;
}

core::Result<ExitCode> close(Call& call) {
    const auto desk = open_desk(call);
    if (!desk) return desk.faults();
    const std::string id = call.value("ID");
    const auto state = desk->keeper->load(id);
    if (!state) return state.faults();
    if (call.has("--evening")) return close_evening(call, *desk->keeper, *state);
    const auto lacks = look_again(call, *state);
    if (!lacks) return lacks.faults();
    const auto counts = desk->keeper->close(id, call.has("--yes"));
    if (!counts) return counts.faults();
    if (!lacks->empty()) call.tell("closed all the same: " + *lacks);
    if (call.json()) {
        call.print(counts_json(*counts));
        return 0;
    }
    say_counts(call, *counts);
    call.say("Next: oddplate judge " + call.named(id));
    return 0;
}

/// One portion as the list of codes shows it.
struct Portion {
    std::string ballot;
    std::size_t set;
    const std::string &code, &version, &spot;
    int piece;
    bool is_blank;   ///< of a tray of one recipe against itself
};

template <class Take>
void each_portion(const tasting::State& state, const draw::Key& key, Take take) {
    for (std::size_t b = 0; b < key.ballots.size(); ++b) {
        for (std::size_t s = 0; s < key.ballots[b].sets.size(); ++s) {
            const draw::RoomSet& room = state.room.ballots[b].sets[s];
            const auto& spots = state.plan.rounds[static_cast<std::size_t>(room.round)].spots;
            const draw::KeySet& hidden = key.ballots[b].sets[s];
            const auto row = [&](const std::string& code, int version, int piece) {
                take(Portion{state.ballot_name(static_cast<int>(b)), s + 1, code,
                             state.plan.versions[static_cast<std::size_t>(version)].id, spots[static_cast<std::size_t>(room.spot)], piece + 1,
                             hidden.is_blank()});
            };
            if (!room.reference.empty()) row(room.reference, hidden.reference, hidden.reference_piece);
            for (std::size_t p = 0; p < hidden.portions.size(); ++p) row(room.codes[p], hidden.portions[p].version, hidden.portions[p].piece);
        }
    }
}

std::string portion_line(const Portion& portion) {
    return "ballot " + portion.ballot + "  set " + std::to_string(portion.set) + "  " + portion.code + "  " + portion.version +
           (portion.spot.empty() ? "" : "  " + portion.spot) + "  piece " + std::to_string(portion.piece) + (portion.is_blank ? "  blank tray" : "");
}

Json portion_json(const Portion& portion) {
    Json item = Json::object();
    item.set("ballot", portion.ballot);
    item.set("set", portion.set);
    item.set("code", portion.code);
    item.set("version", portion.version);
    item.set("spot", portion.spot.empty() ? Json() : Json(portion.spot));
    item.set("piece", portion.piece);
    if (portion.is_blank) item.set("blank", true);
    return item;
}

core::Result<ExitCode> key(Call& call) {
    const auto desk = open_desk(call);
    if (!desk) return desk.faults();
    const auto state = desk->keeper->load(call.value("ID"));
    if (!state) return state.faults();
    if (state->stage != tasting::Stage::closed && !state->draws.empty())
        return core::fault(core::ErrorKind::conflict, "still-closed", "the list of codes of " + state->id + " opens after `oddplate close " + state->id + "`, when the answers are in");
    const auto opened = open_key(call, *desk->keeper, *state);
    if (!opened) return opened.faults();
    if (!call.json()) {
        each_portion(*state, opened->paper.key, [&](const Portion& portion) { call.say(portion_line(portion)); });
        return 0;
    }
    RowsOut rows(call);
    each_portion(*state, opened->paper.key, [&](const Portion& portion) { rows.add(portion_json(portion)); });
    rows.end();
    return 0;
}

/// The words are tried before the opening is put on record: wrong ones change nothing.
core::Status open_early(Call& call, tasting::Keeper& keeper, const std::string& id) {
    const auto state = keeper.load(id);
    if (!state) return state.faults();
    std::optional<OpenedKey> opened;
    if (const auto locked = keeper.is_locked(*state); !locked) {
        return locked.faults();
    } else if (*locked && !state->is_opened()) {
        auto key = open_key(call, keeper, *state, true);
        if (!key) return key.faults();
        opened = std::move(*key);
    }
    if (auto early = keeper.open_early(id, call.value("--unblind-early")); !early) return early;
    return opened ? keeper.unlock(id, opened->paper) : core::Status(core::Done{});
}

core::Result<ExitCode> judge(Call& call) {
    const auto desk = open_desk(call);
    if (!desk) return desk.faults();
    const std::string id = call.value("ID");
    if (call.has("--unblind-early"))
        if (auto early = open_early(call, *desk->keeper, id); !early) return early.faults();
    auto state = desk->keeper->load(id);
    if (!state) return state.faults();
    auto opened = open_key(call, *desk->keeper, *state);
    if (!opened) return opened.faults();
    const auto outcome = tasting::outcome_of(*state, opened->paper);
    if (!outcome) return outcome.faults();
    const auto earlier = tasting::earlier_of(*desk->keeper, *state);
    if (!earlier) return earlier.faults();
    if (call.json()) call.print(report::outcome_json(*state, *outcome, *earlier, call.words));
    else {
        const bool numbers = call.has("--numbers");
        call.answer += report::outcome_text(*state, *outcome, *earlier, call.words, numbers ? report::Depth::numbers : report::Depth::words);
        if (!numbers) call.answer += "\n" + report::lines_of(call.words.text("results.next", {{"id", call.named(id)}}));
    }
    return 0;
}

/// What is proved: a tasting of the book, or an exported file.
struct Subject {
    tasting::State state;
    std::vector<tasting::LogRow> rows;
    std::optional<tasting::KeyPaper> key;
};

core::Result<Subject> subject_in_file(const std::string& path) {
    const auto text = core::read_file(path);
    if (!text) return text.faults();
    auto parcel = tasting::unpack(*text, path);
    if (!parcel) return parcel.faults();
    auto state = tasting::state_of(*parcel);
    if (!state) return core::within(state.faults(), path);
    Subject subject{.state = std::move(*state), .rows = parcel->rows, .key = std::nullopt};
    if (parcel->key) {
        auto paper = tasting::key_of(subject.state, *parcel->key);
        if (!paper) return core::within(paper.faults(), path);
        subject.key = std::move(*paper);
    }
    return subject;
}

core::Result<Subject> subject_in_book(Call& call, const std::string& id) {
    const auto desk = open_desk(call);
    if (!desk) return desk.faults();
    auto state = desk->keeper->load(id);
    if (!state) return state.faults();
    auto rows = desk->keeper->book().rows(id, 0);
    if (!rows) return rows.faults();
    Subject subject{.state = std::move(*state), .rows = std::move(*rows), .key = std::nullopt};
    if (subject.state.is_opened()) {
        auto paper = desk->keeper->key(subject.state);
        if (paper) subject.key = std::move(*paper);
        else if (const auto& code = paper.faults().front().code; code != "key-elsewhere" && code != "words-needed") return paper.faults();
    }
    return subject;
}

core::Result<ExitCode> verify(Call& call) {
    const std::string what = call.value("FILE|ID");
    if (call.has("--printed") && !core::is_seal_text(call.value("--printed")))
        return core::found("--printed", "\"" + core::quoted(call.value("--printed")) + "\"", "the seal number of a page, 24 hexadecimal digits such as 9F2C-71AB-03DE-5510-8C2A-F00D (or all 64 of its QR code)");
    const bool is_file = what.find('/') != std::string::npos || what.find('.') != std::string::npos;
    auto subject = is_file ? subject_in_file(what) : subject_in_book(call, what);
    if (!subject) return subject.faults();
    subject->state.answers.clear();   // no proof looks at them, and drawing again needs the room
    const auto proofs = tasting::prove(subject->state, subject->rows, subject->key, call.value("--printed"));
    bool broken = false, complete = true;
    Json list = Json::array();
    for (const auto& proof : proofs) {
        broken |= proof.holds.has_value() && !*proof.holds;
        complete &= proof.holds.has_value();
        Json item = Json::object();
        item.set("check", proof.id);
        item.set("holds", proof.holds ? Json(*proof.holds) : Json());
        item.set("words", proof.says);
        list.push(std::move(item));
        if (!call.json()) call.say((!proof.holds ? "?  " : *proof.holds ? "ok " : "NO ") + proof.says);
    }
    if (call.json()) {
        Json out = Json::object();
        out.set("tasting", subject->state.id);
        out.set("fingerprint", subject->state.draws.empty() ? Json() : Json(subject->state.draw().fingerprint));
        out.set("log_head", subject->state.head);
        out.set("draws", subject->state.draws.size());
        out.set("holds", !broken);
        out.set("complete", complete && !broken);
        out.set("checks", std::move(list));
        call.print(out);
    } else if (subject->state.draws.size() > 1) {
        call.say("   drawn " + std::to_string(subject->state.draws.size()) + " times; the last draw holds");
    }
    return broken ? 1 : 0;
}

}   // namespace

std::vector<Verb> verdict_verbs() {
    const Flag id{"ID", "ID", "the tasting, as `new` named it", true};
    return {
        {.name = "close",
         .summary = "end entry; from here on the list of codes may be opened",
         .flags = {id, {"--yes", "", "close although answers are missing or the pile has a gap or is hardly begun (on a terminal `close` then says what is short and waits)", false},
                   {"--evening", "N", "of several evenings end this one: counts only; the list of codes opens after the last", false},
                   k_words_flag},
         .run = close,
         .examples = {"oddplate close bcdfghjk", "oddplate close bcdfghjk --yes --json"},
         .uses_book = true},
        {.name = "key",
         .summary = "the list of codes, after close",
         .flags = {id, k_words_flag},
         .run = key,
         .examples = {"oddplate key bcdfghjk", "oddplate key bcdfghjk --words words.txt --json"},
         .uses_book = true},
        {.name = "judge",
         .summary = "the verdict in words; every number and check with --numbers",
         .flags = {id, {"--numbers", "", "below the words every number and every check", false}, {"--unblind-early", "REASON", "open before close; recorded, and no answer is taken in any more", false}, k_words_flag},
         .run = judge,
         .examples = {"oddplate judge bcdfghjk", "oddplate judge bcdfghjk --json"},
         .uses_book = true},
        {.name = "verify",
         .summary = "draw again and compare: was anything changed?",
         .flags = {{"FILE|ID", "FILE|ID", "a tasting, or a file written by `export`", true}, {"--printed", "XXXX-...", "the seal number that stands on the pages", false}},
         .run = verify,
         .examples = {"oddplate verify bcdfghjk --printed 9F2C-71AB-03DE-5510-8C2A-F00D", "oddplate verify tasting.json --json"},
         .uses_book = true},
    };
}

}   // namespace oddplate::cli
