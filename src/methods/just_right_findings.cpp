// Levels weighed, as keys.

#include <algorithm>

#include "just_right.hpp"

namespace oddplate::methods::just_right {
namespace {

using Row = std::vector<Field>;

Field absent(std::string key, std::string why) { return {std::move(key), {}, std::move(why)}; }

/// Attribute (null where the table names none) and sample.
Row named_row(const Opinions& opinions, std::int32_t attribute, std::int32_t sample, const char* key = "sample") {
    const std::string& name = opinions.attributes[static_cast<std::size_t>(attribute)];
    return {name.empty() ? absent("attribute", "just_right.why.one_attribute") : Field{"attribute", name}, {key, opinions.samples[static_cast<std::size_t>(sample)]}};
}

Row spread_row(const Opinions& opinions, const Spread& spread) {
    Row row = named_row(opinions, spread.attribute, spread.sample);
    row.insert(row.end(), {{"people", spread.people}, {"answers", spread.answers}, {"too_little", spread.said[too_little]}, {"just_right", spread.said[right]}, {"too_much", spread.said[too_much]}});
    if (spread.people == 0) {
        for (const char* key : {"share_just_right", "lower", "upper", "mean_level"}) row.push_back(absent(key, "just_right.why.nobody"));
    } else {
        row.insert(row.end(), {{"share_just_right", spread.share}, {"lower", spread.interval.lower}, {"upper", spread.interval.upper}, {"mean_level", spread.level}});
    }
    if (spread.said[too_little] + spread.said[too_much] == 0) {
        for (const char* key : {"p_value_side", "p_adjusted_side"}) row.push_back(absent(key, spread.people == 0 ? "just_right.why.nobody" : "just_right.why.nobody_beside"));
    } else {
        row.insert(row.end(), {{"p_value_side", spread.p_side}, {"p_adjusted_side", spread.p_side_adjusted}});
    }
    row.push_back({"leads", spread.leads});
    return row;
}

Row change_row(const Opinions& opinions, const Change& change) {
    Row row = named_row(opinions, change.attribute, change.a, "a");
    row.insert(row.end(), {{"b", opinions.samples[static_cast<std::size_t>(change.b)]}, {"people", change.people}, {"settled", change.settled}});
    if (change.test) {
        row.insert(row.end(), {{"statistic", change.test->statistic}, {"df", change.test->df}});
        row.push_back(change.test->p_exact ? Field{"p_value_exact", *change.test->p_exact} : absent("p_value_exact", "just_right.why.too_many"));
        row.insert(row.end(), {{"p_value", change.test->p_value}, {"p_adjusted", change.p_adjusted}});
    } else {
        for (const char* key : {"statistic", "df", "p_value_exact", "p_value", "p_adjusted"}) row.push_back(absent(key, change.people > 0 && change.settled == 0 ? "just_right.why.nobody_settled" : "just_right.why.nobody_changed"));
    }
    row.insert(row.end(), {{"gained", change.gained}, {"lost", change.lost}, {"net", change.net}, {"p_value_just_right", change.p_right}, {"p_adjusted_just_right", change.p_right_adjusted}});
    return row;
}

Row liking_row(const Opinions& opinions, const Liking& liking) {
    Row row = named_row(opinions, liking.attribute, liking.sample);
    row.insert(row.end(), {{"level", std::string(to_text(liking.sort))}, {"people", liking.people}, {"mean", liking.mean}, {"pull", liking.pull}});
    return row;
}

Row drop_row(const Opinions& opinions, const Drop& drop) {
    Row row = named_row(opinions, drop.attribute, drop.sample);
    row.insert(row.end(), {{"side", std::string(to_text(drop.side))}, {"people", drop.people}});
    row.push_back(drop.of == 0 ? absent("share", drop.why) : Field{"share", drop.share()});
    if (!drop.p) {
        for (const char* key : {"drop", "lower", "upper", "p_value", "p_adjusted"}) row.push_back(absent(key, drop.why));
        return row;
    }
    row.push_back({"drop", drop.drop()});
    row.push_back(drop.interval ? Field{"lower", drop.interval->lower} : absent("lower", "just_right.why.no_spread"));
    row.push_back(drop.interval ? Field{"upper", drop.interval->upper} : absent("upper", "just_right.why.no_spread"));
    row.insert(row.end(), {{"p_value", drop.p->p}, {"p_adjusted", drop.p_adjusted}});
    return row;
}

std::int64_t tasters_in(const Opinions& opinions) {
    std::vector<bool> said(opinions.tasters.size(), false);
    for (const Opinion& one : opinions.rows) said[static_cast<std::size_t>(one.taster)] = true;
    return std::count(said.begin(), said.end(), true);
}

}   // namespace

Findings findings_of(const Method& method, const Question& question, const Opinions& opinions, const Weighed& weighed) {
    Findings findings;
    findings.add("method", std::string(method.id));
    findings.add("confidence", question.confidence);
    findings.add("tasters", tasters_in(opinions));
    findings.add("answers", static_cast<std::int64_t>(opinions.rows.size()));
    if (opinions.left_out > 0) findings.add("left_out", opinions.left_out);
    List spreads{"distribution", {}}, changes{"changes", {}}, likings{"liking", {}}, drops{"drops", {}};
    for (const Spread& spread : weighed.spreads) spreads.rows.push_back(spread_row(opinions, spread));
    for (const Change& change : weighed.changes) changes.rows.push_back(change_row(opinions, change));
    for (const Liking& liking : weighed.likings) likings.rows.push_back(liking_row(opinions, liking));
    for (const Drop& drop : weighed.drops) drops.rows.push_back(drop_row(opinions, drop));
    for (List* list : {&spreads, &changes, &likings, &drops})
        if (!list->rows.empty()) findings.lists.push_back(std::move(*list));
    findings.words = words_of(question, opinions, weighed);
    return findings;
}

}   // namespace oddplate::methods::just_right
