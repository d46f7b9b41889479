#pragma once
// Where the right answer lay and which one was picked: what D needs when the orders were not served equally often.

#include <array>
#include <cstdint>
#include <optional>
#include <span>
#include <vector>

#include "right_answer.hpp"

namespace oddplate::methods::right_answer {

/// Fixed: the same answers give the same verdict, simulated p-values included.
inline constexpr std::uint64_t k_seed = 0x6f6464706c617465;

/// Counts by place (or by way to sort a tray), for one spot or for all.
struct Places {
    std::array<std::int64_t, 3> right_at{}, picked{};
    std::int64_t first_right_first_picked{0}, other_right_first_picked{0}, correct{0};
    std::vector<std::int64_t> orders;   ///< answers by serving order
    bool known{true};                   ///< every right and every picked one is one of the first three

    /// Two orders were served with counts that differ by more than one.
    [[nodiscard]] bool is_uneven() const;
    void add(const Observation& seen, int right_way);
};

/// By spot; the last entry is over all spots.
[[nodiscard]] std::vector<Places> places_of(const Method& method, const Family& family, std::span<const Observation> observations,
                                            const Round& round, const Plan& plan);
/// How surely one place (or way to sort a tray) was picked too often, held against where the right answers lay: exact, see
/// stats/multinomial.hpp; nothing for methods whose places are not known. It is what the check of the places says, too.
[[nodiscard]] std::optional<double> habit_p(const Places& places, int ways);
/// D's p whatever habit tasters have of taking one place, exact given the orders served; nothing for methods without such a test.
[[nodiscard]] std::optional<double> order_p(const Places& places, int ways);

}   // namespace oddplate::methods::right_answer
