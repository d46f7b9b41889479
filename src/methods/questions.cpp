// The curve of a method at one difference, and its planning table.

#include "oddplate/methods/questions.hpp"

#include <cmath>
#include <string>

#include "oddplate/core/json.hpp"
#include "oddplate/stats/link.hpp"
#include "oddplate/stats/power.hpp"

namespace oddplate::methods {
namespace {

core::Error no_curve(const Method& method) {
    const std::string id(method.id), tables = method.weigh == nullptr ? "" : " (`oddplate weigh " + id + " --csv FILE` analyses its tables)";
    return core::fault(core::ErrorKind::usage, "no-curve", id + " has no right answers, so there is no curve from a difference to them" + tables);
}

}   // namespace

core::Result<Findings> curve(const Method& asked, const Settings& settings, double d) {
    const Method method = with_curve(asked, settings);
    if (method.link == nullptr) return no_curve(method);
    const stats::Link& link = *method.link;
    if (!std::isfinite(d)) return core::found("--d", "a number without end", "a finite number");
    if (d < 0 && !link.is_signed) return core::found("--d", core::shortest(d), "a number, 0 or more");
    Findings findings;
    findings.add("method", Value{std::string(method.id)});
    findings.add("d_prime", Value{d});
    Findings rates;
    core::Result<double> right = method.add_rates == nullptr ? stats::proportion_correct(link, d) : method.add_rates(settings, d, rates);
    if (!right) return right.faults();
    findings.add("proportion_correct", Value{*right});
    if (method.right_of_n)
        findings.add("discriminators", Value{d > 0 ? stats::discriminators_from_d(link, d) : 0.0});
    else
        findings.add("discriminators", Value{}, "one word about one impression has no share of people who can tell");
    for (const Field& field : rates.fields) findings.fields.push_back(field);
    return findings;
}

core::Result<std::vector<SizeRow>> size_table(const Method& asked, const Settings& settings) {
    const Method method = with_curve(asked, settings);
    if (method.link == nullptr) return no_curve(method);
    if (!method.right_of_n)
        return core::fault(
            core::ErrorKind::usage, "no-table",
            std::string(method.id) + " counts hits and false alarms, so it has no table by the share of people who can tell");
    std::vector<SizeRow> rows;
    for (const stats::PlanningRow& row : stats::planning_table(method.link->chance))
        rows.push_back({row.alpha, row.power, row.discriminators, row.tasters, row.tasters_safe});
    return rows;
}

}   // namespace oddplate::methods
