// The desk: paper slips, typed ballot by ballot with the keyboard alone. A code that is not on its tray is refused at once; an answer that a phone gave
// otherwise is shown beside it, and somebody with the slip in the hand says which stands. A second typing shows what differs and nothing else.

#include <algorithm>

#include "house.hpp"
#include "oddplate/core/text.hpp"
#include "oddplate/tasting/evenings.hpp"
#include "oddplate/tasting/intake.hpp"
#include "oddplate/tasting/names.hpp"
#include "oddplate/tasting/shorthand.hpp"
#include "oddplate/tasting/typed.hpp"
#include "tray_form.hpp"

namespace oddplate::web {
namespace {

std::string desk_path(const Visit& visit, bool second) { return "/tasting/" + visit.parts[0] + (second ? "/second" : "/desk"); }
bool is_second(const Visit& visit) { return visit.request.path.find("/second") != std::string::npos; }

/// A ballot number as typed, or as a scanner reads it off a slip ("ODDPLATE:<tasting>:7:2", a phone's link).
std::string ballot_in(House& house, const tasting::State& state, const std::string& text) {
    const auto parts = core::split(text, ':');
    if (parts.size() == 4 && parts[0] == "ODDPLATE") return parts[1] == state.id ? parts[2] : std::string();
    const std::size_t link = text.find("/t/");
    if (link == std::string::npos) return text;
    const Seat* seat = house.seat_of(text.substr(link + 3, 32));
    return seat != nullptr && seat->tasting == state.id ? state.ballot_name(seat->ballot) : std::string();
}

/// Who gave an answer, in the desk's words.
std::string giver(const House& house, const std::string& from) {
    return house.say(from == "phone" ? "desk.phone" : from == "second" ? "desk.typed_again" : "desk.paper");
}

Markup differences(const House& house, const Visit& visit, const tasting::State& state) {
    Markup all;
    for (const tasting::Difference& each : state.open_differences()) {
        const tasting::KeptAnswer& kept = state.answers.at({each.ballot, each.set});
        const std::map<std::string, core::Argument> facts{{"ballot", state.ballot_name(each.ballot)}, {"tray", std::to_string(each.set + 1)}, {"first", kept.text}, {"other", each.answer},
                                                          {"first_from", giver(house, kept.from)}, {"other_from", giver(house, each.from)}};
        const auto hidden = [](const char* name, const std::string& value) { return element("input", {{"type", "hidden"}, {"name", name}, {"value", value}}); };
        const auto button = [&](const char* which) { return element("button", {{"type", "submit"}, {"name", "stands"}, {"value", which}, {"class", "second"}}, {house.say("desk.stands." + std::string(which), facts)}); };
        all += house.form(visit, "/tasting/" + state.id + "/settle",
                          {hidden("ballot", state.ballot_name(each.ballot)), hidden("set", std::to_string(each.set + 1)), hidden("other", each.answer),
                           element("p", {{"class", "fault"}}, {house.say("desk.differ", facts)}), element("p", {{"class", "buttons"}}, {button("first"), button("other")})});
    }
    return all;
}

void show(House& house, const Visit& visit, const Send& send) {
    const auto state = house.state(visit.parts[0]);
    if (!state) return send(house.refused(state.faults()));
    const bool second = is_second(visit);
    Markup body = element("p", {{"class", "small"}}, {tasting::two_words(visit.parts[0])}) + element("h1", {}, {house.say(second ? "desk.second" : "tasting.desk")});
    if (visit.parts.size() > 1) {
        const int ballot = (*state)->ballot_of(visit.parts[1]);
        if (ballot < 0) return send(house.sentence(404, house.say("door.nothing")));
        body += element("p", {{"class", "kept"}, {"role", "status"}}, {house.say(second ? "desk.compared" : "desk.kept", {{"ballot", visit.parts[1]}})});
    }
    body += differences(house, visit, **state);
    body += house.form(visit, desk_path(visit, second) + "/open", {element("label", {}, {house.say("desk.ballot"), element("input", {{"name", "ballot"}, {"required", ""}, {"autocomplete", "off"}, {"autofocus", ""}})}),
                                                                  element("button", {{"type", "submit"}}, {house.say("desk.open")})});
    if (second) {
        const auto& pass = house.second_pass(visit.parts[0]);
        body += element("p", {}, {house.say("desk.second.count", {{"n", static_cast<std::int64_t>(pass.compared.size())}, {"differed", std::int64_t{pass.differed}}})});
        body += house.form(visit, desk_path(visit, true) + "/end", {element("button", {{"type", "submit"}, {"class", "second"}}, {house.say("desk.second.end")})});
    } else {
        body += element("p", {}, {element("a", {{"href", desk_path(visit, true)}}, {house.say("desk.second.begin")})});
    }
    send(House::page({.title = house.say("tasting.desk"), .body = body, .kind = "desk"}));
}

/// One line a tray: what lies on it, and the box to type into.
Markup line_of(const House& house, const Tray& tray, const std::string& kept, const std::string& typed, const std::string& fault, bool first) {
    const std::string name = "tray-" + std::to_string(tray.set + 1);
    const bool one_code = std::holds_alternative<methods::OneCode>(tray.shape());
    Attributes box{{"name", name}, {"autocomplete", "off"}, {"data-codes", core::joined(tray.room().codes, " ")}, {"data-not-here", house.say("desk.not_here", {{"codes", core::joined(tray.room().codes, ", ")}})}};
    if (one_code) box.emplace_back("data-one", "yes");
    if (std::holds_alternative<methods::ScoreEach>(tray.shape()) || std::holds_alternative<methods::TickEach>(tray.shape())) box.emplace_back("data-numbers", "yes");
    if (!typed.empty()) box.emplace_back("value", typed);
    else if (!kept.empty()) box.emplace_back("placeholder", house.say("desk.is_kept", {{"answer", kept}}));
    if (!fault.empty()) box.emplace_back("aria-invalid", "true");
    if (first) box.emplace_back("autofocus", "");
    Markup line = element("label", {}, {element("span", {}, {house.say("desk.tray", {{"n", std::to_string(tray.set + 1)}})}), element("span", {{"class", "small"}}, {core::joined(tray.room().codes, "  ")}),
                                       element("input", box)});
    return line + element("p", fault.empty() ? Attributes{{"class", "fault"}, {"role", "alert"}, {"hidden", ""}} : Attributes{{"class", "fault"}, {"role", "alert"}}, {fault});
}

using Lines = std::map<int, std::string>;   // by set; -1 is the last box

Page ballot_page(const House& house, const Visit& visit, const tasting::State& state, int ballot, const Lines& typed, const Lines& faults) {
    const bool second = is_second(visit);
    const auto of = [](const Lines& lines, int set) { const auto found = lines.find(set); return found == lines.end() ? std::string() : found->second; };
    Markup lines = element("input", {{"type", "hidden"}, {"name", "ballot"}, {"value", state.ballot_name(ballot)}});
    bool first = true;
    const int sets = static_cast<int>(state.room.ballots[static_cast<std::size_t>(ballot)].sets.size());
    for (int set = 0; set < sets; ++set) {
        const auto kept = state.answers.find({ballot, set});
        lines += line_of(house, {state, ballot, set}, second || kept == state.answers.end() ? std::string() : kept->second.text, of(typed, set), of(faults, set), first && (faults.empty() || faults.contains(set)));
        first = first && !(faults.empty() || faults.contains(set));
    }
    if (!second)
        lines += element("label", {}, {house.say("desk.last_box"), element("select", {{"name", "tray-0"}}, {element("option", {{"value", " "}}, {house.say("desk.unmarked")}), element("option", {{"value", "no"}}, {house.say("taste.no")}),
                                                                                                      element("option", {{"value", "yes"}}, {house.say("taste.yes")})})}) + element("label", {}, {house.say("desk.last_box.what"), element("input", {{"name", "what"}, {"maxlength", "200"}, {"autocomplete", "off"}})});
    lines += element("button", {{"type", "submit"}}, {house.say(second ? "desk.compare" : "desk.keep")});
    Markup body = element("p", {{"class", "small"}}, {tasting::two_words(state.id)}) + element("h1", {}, {house.say("taste.ballot", {{"n", state.ballot_name(ballot)}})});
    body += element("div", {{"data-slip", ""}}, {house.form(visit, desk_path(visit, second), {lines})});
    Markup how;
    for (const std::string& line : tasting::how_to_type(state, house.words())) how += element("p", {{"class", "small"}}, {line});
    body += how + element("p", {}, {element("a", {{"href", desk_path(visit, second)}}, {house.say("desk.back")})});
    constexpr int k_many = 6;   // more boxes than a laptop shows below each other stand in columns
    return {.title = house.say("tasting.desk"), .body = body, .kind = sets > k_many ? "desk many" : "desk"};
}

void open(House& house, const Visit& visit, const Send& send) {
    const auto state = house.state(visit.parts[0]);
    if (!state) return send(house.refused(state.faults()));
    const int ballot = (*state)->ballot_of(tasting::ballot_typed(**state, ballot_in(house, **state, visit.field("ballot"))));
    if (ballot < 0) return send(house.sentence(422, (*state)->plan.evenings.empty() ? house.say("desk.no_ballot", {{"last", static_cast<std::int64_t>((*state)->room.ballots.size())}}) : house.say("desk.no_ballot_evenings", {{"first", (*state)->ballot_name(0)}})));
    send(House::page(ballot_page(house, visit, **state, ballot, {}, {})));
}

/// All lines of one ballot, answered when every one of them has its fate.
struct Batch {
    std::mutex guard;
    Lines faults;
    int open{0};
};

void take(House& house, const Visit& visit, const Send& send) {
    const auto found = house.state(visit.parts[0]);
    if (!found) return send(house.refused(found.faults()));
    const tasting::State& state = **found;
    const int ballot = state.ballot_of(visit.field("ballot"));
    if (ballot < 0) return send(house.sentence(404, house.say("door.nothing")));
    const std::string name = state.ballot_name(ballot), back = desk_path(visit, false) + "/" + name;
    Lines typed;
    for (int set = -1; set < static_cast<int>(state.room.ballots[static_cast<std::size_t>(ballot)].sets.size()); ++set) {
        const std::string text = visit.field("tray-" + std::to_string(set + 1)), what = set < 0 ? visit.field("what") : std::string();
        if (!what.empty() && core::trimmed(text).empty()) typed[set] = "yes; " + what;   // who says what it was has ticked it
        else if (!text.empty()) typed[set] = what.empty() ? text : text + "; " + what;   // nothing typed: that slip is not back yet
    }
    if (typed.empty()) return send(House::go_to(back));
    // The page for what is refused is made here, while the visit lasts; the replies come later, from another thread.
    const auto refused = std::make_shared<std::function<Page(const Lines&)>>(
        [&house, state, ballot, typed, request = visit.request, parts = visit.parts, role = visit.role](const Lines& faults) {
            return ballot_page(house, Visit{.request = request, .parts = parts, .role = role}, state, ballot, typed, faults);
        });
    const auto batch = std::make_shared<Batch>();
    batch->open = static_cast<int>(typed.size());
    for (const auto& [set, text] : typed) {
        const tasting::Typed line = tasting::typed_line(text);
        house.writer().answer(state.id, {.line = 0, .ballot = name, .set = std::to_string(set + 1), .answer = line.answer, .note = line.note}, "desk", [=, &house, set = set](const core::Status& fate) {
            const std::scoped_lock lock(batch->guard);
            const bool differs = !fate && set >= 0 && fate.faults().front().code == "answered-already";   // which the page says by itself
            if (!fate && !differs) batch->faults[set] = house.told(fate.faults());
            if (--batch->open > 0) return;
            if (batch->faults.empty()) return send(House::go_to(back));
            send({.status = 422, .body = document((*refused)(batch->faults))});
        });
    }
}

/// The second typing changes no answer: it looks, and what differs goes to whoever holds the slip.
void compare(House& house, const Visit& visit, const Send& send) {
    const auto state = house.state(visit.parts[0]);
    if (!state) return send(house.refused(state.faults()));
    const int ballot = (*state)->ballot_of(visit.field("ballot"));
    if (ballot < 0) return send(house.sentence(404, house.say("door.nothing")));
    auto& pass = house.second_pass(visit.parts[0]);
    Lines typed, faults;
    std::vector<tasting::OtherAnswer> others;
    for (int set = 0; set < static_cast<int>((*state)->room.ballots[static_cast<std::size_t>(ballot)].sets.size()); ++set) {
        const std::string text = visit.field("tray-" + std::to_string(set + 1));
        const auto kept = (*state)->answers.find({ballot, set});
        if (text.empty() || kept == (*state)->answers.end()) continue;
        typed[set] = text;
        const auto answer = tasting::answer_text(**state, ballot, set, text);
        if (!answer) faults[set] = house.told(answer.faults());
        else if (kept->second.text != *answer) others.push_back({ballot, set, *answer});
    }
    if (!faults.empty()) return send({.status = 422, .body = document(ballot_page(house, visit, **state, ballot, typed, faults))});
    for (const auto& [set, text] : typed) {
        const bool differs = std::any_of(others.begin(), others.end(), [set = set](const tasting::OtherAnswer& other) { return other.set == set; });
        if (pass.compared.insert({ballot, set}).second && differs) ++pass.differed;
    }
    const std::string id = visit.parts[0], back = desk_path(visit, true) + "/" + (*state)->ballot_name(ballot);
    if (others.empty()) return send(House::go_to(back));
    house.writer().act(
        [=](tasting::Keeper& keeper) -> core::Status {
            auto now = keeper.load(id);
            if (!now) return now.faults();
            return keeper.note_differing(*now, others, "second");
        },
        [send, back, &house](const core::Status& fate) { send(fate ? House::go_to(back) : house.refused(fate.faults())); });
}

void end_second(House& house, const Visit& visit, const Send& send) {
    auto& pass = house.second_pass(visit.parts[0]);
    const std::string id = visit.parts[0];
    const int compared = static_cast<int>(pass.compared.size()), differed = pass.differed;
    pass = {};
    if (compared == 0) return send(House::go_to(desk_path(visit, false)));
    house.writer().act([=](tasting::Keeper& keeper) { return keeper.note_second_pass(id, compared, differed); },
                       [send, id, &house](const core::Status& fate) { send(fate ? House::go_to("/tasting/" + id + "/desk") : house.refused(fate.faults())); });
}

void settle(House& house, const Visit& visit, const Send& send) {
    const std::string id = visit.parts[0], ballot = visit.field("ballot"), set = visit.field("set"), other = visit.field("other");
    const std::string why = house.say("desk.why");
    const bool first_stands = visit.field("stands") != "other";
    house.writer().act([=](tasting::Keeper& keeper) { return first_stands ? keeper.let_stand(id, ballot, set, why) : keeper.correct(id, {.ballot = ballot, .set = set, .answer = other, .why = why}); },
                       [send, id, &house](const core::Status& fate) { send(fate ? House::go_to("/tasting/" + id + "/desk") : house.refused(fate.faults())); });
}

constexpr Route k_routes[] = {{"GET", "/tasting/*/desk", Role::desk, show},           {"GET", "/tasting/*/desk/*", Role::desk, show},
                              {"POST", "/tasting/*/desk/open", Role::desk, open},     {"POST", "/tasting/*/desk", Role::desk, take},
                              {"GET", "/tasting/*/second", Role::desk, show},         {"GET", "/tasting/*/second/*", Role::desk, show},
                              {"POST", "/tasting/*/second/open", Role::desk, open},   {"POST", "/tasting/*/second", Role::desk, compare},
                              {"POST", "/tasting/*/second/end", Role::desk, end_second}, {"POST", "/tasting/*/settle", Role::desk, settle}};

}   // namespace

std::span<const Route> desk_routes() { return k_routes; }

}   // namespace oddplate::web
