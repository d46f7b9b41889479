#include "places.hpp"

#include <string>
#include <variant>

namespace oddplate::judge {

const std::vector<double>& PlaceScores::of(const draw::KeySet& key) {
    Tray tray = tray_of(key);
    const auto [known, is_new] = m_known.try_emplace({tray.versions, tray.reference});
    if (!is_new || !std::holds_alternative<methods::OneCode>(m_method.shape)) return known->second;
    std::vector<std::string> codes;
    for (std::size_t place = 0; place < tray.versions.size(); ++place) codes.push_back(std::to_string(place));
    std::vector<double> scores;
    for (const std::string& code : codes) {
        const auto scored = m_method.score({codes, tray.versions, tray.reference}, methods::Codes{{code}}, m_round, m_plan);
        if (!scored) return known->second;
        scores.push_back(scored->value);
    }
    known->second = std::move(scores);
    return known->second;
}

}   // namespace oddplate::judge
