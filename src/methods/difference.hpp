#pragma once
// What the families that look for a difference share: settings, what a plan may leave out, and the plan's rule over the spots.

#include <span>
#include <string>
#include <string_view>
#include <vector>

#include "oddplate/methods/method.hpp"

namespace oddplate::methods::difference {

inline constexpr double k_most_d = 30;   ///< beyond it every curve is 1 to the last digit

inline constexpr std::string_view k_aims[] = {"difference", "similarity"};
inline constexpr Setting k_aim{.key = "aim",
                               .kind = Kind::choice,
                               .choices = k_aims,
                               .help = "what the tasting is for: to find a difference, or to show that it is small enough"};
inline constexpr Setting k_power{
    .key = "power", .lo = 0, .hi = 1, .open = true, .help = "how often the tasting should find it (default 0.8)"};

inline constexpr Setting k_tasters{.key = "tasters",
                                   .kind = Kind::whole,
                                   .lo = 1,
                                   .hi = 10'000'000,
                                   .help = "a panel already fixed, one answer a person: the least difference that it finds, and its power at others"};

/// Some settings and more, for a method with something of its own.
[[nodiscard]] std::vector<Setting> with(std::span<const Setting> settings, std::span<const Setting> more);

/// A fault where the plan has other than two versions.
void need_two_versions(const Method& method, const Plan& plan, const std::string& place, core::Faults& faults);
/// The aim where none is said, and with similarity and several spots the rule that goes with it.
void settle_aim(Round& round);

/// The ways out of a panel that is too small: more people, or only a larger difference to matter.
void offer_people(std::vector<core::Sentence>& words, std::int64_t needed, std::int64_t there);

/// Why closeness is not said though a count would pass for it. The first that holds, in this order.
enum class Withheld {
    no,
    habit,             ///< one place was picked too often: who picks by place tells nothing about the taste
    orders,            ///< orders were not served alike often, and given them some can tell though the plain count does not show it
    spot_unanswered,   ///< of all spots together, and one of them has no answers
    nobody_at_two,     ///< of all spots together, and whether they are alike could not be tested
    spots_differ       ///< of all spots together, and they differ
};
/// Its sentence's phrase id.
[[nodiscard]] std::string phrase_of(Withheld why);

/// What is said of the gap between spots that were compared, by its p: shown; nothing to be seen; or not shown, with a caution where only some of
/// the spots passed (`mixed`).
[[nodiscard]] core::Sentence gap_between(double heterogeneity, double alpha, bool mixed);
/// What to do about it, as a phrase id.
[[nodiscard]] std::string step_after(Withheld why);

/// What came out at one spot, or of all answers together.
struct AtSpot {
    bool answered{false}, different{false}, similar{false};
    double p_adjusted{1};   ///< by Holm over the spots
};
struct Decided {
    bool different{false}, similar{false};
};
/// The plan's rule. Overall: what all answers together say. Any spot: a difference where the smallest adjusted p is alpha or less.
/// Each spot: a difference at every one. Both of them: small enough only where every spot has it.
[[nodiscard]] Decided decide(DecideOn rule, double alpha, std::span<const AtSpot> spots, const AtSpot& pooled);

}   // namespace oddplate::methods::difference
