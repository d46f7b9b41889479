// Looking ahead: which method to take, and how often this plan would come to which verdict.

#include <algorithm>
#include <cmath>
#include <thread>

#include "advice_talk.hpp"
#include "oddplate/core/files.hpp"
#include "oddplate/core/text.hpp"
#include "oddplate/judge/rehearse.hpp"
#include "oddplate/methods/advise.hpp"
#include "oddplate/stats/curves.hpp"
#include "oddplate/tasting/plan_json.hpp"
#include "oddplate/report/lines.hpp"
#include "parts.hpp"

#include <unistd.h>

namespace oddplate::cli {
namespace {

using core::Json;

// ---- advise
core::Error expected_one_of(const Call& call, std::string_view flag, const std::string& choices) {
    return core::found(std::string(flag), "\"" + core::quoted(call.value(flag)) + "\"", "one of " + choices, "", "bad-value", core::ErrorKind::usage);
}

core::Result<methods::Asked> asked_in_flags(const Call& call) {
    methods::Asked asked;
    const std::string question = call.value("--question"), direction = call.has("--direction") ? call.value("--direction") : "no";
    if (question == "liked") asked.wanted = methods::Wanted::liked;
    else if (question == "same") asked.wanted = methods::Wanted::same;
    else if (question != "noticed") return expected_one_of(call, "--question", "noticed, liked, same");
    if (direction != "yes" && direction != "no") return expected_one_of(call, "--direction", "yes, no");
    asked.direction = direction == "yes";
    const auto in_ten = number_flag_or(call, "--notice-in-ten", asked.notice_in_ten, 0, 10);
    if (!in_ten) return in_ten.faults();
    const auto share = number_flag_or(call, "--share", asked.share, 0, 1);
    if (!share) return share.faults();
    asked.share = *share;
    if (call.has("--share") && asked.wanted != methods::Wanted::liked)
        return core::fault(core::ErrorKind::usage, "usage", "--share goes with --question liked; how many notice is said by --notice-in-ten");
    const auto people = whole_flag_or(call, "--people", 0, 1, 10'000);
    const auto portions = whole_flag_or(call, "--portions", asked.most_portions, 1, 100);
    const auto servings = whole_flag_or(call, "--servings", 0, 1, 1'000'000);
    for (const auto* each : {&people, &portions, &servings})
        if (!*each) return each->faults();
    if (*servings > 0) asked.servings = *servings;
    asked.notice_in_ten = *in_ten;
    if (*people > 0) asked.people = *people;
    asked.most_portions = static_cast<int>(*portions);
    return asked;
}

Json advised_json(const methods::Advised& advised, const core::Words& words) {
    Json out = Json::object();
    out.set("method", advised.method->id);
    if (!advised.flag.empty()) out.set("with", methods::flag_name(advised.flag));
    out.set("tasters", advised.tasters);
    out.set("servings_per_spot", advised.servings_per_spot);
    out.set("sets", advised.sets);
    out.set("portions_a_head", advised.portions_a_head());
    out.set("fits", advised.fits);
    out.set("reason", words.text(std::string(advised.reason)));
    return out;
}

/// What a plan's round says to ask this way. The gap is written as d', which means the same in every method.
Json round_of(const methods::Asked& asked, const methods::AdviceGiven& given, const methods::Advised& way) {
    const auto in_thousandths = [](double x) { return std::round(1000 * x) / 1000; };
    Json round = Json::object();
    round.set("method", way.method->id);
    if (given.share) return round.set("share", in_thousandths(std::max(*given.share, 1 - *given.share)));   // either side's
    if (way.directed) round.set("attribute", "saltier").set("stronger", "current");
    if (asked.wanted == methods::Wanted::same) round.set("aim", "similarity");
    return round.set(asked.wanted == methods::Wanted::same ? "same_below_d" : "detect_d", in_thousandths(given.d_prime));
}

void say_way(Call& call, const methods::Asked& asked, const methods::Advised& way) {
    const auto say = [&](std::string_view id, std::map<std::string, core::Argument> args = {}) {
        call.answer += report::lines_of(call.words.text(id, std::move(args)), "  ", "  ");
    };
    std::string title = call.words.text(std::string(way.method->id) + ".title");
    if (way.directed) title += call.words.text("advise.named");
    call.say("");
    call.say(title + "  [" + std::string(way.method->id) + "]");
    say(methods::cost_phrase(way), {{"n", way.tasters}, {"servings", way.servings_per_spot}, {"portions", std::int64_t{way.portions}}, {"learn", std::int64_t{way.learn}}});
    if (!way.enough_people)
        say(asked.wanted == methods::Wanted::same ? "advise.people_same" : "advise.people_liked", {{"people", *asked.people}});
    if (asked.people && way.sets > 1) say("advise.sets", {{"people", *asked.people}, {"sets", way.sets}, {"portions", way.portions_a_head()}});
    if (way.portions_a_head() > asked.most_portions) say("advise.too_much", {{"most", std::int64_t{asked.most_portions}}});
    if (!way.enough_meat) say("advise.too_little_meat", {{"servings", *asked.servings}});
    say(way.reason);
}

/// The best, and how to go on with it: what to write into which plan.
void say_how_to_go_on(Call& call, const methods::Asked& asked, const methods::AdviceGiven& given, const methods::Advised& best) {
    const std::string round = core::to_text(round_of(asked, given, best));
    const std::string ready = std::string(best.method->id) + ".ready";
    call.say("");
    call.answer += report::lines_of(call.words.text(best.fits ? "advise.next" : "advise.next.none_fits"));
    call.say("  " + round);
    if (call.words.has(ready)) call.answer += report::lines_of(call.words.text("advise.next.ready", {{"file", call.words.text(ready)}}));
    call.answer += report::lines_of(call.words.text(given.share ? "advise.next.how_liked" : "advise.next.how"));
    if (best.directed) call.answer += report::lines_of(call.words.text("advise.next.word"));
}

void say_advice(Call& call, const methods::Asked& asked, const methods::AdviceGiven& given) {
    constexpr std::size_t k_shown = 3;
    const auto say = [&](std::string_view id, std::map<std::string, core::Argument> args = {}) {
        call.answer += report::lines_of(call.words.text(id, std::move(args)));
    };
    const bool taken = call.has("--question") && !call.has("--notice-in-ten");
    if (given.share) say(call.has("--notice-in-ten") ? "advise.share_not_notice" : "advise.share", {{"share", *given.share}});
    else say(taken ? "advise.scale_taken" : "advise.scale", {{"k", asked.notice_in_ten}, {"d", given.d_prime}});
    const std::vector<methods::Advised>& ways = given.methods;
    const std::size_t shown = call.has("--all") ? ways.size() : std::min(k_shown, ways.size());
    for (std::size_t i = 0; i < shown; ++i) say_way(call, asked, ways[i]);
    call.say("");
    if (shown < ways.size()) say("advise.more", {{"n", static_cast<std::int64_t>(ways.size() - shown)}});
    for (const methods::Method* method : given.beyond)
        say("advise.beyond", {{"method", call.words.text(std::string(method->id) + ".title")}});
    say(asked.wanted == methods::Wanted::same    ? "advise.chances_same"
        : asked.wanted == methods::Wanted::liked ? "advise.chances_liked"
                                                 : "advise.chances");
    say_how_to_go_on(call, asked, given, ways.front());
}

core::Result<ExitCode> advise(Call& call) {
    if (!call.has("--question") && isatty(STDIN_FILENO) == 0)
        return core::fault(core::ErrorKind::usage, "usage", "--question noticed|liked|same is missing: what do you want to know? (or run `oddplate advise` on a terminal to be asked)");
    const auto asked = call.has("--question") ? asked_in_flags(call) : ask_for_advice(call);
    if (!asked) return asked.faults();
    const auto given = methods::advise(*asked);
    if (!given) return given.faults();
    if (!call.json()) {
        say_advice(call, *asked, *given);
        return 0;
    }
    Json list = Json::array();
    for (const methods::Advised& advised : given->methods) list.push(advised_json(advised, call.words));
    Json out = Json::object();
    if (given->share) {
        Json why = Json::object();
        for (const char* key : {"d_prime", "discriminators"}) {
            out.set(key, Json());
            why.set(key, "how many like it is not told by how many notice it");
        }
        out.set("share", *given->share);
        out.set("why", std::move(why));
    } else {
        out.set("d_prime", given->d_prime);
        out.set("discriminators", given->discriminators);
    }
    out.set("methods", std::move(list));
    if (!given->beyond.empty()) {
        Json beyond = Json::array();
        for (const methods::Method* method : given->beyond) beyond.push(method->id);
        out.set("beyond", std::move(beyond));
    }
    call.print(out);
    return 0;
}

}   // namespace

std::vector<Verb> ahead_verbs() {
    return {
        {.name = "advise",
         .summary = "which method answers your question with the fewest people and the least meat",
         .flags = {{"--question", "WHAT", "noticed, liked or same", false},
                   {"--direction", "YES|NO", "whether you can say which way the change goes (saltier)", false},
                   {"--people", "N", "how many can come", false},
                   {"--notice-in-ten", "K", "how many of ten may notice before it matters (4)", false},
                   {"--share", "S", "with liked: the share for one side that must not be missed (0.7: 7 of ten who choose)", false},
                   {"--portions", "N", "how many portions a tongue takes in an evening (6)", false},
                   {"--servings", "N", "how many portions the scarcest spot of the cut can give", false},
                   {"--all", "", "all methods, not only the three best", false}},
         .run = advise,
         .examples = {"oddplate advise --question noticed --direction yes --people 24", "oddplate advise --question same --notice-in-ten 3 --json"}},
    };
}

}   // namespace oddplate::cli
