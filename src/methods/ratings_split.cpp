// Scores as trays, to see whether people stick to tastes of their own. Tests: tests/unit/methods/ratings.test.cpp

#include <map>
#include <tuple>

#include "ratings.hpp"

namespace oddplate::methods::ratings {

std::vector<stats::TasteTray> taste_trays(const Scoring& scoring) {
    std::map<std::tuple<std::int32_t, std::int32_t, int>, stats::TasteTray> trays;        // taster, sitting, the how manieth time
    std::map<std::tuple<std::int32_t, std::int32_t, std::int32_t>, int> times;            // taster, sitting, sample
    for (const stats::Rating& rating : scoring.ratings) {
        const int time = times[{rating.taster, rating.sitting, rating.sample}]++;
        stats::TasteTray& tray = trays.try_emplace({rating.taster, rating.sitting, time}, stats::TasteTray{rating.taster, rating.sitting, {}, {}}).first->second;
        tray.samples.push_back(rating.sample);
        tray.values.push_back(rating.score);
    }
    std::vector<stats::TasteTray> answer;
    for (auto& [key, tray] : trays) answer.push_back(std::move(tray));
    return answer;
}

}   // namespace oddplate::methods::ratings
