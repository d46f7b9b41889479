#pragma once
// A p-value that says how it was found.

#include <cstdint>

namespace oddplate::stats {

enum class Found {
    exact,         ///< every outcome counted; `error` is 0
    monte_carlo,   ///< seeded permutations; `error` is the standard error sqrt(p (1 - p) / draws)
    normal         ///< normal law with the exact mean and variance; `error` bounds the difference (Berry-Esseen)
};

struct PValue {
    double p{1.0};
    Found found{Found::exact};
    double error{0.0};
    std::int64_t draws{0};   ///< permutations drawn (monte_carlo only)
};

}   // namespace oddplate::stats
