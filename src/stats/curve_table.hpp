#pragma once
// Curves without a quick closed form, and the starts of all inverses, as polynomials in pieces. Made by
// tests/reference/make/curve_tables.py, which also says how far off they are.

#include <algorithm>

namespace oddplate::stats {

/// A function on an interval from `from` up, cut into `count` pieces of equal width (1 / `per_unit`), each a polynomial of `terms`
/// coefficients in y, -1..1 over the piece. Outside the interval the end pieces go on.
struct Pieces {
    double from;
    double per_unit;
    int count;
    int terms;
    const double* coefficients;
};

struct ValueSlope {
    double value;
    double slope;
};

/// Value and derivative, by Horner's rule.
[[nodiscard]] inline ValueSlope at(const Pieces& pieces, double x) {
    const double place = (x - pieces.from) * pieces.per_unit;
    const int piece = std::clamp(static_cast<int>(place), 0, pieces.count - 1);
    const double y = 2.0 * (place - piece) - 1.0;
    const double* c = pieces.coefficients + piece * pieces.terms;
    double value = c[pieces.terms - 1], slope = 0.0;
    for (int i = pieces.terms - 2; i >= 0; --i) {
        slope = slope * y + value;
        value = value * y + c[i];
    }
    return {value, 2.0 * pieces.per_unit * slope};
}

/// A curve for d >= 0: gain = d^order near(d) below `split`, shortfall = exp(-decay d^2) far(1 / (1 + d)) / (1 + d) from there on.
struct CurveTable {
    int order;      ///< 1 or 2
    double split;   ///< gain and shortfall are about equal there
    double decay;
    Pieces near;
    Pieces far;
};

/// About where the curve takes a value: d = w near(w), w = gain^(1/order), and d = (1 + r) far(1 / (1 + r)), r = sqrt(-log shortfall).
struct StartTable {
    int order;
    Pieces near;
    Pieces far;
};

extern const CurveTable k_triangle, k_three_afc, k_tetrad, k_specified_tetrad, k_two_out_of_five;
extern const StartTable k_triangle_start, k_two_afc_start, k_duo_trio_start, k_three_afc_start, k_tetrad_start, k_specified_tetrad_start,
    k_two_out_of_five_start;

}   // namespace oddplate::stats
