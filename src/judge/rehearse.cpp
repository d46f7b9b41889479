// One replicate is a fresh draw, tasters of its own and the method's own analysis; a thread takes every so-manyth replicate.
// Tests: tests/unit/judge/rehearse.test.cpp

#include "oddplate/judge/rehearse.hpp"

#include <algorithm>
#include <cmath>
#include <cstring>
#include <optional>
#include <thread>

#include "joining.hpp"
#include "oddplate/core/philox.hpp"
#include "oddplate/draw/draw.hpp"
#include "oddplate/methods/method.hpp"
#include "oddplate/stats/normal.hpp"
#include "oddplate/stats/spread.hpp"

namespace oddplate::judge {
namespace {

constexpr double k_stands_out = 8;   // standard deviations: a portion that no taste can hide

using Observations = std::vector<std::vector<methods::Observation>>;   // by round

core::Bytes32 seed_of(const core::Bytes32& seed, std::int64_t replicate) {
    return core::sha256(core::to_hex(seed) + "/" + std::to_string(replicate));
}

/// One evening of made-up tasters.
class Evening {
public:
    Evening(const methods::Plan& plan, std::span<const methods::Method* const> methods, const MadeUpPanel& panel,
            const draw::Drawn& drawn, core::PhiloxStream& chance)
        : m_plan(plan), m_methods(methods), m_panel(panel), m_drawn(drawn), m_chance(chance), m_answers(plan.rounds.size()) {}

    core::Result<Observations> answers() {
        for (int ballot = 0; ballot < m_plan.tasters; ++ballot) {
            const double came = m_chance.uniform(), senses = m_chance.uniform(), likes = m_chance.uniform();
            if (came < m_panel.no_shows) continue;
            if (auto sat = sit(ballot, senses, likes); !sat) return sat.faults();
        }
        return std::move(m_answers);
    }

private:
    double own_difference(const methods::Method& method, double u) const {
        if (m_panel.spread == 0) return m_panel.d;
        if (method.link != nullptr && method.link->is_signed) return m_panel.d + m_panel.spread * stats::normal_quantile(u);
        if (m_panel.d == 0) return 0;
        return std::copysign(stats::gamma_quantile(std::fabs(m_panel.d), m_panel.spread, u), m_panel.d);
    }

    /// Of two portions the new one is taken with the chance Phi(liking/sqrt 2); over people whose liking is normal that is the share.
    double own_liking(const methods::Round& round, double u) const {
        const double spread = m_panel.spread;
        return stats::normal_quantile(share_rehearsed(round, m_panel)) * std::sqrt(2 + spread * spread) + spread * stats::normal_quantile(u);
    }

    core::Status sit(int ballot, double senses, double likes) {
        const auto index = static_cast<std::size_t>(ballot);
        std::vector<std::int32_t> places(m_plan.rounds.size(), 0);
        double left = 1;
        for (std::size_t set = 0; set < m_drawn.room.ballots[index].sets.size(); ++set, left *= 1 - m_panel.fade) {
            const draw::RoomSet& shown = m_drawn.room.ballots[index].sets[set];
            const draw::KeySet& hidden = m_drawn.key.ballots[index].sets[set];
            const auto round = static_cast<std::size_t>(shown.round);
            const methods::Method& method = *m_methods[round];
            const double d = left * (method.scale == methods::Scale::votes ? own_liking(m_plan.rounds[round], likes) : own_difference(method, senses));
            if (hidden.is_blank()) continue;   // no part of the verdict
            auto scored = taste(shown, hidden, d);
            if (!scored) return scored.faults();
            methods::Observation& seen = m_answers[round].emplace_back(methods::Observation{ballot, ballot, shown.spot, hidden.order, places[round]++, std::move(*scored)});
            if (m_methods[round]->scale == methods::Scale::each) seen.pieces = pieces_on(hidden, m_plan.versions.size());
        }
        return core::Done{};
    }

    double sensation(double mean) { return mean + stats::normal_quantile(m_chance.uniform()); }

