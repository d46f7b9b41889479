// What a ranking can be told, how its trays are served, and what one answer is worth.

#include <algorithm>
#include <cmath>
#include <numeric>

#include "oddplate/core/text.hpp"
#include "oddplate/stats/blocks.hpp"
#include "ranks.hpp"

namespace oddplate::methods::ranks {
namespace {

constexpr int k_most_samples = 12;
constexpr Setting k_expected{.key = "expected", .kind = Kind::words, .help = "the order you expect, first to last, with commas between: adds the test for just that order"};
constexpr Setting k_round[] = {
    {.key = "tray_size", .kind = Kind::whole, .lo = 2, .hi = k_most_samples, .help = "how many of the recipes lie on a tray (default: all); each pair then shares a tray equally often"},
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
    const auto versions = static_cast<std::int64_t>(plan.versions.size());
    if (versions < 3 || versions > k_most_samples)
        faults.push_back(core::found(place + "/method", std::to_string(versions) + " versions", "3 to 12: " + std::string(method.id) + " puts several recipes in order",
                                     versions == 2 ? "for two recipes ask paired-preference" : ""));
    const auto size = whole(round.settings, "tray_size");
    if (size && *size > versions)
        faults.push_back(core::found(place + "/tray_size", std::to_string(*size), "at most " + std::to_string(versions) + ", the number of versions"));
    round.settings.try_emplace("tray_size", versions);
    if (round.blank_sets > 0) faults.push_back(core::found(place + "/blank_sets", std::to_string(round.blank_sets), "0: a ranking has no blank trays"));
    if (const auto said = words(round.settings, "expected")) {
        const auto order = expected_order(*said, version_ids(plan));
        if (!order) faults.push_back(core::found(place + "/expected", core::quoted(*said), "the ids of all versions, each once, with commas between"));
    }
}

AnswerShape shape(const Round& round) { return OrderAll{flag(round.settings, "ties")}; }

std::vector<Order> orders(const Round& round, int versions) {
    const int size = static_cast<int>(std::clamp<std::int64_t>(whole(round.settings, "tray_size").value_or(versions), 1, versions));
    const stats::ServingRows served = stats::serving_rows(versions, size);
    std::vector<Order> orders;
    for (std::size_t row = 0; row < served.rows.size(); ++row) {
        // Complete trays: which comes first. Smaller ones: which recipes they are, so that a taster's trays hold unlike ones.
        const int block = static_cast<int>(row) % served.batch;
        orders.push_back({.versions = served.rows[row], .reference = -1, .trait = size == versions ? served.rows[row].front() : block, .batch = static_cast<int>(row) / served.batch});
    }
    return orders;
}

core::Result<Scored> score(const SetKey& key, const Answer& answer, const Round& round, const Plan&) {
    const auto* given = std::get_if<Ordering>(&answer);
    if (given == nullptr) return core::found({}, canonical_text(answer, key.codes), expectation(shape(round), false, key.codes), {}, "bad-answer");
    std::vector<double> places(key.codes.size(), 0);
    double place = 1;
    for (const std::vector<std::string>& group : given->groups) {
        for (const std::string& code : group) {
            const auto at = std::find(key.codes.begin(), key.codes.end(), code);
            if (at == key.codes.end()) return core::found({}, canonical_text(answer, key.codes), expectation(shape(round), false, key.codes), {}, "bad-answer");
            places[static_cast<std::size_t>(at - key.codes.begin())] = place;
        }
        place += static_cast<double>(group.size());
    }
    Scored scored{.values = stats::midranks(places)};
    const auto first = std::find(scored.values.begin(), scored.values.end(), 1.0);
    if (first != scored.values.end()) scored.picked = static_cast<int>(first - scored.values.begin());
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
