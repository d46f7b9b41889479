// What was weighed, as keys.

#include <algorithm>
#include <cmath>

#include "oddplate/core/text.hpp"
#include "oddplate/stats/taster_ratings.hpp"
#include "ratings.hpp"

namespace oddplate::methods::ratings {
namespace {

using Row = std::vector<Field>;

const std::string& name_of(const Scoring& scoring, std::int32_t sample) { return scoring.samples[static_cast<std::size_t>(sample)]; }

Field absent(std::string key, std::string why) { return {std::move(key), {}, std::move(why)}; }

Field finite(std::string key, double value, const char* why) {
    return std::isfinite(value) ? Field{std::move(key), value} : absent(std::move(key), why);
}

void add_samples(Findings& findings, const Scoring& scoring, const Weighed& weighed) {
    std::vector<std::int64_t> scores(scoring.samples.size(), 0);
    for (const stats::Rating& rating : scoring.ratings) ++scores[static_cast<std::size_t>(rating.sample)];
    List list{"samples", {}};
    for (std::size_t s = 0; s < scoring.samples.size(); ++s) {
        Row row{{"name", scoring.samples[s]}, {"scores", scores[s]}};
        if (weighed.model) {
            const stats::SampleMean& sample = weighed.model->samples[s];
            row.insert(row.end(), {{"mean", sample.mean}, {"lower", sample.limits.lower}, {"upper", sample.limits.upper}});
        } else {
            row.push_back(weighed.means[s] ? Field{"mean", *weighed.means[s]} : absent("mean", "ratings.why.unscored"));
            row.push_back(absent("lower", weighed.why));
            row.push_back(absent("upper", weighed.why));
        }
        row.push_back(weighed.leads.empty() ? absent("leads", weighed.why) : Field{"leads", bool(weighed.leads[s])});
        if (!scoring.withdrawn.empty()) row.push_back({"ran_out", scoring.ran_out(s)});
        list.rows.push_back(std::move(row));
    }
    findings.lists.push_back(std::move(list));
}

Row pair_row(const Scoring& scoring, const Weighed& weighed, const stats::SamplePair& pair) {
    Row row{{"a", name_of(scoring, pair.a)},
            {"b", name_of(scoring, pair.b)},
            {"difference", pair.test.estimate},
            {"lower", pair.limits.lower},
            {"upper", pair.limits.upper}};
    if (!weighed.model->test) {
        row.push_back(absent("p_value", weighed.why));
        row.push_back(absent("p_adjusted", weighed.why));
        return row;
    }
    row.insert(row.end(), {{"p_value", pair.test.p_value}, {"p_adjusted", pair.p_adjusted}});
    if (weighed.model->family == stats::MaxTKind::integrated) row.push_back({"p_error", pair.p_error});
    return row;
}

void add_odds(Row& row, const Ordered& ordered, const stats::SamplePair& pair, std::size_t index) {
    constexpr const char* k_unbounded = "ratings.why.unbounded";
    row.push_back(finite("odds_ratio", std::exp(ordered.log_odds[static_cast<std::size_t>(pair.a)] - ordered.log_odds[static_cast<std::size_t>(pair.b)]), k_unbounded));
    if (const auto& limits = ordered.odds[index]) {
        row.push_back({"odds_ratio_lower", std::exp(limits->lower)});
        row.push_back(finite("odds_ratio_upper", std::exp(limits->upper), k_unbounded));
    } else {
        row.push_back(absent("odds_ratio_lower", "ratings.why.many_pairs"));
        row.push_back(absent("odds_ratio_upper", "ratings.why.many_pairs"));
    }
}

void add_pairs(Findings& findings, const Scoring& scoring, const Weighed& weighed) {
    List pairs{"pairs", {}}, against{"against", {}};
    if (!weighed.model) {
        findings.add("pairs", {}, weighed.why);
        if (scoring.control) findings.add("against", {}, weighed.why);
        return;
    }
    for (std::size_t i = 0; i < weighed.model->pairs.size(); ++i) {
        Row row = pair_row(scoring, weighed, weighed.model->pairs[i]);
        if (weighed.ordered) add_odds(row, *weighed.ordered, weighed.model->pairs[i], i);
        pairs.rows.push_back(std::move(row));
    }
    findings.lists.push_back(std::move(pairs));
    for (const stats::SamplePair& pair : weighed.model->against) against.rows.push_back(pair_row(scoring, weighed, pair));
    if (scoring.control) findings.lists.push_back(std::move(against));
}

void add_test(Findings& findings, const std::string& key, const std::optional<stats::OverallTest>& test, const std::string& why) {
    if (!test) {
        findings.add(key, {}, why);
        return;
    }
    findings.add(key + ".f", test->f);
    findings.add(key + ".df1", test->df1);
    findings.add(key + ".df2", test->df2);
    findings.add(key + ".p_value", test->p_value);
}

void add_scatter(Findings& findings, const Weighed& weighed) {
    if (!weighed.model) {
        findings.add("variance", {}, weighed.why);
        return;
    }
    const std::vector<stats::ScatterPart>& scatter = weighed.model->scatter;
    if (scatter.front().what != stats::ScatterOf::taster) findings.add("variance.taster", {}, "ratings.why.one_score");
    List list{"scatter", {}};
    for (const stats::ScatterPart& part : scatter) {
        const std::string what(to_text(part.what));
        findings.add("variance." + what, part.deviation * part.deviation);
        Row row{{"of", what}, {"deviation", part.deviation}};
        row.push_back(part.limits ? Field{"lower", part.limits->lower} : absent("lower", "ratings.why.too_many_for_limits"));
        row.push_back(part.limits ? finite("upper", part.limits->upper, "ratings.why.unbounded") : absent("upper", "ratings.why.too_many_for_limits"));
        list.rows.push_back(std::move(row));
    }
    findings.lists.push_back(std::move(list));
}

void add_ordered(Findings& findings, const Weighed& weighed) {
    if (!weighed.ordered) {
        findings.add("ordered", {}, weighed.why_not_ordered);
        return;
    }
    const Ordered& ordered = *weighed.ordered;
    if (ordered.test) {
        findings.add("ordered.statistic", ordered.test->statistic);
        findings.add("ordered.df", ordered.test->df);
        findings.add("ordered.p_value", ordered.test->bootstrap.p);
        findings.add("ordered.p_value_chi_square", ordered.test->p_value);
        findings.add("ordered.tables_drawn", ordered.test->bootstrap.draws);
    } else {
        findings.add("ordered.p_value", {}, "ratings.why.more_scatter");
        findings.add("ordered.leaves_out", core::joined(ordered.left_out, "; "));
    }
    findings.add("ordered.taster_deviation", ordered.fit.deviation);
}

/// Only where somebody repeated a sample: with one score a sample a taster is told from the samples by nothing.
void add_tasters(Findings& findings, const Scoring& scoring) {
    const auto tasters = stats::taster_ratings(scoring.ratings, static_cast<std::int32_t>(scoring.samples.size()), static_cast<std::int32_t>(scoring.tasters.size()));
    List list{"per_taster", {}};
    bool any = false;
    for (const stats::TasterRatings& one : tasters) {
        any = any || one.repeat_deviation;
        Row row{{"taster", scoring.tasters[static_cast<std::size_t>(one.taster)]}, {"mean", one.mean}};
        row.push_back(one.telling ? Field{"discrimination_f", one.telling->f} : absent("discrimination_f", "ratings.why.no_own_repeats"));
        row.push_back(one.telling ? Field{"discrimination_p", one.telling->p_value} : absent("discrimination_p", "ratings.why.no_own_repeats"));
        row.push_back(one.repeat_deviation ? Field{"repeatability", *one.repeat_deviation} : absent("repeatability", "ratings.why.no_own_repeats"));
        row.push_back(one.agreement ? Field{"agreement", *one.agreement} : absent("agreement", "ratings.why.no_agreement"));
        list.rows.push_back(std::move(row));
    }
    if (any) findings.lists.push_back(std::move(list));
}

std::int64_t tasters_in(const Scoring& scoring) {
    std::vector<bool> scored(scoring.tasters.size(), false);
    for (const stats::Rating& rating : scoring.ratings) scored[static_cast<std::size_t>(rating.taster)] = true;
    return std::count(scored.begin(), scored.end(), true);
}

void add_warnings(Findings& findings, const stats::RatingModel& model) {
    for (const stats::RatingNote note : model.notes)
        if (note != stats::RatingNote::no_repeats && note != stats::RatingNote::no_variance_limits) findings.warnings.emplace_back(to_text(note));
    for (const stats::ScatterPart& part : model.scatter)
        if (part.boundary) findings.warnings.push_back("no_scatter_of_" + std::string(to_text(part.what)));
}

}   // namespace

Findings findings_of(const Method& method, const Question& question, const Scoring& scoring, const Weighed& weighed) {
    Findings findings;
    findings.verdict = weighed.verdict;
    findings.add("method", std::string(method.id));
    add_test(findings, "test", weighed.model ? weighed.model->test : std::nullopt, weighed.why);
    add_scatter(findings, weighed);
    add_samples(findings, scoring, weighed);
    add_pairs(findings, scoring, weighed);
    if (scoring.has_positions)
        add_test(findings, "position", weighed.model ? weighed.model->position : std::nullopt, weighed.model ? "ratings.why.position" : weighed.why);
    if (question.carry_over)
        add_test(findings, "carry_over", weighed.model ? weighed.model->carry_over : std::nullopt, weighed.model ? "ratings.why.carry_over" : weighed.why);
    add_ordered(findings, weighed);
    findings.add("confidence", question.confidence);
    findings.add("intervals", std::string("all samples, or all pairs, at once"));
    findings.add_optional("could_show.difference", weighed.could_show, weighed.why);
    findings.add("could_show.chance", k_could_show_power);
    leads::add_split(findings, weighed.split.value_or(leads::Split{}));
    findings.add("tasters", tasters_in(scoring));
    findings.add("answers", static_cast<std::int64_t>(scoring.ratings.size()));
    if (scoring.left_out > 0) findings.add("left_out", scoring.left_out);
    add_tasters(findings, scoring);
    findings.score_looks = looks_of(scoring);
    if (weighed.model) add_warnings(findings, *weighed.model);
    findings.words = words_of(question, scoring, weighed);
    return findings;
}

}   // namespace oddplate::methods::ratings
