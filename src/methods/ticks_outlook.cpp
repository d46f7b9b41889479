// How many people it takes to show that a word fits one recipe more than the others, tried out on made-up panels.

#include <algorithm>

#include "oddplate/core/json.hpp"
#include "pieces.hpp"
#include "ticks.hpp"
#include "trays.hpp"
#include "tried_out.hpp"

namespace oddplate::methods::ticks {
namespace {

constexpr double k_high = 0.6, k_low = 0.3;
constexpr std::int64_t k_panels_of_plan = 200, k_panels_of_size = 1000;
constexpr std::int64_t k_most_people = 5000;
constexpr std::int64_t k_usual_number = 6;   // of words

/// Panels in which `high` of people tick the word for the first recipe and `low` for every other, alike in nothing else. Shown where Q's p is at most alpha
/// over the number of words, which is Holm's first step. `pieces` of each recipe, alike in truth: from two on the verdict takes them as a sample of many.
tried_out::Panel panel_of(std::vector<Order> orders, std::size_t versions, int trays, double level, double high, double low, int pieces) {
    return [=, orders = std::move(orders)](std::int64_t people, core::PhiloxStream& stream) {
        Ticked ticked{.samples = std::vector<std::string>(versions), .words = {"word"}, .trays = {}};
        for (std::int64_t taster = 0; taster < people; ++taster)
            for (int tray = 0; tray < trays; ++tray) {
                const Order& order = orders[static_cast<std::size_t>(taster * trays + tray) % orders.size()];
                Tray& one = ticked.trays.emplace_back(Tray{.taster = static_cast<std::int32_t>(taster), .samples = order.versions, .ticked = {}});
                for (const int version : order.versions) {
                    one.ticked.push_back({stream.uniform() < (version == 0 ? high : low)});
                    if (pieces > 1) one.pieces.push_back(version * pieces::k_most + static_cast<std::int32_t>(stream.below(static_cast<std::uint32_t>(pieces))));
                }
            }
        const Question question{level, 1 - level, true};
        return !shown(question, weigh(question, ticked)).empty();
    };
}

constexpr Setting k_size[] = {
    {.key = "samples", .kind = Kind::whole, .lo = 2, .hi = trays::k_most_versions, .help = "how many recipes (default 2)"},
    {.key = "words", .kind = Kind::whole, .lo = 1, .hi = 12, .help = "how many words may be ticked (default 6)"},
    trays::k_tray_size,
    {.key = "high", .lo = 0, .hi = 1, .open = true, .help = "the share of people who tick a word for one recipe (default 0.6)"},
    {.key = "low", .lo = 0, .hi = 1, .open = true, .help = "and for the others (default 0.3)"},
    k_alpha,
    {.key = "power", .lo = 0, .hi = 1, .open = true, .help = "how surely it is found (default 0.8)"}};

}   // namespace

constinit const std::span<const Setting> k_size_settings{k_size};

core::Result<Findings> size(const Method& method, const Settings& settings) {
    const std::int64_t samples = whole(settings, "samples").value_or(2), number_of_words = whole(settings, "words").value_or(k_usual_number);
    const std::int64_t tray = whole(settings, "tray_size").value_or(samples);
    const double high = number(settings, "high").value_or(k_high), low = number(settings, "low").value_or(k_low);
    const double alpha = number(settings, "alpha").value_or(0.05), power = number(settings, "power").value_or(0.8);
    if (tray > samples) return core::found("--tray-size", std::to_string(tray), "at most " + std::to_string(samples) + ", the number of recipes", {}, "bad-value", core::ErrorKind::usage);
    if (low >= high) return core::found("--low", core::shortest(low), "a share below --high " + core::shortest(high), {}, "bad-value", core::ErrorKind::usage);
    Round round;
    round.settings["tray_size"] = tray;
    const auto panel = panel_of(method.orders(round, static_cast<int>(samples)), static_cast<std::size_t>(samples), 1, alpha / static_cast<double>(number_of_words), high, low, 1);
    const auto found = tried_out::people_for(panel, power, k_panels_of_size, 2, k_most_people);
    Findings findings;
    findings.add("method", std::string(method.id));
    findings.add("recipes", samples);
    findings.add("words_asked", number_of_words);
    findings.add("alpha", alpha);
    findings.add("power", power);
    findings.add("detect.high", high);
    findings.add("detect.low", low);
    tried_out::add_people(findings, found, k_panels_of_size, k_most_people);
    if (found) findings.words.push_back({"ticks.size", {{"n", found->people}, {"high", high}, {"low", low}, {"words", number_of_words}, {"found", found->chance.estimate}, {"panels", k_panels_of_size}}});
    return findings;
}

Outlook outlook(const Method& method, const Round& round, const Plan& plan) {
    const std::size_t versions = plan.versions.size();
    const tried_out::AtRule rule = tried_out::at_rule(round);
    const std::int64_t people = std::min<std::int64_t>(rule.here(plan.tasters), k_most_people);
    const auto panel = panel_of(method.orders(round, static_cast<int>(versions)), versions, rule.trays, rule.alpha / static_cast<double>(words_in(round).size()), k_high, k_low, plan.pieces);
    Outlook ahead{.needed = {}, .chance = rule.chance(tried_out::try_out(panel, people, k_panels_of_plan).estimate), .words = {}};
    ahead.words.push_back({rule.together ? "ticks.ahead" : rule.all_of > 1 ? "ticks.ahead.each" : "ticks.ahead.any", {{"high", k_high}, {"low", k_low}, {"found", *ahead.chance}, {"n", std::int64_t{plan.tasters}}}});
    if (plan.pieces > 1) ahead.words.push_back({"ranks.ahead.pieces", {{"n", std::int64_t{plan.pieces}}}});
    if (*ahead.chance >= round.power) {
        ahead.needed = plan.tasters;   // or fewer; how few is not asked
        return ahead;
    }
    if (plan.pieces > 1 && tried_out::try_out(panel, 3 * people, k_panels_of_plan).estimate < rule.power) {
        ahead.words.push_back({"ranks.ahead.more_pieces", {{"power", round.power}, {"n", rule.of_plan(3 * people)}}});
        return ahead;
    }
    if (const auto found = tried_out::people_for(panel, rule.power, k_panels_of_plan, people, k_most_people)) ahead.needed = rule.of_plan(found->people);
    if (ahead.needed) ahead.words.push_back({"ticks.ahead.needed", {{"needed", *ahead.needed}, {"power", round.power}}});
    return ahead;
}

}   // namespace oddplate::methods::ticks
