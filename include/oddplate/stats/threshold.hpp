#pragma once
// Right and wrong answers along rising levels: from which level on do people notice it?

#include <cstdint>
#include <optional>
#include <span>
#include <vector>

#include "oddplate/stats/rise.hpp"

namespace oddplate::stats {

/// One forced choice at a level, 1e-30 to 1e30.
struct LevelAnswer {
    std::int32_t taster{0};
    double level{1};
    bool right{false};
};

/// Where a person's threshold lies to the levels that this person tasted.
enum class Among { between, below, above };

/// One person's best estimate.
struct OwnThreshold {
    std::int32_t taster{0};
    std::int64_t right{0}, of{0};      ///< answers
    std::optional<double> estimate{};  ///< nothing where this person tasted one level alone
    Among among{Among::between};       ///< below: right from the lowest level on; above: the highest was missed
};

/// Why there is no group's threshold, or no interval of it.
enum class NoGroup { has_one, one_level, all_below, all_above, mostly_beyond, one_taster, one_step, too_few };

struct GroupThreshold {
    std::vector<OwnThreshold> each;    ///< by taster, ascending
    std::optional<double> estimate;    ///< geometric mean of all that have one
    std::optional<double> sd_log10;    ///< of their common logarithms (n - 1); from two people on
    std::optional<Interval> limits;    ///< Student's t on the logarithms
    NoGroup why{NoGroup::one_level};   ///< no estimate
    NoGroup no_limits{NoGroup::one_level};
    std::int64_t below{0}, above{0};   ///< people whose estimate lies beyond the levels, by half a step
};

/// The rule of ASTM E679 and ISO 13301: a person's best estimate is the geometric mean of the highest level missed and the next higher one that this person
/// tasted; right from the lowest on: sqrt(lowest * lowest / factor); the highest missed: sqrt(highest * highest * factor), the factor being the step to the
/// neighbouring level at that end. The group's is the geometric mean. Of several answers of a person at a level all have to be right.
/// There is none where everybody lies beyond the same end, or more than half of the people beyond either (what stands there is half a step by rule, not seen), and no interval where all estimates are one and the same (a step's width is not seen) or where its ends
/// are no numbers any more.
[[nodiscard]] GroupThreshold best_estimates(std::span<const LevelAnswer> answers, double confidence);

/// What is seen at one level.
struct NoticeStep {
    double level{0};
    std::int64_t right{0}, of{0}, tasters{0};
    double p_value{1};   ///< exact, one-sided: how often so many would be right by guessing (every answer is a guess then, whoever gave it)
    bool shown{false};   ///< it is noticed here and, at alpha, at every higher level
};

/// Tests from the highest level down, each at alpha while all above were shown (a fixed sequence: Maurer, Hothorn & Lehmacher 1995).
/// guess in (0, 1), alpha in (0, 1/2).
[[nodiscard]] std::vector<NoticeStep> notice_steps(std::span<const LevelAnswer> answers, double guess, double alpha);

/// The curve in the natural logarithm of the level with the method's guessing rate, and the point at which half of the answers are tasted and not guessed
/// (ISO 13301). See rise; point and limits are logarithms.
[[nodiscard]] Rise notice_curve(std::span<const LevelAnswer> answers, double guess, double confidence);

}   // namespace oddplate::stats
