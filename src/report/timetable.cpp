// The clock of an evening. The paces are those of two practised people, common practice: fifty cups are cut and filled in about a
// quarter of an hour, a guest needs a minute a portion and one more for the slip. The sheets say that they are a guess.
#include "timetable.hpp"

#include "oddplate/report/voice.hpp"

#include <algorithm>
#include <cmath>
#include <map>

namespace oddplate::report {
namespace {

constexpr double k_cut_seconds = 10;    // a portion
constexpr double k_fill_seconds = 7;    // a cup
constexpr double k_tray_seconds = 12;   // a tray, read back aloud
constexpr int k_wait = 3;               // between two trays of the same guests
constexpr int k_change = 5;             // one wave leaves, the next sits down

int minutes(double seconds) {
    return static_cast<int>(std::ceil(seconds / 60));
}

int portions_of(const draw::RoomSet& set) {
    return static_cast<int>(set.codes.size()) + (set.reference.empty() ? 0 : 1);
}

const draw::RoomSet& set_of(const draw::Room& room, int ballot, int set) {
    return room.ballots[static_cast<std::size_t>(ballot)].sets[static_cast<std::size_t>(set)];
}

/// The ballots of a wave that have a tray of this number; not all have one where a spot is scarce.
Pass pass_of(const draw::Room& room, const std::vector<int>& wave, int set, bool late) {
    Pass pass{.set = set, .late = late};
    for (const int ballot : wave) {
        const std::size_t sets = room.ballots[static_cast<std::size_t>(ballot)].sets.size();
        if (static_cast<std::size_t>(set) < sets) pass.ballots.push_back(ballot);
    }
    return pass;
}

struct Wave {
    std::vector<int> ballots{};
    bool late{false};
};

std::vector<Wave> waves_of(const methods::Plan& plan, const draw::Room& room) {
    std::vector<Wave> waves;
    Wave late{.late = true};
    int in_wave = 0;
    for (int ballot = 0; ballot < static_cast<int>(room.ballots.size()); ++ballot) {
        if (room.ballots[static_cast<std::size_t>(ballot)].spare) {
            late.ballots.push_back(ballot);
            continue;
        }
        if (waves.empty() || (plan.waves > 0 && in_wave == plan.waves)) {
            waves.emplace_back();
            in_wave = 0;
        }
        waves.back().ballots.push_back(ballot);
        ++in_wave;
    }
    if (!late.ballots.empty()) waves.push_back(late);
    return waves;
}

/// By ballot alike: where a course is split over sittings its n-th tray belongs to the n-th of them, any other tray to that of the tray before it.
int sitting_of(const methods::Plan& plan, const std::vector<draw::RoomSet>& sets, int set) {
    int sitting = 0;
    for (int i = 1; i <= set; ++i) {
        const draw::RoomSet& before = sets[static_cast<std::size_t>(i) - 1];
        const draw::RoomSet& now = sets[static_cast<std::size_t>(i)];
        if (now.round == before.round && plan.rounds[static_cast<std::size_t>(now.round)].sittings > 1) ++sitting;
    }
    return sitting;
}

/// Kitchen and room go hand in hand: a tray is served when it is ready and when the guests are.
void set_times(std::vector<Pass>& passes, const draw::Room& room) {
    int room_ready = k_welcome_minutes;
    int kitchen_free = -24 * 60;
    for (std::size_t i = 0; i < passes.size(); ++i) {
        Pass& pass = passes[i];
        if (pass.late) continue;
        if (i > 0 && passes[i - 1].sitting != pass.sitting) room_ready = k_welcome_minutes, kitchen_free = -24 * 60;   // another day, the same clock
        int cups = 0, most = 0;
        for (const int ballot : pass.ballots) {
            const int portions = portions_of(set_of(room, ballot, pass.set));
            cups += portions;
            most = std::max(most, portions);
        }
        const int cutting = minutes(k_cut_seconds * cups), filling = minutes(k_fill_seconds * cups);
        const int laying = minutes(k_tray_seconds * static_cast<double>(pass.ballots.size()));
        const int serve = std::max(room_ready, kitchen_free + cutting + filling + laying);
        pass.times = {serve - laying - filling - cutting, serve - laying - filling, serve - laying, serve, serve + most + 1};
        kitchen_free = serve;
        const bool same_guests = i + 1 < passes.size() && passes[i + 1].set > pass.set;
        room_ready = pass.times.clear + (same_guests ? k_wait : k_change);
    }
}

}   // namespace

std::vector<Pass> passes_of(const methods::Plan& plan, const draw::Room& room) {
    std::vector<Pass> passes;
    for (const Wave& wave : waves_of(plan, room)) {
        std::size_t most = 0;
        for (const int ballot : wave.ballots) most = std::max(most, room.ballots[static_cast<std::size_t>(ballot)].sets.size());
        for (int set = 0; set < static_cast<int>(most); ++set) {
            passes.push_back(pass_of(room, wave.ballots, set, wave.late));
            if (!passes.back().ballots.empty()) passes.back().sitting = sitting_of(plan, room.ballots[static_cast<std::size_t>(passes.back().ballots.front())].sets, set);
        }
    }
    std::stable_sort(passes.begin(), passes.end(), [](const Pass& a, const Pass& b) { return a.sitting < b.sitting; });
    for (std::size_t i = 0; i < passes.size(); ++i) passes[i].number = static_cast<int>(i) + 1;
    set_times(passes, room);
    return passes;
}

int minutes_on_the_way(const Pass& pass) {
    return pass.times.clear - pass.times.cut;
}

int known_portions(const methods::Plan& plan) {
    int portions = plan.warm_up ? 1 : 0;
    for (const methods::Round& round : plan.rounds)
        if (const methods::Method& method = method_of(round); method.to_learn != nullptr) portions += method.to_learn(round);
    return portions;
}

Load load_of(const methods::Plan& plan, const draw::Room& room) {
    Load load;
    for (const draw::RoomBallot& ballot : room.ballots) {
        std::map<int, int> portions;   // by sitting
        for (std::size_t set = 0; set < ballot.sets.size(); ++set) portions[sitting_of(plan, ballot.sets, static_cast<int>(set))] += portions_of(ballot.sets[set]);
        for (const auto& [sitting, eaten] : portions) load.portions = std::max(load.portions, eaten);
    }
    load.portions += known_portions(plan);
    load.grams = plan.grams.value_or(0) * load.portions;
    double saltiest = 0;
    for (const methods::Version& version : plan.versions) {
        const auto salt = plan.salt_percent.find(version.id);
        if (salt == plan.salt_percent.end()) return load;   // one recipe unknown: no figure rather than a low one
        saltiest = std::max(saltiest, salt->second);
    }
    constexpr double k_mg_sodium_a_gram_of_salt = 393;   // 22.99 / 58.44
    load.sodium_mg = load.grams * saltiest / 100 * k_mg_sodium_a_gram_of_salt;
    return load;
}

}   // namespace oddplate::report
