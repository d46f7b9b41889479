#pragma once
// How Boost.Math is used in this layer: arguments are checked before, so nothing is thrown; where a value does not exist it
// answers NaN or infinity. Promotion to long double stays on, nothing relies on it.

#include <boost/math/policies/policy.hpp>

namespace oddplate::stats {

using Quiet = boost::math::policies::policy<boost::math::policies::domain_error<boost::math::policies::ignore_error>,
                                            boost::math::policies::pole_error<boost::math::policies::ignore_error>,
                                            boost::math::policies::overflow_error<boost::math::policies::ignore_error>,
                                            boost::math::policies::evaluation_error<boost::math::policies::ignore_error>,
                                            boost::math::policies::promote_double<true>>;

}   // namespace oddplate::stats
