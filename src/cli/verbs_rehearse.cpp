// Playing a plan before any meat is bought: how often it would come to which verdict.

#include <algorithm>
#include <cmath>
#include <thread>

#include "oddplate/core/files.hpp"
#include "oddplate/core/text.hpp"
#include "oddplate/judge/rehearse.hpp"
#include "oddplate/report/rehearsal.hpp"
#include "oddplate/stats/curves.hpp"
#include "oddplate/stats/normal.hpp"
#include "oddplate/tasting/plan_json.hpp"
#include "parts.hpp"

namespace oddplate::cli {
namespace {

using core::Json;

struct Wish {
    judge::MadeUpPanel panel;
    std::int64_t times{1000};
    std::optional<double> in_ten;   // the difference as the cook put it
    bool of_plan{false};            // or the one that the plan says matters
    core::Bytes32 seed{};
};

bool asks_votes(const methods::Round& round) {
    const auto method = methods::find(round.method);
    return method && (*method)->scale == methods::Scale::votes;
}

/// The share of people who put the usual one before each other one, where several recipes are put in order; the plan's own, else what its outlook takes.
std::optional<double> share_of_orders(const methods::Round& round) {
    const auto method = methods::find(round.method);
    if (!method || (*method)->scale != methods::Scale::each) return std::nullopt;
    const auto& known = (*method)->round_settings;
    if (std::none_of(known.begin(), known.end(), [](const methods::Setting& setting) { return setting.key == "share"; })) return std::nullopt;
    return methods::number(round.settings, "share").value_or(0.7);
}

/// What several recipes on a tray are asked for, as a distance of sensations with a standard deviation of 1 each, below 0, so that the usual one is ahead of each other one: a lead
/// in points by how a person's leads spread, or the share of people who put it first of the two (Thurstone 1927, case V).
std::optional<double> line_of_several(const methods::Round& round) {
    const auto method = methods::find(round.method);
    if (!method || (*method)->scale != methods::Scale::each) return std::nullopt;
    const auto detect = methods::number(round.settings, "detect_score"), spread = methods::number(round.settings, "spread");
    if (detect && spread) return -std::sqrt(2.0) * *detect / *spread;
    const auto share = share_of_orders(round);
    return share ? std::optional(-std::sqrt(2.0) * stats::normal_quantile(*share)) : std::nullopt;
}

/// The difference that the plan itself says matters, as d'; of the first round that says one. Where all rounds are votes there is none to say.
std::optional<double> own_line(const methods::Plan& plan) {
    for (const methods::Round& round : plan.rounds) {
        if (const auto several = line_of_several(round)) return several;
        const auto method = methods::find(round.method);
        const stats::Link* link = method ? methods::with_curve(**method, round.settings).link : nullptr;
        for (const char* key : {"detect_d", "same_below_d"})
            if (const auto d = methods::number(round.settings, key)) return d;
        for (const char* key : {"detect_pd", "same_below_pd"})
            if (const auto pd = methods::number(round.settings, key); pd && link != nullptr) return stats::d_from_discriminators(*link, *pd);
    }
    return std::all_of(plan.rounds.begin(), plan.rounds.end(), asks_votes) ? std::optional(0.0) : std::nullopt;
}

core::Result<Wish> wish_of(const Call& call, const methods::Plan& plan) {
    Wish wish;
    const bool said = call.has("--d") || call.has("--notice-in-ten");
    if (call.has("--d") && call.has("--notice-in-ten"))
        return core::fault(core::ErrorKind::usage, "usage", "say how large the true difference is, once: --d D, or --notice-in-ten K");
    const auto own = said ? std::nullopt : own_line(plan);
    if (!said && !own)
        return core::fault(core::ErrorKind::usage, "usage", "the plan doesn't say what difference matters, so say how large the true one is: --d D, or --notice-in-ten K");
    const auto d = number_flag_or(call, "--d", 0, -12, 12), in_ten = number_flag_or(call, "--notice-in-ten", 0, 0, 9.99),
               spread = number_flag_or(call, "--spread", 0, 0, 12), fade = number_flag_or(call, "--fade", 0, 0, 1),
               lean = number_flag_or(call, "--lean", 0, 0, 1), no_shows = number_flag_or(call, "--no-shows", 0, 0, 1);
    const auto share = number_flag_or(call, "--share-new", 0.5, 0, 1);
    for (const auto* each : {&d, &in_ten, &spread, &fade, &lean, &no_shows, &share})
        if (!*each) return each->faults();
    if (*share == 0 || *share == 1)
        return core::found("--share-new", core::shortest(*share), "a number above 0 and below 1", "0.5: nobody prefers either", "out-of-range", core::ErrorKind::usage);
    const auto times = whole_flag_or(call, "--times", 1000, 1, 1'000'000);
    if (!times) return times.faults();
    wish.of_plan = own.has_value();
    wish.panel = {.d = own ? *own : call.has("--d") ? *d : *stats::d_from_discriminators(stats::triangle_link(), *in_ten / 10),
                  .spread = *spread, .fade = *fade, .lean = *lean, .no_shows = *no_shows, .share_new = {}};
    if (call.has("--share-new")) wish.panel.share_new = *share;
    if (call.has("--notice-in-ten")) wish.in_ten = *in_ten;
    wish.times = *times;
    wish.seed = core::random_bytes32();
    if (call.has("--seed")) {
        const auto seed = core::from_hex(call.value("--seed"), "--seed");
        if (!seed) return seed.faults();
        wish.seed = *seed;
    }
    return wish;
}

Json rehearsal_json(const judge::Rehearsal& rehearsal, const methods::Plan& plan, const Wish& wish) {
    Json rounds = Json::array();
    for (std::size_t i = 0; i < rehearsal.rounds.size(); ++i) {
        Json verdicts = Json::object();
        for (const auto& [verdict, count] : rehearsal.rounds[i].verdicts)
            verdicts.set(verdict, static_cast<double>(count) / static_cast<double>(rehearsal.times));
        Json round = Json::object();
        round.set("round", i + 1);
        round.set("method", rehearsal.rounds[i].method);
        if (asks_votes(plan.rounds[i])) round.set("share_new", judge::share_rehearsed(plan.rounds[i], wish.panel));
        round.set("verdicts", std::move(verdicts));
        rounds.push(std::move(round));
    }
    Json out = Json::object();
    out.set("rounds", std::move(rounds));
    out.set("times", rehearsal.times);
    out.set("d_prime", wish.panel.d);
    out.set("spread", wish.panel.spread);
    out.set("fade", wish.panel.fade);
    out.set("lean", wish.panel.lean);
    out.set("no_shows", wish.panel.no_shows);
    out.set("seed", core::to_hex(wish.seed));
    return out;
}

report::ToldRehearsal told_of(const Call& call, const judge::Rehearsal& rehearsal, const methods::Plan& plan, const Wish& wish) {
    const bool only_votes = std::all_of(plan.rounds.begin(), plan.rounds.end(), asks_votes);
    const bool several = wish.of_plan && plan.versions.size() > 2 && line_of_several(plan.rounds.front());
    const auto orders = several ? share_of_orders(plan.rounds.front()) : std::nullopt;
    const char* const head = only_votes ? "rehearse.head_votes" : orders ? "rehearse.head_usual" : several ? "rehearse.head_points" : plan.versions.size() > 2 ? "rehearse.head_others" : wish.in_ten ? "rehearse.head_in_ten" : wish.of_plan ? "rehearse.head_of_plan" : "rehearse.head";
    report::ToldRehearsal told{.times = rehearsal.times,
                               .head = call.words.text(head, {{"n", rehearsal.times}, {"k", wish.in_ten.value_or(0)}, {"d", wish.of_plan ? std::fabs(wish.panel.d) : wish.panel.d}, {"share", orders.value_or(0)}, {"points", methods::number(plan.rounds.front().settings, "detect_score").value_or(0)}, {"usual", plan.versions.front().id}}),
                               .error = call.words.text("rehearse.error", {{"points", 196 * std::sqrt(0.25 / static_cast<double>(rehearsal.times))}}),
                               .courses = {}};
    for (std::size_t i = 0; i < rehearsal.rounds.size(); ++i) {
        const judge::RehearsedRound& round = rehearsal.rounds[i];
        report::RehearsedCourse& course = told.courses.emplace_back();
        course.title = call.words.text("results.course", {{"n", static_cast<std::int64_t>(i + 1)}, {"method", call.words.text(round.method + ".title")}});
        if (asks_votes(plan.rounds[i])) {
            const double share = judge::share_rehearsed(plan.rounds[i], wish.panel);
            course.liking = call.words.text(share == 0.5 ? "rehearse.liking_even" : "rehearse.liking", {{"share", share}});
        }
        for (const auto& [verdict, count] : round.verdicts) course.verdicts.emplace_back(call.words.text("verdict." + verdict), count);
    }
    return told;
}

/// The folder's file, by name.
core::Result<std::string> keep_picture(const Call& call, const report::ToldRehearsal& told) {
    const std::string folder = call.value("--into"), path = folder + "/rehearsal.svg";
    if (auto made = core::make_folder(folder); !made) return made.faults();
    if (auto kept = core::write_file(path, report::rehearsal_svg(told, call.words)); !kept) return kept.faults();
    return path;
}

core::Result<ExitCode> rehearse(Call& call) {
    const std::string path = call.value("PLAN.json");
    const auto text = core::read_file(path, 1u << 20);
    if (!text) return text.faults();
    const auto plan = tasting::read_plan(*text, path);
    if (!plan) return plan.faults();
    const auto wish = wish_of(call, *plan);
    if (!wish) return wish.faults();
    const auto rehearsal = judge::rehearse(*plan, wish->panel, wish->times, wish->seed, std::max(1u, std::thread::hardware_concurrency()));
    if (!rehearsal) return rehearsal.faults();
    const report::ToldRehearsal told = told_of(call, *rehearsal, *plan, *wish);
    std::string file;
    if (call.has("--into")) {
        auto kept = keep_picture(call, told);
        if (!kept) return kept.faults();
        file = std::move(*kept);
    }
    if (call.json()) {
        Json out = rehearsal_json(*rehearsal, *plan, *wish);
        if (!file.empty()) {
            Json files = Json::array();
            files.push(file);
            out.set("files", std::move(files));
        }
        call.print(out);
        return 0;
    }
    call.answer += report::rehearsal_text(told);
    call.say(call.words.text("rehearse.seed", {{"seed", core::to_hex(wish->seed)}}));
    if (!file.empty()) call.say(call.words.text("rehearse.file", {{"file", file}}));
    return 0;
}

}   // namespace

std::vector<Verb> rehearsal_verbs() {
    return {
        {.name = "rehearse",
         .summary = "plays a plan many times with made-up tasters, before any meat is bought",
         .flags = {{"PLAN.json", "PLAN.json", "the plan", true},
                   {"--d", "D", "the true difference, in units of the taste's own noise (default: the plan's own line)", false},
                   {"--notice-in-ten", "K", "or: how many of ten would notice it in a triangle", false},
                   {"--share-new", "S", "what people like is another question: the share for the new one of those who choose (the round's share, else 0.5: nobody prefers)", false},
                   {"--spread", "S", "how much tasters differ: standard deviation of their own d (0)", false},
                   {"--fade", "F", "share of the difference that each further tray takes off the tongue (0)", false},
                   {"--lean", "L", "share of trays on which the first portion is picked whatever it is (0)", false},
                   {"--no-shows", "R", "share of tasters who do not come (0)", false},
                   {"--times", "N", "how many evenings (1000)", false},
                   {"--seed", "HEX64", "the same seed gives the same evenings", false},
                   {"--into", "DIR", "a folder for the picture, rehearsal.svg; made where it is missing", false}},
         .run = rehearse,
         .examples = {"oddplate rehearse plan.json --into rehearsal", "oddplate rehearse plan.json --notice-in-ten 4 --spread 0.5 --fade 0.1 --lean 0.1 --times 2000 --json"}},
    };
}

}   // namespace oddplate::cli
