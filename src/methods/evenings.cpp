// One draw over several evenings. The ballots planned come first, evening after evening, then the spares in the same order: so the draw need
// not know of evenings, and what it balances at every prefix of the ballots is balanced, to a step, within each of them.

#include <algorithm>
#include <charconv>

#include "oddplate/methods/plan.hpp"

namespace oddplate::methods {
namespace {

/// "07": two digits at least, so that slips of one evening sort as they are dealt.
std::string two_digits(int number) { return (number < 10 ? "0" : "") + std::to_string(number); }

/// A number without sign or leading blanks, or -1.
int number_of(std::string_view text) {
    int number = 0;
    const auto [end, error] = std::from_chars(text.data(), text.data() + text.size(), number);
    return error == std::errc{} && end == text.data() + text.size() && number >= 1 ? number : -1;
}

}   // namespace

int Plan::spares_at(int evening) const {
    const int many = static_cast<int>(evenings.size());
    return many == 0 ? spares : spares / many + (evening < spares % many ? 1 : 0);
}

std::vector<int> Plan::ballots_at(int evening) const {
    std::vector<int> out;
    const auto add = [&](int first, int count) {
        for (int i = 0; i < count; ++i) out.push_back(first + i);
    };
    if (evenings.empty()) {
        add(0, ballots());
        return out;
    }
    int planned = 0, spare = tasters;
    for (int e = 0; e < evening; ++e) {
        planned += evenings[static_cast<std::size_t>(e)].tasters;
        spare += spares_at(e);
    }
    add(planned, evenings[static_cast<std::size_t>(evening)].tasters);
    add(spare, spares_at(evening));
    return out;
}

int Plan::evening_at(int ballot) const {
    int left = ballot < tasters ? ballot : ballot - tasters;
    for (std::size_t e = 0; e < evenings.size(); ++e) {
        left -= ballot < tasters ? evenings[e].tasters : spares_at(static_cast<int>(e));
        if (left < 0) return static_cast<int>(e);
    }
    return 0;
}

std::string Plan::ballot_name(int ballot) const {
    if (evening > 0) return std::to_string(evening) + "-" + two_digits(ballot + 1);
    if (evenings.empty()) return std::to_string(ballot + 1);
    const int at = evening_at(ballot);
    int number = ballot < tasters ? ballot + 1 : ballot - tasters + 1 + evenings[static_cast<std::size_t>(at)].tasters;
    for (int e = 0; e < at; ++e) number -= ballot < tasters ? evenings[static_cast<std::size_t>(e)].tasters : spares_at(e);
    return std::to_string(at + 1) + "-" + two_digits(number);
}

int Plan::ballot_of(std::string_view name) const {
    const auto exactly = [&](int ballot) { return ballot >= 0 && ballot < ballots() && ballot_name(ballot) == name ? ballot : -1; };
    if (evening == 0 && evenings.empty()) return exactly(number_of(name) - 1);
    const auto dash = name.find('-');
    if (dash == std::string_view::npos) return -1;
    const int at = number_of(name.substr(0, dash));
    const std::string_view rest = name.substr(dash + 1);
    const int number = number_of(rest.starts_with('0') ? rest.substr(1) : rest);
    if (at < 1 || number < 1 || (rest != two_digits(number) && rest != std::to_string(number))) return -1;
    if (evening > 0) return at == evening && number <= ballots() ? number - 1 : -1;
    if (at > static_cast<int>(evenings.size())) return -1;
    const int planned = evenings[static_cast<std::size_t>(at - 1)].tasters;
    if (number > planned + spares_at(at - 1)) return -1;
    int first = number <= planned ? number - 1 : tasters + number - 1 - planned;
    for (int e = 0; e < at - 1; ++e) first += number <= planned ? evenings[static_cast<std::size_t>(e)].tasters : spares_at(e);
    return first;
}

int Plan::lot_at(int evening) const {
    if (evenings.empty()) return 0;
    const std::string& lot = evenings[static_cast<std::size_t>(evening)].lot;
    int number = 0;
    for (int e = 0; e < evening; ++e) {
        const std::string& earlier = evenings[static_cast<std::size_t>(e)].lot;
        if (!lot.empty() && earlier == lot) return lot_at(e);
        const bool first_of_its_lot = earlier.empty() || std::none_of(evenings.begin(), evenings.begin() + e, [&](const Evening& each) { return each.lot == earlier; });
        number += first_of_its_lot ? 1 : 0;
    }
    return number;
}

int Plan::lots() const {
    int most = 0;
    for (std::size_t e = 0; e < evenings.size(); ++e) most = std::max(most, lot_at(static_cast<int>(e)));
    return most + 1;
}

}   // namespace oddplate::methods
