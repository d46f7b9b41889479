#pragma once
// Yes or no about one impression: hits, false alarms, and the criterion that lies between the sensation and the word.
//
// Two models, each with a distance d (d') and a criterion; signals and noises are two independent binomial counts.
//   yes_no          one portion, "A" or "not A". Sensation N(+d/2, 1) for A, N(-d/2, 1) for not A; the word is "A" above c:
//                       H = Phi(d/2 - c),  F = Phi(-d/2 - c),   so d = z(H) - z(F),  c = -(z(H) + z(F))/2.
//                   c = 0 has no lean, c > 0 says "A" too seldom. d below 0: the words are the wrong way round.
//                   (Green & Swets 1966; Macmillan & Creelman 2005.)
//   same_different  two portions; the difference of two sensations is N(0, 2) for a same pair and N(d, 2) for a different one;
//                   the word is "different" where the difference is larger than tau > 0 either way:
//                       F = 2 Phi(-tau/sqrt 2),   H = 1 - Phi((tau - d)/sqrt 2) + Phi((-tau - d)/sqrt 2),   d >= 0.
//                   (Sorkin 1962; Noreen 1981: the difference rule.)

#include <cstdint>
#include <optional>
#include <span>

#include "oddplate/stats/link.hpp"
#include "oddplate/stats/power.hpp"

namespace oddplate::stats {

enum class SignalRule { yes_no, same_different };

/// 0 <= hits <= signals, 0 <= false_alarms <= noises.
struct SignalCounts {
    std::int64_t hits{0}, signals{0}, false_alarms{0}, noises{0};

