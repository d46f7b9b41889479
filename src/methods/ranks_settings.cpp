// What a ranking can be told, how its trays are served, and what one answer is worth.

#include <algorithm>
#include <cmath>
#include <numeric>

#include "oddplate/core/text.hpp"
#include "ranks.hpp"
#include "trays.hpp"

namespace oddplate::methods::ranks {
namespace {

constexpr Setting k_expected{.key = "expected", .kind = Kind::words, .help = "the order you expect, first to last, with commas between: adds the test for just that order"};
constexpr Setting k_round[] = {
    trays::k_tray_size,
    trays::k_sittings,
    trays::k_usual_in_every_tray,
    trays::k_stronger,
    trays::k_strongest_last,
    {.key = "against_usual", .kind = Kind::flag, .help = "hold every recipe against the usual one: is any of them worse?"},
    {.key = "not_less", .lo = 0, .hi = 0.5, .open = true, .help = "with against_usual: shown to be no worse where more than this share would put it before the usual one"},
    {.key = "ladder", .kind = Kind::flag, .help = "the recipes rise in salt (salt_percent): from which level on do people rather have the usual one, which lies on every tray?"},
    {.key = "reject_at", .lo = 0.5, .hi = 1, .open = true, .help = "with ladder: the share that prefers the usual one at the rejection point (default 0.75)"},
    {.key = "ties", .kind = Kind::flag, .help = "tasters may put two in the same place"},
    {.key = "attribute", .kind = Kind::words, .help = "what they are put in order of, most first (default: liking)"},
    {.key = "share", .lo = 0.5, .hi = 1, .open = true, .help = "the share of people who would put one recipe before any other that must not be missed (default 0.7)"},
    k_expected};
constexpr Setting k_weigh[] = {k_alpha, k_expected};
constexpr Column k_columns[] = {{"taster"}, {"sample"}, {"rank"}, {"tray", false}};

}   // namespace

const std::span<const Setting> k_round_settings{k_round};
const std::span<const Setting> k_weigh_settings{k_weigh};
const std::span<const Column> k_weigh_columns{k_columns};

void settle(const Method& method, Round& round, const Plan& plan, const std::string& place, core::Faults& faults) {
    settle_ladder(round, plan, place, faults);
    trays::settle(method, round, plan, place, faults);
    if (flag(round.settings, "against_usual") && round.settings.contains("attribute"))
        faults.push_back(core::found(place + "/attribute", core::quoted(*words(round.settings, "attribute")), "no attribute: better or worse than the usual one goes by liking"));
    if (round.settings.contains("not_less") && !flag(round.settings, "against_usual"))
        faults.push_back(core::found(place + "/not_less", "no against_usual", "not_less and \"against_usual\": true together"));
    if (const auto said = words(round.settings, "expected")) {
        const auto order = expected_order(*said, version_ids(plan));
        if (!order) faults.push_back(core::found(place + "/expected", core::quoted(*said), "the ids of all versions, each once, with commas between"));
    }
}

AnswerShape shape(const Round& round) { return OrderAll{flag(round.settings, "ties")}; }

core::Result<Scored> score(const SetKey& key, const Answer& answer, const Round& round, const Plan&) {
    const auto refused = [&] { return core::found({}, canonical_text(answer, key.codes), expectation(shape(round), false, key.codes), {}, "bad-answer"); };
    const auto* given = std::get_if<Ordering>(&answer);
    if (given == nullptr) return refused();
    std::vector<double> places(key.codes.size(), 0);   // 0: not on the tray after all
    double place = 1;
    for (const std::vector<std::string>& group : given->groups) {
        for (const std::string& code : group) {
            const auto at = std::find(key.codes.begin(), key.codes.end(), code);
            if (at == key.codes.end()) return refused();
            places[static_cast<std::size_t>(at - key.codes.begin())] = place;
        }
        place += static_cast<double>(group.size());
    }
    Scored scored;
    std::vector<double> served;
    for (std::size_t i = 0; i < places.size(); ++i) {
        if (places[i] == 0) continue;
        served.push_back(places[i]);
        scored.samples.push_back(key.versions[i]);
    }
    scored.values = stats::midranks(served);
    const auto first = std::find(scored.values.begin(), scored.values.end(), 1.0);
    if (first != scored.values.end() && served.size() == places.size()) scored.picked = static_cast<int>(first - scored.values.begin());
    return scored;
}

Answer decide(const Sensed& sensed, std::span<const std::string> codes, const Round&, const Plan&) {
    std::vector<std::size_t> order(codes.size());
    std::iota(order.begin(), order.end(), std::size_t{0});
    std::stable_sort(order.begin(), order.end(), [&](std::size_t a, std::size_t b) { return sensed.portions[a] > sensed.portions[b]; });
    Ordering answer;
    for (const std::size_t i : order) answer.groups.push_back({codes[i]});
    return answer;
}

}   // namespace oddplate::methods::ranks
