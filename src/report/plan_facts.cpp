// A trial draw tells who gets which trays, so that plan and papers cannot disagree about spots, waves and scarce cuts. Its codes
// and orders are thrown away: how many bites a recipe needs is taken from the method's orders, each as often as the others.

#include "plan_facts.hpp"

#include <algorithm>
#include <cmath>
#include <map>
#include <mutex>
#include <numeric>
#include <string>

#include "cutting.hpp"
#include "oddplate/core/json.hpp"
#include "oddplate/draw/draw.hpp"
#include "oddplate/report/voice.hpp"
#include "oddplate/tasting/plan_json.hpp"

namespace oddplate::report {
namespace {

/// Portions of each version in one set of this round, on average over its orders.
std::vector<double> portions_by_version(const methods::Round& round, std::size_t versions) {
    const auto orders = method_of(round).orders(round, static_cast<int>(versions));
    std::vector<double> portions(versions, 0);
    for (const methods::Order& order : orders) {
        for (const int version : order.versions) portions[static_cast<std::size_t>(version)] += 1;
        if (order.reference >= 0) portions[static_cast<std::size_t>(order.reference)] += 1;
    }
    for (double& sum : portions) sum /= static_cast<double>(orders.size());
    // Blank sets hold the current recipe only; what they are is averaged in, since the room does not know which they are.
    const double all = std::accumulate(portions.begin(), portions.end(), 0.0);
    const double blank = static_cast<double>(round.blank_sets) / round.passes();
    for (double& share : portions) share *= 1 - blank;
    portions.front() += blank * all;
    return portions;
}

/// Sets of one round at one spot.
struct SetCount {
    double planned{0}, late{0};
};

struct Expected {
    Bites line;
    double ballots{0}, late{0};
};

void add_expected(std::vector<Expected>& lines, const std::string& spot, const SetCount& sets,
                  const std::vector<double>& portions) {
    for (std::size_t version = 0; version < portions.size(); ++version) {
        auto line = std::find_if(lines.begin(), lines.end(), [&](const Expected& seen) {
            return seen.line.spot == spot && seen.line.version == static_cast<int>(version);
        });
        if (line == lines.end())
            line = lines.insert(lines.end(), Expected{.line = {.spot = spot, .version = static_cast<int>(version)}});
        line->ballots += sets.planned * portions[version];
        line->late += sets.late * portions[version];
    }
}

int rounded_up(double bites) {
    return static_cast<int>(std::ceil(bites - 1e-9));
}

std::vector<Bites> expected_bites(const methods::Plan& plan, const draw::Room& room) {
    std::vector<std::vector<SetCount>> sets;
    for (const methods::Round& round : plan.rounds) sets.emplace_back(round.spots.size());
    for (const draw::RoomBallot& ballot : room.ballots)
        for (const draw::RoomSet& set : ballot.sets) {
            SetCount& count = sets[static_cast<std::size_t>(set.round)][static_cast<std::size_t>(set.spot)];
            (ballot.spare ? count.late : count.planned) += 1;
        }
    std::vector<Expected> lines;
    for (std::size_t r = 0; r < plan.rounds.size(); ++r) {
        const std::vector<double> portions = portions_by_version(plan.rounds[r], plan.versions.size());
        for (std::size_t s = 0; s < plan.rounds[r].spots.size(); ++s)
            add_expected(lines, plan.rounds[r].spots[s], sets[r][s], portions);
    }
    std::vector<Bites> bites;
    for (Expected& expected : lines) {
        expected.line.ballots = rounded_up(expected.ballots);
        expected.line.late = rounded_up(expected.late);
        const int a_tub = rounded_up(expected.ballots / plan.pieces);   // each piece of meat has a tub of its own
        expected.line.spare = plan.pieces * spare_bites(a_tub);
        bites.push_back(std::move(expected.line));
    }
    return bites;
}

}   // namespace

int portions_of_set(const methods::Round& round, std::size_t versions) {
    int most = 0;
    for (const methods::Order& order : method_of(round).orders(round, static_cast<int>(versions)))
        most = std::max(most, static_cast<int>(order.versions.size()) + (order.reference >= 0 ? 1 : 0));
    return most;
}

/// The clock runs an evening: that of most people.
methods::Plan fullest_evening(const methods::Plan& plan) {
    std::size_t most = 0;
    for (std::size_t e = 0; e < plan.evenings.size(); ++e)
        if (plan.evenings[e].tasters > plan.evenings[most].tasters) most = e;
    methods::Plan evening = plan;
    evening.tasters = plan.evenings[most].tasters;
    evening.spares = plan.spares_at(static_cast<int>(most));
    evening.evenings = {plan.evenings[most]};
    evening.evening = static_cast<int>(most) + 1;
    return evening;
}

core::Result<PlanFacts> facts_of(const methods::Plan& plan) {
    const auto drawn = draw::draw(plan, core::Bytes32{});
    if (!drawn) return drawn.faults();
    PlanFacts facts{.load = load_of(plan, drawn->room), .passes = passes_of(plan, drawn->room), .bites = expected_bites(plan, drawn->room), .trays_compare = {}, .beside_usual = drawn->beside_usual, .balanced_at = drawn->balanced_at};
    if (drawn->trays) facts.trays_compare = drawn->trays->connected ? drawn->trays->a_efficiency / drawn->trays->bound : 0;
    if (plan.evenings.empty()) return facts;
    const methods::Plan fullest = fullest_evening(plan);
    const auto evening = draw::draw(fullest, core::Bytes32{});
    if (!evening) return evening.faults();
    facts.passes = passes_of(fullest, evening->room);
    return facts;
}

int portions_a_head(const methods::Plan& plan) {
    int portions = 0;
    for (const methods::Round& round : plan.rounds)
        portions += portions_of_set(round, plan.versions.size()) * round.spots_each() * round.passes();
    return portions + known_portions(plan);
}

methods::Outlook outlook_of(const methods::Plan& plan, std::size_t index) {
    // Some are tried out on made-up panels, which takes a second or more, and one page asks several times.
    constexpr std::size_t k_most_kept = 16;
    static std::mutex guard;
    static std::map<std::string, methods::Outlook> kept;
    const std::string key = core::to_canonical_text(tasting::plan_to_json(plan)) + "/" + std::to_string(plan.evening) + "/" + std::to_string(index);
    {
        const std::lock_guard lock(guard);
        if (const auto known = kept.find(key); known != kept.end()) return known->second;
    }
    methods::Round round = plan.rounds[index];
    round.alpha *= plan.alpha_left();
    methods::Plan judged = plan;   // as the verdict will count: pieces of another lot are others
    judged.pieces = plan.whole_pieces();
    methods::Outlook ahead = method_of(round).outlook(method_of(round), round, judged);
    const std::lock_guard lock(guard);
    if (kept.size() >= k_most_kept) kept.clear();
    kept.emplace(key, ahead);
    return ahead;
}

std::optional<std::int64_t> people_needed(const methods::Plan& plan) {
    std::optional<std::int64_t> most;
    for (std::size_t r = 0; r < plan.rounds.size(); ++r)
        if (const auto needed = outlook_of(plan, r).needed) most = std::max(most.value_or(0), *needed);
    return most;
}

std::optional<int> wave_in_time(const methods::Plan& plan) {
    const methods::Plan evening = plan.evenings.empty() ? plan : fullest_evening(plan);
    methods::Plan fewer = evening;
    fewer.tasters =
        std::min(evening.tasters, 40);   // more than forty at a table are never in time; the pace is by the wave, not by the house
    fewer.spares = 0;
    for (auto& [spot, first] : fewer.first_ballots) first = std::min(first, fewer.tasters);
    const auto drawn = draw::draw(fewer, core::Bytes32{});
    if (!drawn) return std::nullopt;
    const int own = plan.waves == 0 ? evening.tasters : std::min(plan.waves, evening.tasters);
    for (int wave = std::min(fewer.tasters, own - 1); wave >= 1; --wave) {
        fewer.waves = wave;
        const auto passes = passes_of(fewer, drawn->room);
        if (std::all_of(passes.begin(), passes.end(),
                        [](const Pass& pass) { return minutes_on_the_way(pass) <= k_most_minutes_warm; }))
            return wave;
    }
    return std::nullopt;
}

}   // namespace oddplate::report
