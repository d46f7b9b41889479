// One-off questions: no book, no tasting.

#include "oddplate/core/csv.hpp"
#include "oddplate/core/files.hpp"
#include "oddplate/methods/questions.hpp"
#include "oddplate/report/level_picture.hpp"
#include "oddplate/report/results.hpp"
#include "parts.hpp"

namespace oddplate::cli {
namespace {

using core::Json;

std::span<const methods::Setting> count_settings(const methods::Method& method) { return method.count_settings; }
std::span<const methods::Setting> size_settings(const methods::Method& method) { return method.size_settings; }
std::span<const methods::Setting> curve_settings(const methods::Method& method) { return method.curve_settings; }
std::span<const methods::Setting> weigh_settings(const methods::Method& method) { return method.weigh_settings; }

core::Status need_method(Call& call) {
    const auto method = methods::find(call.value("METHOD"));
    if (!method) return method.faults();
    call.method = *method;
    return core::Done{};
}

void answer_findings(Call& call, const methods::Findings& findings) {
    if (call.json()) call.print(report::findings_json(findings, call.words));
    else call.answer += report::findings_text(findings, call.words);
}

core::Result<ExitCode> count(Call& call) {
    if (auto named = need_method(call); !named) return named.faults();
    const auto settings = read_settings(call, call.method->count_settings);
    if (!settings) return settings.faults();
    const auto findings = call.method->count(*call.method, *settings);
    if (!findings) return findings.faults();
    answer_findings(call, *findings);
    return 0;
}

core::Result<ExitCode> size_table(Call& call) {
    if (call.method->link == nullptr)
        return core::found("--table", "method " + std::string(call.method->id), "a method whose answers are right or wrong",
                           "its size is asked for one difference at a time, see `oddplate size " + std::string(call.method->id) + " --help`", "not-for-this-method", core::ErrorKind::usage);
    const auto settings = read_settings(call, call.method->curve_settings);
    if (!settings) return settings.faults();
    const auto rows = methods::size_table(*call.method, *settings);
    if (!rows) return rows.faults();
    Json list = Json::array();
    for (const auto& row : *rows) {
        Json item = Json::object();
        item.set("alpha", row.alpha);
        item.set("power", row.power);
        item.set("discriminators", row.discriminators);
        item.set("tasters", row.tasters);
        item.set("tasters_safe", row.tasters_safe);
        list.push(std::move(item));
    }
    if (call.json()) {
        Json out = Json::object();
        out.set("rows", std::move(list));
        call.print(out);
        return 0;
    }
    call.say("alpha  power  can tell  tasters  safe");
    for (const auto& row : *rows) {
        char line[120];
        std::snprintf(line, sizeof line, "%-6g %-6g %-9g %-8lld %lld", row.alpha, row.power, row.discriminators,
                      static_cast<long long>(row.tasters), static_cast<long long>(row.tasters_safe));
        call.say(line);
    }
    return 0;
}

core::Result<ExitCode> size(Call& call) {
    if (auto named = need_method(call); !named) return named.faults();
    if (call.has("--table")) return size_table(call);
    const auto settings = read_settings(call, call.method->size_settings);
    if (!settings) return settings.faults();
    const auto findings = call.method->size(*call.method, *settings);
    if (!findings) return findings.faults();
    answer_findings(call, *findings);
    return 0;
}

core::Result<ExitCode> curve(Call& call) {
    if (auto named = need_method(call); !named) return named.faults();
    const auto d = number_flag(call, "--d");
    if (!d) return d.faults();
    const auto settings = read_settings(call, call.method->curve_settings);
    if (!settings) return settings.faults();
    const auto findings = methods::curve(*call.method, *settings, *d);
    if (!findings) return findings.faults();
    answer_findings(call, *findings);
    return 0;
}

core::Result<methods::PlainTable> read_table(const std::string& path, std::span<const methods::Column> columns) {
    const auto bytes = core::read_file(path);
    if (!bytes) return bytes.faults();
    auto table = core::parse_csv(*bytes);
    if (!table) return core::within(table.faults(), path);
    std::vector<std::string> required, optional;
    for (const methods::Column& column : columns) (column.required ? required : optional).emplace_back(column.name);
    if (auto expected = core::expect_columns(*table, required, optional); !expected) return core::within(expected.faults(), path);
    methods::PlainTable plain{.columns = std::move(table->header), .rows = {}};
    for (core::CsvRow& row : table->rows) plain.rows.push_back({row.line, std::move(row.cells)});
    return plain;
}

core::Result<ExitCode> weigh(Call& call) {
    if (auto named = need_method(call); !named) return named.faults();
    if (call.method->weigh == nullptr)
        return core::found("", "method " + std::string(call.method->id), "one whose tables `weigh` can analyse", "", "not-for-this-method", core::ErrorKind::usage);
    const auto settings = read_settings(call, call.method->weigh_settings);
    if (!settings) return settings.faults();
    const std::string path = call.value("--csv");
    const auto table = read_table(path, call.method->weigh_columns);
    if (!table) return table.faults();
    const auto findings = call.method->weigh(*call.method, *table, *settings);
    if (!findings) return core::within(findings.faults(), path);
    if (!call.has("--into")) {
        answer_findings(call, *findings);
        return 0;
    }
    if (!findings->level_looks) return core::found("--into", "a table that has no picture", "one with a column level (a ladder or a threshold)", "leave the flag out");
    const std::string folder = call.value("--into"), file = folder + "/ladder.svg";
    if (auto made = core::make_folder(folder); !made) return made.faults();
    if (auto kept = core::write_file(file, report::level_svg(*findings->level_looks, call.words)); !kept) return kept.faults();
    if (call.json()) {
        Json out = report::findings_json(*findings, call.words), files = Json::array();
        files.push(file);
        out.set("files", std::move(files));
        call.print(out);
        return 0;
    }
    answer_findings(call, *findings);
    call.say("");
    call.say(call.words.text("rehearse.file", {{"file", file}}));
    return 0;
}

core::Result<ExitCode> list_methods(Call& call) {
    Json list = Json::array();
    for (const methods::Method* method : methods::all()) {
        const std::string title = call.words.text(std::string(method->id) + ".title");
        Json item = Json::object();
        item.set("id", method->id);
        item.set("title", title);
        list.push(std::move(item));
        if (!call.json()) call.say(std::string(method->id) + "  " + title + " - " + call.words.text(std::string(method->id) + ".asks"));
    }
    if (call.json()) call.print(list);
    return 0;
}

}   // namespace

std::vector<Verb> question_verbs() {
    const Flag method{"METHOD", "METHOD", "a method, see `oddplate methods`", true};
    return {
        {.name = "count",
         .summary = "what a count of answers says: verdict, interval, chance of luck",
         .flags = {method},
         .run = count,
         .examples = {"oddplate count triangle --correct 13 --of 24 --detect-pd 0.4", "oddplate count paired-preference --for-new 18 --for-current 9 --no-preference 3 --json"},
         .settings = count_settings},
        {.name = "size",
         .summary = "how many tasters a question needs",
         .flags = {method, {"--table", "", "the whole planning table", false}},
         .run = size,
         .examples = {"oddplate size triangle --detect-pd 0.4", "oddplate size two-afc --detect-d 1 --aim similarity --json"},
         .settings = size_settings},
        {.name = "curve",
         .summary = "how often a difference of size d is found by one taster",
         .flags = {method, {"--d", "D", "the true difference, in units of the taste's own noise", true}},
         .run = curve,
         .examples = {"oddplate curve triangle --d 1", "oddplate curve two-afc --d 0.5 --json"},
         .settings = curve_settings},
        {.name = "weigh",
         .summary = "what a table of answers says that was not drawn here",
         .flags = {method, {"--csv", "FILE", "the table: a header, then one answer a line", true},
                   {"--into", "DIR", "with a column level: a folder for the picture, ladder.svg; made where it is missing", false}},
         .run = weigh,
         .examples = {"oddplate weigh triangle --csv answers.csv", "oddplate weigh paired-preference --csv votes.csv --json"},
         .settings = weigh_settings},
        {.name = "methods",
         .summary = "the ways of asking that there are",
         .flags = {},
         .run = list_methods,
         .examples = {"oddplate methods", "oddplate methods --json"}},
    };
}

}   // namespace oddplate::cli
