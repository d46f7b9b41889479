#include "leads.hpp"

#include <algorithm>
#include <tuple>

#include "oddplate/stats/binomial.hpp"

namespace oddplate::methods::leads {
namespace {

constexpr std::uint64_t k_seed = 13;   // of the permutations of trays
constexpr double k_split_at = 0.05;   // whose habits are told, not whether there is a split
constexpr const char* k_once = "nobody had two trays with the same ones on them";
constexpr const char* k_same = "nobody has two trays that both differ from what all said of them on average";

}   // namespace

std::string_view verdict_of(bool differ, std::size_t leading, std::size_t compared) {
    if (!differ || leading == 0 || leading >= compared) return k_none;
    return leading == 1 ? k_one : k_some;
}

bool turns(std::span<const int> overall, std::span<const std::vector<int>> behind) {
    const auto is_behind = [&](int one) { return std::any_of(behind.begin(), behind.end(), [&](const std::vector<int>& there) { return std::find(there.begin(), there.end(), one) != there.end(); }); };
    return std::all_of(overall.begin(), overall.end(), is_behind);
}

core::Argument names_of(std::span<const std::string> names) {
    std::string all;
    for (std::size_t i = 0; i < names.size(); ++i) {
        if (i > 0) all += i + 1 == names.size() ? " and " : ", ";
        all += names[i];
    }
    return all;
}

void say_withdrawn(std::vector<core::Sentence>& words, const Plan& plan) {
    if (plan.withdrawn.empty() || words.empty()) return;
    std::vector<std::string> names;
    for (const int gone : plan.withdrawn) names.push_back(plan.versions[static_cast<std::size_t>(gone)].id);
    words.insert(words.begin() + 1, {std::string(k_ran_out), {{"names", names_of(names)}, {"n", std::ssize(names)}}});
}

core::Sentence same_recipe_step(bool any_shown) { return {any_shown ? "right.next.same_recipe_alarm" : "right.next.same_recipe_open", {}}; }

Split split_of(std::span<const stats::TasteTray> trays, const std::vector<std::string>& names, int first, int second, bool smaller_is_first) {
    Split split{stats::own_tastes(trays, static_cast<int>(names.size()), k_seed), {}, {}, {}, {}, {}};
    if (split.is_shown(k_split_at) && split.tastes.shares.size() > 2) std::tie(first, second) = split.tastes.most();   // those that people are split over say more than those in front
    split.habit = stats::pair_habit(trays, first, second, smaller_is_first);
    split.a = names[static_cast<std::size_t>(first)];
    split.b = names[static_cast<std::size_t>(second)];
    if (const int on = split.tastes.turns_on(); on >= 0) {
        split.on = names[static_cast<std::size_t>(on)];
        split.on_habit = stats::sample_habit(trays, on, smaller_is_first);
    }
    return split;
}

bool Split::is_shown(double alpha) const { return tastes.p && stats::significant(tastes.p->p, alpha); }

void add_split(Findings& findings, const Split& split) {
    const bool told = split.tastes.p.has_value();
    const char* const why = split.tastes.repeated ? k_same : k_once;
    findings.add_optional("own_tastes.p_value", told ? std::optional(split.tastes.p->p) : std::nullopt, why);
    findings.add_optional("own_tastes.agreement", told ? std::optional(split.tastes.agreement) : std::nullopt, why);
    findings.add("own_tastes.tasters", split.tastes.tasters);
}

void say_split(std::vector<core::Sentence>& words, double alpha, const Split& split, const std::string& leader) {
    if (!split.tastes.p) {
        words.push_back({split.tastes.repeated ? "leads.split.same" : "leads.split.untold", {}});
        return;
    }
    const bool shown = split.is_shown(alpha);
    const bool behind = !leader.empty() && split.on != leader && split.a != leader && split.b != leader;
    words.push_back({!shown ? "leads.split.quiet" : behind ? "leads.split.behind" : "leads.split.shown", {{"n", split.tastes.tasters}, {"p", split.tastes.p->p}, {"a", split.a}, {"b", split.b}, {"leader", leader}}});
    if (shown && !split.on.empty())
        words.push_back({"leads.split.on", {{"name", split.on}, {"k", split.on_habit.always_up}, {"m", split.on_habit.always_down}, {"j", split.on_habit.mixed}}});
    const stats::PairHabit& habit = split.habit;
    if (habit.always_a + habit.always_b + habit.mixed > 0)
        words.push_back({"leads.split.habit", {{"a", split.a}, {"b", split.b}, {"k", habit.always_a}, {"m", habit.always_b}, {"j", habit.mixed}}});
}

}   // namespace oddplate::methods::leads
