// The steps of a ladder and the curve through them. Tests: tests/unit/stats/ladder.test.cpp

#include "oddplate/stats/ladder.hpp"

#include <map>

#include "oddplate/stats/binomial.hpp"
#include "oddplate/stats/sign_flip.hpp"

namespace oddplate::stats {
namespace {

std::vector<LadderStep> steps_of(std::span<const LadderVote> votes, double alpha) {
    std::map<double, std::map<std::int32_t, Votes>> levels;
    for (const LadderVote& vote : votes)
        if (vote.undecided) levels[vote.level];   // tasted, though nobody may have chosen there
        else (vote.for_control ? levels[vote.level][vote.taster].for_current : levels[vote.level][vote.taster].for_new) += 1;
    std::vector<LadderStep> steps;
    for (const auto& [level, tasters] : levels) {
        LadderStep step{.level = level, .tasters = std::ssize(tasters)};
        std::vector<Votes> all;
        for (const auto& [taster, mine] : tasters) {
            step.for_control += mine.for_current;
            step.for_sample += mine.for_new;
            all.push_back(mine);
        }
        // The law is symmetric, so one side of it is half of both; nothing speaks for the control where it has no more votes.
        step.p_value = step.for_control > step.for_sample ? sign_flip_p(all) / 2 : 1;
        steps.push_back(step);
    }
    for (std::size_t i = steps.size(); i-- > 0;) steps[i].shown = significant(steps[i].p_value, alpha) && (i + 1 == steps.size() || steps[i + 1].shown);
    return steps;
}

}   // namespace

Ladder ladder(std::span<const LadderVote> all, double at, double alpha, double confidence) {
    Ladder found;
    found.steps = steps_of(all, alpha);
    std::vector<Placed> votes;
    for (const LadderVote& vote : all)
        if (!vote.undecided) votes.push_back({vote.taster, vote.level, vote.for_control});
    if (found.steps.size() >= 2) found.rise = rise(votes, 0, at, confidence, found.steps.front().level, found.steps.back().level);
    return found;
}

}   // namespace oddplate::stats
