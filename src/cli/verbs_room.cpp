// The evening itself: what the room may see, what is printed, and answers coming in.

#include <algorithm>
#include <filesystem>
#include <optional>
#include <set>

#include "keyboard.hpp"
#include "oddplate/core/csv.hpp"
#include "oddplate/core/files.hpp"
#include "oddplate/core/text.hpp"
#include "oddplate/tasting/names.hpp"
#include "parts.hpp"
#include "printing.hpp"
#include "seal.hpp"

namespace oddplate::cli {
namespace {

using core::Json;

Json set_json(const tasting::State& state, const draw::RoomSet& set, std::size_t number, const core::Words& words) {
    const methods::Round& round = state.plan.rounds[static_cast<std::size_t>(set.round)];
    const std::string& spot = round.spots[static_cast<std::size_t>(set.spot)];
    Json out = Json::object();
    out.set("round", set.round + 1);
    out.set("set", number);
    out.set("method", round.method);
    out.set("spot", round.hide_spots || spot.empty() ? Json() : Json(spot));
    Json codes = Json::array();
    for (const auto& code : set.codes) codes.push(code);
    out.set("codes", std::move(codes));
    const std::string mark = round.method + ".mark";   // a method's own letter for the marked portion, as the papers have it
    if (!set.reference.empty()) out.set("reference", words.has(mark) ? words.text(mark) : set.reference);
    return out;
}

Json ballot_json(const tasting::State& state, std::size_t index, const core::Words& words) {
    const draw::RoomBallot& ballot = state.room.ballots[index];
    Json out = Json::object();
    out.set("ballot", state.ballot_name(static_cast<int>(index)));
    const auto named = state.tasters.find(static_cast<int>(index));
    out.set("taster", named == state.tasters.end() ? Json() : Json(named->second));
    out.set("spare", ballot.spare);
    if (!state.plan.evenings.empty()) out.set("evening", state.plan.evening_at(static_cast<int>(index)) + 1);
    Json sets = Json::array();
    for (std::size_t s = 0; s < ballot.sets.size(); ++s) sets.push(set_json(state, ballot.sets[s], s + 1, words));
    out.set("sets", std::move(sets));
    return out;
}

std::string ballot_line(const tasting::State& state, std::size_t index) {
    const draw::RoomBallot& ballot = state.room.ballots[index];
    std::string line = "ballot " + state.ballot_name(static_cast<int>(index)) + (ballot.spare ? " (spare)" : "");
    if (const auto named = state.tasters.find(static_cast<int>(index)); named != state.tasters.end()) line += " " + named->second;
    for (std::size_t s = 0; s < ballot.sets.size(); ++s) {
        const auto& round = state.plan.rounds[static_cast<std::size_t>(ballot.sets[s].round)];
        const std::string& spot = round.spots[static_cast<std::size_t>(ballot.sets[s].spot)];
        line += "  |  " + std::to_string(s + 1) + (round.hide_spots || spot.empty() ? "" : " " + spot) + ": " + core::joined(ballot.sets[s].codes, " ");
    }
    return line;
}

core::Result<ExitCode> ballots(Call& call) {
    const auto desk = open_desk(call);
    if (!desk) return desk.faults();
    const auto state = desk->keeper->load(call.value("ID"));
    if (!state) return state.faults();
    if (state->draws.empty()) return core::fault(core::ErrorKind::conflict, "not-drawn", state->id + " has no ballots yet: run `oddplate draw " + state->id + "` first");
    const std::size_t ballots = state->room.ballots.size();
    if (!call.json()) {
        for (std::size_t b = 0; b < ballots; ++b) call.say(ballot_line(*state, b));
        return 0;
    }
    RowsOut rows(call);
    for (std::size_t b = 0; b < ballots; ++b) rows.add(ballot_json(*state, b, call.words));
    rows.end();
    return 0;
}

core::Result<std::vector<tasting::IncomingAnswer>> read_answers(const std::string& path) {
    const auto bytes = core::read_file(path);
    if (!bytes) return bytes.faults();
    auto table = core::parse_csv(*bytes);
    if (!table) return core::within(table.faults(), path);
    if (table->column("set") < 0) std::replace(table->header.begin(), table->header.end(), std::string("tray"), std::string("set"));   // the papers call it a tray
    if (auto columns = core::expect_columns(*table, {"ballot", "set", "answer"}, {"taster", "note"}); !columns) return core::within(columns.faults(), path);
    const auto cell = [&](const core::CsvRow& row, const char* name) {
        const int column = table->column(name);
        return column < 0 ? std::string() : core::trimmed(row.cells[static_cast<std::size_t>(column)]);
    };
    std::vector<tasting::IncomingAnswer> answers;
    answers.reserve(table->rows.size());
    for (const auto& row : table->rows)
        answers.push_back({.line = row.line, .ballot = cell(row, "ballot"), .set = cell(row, "set"), .answer = cell(row, "answer"), .taster = cell(row, "taster"), .note = cell(row, "note")});
    return answers;
}

core::Faults rejection_faults(const std::string& path, const std::vector<tasting::Rejection>& rejected) {
    core::Faults faults;
    for (const auto& rejection : rejected)
        faults.push_back(core::fault(core::ErrorKind::bad_value, "answer-refused", rejection.reason, path + ":" + std::to_string(rejection.line)));
    return faults;
}

/// Whether an answer in codes names one of the tray that it says it is from; nothing where it is in no codes or there is no such tray.
std::optional<bool> fits_its_tray(const tasting::State& state, const tasting::IncomingAnswer& answer) {
    const int ballot = state.ballot_of(answer.ballot);
    if (ballot < 0 || answer.answer.empty() || answer.answer[0] < '0' || answer.answer[0] > '9') return std::nullopt;
    const auto& sets = state.room.ballots[static_cast<std::size_t>(ballot)].sets;
    for (std::size_t s = 0; s < sets.size(); ++s)
        if (answer.set == std::to_string(s + 1))
            return std::any_of(sets[s].codes.begin(), sets[s].codes.end(), [&](const std::string& code) { return answer.answer.find(code) != std::string::npos; });
    return std::nullopt;
}

/// A file of another tasting is one fault, not one a line: several answers in codes, and not one code on its tray.
core::Status refuse_other_tasting(const tasting::State& state, const std::vector<tasting::IncomingAnswer>& answers, const std::string& path) {
    constexpr int k_enough = 3;
    int asked = 0;
    for (const auto& answer : answers) {
        const auto fits = fits_its_tray(state, answer);
        if (fits == true) return core::Done{};
        asked += fits ? 1 : 0;
    }
    if (asked < k_enough) return core::Done{};
    return core::fault(core::ErrorKind::bad_file, "other-tasting",
                       "not one of its " + std::to_string(asked) + " answers in codes fits a slip of " + state.id + " (" + tasting::two_words(state.id) +
                           "), so it is another tasting's file; `oddplate tastings` lists them",
                       path);
}

core::Result<ExitCode> enter_file(Call& call, tasting::Keeper& keeper, const std::string& id) {
    const std::string path = call.value("--csv");
    auto state = keeper.load(id);
    if (!state) return state.faults();
    const auto answers = read_answers(path);
    if (!answers) return answers.faults();
    if (auto own = state->draws.empty() ? core::Status(core::Done{}) : refuse_other_tasting(*state, *answers, path); !own) return own.faults();
    const bool keep_good = call.has("--keep-good");
    const auto intake = keeper.enter(*state, *answers, "csv", keep_good, call.has("--late"));
    if (!intake) return intake.faults();
    if (!intake->rejected.empty() && !keep_good) return rejection_faults(path, intake->rejected);
    if (call.json()) {
        Json rejected = Json::array();
        for (const auto& rejection : intake->rejected) {
            Json item = Json::object();
            item.set("line", rejection.line);
            item.set("reason", rejection.reason);
            rejected.push(std::move(item));
        }
        Json out = Json::object();
        out.set("accepted", intake->accepted);
        out.set("already", intake->already);
        out.set("rejected", std::move(rejected));
        call.print(out);
        return 0;
    }
    call.say(counted(intake->accepted, "answer", "answers") + " kept, " + counted(intake->already, "was", "were") + " there already, " + core::with_commas(static_cast<long long>(intake->rejected.size())) + " refused");
    for (const auto& rejection : intake->rejected) call.say("  line " + std::to_string(rejection.line) + ": " + rejection.reason);
    std::set<int> typed;
    for (const auto& [place, answer] : state->answers) typed.insert(place.first);
    call.say(call.words.text(call.has("--late") ? "keyboard.end_late" : "keyboard.end",
                             {{"n", static_cast<std::int64_t>(state->answers.size())}, {"ballots", static_cast<std::int64_t>(typed.size())}, {"id", call.named(id)}}));
    return 0;
}

core::Result<ExitCode> enter(Call& call) {
    if (call.has("--late") && call.has("--second")) return core::fault(core::ErrorKind::usage, "usage", "--late and --second exclude each other");
    const auto desk = open_desk(call);
    if (!desk) return desk.faults();
    const std::string id = call.value("ID");
    if (call.has("--csv")) {
        if (call.has("--second")) return core::fault(core::ErrorKind::usage, "usage", "--second is typed at the keyboard, without --csv");
        return enter_file(call, *desk->keeper, id);
    }
    if (call.has("--keep-good")) return core::fault(core::ErrorKind::usage, "usage", "--keep-good goes with --csv FILE");
    if (call.json()) return core::fault(core::ErrorKind::usage, "usage", "--json goes with --csv FILE; at the keyboard every line is answered as it is typed");
    return call.has("--second") ? type_second_pass(call, *desk->keeper, id) : type_answers(call, *desk->keeper, id, call.has("--late"));
}

core::Result<ExitCode> print(Call& call) {
    const auto desk = open_desk(call);
    if (!desk) return desk.faults();
    return print_papers(call, *desk->keeper, call.value("ID"), call.value("--into"));
}

}   // namespace

std::vector<Verb> room_verbs() {
    const Flag id{"ID", "ID", "the tasting, as `new` named it", true};
    return {
        {.name = "ballots",
         .summary = "what may be seen in the room: ballots, sets and codes",
         .flags = {id},
         .run = ballots,
         .examples = {"oddplate ballots bcdfghjk", "oddplate ballots bcdfghjk --json"},
         .uses_book = true},
        {.name = "print",
         .summary = "write the papers: room/ for the room, kitchen/ for the kitchen only",
         .flags = {id,
                   {"--into", "FOLDER", "the folder they go into", true},
                   {"--date", "TEXT", "the evening's date as it stands on the pages, such as \"14 June\"", false},
                   {"--evening", "N", "of several evenings the one whose papers these are (default: the next that is not over)", false},
                   {"--paper", "SIZE", "a4 (default) or letter", false},
                   {"--language", "CODE", "of the papers: en (default), es, fr or de", false},
                   {"--mat", "", "tray mats too", false},
                   {"--blind-tubs", "", "kitchen pages by tub letter, so that the kitchen does not know either", false},
                   {"--slip", "", "only the bearer's slip: which letter goes on which tub (with a seal: the envelope for its words too)", false},
                   k_words_flag,
                   {"--labels", "CxR", "labels a sheet, columns x rows (default 3x8, on letter 3x7)", false},
                   {"--label-size", "WxH", "label width x height in mm (default 70x36)", false},
                   {"--first-label", "N", "first free label of the sheet (default 1)", false},
                   {"--shift", "X,Y", "the printer's shift in mm, read off the calibration page", false}},
         .run = print,
         .examples = {"oddplate print bcdfghjk --into papers", "oddplate print bcdfghjk --into papers --blind-tubs --paper letter --language es"},
         .uses_book = true},
        {.name = "enter",
         .summary = "take in answers: a CSV file, or typed slip by slip (reads the keyboard or standard input)",
         .flags = {id,
                   {"--csv", "FILE", "columns ballot,set,answer[,taster,note]; - is standard input", false},
                   {"--keep-good", "", "keep the good rows of a file that has bad ones", false},
                   {"--late", "", "after close: kept and marked, never in the verdict", false},
                   {"--second", "", "an independent second pass; only differences are shown", false}},
         .run = enter,
         .examples = {"oddplate enter bcdfghjk", "oddplate enter bcdfghjk --csv answers.csv --json"},
         .uses_book = true},
    };
}

}   // namespace oddplate::cli
