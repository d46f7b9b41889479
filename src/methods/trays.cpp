// Tests: tests/unit/methods/ranks.test.cpp

#include "trays.hpp"

#include <algorithm>

#include "oddplate/stats/blocks.hpp"

namespace oddplate::methods::trays {

void settle(const Method& method, Round& round, const Plan& plan, const std::string& place, core::Faults& faults) {
    const auto versions = static_cast<std::int64_t>(plan.versions.size());
    if (versions < method.fewest_versions || versions > k_most_versions)
        faults.push_back(core::found(place + "/method", std::to_string(versions) + " versions",
                                     std::to_string(method.fewest_versions) + " to " + std::to_string(k_most_versions) + " for " + std::string(method.id),
                                     versions == 2 ? "for two recipes ask paired-preference" : ""));
    const auto size = whole(round.settings, "tray_size");
    if (size && *size > versions)
        faults.push_back(core::found(place + "/tray_size", std::to_string(*size), "at most " + std::to_string(versions) + ", the number of versions"));
    round.settings.try_emplace("tray_size", std::min<std::int64_t>(versions, k_most_versions));
    if (round.blank_sets > 0)
        faults.push_back(core::found(place + "/blank_sets", std::to_string(round.blank_sets), "0: a " + std::string(method.id) + " has no blank trays"));
}

std::vector<Order> orders(const Round& round, int versions) {
    const int most = std::min(versions, k_most_versions);
    const int size = static_cast<int>(std::clamp<std::int64_t>(whole(round.settings, "tray_size").value_or(most), 1, most));
    const stats::ServingRows served = stats::serving_rows(most, size, flag(round.settings, "usual_in_every_tray"));
    std::vector<Order> orders;
    for (std::size_t row = 0; row < served.rows.size(); ++row) {
        // Complete trays: which comes first. Smaller ones: which recipes they are, so that a taster's trays hold unlike ones.
        const int block = static_cast<int>(row) % served.batch;
        orders.push_back({.versions = served.rows[row], .reference = -1, .trait = size == most ? served.rows[row].front() : block, .batch = static_cast<int>(row) / served.batch});
    }
    return orders;
}

}   // namespace oddplate::methods::trays