    core::Result<methods::Scored> taste(const draw::RoomSet& shown, const draw::KeySet& hidden, double d) {
        const auto round = static_cast<std::size_t>(shown.round);
        const methods::Round& asked = m_plan.rounds[round];
        // The stronger version is the one with more; without a direction it is the new recipe.
        const bool current_has_more = asked.stronger == 0;
        const auto mean = [&](int version) { return (version != 0) != current_has_more ? d : 0.0; };
        std::vector<int> versions;
        std::vector<double> sensations;
        for (const draw::KeyPortion& portion : hidden.portions) {
            versions.push_back(portion.version);
            sensations.push_back(sensation(mean(portion.version)));
        }
        const double reference = hidden.reference >= 0 ? sensation(mean(hidden.reference)) : 0;
        if (m_chance.uniform() < m_panel.lean) sensations.front() += k_stands_out;
        const methods::Method& method = *m_methods[round];
        const methods::Answer answer = method.decide({sensations, reference, d}, shown.codes, asked, m_plan);
        return method.score({shown.codes, versions, hidden.reference}, answer, asked, m_plan);
    }

    const methods::Plan& m_plan;
    std::span<const methods::Method* const> m_methods;
    const MadeUpPanel& m_panel;
    const draw::Drawn& m_drawn;
    core::PhiloxStream& m_chance;
    Observations m_answers;
};

using Verdicts = std::vector<std::string>;   // by round

core::Result<Verdicts> one_evening(const methods::Plan& plan, std::span<const methods::Method* const> methods,
                                   const MadeUpPanel& panel, const core::Bytes32& seed, std::int64_t replicate) {
    const core::Bytes32 own_seed = seed_of(seed, replicate);
    const auto drawn = draw::draw(plan, own_seed);
    if (!drawn) return drawn.faults();
    std::uint64_t key = 0;
    std::memcpy(&key, seed.data(), sizeof key);
    core::PhiloxStream chance(key, static_cast<std::uint64_t>(replicate));
    const auto answers = Evening(plan, methods, panel, *drawn, chance).answers();
    if (!answers) return answers.faults();
    Verdicts verdicts;
    for (std::size_t round = 0; round < methods.size(); ++round) {
        const methods::Method& method = *methods[round];
        if (method.verdict != nullptr) verdicts.emplace_back(method.verdict(method, (*answers)[round], plan.rounds[round], plan));
        else verdicts.push_back(method.analyse(method, (*answers)[round], plan.rounds[round], plan).verdict);
    }
    return verdicts;
}

core::Result<std::vector<const methods::Method*>> methods_of(const methods::Plan& plan) {
    std::vector<const methods::Method*> found;
    for (const methods::Round& round : plan.rounds) {
        const auto method = methods::find(round.method);
        if (!method) return method.faults();
        if ((*method)->decide == nullptr)
            return core::fault(core::ErrorKind::usage, "no-rehearsal", round.method + " cannot be rehearsed: it has no rule from taste to answer");
        found.push_back(*method);
    }
    return found;
}

Rehearsal tally(std::span<const methods::Method* const> methods, const std::vector<Verdicts>& evenings) {
    Rehearsal rehearsal{.times = static_cast<std::int64_t>(evenings.size()), .rounds = {}};
    for (std::size_t round = 0; round < methods.size(); ++round) {
        RehearsedRound& counted = rehearsal.rounds.emplace_back();
        counted.method = methods[round]->id;
        for (const std::string_view verdict : methods[round]->verdicts)
            counted.verdicts.emplace_back(verdict, std::count_if(evenings.begin(), evenings.end(),
                                                                 [&](const Verdicts& evening) { return evening[round] == verdict; }));
    }
    return rehearsal;
}

}   // namespace

double share_rehearsed(const methods::Round& round, const MadeUpPanel& panel) {
    return panel.share_new.value_or(methods::number(round.settings, "share").value_or(0.5));
}

core::Result<Rehearsal> rehearse(const methods::Plan& plan, const MadeUpPanel& panel, std::int64_t times, const core::Bytes32& seed,
                                 unsigned threads) {
    const auto methods = methods_of(plan);
    if (!methods) return methods.faults();
    std::vector<Verdicts> evenings(static_cast<std::size_t>(times));
    std::vector<core::Faults> faults(std::max(1u, threads));
    const auto work = [&](std::size_t first) {
        for (std::size_t i = first; i < evenings.size() && faults[first].empty(); i += faults.size()) {
            auto verdicts = one_evening(plan, *methods, panel, seed, static_cast<std::int64_t>(i));
            if (verdicts) evenings[i] = std::move(*verdicts);
            else faults[first] = verdicts.faults();
        }
    };
    {
        std::vector<std::jthread> crew;
        for (std::size_t first = 1; first < faults.size(); ++first) crew.emplace_back(work, first);
        work(0);
    }
    for (const core::Faults& each : faults)
        if (!each.empty()) return each;
    return tally(*methods, evenings);
}

}   // namespace oddplate::judge
