// The papers as PDF, each opened by whom it is for: ballots, mats and the runner's page by the room, kitchen and labels by the kitchen's link alone.

#include "oddplate/tasting/names.hpp"
#include "papers_of.hpp"

namespace oddplate::web {

report::RoomPapers room_papers(const House& house, const tasting::State& state, const tasting::Part& part, report::PaperSize size) {
    const methods::Plan& plan = part.state.plan;
    report::RoomPapers papers{.plan = plan, .room = part.state.room, .name = tasting::two_words(state.id), .date = plan.evenings.empty() ? std::string() : plan.evenings.front().date,
                              .seal = state.draw().fingerprint, .log_head = state.draw().log_head, .tasting_id = state.id, .size = size,
                              .links = {}, .recipes_off = static_cast<int>(part.state.withdrawals.size())};
    for (const int ballot : part.ballots) papers.links.push_back(house.ballot_link(state, ballot));
    return papers;
}

core::Result<tasting::KeyPaper> kitchen_key(const House& house, tasting::Keeper& keeper, const tasting::State& state) {
    if (state.draws.empty()) return core::fault(core::ErrorKind::conflict, "not-drawn", house.say("links.none"));
    const auto locked = keeper.is_locked(state);
    if (!locked) return locked.faults();
    if (*locked) return core::fault(core::ErrorKind::conflict, "locked", house.say("kitchen.locked"));
    return keeper.key(state, true);
}

namespace {

using MakePaper = core::Result<std::string> (*)(const report::KitchenPapers&, const core::Words&);
struct PaperKind {
    const char* file;
    bool of_kitchen;
    MakePaper make;
};
constexpr PaperKind k_papers[] = {
    {"ballots.pdf", false, [](const report::KitchenPapers& papers, const core::Words& words) { return report::ballots_pdf(papers.room, words); }},
    {"mats.pdf", false, [](const report::KitchenPapers& papers, const core::Words& words) { return report::mats_pdf(papers.room, words); }},
    {"runner.pdf", false, [](const report::KitchenPapers& papers, const core::Words& words) { return report::runner_pdf(papers.room, words); }},
    {"kitchen.pdf", true, [](const report::KitchenPapers& papers, const core::Words& words) { return report::kitchen_pdf(papers, words); }},
    {"labels.pdf", true, [](const report::KitchenPapers& papers, const core::Words& words) { return report::labels_pdf(papers, {}, words); }}};

/// A room's paper is made without the key; what is made of the key is written down in the log.
core::Result<std::string> make(const House& house, tasting::Keeper& keeper, const PaperKind& kind, const std::string& id, bool letters) {
    const auto state = keeper.load(id);
    if (!state) return state.faults();
    if (state->draws.empty()) return core::fault(core::ErrorKind::conflict, "not-drawn", house.say("links.none"));
    const tasting::Part part = tasting::part_of(*state, state->tonight());
    const report::RoomPapers room = room_papers(house, *state, part, report::PaperSize::a4);
    if (!kind.of_kitchen) {
        const draw::Key none;
        return kind.make({.room = room, .key = none}, house.words());
    }
    const auto key = kitchen_key(house, keeper, *state);
    if (!key) return key.faults();
    const draw::Key shown = tasting::key_part(key->key, part.ballots);
    return kind.make({.room = room, .key = shown, .blind_tubs = letters, .off = report::recipes_off(part.state)}, house.words());
}

void send_paper(House& house, const Visit& visit, const Send& send, bool of_kitchen, bool letters) {
    const std::string id = visit.parts[0], file = visit.parts[1];
    const PaperKind* found = nullptr;
    for (const PaperKind& kind : k_papers)
        if (file == kind.file && kind.of_kitchen == of_kitchen) found = &kind;
    if (found == nullptr) return send(house.sentence(404, house.say("door.nothing")));
    const auto bytes = std::make_shared<std::string>();
    house.backroom().act(
        [&house, found, id, letters, bytes](tasting::Keeper& keeper) -> core::Status {
            auto made = make(house, keeper, *found, id, letters);
            if (!made) return made.faults();
            *bytes = std::move(*made);
            return core::Done{};
        },
        [send, bytes, id, file, of_kitchen, &house](const core::Status& fate) {
            if (!fate) return send(house.refused(fate.faults()));
            house.writer().act([id, name = std::string(of_kitchen ? "kitchen/" : "room/") + file, &house](tasting::Keeper& keeper) {
                                   return house.first_time(id + name) ? keeper.note_printed(id, {name}) : core::Status(core::Done{});
                               },
                               [send, bytes, file, &house](const core::Status& noted) {
                                   if (!noted) return send(house.refused(noted.faults()));
                                   send({.status = 200, .type = "application/pdf", .body = std::move(*bytes), .headers = {{"Content-Disposition", "inline; filename=\"" + file + "\""}}});
                               });
        });
}

void room_paper(House& house, const Visit& visit, const Send& send) { send_paper(house, visit, send, false, false); }
void kitchen_paper(House& house, const Visit& visit, const Send& send) { send_paper(house, visit, send, true, false); }
void kitchen_paper_letters(House& house, const Visit& visit, const Send& send) { send_paper(house, visit, send, true, true); }

constexpr Route k_routes[] = {{"GET", "/tasting/*/room/*", Role::runner, room_paper},
                              {"GET", "/tasting/*/kitchen/names/*", Role::kitchen, kitchen_paper},
                              {"GET", "/tasting/*/kitchen/letters/*", Role::kitchen, kitchen_paper_letters}};

}   // namespace

std::span<const Route> paper_routes() { return k_routes; }

}   // namespace oddplate::web
