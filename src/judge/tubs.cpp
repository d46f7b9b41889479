// Tubs that were found the other way round. Each correction is a statement about one letter ("K really held the new one"), so the
// same statement twice changes nothing and a later one about the same letter wins.

#include <algorithm>
#include <map>
#include <numeric>
#include <utility>

#include "joining.hpp"
#include "oddplate/stats/promise.hpp"

namespace oddplate::judge {
namespace {

/// really[v]: what was in the tub on which the draw had put version v.
std::vector<int> contents(const draw::TubRow& row, const std::vector<TubCorrection>& corrections) {
    std::vector<int> really(row.letters.size());
    std::iota(really.begin(), really.end(), 0);
    for (const TubCorrection& correction : corrections) {
        if (correction.spot != row.spot) continue;
        const auto letter = std::find(row.letters.begin(), row.letters.end(), correction.letter);
        const auto other = std::find(really.begin(), really.end(), correction.version);
        stats::promise(letter != row.letters.end() && other != really.end());
        std::iter_swap(really.begin() + (letter - row.letters.begin()), other);
    }
    return really;
}

/// The order that a corrected tray has; its drawn one where the method has none like it.
int order_of(const std::vector<methods::Order>& orders, const draw::KeySet& set) {
    const Tray tray = tray_of(set);
    const auto at = std::find_if(orders.begin(), orders.end(), [&](const methods::Order& order) {
        return order.versions == tray.versions && order.reference == tray.reference;
    });
    return at == orders.end() ? set.order : static_cast<int>(at - orders.begin());
}

void exchange(draw::KeySet& set, const std::vector<int>& really, const std::vector<methods::Order>& orders) {
    for (draw::KeyPortion& portion : set.portions) portion.version = really.at(static_cast<std::size_t>(portion.version));
    if (set.reference >= 0) set.reference = really.at(static_cast<std::size_t>(set.reference));
    set.order = order_of(orders, set);
}

}   // namespace

std::unique_ptr<draw::Key> with_tubs_corrected(const Case& subject, const std::vector<const methods::Method*>& methods,
                                               int& changed) {
    std::map<std::string, std::vector<int>> rows;   // by spot: what each tub really held, where that is not what was drawn
    for (const draw::TubRow& row : subject.key.tubs) {
        std::vector<int> really = contents(row, subject.tubs);
        if (!std::is_sorted(really.begin(), really.end())) rows.emplace(row.spot, std::move(really));
    }
    changed = static_cast<int>(rows.size());
    if (rows.empty()) return nullptr;

    std::vector<std::vector<methods::Order>> orders;
    for (std::size_t round = 0; round < methods.size(); ++round)
        orders.push_back(methods[round]->orders(subject.plan.rounds[round], static_cast<int>(subject.plan.versions.size())));
    auto key = std::make_unique<draw::Key>(subject.key);
    for (std::size_t ballot = 0; ballot < key->ballots.size(); ++ballot) {
        for (std::size_t i = 0; i < key->ballots[ballot].sets.size(); ++i) {
            const draw::RoomSet& room = subject.room.ballots[ballot].sets[i];
            const auto round = static_cast<std::size_t>(room.round);
            const auto row = rows.find(subject.plan.rounds[round].spots[static_cast<std::size_t>(room.spot)]);
            if (row != rows.end()) exchange(key->ballots[ballot].sets[i], row->second, orders[round]);
        }
    }
    return key;
}

}   // namespace oddplate::judge
