#pragma once
// Hills and crossings of one variable, for likelihoods whose derivatives would cost more than they save.

#include <algorithm>
#include <cmath>

namespace oddplate::stats {

struct Hilltop {
    double x{0.0};
    double value{0.0};
};

/// Brent's (1973, chapter 5) search for the top of f on low..high: golden sections with parabolic steps, to `within` in x. Finds
/// one top; the ends themselves are looked at too, so that a function that rises or falls all the way has its top there.
template <class F>
[[nodiscard]] Hilltop maximise(F f, double low, double high, double within) {
    constexpr double golden = 0.3819660112501051;
    const Hilltop at_low{low, f(low)};
    const Hilltop at_high{high, f(high)};
    double x = low + golden * (high - low), w = x, v = x;
    double fx = f(x), fw = fx, fv = fx;
    double step = 0.0, before = 0.0;
    for (int i = 0; i < 100; ++i) {
        const double middle = (low + high) / 2.0;
        if (std::fabs(x - middle) + (high - low) / 2.0 <= 2.0 * within) break;
        double p = 0.0, q = 0.0, r = 0.0;
        if (std::fabs(before) > within) {
            r = (x - w) * (fx - fv);
            q = (x - v) * (fx - fw);
            p = (x - v) * q - (x - w) * r;
            q = 2.0 * (q - r);
            if (q > 0.0) p = -p;
            q = std::fabs(q);
            r = before;
            before = step;
        }
        if (std::fabs(p) < std::fabs(q * r / 2.0) && p > q * (low - x) && p < q * (high - x)) {
            step = p / q;
            if (x + step - low < 2.0 * within || high - x - step < 2.0 * within) step = x < middle ? within : -within;
        } else {
            before = x < middle ? high - x : low - x;
            step = golden * before;
        }
        const double u = x + (std::fabs(step) >= within ? step : std::copysign(within, step));
        const double fu = f(u);
        if (fu >= fx) {
            (u < x ? high : low) = x;
            v = w, fv = fw, w = x, fw = fx, x = u, fx = fu;
        } else {
            (u < x ? low : high) = u;
            if (fu >= fw || w == x)
                v = w, fv = fw, w = u, fw = fu;
            else if (fu >= fv || v == x || v == w)
                v = u, fv = fu;
        }
    }
    Hilltop best{x, fx};
    if (at_low.value >= best.value) best = at_low;
    if (at_high.value > best.value) best = at_high;
    return best;
}

/// The same from a guess: walks uphill in doubling steps until the top is bracketed, never beyond least..most.
template <class F>
[[nodiscard]] Hilltop maximise_near(F f, double guess, double step, double least, double most, double within) {
    guess = std::clamp(guess, least, most);
    double low = std::max(least, guess - step), high = std::min(most, guess + step);
    double at = f(guess), at_low = f(low), at_high = f(high);
    while (at_low > at && low > least) {
        high = guess, at_high = at, guess = low, at = at_low;
        low = std::max(least, low - (step *= 2.0));
        at_low = f(low);
    }
    while (at_high > at && high < most) {
        low = guess, at_low = at, guess = high, at = at_high;
        high = std::min(most, high + (step *= 2.0));
        at_high = f(high);
    }
    return maximise(f, low, high, within);
}

/// Where f changes its sign between a (f >= 0) and b (f < 0): false position, halved where one end stays put (Illinois), to
/// `within`.
template <class F>
[[nodiscard]] double crossing(F f, double a, double b, double within) {
    double fa = f(a), fb = f(b);
    int side = 0;
    for (int i = 0; i < 100 && std::fabs(b - a) > within; ++i) {
        double x = (a * fb - b * fa) / (fb - fa);
        if (!std::isfinite(x) || x <= std::min(a, b) || x >= std::max(a, b) || i % 8 == 7) x = (a + b) / 2.0;
        const double fx = f(x);
        if (std::fabs(fx) < 1e-9) return x;
        if (fx > 0.0) {
            a = x, fa = fx;
            if (side == 1) fb /= 2.0;
            side = 1;
        } else {
            b = x, fb = fx;
            if (side == -1) fa /= 2.0;
            side = -1;
        }
    }
    return (a + b) / 2.0;
}

}   // namespace oddplate::stats
