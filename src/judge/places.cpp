#include "places.hpp"

#include <algorithm>
#include <string>
#include <variant>

namespace oddplate::judge {

const std::vector<double>& PlaceScores::of(const draw::KeySet& key) {
    fill(m_asked, key);
    const auto known = std::find_if(m_known.begin(), m_known.end(), [&](const auto& one) {
        return one.first.versions == m_asked.versions && one.first.reference == m_asked.reference;
    });
    if (known != m_known.end()) return known->second;
    return m_known.emplace_back(m_asked, scores()).second;
}

/// Of the tray that is asked about.
std::vector<double> PlaceScores::scores() const {
    if (!std::holds_alternative<methods::OneCode>(m_method.shape(m_round))) return {};
    std::vector<std::string> codes;
    for (std::size_t place = 0; place < m_asked.versions.size(); ++place) codes.push_back(std::to_string(place));
    std::vector<double> scores;
    for (const std::string& code : codes) {
        const auto scored = m_method.score({codes, m_asked.versions, m_asked.reference}, methods::Codes{{code}}, m_round, m_plan);
        if (!scored) return {};
        scores.push_back(scored->value);
    }
    return scores;
}

}   // namespace oddplate::judge
