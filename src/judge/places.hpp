#pragma once
// What each place on a tray would have scored, asked of the method itself: needed where a habit is looked for and where missing
// answers are imagined.

#include <utility>
#include <vector>

#include "joining.hpp"

namespace oddplate::judge {

/// Scores by place, for methods that take one code. Trays with the same versions are asked about once.
class PlaceScores {
public:
    PlaceScores(const methods::Method& method, const methods::Round& round, const methods::Plan& plan)
        : m_method(method), m_round(round), m_plan(plan) {}

    /// The score of picking each place, from the left; empty where the method takes no single code or nothing on the tray can be
    /// picked. Good until asked again.
    [[nodiscard]] const std::vector<double>& of(const draw::KeySet& key);

private:
    [[nodiscard]] std::vector<double> scores() const;

    const methods::Method& m_method;
    const methods::Round& m_round;
    const methods::Plan& m_plan;
    std::vector<std::pair<Tray, std::vector<double>>> m_known;   // as many as there are orders
    Tray m_asked;
};

}   // namespace oddplate::judge
