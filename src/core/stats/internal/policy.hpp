// Boost.Math without exceptions and without errno: what cannot be worked out comes back as infinity
// or not a number, and the callers only ask for what can.
#pragma once

#include <boost/math/policies/policy.hpp>

namespace penstock::stats {

namespace quiet {
using namespace boost::math::policies;
using Policy = policy<domain_error<ignore_error>, pole_error<ignore_error>,
                      overflow_error<ignore_error>, underflow_error<ignore_error>,
                      evaluation_error<ignore_error>, rounding_error<ignore_error>,
                      indeterminate_result_error<ignore_error>, promote_double<false>>;
}  // namespace quiet
using quiet::Policy;

}  // namespace penstock::stats
