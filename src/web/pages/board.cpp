// The runner's board: who has which ballot, which tray is on, what is back, when it was last heard of; and what a runner may do. Nothing that a runner sees knows a version.

#include <algorithm>
#include <ctime>
#include <optional>

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

using Options = std::vector<std::pair<std::string, std::string>>;   ///< value and what is shown of it

/// What a field may be where that is a list; nothing where it is free text. Recipes are listed for the host alone: guests look over a runner's shoulder.
std::optional<Options> options_of(const tasting::State& state, const std::string& field, Role role) {
    Options all;
    if (field == "version") {
        if (role != Role::host) return std::nullopt;
        for (const auto& version : state.plan.versions)
            if (!state.is_withdrawn(version.id)) all.emplace_back(version.id, version.label.empty() ? version.id : version.label);
        return all;
    }
    if (field != "spot") return std::nullopt;
    for (const auto& round : state.plan.rounds)
        for (const std::string& spot : round.spots)
            if (!spot.empty() && !state.is_stopped(spot) && std::find(all.begin(), all.end(), std::pair{spot, spot}) == all.end()) all.emplace_back(spot, spot);
    return all;
}

/// A field, with what was typed into it before it was refused.
Markup box_of(const tasting::State& state, const Field& field, Role role, const std::string& typed) {
    Attributes attributes{{"name", field.name}};
    if (field.needed) attributes.emplace_back("required", "");
    const auto options = options_of(state, field.name, role);
    if (!options) {
        attributes.emplace_back("autocomplete", "off");
        if (!typed.empty()) attributes.emplace_back("value", typed);
        return element("input", attributes);
    }
    Markup all = element("option", {{"value", ""}}, {"–"});   // nothing is chosen by not looking
    for (const auto& [value, shown] : *options) all += element("option", value == typed ? Attributes{{"value", value}, {"selected", ""}} : Attributes{{"value", value}}, {shown});
    return element("select", attributes, {all});
}

/// An act that was refused: which, why, and the form as it was sent.
struct Refused {
    std::string act, why;
    std::multimap<std::string, std::string, std::less<>> form;
};

Markup act_forms(const House& house, const Visit& visit, const tasting::State& state, const Refused& refused) {
    Markup all;
    for (const Act& act : acts()) {
        const std::string name = act.name;
        if (std::any_of(act.fields.begin(), act.fields.end(), [&](const Field& field) { const auto options = options_of(state, field.name, visit.role); return options && options->empty(); })) continue;
        Markup inside = element("h2", {}, {house.say("board." + name)});
        if (name == refused.act) inside += element("p", {{"class", "fault"}, {"role", "alert"}}, {refused.why});
        inside += element("p", {{"class", "small"}}, {house.say("board." + name + ".how")});
        for (const Field& field : act.fields) {
            const auto typed = name == refused.act ? refused.form.find(field.name) : refused.form.end();
            const char* const kind = options_of(state, field.name, visit.role) ? "board.list." : "board.field.";
            inside += element("label", {}, {house.say(kind + std::string(field.name)), box_of(state, field, visit.role, typed == refused.form.end() ? std::string() : typed->second)});
        }
        inside += element("button", {{"type", "submit"}}, {house.say("board." + name)});
        all += house.form(visit, "/tasting/" + visit.parts[0] + "/act/" + name, {inside});
    }
    return element("div", {{"class", "acts"}}, {all});
}

/// Ballots that are done, the planned ones apart from the spares.
struct Count {
    std::int64_t done{0}, of{0};
};
struct Counts {
    Count planned, spare;
};

Markup rows_of(const House& house, const tasting::State& state, Counts& counts) {
    Markup waiting, back;   // whoever is still out stands first
    for (int b = 0; b < static_cast<int>(state.room.ballots.size()); ++b) {
        const Row row = row_of(house, state, b);
        Count& count = state.room.ballots[static_cast<std::size_t>(b)].spare ? counts.spare : counts.planned;
        ++count.of;
        count.done += row.face == "done" ? 1 : 0;
        (row.face == "done" || row.face == "spoiled" ? back : waiting) += element("tr", {{"class", row.face}}, {element("th", {{"scope", "row"}}, {state.ballot_name(b)}), element("td", {}, {row.taster}), element("td", {}, {row.stage}),
                                                     element("td", {{"class", "number"}}, {std::to_string(row.back) + " / " + std::to_string(row.of)}), element("td", {{"class", "number"}}, {row.heard})});
    }
    return waiting + back;
}

