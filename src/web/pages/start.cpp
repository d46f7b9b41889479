// The way in, the list of tastings, and a new one from a ready-made plan or a plan's text.

#include "house.hpp"
#include "oddplate/tasting/names.hpp"
#include "oddplate/tasting/plan_json.hpp"
#include "ready_plans.hpp"

namespace oddplate::web {
namespace {

/// A role's link is opened once; from then on the browser shows its cookie, which no script and no other site can use.
void come_in(House& house, const Visit& visit, const Send& send) {
    if (house.guesses_too_much(visit.request.peer)) return send(house.sentence(429, house.say("door.guesses")));
    const Role role = house.tokens().role_of(visit.parts[0]);
    if (role == Role::nobody) {
        house.count_guess(visit.request.peer);
        return send(house.sentence(404, house.say("door.link")));
    }
    Reply reply = House::go_to("/");
    reply.headers.emplace_back("Set-Cookie", "oddplate-" + std::string(to_text(role)) + "=" + visit.parts[0] + "; Path=/; HttpOnly; SameSite=Strict");
    send(std::move(reply));
}

std::string stage_of(const House& house, const tasting::State& state) {
    switch (state.stage) {
        case tasting::Stage::planned: return house.say("stage.planned");
        case tasting::Stage::drawn: return house.say(state.is_opened() ? "stage.opened" : "stage.drawn");
        case tasting::Stage::closed: return house.say("stage.closed");
    }
    std::abort();
}

std::string path_for(Role role, const std::string& id) {
    if (role == Role::host) return "/tasting/" + id;
    return "/tasting/" + id + (role == Role::runner ? "/board" : role == Role::kitchen ? "/kitchen" : "/desk");
}

Markup list(House& house, Role role, const std::vector<std::string>& ids) {
    Markup rows;
    for (auto id = ids.rbegin(); id != ids.rend(); ++id) {
        const auto state = house.state(*id);
        if (!state) {
            rows += element("li", {}, {*id, " ", house.told(state.faults())});
            continue;
        }
        const std::string about = role == Role::host ? (*state)->plan.title : std::string();   // a title may say what is being tried
        rows += element("li", {}, {element("a", {{"href", path_for(role, *id)}}, {tasting::two_words(*id)}), " ", about, " ", element("span", {{"class", "small"}}, {stage_of(house, **state)})});
    }
    if (ids.empty()) return element("p", {}, {house.say("start.none")});
    Markup find;
    if (ids.size() > 8) find = element("label", {}, {house.say("start.find"), element("input", {{"type", "search"}, {"data-find", ".list li"}})});
    return find + element("ul", {{"class", "list"}}, {rows});
}

Markup make_new(const House& house, const Visit& visit) {
    Markup options;
    for (const ReadyPlan& plan : ready_plans()) {
        const auto read = tasting::read_plan(plan.text, std::string(plan.name));
        if (read) options += element("option", {{"value", std::string(plan.name)}}, {read->title});
    }
    Markup all = element("h2", {}, {house.say("start.new")});
    all += element("p", {{"class", "buttons"}}, {element("a", {{"href", "/plan"}, {"class", "button"}}, {house.say("plan.title")})});
    all += house.form(visit, "/tastings/ready", {element("label", {}, {house.say("start.ready"), element("select", {{"name", "plan"}}, {options})}),
                                                 element("button", {{"type", "submit"}}, {house.say("start.make")})});
    all += element("details", {}, {element("summary", {}, {house.say("start.own")}),
                                   house.form(visit, "/tastings", {element("label", {}, {house.say("start.text"), element("textarea", {{"name", "plan"}, {"rows", "12"}, {"required", ""}})}),
                                                                   element("button", {{"type", "submit"}}, {house.say("start.make")})})});
    all += element("details", {{"class", "script"}}, {element("summary", {}, {house.say("start.import")}), element("label", {}, {house.say("start.import.how"), element("input", {{"type", "file"}, {"accept", ".json"}, {"data-send", "/import"}, {"data-form", house.tokens().of_form(visit.role)}})})});
    return all;
}

void start(House& house, const Visit& visit, const Send& send) {
    if (visit.role == Role::nobody) return send(house.sentence(403, house.say("door.role")));
    const auto ids = house.tastings();
    if (!ids) return send(house.refused(ids.faults()));
    Markup body = element("h1", {}, {house.say("start.title")}) + list(house, visit.role, *ids);
    if (visit.role == Role::host) body += make_new(house, visit);
    if (visit.role == Role::host && !ids->empty()) body += element("p", {{"class", "buttons"}}, {element("a", {{"href", "/book"}, {"class", "button second"}}, {house.say("book.title")})});
    send(House::page({.title = house.say("start.title"), .body = body}));
}

void new_from_text(House& house, const Visit& visit, const Send& send) { house.keep_plan(tasting::read_plan(visit.field("plan"), house.say("start.plan")), send); }

void new_from_ready(House& house, const Visit& visit, const Send& send) {
    for (const ReadyPlan& plan : ready_plans())
        if (plan.name == visit.field("plan")) return house.keep_plan(tasting::read_plan(plan.text, std::string(plan.name)), send);
    send(house.sentence(404, house.say("door.nothing")));
}

constexpr Route k_routes[] = {{"GET", "/as/*", Role::nobody, come_in},
                              {"GET", "/", Role::nobody, start},
                              {"POST", "/tastings", Role::host, new_from_text},
                              {"POST", "/tastings/ready", Role::host, new_from_ready}};

}   // namespace

void House::keep_plan(const core::Result<methods::Plan>& plan, const Send& send) {
    if (!plan) {
        Markup lines;
        for (const core::Error& fault : plan.faults()) lines += element("li", {}, {fault.line()});
        return send({.status = 422, .body = document({.title = say("start.bad_plan"), .body = element("h1", {}, {say("start.bad_plan")}) + element("ul", {}, {lines})})});
    }
    const auto id = std::make_shared<std::string>();
    writer().act(
        [plan = *plan, id](tasting::Keeper& keeper) -> core::Status {
            auto made = keeper.plan(plan);
            if (!made) return made.faults();
            *id = *made;
            return core::Done{};
        },
        [send, id, this](const core::Status& fate) { send(fate ? go_to("/tasting/" + *id) : refused(fate.faults())); });
}

std::span<const Route> start_routes() { return k_routes; }

}   // namespace oddplate::web
