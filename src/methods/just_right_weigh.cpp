// Levels weighed: each attribute by itself, pairs of samples by the people who tasted both. Tests: tests/unit/methods/just_right.test.cpp

#include <algorithm>

#include "just_right.hpp"
#include "oddplate/stats/binomial.hpp"
#include "oddplate/stats/holm.hpp"
#include "oddplate/stats/sign_flip.hpp"
#include "shares.hpp"

namespace oddplate::methods::just_right {
namespace {

using ByTaster = std::vector<Heard>;

Spread spread_of(const ByTaster& cells, std::int32_t attribute, std::int32_t sample, double confidence) {
    Spread spread{.attribute = attribute, .sample = sample};
    std::vector<double> rates;
    std::vector<stats::Votes> sides;
    for (const Heard& heard : cells) {
        if (heard.answers.empty()) continue;
        const auto trays = static_cast<std::int64_t>(heard.answers.size());
        ++spread.people;
        spread.answers += trays;
        for (std::size_t sort = 0; sort < 3; ++sort) spread.said[sort] += heard.said[sort];
        rates.push_back(static_cast<double>(heard.said[right]) / static_cast<double>(trays));
        spread.share += rates.back();
        spread.level += heard.level();
        sides.push_back({heard.said[too_much], heard.said[too_little]});
        spread.little += heard.said[too_little] > heard.said[too_much] ? 1 : 0;
        spread.much += heard.said[too_much] > heard.said[too_little] ? 1 : 0;
    }
    if (spread.people == 0) return spread;
    spread.share /= static_cast<double>(spread.people);
    spread.level /= static_cast<double>(spread.people);
    spread.interval = shares::limits(rates, spread.answers == spread.people, confidence);
    spread.p_side = stats::sign_flip_p(sides);
    return spread;
}

/// One person's trays on which the first alone was just right, and the second alone.
stats::Votes right_of(const Heard& first, const Heard& second) {
    stats::Votes votes;
    for (const Opinion* a : first.answers)
        for (const Opinion* b : second.answers) {
            if (a->tray != b->tray) continue;
            votes.for_current += a->sort() == right && b->sort() != right ? 1 : 0;
            votes.for_new += a->sort() != right && b->sort() == right ? 1 : 0;
        }
    return votes;
}

Change change_of(const ByTaster& first, const ByTaster& second, const Spread& a, const Spread& b) {
    Change change{.attribute = a.attribute, .a = a.sample, .b = b.sample, .test = {}};
    stats::SortTable table{};
    std::vector<stats::Votes> rights;
    for (std::size_t taster = 0; taster < first.size(); ++taster) {
        if (first[taster].answers.empty() || second[taster].answers.empty()) continue;
        ++change.people;
        rights.push_back(right_of(first[taster], second[taster]));
        const std::int64_t net = rights.back().for_new - rights.back().for_current;
        change.net += net;
        change.gained += net > 0 ? 1 : 0;
        change.lost += net < 0 ? 1 : 0;
        const auto in_a = first[taster].sort(), in_b = second[taster].sort();
        if (in_a && in_b) ++table[*in_a][*in_b];
    }
    for (std::size_t i = 0; i < 3; ++i)
        for (std::size_t j = 0; j < 3; ++j) {
            change.settled += table[i][j];
            change.in_a[i] += table[i][j];
            change.in_b[j] += table[i][j];
        }
    change.test = stats::marginal_homogeneity(table);
    change.p_right = stats::sign_flip_p(rights);
    return change;
}

double p_of(const Change& change) {
    if (!change.test) return 1;
    return change.test->p_exact.value_or(change.test->p_value);
}

double claimed(const Change& change) { return std::max(p_of(change), change.pieces_p); }

double signed_side(double level) { return level < 0 ? -1 : level > 0 ? 1 : 0; }

/// What the pieces bear out, of one attribute.
void hold_to_pieces(std::span<Spread> spreads, std::span<Change> changes, std::vector<pieces::Tray> trays) {
    std::vector<pieces::Tray> right = trays;
    for (pieces::Tray& tray : right)
        for (double& level : tray.values) level = level == 0 ? 1 : 0;
    for (pieces::Tray& tray : trays)
        for (double& level : tray.values) level = signed_side(level);
    const auto of_right = pieces::between(right, 0.0), of_side = pieces::between(trays, 0.0);   // each pair by itself
    for (Change& change : changes) {
        const auto alone = [&](const std::optional<pieces::Between>& found) {
            if (!found) return 0.0;
            const auto pair = found->pairs.find({change.a, change.b});
            return pair == found->pairs.end() ? 0.0 : pair->second.first;
        };
        change.right_pieces_p = alone(of_right);
        change.pieces_p = std::min(1.0, 2 * std::min(change.right_pieces_p, alone(of_side)));
    }
    for (const auto& [sample, p] : pieces::from_nought(trays)) spreads[static_cast<std::size_t>(sample)].side_pieces_p = p;
}

/// The samples of one attribute that are not shown to be just right less often than any other.
void find_leaders(std::span<Spread> spreads, std::span<const Change> changes, const Opinions& opinions, double alpha) {
    for (Spread& spread : spreads) spread.leads = spread.people > 0 && !opinions.ran_out(spread.sample);
    for (const Change& change : changes)
        if (!opinions.ran_out(change.a) && !opinions.ran_out(change.b) && change.behind() >= 0 && stats::significant(change.p_right_adjusted, alpha)) spreads[static_cast<std::size_t>(change.behind())].leads = false;
}

void adjust(std::vector<Change>& changes) {
    std::vector<double> p_values;
    for (const Change& change : changes) p_values.push_back(claimed(change));
    const std::vector<double> adjusted = stats::holm_adjusted(p_values);
    for (std::size_t i = 0; i < changes.size(); ++i) changes[i].p_adjusted = adjusted[i];
    std::vector<double> of_people;
    for (const Change& change : changes) of_people.push_back(p_of(change));
    const std::vector<double> people = stats::holm_adjusted(of_people);
    for (std::size_t i = 0; i < changes.size(); ++i) changes[i].people_adjusted = people[i];
}

void add_likings(std::vector<Liking>& likings, const ByTaster& cells, const Spread& spread) {
    std::array<double, 3> sums{};
    std::array<std::int64_t, 3> people{};
    for (const Heard& heard : cells) {
        const auto sort = heard.sort();
        const auto liking = heard.liking();
        if (!sort || !liking) continue;
        sums[*sort] += *liking;
        ++people[*sort];
    }
    const auto all = static_cast<double>(people[0] + people[1] + people[2]);
    for (const Sort sort : {too_little, right, too_much}) {
        if (people[sort] == 0) continue;
        const auto n = static_cast<double>(people[sort]);
        const double mean = sums[sort] / n, grand = (sums[0] + sums[1] + sums[2]) / all;
        likings.push_back({spread.attribute, spread.sample, sort, people[sort], mean, n * (mean - grand) / all});
    }
}

void weigh_attribute(Weighed& weighed, const Question& question, const Opinions& opinions, std::int32_t attribute, bool with_likings) {
    const std::vector<ByTaster> cells = heard_of(opinions, attribute);
    std::vector<Spread> spreads;
    std::vector<Change> changes;
    std::vector<double> p_right;
    for (const ByTaster& sample : cells)
        for (const Heard& heard : sample)
            if (heard.is_torn()) ++(heard.said[too_little] == heard.said[too_much] ? weighed.torn.apart : weighed.torn.beside);
    for (std::size_t s = 0; s < cells.size(); ++s) spreads.push_back(spread_of(cells[s], attribute, static_cast<std::int32_t>(s), question.confidence));
    for (std::size_t a = 0; a < cells.size(); ++a)
        for (std::size_t b = a + 1; b < cells.size(); ++b) {
            changes.push_back(change_of(cells[a], cells[b], spreads[a], spreads[b]));
        }
    if (!opinions.trays.empty()) hold_to_pieces(spreads, changes, opinions.trays[static_cast<std::size_t>(attribute)]);
    for (const Change& change : changes) p_right.push_back(std::max(change.p_right, change.right_pieces_p));
    const std::vector<double> adjusted = stats::holm_adjusted(p_right);
    for (std::size_t i = 0; i < changes.size(); ++i) changes[i].p_right_adjusted = adjusted[i];
    find_leaders(spreads, changes, opinions, question.alpha);
    if (with_likings)
        for (std::size_t s = 0; s < cells.size(); ++s) add_likings(weighed.likings, cells[s], spreads[s]);
    weighed.spreads.insert(weighed.spreads.end(), spreads.begin(), spreads.end());
    weighed.changes.insert(weighed.changes.end(), changes.begin(), changes.end());
}

Weighed weigh_all(const Question& question, const Opinions& opinions, bool with_likings) {
    Weighed weighed;
    for (std::size_t a = 0; a < opinions.attributes.size(); ++a) weigh_attribute(weighed, question, opinions, static_cast<std::int32_t>(a), with_likings);
    adjust(weighed.changes);
    std::vector<double> p_sides;
    for (const Spread& spread : weighed.spreads) p_sides.push_back(std::max(spread.p_side, spread.side_pieces_p));
    const std::vector<double> adjusted = stats::holm_adjusted(p_sides);
    for (std::size_t i = 0; i < adjusted.size(); ++i) weighed.spreads[i].p_side_adjusted = adjusted[i];
    std::vector<double> of_people;
    for (const Spread& spread : weighed.spreads) of_people.push_back(spread.p_side);
    const std::vector<double> people = stats::holm_adjusted(of_people);
    for (std::size_t i = 0; i < people.size(); ++i) weighed.spreads[i].people_adjusted = people[i];
    return weighed;
}

}   // namespace

std::string_view to_text(Sort sort) { return sort == too_little ? "too-little" : sort == right ? "just-right" : "too-much"; }

Sort Change::moved_most() const {
    const auto moved = [&](Sort sort) { return std::abs(in_b[sort] - in_a[sort]); };
    const Sort side = moved(too_little) > moved(too_much) ? too_little : too_much;
    return moved(right) >= moved(side) ? right : side;
}

std::vector<const Spread*> shown_sides(const Question& question, const Weighed& weighed) {
    std::vector<const Spread*> sides;
    for (const Spread& spread : weighed.spreads)
        if (stats::significant(spread.p_side_adjusted, question.alpha)) sides.push_back(&spread);
    std::stable_sort(sides.begin(), sides.end(), [](const Spread* a, const Spread* b) { return std::pair(a->p_side_adjusted, a->p_side) < std::pair(b->p_side_adjusted, b->p_side); });
    return sides;
}

Weighed weigh_levels(const Question& question, const Opinions& opinions) { return weigh_all(question, opinions, false); }

Weighed weigh(const Question& question, const Opinions& opinions) {
    Weighed weighed = weigh_all(question, opinions, true);
    weighed.drops = drops_of(question, opinions);
    return weighed;
}

}   // namespace oddplate::methods::just_right
