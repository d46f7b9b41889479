#pragma once
// The likelihood of a mixed model at one relative covariance after the other: the sparse factor and what follows from it.

#include <memory>
#include <span>
#include <vector>

#include "mixed_products.hpp"

namespace oddplate::stats {

/// For one caller and one criterion; the factor's pattern and the buffers are kept from theta to theta. The products must outlive it.
class MixedSystem {
public:
    MixedSystem(const LinearMixed::Products& of, MixedCriterion criterion);
    ~MixedSystem();

    /// Factorises at a theta; all else answers for the last one.
    void go(std::span<const double> theta);
    [[nodiscard]] LinearMixed::Height height(bool with_slopes);
    /// inv(X' inv(H) X), fixed x fixed.
    [[nodiscard]] std::vector<double> inverse_information() const;
    /// b of what plain least squares left: to be added to its coefficients.
    [[nodiscard]] std::vector<double> coefficients() const;
    /// The levels' predicted shifts (and slopes), by column of Z.
    [[nodiscard]] std::vector<double> shifts();

private:
    struct Parts;
    std::unique_ptr<Parts> m_parts;
};

}   // namespace oddplate::stats
