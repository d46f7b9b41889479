#include "by_spots.hpp"

#include <algorithm>

namespace oddplate::methods::by_spots {

Decided decide(DecideOn rule, std::span<const Spot> spots, std::size_t samples) {
    const bool each = rule == DecideOn::each_spot;
    std::vector<bool> front(samples, !each);
    Decided decided;
    bool any = each;
    for (std::size_t j = 0; j < spots.size(); ++j) {
        const Spot& spot = spots[j];
        const bool ordered = std::find(spot.front.begin(), spot.front.end(), false) != spot.front.end();
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
        if (front[s]) decided.front.push_back(s);
    decided.disagree = decided.front.empty();
    decided.verdict = leads::verdict_of(true, decided.front.size(), samples);
    return decided;
}

}   // namespace oddplate::methods::by_spots
