// Two pieces of one recipe differ too: what the recipes add to that is asked of the same tasters' blank sets.

#include <map>

#include "oddplate/stats/signal.hpp"
#include "variants.hpp"

namespace oddplate::judge {

Blanks blanks_of(const methods::Method& method, const RoundSets& recipe, const RoundSets& blank) {
    Blanks found;
    if (method.scale != methods::Scale::right) {
        found.why = "answers of this kind are not right or wrong";
        return found;
    }
    std::map<std::int32_t, stats::SignalCounts> tasters;
    for (const JoinedSet* set : recipe) {
        if (set->fate != Fate::counted) continue;
        ++found.recipe_sets, ++tasters[set->seen.taster].signals;
        if (set->seen.scored.value > 0) ++found.recipe_right, ++tasters[set->seen.taster].hits;
    }
    for (const JoinedSet* set : blank) {
        if (set->fate != Fate::counted) continue;
        ++found.sets, ++tasters[set->seen.taster].noises;
        if (set->seen.scored.value > 0) ++found.right, ++tasters[set->seen.taster].false_alarms;
    }
    if (found.sets == 0 || found.recipe_sets == 0) {
        found.why = "no answers to one of the two kinds";
        return found;
    }
    std::vector<stats::SignalCounts> counts;
    for (const auto& [taster, count] : tasters) counts.push_back(count);
    found.p_value = stats::signal_p(counts);
    return found;
}

}   // namespace oddplate::judge