    SignalCounts& operator+=(const SignalCounts& other) {
        hits += other.hits, signals += other.signals, false_alarms += other.false_alarms, noises += other.noises;
        return *this;
    }
    [[nodiscard]] bool both() const { return signals > 0 && noises > 0; }
    friend bool operator==(const SignalCounts&, const SignalCounts&) = default;
};

/// H and F with their complements, each accurate in its own tail.
struct SignalRates {
    double hit, miss, false_alarm, rejection;
};
[[nodiscard]] SignalRates signal_rates(SignalRule rule, double d, double criterion);

/// The criterion of an observer who is right most often when signals and noises are equally many: yes_no 0; same_different
///     tau = (2/d) acosh(exp(d^2/4)),
/// where the two densities of the absolute difference cross (2 phi(tau/sqrt 2) = phi((tau - d)/sqrt 2) + phi((tau + d)/sqrt 2));
/// sqrt 2 at d = 0. d >= 0.
[[nodiscard]] double best_criterion(SignalRule rule, double d);

/// A limit that may not exist (an empty or a full cell leaves it open).
using Limit = std::optional<double>;

struct SignalEstimate {
    Limit estimate, lower, upper;
};

struct SignalFit {
    SignalEstimate d;
    SignalEstimate criterion;
    std::optional<double> standard_error;   ///< of d, delta method; none at a boundary or an empty or full cell
};

/// Maximum likelihood and profile-likelihood intervals of d and of the criterion, each side allowed (1 - confidence)/2: the
/// values whose signed root of the likelihood ratio is within `widen` times the normal quantile (widen >= 1: see taster_spread).
/// yes_no: closed form; Gourevitch & Galanter (1967) standard error. same_different: the model is saturated, so tau comes from F
/// and d from H where H > F, else d = 0 and tau from both. Estimates are absent where no finite value is best; a limit is absent
/// where every value on that side fits (one-sided intervals). counts.both().
[[nodiscard]] SignalFit fit_signals(SignalRule rule, const SignalCounts& counts, double confidence, double widen = 1);

/// Above so many answers the exact limits of d take too long.
inline constexpr std::int64_t k_most_exact_answers = 1000;
/// Limits of d by inversion of two exact unconditional tests, each allowed (1 - confidence)/2: a distance is left out where the largest
/// chance, over all criteria, of counts whose signed root at it is as far to the same side as observed is no more than that. (Barnard
/// 1947; inverted tail by tail as Chan & Zhang 1999, Biometrics 55:1202, with the likelihood ratio for order.) Whoever answers
/// independently, the interval covers at least `confidence`: counted for 6 to 30 answers of each kind. The profile of fit_signals does not:
/// there .90 is down to .72 near perfect separation and to .80 elsewhere. With all hits and no false alarms the lower limit is the
/// distance at which that has the chance (1 - confidence)/2: for n + n answers and yes_no 2 z(((1 - confidence)/2)^(1/2n)).
/// Only lower and upper are filled in; the upper limit agrees with signal_p_similar. counts.both(), at most k_most_exact_answers.
[[nodiscard]] SignalEstimate signal_limits(SignalRule rule, const SignalCounts& counts, double confidence);

/// How much wider tasters who differ make the interval of d: sqrt of (variance of d with tasters as units) / (variance with
/// independent answers), at least 1. Half an answer is added to each cell, so that empty cells do not break it. One taster: 1.
/// Linearised estimate with T/(T - 1) (Liang & Zeger 1986).
[[nodiscard]] double taster_spread(SignalRule rule, std::span<const SignalCounts> tasters);

/// Signed root of the likelihood ratio at d, the criterion fitted: above 0 where the data point to more than d. One-sided normal.
[[nodiscard]] double signal_root(SignalRule rule, const SignalCounts& counts, double d);

// ---- D and S

/// Exact one-sided p that hits are no more frequent than false alarms: Fisher (1935), given the number of each answer.
[[nodiscard]] double signal_p(const SignalCounts& counts);
/// The same with labels exchanged within tasters only: a convolution of hypergeometric laws. Tasters with one kind of set add
/// nothing.
[[nodiscard]] double signal_p(std::span<const SignalCounts> tasters);

/// P that d is as large as `margin` (> 0): the largest chance, over all criteria, that counts come out whose signed root at the
/// margin is as low as observed or lower. Valid at every criterion (an exact unconditional test, as Barnard 1947 with the
/// likelihood ratio for order); the maximum is looked for on a grid of criteria and refined. The normal tail of the root itself
/// errs at .090 for .05 with 15 + 45 answers (margin 1, yes_no; counted), so it is used only above 4,000 answers.
[[nodiscard]] double signal_p_similar(SignalRule rule, const SignalCounts& counts, double margin);
/// The same where tasters gave several answers: the larger of that and of the t tail (tasters - 1) of the root divided by
/// taster_spread. Approximate; 1 with fewer than two tasters.
[[nodiscard]] double signal_p_similar(SignalRule rule, std::span<const SignalCounts> tasters, double margin);

// ---- power and size

/// Power of Fisher's test.
[[nodiscard]] double signal_power(SignalRule rule, std::int64_t signals, std::int64_t noises, double d, double criterion,
                                  double alpha);
/// Power of S at the margin when d is the truth.
[[nodiscard]] double signal_power_similar(SignalRule rule, std::int64_t signals, std::int64_t noises, double margin, double d,
                                          double criterion, double alpha);

/// n answers dealt as signals : noises = a : b, by the rule of the largest remainder.
struct SignalShare {
    int signals{1}, noises{1};
    [[nodiscard]] std::int64_t of_signals(std::int64_t n) const {
        return (n * signals * 2 + signals + noises) / (2 * (signals + noises));
    }
};
/// What a size is asked for. `criterion` is the taster's; `margin` absent: D at d; given: S at the margin when d is the truth.
struct SignalQuestion {
    SignalRule rule{SignalRule::yes_no};
    double d{1}, criterion{0}, alpha{0.05};
    std::optional<double> margin{};
    SignalShare share{};
};
[[nodiscard]] double signal_power(const SignalQuestion& question, std::int64_t n);
/// First number of answers with the power, and the one from which all counts to a fifth or 2 sqrt(n) more, the fewer of the two (at least 40 more), have it;
/// alpha_actual is the largest chance of D over criteria when d is 0 (S: of S at the margin). None above 4,000 answers.
[[nodiscard]] std::optional<PanelSize> size_signals(const SignalQuestion& question, double power);

// ---- curves

/// Share of right answers of an observer without lean, signals and noises equally many: Phi(d/2).
[[nodiscard]] const Link& yes_no_link();
/// The same for pairs at the best criterion: with a = tau/sqrt 2, b = d/sqrt 2
///     gain = (2 Phi(a) - Phi(a - b) - Phi(a + b))/2 = phi(a) Int_0^b exp(-s^2/2) sinh(a s) ds,
///     shortfall = (2 Q(a) + Phi(a - b) - Q(a + b))/2,   slope = (phi(a - b) - phi(a + b))/(2 sqrt 2) (the criterion's own share
/// of the slope is 0 where it is best).
[[nodiscard]] const Link& same_different_link();

}   // namespace oddplate::stats
