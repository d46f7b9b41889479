#include "tried_out.hpp"

#include <algorithm>
#include <atomic>
#include <cmath>
#include <iterator>
#include <thread>
#include <vector>

namespace oddplate::methods::tried_out {
namespace {

constexpr std::uint64_t k_seed = 12;
constexpr double k_close = 0.02;   // sizes nearer than this share are not told apart

constexpr std::int64_t k_batch = 40;   // panels after which a search looks whether it is clear by now
constexpr double k_clear = 4;          // standard errors from the power wanted

/// Of panels first .. last - 1, how many find it.
std::int64_t found_by(const Panel& panel, std::int64_t people, std::int64_t first, std::int64_t last) {
    std::atomic<std::int64_t> next{first}, found{0};
    const auto work = [&] {
        for (std::int64_t one = next++; one < last; one = next++) {
            core::PhiloxStream stream(k_seed, static_cast<std::uint64_t>(one));
            found += panel(people, stream) ? 1 : 0;
        }
    };
    {
        std::vector<std::jthread> crew;
        for (unsigned i = 1; i < std::thread::hardware_concurrency(); ++i) crew.emplace_back(work);
        work();
    }
    return found;
}

/// Whether so many people reach the power; no more panels are played than make that clear.
bool reaches(const Panel& panel, std::int64_t people, std::int64_t panels, double power) {
    std::int64_t found = 0, played = 0;
    while (played < panels) {
        const std::int64_t last = std::min(panels, played + k_batch);
        found += found_by(panel, people, played, last);
        played = last;
        const auto n = static_cast<double>(played);
        if (std::abs(static_cast<double>(found) / n - power) > k_clear * std::sqrt(power * (1 - power) / n)) break;
    }
    return static_cast<double>(found) >= power * static_cast<double>(played);
}

}   // namespace

Chance try_out(const Panel& panel, std::int64_t people, std::int64_t panels) {
    const auto n = static_cast<double>(panels);
    const double share = static_cast<double>(found_by(panel, people, 0, panels)) / n;
    return {share, std::sqrt(share * (1 - share) / n), panels};
}

std::optional<People> people_for(const Panel& panel, double power, std::int64_t panels, std::int64_t least, std::int64_t most) {
    std::int64_t low = least - 1, high = std::max<std::int64_t>(least, 8);
    while (!reaches(panel, high, panels, power)) {
        if (high >= most) return std::nullopt;
        low = high;
        high = std::min(2 * high, most);
    }
    while (static_cast<double>(high - low) > std::max(1.0, k_close * static_cast<double>(high))) {
        const std::int64_t middle = low + (high - low) / 2;
        (reaches(panel, middle, panels, power) ? high : low) = middle;
    }
    return People{high, try_out(panel, high, panels)};
}

void add_people(Findings& findings, const std::optional<People>& found, std::int64_t panels, std::int64_t most) {
    const std::string why = found ? "" : "more than " + std::to_string(most) + " people";
    findings.add("tasters", found ? Value{found->people} : Value{}, why);
    findings.add("power_actual", found ? Value{found->chance.estimate} : Value{}, why);
    findings.add("power_error", found ? Value{found->chance.error} : Value{}, why);
    findings.add("panels", panels);
    findings.add("found", std::string("tried out on seeded made-up panels"));
    if (!found) findings.words.push_back({"tried_out.beyond", {{"most", most}}});
}

std::int64_t AtRule::here(std::int64_t people) const { return together ? people : std::max<std::int64_t>(2, people * spots_each / spots); }

std::int64_t AtRule::of_plan(std::int64_t people) const { return together ? people : (people * spots + spots_each - 1) / spots_each; }

double AtRule::chance(double found) const { return std::pow(found, all_of); }

AtRule at_rule(const Round& round) {
    AtRule rule{.alpha = round.alpha, .power = round.power, .trays = round.spots_each() * round.sets_per_taster, .spots = std::ssize(round.spots), .spots_each = round.spots_each()};
    if (round.decide_on == DecideOn::overall || rule.spots == 1) return rule;
    rule.together = false;
    rule.trays = round.sets_per_taster;
    if (round.decide_on == DecideOn::any_spot) rule.alpha /= static_cast<double>(rule.spots);
    else rule.all_of = static_cast<double>(rule.spots);
    rule.power = std::pow(rule.power, 1 / rule.all_of);
    return rule;
}

}   // namespace oddplate::methods::tried_out
