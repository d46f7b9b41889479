// The joined sets as plain rows. Test: end_to_end.report

#include "oddplate/judge/answers.hpp"

#include <algorithm>

#include "joining.hpp"
#include "oddplate/core/json.hpp"

namespace oddplate::judge {
namespace {

const char* to_text(Fate fate) {
    switch (fate) {
        case Fate::counted: return "counted";
        case Fate::undecided: return "undecided";
        case Fate::blank: return "blank";
        case Fate::void_: return "void";
        case Fate::not_served: return "not-served";
        case Fate::missing: return "missing";
        case Fate::insider: return "insider";
        case Fate::opened: return "opened";
        case Fate::late: return "late";
    }
    std::abort();
}

std::string each_of(const Case& subject, const methods::Scored& scored) {
    std::string text;
    for (std::size_t i = 0; i < scored.samples.size(); ++i) {
        text += (text.empty() ? "" : " ") + subject.plan.versions[static_cast<std::size_t>(scored.samples[i])].id + "=" + core::shortest(scored.values[i]);
        if (i < scored.levels.size())
            for (const double level : scored.levels[i]) text += "/" + core::shortest(level);
    }
    return text;
}

}   // namespace

core::Result<std::vector<AnswerRow>> answer_rows(const Case& subject) {
    const auto joined = join(subject);
    if (!joined) return joined.faults();
    std::vector<std::vector<methods::Order>> orders;
    for (std::size_t round = 0; round < subject.plan.rounds.size(); ++round)
        orders.push_back(joined->methods[round]->orders(subject.plan.rounds[round], static_cast<int>(subject.plan.versions.size())));
    std::vector<AnswerRow> rows;
    rows.reserve(joined->sets.size());
    for (const JoinedSet& set : joined->sets) {
        AnswerRow row{.ballot = set.ballot, .set = set.set, .round = set.round, .spot = set.seen.spot, .taster = set.seen.taster};
        if (set.given != nullptr) row.answer = set.given->text;
        row.fate = to_text(set.fate);
        if (set.is_scored) row.score = set.seen.scored.value;
        if (set.is_scored && joined->methods[static_cast<std::size_t>(set.round)]->scale == methods::Scale::each) row.each = each_of(subject, set.seen.scored);
        row.is_blank = joined->key_of(set).is_blank();
        row.trait = orders[static_cast<std::size_t>(set.round)][static_cast<std::size_t>(set.seen.order)].trait;
        rows.push_back(std::move(row));
    }
    return rows;
}

}   // namespace oddplate::judge
