// Levels weighed, in sentences. A drop 'goes with' lower liking: people who find it too salty may like such things less anyway.

#include <algorithm>

#include "just_right.hpp"
#include "oddplate/stats/binomial.hpp"

namespace oddplate::methods::just_right {
namespace {

using Args = std::map<std::string, core::Argument>;

const std::string& name_of(const Opinions& opinions, std::int32_t sample) { return opinions.samples[static_cast<std::size_t>(sample)]; }
const std::string& attribute_of(const Opinions& opinions, std::int32_t attribute) { return opinions.attributes[static_cast<std::size_t>(attribute)]; }

/// Where the table names what was asked about, sentences do too. `several`: people may have several answers, which only a round has, and it names what it asks about.
core::Sentence about(const Opinions& opinions, std::int32_t attribute, const std::string& id, Args args, bool several = false) {
    const std::string& name = attribute_of(opinions, attribute);
    if (name.empty()) return {id + ".plain", std::move(args)};
    args.emplace("attribute", name);
    return {several ? id + ".several" : id, std::move(args)};
}

constexpr std::ptrdiff_t k_most_spreads = 6, k_most_changes = 4;   // sentences; tables hold the rest

/// Each count by itself while they are few, else a line an attribute, the most often just right first.
void say_spreads(std::vector<core::Sentence>& words, const Opinions& opinions, const Weighed& weighed) {
    const auto tasted = [](const Spread& spread) { return spread.people > 0; };
    const bool several = weighed.several();
    const bool few = std::count_if(weighed.spreads.begin(), weighed.spreads.end(), tasted) <= k_most_spreads;
    for (const Spread& spread : weighed.spreads)
        if (few && tasted(spread))
            words.push_back(about(opinions, spread.attribute, "just_right.spread",
                                  {{"sample", name_of(opinions, spread.sample)},
                                   {"n", spread.answers},
                                   {"people", spread.people},
                                   {"little", spread.said[too_little]},
                                   {"right", spread.said[right]},
                                   {"much", spread.said[too_much]}},
                                  several));
    for (std::int32_t attribute = 0; !few && attribute < static_cast<std::int32_t>(opinions.attributes.size()); ++attribute) {
        std::vector<const Spread*> mine;
        for (const Spread& spread : weighed.spreads)
            if (spread.attribute == attribute && tasted(spread)) mine.push_back(&spread);
        std::stable_sort(mine.begin(), mine.end(), [](const Spread* a, const Spread* b) { return a->share > b->share; });
        std::vector<std::string> told;
        for (const Spread* spread : mine) told.push_back(name_of(opinions, spread->sample) + " " + std::to_string(spread->said[right]) + " of " + std::to_string(spread->answers));
        if (!told.empty()) words.push_back(about(opinions, attribute, "just_right.spreads", {{"list", leads::names_of(told)}}, several));
    }
}

void say_changes(std::vector<core::Sentence>& words, const Question& question, const Opinions& opinions, const Weighed& weighed) {
    bool tested = false, right_shown = false;   // where just right or not is shown to change, the answers do
    std::vector<const Change*> shown;
    for (const Change& change : weighed.changes) {
        tested = tested || change.people > 0;
        right_shown = right_shown || stats::significant(change.p_right_adjusted, question.alpha);
        if (change.test && stats::significant(change.p_adjusted, question.alpha)) shown.push_back(&change);
    }
    std::stable_sort(shown.begin(), shown.end(), [](const Change* a, const Change* b) { return a->p_adjusted < b->p_adjusted; });
    const auto said = std::min(std::ssize(shown), k_most_changes);
    for (std::ptrdiff_t i = 0; i < said; ++i) {
        const Change& change = *shown[static_cast<std::size_t>(i)];
        const Sort sort = change.moved_most();
        words.push_back(about(opinions, change.attribute, "just_right.change." + std::string(to_text(sort)),
                              {{"a", name_of(opinions, change.a)},
                               {"b", name_of(opinions, change.b)},
                               {"n", change.settled},
                               {"in_a", change.in_a[sort]},
                               {"in_b", change.in_b[sort]},
                               {"p", change.p_adjusted}},
                              weighed.several()));
    }
    if (std::ssize(shown) > said) words.push_back({"just_right.more_changes", {{"n", static_cast<std::int64_t>(std::ssize(shown) - said)}}});
    if (tested && shown.empty() && !right_shown) words.push_back({"just_right.no_change", {}});
}

/// What the answers show of these very pieces, though not of the recipes.
void say_held_back(std::vector<core::Sentence>& words, const Question& question, const Opinions& opinions, const Weighed& weighed) {
    std::vector<std::string> what;
    const auto add = [&](const std::string& name) {
        if (std::find(what.begin(), what.end(), name) == what.end()) what.push_back(name);
    };
    const auto held = [&](double of_people, double claimed) { return stats::significant(of_people, question.alpha) && !stats::significant(claimed, question.alpha); };
    for (const Change& change : weighed.changes)
        if (held(change.people_adjusted, change.p_adjusted)) add(attribute_of(opinions, change.attribute));
    for (const Spread& spread : weighed.spreads)
        if (held(spread.people_adjusted, spread.p_side_adjusted)) add(attribute_of(opinions, spread.attribute));
    if (!opinions.trays.empty()) words.push_back({"pieces.larger", {}});
    if (!what.empty()) words.push_back({"just_right.pieces_hold_back", {{"what", leads::names_of(what)}}});
}

void say_sides(std::vector<core::Sentence>& words, const Question& question, const Opinions& opinions, const Weighed& weighed) {
    for (const Spread* spread : shown_sides(question, weighed))
        words.push_back(about(opinions, spread->attribute, "just_right.side." + std::string(to_text(spread->side())),
                              {{"sample", name_of(opinions, spread->sample)},   // answers, as the test weighs them: a few who say it on every tray may outweigh more who say the other once
                               {"n", spread->people},
                               {"answers", spread->answers},
                               {"little", spread->said[too_little]},
                               {"much", spread->said[too_much]},
                               {"p", spread->p_side_adjusted}},
                              weighed.several()));
}

/// Some want more and some less, each of them many enough to be compared: told, not tested, since what one changes for the ones the others lose.
void say_two_ways(std::vector<core::Sentence>& words, const Question& question, const Opinions& opinions, const Weighed& weighed) {
    const std::vector<const Spread*> sides = shown_sides(question, weighed);   // where most lean one way, that has been said, and an average does say something
    for (const Spread& spread : weighed.spreads) {
        const auto enough = [&](std::int64_t people) { return people >= k_least_people && static_cast<double>(people) >= k_least_share * static_cast<double>(spread.people); };
        const bool leans = std::find(sides.begin(), sides.end(), &spread) != sides.end();
        if (enough(spread.little) && enough(spread.much))
            words.push_back(about(opinions, spread.attribute, leans ? "just_right.two_ways_leaning" : "just_right.two_ways", {{"sample", name_of(opinions, spread.sample)}, {"n", spread.people}, {"little", spread.little}, {"much", spread.much}}, weighed.several()));
    }
}

/// One has too much of it, another too little: what is right lies between them.
void say_between(std::vector<core::Sentence>& words, const Question& question, const Opinions& opinions, const Weighed& weighed) {
    const std::vector<const Spread*> sides = shown_sides(question, weighed);
    for (const Spread* much : sides)
        for (const Spread* little : sides)
            if (much->attribute == little->attribute && much->side() == too_much && little->side() == too_little)
                words.push_back(about(opinions, much->attribute, "just_right.between", {{"much", name_of(opinions, much->sample)}, {"little", name_of(opinions, little->sample)}}));
}

/// What became of those who said two things as often: which sort is theirs can't be told.
void say_torn(std::vector<core::Sentence>& words, const Torn& torn) {
    const std::int64_t all = torn.beside + torn.apart;
    if (all == 0) return;
    words.push_back({torn.apart == 0 ? "just_right.torn.beside" : torn.beside == 0 ? "just_right.torn.apart" : "just_right.torn", {{"n", all}, {"beside", torn.beside}, {"apart", torn.apart}}});
}

void say_drops(std::vector<core::Sentence>& words, const Question& question, const Opinions& opinions, const Weighed& weighed) {
    bool compared = false, any = false;
    std::vector<Drop> drops = weighed.drops;   // what costs most liking over all people comes first
    std::stable_sort(drops.begin(), drops.end(), [](const Drop& a, const Drop& b) { return (a.p ? a.drop() * a.share() : 0) > (b.p ? b.drop() * b.share() : 0); });
    for (const Drop& drop : drops) {
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
    say_two_ways(words, question, opinions, weighed);
    say_between(words, question, opinions, weighed);
    say_drops(words, question, opinions, weighed);
    say_changes(words, question, opinions, weighed);
    say_held_back(words, question, opinions, weighed);
    say_spreads(words, opinions, weighed);
    say_torn(words, weighed.torn);
    return words;
}

}   // namespace oddplate::methods::just_right
