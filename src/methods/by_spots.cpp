#include "by_spots.hpp"

#include <algorithm>
#include <utility>

namespace oddplate::methods::by_spots {

Decided decide(DecideOn rule, std::span<const Spot> spots, std::size_t samples, std::span<const int> withdrawn) {
    const auto is_gone = [&](std::size_t s) { return std::find(withdrawn.begin(), withdrawn.end(), static_cast<int>(s)) != withdrawn.end(); };
    std::vector<std::vector<std::size_t>> fronts;   // of spots with an order
    Decided decided;
    for (std::size_t j = 0; j < spots.size(); ++j) {
        std::vector<std::size_t> front;
        std::size_t left = 0;   // what ran out is in front nowhere, which shows nothing
        for (std::size_t s = 0; s < samples; ++s) {
            left += is_gone(s) ? 0 : 1;
            if (spots[j].front[s] && !is_gone(s)) front.push_back(s);
        }
        if (front.size() == left) continue;
        if (!decided.clearest || std::pair(spots[j].p_adjusted, spots[j].p) < std::pair(spots[*decided.clearest].p_adjusted, spots[*decided.clearest].p)) {
            decided.clearest = j;
            decided.front = front;
        }
        fronts.push_back(std::move(front));
    }
    if (fronts.empty()) return decided;
    const auto apart = [&](const std::vector<std::size_t>& front) {
        return std::none_of(front.begin(), front.end(), [&](std::size_t s) { return std::find(decided.front.begin(), decided.front.end(), s) != decided.front.end(); });
    };
    decided.disagree = std::any_of(fronts.begin(), fronts.end(), apart);
    const bool same = fronts.size() == spots.size() && std::all_of(fronts.begin(), fronts.end(), [&](const auto& front) { return front == decided.front; });
    if (decided.disagree || (rule == DecideOn::each_spot && !same)) {
        decided.front.clear();
        return decided;
    }
    decided.verdict = leads::verdict_of(true, decided.front.size(), samples - withdrawn.size());
    return decided;
}

}   // namespace oddplate::methods::by_spots
