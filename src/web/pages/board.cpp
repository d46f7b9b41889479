// The runner's board: who has which ballot, which tray is on, what is back, when it was last heard of; and what a runner may do. Nothing here knows a version.

#include <algorithm>
#include <ctime>

#include "house.hpp"
#include "oddplate/tasting/evenings.hpp"
#include "oddplate/tasting/names.hpp"
#include "qr.hpp"

namespace oddplate::web {
namespace {

/// "12:41" by this machine's clock of a log's time (UTC).
std::string local_time(const std::string& utc) {
    std::tm parts{};
    if (strptime(utc.c_str(), "%Y-%m-%dT%H:%M:%SZ", &parts) == nullptr) return {};
    const std::time_t when = timegm(&parts);
    localtime_r(&when, &parts);
    char text[6] = "";
    std::strftime(text, sizeof text, "%H:%M", &parts);
    return text;
}

struct Row {
    std::string taster, stage, heard, face;
    int back{0}, of{0};
};

Row row_of(const House& house, const tasting::State& state, int ballot) {
    Row row;
    const draw::RoomBallot& room = state.room.ballots[static_cast<std::size_t>(ballot)];
    row.of = static_cast<int>(room.sets.size());
    for (int s = 0; s < row.of; ++s) row.back += state.answers.contains({ballot, s}) ? 1 : 0;
    if (const auto named = state.tasters.find(ballot); named != state.tasters.end()) row.taster = named->second;
    if (const auto heard = state.heard_of.find(ballot); heard != state.heard_of.end()) row.heard = local_time(heard->second);
    const bool handed = row.back > 0 || std::find(state.handed.begin(), state.handed.end(), ballot) != state.handed.end();
    row.face = state.is_spoiled(ballot) ? "spoiled" : row.back == row.of ? "done" : handed ? "waiting" : room.spare ? "late" : "stack";
    row.stage = house.say("board." + row.face, {{"tray", std::to_string(row.back + 1)}});
    return row;
}

struct Field {
    const char* name;
    bool needed;
};
/// An act of the runner: its fields in the order of asking, and what is done with them.
struct Act {
    const char* name;
    std::vector<Field> fields;
    core::Status (*run)(tasting::Keeper&, const std::string& id, const std::vector<std::string>& given);
};

const std::vector<Act>& acts() {
    using Given = const std::vector<std::string>&;
    static const std::vector<Act> k_acts{
        {"hand", {{"ballot", true}, {"taster", false}}, [](tasting::Keeper& keeper, const std::string& id, Given g) { return keeper.hand(id, g[0], g[1]); }},
        {"spoil", {{"ballot", true}, {"why", true}}, [](tasting::Keeper& keeper, const std::string& id, Given g) { return keeper.spoil(id, g[0], g[1]); }},
        {"swap", {{"ballot", true}, {"other", true}, {"set", true}, {"why", true}}, [](tasting::Keeper& keeper, const std::string& id, Given g) { return keeper.swap(id, g[0], g[1], g[2], g[3]); }},
        {"stop", {{"spot", true}, {"why", true}}, [](tasting::Keeper& keeper, const std::string& id, Given g) { return keeper.stop(id, g[0], g[1]); }},
        {"withdraw", {{"version", true}, {"why", true}}, [](tasting::Keeper& keeper, const std::string& id, Given g) { return keeper.withdraw(id, g[0], g[1]); }}};
    return k_acts;
}

Markup act_forms(const House& house, const Visit& visit) {
    Markup all;
    for (const Act& act : acts()) {
        Markup inside = element("h3", {}, {house.say("board." + std::string(act.name))}) + element("p", {{"class", "small"}}, {house.say("board." + std::string(act.name) + ".how")});
        for (const Field& field : act.fields) {
            Attributes attributes{{"name", field.name}, {"autocomplete", "off"}};
            if (field.needed) attributes.emplace_back("required", "");
            inside += element("label", {}, {house.say("board.field." + std::string(field.name)), element("input", attributes)});
        }
        inside += element("button", {{"type", "submit"}}, {house.say("board." + std::string(act.name))});
        all += house.form(visit, "/tasting/" + visit.parts[0] + "/act/" + act.name, {inside});
    }
    return element("div", {{"class", "acts"}}, {all});
}

Markup rows_of(const House& house, const tasting::State& state, int& done) {
    Markup waiting, back;   // whoever is still out stands first
    for (int b = 0; b < static_cast<int>(state.room.ballots.size()); ++b) {
        const Row row = row_of(house, state, b);
        done += row.face == "done" ? 1 : 0;
        (row.face == "done" || row.face == "spoiled" ? back : waiting) += element("tr", {{"class", row.face}}, {element("th", {{"scope", "row"}}, {state.ballot_name(b)}), element("td", {}, {row.taster}), element("td", {}, {row.stage}),
                                                     element("td", {{"class", "number"}}, {std::to_string(row.back) + " / " + std::to_string(row.of)}), element("td", {{"class", "number"}}, {row.heard})});
    }
    return waiting + back;
}

void board(House& house, const Visit& visit, const Send& send) {
    const auto found = house.state(visit.parts[0]);
    if (!found) return send(house.refused(found.faults()));
    const tasting::State& state = **found;
    if (state.draws.empty()) return send(house.sentence(409, house.say("links.none")));
    // One that has seen this very state is told so: the board asks every two seconds.
    const std::string tag = "\"" + std::to_string(state.last_seq) + "-" + std::to_string(state.draws.size()) + "\"";
    if (visit.request.header("if-none-match") == tag) return send({.status = 304, .type = "", .body = "", .headers = {{"ETag", tag}}});
    std::optional<tasting::Part> part;   // of several evenings the board shows the one that is on
    if (!state.plan.evenings.empty()) part = tasting::part_of(state, state.tonight());
    int done = 0;
    Markup head;
    for (const char* column : {"ballot", "taster", "where", "back", "heard"}) head += element("th", {{"scope", "col"}}, {house.say("board." + std::string(column))});
    const tasting::State& seen = part ? part->state : state;
    const Markup rows = rows_of(house, seen, done);
    Markup live = element("h1", {}, {house.say("board.title", {{"done", std::int64_t{done}}, {"of", static_cast<std::int64_t>(seen.room.ballots.size())}})});
    if (part) live += element("p", {}, {house.say("board.evening", {{"n", std::int64_t{seen.plan.evening}}, {"of", static_cast<std::int64_t>(state.plan.evenings.size())}})});
    for (const auto& stop : state.stops) live += element("p", {{"class", "fault"}}, {house.say("board.stopped", {{"spot", stop.spot}})});
    live += element("table", {{"class", "board"}}, {element("thead", {}, {element("tr", {}, {head})}), element("tbody", {}, {rows})});
    Markup body = element("p", {{"class", "small"}}, {tasting::two_words(state.id)});
    body += element("div", {{"data-live", visit.request.path}, {"data-lost", house.say("board.lost")}}, {live});
    body += element("p", {{"class", "buttons"}}, {element("a", {{"href", visit.request.path}, {"class", "button noscript"}}, {house.say("board.again")}),
                                                  element("a", {{"href", "/tasting/" + state.id + "/links"}, {"class", "button second"}}, {house.say("tasting.links")}),
                                                  element("a", {{"href", "/tasting/" + state.id + "/room/runner.pdf"}, {"class", "button second"}}, {house.say("paper.runner")})});
    if (state.is_open_for_entry()) body += element("details", {}, {element("summary", {}, {house.say("board.acts")}), act_forms(house, visit)});
    Reply reply = House::page({.title = house.say("tasting.board"), .body = body, .kind = "wide"});
    reply.headers.emplace_back("ETag", tag);
    send(std::move(reply));
}

void do_act(House& house, const Visit& visit, const Send& send) {
    const std::string id = visit.parts[0];
    const auto act = std::find_if(acts().begin(), acts().end(), [&](const Act& each) { return visit.parts[1] == each.name; });
    if (act == acts().end()) return send(house.sentence(404, house.say("door.nothing")));
    std::vector<std::string> given;
    for (const Field& field : act->fields) given.push_back(visit.field(field.name));
    house.writer().act([run = act->run, id, given](tasting::Keeper& keeper) { return run(keeper, id, given); },
                       [send, id, &house](const core::Status& fate) { send(fate ? House::go_to("/tasting/" + id + "/board") : house.refused(fate.faults())); });
}

void links(House& house, const Visit& visit, const Send& send) {
    const auto state = house.state(visit.parts[0]);
    if (!state) return send(house.refused(state.faults()));
    if ((*state)->draws.empty()) return send(house.sentence(409, house.say("links.none")));
    Markup all;
    for (const int b : (*state)->plan.ballots_at((*state)->tonight())) {
        const std::string url = house.ballot_link(**state, b);
        all += element("li", {}, {qr(url), element("a", {{"href", url}}, {house.say("taste.ballot", {{"n", (*state)->ballot_name(b)}})})});
    }
    send(House::page({.title = house.say("tasting.links"),
                      .body = element("h1", {}, {house.say("tasting.links")}) + element("p", {}, {house.say("links.how")}) + element("ul", {{"class", "cards"}}, {all}),
                      .kind = "wide"}));
}

constexpr Route k_routes[] = {{"GET", "/tasting/*/board", Role::runner, board}, {"POST", "/tasting/*/act/*", Role::runner, do_act}, {"GET", "/tasting/*/links", Role::runner, links}};

}   // namespace

std::span<const Route> board_routes() { return k_routes; }

}   // namespace oddplate::web
