// What the family can be told, how its two portions are served and what one answer is worth.

#include <algorithm>

#include "difference.hpp"
#include "votes.hpp"

namespace oddplate::methods::votes {
namespace {

constexpr std::int64_t k_most_votes = 100'000'000;

constexpr Setting k_not_less{.key = "not_less",
                             .lo = 0,
                             .hi = 1,
                             .open = true,
                             .help = "the share of votes that the new recipe must be shown to surpass (0.4 = 4 in 10)"};
constexpr Setting k_share{.key = "share",
                          .lo = 0.5,
                          .hi = 1,
                          .open = true,
                          .help = "the share of votes for one recipe that must not be missed (0.65 = 65 to 35)"};
using difference::k_power;

constexpr Setting k_round[] = {
    {.key = "no_preference", .kind = Kind::flag, .help = "tasters may answer that they like both alike"}, k_share, k_not_less};
constexpr Setting k_count[] = {
    {.key = "for_new", .kind = Kind::whole, .lo = 0, .hi = k_most_votes, .required = true, .help = "votes for the new recipe"},
    {.key = "for_current",
     .kind = Kind::whole,
     .lo = 0,
     .hi = k_most_votes,
     .required = true,
     .help = "votes for the current recipe"},
    {.key = "no_preference",
     .kind = Kind::whole,
     .lo = 0,
     .hi = k_most_votes,
     .help = "tasters who could not choose (where they were allowed not to)"},
    k_alpha,
    {.key = "confidence",
     .lo = 0,
     .hi = 1,
     .open = true,
     .help = "of the interval (default 1 - alpha, which never contradicts the verdict)"},
    k_not_less};
constexpr Setting k_weigh[] = {   // the votes are in the table
    k_alpha,
    {.key = "confidence", .lo = 0, .hi = 1, .open = true, .help = "of the interval (default 1 - alpha, which never contradicts the verdict)"},
    k_not_less,
    {.key = "reject_at", .lo = 0.5, .hi = 1, .open = true, .help = "with a column level: the share that prefers the usual one at the rejection point (default 0.75)"}};
constexpr Setting k_size[] = {
    k_share,
    k_not_less,
    {.key = "true_share",
     .lo = 0,
     .hi = 1,
     .open = true,
     .help = "with --not-less: the share assumed for the power (default 0.5)"},
    {.key = "steadiness", .lo = 0.5, .hi = 1, .open = true, .help = "a house split in halves: how often somebody votes for what he likes better (0.8); people for two votes each that show it"},
    k_alpha,
    k_power,
    difference::k_tasters};

}   // namespace

const std::span<const Setting> k_round_settings{k_round};
const std::span<const Setting> k_count_settings{k_count};
const std::span<const Setting> k_size_settings{k_size};
const std::span<const Setting> k_weigh_settings{k_weigh};

std::vector<Order> orders(const Round&, int versions) {
    std::vector<Order> both_ways;
    for (int other = 1; other < versions; ++other) {   // settle has seen to it that there are two versions
        both_ways.push_back({.versions = {0, other}, .trait = 0});
        both_ways.push_back({.versions = {other, 0}, .trait = 1});
    }
    return both_ways;
}

bool may_abstain(const Round& round) {
    return flag(round.settings, "no_preference");
}

void settle(const Method& method, Round& round, const Plan& plan, const std::string& place, core::Faults& faults) {
    round.settings.try_emplace("no_preference", false);
    difference::need_two_versions(method, plan, place, faults);
}

core::Result<Scored> score(const SetKey& key, const Answer& answer, const Round& round, const Plan&) {
    if (const auto* mark = std::get_if<Mark>(&answer); mark != nullptr && *mark == Mark::none && may_abstain(round))
        return Scored{};
    const auto* given = std::get_if<Codes>(&answer);
    const auto at = given == nullptr || given->codes.size() != 1 ? key.codes.end()
                                                                 : std::find(key.codes.begin(), key.codes.end(), given->codes[0]);
    if (at == key.codes.end()) {
        return core::found({}, canonical_text(answer, key.codes),
                           expectation(AnswerShape{OneCode{}}, may_abstain(round), key.codes), {}, "bad-answer");
    }
    const auto place = at - key.codes.begin();
    return Scored{.value = key.versions[static_cast<std::size_t>(place)] == 0 ? -1.0 : 1.0, .picked = static_cast<int>(place)};
}

}   // namespace oddplate::methods::votes
