// The host's page of one tasting: the plan, the draw, the links, the papers, close.

#include <algorithm>
#include <optional>

#include "house.hpp"
#include "oddplate/report/plan_words.hpp"
#include "oddplate/tasting/evenings.hpp"
#include "oddplate/tasting/names.hpp"

namespace oddplate::web {
namespace {

using tasting::Stage;

Markup links_to(const House& house, const std::string& path, std::initializer_list<const char*> pages) {
    Markup all;
    for (const char* page : pages) all += element("a", {{"href", path + "/" + page}, {"class", "button"}}, {house.say("tasting." + std::string(page))});
    return element("p", {{"class", "buttons"}}, {all});
}

/// How far the evening has come: planned trays that are answered, what has run out, and the one thing to do next.
Markup how_far(const House& house, const tasting::State& whole) {
    const std::string path = "/tasting/" + whole.id;
    const auto next = [&](const char* says, const char* page, std::map<std::string, core::Argument> facts = {}) {
        return element("p", {{"class", "next"}}, {house.say("tasting.next." + std::string(says), std::move(facts)), " ", element("a", {{"href", path + "/" + page}}, {house.say("tasting." + std::string(page))})});
    };
    if (whole.stage == Stage::closed) return next("verdict", "verdict");
    std::optional<tasting::Part> part;   // of several evenings the one that is on
    if (!whole.plan.evenings.empty()) part = tasting::part_of(whole, whole.tonight());
    const tasting::State& state = part ? part->state : whole;
    std::int64_t answered = 0, planned = 0;
    for (int b = 0; b < static_cast<int>(state.room.ballots.size()); ++b) {
        const draw::RoomBallot& ballot = state.room.ballots[static_cast<std::size_t>(b)];
        if (ballot.spare || state.is_spoiled(b)) continue;
        for (int s = 0; s < static_cast<int>(ballot.sets.size()); ++s) {
            const draw::RoomSet& set = ballot.sets[static_cast<std::size_t>(s)];
            const bool has_answer = state.answers.contains({b, s});
            if (!has_answer && state.is_stopped(state.plan.rounds[static_cast<std::size_t>(set.round)].spots[static_cast<std::size_t>(set.spot)])) continue;
            ++planned;
            answered += has_answer ? 1 : 0;
        }
    }
    Markup all = element("p", {{"class", "sentence"}}, {house.say("tasting.so_far", {{"n", answered}, {"of", planned}})});
    for (const auto& stop : state.stops) all += element("p", {{"class", "fault"}}, {house.say("board.stopped", {{"spot", stop.spot}})});
    for (const auto& withdrawal : state.withdrawals)
        all += element("p", {{"class", "fault"}}, {house.say("tasting.withdrawn", {{"recipe", state.plan.versions[static_cast<std::size_t>(state.plan.version_index(withdrawal.version))].label}, {"why", withdrawal.why}})});
    const auto differ = static_cast<std::int64_t>(state.open_differences().size());
    if (differ > 0) return all + next("differ", "desk", {{"n", differ}});
    if (answered == planned) return all + next("close", "close");
    return all + (answered == 0 ? next("links", "links") : next("board", "board", {{"n", planned - answered}}));
}

Markup next_steps(const House& house, const Visit& visit, const tasting::State& state) {
    const std::string path = "/tasting/" + state.id;
    if (state.stage == Stage::planned)
        return element("p", {}, {house.say("tasting.before_draw")}) + house.form(visit, path + "/draw", {element("button", {{"type", "submit"}}, {house.say("tasting.draw")})});
    if (state.stage == Stage::closed) return how_far(house, state) + links_to(house, path, {"verdict", "board"});
    Markup all = how_far(house, state) + element("p", {}, {house.say("tasting.seal"), " ", element("code", {}, {core::printed_seal(state.draw().fingerprint)})}) + links_to(house, path, {"links", "board", "desk", "close"});
    Markup papers;
    for (const char* paper : {"ballots", "mats", "runner"}) papers += element("a", {{"href", path + "/room/" + paper + ".pdf"}, {"class", "button second"}}, {house.say("paper." + std::string(paper))});
    return all + element("h2", {}, {house.say("tasting.papers")}) + element("p", {}, {house.say("tasting.papers.how")}) + element("p", {{"class", "buttons"}}, {papers});
}

int evenings_left(const tasting::State& state) {
    int left = 0;
    for (int e = 0; e < static_cast<int>(state.plan.evenings.size()); ++e) left += state.is_over(e) ? 0 : 1;
    return left;
}

/// Ends the evening that is on. A look that the plan names is made where the list of codes isn't sealed: its words are for the command line.
core::Status end_evening(tasting::Keeper& keeper, const tasting::State& state) {
    const int evening = state.tonight();
    const auto ended = keeper.close_evening(state.id, evening, true);
    if (!ended) return ended.faults();
    const auto& looks = state.plan.looks;
    if (std::find(looks.begin(), looks.end(), evening + 1) == looks.end()) return core::Done{};
    const auto locked = keeper.is_locked(state);
    if (!locked) return locked.faults();
    if (*locked) return core::Done{};
    auto now = keeper.load(state.id);
    if (!now) return now.faults();
    auto key = keeper.key(*now, true);
    if (!key) return key.faults();
    const auto may_end = tasting::may_end(*now, *key, evening);
    if (!may_end) return may_end.faults();
    return keeper.note_look(state.id, evening, *may_end);
}

/// Which evenings are over, and what a look that the plan names came to.
Markup evenings_so_far(const House& house, const tasting::State& state) {
    Markup lines;
    for (const int evening : state.evenings_over) {
        const auto look = state.looks.find(evening);
        const char* const said = look == state.looks.end() ? "tasting.evening_over" : look->second ? "tasting.evening_may_end" : "tasting.evening_go_on";
        lines += element("li", {}, {house.say(said, {{"n", std::int64_t{evening + 1}}})});
    }
    return state.evenings_over.empty() ? Markup() : element("ul", {}, {lines});
}

void show(House& house, const Visit& visit, const Send& send) {
    const auto state = house.state(visit.parts[0]);
    if (!state) return send(house.refused(state.faults()));
    Markup body = element("p", {{"class", "small"}}, {tasting::two_words((*state)->id), " · ", (*state)->id});
    body += element("h1", {}, {(*state)->plan.title});
    if ((*state)->stage == Stage::drawn) body += evenings_so_far(house, **state);
    body += next_steps(house, visit, **state);
    body += element("details", (*state)->stage == Stage::planned ? Attributes{{"open", ""}} : Attributes{},
                    {element("summary", {}, {house.say("tasting.plan")}), paragraphs(report::plan_in_words((*state)->plan, house.words(), false))});
    body += element("details", {}, {element("summary", {}, {house.say("tasting.file")}), element("p", {{"class", "buttons"}}, {element("a", {{"href", "/tasting/" + (*state)->id + "/export"}, {"class", "button second"}}, {house.say("tasting.export")})}),
                                    house.form(visit, "/tasting/" + (*state)->id + "/wipe", {element("label", {}, {house.say("tasting.wipe.how", {{"name", tasting::two_words((*state)->id)}}), element("input", {{"name", "name"}, {"autocomplete", "off"}, {"required", ""}})}),
                                                                                           element("button", {{"type", "submit"}, {"class", "second"}}, {house.say("tasting.wipe")})})});
    send(House::page({.title = (*state)->plan.title, .body = body}));
}

void draw(House& house, const Visit& visit, const Send& send) {
    const std::string id = visit.parts[0];
    house.writer().act(
        [id](tasting::Keeper& keeper) -> core::Status {
            const auto state = keeper.load(id);
            if (!state) return state.faults();
            if (state->stage != Stage::planned) return core::Done{};   // the button was pressed twice; a fresh draw is asked for on the command line
            const auto drawn = keeper.draw(id, {});
            if (!drawn) return drawn.faults();
            return core::Done{};
        },
        [send, id, &house](const core::Status& fate) { send(fate ? House::go_to("/tasting/" + id) : house.refused(fate.faults())); });
}

/// What looks amiss in the pile of slips, and what to do about it here.
Markup pile_line(const House& house, const tasting::State& state) {
    const tasting::Pile pile = tasting::pile_of(state);
    std::string said;
    if (pile.thin) said = house.say("close.thin", {{"planned", std::int64_t{pile.planned}}, {"n", static_cast<std::int64_t>(pile.answered.size())}});
    else if (!pile.gaps.empty()) said = house.say("close.gaps", {{"n", static_cast<std::int64_t>(pile.gaps.size())}, {"names", tasting::some_names(pile.gaps)}});
    else return {};
    return element("p", {{"class", "fault"}}, {said, " ", element("a", {{"href", "/tasting/" + state.id + "/desk"}}, {house.say("tasting.desk")})});
}

void ask_close(House& house, const Visit& visit, const Send& send) {
    const auto state = house.state(visit.parts[0]);
    if (!state) return send(house.refused(state.faults()));
    if ((*state)->stage != Stage::drawn) return send(house.sentence(409, house.say("close.not_now")));
    const bool is_one_of_several = evenings_left(**state) > 1;
    const tasting::Part part = tasting::part_of(**state, (*state)->tonight());
    const tasting::State& seen = is_one_of_several ? part.state : **state;
    const auto counts = tasting::reconcile(seen);
    const std::map<std::string, core::Argument> evening{{"n", std::int64_t{(*state)->tonight() + 1}}, {"of", static_cast<std::int64_t>((*state)->plan.evenings.size())}};
    const std::string title = is_one_of_several ? house.say("close.evening", evening) : house.say("close.title");
    Markup body = element("h1", {}, {title});
    body += pile_line(house, seen);
    if (!seen.open_differences().empty()) body += element("p", {{"class", "fault"}}, {house.say("close.differ")});
    body += element("p", {{"class", "sentence"}}, {house.say("close.counts", {{"answered", std::int64_t{counts.answered}}, {"missing", std::int64_t{counts.missing}}, {"left", std::int64_t{counts.left_over}}})});
    if (!counts.missing_sets.empty()) {
        Markup rows;
        for (const std::string& set : counts.missing_sets) rows += element("li", {}, {set});
        body += element("p", {}, {house.say("close.missing")}) + element("ul", {{"class", "columns"}}, {rows});
    }
    body += element("p", {}, {is_one_of_several ? house.say("close.evening.means") : house.say("close.means")});
    body += house.form(visit, visit.request.path, {element("button", {{"type", "submit"}}, {is_one_of_several ? house.say("close.evening.do", evening) : house.say("close.do")})});
    if (is_one_of_several)
        body += element("details", {}, {element("summary", {}, {house.say("close.all")}), element("p", {}, {house.say("close.all.means")}),
                                        house.form(visit, visit.request.path, {element("input", {{"type", "hidden"}, {"name", "all"}, {"value", "yes"}}), element("button", {{"type", "submit"}, {"class", "second"}}, {house.say("close.all")})})});
    body += element("p", {}, {element("a", {{"href", "/tasting/" + visit.parts[0]}}, {house.say("close.back")})});
    send(House::page({.title = title, .body = body}));
}

void close(House& house, const Visit& visit, const Send& send) {
    const std::string id = visit.parts[0];
    house.writer().act(
        [id, all = visit.field("all") == "yes"](tasting::Keeper& keeper) -> core::Status {
            const auto state = keeper.load(id);
            if (!state) return state.faults();
            if (evenings_left(*state) > 1 && !all) return end_evening(keeper, *state);
            const auto counts = keeper.close(id, true);   // the page before said what is missing
            if (!counts) return counts.faults();
            return core::Done{};
        },
        [send, id, &house](const core::Status& fate) {
            const auto after = house.state(id);
            const bool goes_on = after && (*after)->stage != Stage::closed;
            send(fate ? House::go_to("/tasting/" + id + (goes_on ? "" : "/verdict")) : house.refused(fate.faults()));
        });
}

constexpr Route k_routes[] = {{"GET", "/tasting/*", Role::host, show},
                              {"POST", "/tasting/*/draw", Role::host, draw},
                              {"GET", "/tasting/*/close", Role::host, ask_close},
                              {"POST", "/tasting/*/close", Role::host, close}};

}   // namespace

std::span<const Route> tasting_routes() { return k_routes; }

}   // namespace oddplate::web
