// The book: verdicts side by side, a tasting as one file out and in, and one that is wiped.

#include "house.hpp"
#include "oddplate/core/text.hpp"
#include "oddplate/report/verdict_files.hpp"
#include "oddplate/tasting/names.hpp"
#include "oddplate/tasting/outcome.hpp"
#include "oddplate/tasting/parcel.hpp"

namespace oddplate::web {
namespace {

/// One closed tasting as a row: when, what was asked, what was found.
Markup row_of(const House& house, tasting::Keeper& keeper, tasting::State& state) {
    std::string head, rest;
    auto key = keeper.key(state);
    if (!key) head = house.told(key.faults());
    else if (const auto outcome = tasting::outcome_of(state, *key); !outcome) head = house.told(outcome.faults());
    else if (!outcome->at_close.rounds.empty()) {
        const report::Headline headline = report::headline_of(outcome->at_close.rounds.front(), house.words());
        head = headline.head;
        rest = headline.rest;
    }
    return element("tr", {}, {element("td", {}, {state.closed_at.substr(0, 10)}), element("th", {{"scope", "row"}}, {element("a", {{"href", "/tasting/" + state.id + "/verdict"}}, {tasting::two_words(state.id)})}),
                              element("td", {}, {state.plan.title}), element("td", {}, {element("b", {}, {head}), " ", rest})});
}

void side_by_side(House& house, const Visit&, const Send& send) {
    const auto page = std::make_shared<Page>();
    house.backroom().act(
        [page, &house](tasting::Keeper& keeper) -> core::Status {
            const auto ids = keeper.book().tastings();
            if (!ids) return ids.faults();
            Markup rows, head;
            for (auto id = ids->rbegin(); id != ids->rend(); ++id) {
                auto state = keeper.load(*id);
                if (state && state->stage == tasting::Stage::closed) rows += row_of(house, keeper, *state);
            }
            for (const char* column : {"closed", "name", "asked", "found"}) head += element("th", {{"scope", "col"}}, {house.say("book." + std::string(column))});
            Markup body = element("h1", {}, {house.say("book.title")}) + element("p", {}, {house.say("book.caution")});
            body += element("label", {}, {house.say("start.find"), element("input", {{"type", "search"}, {"data-find", "tbody tr"}})});
            body += element("table", {}, {element("thead", {}, {element("tr", {}, {head})}), element("tbody", {}, {rows})});
            *page = {.title = house.say("book.title"), .body = body, .kind = "wide book"};
            return core::Done{};
        },
        [send, page, &house](const core::Status& fate) { send(fate ? House::page(*page) : house.refused(fate.faults())); });
}

void send_out(House& house, const Visit& visit, const Send& send) {
    const std::string id = visit.parts[0];
    const auto text = std::make_shared<std::string>();
    house.backroom().act(
        [id, text](tasting::Keeper& keeper) -> core::Status {
            auto packed = tasting::pack(keeper, id);
            if (!packed) return packed.faults();
            *text = std::move(*packed);
            return core::Done{};
        },
        [send, text, id, &house](const core::Status& fate) {
            if (!fate) return send(house.refused(fate.faults()));
            send({.status = 200, .type = "application/json", .body = std::move(*text), .headers = {{"Content-Disposition", "attachment; filename=\"" + id + ".json\""}}});
        });
}

/// The file as it stands is the body; script reads it and sends it.
void take_in(House& house, const Visit& visit, const Send& send) {
    const auto parcel = tasting::unpack(visit.request.body, house.say("book.file"));
    if (!parcel) return send(house.refused(parcel.faults()));
    if (const auto readable = tasting::state_of(*parcel); !readable) return send(house.refused(readable.faults()));
    house.writer().act(
        [parcel = *parcel](tasting::Keeper& keeper) -> core::Status {
            const auto taken = tasting::take_in(keeper, parcel);
            if (!taken) return taken.faults();
            return core::Done{};
        },
        [send, id = parcel->id, &house](const core::Status& fate) { send(fate ? House::go_to("/tasting/" + id) : house.refused(fate.faults())); });
}

/// Wiped only where its two words were typed.
void wipe(House& house, const Visit& visit, const Send& send) {
    const std::string id = visit.parts[0];
    if (core::lower_ascii(visit.field("name")) != core::lower_ascii(tasting::two_words(id))) return send(house.sentence(409, house.say("book.not_wiped", {{"name", tasting::two_words(id)}})));
    house.writer().act([id](tasting::Keeper& keeper) { return keeper.wipe(id); }, [send, &house](const core::Status& fate) { send(fate ? House::go_to("/") : house.refused(fate.faults())); });
}

constexpr Route k_routes[] = {{"GET", "/book", Role::host, side_by_side}, {"GET", "/tasting/*/export", Role::host, send_out}, {"POST", "/import", Role::host, take_in}, {"POST", "/tasting/*/wipe", Role::host, wipe}};

}   // namespace

std::span<const Route> book_routes() { return k_routes; }

}   // namespace oddplate::web
