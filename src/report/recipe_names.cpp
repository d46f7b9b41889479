// A name that the cook gave is found on a shelf; "the third new one" has to be looked up with wet hands.
#include "recipe_names.hpp"

#include <algorithm>

#include "oddplate/report/lines.hpp"

namespace oddplate::report {
namespace {

constexpr std::size_t k_most = 12;   // letters that fit on a tub's card and, with piece and spot, beside a code

/// Which of the names stand there twice.
std::vector<bool> twins_in(const std::vector<std::string>& names) {
    std::vector<bool> twins;
    for (const std::string& name : names) twins.push_back(std::count(names.begin(), names.end(), name) > 1);
    return twins;
}

bool will_do(const std::vector<std::string>& names) {
    const std::vector<bool> twins = twins_in(names);
    return std::none_of(twins.begin(), twins.end(), [](bool twin) { return twin; }) &&
           std::all_of(names.begin(), names.end(), [](const std::string& name) { return columns_of(name) <= k_most; });
}

}   // namespace

std::vector<std::string> recipe_names(const methods::Plan& plan) {
    std::vector<std::string> labels, ids, cut;
    for (const methods::Version& version : plan.versions) {
        labels.push_back(version.label);
        ids.push_back(version.id);
        cut.push_back(shortened(version.label, k_most));
    }
    if (will_do(labels)) return labels;
    if (will_do(ids)) return ids;
    const std::vector<bool> alike = twins_in(cut);
    for (std::size_t i = 0; i < cut.size(); ++i) {
        if (!alike[i]) continue;
        const std::string number = std::to_string(i + 1) + " ";
        cut[i] = number + shortened(plan.versions[i].label, k_most - number.size());
    }
    return cut;
}

}   // namespace oddplate::report
