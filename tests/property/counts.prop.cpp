// Laws of every count of right answers and of votes, over the methods that there are: a verdict never says what its interval denies,
// and luck alone is taken for a difference no oftener than was allowed. (To n = 60 the unit tests enumerate chosen rules; here rules
// and numbers are any.) The generator's seed is fixed; RC_PARAMS in the environment sets another.

#include <rapidcheck.h>

#include <algorithm>
#include <cmath>
#include <cstdlib>

#include "oddplate/methods/method.hpp"

using namespace oddplate;
using methods::Findings;
using methods::Method;

namespace {

bool takes(const Method& method, std::string_view key) {
    return std::any_of(method.count_settings.begin(), method.count_settings.end(), [&](const methods::Setting& one) { return one.key == key; });
}

/// The methods that count right answers of all with the rules of a triangle.
std::vector<const Method*> counting_right() {
    std::vector<const Method*> found;
    for (const Method* method : methods::all())
        if (method->link != nullptr && method->count != nullptr && takes(*method, "correct") && takes(*method, "of") && takes(*method, "detect_pd")) found.push_back(method);
    return found;
}

Findings counted(const Method& method, const methods::Settings& settings) {
    auto found = method.count(method, settings);
    if (!found) RC_FAIL(found.faults().front().line());
    return std::move(*found);
}

/// P(K = k) of n at p, by logarithms: none of the code under test.
double chance_of(std::int64_t k, std::int64_t n, double p) {
    const auto fact = [](std::int64_t x) { return std::lgamma(static_cast<double>(x) + 1); };
    return std::exp(fact(n) - fact(k) - fact(n - k) + static_cast<double>(k) * std::log(p) + static_cast<double>(n - k) * std::log1p(-p));
}

double between(double lo, double hi) { return lo + (hi - lo) * *rc::gen::inRange(1, 1000) / 1000.0; }

struct Rule {
    double alpha, pd;
};
Rule any_rule() { return {between(0.001, 0.3), between(0.02, 0.95)}; }

Findings right(const Method& method, std::int64_t k, std::int64_t n, const Rule& rule) {
    return counted(method, {{"correct", k}, {"of", n}, {"alpha", rule.alpha}, {"detect_pd", rule.pd}});
}

void right_verdict_and_interval_agree() {
    const Method& method = **rc::gen::elementOf(counting_right());
    const std::int64_t n = *rc::gen::inRange(1, 500), k = *rc::gen::inRange(std::int64_t{0}, n + 1);
    const Rule rule = any_rule();
    const Findings found = right(method, k, n, rule);
    const auto lower = found.number("proportion_correct.lower"), upper = found.number("proportion_correct.upper");
    const auto chance = found.number("chance"), margin = found.number("same_below.proportion_correct");
    RC_ASSERT(lower && upper && chance && margin);
    const bool noticed = found.verdict == "different" || found.verdict == "slight";
    const bool few = found.verdict == "close-enough" || found.verdict == "slight";
    RC_ASSERT(noticed == (*lower > *chance));
    if (few) RC_ASSERT(*upper < *margin);
    if (*upper >= *margin) RC_ASSERT_FALSE(few);
    RC_ASSERT((found.number("p_value").value() <= rule.alpha) == noticed);
    RC_TAG(found.verdict);
}

void right_by_luck_within_alpha() {
    const Method& method = **rc::gen::elementOf(counting_right());
    const std::int64_t n = *rc::gen::inRange(1, 90);
    const Rule rule = any_rule();
    double noticed = 0, few = 0, p_before = 2;
    for (std::int64_t k = 0; k <= n; ++k) {
        const Findings found = right(method, k, n, rule);
        const double p = found.number("p_value").value();
        RC_ASSERT(p >= 0 && p <= 1 && p <= p_before);   // more right answers, a smaller p
        p_before = p;
        if (found.verdict == "different" || found.verdict == "slight") noticed += chance_of(k, n, found.number("chance").value());
        if (found.verdict == "close-enough" || found.verdict == "slight") few += chance_of(k, n, found.number("same_below.proportion_correct").value());
    }
    RC_ASSERT(noticed <= rule.alpha + 1e-9);   // nobody can tell, and yet it is "noticed"
    RC_ASSERT(few <= rule.alpha + 1e-9);       // as many can tell as the line says, and yet it is "few enough"
}

void p_is_super_uniform() {
    const Method& method = **rc::gen::elementOf(counting_right());
    const std::int64_t n = *rc::gen::inRange(1, 90);
    const double line = between(0, 1);
    double below = 0;
    for (std::int64_t k = 0; k <= n; ++k) {
        const Findings found = right(method, k, n, {.alpha = 0.05, .pd = 0.4});
        if (found.number("p_value").value() <= line) below += chance_of(k, n, found.number("chance").value());
    }
    RC_ASSERT(below <= line + 1e-9);
}

Findings votes(std::int64_t a, std::int64_t b, std::int64_t none, double alpha) {
    const auto method = methods::find("paired-preference");
    if (!method) RC_FAIL("no preference");
    return counted(**method, {{"for_new", a}, {"for_current", b}, {"no_preference", none}, {"alpha", alpha}});
}

void votes_verdict_and_interval_agree() {
    const std::int64_t a = *rc::gen::inRange(0, 300), b = *rc::gen::inRange(0, 300), none = *rc::gen::inRange(0, 50);
    RC_PRE(a + b > 0);
    const double alpha = between(0.001, 0.3);
    const Findings found = votes(a, b, none, alpha);
    const double lower = found.number("share_new.lower").value(), upper = found.number("share_new.upper").value();
    RC_ASSERT((found.verdict == "new-preferred") == (lower > 0.5));
    RC_ASSERT((found.verdict == "current-preferred") == (upper < 0.5));
    RC_TAG(found.verdict);
    const Findings turned = votes(b, a, none, alpha);   // the other recipe's view
    RC_ASSERT(std::abs(turned.number("p_value").value() - found.number("p_value").value()) < 1e-12);
    RC_ASSERT((turned.verdict == "new-preferred") == (found.verdict == "current-preferred"));
}

void votes_by_luck_within_alpha() {
    const std::int64_t n = *rc::gen::inRange(1, 90);
    const double alpha = between(0.001, 0.3);
    double preferred = 0, below = 0;
    for (std::int64_t k = 0; k <= n; ++k) {
        const Findings found = votes(k, n - k, 0, alpha);
        if (found.verdict != "no-clear-preference") preferred += chance_of(k, n, 0.5);
        if (found.number("p_value").value() <= alpha) below += chance_of(k, n, 0.5);
    }
    RC_ASSERT(preferred <= alpha + 1e-9);
    RC_ASSERT(below <= alpha + 1e-9);
}

}   // namespace

int main() {
    setenv("RC_PARAMS", "seed=20261125 max_success=60", 0);
    bool held = counting_right().size() >= 2;
    held &= rc::check("right answers: verdict and interval never contradict each other", right_verdict_and_interval_agree);
    held &= rc::check("right answers: a verdict errs within alpha", right_by_luck_within_alpha);
    held &= rc::check("right answers: p is super-uniform where nobody can tell", p_is_super_uniform);
    held &= rc::check("votes: verdict and interval never contradict each other", votes_verdict_and_interval_agree);
    held &= rc::check("votes: a verdict errs within alpha", votes_by_luck_within_alpha);
    return held ? 0 : 1;
}
