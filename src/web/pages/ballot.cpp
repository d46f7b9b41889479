// A taster's pages: one set a screen, the codes large, nothing to learn. Every answer is a plain form, and the reply comes when it is on the disk. The
// further sets of the ballot lie folded in the page, so that a phone that loses the network can go on and send later: the tray's own link and number are
// the key under which an answer is kept once, however often it is sent.

#include <algorithm>

#include "oddplate/tasting/names.hpp"
#include "tray_form.hpp"

namespace oddplate::web {
namespace {

/// The first set from `from` on that has no answer; -1 where only the last box is left, -2 where nothing is.
int next_set(const tasting::State& state, int ballot, int from) {
    const int sets = static_cast<int>(state.room.ballots[static_cast<std::size_t>(ballot)].sets.size());
    for (int s = from; s < sets; ++s)
        if (!state.is_stopped(Tray{state, ballot, s}.spot()) && !state.answers.contains({ballot, s})) return s;
    return state.told.contains(ballot) ? -2 : -1;
}

Markup heading(const Tongue& in, const tasting::State& state, int ballot, int set) {
    const std::size_t trays = state.room.ballots[static_cast<std::size_t>(ballot)].sets.size();
    Markup big = element("span", {{"class", "big"}}, {in.say("taste.ballot", {{"n", state.ballot_name(ballot)}})});
    if (set >= 0) big += element("span", {{"class", "big"}}, {in.say("taste.tray", {{"n", std::to_string(set + 1)}, {"of", std::to_string(trays)}})});
    return element("p", {{"class", "small"}}, {tasting::two_words(state.id)}) + element("h1", {}, {big});
}

Markup kept_line(const Tongue& in, const tasting::State& state, int ballot, int before) {
    const auto kept = state.answers.find({ballot, before});
    if (kept == state.answers.end()) return element("p", {{"class", "kept"}, {"role", "status"}, {"hidden", ""}});
    const std::string tray = std::to_string(before + 1), answer = said_back({state, ballot, before}, report::Voice(in.words, state.plan), kept->second.text);
    return element("p", {{"class", "kept"}, {"role", "status"}}, {answer.empty() ? in.say("taste.kept_tray", {{"tray", tray}}) : in.say("taste.kept", {{"tray", tray}, {"answer", answer}})});
}

/// The words of what script does on the phone; it has none of its own.
Attributes phone_words(const Tongue& in, const std::string& path) {
    return {{"data-queue", path},
            {"data-sending", in.say("taste.sending")},
            {"data-held", in.say("taste.held")},
            {"data-wait", in.say("taste.wait", {{"left", std::string("%")}})},
            {"data-ready", in.say("taste.ready")}};
}

Markup set_section(const Tongue& in, const report::Voice& voice, const std::string& path, const Tray& tray) {
    const methods::Round& round = tray.round();
    Markup body = heading(in, tray.state, tray.ballot, tray.set);
    if (!round.hide_spots && !tray.spot().empty()) body += element("p", {{"class", "small"}}, {tray.spot()});
    const int sitting = round.sittings > 1 ? report::sitting_on(tray.sets(), tray.set) : 1;
    if (sitting > 1) body += element("p", {{"class", "until"}}, {in.say("taste.sitting", {{"n", std::to_string(sitting)}})});
    else if (tray.set > 0) body += element("p", {{"class", "wait"}, {"data-minutes", "2"}}, {in.say("taste.pause")});
    body += element("p", {}, {voice.ask(round, "look") + " " + voice.ask(round, "how")});
    Markup form = element("fieldset", {}, {element("legend", {}, {voice.ask_or(round, "tap", voice.ask(round, "ask"))}), choices_of(tray, voice)});
    const std::size_t may_lack = tray.may_lack();
    if (may_lack > 0) form += element("p", {{"class", "until"}, {"data-withdrawn", ""}, {"data-may-lack", std::to_string(may_lack)}}, {in.say("taste.lack", {{"n", static_cast<std::int64_t>(may_lack)}})});
    form += element("label", {{"class", "note"}}, {voice.ask(round, "comment"), element("input", {{"name", "note"}, {"maxlength", "200"}, {"autocomplete", "off"}})});
    form += element("button", {{"type", "submit"}}, {in.say("taste.send")});
    if (report::method_of(round).may_abstain(round))
        form += element("button", {{"type", "submit"}, {"name", "none"}, {"value", "yes"}, {"formnovalidate", ""}, {"class", "second"}}, {voice.ask_or(round, "none", voice.say("none"))});
    if (tray.may_stay_out())   // a tray of two that lacks one asks nothing
        form += element("button", {{"type", "submit"}, {"name", "none"}, {"value", "served"}, {"formnovalidate", ""}, {"class", "second"}, {"data-withdrawn", ""}}, {in.say("taste.no_tray")});
    return body + element("form", {{"method", "post"}, {"action", path + "/" + std::to_string(tray.set + 1)}}, {form});
}

Markup last_box(const Tongue& in, const report::Voice& voice, const std::string& path, const tasting::State& state, int ballot) {
    const int last = static_cast<int>(state.room.ballots[static_cast<std::size_t>(ballot)].sets.size()) - 1;
    Markup form = element("fieldset", {}, {element("legend", {}, {voice.ask(Tray{state, ballot, last}.round(), "before")}),
                                           element("div", {{"class", "tickets"}}, {choice("radio", "pick", "no", in.say("taste.no"), "ticket word"), choice("radio", "pick", "yes", in.say("taste.yes"), "ticket word")}),
                                           element("label", {{"class", "note"}}, {in.say("taste.what"), element("input", {{"name", "note"}, {"maxlength", "200"}})})});
    form += element("button", {{"type", "submit"}}, {in.say("taste.send")});
    return heading(in, state, ballot, -1) + element("form", {{"method", "post"}, {"action", path + "/0"}}, {form});
}

Markup done(const Tongue& in, const tasting::State& state, int ballot, const char* words) {
    return heading(in, state, ballot, -1) + element("p", {{"class", "sentence"}}, {in.say(words)});
}

/// The page at one place of the ballot (-1: the last box), what comes after it folded in.
Page open_page(const Tongue& in, const std::string& path, const tasting::State& state, int ballot, int set) {
    const int sets = static_cast<int>(state.room.ballots[static_cast<std::size_t>(ballot)].sets.size());
    const report::Voice voice(in.words, state.plan);
    const auto section = [&](int at) { return at < 0 ? last_box(in, voice, path, state, ballot) : set_section(in, voice, path, {state, ballot, at}); };
    Markup body = kept_line(in, state, ballot, set < 0 ? sets - 1 : set - 1);
    body += element("section", {{"data-tray", std::to_string(set + 1)}}, {section(set)});
    Markup folded;
    for (int at = set; at >= 0;) {
        at = next_set(state, ballot, at + 1);
        if (at >= -1) folded += element("template", {{"data-tray", std::to_string(at + 1)}}, {section(at)});
    }
    folded += element("template", {{"data-tray", "done"}}, {done(in, state, ballot, "taste.done")});
    return {.title = in.say("taste.title"), .body = element("div", phone_words(in, path), {body, folded}), .kind = "taste", .language = in.code};
}

/// The seat that the path's token opens, or the reply that says why there is none.
const Seat* seat(House& house, const Visit& visit, const Send& send) {
    if (house.guesses_too_much(visit.request.peer)) {
        send(house.sentence(429, house.tongue(visit.request).say("door.guesses")));
        return nullptr;
    }
    const Seat* found = house.seat_of(visit.parts[0]);
    if (found != nullptr) return found;
    house.count_guess(visit.request.peer);
    send(house.sentence(404, house.tongue(visit.request).say("door.link")));
    return nullptr;
}

void show_from(House& house, const Visit& visit, const Send& send, int first) {
    const Seat* at = seat(house, visit, send);
    if (at == nullptr) return;
    const auto state = house.state(at->tasting);
    if (!state) return send(house.refused(state.faults()));
    const std::string path = "/t/" + visit.parts[0];
    const Tongue& in = house.tongue(visit.request);
    int set = next_set(**state, at->ballot, first);
    if (first > 0 && set < 0) set = next_set(**state, at->ballot, 0);   // an earlier tray may still be open
    const auto only = [&](const char* words) {
        const int last = static_cast<int>((*state)->room.ballots[static_cast<std::size_t>(at->ballot)].sets.size()) - 1;
        const Markup body = kept_line(in, **state, at->ballot, last) + done(in, **state, at->ballot, words);
        send(House::page({.title = in.say("taste.title"), .body = element("div", phone_words(in, path), {body}), .kind = "taste", .language = in.code}));
    };
    if ((*state)->is_spoiled(at->ballot)) return only("taste.spoiled");
    if (set == -2) return only("taste.done");
    const bool evening_over = !(*state)->plan.evenings.empty() && (*state)->is_over((*state)->plan.evening_at(at->ballot));
    if (!(*state)->is_open_for_entry() || evening_over) return only("taste.over");
    send(House::page(open_page(in, path, **state, at->ballot, set)));
}

void show(House& house, const Visit& visit, const Send& send) { show_from(house, visit, send, 0); }

/// Which set the path names, 0-based; -1 the last box; nothing where there is none such.
std::optional<int> set_in(const std::string& text, std::size_t sets) {
    for (std::size_t s = 0; s <= sets; ++s)
        if (text == std::to_string(s)) return static_cast<int>(s) - 1;
    return std::nullopt;
}

/// A slip's own link: its tray where that is still open.
void show_tray(House& house, const Visit& visit, const Send& send) { show_from(house, visit, send, set_in(visit.parts[1], 100).value_or(0)); }

/// Why an answer was not kept, in the guest's own words: what can be done about it is for the host.
std::string why_not_kept(const House& house, const Tongue& in, const core::Faults& faults) {
    if (core::exit_code(faults) == 1) return house.told(faults);
    const std::string& code = faults.front().code;
    if (code == "answered-already") return in.say("taste.already");
    if (code == "spoiled") return in.say("taste.spoiled");
    if (code == "closed" || code == "opened-early" || code == "evening-over") return in.say("taste.over");
    return in.say("taste.not_whole");
}

void take(House& house, const Visit& visit, const Send& send) {
    const Seat* at = seat(house, visit, send);
    if (at == nullptr) return;
    const auto state = house.state(at->tasting);
    if (!state) return send(house.refused(state.faults()));
    const Tongue& in = house.tongue(visit.request);
    const auto set = set_in(visit.parts[1], (*state)->room.ballots[static_cast<std::size_t>(at->ballot)].sets.size());
    if (!set) return send(house.sentence(404, house.say("door.nothing")));
    const std::string answer = *set < 0 ? visit.field("pick") : answer_in(visit, {**state, at->ballot, *set});
    const std::string path = "/t/" + visit.parts[0], tasting = at->tasting;
    house.writer().answer(tasting, {.line = 0, .ballot = (*state)->ballot_name(at->ballot), .set = visit.parts[1], .answer = answer, .note = visit.field("note")}, "phone",
                          [send, path, &house, &in](const core::Status& fate) {
                              if (fate) return send(House::go_to(path));
                              Markup body = element("p", {{"class", "sentence"}}, {in.say("taste.not_kept")});
                              body += element("p", {}, {why_not_kept(house, in, fate.faults())});
                              body += element("p", {}, {element("a", {{"href", path}, {"class", "button"}}, {in.say("taste.back")})});
                              const int status = core::exit_code(fate.faults()) == 1 ? 503 : 409;
                              send({.status = status, .body = document({.title = in.say("taste.title"), .body = body, .kind = "taste", .language = in.code})});
                          });
}

constexpr Route k_routes[] = {{"GET", "/t/*", Role::nobody, show}, {"GET", "/t/*/*", Role::nobody, show_tray}, {"POST", "/t/*/*", Role::nobody, take}};

}   // namespace

std::span<const Route> ballot_routes() { return k_routes; }

}   // namespace oddplate::web
