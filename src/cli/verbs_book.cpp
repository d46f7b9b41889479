// The book as a whole.

#include "demo.hpp"
#include "oddplate/book/book_file.hpp"
#include "oddplate/core/files.hpp"
#include "oddplate/core/text.hpp"
#include "oddplate/tasting/names.hpp"
#include "oddplate/tasting/parcel.hpp"
#include "parts.hpp"

namespace oddplate::cli {
namespace {

using core::Json;

core::Result<ExitCode> tastings(Call& call) {
    const auto desk = open_desk(call);
    if (!desk) return desk.faults();
    const auto ids = desk->book->tastings();
    if (!ids) return ids.faults();
    constexpr const char* k_stages[] = {"planned", "drawn", "closed"};
    Json list = Json::array();
    for (const auto& id : *ids) {
        const auto state = desk->keeper->load(id);
        if (!state) return state.faults();
        const char* stage = k_stages[static_cast<int>(state->stage)];
        if (!call.json()) {
            call.say(id + "  " + tasting::two_words(id) + "  " + stage + "  " + state->plan.title);
            continue;
        }
        Json item = Json::object();
        item.set("tasting", id);
        item.set("name", tasting::two_words(id));
        item.set("stage", stage);
        item.set("title", state->plan.title);
        list.push(std::move(item));
    }
    if (call.json()) call.print(list);
    return 0;
}

core::Result<ExitCode> export_one(Call& call) {
    const auto desk = open_desk(call);
    if (!desk) return desk.faults();
    const auto text = tasting::pack(*desk->keeper, call.value("ID"));
    if (!text) return text.faults();
    if (auto written = core::write_file(call.value("FILE"), *text, core::Access::owner_only); !written) return written.faults();
    if (call.json()) {
        Json out = Json::object();
        out.set("tasting", call.value("ID"));
        out.set("file", call.value("FILE"));
        out.set("bytes", text->size());
        call.print(out);
    } else {
        call.say(call.value("FILE"));
    }
    return 0;
}

/// What does not hold in a file that is handed in is the file's fault, not the book's.
core::Faults as_input(core::Faults faults) {
    for (core::Error& fault : faults)
        if (fault.kind == core::ErrorKind::check_failed) fault.kind = core::ErrorKind::bad_file;
    return faults;
}

core::Result<ExitCode> import_one(Call& call) {
    const std::string path = call.value("FILE");
    const auto text = core::read_file(path);
    if (!text) return text.faults();
    const auto parcel = tasting::unpack(*text, path);
    if (!parcel) return as_input(parcel.faults());
    if (const auto readable = tasting::state_of(*parcel); !readable) return as_input(core::within(readable.faults(), path));
    const auto desk = open_desk(call, true);
    if (!desk) return desk.faults();
    const auto taken = tasting::take_in(*desk->keeper, *parcel);
    if (!taken) return core::within(taken.faults(), path);
    constexpr const char* k_codes[] = {"new", "further", "already", "older"};
    constexpr const char* k_says[] = {"taken into the book", "was in the book; its further acts were added", "is in the book already, and equal: nothing to do",
                                      "is in the book already, with more acts than the file has: nothing to do"};
    const auto index = static_cast<std::size_t>(*taken);
    if (call.json()) {
        Json out = Json::object();
        out.set("tasting", parcel->id);
        out.set("result", k_codes[index]);
        call.print(out);
    } else {
        call.say(parcel->id + " " + k_says[index]);
    }
    return 0;
}

core::Result<ExitCode> check(Call& call) {
    const auto path = call.book_path();
    if (!path) return path.faults();
    const auto problems = book::check_book(*path);
    if (!problems) return problems.faults();
    if (call.json()) {
        Json list = Json::array();
        for (const auto& problem : *problems) list.push(problem);
        Json out = Json::object();
        out.set("sound", problems->empty());
        out.set("problems", std::move(list));
        call.print(out);
    } else if (problems->empty()) {
        call.say("The book is sound.");
    } else {
        for (const auto& problem : *problems) call.say(problem);
    }
    return problems->empty() ? 0 : 1;
}

core::Result<ExitCode> wipe(Call& call) {
    if (!call.has("--yes"))
        return core::fault(core::ErrorKind::usage, "needs-yes", "this removes the tasting with every answer for good; say --yes to do it (`oddplate export` keeps a copy first)");
    const auto desk = open_desk(call);
    if (!desk) return desk.faults();
    if (auto wiped = desk->keeper->wipe(call.value("ID")); !wiped) return wiped.faults();
    if (call.json()) {
        Json out = Json::object();
        out.set("wiped", call.value("ID"));
        call.print(out);
    } else {
        call.say(call.value("ID") + " is gone.");
    }
    return 0;
}

core::Result<ExitCode> demo(Call& call) { return make_demo(call, call.value("--into")); }

}   // namespace

std::vector<Verb> book_verbs() {
    const Flag id{"ID", "ID", "the tasting, as `new` named it", true};
    return {
        {.name = "export",
         .summary = "one tasting as one file that another machine can take in",
         .flags = {id, {"FILE", "FILE", "the file to write", true}},
         .run = export_one,
         .examples = {"oddplate export bcdfghjk tasting.json", "oddplate export bcdfghjk backup/tasting.json --json"},
         .uses_book = true},
        {.name = "import",
         .summary = "take in a file written by export",
         .flags = {{"FILE", "FILE", "the file to read", true}},
         .run = import_one,
         .examples = {"oddplate import tasting.json", "oddplate import tasting.json --book other.sqlite --json"},
         .uses_book = true},
        {.name = "tastings",
         .summary = "the tastings in the book",
         .flags = {},
         .run = tastings,
         .examples = {"oddplate tastings", "oddplate tastings --json"},
         .uses_book = true},
        {.name = "check",
         .summary = "the book's health: structure, log, ballots",
         .flags = {},
         .run = check,
         .examples = {"oddplate check", "oddplate check --book tastings.sqlite --json"},
         .uses_book = true},
        {.name = "wipe",
         .summary = "remove a tasting for good",
         .flags = {id, {"--yes", "", "yes, for good", false}},
         .run = wipe,
         .examples = {"oddplate wipe bcdfghjk --yes", "oddplate wipe bcdfghjk --yes --json"},
         .uses_book = true},
        {.name = "demo",
         .summary = "a whole made-up tasting with every file that a user would get",
         .flags = {{"--into", "FOLDER", "where the files go", true}},
         .run = demo,
         .examples = {"oddplate demo --into demo", "oddplate demo --into evenings --json"}},
    };
}

}   // namespace oddplate::cli
