// What goes wrong in a room, and what is done about it. Each act is recorded with its reason.

#include "oddplate/core/text.hpp"
#include "oddplate/tasting/typed.hpp"
#include "parts.hpp"
#include "seal.hpp"
#include "typing.hpp"

namespace oddplate::cli {
namespace {

using core::Json;

core::Result<ExitCode> done(Call& call, const core::Status& status, const std::string& words) {
    if (!status) return status.faults();
    if (call.json()) {
        Json out = Json::object();
        out.set("done", true);
        call.print(out);
    } else {
        call.say(words);
    }
    return 0;
}

/// The seal's words where this tasting needs them.
core::Result<std::optional<tasting::SealWords>> words_for(Call& call, tasting::Keeper& keeper) {
    const auto state = keeper.load(call.value("ID"));
    if (!state) return state.faults();
    if (!state->is_opened()) return words_if_locked(call, keeper, *state);
    auto opened = open_key(call, keeper, *state);   // kept open, so that nobody is asked again
    if (!opened) return opened.faults();
    return std::move(opened->words);
}

core::Result<ExitCode> correct(Call& call) {
    const auto desk = open_desk(call);
    if (!desk) return desk.faults();
    const tasting::Correction correction{.ballot = call.value("--ballot"), .set = call.value("--set"), .answer = core::trimmed(call.value("--answer")),
                                         .why = call.value("--why"), .after_opening = call.has("--after-opening")};
    return done(call, desk->keeper->correct(call.value("ID"), correction), "Corrected. The old answer stays in the log.");
}

core::Result<ExitCode> hand(Call& call) {
    const auto desk = open_desk(call);
    if (!desk) return desk.faults();
    return done(call, desk->keeper->hand(call.value("ID"), call.value("--ballot"), call.value("--taster")), "Ballot " + call.value("--ballot") + " is handed out.");
}

core::Result<ExitCode> spoil(Call& call) {
    const auto desk = open_desk(call);
    if (!desk) return desk.faults();
    return done(call, desk->keeper->spoil(call.value("ID"), call.value("--ballot"), call.value("--why")), "Ballot " + call.value("--ballot") + " is spoiled: nothing on it counts.");
}

core::Result<ExitCode> swapped(Call& call) {
    const auto pair = core::split(call.value("--ballots"), ',');
    if (pair.size() != 2) return core::found("--ballots", "\"" + core::quoted(call.value("--ballots")) + "\"", "the two ballots whose trays were exchanged, such as 7,12");
    const auto desk = open_desk(call);
    if (!desk) return desk.faults();
    return done(call, desk->keeper->swap(call.value("ID"), core::trimmed(pair[0]), core::trimmed(pair[1]), call.value("--set"), call.value("--why")),
                "Noted: each of the two is scored by the tray that was eaten.");
}

core::Result<ExitCode> stop(Call& call) {
    const auto desk = open_desk(call);
    if (!desk) return desk.faults();
    return done(call, desk->keeper->stop(call.value("ID"), call.value("--spot"), call.value("--why")), "Noted: trays of that spot without an answer count as not served.");
}

/// What the usual recipe takes with it: courses in which the others are held against it.
std::string lost_with(const methods::Plan& plan, int version) {
    std::vector<std::string> courses;
    for (std::size_t round = 0; round < plan.rounds.size(); ++round)
        if (version == 0 && methods::flag(plan.rounds[round].settings, "against_usual")) courses.push_back(std::to_string(round + 1));
    if (courses.empty()) return {};
    return "It is the usual one: in course" + std::string(courses.size() == 1 ? " " : "s ") + tasting::some_names(courses) + " nothing can be held against it any more. ";
}

/// " from evening 2 on" of a recipe that ran out at an earlier one.
std::string from_when(const tasting::State& state, int version) {
    for (const tasting::WithdrawalMade& made : state.withdrawals)
        if (state.plan.version_index(made.version) == version && !made.until && made.from < state.tonight()) return " from evening " + std::to_string(state.tonight() + 1) + " on";
    return {};
}

core::Result<ExitCode> withdraw(Call& call) {
    const auto desk = open_desk(call);
    if (!desk) return desk.faults();
    const std::string id = call.value("ID"), typed = call.value("--version"), why = call.value("--why");
    const auto state = desk->keeper->load(id);
    if (!state) return state.faults();
    const int which = tasting::version_meant(state->plan, typed);
    std::string name = typed;
    if (which >= 0) {
        const methods::Version& version = state->plan.versions[static_cast<std::size_t>(which)];
        name = version.id + (version.label == version.id ? "" : " (" + version.label + ")");
    }
    if (call.has("--back")) return done(call, desk->keeper->serve_again(id, typed, why), name + " is served again" + from_when(*state, which) + ".");
    return done(call, desk->keeper->withdraw(id, typed, why),
                name + " has run out: serve trays of several without it, and type what they say of the rest; a tray that needs it is not-served. " + lost_with(state->plan, which) +
                "Print the papers again (oddplate print " + call.named(id) + " --into FOLDER): the runner's page says so then, and the kitchen's pages leave it out. " +
                    (state->plan.evenings.empty() ? "By mistake?" : "By mistake, or there again on a later evening?") + " The same with --back.");
}

core::Result<ExitCode> tubs(Call& call) {
    const std::string really = call.value("--really");
    const std::size_t equals = really.find('=');
    if (equals == std::string::npos) return core::found("--really", "\"" + core::quoted(really) + "\"", "a tub's letter and what it really held, such as K=new");
    const auto desk = open_desk(call);
    if (!desk) return desk.faults();
    const auto words = words_for(call, *desk->keeper);
    if (!words) return words.faults();
    return done(call, desk->keeper->tubs_found(call.value("ID"), call.value("--row"), really.substr(0, equals), really.substr(equals + 1), call.value("--why"), *words),
                "Noted: it stands on page 1 of the report.");
}

core::Result<ExitCode> reveal(Call& call) {
    const auto desk = open_desk(call);
    if (!desk) return desk.faults();
    const auto words = words_for(call, *desk->keeper);
    if (!words) return words.faults();
    const auto version = desk->keeper->reveal(call.value("ID"), call.value("--ballot"), call.value("--code"), call.value("--why"), *words);
    if (!version) return version.faults();
    if (call.json()) {
        Json out = Json::object();
        out.set("ballot", call.value("--ballot"));
        out.set("code", call.value("--code"));
        out.set("version", *version);
        call.print(out);
    } else {
        call.say(call.value("--code") + " is " + *version + ". Recorded; that tray no longer counts, everything else stays sealed.");
    }
    return 0;
}

}   // namespace

std::vector<Verb> mending_verbs() {
    const Flag id{"ID", "ID", "the tasting, as `new` named it", true};
    const Flag why{"--why", "REASON", "why; it stands in the report", true};
    const Flag ballot{"--ballot", "B", "the ballot's number", true};
    return {
        {.name = "correct",
         .summary = "put an answer right: a new row, the old one stays",
         .flags = {id, ballot, {"--set", "S", "the set's number on the ballot", true}, {"--answer", "A", "the right answer", true}, why,
                   {"--after-opening", "", "needed after close: both verdicts are then shown", false}},
         .run = correct,
         .examples = {"oddplate correct bcdfghjk --ballot 7 --set 2 --answer 418 --why \"misread a 1 for a 7\"",
                      "oddplate correct bcdfghjk --ballot 7 --set 2 --answer void --why \"two rings\" --after-opening"},
         .uses_book = true},
        {.name = "hand",
         .summary = "note that a ballot was dealt, and to whom",
         .flags = {id, ballot, {"--taster", "NAME", "a nickname", false}},
         .run = hand,
         .examples = {"oddplate hand bcdfghjk --ballot 7", "oddplate hand bcdfghjk --ballot 7 --taster Kim"},
         .uses_book = true},
        {.name = "spoil",
         .summary = "mark a ballot as spoiled: nothing on it counts",
         .flags = {id, ballot, why},
         .run = spoil,
         .examples = {"oddplate spoil bcdfghjk --ballot 7 --why \"left after the first tray\"", "oddplate spoil bcdfghjk --ballot 12 --why \"saw the kitchen sheet\""},
         .uses_book = true},
        {.name = "swapped",
         .summary = "two trays went to each other's ballot",
         .flags = {id, {"--ballots", "A,B", "the two ballots", true}, {"--set", "S", "the set's number", true}, why},
         .run = swapped,
         .examples = {"oddplate swapped bcdfghjk --ballots 7,12 --set 2 --why \"trays mixed up at the pass\"", "oddplate swapped bcdfghjk --ballots 3,4 --set 1 --why \"wrong seat\""},
         .uses_book = true},
        {.name = "stop",
         .summary = "a spot has run out: its trays without answer count as not served",
         .flags = {id, {"--spot", "X", "the spot", true}, why},
         .run = stop,
         .examples = {"oddplate stop bcdfghjk --spot point --why \"no more slices\"", "oddplate stop bcdfghjk --spot edge --why \"burnt\""},
         .uses_book = true},
        {.name = "withdraw",
         .summary = "a recipe has run out: trays of several go on without it",
         .flags = {id, {"--version", "V", "the version's id or label", true}, why, {"--back", "", "it is served again: withdrawn by mistake, or there again on a later evening", false}},
         .run = withdraw,
         .examples = {"oddplate withdraw bcdfghjk --version maple --why \"sold out\"", "oddplate withdraw bcdfghjk --version new --why \"burnt\""},
         .uses_book = true},
        {.name = "tubs",
         .summary = "the letters of a row of tubs were the other way round",
         .flags = {id, {"--row", "SPOT", "the row's spot", true}, {"--really", "K=VERSION", "a letter and what it really held", true}, why, k_words_flag},
         .run = tubs,
         .examples = {"oddplate tubs bcdfghjk --row edge --really K=new --why \"cards read afterwards\"", "oddplate tubs bcdfghjk --row point --really A=current --why \"slip misread\""},
         .uses_book = true},
        {.name = "reveal",
         .summary = "open one code in an emergency (allergy, illness); the rest stays sealed",
         .flags = {id, ballot, {"--code", "C", "the code on the cup", true}, why, k_words_flag},
         .run = reveal,
         .examples = {"oddplate reveal bcdfghjk --ballot 7 --code 418 --why \"guest with hives\"", "oddplate reveal bcdfghjk --ballot 3 --code 752 --why \"allergy\" --json"},
         .uses_book = true},
    };
}

}   // namespace oddplate::cli
