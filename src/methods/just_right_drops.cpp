// What goes with lower liking: people on one side of an attribute held against those who say just right.

#include "just_right.hpp"
#include "oddplate/stats/holm.hpp"
#include "oddplate/stats/two_groups.hpp"

namespace oddplate::methods::just_right {
namespace {

constexpr std::uint64_t k_seed = 9;   // of people drawn again, and of exchanges where there are too many to count

/// Liking of one sample by those in each sort of one attribute; `all` who said it, those torn between sorts too.
struct Groups {
    std::array<std::vector<double>, 3> in;
    std::int64_t all{0};
};

Groups groups_of(const std::vector<Heard>& people) {
    Groups groups;
    for (const Heard& heard : people) {
        const auto liking = heard.liking();
        if (!liking) continue;
        ++groups.all;
        if (const auto sort = heard.sort()) groups.in[*sort].push_back(*liking);
    }
    return groups;
}

double mean_of(const std::vector<double>& numbers) {
    double sum = 0;
    for (const double x : numbers) sum += x;
    return sum / static_cast<double>(numbers.size());
}

Drop drop_of(const Question& question, const Groups& groups, std::int32_t attribute, std::int32_t sample, Sort side) {
    Drop drop{.attribute = attribute, .sample = sample, .side = side, .liking_right = {}, .liking_side = {}, .interval = {}, .p = {}, .why = {}};
    drop.people = static_cast<std::int64_t>(groups.in[side].size());
    drop.of = groups.all;
    if (drop.of == 0) {
        drop.why = "just_right.why.no_liking";
    } else if (drop.people < k_least_people || drop.share() < k_least_share) {
        drop.why = "just_right.why.few_on_side";
    } else if (static_cast<std::int64_t>(groups.in[right].size()) < k_least_people) {
        drop.why = "just_right.why.few_right";
    } else {
        drop.liking_right = mean_of(groups.in[right]);
        drop.liking_side = mean_of(groups.in[side]);
        drop.interval = stats::two_groups_interval(groups.in[right], groups.in[side], question.confidence, k_seed);
        drop.p = stats::two_groups_p(groups.in[right], groups.in[side], k_seed);
    }
    return drop;
}

/// Holm over all that is compared, of all samples: a claim about any of them is one claim of the tasting.
void adjust(std::vector<Drop>& drops) {
    std::vector<Drop*> compared;
    std::vector<double> p_values;
    for (Drop& drop : drops)
        if (drop.p) {
            compared.push_back(&drop);
            p_values.push_back(drop.p->p);
        }
    const std::vector<double> adjusted = stats::holm_adjusted(p_values);
    for (std::size_t i = 0; i < compared.size(); ++i) compared[i]->p_adjusted = adjusted[i];
}

}   // namespace

std::vector<Drop> drops_of(const Question& question, const Opinions& opinions) {
    std::vector<Drop> drops;
    const auto attributes = static_cast<std::int32_t>(opinions.attributes.size()), samples = static_cast<std::int32_t>(opinions.samples.size());
    std::vector<std::vector<std::vector<Heard>>> heard;
    for (std::int32_t a = 0; a < attributes; ++a) heard.push_back(heard_of(opinions, a));
    for (std::int32_t s = 0; s < samples; ++s)
        for (std::int32_t a = 0; a < attributes; ++a) {
            const Groups groups = groups_of(heard[static_cast<std::size_t>(a)][static_cast<std::size_t>(s)]);
            for (const Sort side : {too_little, too_much}) drops.push_back(drop_of(question, groups, a, s, side));
        }
    adjust(drops);
    return drops;
}

}   // namespace oddplate::methods::just_right
