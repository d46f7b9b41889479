// The verdict: the same sentences and pictures as its files, the check of the seal, and the files themselves. Judging takes its time, so the backroom does it.

#include <algorithm>

#include "house.hpp"
#include "oddplate/report/verdict_files.hpp"
#include "oddplate/tasting/evenings.hpp"
#include "oddplate/tasting/names.hpp"
#include "oddplate/tasting/outcome.hpp"
#include "oddplate/tasting/proof.hpp"

namespace oddplate::web {
namespace {

/// `use` gets everything a verdict's pages are made of. Faults: still open; locked; the book.
core::Status with_verdict(const House& house, tasting::Keeper& keeper, const std::string& id, const std::function<core::Status(const report::VerdictFiles&, const tasting::KeyPaper&)>& use) {
    auto state = keeper.load(id);
    if (!state) return state.faults();
    if (state->stage != tasting::Stage::closed) return core::fault(core::ErrorKind::conflict, "still-open", house.say("verdict.not_yet"));
    auto key = keeper.key(*state);
    if (!key) return key.faults();
    const auto outcome = tasting::outcome_of(*state, *key);
    if (!outcome) return outcome.faults();
    const auto earlier = tasting::earlier_of(keeper, *state);
    if (!earlier) return earlier.faults();
    const auto answers = tasting::answers_at_close(*state, *key);
    if (!answers) return answers.faults();
    const auto rows = keeper.book().rows(id, 0);
    if (!rows) return rows.faults();
    return use({.page = {.state = *state, .outcome = *outcome, .earlier = *earlier, .rows = *rows, .book_format = keeper.book().format(), .made_up = false, .size = report::PaperSize::a4},
                .answers = *answers, .date = tasting::held_on(*state), .with_recipe = false}, *key);
}

Markup proofs(const House& house, const report::VerdictPage& page, const tasting::KeyPaper& key) {
    const tasting::State& state = page.state;
    Markup list;
    for (const auto& proof : tasting::prove(state, page.rows, key, "")) list += element("li", {{"class", proof.holds.value_or(true) ? "good" : "bad"}}, {proof.says});
    return element("details", {}, {element("summary", {}, {house.say("verdict.seal", {{"seal", core::printed_seal(state.draw().fingerprint)}})}), element("ul", {}, {list})});
}

Markup downloads(const House& house, const std::string& id) {
    Markup all;
    for (const char* file : {"verdict.pdf", "verdict.html", "verdict.png", "verdict.txt", "verdict.xlsx", "answers.csv", "rerun.R"})
        all += element("a", {{"href", "/tasting/" + id + "/verdict/" + file}, {"class", "button second"}}, {house.say("verdict.file." + std::string(file))});
    return element("h2", {}, {house.say("verdict.files")}) + element("p", {{"class", "buttons"}}, {all});
}

void show(House& house, const Visit& visit, const Send& send) {
    const std::string id = visit.parts[0];
    const auto page = std::make_shared<Page>();
    const Markup again = house.form(visit, "/tasting/" + id + "/again", {element("button", {{"type", "submit"}, {"class", "second"}}, {house.say("verdict.again")})});
    house.backroom().act(
        [id, page, again, &house](tasting::Keeper& keeper) {
            return with_verdict(house, keeper, id, [&](const report::VerdictFiles& files, const tasting::KeyPaper& key) -> core::Status {
                *page = {.title = house.say("verdict.title"), .body = Markup::made_elsewhere(report::verdict_body(files, house.words())) + proofs(house, files.page, key) + downloads(house, id) + again, .kind = "verdict"};
                return core::Done{};
            });
        },
        [send, page, &house](const core::Status& fate) { send(fate ? House::page(*page) : house.refused(fate.faults())); });
}

std::string type_of(const std::string& name) {
    const std::string ending = name.substr(std::min(name.rfind('.'), name.size()));
    if (ending == ".pdf") return "application/pdf";
    if (ending == ".png") return "image/png";
    if (ending == ".csv") return "text/csv; charset=utf-8";
    if (ending == ".xlsx") return "application/vnd.openxmlformats-officedocument.spreadsheetml.sheet";
    return "text/plain; charset=utf-8";
}

void send_file(House& house, const Visit& visit, const Send& send) {
    const std::string id = visit.parts[0], name = visit.parts[1];
    const auto bytes = std::make_shared<std::string>();
    house.backroom().act(
        [id, name, bytes, &house](tasting::Keeper& keeper) {
            return with_verdict(house, keeper, id, [&](const report::VerdictFiles& files, const tasting::KeyPaper&) -> core::Status {
                auto made = report::verdict_files(files, house.words());
                if (!made) return made.faults();
                const auto file = std::find_if(made->begin(), made->end(), [&](const report::ReportFile& each) { return each.name == name; });
                if (file == made->end()) return core::fault(core::ErrorKind::not_found, "no-file", house.say("door.nothing"));
                *bytes = std::move(file->bytes);
                return core::Done{};
            });
        },
        [send, bytes, name, &house](const core::Status& fate) {
            if (!fate) return send(house.refused(fate.faults()));
            // verdict.html has a style of its own inside, which this page's policy forbids: it is saved, not shown.
            const char* how = name.ends_with(".pdf") || name.ends_with(".png") || name.ends_with(".txt") ? "inline" : "attachment";
            send({.status = 200, .type = type_of(name), .body = std::move(*bytes), .headers = {{"Content-Disposition", std::string(how) + "; filename=\"" + name + "\""}}});
        });
}

void again(House& house, const Visit& visit, const Send& send) {
    const std::string id = visit.parts[0];
    const auto made = std::make_shared<std::string>();
    house.writer().act(
        [id, made](tasting::Keeper& keeper) -> core::Status {
            auto next = keeper.again(id);
            if (!next) return next.faults();
            *made = *next;
            return core::Done{};
        },
        [send, made, &house](const core::Status& fate) { send(fate ? House::go_to("/tasting/" + *made) : house.refused(fate.faults())); });
}

constexpr Route k_routes[] = {{"GET", "/tasting/*/verdict", Role::host, show}, {"GET", "/tasting/*/verdict/*", Role::host, send_file}, {"POST", "/tasting/*/again", Role::host, again}};

}   // namespace

std::span<const Route> verdict_routes() { return k_routes; }

}   // namespace oddplate::web
