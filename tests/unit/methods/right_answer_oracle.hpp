#pragma once
// Binomial laws summed term by term in long double from exact products: slow, plain, and independent of the program's kernel.

#include <vector>

namespace oddplate::methods::testing {

class Law {
public:
    Law(int n, long double p) : m_at(static_cast<std::size_t>(n) + 1, 0.0L) {
        m_at[0] = 1;   // one answer after another
        for (int i = 0; i < n; ++i)
            for (int k = i + 1; k >= 0; --k) {
                const auto at = static_cast<std::size_t>(k);
                m_at[at] = m_at[at] * (1 - p) + (k > 0 ? m_at[at - 1] * p : 0.0L);
            }
    }
    [[nodiscard]] long double at(int k) const { return m_at[static_cast<std::size_t>(k)]; }
    [[nodiscard]] long double upper(int k) const {
        long double sum = 0;
        for (int i = static_cast<int>(m_at.size()) - 1; i >= k; --i) sum += at(i);
        return sum;
    }
    [[nodiscard]] long double lower(int k) const {
        long double sum = 0;
        for (int i = 0; i <= k; ++i) sum += at(i);
        return sum;
    }

private:
    std::vector<long double> m_at;
};

}   // namespace oddplate::methods::testing
