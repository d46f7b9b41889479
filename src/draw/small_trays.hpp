#pragma once
// Trays that hold some of the recipes: which of a block's orders are served, and in which order, so that recipes and pairs of recipes come out even
// however many people there are. An order is one tray, or one person's trays over several sittings.

#include <array>
#include <compare>
#include <functional>
#include <span>
#include <vector>

#include "oddplate/methods/method.hpp"

namespace oddplate::draw {

/// Whether these are trays of several recipes, though not of all: three recipes or more, none twice on a tray.
[[nodiscard]] bool are_small_trays(std::span<const methods::Order> orders);
/// The fewest trays, eight or more, on which every recipe can lie equally often: within such a run orders may change places.
[[nodiscard]] int even_run(std::span<const methods::Order> orders);

/// What the stream at hand has served so far, and what all streams have.
class TrayCounts {
public:
    /// An order's versions are `sittings` trays of one size, one after another.
    explicit TrayCounts(std::span<const methods::Order> orders, int sittings = 1);

    /// Sorts a shuffled block. The first `served` of it go out: one after another the order that leaves recipes, then pairs on a tray, then recipes by place, then
    /// recipes after recipes most even. Where some stay behind, served ones then change places with those for as long as the whole stream gains by it. Source for
    /// the order of gains: (M.S)-optimality (Shah 1960, Annals of Mathematical Statistics 31:791; Eccleston & Hedayat 1974, Annals of Statistics 2:1238) - even
    /// counts of things, then least squares of pairs (eight starts: the block turned by eighths of its length); what is alike in both is told apart by the next powers of the pairs' table, on which the A-efficiency
    /// depends next (John & Williams 1995, ch. 2). A design in parts is never kept before one in fewer.
    /// Between streams that are as good by recipes and pairs the one is better that leaves recipes, then pairs, most even over all streams so far.
    void deal(std::span<int> block, std::size_t served);
    /// Of each counted order in `dealt`, `ahead(order)` holds others yet to come that serve the same trays, in other orders at the table. They change places for as
    /// long as recipes by place, then followers, gain by it; then what was dealt comes in turn again.
    void reorder(std::span<int> dealt, const std::function<std::span<int>(int)>& ahead);
    /// From here on another stream is dealt.
    void next_stream();

private:
    static constexpr int k_most_sweeps = 20;
    static constexpr std::size_t k_starts = 8;
    using Step = std::array<long, 7>;   // what one order adds: squares of recipes, pairs, of both over all streams, sittings, places, followers
    struct Evenness {
        long parts{0}, recipes{0}, pairs{0}, all_recipes{0}, all_pairs{0}, sittings{0}, places{0}, cubes{0}, fourths{0}, followers{0};
        friend auto operator<=>(const Evenness&, const Evenness&) = default;
    };

    Step count(int order, int by);
    /// Brings the `served` that add least, one after another, to the front and counts them.
    void serve_in_turn(std::span<int> candidates, std::size_t served);
    /// Counted ones in front change places with the others while that gains.
    Evenness exchange(std::span<int> block, std::size_t served);
    void take_back(std::span<const int> trays);
    [[nodiscard]] Evenness evenness() const;
    [[nodiscard]] long parts() const;
    [[nodiscard]] std::size_t cell(int a, int b) const { return static_cast<std::size_t>(a) * m_versions + static_cast<std::size_t>(b); }
    [[nodiscard]] long together(std::size_t a, std::size_t b) const { return m_pairs[a * m_versions + b]; }

    std::span<const methods::Order> m_orders;
    std::size_t m_versions, m_sittings, m_size;
    std::vector<int> m_pairs;               // a row a recipe, both ways; on the diagonal how often it was served
    std::vector<int> m_all_pairs;           // the same, of all streams
    std::vector<int> m_in_sittings, m_places, m_followers;
    Step m_sums{};
};

}   // namespace oddplate::draw
