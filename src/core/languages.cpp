// A phone says which languages its owner reads. Each range of the header is shortened to its first part, since we have no dialects;
// the heaviest that we have wins.
#include "oddplate/core/languages.hpp"

#include <algorithm>
#include <optional>
#include <string>

#include "oddplate/core/text.hpp"
#include "oddplate/core/words.hpp"

namespace oddplate::core {
namespace {

/// The weight of "de;q=0.8" in thousandths: "q=" and 0 or 1 with up to three decimals; nothing where it is not so written.
std::optional<int> weight_of(const std::string& parameter) {
    if (!parameter.starts_with("q=") || parameter.size() < 3 || parameter.size() > 7) return std::nullopt;
    if (parameter[2] != '0' && parameter[2] != '1') return std::nullopt;
    if (parameter.size() > 3 && parameter[3] != '.') return std::nullopt;
    int weight = parameter[2] == '1' ? 1000 : 0, worth = 100;
    for (std::size_t i = 4; i < parameter.size(); ++i, worth /= 10) {
        if (parameter[i] < '0' || parameter[i] > '9') return std::nullopt;
        weight += worth * (parameter[i] - '0');
    }
    return weight <= 1000 ? std::optional(weight) : std::nullopt;
}

}   // namespace

std::string_view language_for(std::string_view accept_language) {
    const std::span<const std::string_view> ours = Words::languages();
    std::string_view best = ours.front();
    int best_weight = 0;
    for (const std::string& range : split(accept_language, ',')) {
        const std::vector<std::string> parts = split(lower_ascii(range), ';');
        const std::string wanted = trimmed(parts[0]);
        const auto found = std::find(ours.begin(), ours.end(), wanted.substr(0, wanted.find('-')));
        if (found == ours.end() || parts.size() > 2) continue;
        const std::optional<int> weight = parts.size() == 2 ? weight_of(trimmed(parts[1])) : 1000;
        if (!weight || *weight <= best_weight) continue;
        best = *found;
        best_weight = *weight;
    }
    return best;
}

}   // namespace oddplate::core
