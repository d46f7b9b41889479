#pragma once
// What every list of findings owes.

#include <algorithm>

#include "unit/methods/support.hpp"

namespace oddplate::methods::testing {

/// Every row of a list has the same keys, in the same order.
inline void check_lists(const Findings& findings) {
    for (const List& list : findings.lists)
        for (std::size_t i = 1; i < list.rows.size(); ++i) {
            INFO(list.key << ", row " << i + 1);
            CHECK(std::equal(list.rows[i].begin(), list.rows[i].end(), list.rows[0].begin(), list.rows[0].end(), [](const Field& a, const Field& b) { return a.key == b.key; }));
        }
}

}   // namespace oddplate::methods::testing
