// All pages are made before the first is written, so that a fault leaves no half set of papers behind.

#include "printing.hpp"

#include <algorithm>
#include <array>
#include <charconv>
#include <cmath>

#include "oddplate/core/files.hpp"
#include "oddplate/core/text.hpp"
#include "oddplate/report/lines.hpp"
#include "oddplate/report/papers.hpp"
#include "oddplate/tasting/evenings.hpp"
#include "oddplate/tasting/names.hpp"
#include "parts.hpp"
#include "seal.hpp"

namespace oddplate::cli {
namespace {

struct Page {
    std::string folder;
    std::string file;
    core::Access access;
    std::string bytes;
};

/// The evening's date as it is to stand on the pages. The day of the draw is not it, so without --date there is none.
core::Result<std::string> date_on_pages(const Call& call) {
    if (!call.has("--date")) return std::string();
    const std::string date = core::trimmed(call.value("--date"));
    const bool plain = std::none_of(date.begin(), date.end(), [](char c) { return static_cast<unsigned char>(c) < 0x20 || c == 0x7f; });
    if (date.empty() || date.size() > 30 || !plain || !core::is_utf8(date))
        return core::found("--date", "\"" + core::quoted(call.value("--date")) + "\"", "the evening's date as it is to be printed, such as \"14 June\"");
    return date;
}

/// Two numbers with a mark between: "3x8", "70x36", "0.5,-1".
core::Result<std::pair<double, double>> pair_flag(const Call& call, std::string_view flag, char mark, const char* expected, double lo, double hi) {
    const auto parts = core::split(call.value(flag), mark);
    std::array<double, 2> numbers{};
    bool good = parts.size() == 2;
    for (std::size_t i = 0; good && i < 2; ++i) {
        const auto [end, error] = std::from_chars(parts[i].data(), parts[i].data() + parts[i].size(), numbers[i]);
        good = error == std::errc{} && end == parts[i].data() + parts[i].size() && numbers[i] >= lo && numbers[i] <= hi;
    }
    if (!good) return core::found(std::string(flag), "\"" + core::quoted(call.value(flag)) + "\"", expected);
    return std::pair(numbers[0], numbers[1]);
}

/// The grid stands in the middle of the page, as it does on most sheets that are sold; --shift does the rest.
core::Status centre(report::LabelSheet& sheet, report::PaperSize size) {
    const bool a4 = size == report::PaperSize::a4;
    const double page_width = a4 ? 210 : 215.9, page_height = a4 ? 297 : 279.4;   // mm
    const double width = sheet.columns * sheet.width, height = sheet.rows * sheet.height;
    if (width > page_width || height > page_height) {
        return core::found("--labels", std::to_string(sheet.columns) + " x " + std::to_string(sheet.rows) + " labels of " + core::shortest(sheet.width) + " x " +
                                           core::shortest(sheet.height) + " mm",
                           "labels that fit on a page of " + core::shortest(page_width) + " x " + core::shortest(page_height) + " mm");
    }
    sheet.left = (page_width - width) / 2;
    sheet.top = (page_height - height) / 2;
    return core::Done{};
}

core::Result<report::LabelSheet> label_sheet(const Call& call, report::PaperSize size) {
    report::LabelSheet sheet;
    if (size == report::PaperSize::letter) sheet.rows = 7;   // eight of 36 mm are longer than the page
    if (call.has("--labels")) {
        const auto grid = pair_flag(call, "--labels", 'x', "columns x rows such as 3x8", 1, 30);
        if (!grid) return grid.faults();
        if (grid->first != std::floor(grid->first) || grid->second != std::floor(grid->second))
            return core::found("--labels", "\"" + core::quoted(call.value("--labels")) + "\"", "whole numbers such as 3x8");
        sheet.columns = static_cast<int>(grid->first);
        sheet.rows = static_cast<int>(grid->second);
    }
    if (call.has("--label-size")) {
        const auto label = pair_flag(call, "--label-size", 'x', "width x height in mm such as 70x36", 10, 210);
        if (!label) return label.faults();
        sheet.width = label->first;
        sheet.height = label->second;
    }
    if (auto fits = centre(sheet, size); !fits) return fits.faults();
    if (call.has("--shift")) {
        const auto shift = pair_flag(call, "--shift", ',', "millimetres right and down such as 0.5,-1", -20, 20);
        if (!shift) return shift.faults();
        sheet.offset_x = shift->first;
        sheet.offset_y = shift->second;
    }
    if (call.has("--first-label")) {
        const auto first = number_flag(call, "--first-label");
        const int most = sheet.columns * sheet.rows;
        if (!first || *first < 1 || *first > most || *first != std::floor(*first))
            return core::found("--first-label", "\"" + core::quoted(call.value("--first-label")) + "\"", "a whole number from 1 to " + std::to_string(most));
        sheet.start = static_cast<int>(*first);
    }
    return sheet;
}

/// Which evening's papers, from 0: each evening has a stack of its own. Without --evening the one that comes next.
core::Result<int> evening_to_print(const Call& call, const tasting::State& state) {
    if (!call.has("--evening")) return state.plan.evenings.empty() ? 0 : state.tonight();
    const auto number = number_flag(call, "--evening");
    const std::size_t most = std::max<std::size_t>(1, state.plan.evenings.size());
    if (!number || *number != std::floor(*number) || *number < 1 || *number > static_cast<double>(most))
        return core::found("--evening", "\"" + core::quoted(call.value("--evening")) + "\"", "an evening of the plan, from 1 to " + std::to_string(most));
    return static_cast<int>(*number) - 1;
}

core::Status add(std::vector<Page>& pages, std::string folder, std::string file, core::Access access, core::Result<std::string> bytes) {
    if (!bytes) return bytes.faults();
    pages.push_back({std::move(folder), std::move(file), access, std::move(*bytes)});
    return core::Done{};
}

/// `seal_words` opened the sealed list of codes before close; nothing where there was nothing to open.
core::Result<std::vector<Page>> make_pages(const Call& call, const report::KitchenPapers& papers, const report::LabelSheet& sheet,
                                           const std::optional<tasting::SealWords>& seal_words, const core::Words& words) {
    using core::Access;
    std::vector<Page> pages;
    core::Faults faults;
    const auto take = [&](const char* folder, const char* file, Access access, core::Result<std::string> bytes) {
        if (auto status = add(pages, folder, file, access, std::move(bytes)); !status) faults = status.faults();
    };
    if (call.has("--slip")) {
        take("sealed", "slip.pdf", Access::owner_only, report::slip_pdf(papers, words));
        if (seal_words) take("sealed", "envelope.pdf", Access::owner_only, report::envelope_pdf(papers.room, *seal_words, words));
    } else {
        take("room", "ballots.pdf", Access::everyone, report::ballots_pdf(papers.room, words));
        take("room", "runner.pdf", Access::everyone, report::runner_pdf(papers.room, words));
        if (call.has("--mat")) take("room", "mats.pdf", Access::everyone, report::mats_pdf(papers.room, words));
        take("kitchen", "kitchen.pdf", Access::owner_only, report::kitchen_pdf(papers, words));
        take("kitchen", "labels.pdf", Access::owner_only, report::labels_pdf(papers, sheet, words));
    }
    if (!faults.empty()) return faults;
    return pages;
}

/// The words of the papers: English unless --language names another.
core::Result<core::Words> paper_words(const Call& call) {
    const std::string code = call.has("--language") ? core::lower_ascii(core::trimmed(call.value("--language"))) : "en";
    if (const auto words = core::Words::in_language(code)) return *words;
    return core::found("--language", "\"" + core::quoted(call.value("--language")) + "\"", "en (English), es (Spanish), fr (French) or de (German)");
}

/// A sealed tasting is blind for the kitchen too, or the seal would be worth nothing.
core::Status check_blind(const Call& call, const tasting::State& state) {
    if (state.draws.empty() || !state.draw().sealed || state.is_opened() || call.has("--slip") || call.has("--blind-tubs")) return core::Done{};
    return core::fault(core::ErrorKind::conflict, "sealed-needs-tubs",
                       "the list of codes of " + state.id + " is sealed, so the kitchen may not know it either: print with --blind-tubs, and --slip for the bearer");
}

}   // namespace

core::Result<report::PaperSize> paper_size(const Call& call) {
    const std::string size = call.has("--paper") ? core::lower_ascii(call.value("--paper")) : "a4";
    if (size == "a4") return report::PaperSize::a4;
    if (size == "letter") return report::PaperSize::letter;
    return core::found("--paper", "\"" + core::quoted(size) + "\"", "a4 or letter");
}

core::Result<ExitCode> print_papers(Call& call, tasting::Keeper& keeper, const std::string& id, const std::string& folder) {
    const auto size = paper_size(call);
    if (!size) return size.faults();
    const auto sheet = label_sheet(call, *size);
    if (!sheet) return sheet.faults();
    const auto date = date_on_pages(call);
    if (!date) return date.faults();
    const auto words = paper_words(call);
    if (!words) return words.faults();
    const auto state = keeper.load(id);
    if (!state) return state.faults();
    if (auto blind = check_blind(call, *state); !blind) return blind.faults();
    const auto opened = open_key(call, keeper, *state, true);
    if (!opened) return opened.faults();
    const auto evening = evening_to_print(call, *state);
    if (!evening) return evening.faults();
    const tasting::Part part = tasting::part_of(*state, *evening);
    const draw::Key key = tasting::key_part(opened->paper.key, part.ballots);
    const methods::Plan& plan = part.state.plan;
    const report::KitchenPapers papers{.room = {.plan = plan,
                                                .room = part.state.room,
                                                .name = tasting::two_words(id),
                                                .date = date->empty() && !plan.evenings.empty() ? plan.evenings.front().date : *date,
                                                .seal = state->draw().fingerprint,
                                                .log_head = state->draw().log_head,
                                                .tasting_id = id,
                                                .size = *size,
                                                .links = {},
                                                .recipes_off = static_cast<int>(part.state.withdrawals.size())},
                                       .key = key,
                                       .blind_tubs = call.has("--blind-tubs"),
                                       .off = report::recipes_off(part.state)};
    const auto pages = make_pages(call, papers, *sheet, state->is_opened() ? std::nullopt : opened->words, *words);
    if (!pages) return pages.faults();
    core::Json files = core::Json::array();
    std::vector<std::string> names;
    for (const Page& page : *pages) {
        const std::string into = folder + "/" + page.folder;
        if (auto made = core::make_folder(into, page.access); !made) return made.faults();
        if (auto written = core::write_file(into + "/" + page.file, page.bytes, page.access); !written) return written.faults();
        names.push_back(page.folder + "/" + page.file);
        files.push(into + "/" + page.file);
    }
    if (auto noted = keeper.note_printed(id, names); !noted) return noted.faults();
    if (call.json()) {
        core::Json out = core::Json::object();
        out.set("files", std::move(files));
        call.print(out);
        return 0;
    }
    for (const core::Json& file : files.as_array()) call.say(file.as_string());
    const char* const next = call.has("--slip") ? "print.next.slip" : papers.blind_tubs ? "print.next.tubs" : "print.next";
    if (!call.has("--slip")) call.say(call.words.text("print.done"));
    call.answer += report::lines_of(call.words.text(next, {{"id", call.named(id)}}));
    return 0;
}

}   // namespace oddplate::cli
