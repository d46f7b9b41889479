// A panel already fixed: the least difference that it finds, or the least line below which it can show that few tell; and its power, to be plotted.

#include <algorithm>
#include <string>

#include "oddplate/core/json.hpp"
#include "oddplate/stats/binomial.hpp"
#include "oddplate/stats/link.hpp"
#include "right_answer.hpp"

namespace oddplate::methods::right_answer {
namespace {

/// One answer a person; what the flags say of the test.
struct Fixed {
    std::int64_t people{0};
    double alpha{0.05}, power{0.8};
    bool similarity{false};
    double truth{0};                       ///< similarity: proportion correct that is true, for the power
    std::optional<Difference> given;       ///< one difference asked about
};

core::Result<Fixed> read(const Method& method, const Settings& settings) {
    if (core::Faults faults = both_given(settings); !faults.empty()) return faults;
    for (const char* key : {"spots", "decide_on", "sets_per_taster", "gamma"})
        if (settings.contains(key))
            return core::fault(core::ErrorKind::usage, "usage",
                               "--tasters is about one answer a person; what a panel finds over several spots or trays is told by `oddplate plan`");
    Fixed fixed{.people = *whole(settings, "tasters"),
                .alpha = number(settings, "alpha").value_or(0.05),
                .power = number(settings, "power").value_or(0.8),
                .similarity = words(settings, "aim") == "similarity",
                .truth = stats::proportion_correct(*method.link, number(settings, "true_d").value_or(0)),
                .given = difference_of(method, settings, "detect_d", "detect_pd")};
    if (settings.contains("true_d") && !fixed.similarity)
        return core::fault(core::ErrorKind::usage, "usage", "--true-d goes with --aim similarity");
    return fixed;
}

/// Chance of the aim where `share` of people can tell (difference), or where that share is the line (similarity; 0 where the truth lies beyond it).
double power_at(const Method& method, const Family& family, const Fixed& fixed, double share) {
    const double chance = method.link->chance, proportion = stats::proportion_from_discriminators(chance, share);
    if (!fixed.similarity) return stats::power_difference(fixed.people, chance, proportion, fixed.alpha);
    if (!(proportion > fixed.truth && proportion > chance)) return 0;
    return stats::power_similarity_verdict({chance, proportion, fixed.alpha, family.similar}, fixed.people, fixed.truth);
}

/// The least share with the power: power rises in the share that can tell, and, in steps, in the line (a larger line lets no fewer right answers pass).
std::optional<double> least_share(const Method& method, const Family& family, const Fixed& fixed) {
    double low = 0, high = 1;
    if (!(power_at(method, family, fixed, fixed.similarity ? 1 - 1e-9 : 1) >= fixed.power)) return std::nullopt;
    for (int step = 0; step < 50; ++step) {
        const double middle = low + (high - low) / 2;
        (power_at(method, family, fixed, middle) >= fixed.power ? high : low) = middle;
    }
    return high;
}

List curve_of(const Method& method, const Family& family, const Fixed& fixed) {
    List list{.key = "power_curve", .rows = {}};
    constexpr int k_steps = 20;
    for (int i = 0; i <= k_steps; ++i) {
        const double share = static_cast<double>(i) / k_steps;
        const auto d = i == 0 ? std::optional(0.0) : stats::d_from_discriminators(*method.link, share);
        const double power = fixed.similarity && i == k_steps ? power_at(method, family, fixed, 1 - 1e-9) : power_at(method, family, fixed, share);
        list.rows.push_back({{"discriminators", share},
                             {"d_prime", d ? Value{*d} : Value{}, "no finite difference gives it"},
                             {"proportion_correct", stats::proportion_from_discriminators(method.link->chance, share)},
                             {"power", power}});
    }
    return list;
}

void add_difference(Findings& findings, const std::string& key, const Difference& at) {
    findings.add_optional(key + ".d_prime", at.d_prime, "no finite difference gives it");
    findings.add(key + ".discriminators", at.discriminators);
    findings.add(key + ".proportion_correct", at.proportion);
}

void say_reach(Findings& findings, const Fixed& fixed, const std::optional<double>& least, const std::optional<std::int64_t>& k, double chance) {
    std::map<std::string, core::Argument> args{{"n", fixed.people}, {"power", fixed.power}, {"alpha", fixed.alpha}};
    if (least) args.emplace("share", *least);
    if (k) args.emplace("k", *k), args.emplace("false", stats::binomial_upper(*k, fixed.people, chance));
    findings.words.push_back({!least             ? fixed.similarity ? "right.reach.no_line" : "right.reach.nothing"
                              : fixed.similarity ? fixed.truth > chance ? "right.reach.similarity_some" : "right.reach.similarity"
                                                 : "right.reach.difference",
                              args});
}

}   // namespace

core::Result<Findings> reach(const Method& method, const Family& family, const Settings& settings) {
    const auto read_in = read(method, settings);
    if (!read_in) return read_in.faults();
    const Fixed& fixed = *read_in;
    const double chance = method.link->chance;
    const auto least = least_share(method, family, fixed);
    Findings findings;
    findings.add("method", std::string(method.id));
    findings.add("aim", std::string(fixed.similarity ? "similarity" : "difference"));
    findings.add("alpha", fixed.alpha);
    findings.add("power", fixed.power);
    findings.add("tasters", fixed.people);
    const auto critical = fixed.similarity ? std::nullopt : stats::least_correct(fixed.people, chance, fixed.alpha);
    if (!fixed.similarity) {
        findings.add("least_correct", critical ? Value{*critical} : Value{}, critical ? "" : "so few answers could come by guessing alone even if all were right");
        findings.add("alpha_actual", critical ? stats::binomial_upper(*critical, fixed.people, chance) : 0.0);
    }
    const std::string none = "no difference is found so surely by so few";
    if (least) add_difference(findings, "visible", {stats::d_from_discriminators(*method.link, *least), *least, stats::proportion_from_discriminators(chance, *least)});
    else findings.add("visible", Value{}, none);
    say_reach(findings, fixed, least, critical, chance);
    if (fixed.given) {
        const double power = power_at(method, family, fixed, fixed.given->discriminators);
        add_difference(findings, "detect", *fixed.given);
        findings.add("power_actual", power);
        findings.words.push_back({fixed.similarity ? "right.reach.at_line" : "right.reach.at", {{"line", fixed.given->discriminators}, {"power", power}}});
    }
    findings.lists.push_back(curve_of(method, family, fixed));
    return findings;
}

}   // namespace oddplate::methods::right_answer
