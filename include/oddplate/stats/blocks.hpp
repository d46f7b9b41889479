#pragma once
// Designs: who is served which samples, in which order. Balanced incomplete blocks, rows balanced for what came before, and how good a design is.

#include <cstdint>
#include <optional>
#include <string>
#include <vector>

namespace oddplate::stats {

/// Rows of numbers 0..n-1: a block is what one tray holds, a row is that in serving order.
using Design = std::vector<std::vector<int>>;

/// Williams' rows for `size` things, from 1: `size` rows where that is even, else twice as many, the second half the first half reversed. The first is
/// 0, 1, size-1, 2, size-2, ...; row r adds r to each. Each thing stands once in each place of each half, and each follows each other one equally
/// often over all. Source: Williams (1949), Australian Journal of Scientific Research A2:149.
[[nodiscard]] Design williams_rows(int size);

/// Blocks of `size` of the numbers 0..things-1, each ascending, in which every pair (so every number) is found equally often. A
/// known design of fewer blocks where we have one, else all blocks there are. Empty where that would be more than k_most_blocks.
inline constexpr int k_most_blocks = 1000;
[[nodiscard]] Design balanced_blocks(int things, int size);

/// `count` blocks, each ascending, as balanced as a search finds: every thing as often as every other (to within one), then every pair (to within
/// one where that can be had). Deterministic: exchanges from a cyclic start, seeded, a fixed number of them; the best seen, which is never behind the
/// start. things from 2, size 1..things, count from 1.
[[nodiscard]] Design searched_blocks(int things, int size, int count);

/// Rows for trays of `size` of `things`, to be served equally often, in batches.
struct ServingRows {
    Design rows;
    int batch{1};        ///< rows of a batch follow one another: in each batch every thing stands in every place equally often (to within one)
};
/// Complete trays (size = things): Williams' rows, half by half. Smaller ones: a balanced design's blocks (every pair equally often), their places dealt so that every thing stands
/// in every place equally often (to within one where the counts don't divide), then one batch for each of Williams' rows of `size` places, which gives each block all
/// of that rows' orders: over all rows every thing follows every other equally often. Twelve things in fives or sevens, which no balanced design of 70 blocks or fewer holds, get 24
/// blocks by search, in which every pair meets equally often to within one (0.998 of a balanced design's A-efficiency or more). With `first_in_all` thing 0 is on every tray (size from 2), beside size - 1 of a balanced
/// design of the others: every other one then meets it equally often, and pairs of the others one another. things 2..12, size 1..things.
[[nodiscard]] ServingRows serving_rows(int things, int size, bool first_in_all = false);

/// Every thing once over several sittings of one person, a tray of `size` at each.
struct Journeys {
    Design rows;          ///< all things each; places 0..size-1 are the first sitting's tray in serving order, and so on
    int batch{1};         ///< rows of a batch follow one another: each batch holds every split once with each of its trays first
    int splits{1};        ///< ways to split the things over the sittings
    int pairs_spread{0};  ///< most less fewest splits in which two things share a sitting; 0 or 1, but 2 for 12 things in threes or fours
};
/// The splits are searched for: exchanges between the trays of a split, seeded, a fixed number of them; (things - 1)/gcd(things - 1, size - 1) splits, the fewest
/// in which every pair can meet equally often (a resolvable design: Bose 1942, Sankhya 6:105), or twice as many where those don't come out even. Rows: each split
/// with each of its trays first, next, last, and each tray in each of Williams' rows, so that over all rows every thing stands in every place of every sitting
/// equally often and follows every other within a split equally often. things 4..12, size from 2, dividing things, below it.
[[nodiscard]] Journeys journeys(int things, int size);

/// How good a design is for comparing things within rows (rows are blocks; the model has a level a row and an effect a thing).
struct DesignReport {
    double a_efficiency{0};      ///< harmonic mean of the canonical efficiency factors: 1 for complete rows; 0 where not all can be compared
    double d_efficiency{0};      ///< their geometric mean
    double bound{0};             ///< no design of this size has more: things (size - 1) / ((things - 1) size)
    int replications_spread{0};  ///< most less fewest rows that a thing is in
    int pairs_spread{0};         ///< most less fewest rows that two things share
    int pairs_apart{0};          ///< pairs of things that share no row
    int places_spread{0};        ///< most less fewest times that a thing stands in a place
    int followers_spread{0};     ///< most less fewest times that a thing directly follows another
    bool connected{true};        ///< every thing can be compared with every other, through others if need be
};
/// Source: John & Williams (1995), Cyclic and Computer Generated Designs, ch. 2 (canonical efficiency factors: eigenvalues of I - N K^-1 N' / r);
/// the bound is that of a balanced design. Rows of one size; things from 2.
[[nodiscard]] DesignReport design_report(const Design& rows, int things);

/// Rows that all hold thing 0: how surely they compare the others with it, of what the best such rows could, as the ratio of the mean variances of these comparisons
/// (row and thing effects). 1: every other thing, and every pair of others, is found equally often (l and m times); the variance is then
/// size (l + m) / (l (l + (things - 1) m)). Source: Bechhofer & Tamhane (1981), Technometrics 23:45. No such rows have less: all share the mean of their information over
/// permutations of the others, and the trace of an inverse is convex; where rows need not hold thing 0 once each: Hedayat, Jacroux & Majumdar (1988), Statistical Science
/// 3:462. 0 where one of the things is on no row. Rows of one size, from 2, no thing twice in one; things from 2.
[[nodiscard]] double first_efficiency(const Design& rows, int things);

}   // namespace oddplate::stats
