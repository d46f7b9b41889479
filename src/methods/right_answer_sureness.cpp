// How sure, after a choice. Right answers take the part of signals and wrong ones that of noises on the scale of sureness: the R-index is then the chance
// that a right answer was given with more sureness than a wrong one. It says whether people know when they can tell; it is no test of the difference itself.
// Test: unit.judge, carry_over.test.cpp

#include <algorithm>
#include <map>

#include "oddplate/stats/sureness.hpp"
#include "right_answer.hpp"

namespace oddplate::methods::right_answer {
namespace {

constexpr std::uint64_t k_seed = 0x7375726521;   // fixed: the same answers give the same p
constexpr auto k_steps = static_cast<std::size_t>(k_sureness_steps);

stats::SurenessCounts none_yet() {
    return {std::vector<std::int64_t>(k_steps, 0), std::vector<std::int64_t>(k_steps, 0)};
}

void add_steps(RoundFindings& found, const stats::SurenessCounts& all) {
    List list{.key = "sureness_steps", .rows = {}};
    for (std::size_t step = 0; step < k_steps; ++step)
        list.rows.push_back({{"step", static_cast<std::int64_t>(step + 1)}, {"correct", all.signals[step]}, {"of", all.signals[step] + all.noises[step]}});
    found.pooled.lists.push_back(std::move(list));
}

}   // namespace

void add_sureness(const Question& question, std::span<const Observation> observations, RoundFindings& found) {
    std::map<std::int32_t, stats::SurenessCounts> tasters;
    stats::SurenessCounts all = none_yet();
    std::int64_t said = 0, right = 0, most = 0;
    std::map<std::int32_t, std::int64_t> answers;
    for (const Observation& seen : observations) {
        if (seen.scored.values.empty()) continue;
        const auto step = static_cast<std::size_t>(seen.scored.values.front()) - 1;
        stats::SurenessCounts& own = tasters.try_emplace(seen.taster, none_yet()).first->second;
        const bool is_right = seen.scored.value > 0;
        ++(is_right ? own.signals : own.noises)[step];
        ++(is_right ? all.signals : all.noises)[step];
        ++said;
        right += is_right;
        most = std::max(most, ++answers[seen.taster]);
    }
    if (said == 0) return;
    Findings& pooled = found.pooled;
    pooled.add("sureness.answers", said);
    add_steps(found, all);
    const auto r = stats::r_index(all);
    pooled.add_optional("sureness.r_index", r, "no wrong answer to compare with, or no right one");
    if (!r) return;
    std::vector<stats::SurenessCounts> groups;
    for (auto& [taster, counts] : tasters) groups.push_back(std::move(counts));
    const bool several = most > 1;
    if (question.confidence) {
        const double spread = several ? stats::r_index_spread(groups) : 1;
        const stats::Interval interval = stats::r_index_interval(*r, right, said - right, *question.confidence, spread);
        pooled.add("sureness.lower", interval.lower);
        pooled.add("sureness.upper", interval.upper);
        pooled.add("sureness.confidence", *question.confidence);
    }
    const stats::PValue p = several ? stats::r_index_p(groups, k_seed) : stats::r_index_p(std::span(&all, 1), k_seed);
    pooled.add("sureness.p_value", p.p);
    found.words.push_back({p.p <= question.alpha ? "right.sureness.knows" : "right.sureness.open", {{"r", *r}, {"p", p.p}}});
}

}   // namespace oddplate::methods::right_answer
