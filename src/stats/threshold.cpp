// The rule of the open standards, and what is seen beside it. Tests: tests/unit/stats/threshold.test.cpp

#include "oddplate/stats/threshold.hpp"

#include <algorithm>
#include <cmath>
#include <map>
#include <set>

#include <boost/math/distributions/students_t.hpp>

#include "oddplate/stats/binomial.hpp"
#include "policy.hpp"

namespace oddplate::stats {
namespace {

OwnThreshold own(std::int32_t taster, const std::map<double, bool>& levels) {
    OwnThreshold mine{.taster = taster};
    if (levels.size() < 2) return mine;
    auto next = levels.end();   // the level above the highest one missed
    while (next != levels.begin() && std::prev(next)->second) --next;
    if (next == levels.begin()) {
        mine.among = Among::below;
        const double lowest = next->first;
        mine.estimate = lowest * std::sqrt(lowest / std::next(next)->first);
    } else if (next == levels.end()) {
        mine.among = Among::above;
        const double highest = std::prev(next)->first;
        mine.estimate = highest * std::sqrt(highest / std::prev(next, 2)->first);
    } else {
        mine.estimate = std::sqrt(std::prev(next)->first) * std::sqrt(next->first);   // the product might overflow
    }
    return mine;
}

}   // namespace

GroupThreshold best_estimates(std::span<const LevelAnswer> answers, double confidence) {
    struct Person {
        std::map<double, bool> levels;
        std::int64_t right{0}, of{0};
    };
    std::map<std::int32_t, Person> people;
    for (const LevelAnswer& answer : answers) {
        Person& person = people[answer.taster];
        bool& passed = person.levels.try_emplace(answer.level, true).first->second;
        passed = passed && answer.right;
        person.right += answer.right;
        ++person.of;
    }
    GroupThreshold group;
    std::vector<double> logs;
    for (const auto& [taster, person] : people) {
        OwnThreshold mine = own(taster, person.levels);
        mine.right = person.right;
        mine.of = person.of;
        if (mine.estimate) {
            logs.push_back(std::log10(*mine.estimate));
            group.below += mine.among == Among::below;
            group.above += mine.among == Among::above;
        }
        group.each.push_back(mine);
    }
    const auto n = std::ssize(logs);
    if (n == 0) return group;
    double mean = 0, squares = 0;
    for (const double log : logs) mean += log / static_cast<double>(n);
    for (const double log : logs) squares += (log - mean) * (log - mean);
    if (n > 1) group.sd_log10 = std::sqrt(squares / static_cast<double>(n - 1));
    const bool all_below = group.below == n, all_above = group.above == n;
    group.why = group.no_limits = all_below ? NoGroup::all_below : all_above ? NoGroup::all_above : NoGroup::has_one;
    if (all_below || all_above) return group;
    if (2 * (group.below + group.above) > n) {
        group.why = group.no_limits = NoGroup::mostly_beyond;
        return group;
    }
    group.estimate = std::pow(10, mean);
    const auto [low, high] = std::minmax_element(logs.begin(), logs.end());
    if (n < 2) {
        group.no_limits = NoGroup::one_taster;
    } else if (*high - *low < 1e-9) {
        group.no_limits = NoGroup::one_step;
    } else {
        const double t = quantile(complement(boost::math::students_t_distribution<double, Quiet>(static_cast<double>(n - 1)), (1 - confidence) / 2));
        const double half = t * *group.sd_log10 / std::sqrt(static_cast<double>(n));
        const Interval limits{std::pow(10, mean - half), std::pow(10, mean + half)};
        if (limits.lower > 0 && std::isfinite(limits.upper)) group.limits = limits;
        else group.no_limits = NoGroup::too_few;
    }
    return group;
}

std::vector<NoticeStep> notice_steps(std::span<const LevelAnswer> answers, double guess, double alpha) {
    std::map<double, NoticeStep> levels;
    std::map<double, std::set<std::int32_t>> tasters;
    for (const LevelAnswer& answer : answers) {
        NoticeStep& step = levels[answer.level];
        step.level = answer.level;
        step.right += answer.right;
        ++step.of;
        tasters[answer.level].insert(answer.taster);
    }
    std::vector<NoticeStep> steps;
    for (auto& [level, step] : levels) {
        step.tasters = std::ssize(tasters[level]);
        step.p_value = binomial_upper(step.right, step.of, guess);
        steps.push_back(step);
    }
    for (std::size_t i = steps.size(); i-- > 0;) steps[i].shown = significant(steps[i].p_value, alpha) && (i + 1 == steps.size() || steps[i + 1].shown);
    return steps;
}

Rise notice_curve(std::span<const LevelAnswer> answers, double guess, double confidence) {
    std::vector<Placed> placed;
    for (const LevelAnswer& answer : answers) placed.push_back({answer.taster, std::log(answer.level), answer.right});
    if (placed.empty()) return {};
    const auto [low, high] = std::minmax_element(placed.begin(), placed.end(), [](const Placed& one, const Placed& other) { return one.x < other.x; });
    return rise(placed, guess, 0.5, confidence, low->x, high->x);
}

}   // namespace oddplate::stats
