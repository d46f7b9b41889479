// The kitchen's screen: fill and trays pass by pass, with boxes large enough for a wet thumb. It opens by its own link only and says what it is.

#include "oddplate/report/kitchen_list.hpp"
#include "oddplate/tasting/names.hpp"
#include "papers_of.hpp"

namespace oddplate::web {
namespace {

Markup tick(const std::string& key, const Markup& shown, const char* face) {
    return element("label", {{"class", face}}, {element("input", {{"type", "checkbox"}, {"data-tick", key}}), element("span", {}, {shown})});
}

Markup fill_rows(const House& house, const report::PassList& pass, const std::string& key) {
    Markup all;
    for (const auto& row : pass.fill) {
        Markup codes;
        for (const std::string& code : row.codes) codes += tick(key + "/" + code, code, "cup");
        all += element("h3", {}, {row.tub, " ", element("span", {{"class", "small"}}, {row.spot + " · " + house.say("kitchen.cups", {{"n", static_cast<std::int64_t>(row.codes.size())}})})}) +
               element("div", {{"class", "cups"}}, {codes});
    }
    return all;
}

Markup tray_rows(const House& house, const report::PassList& pass, const std::string& key) {
    Markup all;
    for (const auto& row : pass.trays) {
        Markup codes;
        for (const std::string& code : row.codes) codes += element("b", {}, {code});
        all += element("li", {}, {tick(key + "/tray-" + row.ballot, element("span", {{"class", "small"}}, {house.say("taste.ballot", {{"n", row.ballot}})}) + codes, "tray")});
    }
    return element("ul", {{"class", "trays"}}, {all});
}

Page page_of(const House& house, const tasting::State& state, const report::KitchenList& list, bool letters) {
    const std::string path = "/tasting/" + state.id + "/kitchen";
    Markup body = element("p", {{"class", "face"}}, {list.face}) + element("p", {{"class", "small"}}, {tasting::two_words(state.id)}) + element("h1", {}, {house.say("kitchen.title")});
    body += element("p", {}, {house.say(letters ? "kitchen.letters" : "kitchen.names")});
    body += element("p", {{"class", "buttons"}}, {element("a", {{"href", letters ? path : path + "/letters"}, {"class", "button second"}}, {house.say(letters ? "kitchen.to_names" : "kitchen.to_letters")}),
                                                  element("a", {{"href", path + (letters ? "/letters/" : "/names/") + "kitchen.pdf"}, {"class", "button second"}}, {house.say("paper.kitchen")}),
                                                  element("a", {{"href", path + (letters ? "/letters/" : "/names/") + "labels.pdf"}, {"class", "button second"}}, {house.say("paper.labels")})});
    for (const std::string& line : list.off) body += element("p", {}, {element("strong", {}, {line})});
    body += element("p", {}, {list.safety});
    int number = 0;
    for (const auto& pass : list.passes) {
        const std::string key = state.id + "/" + std::to_string(state.draw().number) + "/" + std::to_string(++number);
        body += element("section", {{"class", "pass"}}, {element("h2", {}, {pass.title}), element("p", {}, {pass.when}), element("h3", {{"class", "step"}}, {house.say("kitchen.fill")}), fill_rows(house, pass, key),
                                                        element("h3", {{"class", "step"}}, {house.say("kitchen.trays")}), tray_rows(house, pass, key)});
    }
    return {.title = house.say("kitchen.title"), .body = body, .kind = "kitchen wide"};
}

void kitchen(House& house, const Visit& visit, const Send& send, bool letters) {
    const std::string id = visit.parts[0];
    const auto page = std::make_shared<Page>();
    house.writer().act(   // that the list of codes was looked at stands in the log, so the hand that writes does it
        [id, letters, page, &house](tasting::Keeper& keeper) -> core::Status {
            const auto state = keeper.load(id);
            if (!state) return state.faults();
            const auto key = kitchen_key(house, keeper, *state);
            if (!key) return key.faults();
            const tasting::Part part = tasting::part_of(*state, state->tonight());
            const report::RoomPapers room = room_papers(house, *state, part, report::PaperSize::a4);
            const draw::Key shown = tasting::key_part(key->key, part.ballots);
            *page = page_of(house, *state, report::kitchen_list({.room = room, .key = shown, .blind_tubs = letters, .off = report::recipes_off(part.state)}, house.words()), letters);
            return house.first_time(id + "/kitchen") ? keeper.note_printed(id, {"kitchen/screen"}) : core::Status(core::Done{});
        },
        [send, page, &house](const core::Status& fate) { send(fate ? House::page(*page) : house.refused(fate.faults())); });
}

void with_names(House& house, const Visit& visit, const Send& send) { kitchen(house, visit, send, false); }
void with_letters(House& house, const Visit& visit, const Send& send) { kitchen(house, visit, send, true); }

constexpr Route k_routes[] = {{"GET", "/tasting/*/kitchen", Role::kitchen, with_names}, {"GET", "/tasting/*/kitchen/letters", Role::kitchen, with_letters}};

}   // namespace

std::span<const Route> kitchen_routes() { return k_routes; }

}   // namespace oddplate::web
