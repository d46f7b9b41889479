// Levels weighed, in sentences. A drop 'goes with' lower liking: people who find it too salty may like such things less anyway.

#include <algorithm>

#include "just_right.hpp"
#include "oddplate/stats/binomial.hpp"

namespace oddplate::methods::just_right {
namespace {

using Args = std::map<std::string, core::Argument>;

const std::string& name_of(const Opinions& opinions, std::int32_t sample) { return opinions.samples[static_cast<std::size_t>(sample)]; }
const std::string& attribute_of(const Opinions& opinions, std::int32_t attribute) { return opinions.attributes[static_cast<std::size_t>(attribute)]; }

/// Where the table names what was asked about, sentences do too.
core::Sentence about(const Opinions& opinions, std::int32_t attribute, const std::string& id, Args args) {
    const std::string& name = attribute_of(opinions, attribute);
    if (name.empty()) return {id + ".plain", std::move(args)};
    args.emplace("attribute", name);
    return {id, std::move(args)};
}

void say_spreads(std::vector<core::Sentence>& words, const Opinions& opinions, const Weighed& weighed) {
    for (const Spread& spread : weighed.spreads) {
        if (spread.all() == 0) continue;
        words.push_back(about(opinions, spread.attribute, "just_right.spread",
                              {{"sample", name_of(opinions, spread.sample)},
                               {"n", spread.all()},
                               {"little", spread.people[too_little]},
                               {"right", spread.people[right]},
                               {"much", spread.people[too_much]}}));
    }
}

void say_changes(std::vector<core::Sentence>& words, const Question& question, const Opinions& opinions, const Weighed& weighed) {
    bool any = false, tested = false;
    for (const Change& change : weighed.changes) {
        tested = tested || change.people > 0;
        if (!change.test || !stats::significant(change.p_adjusted, question.alpha)) continue;
        any = true;
        words.push_back(about(opinions, change.attribute, "just_right.change",
                              {{"a", name_of(opinions, change.a)},
                               {"b", name_of(opinions, change.b)},
                               {"n", change.people},
                               {"gained", change.gained},
                               {"lost", change.lost},
                               {"p", change.p_adjusted}}));
    }
    if (tested && !any) words.push_back({"just_right.no_change", {}});
}

/// What the answers show of these very pieces, though not of the recipes.
void say_held_back(std::vector<core::Sentence>& words, const Question& question, const Opinions& opinions, const Weighed& weighed) {
    std::vector<std::string> what;
    const auto add = [&](const std::string& name) {
        if (std::find(what.begin(), what.end(), name) == what.end()) what.push_back(name);
    };
    const auto held = [&](double p, double of_pieces) { return stats::significant(p, question.alpha) && !stats::significant(of_pieces, question.alpha) && of_pieces > 0; };
    for (const Change& change : weighed.changes)
        if (held(change.p_right, change.right_pieces_p)) add(attribute_of(opinions, change.attribute));
    for (const Spread& spread : weighed.spreads)
        if (held(spread.p_side, spread.side_pieces_p)) add(attribute_of(opinions, spread.attribute));
    if (!what.empty()) words.push_back({"just_right.pieces_hold_back", {{"what", leads::names_of(what)}}});
}

void say_sides(std::vector<core::Sentence>& words, const Question& question, const Opinions& opinions, const Weighed& weighed) {
    for (const Spread* spread : shown_sides(question, weighed))
        words.push_back(about(opinions, spread->attribute, "just_right.side." + std::string(to_text(spread->side())),
                              {{"sample", name_of(opinions, spread->sample)},
                               {"n", spread->all()},
                               {"little", spread->people[too_little]},
                               {"much", spread->people[too_much]},
                               {"p", spread->p_side_adjusted}}));
}

void say_drops(std::vector<core::Sentence>& words, const Question& question, const Opinions& opinions, const Weighed& weighed) {
    bool compared = false, any = false;
    for (const Drop& drop : weighed.drops) {
        compared = compared || drop.p;
        if (!drop.p || !drop.interval || !stats::significant(drop.p_adjusted, question.alpha)) continue;
        if (drop.interval->lower <= 0 && drop.interval->upper >= 0) continue;   // what its own limits don't bear out is not said
        any = true;
        const std::string id = std::string(drop.drop() > 0 ? "just_right.drop." : "just_right.rise.") + std::string(to_text(drop.side));
        const bool lower = drop.drop() > 0;
        words.push_back(about(opinions, drop.attribute, id,
                              {{"sample", name_of(opinions, drop.sample)},
                               {"n", drop.people},
                               {"share", drop.share()},
                               {"drop", lower ? drop.drop() : -drop.drop()},
                               {"lo", lower ? drop.interval->lower : -drop.interval->upper},
                               {"hi", lower ? drop.interval->upper : -drop.interval->lower},
                               {"p", drop.p_adjusted}}));
    }
    if (any) words.push_back({"just_right.not_proof", {}});
    else if (compared) words.push_back({"just_right.no_drop", {}});
    else words.push_back({"just_right.no_sides", {{"least", k_least_people}, {"share", k_least_share}}});
}

}   // namespace

std::vector<core::Sentence> words_of(const Question& question, const Opinions& opinions, const Weighed& weighed) {
    std::vector<core::Sentence> words;
    if (opinions.rows.empty()) {
        words.push_back({"right.no_answers", {}});
        return words;
    }
    say_sides(words, question, opinions, weighed);
    say_drops(words, question, opinions, weighed);
    say_changes(words, question, opinions, weighed);
    say_held_back(words, question, opinions, weighed);
    say_spreads(words, opinions, weighed);
    return words;
}

}   // namespace oddplate::methods::just_right
