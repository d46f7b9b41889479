#pragma once
// Plans and serving orders for tests of the draw, written out by hand so that no method is needed.

#include <algorithm>
#include <string>
#include <vector>

#include "oddplate/draw/deal.hpp"

namespace made_up {

using oddplate::methods::Order;

inline std::vector<Order> odd_one_out() {
    return {{{0, 0, 1}, -1, 1}, {{0, 1, 0}, -1, 1}, {{1, 0, 0}, -1, 1},
            {{1, 1, 0}, -1, 0}, {{1, 0, 1}, -1, 0}, {{0, 1, 1}, -1, 0}};
}
inline std::vector<Order> pair() {
    return {{{0, 1}, -1, 0}, {{1, 0}, -1, 1}};
}
inline std::vector<Order> with_reference() {
    return {{{0, 1}, 0, 0}, {{1, 0}, 0, 0}, {{0, 1}, 1, 1}, {{1, 0}, 1, 1}};
}
inline std::vector<Order> one_order(int portions) {
    return {{std::vector<int>(static_cast<std::size_t>(portions), 0), -1, 0}};
}

inline oddplate::methods::Round round(std::vector<std::string> spots, int sets_per_taster = 1, int spots_per_taster = 0) {
    oddplate::methods::Round answer;
    answer.method = "made-up";
    answer.spots = std::move(spots);
    answer.sets_per_taster = sets_per_taster;
    answer.spots_per_taster = spots_per_taster;
    return answer;
}

/// "a", "b", ...
inline std::vector<std::string> spots(int how_many) {
    std::vector<std::string> names;
    for (int i = 0; i < how_many; ++i) {
        names.push_back(std::string(1, static_cast<char>('a' + i)));
    }
    return names;
}

inline oddplate::methods::Plan plan(int tasters, std::vector<oddplate::methods::Round> rounds, int spares = 0) {
    oddplate::methods::Plan answer;
    answer.versions = {{"current", "current"}, {"new", "new"}};
    answer.tasters = tasters;
    answer.spares = spares;
    answer.rounds = std::move(rounds);
    return answer;
}

/// One course at one spot, of recipes r0, r1, ...
inline oddplate::methods::Plan plan_of_several(const std::string& method, int versions, int tray_size, int tasters, int spares = 0) {
    oddplate::methods::Plan answer = plan(tasters, {round({"slice"})}, spares);
    answer.versions.clear();
    for (int v = 0; v < versions; ++v) answer.versions.push_back({"r" + std::to_string(v), ""});
    answer.rounds[0].method = method;
    answer.rounds[0].settings["tray_size"] = std::int64_t{tray_size};
    return answer;
}

/// Seed number `number`: its four bytes, then zeros.
inline oddplate::core::Bytes32 seed(unsigned number) {
    oddplate::core::Bytes32 bytes{};
    for (std::size_t i = 0; i < 4; ++i) {
        bytes[i] = static_cast<std::uint8_t>(number >> (8 * i));
    }
    return bytes;
}

/// The largest less the smallest.
inline int spread(const std::vector<int>& counts) {
    const auto [least, most] = std::minmax_element(counts.begin(), counts.end());
    return counts.empty() ? 0 : *most - *least;
}

inline int spread(const oddplate::draw::Drawn& drawn, std::string_view balance) {
    for (const oddplate::draw::Spread& one : drawn.spreads) {
        if (one.balance == balance) {
            return one.spread;
        }
    }
    return -1;
}

inline std::vector<int> all_codes(const oddplate::draw::RoomBallot& ballot) {
    std::vector<int> codes;
    for (const oddplate::draw::RoomSet& set : ballot.sets) {
        for (const std::string& code : set.codes) {
            codes.push_back(std::stoi(code));
        }
    }
    return codes;
}

}   // namespace made_up
