#pragma once
// How evenly serving orders lie: counts whose sum of squares is kept up to date. The lower the sum, the more even the counts.

#include <vector>

#include "parts.hpp"

namespace oddplate::draw {

/// Sums of squared counts of a round's sets.
struct Cost {
    long places{0};    ///< by place of the sitting and order
    long traits{0};    ///< by ballot and trait
    long carried{0};   ///< by the version eaten last and the one that the next set begins with
};

/// Whether `now` is more even than `old` when the one or the other counts first.
[[nodiscard]] inline bool places_first(const Cost& now, const Cost& old) {
    if (now.places != old.places) return now.places < old.places;
    if (now.traits != old.traits) return now.traits < old.traits;
    return now.carried < old.carried;
}
[[nodiscard]] inline bool traits_first(const Cost& now, const Cost& old) {
    if (now.traits != old.traits) return now.traits < old.traits;
    if (now.places != old.places) return now.places < old.places;
    return now.carried < old.carried;
}

/// Counts in a flat table whose sum of squares is kept.
class Counts {
public:
    Counts(std::size_t rows, std::size_t columns) : m_columns(columns), m_count(rows * columns, 0) {}
    void add(int row, int column, long& squares) {
        int& count = m_count[at(row) * m_columns + at(column)];
        squares += 2 * count + 1;
        ++count;
    }
    void take(int row, int column, long& squares) {
        int& count = m_count[at(row) * m_columns + at(column)];
        --count;
        squares -= 2 * count + 1;
    }

private:
    std::size_t m_columns;
    std::vector<int> m_count;
};

}   // namespace oddplate::draw
