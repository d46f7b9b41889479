#include "by_spots.hpp"

#include <algorithm>

namespace oddplate::methods::by_spots {

Decided decide(DecideOn rule, std::span<const Spot> spots, std::size_t samples, std::span<const int> withdrawn) {
    const auto is_gone = [&](std::size_t s) { return std::find(withdrawn.begin(), withdrawn.end(), static_cast<int>(s)) != withdrawn.end(); };
    const bool each = rule == DecideOn::each_spot;
    std::vector<bool> front(samples, !each);
    Decided decided;
    bool any = each;
    for (std::size_t j = 0; j < spots.size(); ++j) {
        const Spot& spot = spots[j];
        bool ordered = false;   // what ran out is in front nowhere, which shows nothing
        for (std::size_t s = 0; s < samples; ++s) ordered = ordered || (!spot.front[s] && !is_gone(s));
        for (std::size_t s = 0; s < samples; ++s) {
            if (each) front[s] = front[s] || spot.front[s];
            else if (ordered) front[s] = front[s] && spot.front[s];
        }
        if (each || !ordered) continue;
        any = true;
        if (!decided.clearest || spot.p_adjusted < spots[*decided.clearest].p_adjusted) decided.clearest = j;
    }
    if (!any) return decided;
    for (std::size_t s = 0; s < samples; ++s)
        if (front[s] && !is_gone(s)) decided.front.push_back(s);
    decided.disagree = decided.front.empty();
    decided.verdict = leads::verdict_of(true, decided.front.size(), samples - withdrawn.size());
    return decided;
}

}   // namespace oddplate::methods::by_spots
