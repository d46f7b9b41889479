// Planning: a few plain questions, and the plan's own words answering as the sliders move. The plan that is made is a plan like any other.

#include <atomic>

#include "house.hpp"
#include "oddplate/core/text.hpp"
#include "oddplate/methods/advise.hpp"
#include "oddplate/report/plan_words.hpp"
#include "oddplate/tasting/plan_json.hpp"
#include "oddplate/tasting/wishes.hpp"

namespace oddplate::web {
namespace {

using tasting::Asked;
using tasting::names_in;
using tasting::number_in;
using tasting::Wishes;

constexpr std::pair<const char*, Asked> k_questions[] = {{"noticed", Asked::noticed}, {"few", Asked::few}, {"liked", Asked::liked}, {"stronger", Asked::stronger},
                                                        {"most", Asked::most}, {"how_much", Asked::how_much}, {"worse", Asked::worse}};

/// What the form says; a field that says nothing stays as it was. What cannot be right the plan's own reader tells.
Wishes wishes_in(const House& house, const Visit& visit) {
    Wishes wishes;
    wishes.title = visit.field("name").empty() ? house.say("plan.untitled") : visit.field("name");
    for (const auto& [name, asked] : k_questions)
        if (visit.field("question") == name) wishes.asked = asked;
    wishes.attribute = visit.field("attribute").empty() ? house.say("plan.saltier") : visit.field("attribute");
    wishes.stronger = visit.field("more") == "current" ? "current" : "new";
    const auto whole = [&](const char* field, int otherwise) { return static_cast<int>(number_in(visit.field(field)).value_or(otherwise)); };
    wishes.in_ten = wishes.asked == Asked::liked ? whole("in_ten_like", 7) : whole("in_ten", 4);
    wishes.people = whole("people", 24);
    wishes.spots = names_in(visit.field("spots"));
    if (is_about_several(wishes.asked)) {
        wishes.recipes = names_in(visit.field("recipes"));
        if (wishes.recipes.size() < 3) wishes.recipes = names_in(house.say("plan.recipes.like"));   // three to begin with, until some are named
    }
    wishes.pieces = std::max(1, whole("pieces", 1));
    wishes.waves = std::max(0, whole("waves", 0));
    wishes.grams = number_in(visit.field("grams"));
    wishes.salt_usual = number_in(visit.field("salt_usual"));
    wishes.salt_new = number_in(visit.field("salt_new"));
    if (!wishes.salt_usual || !wishes.salt_new) wishes.salt_usual = wishes.salt_new = std::nullopt;   // one alone says nothing of the step
    wishes.warm = visit.field("service") == "warm";
    wishes.start = visit.field("start");
    wishes.allergens = names_in(visit.field("allergens"));
    return wishes;
}

/// What the cook says that each spot can give.
std::vector<int> gives_in(const Visit& visit) {
    constexpr double k_most = 1'000'000;
    std::vector<int> gives;
    for (const std::string& text : names_in(visit.field("gives")))
        if (const auto number = number_in(text); number && *number >= 0 && *number < k_most) gives.push_back(static_cast<int>(*number));
    return gives;
}

core::Result<methods::Plan> plan_in(const House& house, const Visit& visit) {
    return tasting::read_plan(core::to_text(tasting::plan_of(wishes_in(house, visit), house.words())), house.say("start.plan"));
}

Markup field(const House& house, const char* name, const Attributes& more, const std::string& value = {}) {
    Attributes attributes{{"name", name}, {"autocomplete", "off"}};
    attributes.insert(attributes.end(), more.begin(), more.end());
    if (!value.empty()) attributes.emplace_back("value", value);
    return element("label", {{"class", std::string("of-") + name}}, {house.say("plan." + std::string(name)), element("input", attributes)});
}

Markup slider(const House& house, const char* name, int lo, int hi, int value) {
    return element("div", {{"class", std::string("slider of-") + name}}, {element("label", {{"for", name}}, {house.say("plan." + std::string(name))}), element("output", {{"data-of", name}, {"aria-hidden", "true"}}, {std::to_string(value)}),
                   element("input", {{"type", "range"}, {"id", name}, {"name", name}, {"min", std::to_string(lo)}, {"max", std::to_string(hi)}, {"value", std::to_string(value)}})});
}

Markup choose(const House& house, const char* name, std::initializer_list<const char*> values) {
    Markup all;
    bool first = true;
    for (const char* value : values) {
        Attributes attributes{{"type", "radio"}, {"name", name}, {"value", value}};
        if (first) attributes.emplace_back("checked", "");
        first = false;
        all += element("label", {{"class", "ticket word"}}, {element("input", attributes), element("span", {}, {house.say("plan." + std::string(name) + "." + value)})});
    }
    return element("fieldset", {{"class", std::string("of-") + name}}, {element("legend", {}, {house.say("plan." + std::string(name))}), element("div", {{"class", "tickets"}}, {all})});
}

Markup questions(const House& house) {
    Markup all = choose(house, "question", {"noticed", "few", "liked", "stronger", "most", "how_much", "worse"});
    all += element("div", {{"class", "of-several"}}, {field(house, "recipes", {{"maxlength", "400"}, {"placeholder", house.say("plan.recipes.like")}})});
    all += element("div", {{"class", "of-stronger"}}, {field(house, "attribute", {{"maxlength", "60"}, {"placeholder", house.say("plan.saltier")}}), choose(house, "more", {"new", "current"})});
    all += slider(house, "in_ten", 2, 5, 4) + slider(house, "in_ten_like", 6, 9, 7) + slider(house, "people", 4, 120, 24);
    all += field(house, "name", {{"maxlength", "200"}, {"placeholder", house.say("plan.untitled")}}) + field(house, "spots", {{"placeholder", house.say("plan.spots.like")}}) + field(house, "gives", {{"inputmode", "decimal"}, {"placeholder", house.say("plan.gives.like")}});
    all += element("div", {{"class", "row"}}, {field(house, "grams", {{"inputmode", "decimal"}}), field(house, "salt_usual", {{"inputmode", "decimal"}}), field(house, "salt_new", {{"inputmode", "decimal"}})});
    all += field(house, "pieces", {{"inputmode", "numeric"}, {"placeholder", "1"}}) + choose(house, "service", {"warm", "cold"}) + field(house, "waves", {{"inputmode", "numeric"}});   // every way out that the answer names can be taken here
    all += element("div", {{"class", "row"}}, {field(house, "start", {{"type", "time"}}), field(house, "allergens", {{"placeholder", house.say("plan.allergens.like")}})});
    return all;
}

/// The three cheapest ways to the same answer, with their reasons.
Markup advice(const House& house, const Wishes& wishes) {
    if (wishes.asked == Asked::liked || is_about_several(wishes.asked)) return {};
    const auto given = methods::advise({.wanted = wishes.asked == Asked::few ? methods::Wanted::same : methods::Wanted::noticed, .direction = wishes.asked == Asked::stronger,
                                        .notice_in_ten = static_cast<double>(wishes.in_ten), .people = std::max(1, wishes.people), .servings = {}});
    if (!given) return {};
    Markup list;
    for (std::size_t i = 0; i < given->methods.size() && i < 3; ++i) {
        const methods::Advised& way = given->methods[i];
        list += element("li", {}, {element("b", {}, {house.words().text(std::string(way.method->id) + ".title")}), ": ",
                                   house.words().text(methods::cost_phrase(way), {{"n", way.tasters}, {"servings", way.servings_per_spot}, {"portions", std::int64_t{way.portions}}, {"learn", std::int64_t{way.learn}}}), " ", house.words().text(std::string(way.reason))});
    }
    return element("h2", {}, {house.say("plan.ways")}) + element("ol", {}, {list});
}

Markup answer_to(const House& house, const Visit& visit) {
    const auto plan = plan_in(house, visit);
    if (!plan) {
        Markup lines;
        for (const core::Error& fault : plan.faults()) lines += element("li", {}, {fault.line()});
        return element("p", {{"class", "fault"}}, {house.say("start.bad_plan")}) + element("ul", {}, {lines});
    }
    Markup all = element("h2", {}, {plan->title});
    for (const std::string& lack : report::short_of_meat(*plan, gives_in(visit), house.words())) all += element("p", {{"class", "fault"}}, {lack});
    return all + paragraphs(report::plan_in_words(*plan, house.words(), false)) + advice(house, wishes_in(house, visit));
}

void show(House& house, const Visit& visit, const Send& send) {
    const Markup buttons = element("p", {{"class", "buttons"}}, {element("button", {{"type", "submit"}, {"formaction", "/plan/look"}, {"class", "second noscript"}}, {house.say("plan.look")}),
                                                                 element("button", {{"type", "submit"}}, {house.say("plan.make")})});
    const Markup form = element("div", {{"class", "ask"}, {"data-look", "/plan/look"}}, {house.form(visit, "/plan", {questions(house), buttons})});
    const Markup said = element("section", {{"class", "said"}, {"aria-live", "polite"}, {"tabindex", "0"}, {"aria-label", house.say("plan.look")}, {"data-answer", ""}}, {answer_to(house, visit)});
    send(House::page({.title = house.say("plan.title"), .body = element("h1", {}, {house.say("plan.title")}) + element("div", {{"class", "two"}}, {form, said}), .kind = "wide plan"}));
}

/// The chances are exact or tried out, so a large panel takes its time: in the backroom. Sliders ask faster than it answers: only the newest question is worth its time.
void look(House& house, const Visit& visit, const Send& send) {
    static std::atomic<std::int64_t> newest{0};
    const std::int64_t mine = ++newest;
    const auto page = std::make_shared<Page>();
    house.backroom().act(
        [page, &house, mine, request = visit.request, form = visit.form](tasting::Keeper&) -> core::Status {
            if (mine != newest) {
                *page = {.title = house.say("plan.title"), .body = element("h1", {}, {house.say("plan.title")}) + element("p", {}, {house.say("plan.asked_again")}), .kind = "wide plan"};
                return core::Done{};
            }
            const Visit again{.request = request, .parts = {}, .form = form};
            *page = {.title = house.say("plan.title"), .body = element("h1", {}, {house.say("plan.title")}) + element("section", {{"data-answer", ""}}, {answer_to(house, again)}) + element("p", {}, {house.say("plan.back")}), .kind = "wide plan"};
            return core::Done{};
        },
        [send, page](const core::Status&) { send(House::page(*page)); });
}

void make(House& house, const Visit& visit, const Send& send) { house.keep_plan(plan_in(house, visit), send); }

constexpr Route k_routes[] = {{"GET", "/plan", Role::host, show}, {"POST", "/plan/look", Role::host, look}, {"POST", "/plan", Role::host, make}};

}   // namespace

std::span<const Route> plan_routes() { return k_routes; }

}   // namespace oddplate::web
