// From a question to ballots.

#include <unistd.h>

#include <algorithm>

#include "oddplate/core/files.hpp"
#include "oddplate/core/sealed_box.hpp"
#include "oddplate/core/text.hpp"
#include "oddplate/report/lines.hpp"
#include "oddplate/report/plan_words.hpp"
#include "oddplate/tasting/guests.hpp"
#include "oddplate/tasting/names.hpp"
#include "oddplate/tasting/plan_json.hpp"
#include "parts.hpp"
#include "seal.hpp"
#include "wizard.hpp"

namespace oddplate::cli {
namespace {

using core::Json;

core::Result<methods::Plan> plan_from(const std::string& path) {
    const auto text = core::read_file(path, 1u << 20);
    if (!text) return text.faults();
    return tasting::read_plan(*text, path);
}

core::Result<ExitCode> make_new(Call& call) {
    std::string path = call.value("PLAN.json");
    if (path.empty()) {
        if (isatty(STDIN_FILENO) == 0) return core::fault(core::ErrorKind::usage, "no-plan", "PLAN.json is missing: name a plan file (ready-made ones stand in designs/plans), or run `oddplate new` on a terminal to be asked");
        const auto written = ask_for_plan(call);
        if (!written) return written.faults();
        path = *written;
    }
    const auto plan = plan_from(path);
    if (!plan) return plan.faults();
    const bool was_asked = call.value("PLAN.json").empty();
    if (was_asked && !call.json() && report::is_panel_too_small(*plan)) {   // said before anything is begun with it
        call.answer += report::plan_in_words(*plan, call.words) + "\n" + report::lines_of(call.words.text("wizard.too_small")) +
                       report::after_the_plan(*plan, "oddplate new " + path, call.words);
        return 0;
    }
    const auto desk = open_desk(call, true);
    if (!desk) return desk.faults();
    const auto id = desk->keeper->plan(*plan);
    if (!id) return id.faults();
    if (call.json()) {
        Json out = Json::object();
        out.set("tasting", *id);
        call.print(out);
        return 0;
    }
    call.say(*id + "  (" + tasting::two_words(*id) + ")");
    call.answer += report::plan_in_words(*plan, call.words) + "\n" + report::after_the_plan(*plan, "oddplate draw " + call.named(*id), call.words);
    return 0;
}

core::Result<ExitCode> tell_plan(Call& call) {
    const auto plan = plan_from(call.value("PLAN.json"));
    if (!plan) return plan.faults();
    if (call.json()) {
        Json out = Json::object();
        out.set("plan", tasting::plan_to_json(*plan));
        out.set("words", report::plan_in_words(*plan, call.words));
        call.print(out);
    } else {
        call.answer += report::plan_in_words(*plan, call.words) + "\n" +
                       report::after_the_plan(*plan, "oddplate new " + call.value("PLAN.json"), call.words);
    }
    return 0;
}

Json spreads_json(const std::vector<draw::Spread>& spreads) {
    Json out = Json::object();
    for (const auto& spread : spreads) out.set(spread.balance, spread.spread);
    return out;
}

Json trays_json(const stats::DesignReport& trays) {
    return Json::object().set("a_efficiency", trays.a_efficiency).set("d_efficiency", trays.d_efficiency).set("bound", trays.bound).set("pairs_apart", trays.pairs_apart).set("connected", trays.connected);
}

/// How well trays of some of the recipes compare them, those of planned ballots alone; nothing where every tray holds all.
void set_trays(Json& out, const tasting::DrawAnswer& drawn) {
    const auto with_ballots = [&](Json trays) {
        trays.set("ballots", drawn.plan.tasters);
        if (drawn.balanced_at) trays.set("balanced_at", *drawn.balanced_at);
        return trays;
    };
    if (drawn.trays) out.set("trays", with_ballots(trays_json(*drawn.trays)));
    if (drawn.beside_usual) out.set("beside_usual", with_ballots(Json::object().set("efficiency", *drawn.beside_usual)));
}

void say_trays(Call& call, const tasting::DrawAnswer& drawn) {
    double least = 1;
    if (const auto& trays = drawn.trays) {
        least = trays->connected ? trays->a_efficiency / trays->bound : 0.0;
        call.say("  " + call.words.text(trays->connected ? "draw.trays" : "draw.trays.apart", {{"share", least}, {"a", trays->a_efficiency}, {"d", trays->d_efficiency}, {"bound", trays->bound}}));
        if (trays->connected && trays->pairs_apart > 0) call.say("  " + call.words.text("draw.trays.unmet", {{"n", std::int64_t{trays->pairs_apart}}}));
    }
    if (drawn.beside_usual) {
        least = std::min(least, *drawn.beside_usual);
        call.say("  " + call.words.text(*drawn.beside_usual > 0 ? "draw.beside_usual" : "draw.trays.apart", {{"share", *drawn.beside_usual}}));
    }
    if (drawn.balanced_at && least < report::k_as_good_as_the_best) call.say("  " + call.words.text("draw.trays.balanced_at", {{"n", std::int64_t{*drawn.balanced_at}}}));
}

/// What is uneven because the plan wants it so, and left out of the counts above.
void say_on_purpose(Call& call, const tasting::DrawAnswer& drawn) {
    if (drawn.beside_usual) call.say("  " + call.words.text("draw.usual_on_all", {{"name", drawn.plan.versions.front().id}}));
    for (const auto& round : drawn.plan.rounds)
        if (methods::flag(round.settings, "strongest_last")) call.say("  " + call.words.text("draw.always_last", {{"name", drawn.plan.versions[static_cast<std::size_t>(round.stronger)].id}}));
}

core::Status refuse_both(const Call& call) {
    for (const char* other : {"--seal", "--guests"})
        if (call.has("--seed") && call.has(other))
            return core::fault(core::ErrorKind::usage, "usage", std::string("--seed and ") + other + " exclude each other: whoever gave the seed knows the draw");
    return core::Done{};
}

/// The words stand here and nowhere else, this once.
void say_seal(Call& call, const std::string& id, const tasting::SealWords& words) {
    call.say("");
    call.say(call.words.text("seal.words", {{"words", core::joined(words, " ")}}));
    call.say(call.words.text("seal.once"));
    call.say(call.words.text("seal.lost"));
    call.say(call.words.text("seal.holds"));
    call.say("Next: oddplate print " + call.named(id) + " --slip --into FOLDER, then oddplate print " + call.named(id) + " --blind-tubs --into FOLDER (each asks for the words)");
}

core::Result<ExitCode> draw(Call& call) {
    tasting::DrawOptions options;
    if (auto alone = refuse_both(call); !alone) return alone.faults();
    if (call.has("--seed")) {
        const auto seed = core::from_hex(call.value("--seed"), "--seed");
        if (!seed) return seed.faults();
        options.seed = *seed;
    }
    const auto desk = open_desk(call);
    if (!desk) return desk.faults();
    const std::string id = call.value("ID");
    if (call.has("--guests")) {
        auto guests = hear_guests(call, *desk->keeper, id);
        if (!guests) return guests.faults();
        options.guests = std::move(*guests);
    }
    if (call.has("--seal")) options.seal = core::propose_seal_words();
    const auto drawn = desk->keeper->draw(id, options);
    if (!drawn) return drawn.faults();
    if (call.json()) {
        Json out = Json::object();
        out.set("ballots", drawn->ballots);
        out.set("sets", drawn->sets);
        out.set("servings", drawn->servings);
        out.set("fingerprint", drawn->fingerprint);
        out.set("draw", drawn->number);
        out.set("spreads", spreads_json(drawn->spreads));
        set_trays(out, *drawn);
        out.set("codes_dealt_again", drawn->codes_dealt_again);
        if (options.seal) out.set("words", core::joined(*options.seal, " "));
        if (options.guests) out.set("host_number", tasting::host_number(options.guests->host));
        call.print(out);
        return 0;
    }
    call.say(call.words.text("draw.done", {{"ballots", std::int64_t{drawn->ballots}}, {"sets", std::int64_t{drawn->sets}}, {"servings", std::int64_t{drawn->servings}}}));
    call.say(call.words.text("draw.seal", {{"seal", core::printed_seal(drawn->fingerprint)}}));
    const bool several = drawn->spreads.back().balance == "recipe_after_recipe";   // then no recipe is the odd one
    for (const auto& spread : drawn->spreads) {
        const std::string line = call.words.text("draw.spread." + (several && spread.balance == "odd_within_taster" ? "kinds_within_taster" : spread.balance), {{"n", std::int64_t{spread.spread}}});
        call.say("  " + (spread.least > 0 && spread.spread == spread.least ? call.words.text("draw.spread.least", {{"line", line}}) : line));
    }
    say_on_purpose(call, *drawn);
    say_trays(call, *drawn);
    if (drawn->codes_dealt_again > 0) call.say(call.words.text("draw.codes_again", {{"n", std::int64_t{drawn->codes_dealt_again}}}));
    if (drawn->number > 1) call.say(call.words.text("draw.again", {{"n", std::int64_t{drawn->number}}}));
    if (options.seed) call.say(call.words.text("draw.seed_given"));
    if (options.guests) call.say(call.words.text("seal.guests_heard", {{"n", std::int64_t(options.guests->lines.size())}}));
    if (options.seal) {
        say_seal(call, id, *options.seal);
        return 0;
    }
    call.answer += report::lines_of(call.words.text("draw.guards"));
    call.answer += report::lines_of(call.words.text("draw.next", {{"id", call.named(id)}}));
    return 0;
}

core::Result<ExitCode> again(Call& call) {
    const auto desk = open_desk(call);
    if (!desk) return desk.faults();
    const auto id = desk->keeper->again(call.value("ID"));
    if (!id) return id.faults();
    const auto drawn = desk->keeper->draw(*id, {});
    if (!drawn) return drawn.faults();
    if (call.json()) {
        Json out = Json::object();
        out.set("tasting", *id);
        out.set("follows", call.value("ID"));
        out.set("ballots", drawn->ballots);
        out.set("fingerprint", drawn->fingerprint);
        call.print(out);
    } else {
        call.say(*id + "  (" + tasting::two_words(*id) + "): " + call.words.text("again.done"));
        call.answer += report::lines_of(call.words.text("draw.next", {{"id", call.named(*id)}}));
    }
    return 0;
}

}   // namespace

std::vector<Verb> plan_verbs() {
    const Flag id{"ID", "ID", "the tasting, as `new` named it", true};
    return {
        {.name = "new",
         .summary = "begin a tasting from a plan (without one, on a terminal, you are asked)",
         .flags = {{"PLAN.json", "PLAN.json", "the plan; ready-made ones stand in designs/plans", false}},
         .run = make_new,
         .examples = {"oddplate new designs/plans/is-it-noticed.json", "oddplate new my-plan.json --book tastings.sqlite --json"},
         .uses_book = true},
        {.name = "plan",
         .summary = "a plan in words: portions, meat, time, what the panel can find; changes nothing",
         .flags = {{"PLAN.json", "PLAN.json", "the plan", true}},
         .run = tell_plan,
         .examples = {"oddplate plan designs/plans/is-it-noticed.json", "oddplate plan my-plan.json --json"}},
        {.name = "draw",
         .summary = "draw the ballots: codes, orders, pieces",
         .flags = {id,
                   {"--seed", "HEX64", "64 hexadecimal digits instead of chance (stands in every report)", false},
                   {"--seal", "", "lock the list of codes under five words that a second person keeps; shown once", false},
                   {"--guests", "", "the guests help to draw: words or dice, a line each, from the keyboard or standard input, ended by an empty line", false}},
         .run = draw,
         .examples = {"oddplate draw bcdfghjk", "oddplate draw bcdfghjk --seal --guests"},
         .uses_book = true},
        {.name = "again",
         .summary = "a fresh tasting of the same plan, with fresh codes",
         .flags = {id},
         .run = again,
         .examples = {"oddplate again bcdfghjk", "oddplate again bcdfghjk --json"},
         .uses_book = true},
    };
}

}   // namespace oddplate::cli
