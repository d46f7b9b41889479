// Holm (1979), "A simple sequentially rejective multiple test procedure". Tests: tests/unit/stats/holm.test.cpp

#include "oddplate/stats/holm.hpp"

#include <algorithm>
#include <numeric>

namespace oddplate::stats {

std::vector<double> holm_adjusted(std::span<const double> p_values) {
    std::vector<std::size_t> by_size(p_values.size());
    std::iota(by_size.begin(), by_size.end(), std::size_t{0});
    std::stable_sort(by_size.begin(), by_size.end(), [&](std::size_t a, std::size_t b) { return p_values[a] < p_values[b]; });
    std::vector<double> adjusted(p_values.size());
    double floor = 0.0;
    for (std::size_t rank = 0; rank < by_size.size(); ++rank) {
        const double raised = p_values[by_size[rank]] * static_cast<double>(by_size.size() - rank);
        floor = std::max(floor, std::min(1.0, raised));
        adjusted[by_size[rank]] = floor;
    }
    return adjusted;
}

}   // namespace oddplate::stats