/// The board as it stands; with what was refused on top of it, its form open.
Page board_page(const House& house, const Visit& visit, const tasting::State& state, const Refused& refused) {
    std::optional<tasting::Part> part;   // of several evenings the board shows the one that is on
    if (!state.plan.evenings.empty()) part = tasting::part_of(state, state.tonight());
    Counts counts;
    Markup head;
    for (const char* column : {"ballot", "taster", "where", "back", "heard"}) head += element("th", {{"scope", "col"}}, {house.say("board." + std::string(column))});
    const tasting::State& seen = part ? part->state : state;
    const Markup rows = rows_of(house, seen, counts);
    const auto& [planned, spare] = counts;
    std::string title = house.say("board.title", {{"done", planned.done}, {"of", planned.of}});
    if (spare.of > 0) title += house.say(spare.done > 0 ? "board.title.spares_done" : "board.title.spares", {{"done", spare.done}, {"of", spare.of}});
    Markup live = element("p", {{"class", "lead"}}, {element("strong", {}, {title})});
    if (part) live += element("p", {}, {house.say("board.evening", {{"n", std::int64_t{seen.plan.evening}}, {"of", static_cast<std::int64_t>(state.plan.evenings.size())}})});
    for (const auto& stop : state.stops) live += element("p", {{"class", "fault"}}, {house.say("board.stopped", {{"spot", stop.spot}})});
    live += element("table", {{"class", "board"}}, {element("thead", {}, {element("tr", {}, {head})}), element("tbody", {}, {rows})});
    const std::string here = "/tasting/" + state.id + "/board";
    Markup body = element("p", {{"class", "small"}}, {tasting::two_words(state.id)}) + element("h1", {}, {house.say("tasting.board")});
    if (!refused.why.empty()) body += element("p", {{"class", "fault"}, {"role", "alert"}}, {house.say("board.refused", {{"act", house.say("board." + refused.act)}}), " ", refused.why});
    if (state.is_open_for_entry())   // above the rows: of forty-eight ballots nobody scrolls to the end when a tray has just gone down
        body += element("details", refused.why.empty() ? Attributes{} : Attributes{{"open", ""}}, {element("summary", {}, {house.say("board.acts")}), act_forms(house, visit, state, refused)});
    body += element("div", {{"data-live", here}, {"data-lost", house.say("board.lost")}}, {live});
    body += element("p", {{"class", "buttons"}}, {element("a", {{"href", here}, {"class", "button noscript"}}, {house.say("board.again")}),
                                                  element("a", {{"href", "/tasting/" + state.id + "/links"}, {"class", "button second"}}, {house.say("tasting.links")}),
                                                  element("a", {{"href", "/tasting/" + state.id + "/room/runner.pdf"}, {"class", "button second"}}, {house.say("paper.runner")})});
    return {.title = house.say("tasting.board"), .body = body, .kind = "wide"};
}

void board(House& house, const Visit& visit, const Send& send) {
    const auto found = house.state(visit.parts[0]);
    if (!found) return send(house.refused(found.faults()));
    const tasting::State& state = **found;
    if (state.draws.empty()) return send(house.sentence(409, house.say("links.none")));
    // One that has seen this very state is told so: the board asks every two seconds.
    const std::string tag = "\"" + std::to_string(state.last_seq) + "-" + std::to_string(state.draws.size()) + "\"";
    if (visit.request.header("if-none-match") == tag) return send({.status = 304, .type = "", .body = "", .headers = {{"ETag", tag}}});
    Reply reply = House::page(board_page(house, visit, state, {}));
    reply.headers.emplace_back("ETag", tag);
    send(std::move(reply));
}

void do_act(House& house, const Visit& visit, const Send& send) {
    const std::string id = visit.parts[0];
    const auto act = std::find_if(acts().begin(), acts().end(), [&](const Act& each) { return visit.parts[1] == each.name; });
    if (act == acts().end()) return send(house.sentence(404, house.say("door.nothing")));
    const auto state = house.state(id);
    if (!state) return send(house.refused(state.faults()));
    if ((*state)->draws.empty()) return send(house.sentence(409, house.say("links.none")));
    std::vector<std::string> given;
    for (const Field& field : act->fields) given.push_back(visit.field(field.name));
    // The page for what is refused is made from the state as it was asked of; the reply comes later, from another thread.
    const auto refused = [&house, state = **state, name = visit.parts[1], request = visit.request, parts = visit.parts, form = visit.form, role = visit.role](const core::Faults& faults) -> Reply {
        if (core::exit_code(faults) == 1) return house.refused(faults);
        const std::string why = faults.front().where == "--version" ? house.say("board.no_recipe") : faults.front().text;
        return {.status = 409, .body = document(board_page(house, Visit{.request = request, .parts = parts, .form = {}, .role = role}, state, {name, why, form}))};
    };
    house.writer().act([run = act->run, id, given](tasting::Keeper& keeper) { return run(keeper, id, given); },
                       [send, id, refused](const core::Status& fate) { send(fate ? House::go_to("/tasting/" + id + "/board") : refused(fate.faults())); });
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
