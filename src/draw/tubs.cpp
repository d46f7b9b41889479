// Letters for tubs: a row of tubs for each spot name of the tasting, a tub for each version. All tags of the draw differ, so a
// letter tells its row too. Nine letters that look alike in no hand; where they don't suffice, tags of two different letters (or
// more, if need be).

#include <algorithm>

#include "parts.hpp"

namespace oddplate::draw {
namespace {

std::vector<std::string> rows_of(const methods::Plan& plan) {
    std::vector<std::string> names;
    for (const methods::Round& round : plan.rounds) {
        for (const std::string& spot : round.spots) {
            if (std::find(names.begin(), names.end(), spot) == names.end()) {
                names.push_back(spot);
            }
        }
    }
    return names;
}

// Every tag with one letter more, which must be new to it.
std::vector<std::string> longer(const std::vector<std::string>& tags) {
    std::vector<std::string> answer;
    for (const std::string& tag : tags) {
        for (const char letter : k_tub_letters) {
            if (tag.find(letter) == std::string::npos) {
                answer.push_back(tag + letter);
            }
        }
    }
    return answer;
}

}   // namespace

std::vector<TubRow> draw_tubs(const methods::Plan& plan, core::ChanceStream& chance) {
    const std::vector<std::string> names = rows_of(plan);
    std::vector<std::string> tags = longer({""});
    while (tags.size() < names.size() * plan.versions.size()) {
        tags = longer(tags);
    }
    chance.shuffle(tags);
    std::vector<TubRow> rows;
    auto next = tags.begin();
    for (const std::string& name : names) {
        const auto end = next + static_cast<std::ptrdiff_t>(plan.versions.size());
        rows.push_back({name, {next, end}});
        next = end;
    }
    return rows;
}

}   // namespace oddplate::draw
