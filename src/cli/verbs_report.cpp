// The verdict as files.

#include "oddplate/core/files.hpp"
#include "oddplate/report/verdict_files.hpp"
#include "oddplate/tasting/evenings.hpp"
#include "oddplate/tasting/outcome.hpp"
#include "parts.hpp"
#include "printing.hpp"
#include "seal.hpp"

namespace oddplate::cli {
namespace {

core::Result<std::vector<report::ReportFile>> files_of(Call& call, tasting::Keeper& keeper, tasting::State& state, tasting::KeyPaper& paper) {
    const auto size = paper_size(call);
    if (!size) return size.faults();
    const auto outcome = tasting::outcome_of(state, paper);
    if (!outcome) return outcome.faults();
    const auto earlier = tasting::earlier_of(keeper, state);
    if (!earlier) return earlier.faults();
    const auto answers = tasting::answers_at_close(state, paper);
    if (!answers) return answers.faults();
    const auto rows = keeper.book().rows(state.id, 0);
    if (!rows) return rows.faults();
    return report::verdict_files({.page = {.state = state, .outcome = *outcome, .earlier = *earlier, .rows = *rows, .book_format = keeper.book().format(), .made_up = false, .size = *size},
                                  .answers = *answers, .date = tasting::held_on(state), .with_recipe = call.has("--with-recipe")}, call.words);
}

core::Result<ExitCode> report_files(Call& call) {
    const auto desk = open_desk(call);
    if (!desk) return desk.faults();
    const std::string id = call.value("ID"), folder = call.value("--into");
    auto state = desk->keeper->load(id);
    if (!state) return state.faults();
    auto opened = open_key(call, *desk->keeper, *state);
    if (!opened) return opened.faults();
    const auto files = files_of(call, *desk->keeper, *state, opened->paper);
    if (!files) return files.faults();
    core::Json written = core::Json::array();
    for (const report::ReportFile& file : *files) {
        const std::string path = folder + "/" + file.name;
        if (auto made = core::make_folder(path.substr(0, path.rfind('/'))); !made) return made.faults();
        if (auto kept = core::write_file(path, file.bytes); !kept) return kept.faults();
        written.push(path);
    }
    if (call.json()) {
        core::Json out = core::Json::object();
        out.set("files", std::move(written));
        call.print(out);
        return 0;
    }
    for (const core::Json& path : written.as_array()) call.say(path.as_string());
    call.say(call.words.text("report.done", {{"file", folder + "/verdict.pdf"}}));
    return 0;
}

}   // namespace

std::vector<Verb> report_verbs() {
    return {{.name = "report",
             .summary = "the verdict as files: to pin up, to send on, to defend",
             .flags = {{"ID", "ID", "the tasting, as `new` named it", true},
                       {"--into", "DIR", "the folder, made where it is missing", true},
                       {"--with-recipe", "", "tell the labels and the salt of the recipes too", false},
                       {"--paper", "SIZE", "a4 (the default) or letter", false},
                       k_words_flag},
             .run = report_files,
             .examples = {"oddplate report bcdfghjk --into verdict", "oddplate report bcdfghjk --into verdict --with-recipe --paper letter"},
             .uses_book = true}};
}

}   // namespace oddplate::cli
