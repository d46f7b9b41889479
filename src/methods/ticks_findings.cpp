// Ticks as keys and words.

#include <algorithm>

#include "leads.hpp"
#include "oddplate/stats/binomial.hpp"
#include "ticks.hpp"

namespace oddplate::methods::ticks {
namespace {

using Row = std::vector<Field>;

Field absent(std::string key, const char* why) { return {std::move(key), {}, why}; }
const std::string& at(const std::vector<std::string>& names, int index) { return names[static_cast<std::size_t>(index)]; }

constexpr const char* k_nobody = "nobody had two on a tray";
constexpr const char* k_alike = "everybody ticked it for all of a tray or for none";
constexpr const char* k_no_pieces = "of no recipe were two pieces told apart by it";
constexpr const char* k_none_ticked = "nobody ticked it for one and not for another";

bool held_to_pieces(const Weighed& weighed) {
    return std::any_of(weighed.tests.begin(), weighed.tests.end(), [](const WordTest& test) { return test.pieces_p.has_value(); });
}

/// `pieces`: some word was held against pieces, so every word's row has that key.
Row test_row(const Ticked& ticked, const WordTest& test, bool pieces) {
    Row row{{"word", at(ticked.words, test.word)}};
    if (test.df == 0) {
        const char* const why = ticked.trays.empty() ? k_nobody : k_alike;
        for (const char* key : {"statistic", "p_value", "p_adjusted"}) row.push_back(absent(key, why));
        if (pieces) row.push_back(absent("pieces_p_value", why));
        return row;
    }
    row.insert(row.end(), {{"statistic", test.statistic}, {"p_value", test.p.p}, {"p_adjusted", test.p_adjusted}});
    if (pieces) row.push_back(test.pieces_p ? Field{"pieces_p_value", *test.pieces_p} : absent("pieces_p_value", k_no_pieces));
    return row;
}

Row share_row(const Ticked& ticked, const Share& share) {
    Row row{{"word", at(ticked.words, share.word)}, {"name", at(ticked.samples, share.sample)}, {"ticks", share.ticks}, {"portions", share.trays}, {"people", share.people}};
    if (share.people == 0) {
        for (const char* key : {"share", "lower", "upper"}) row.push_back(absent(key, "it lay on no tray that counts"));
        return row;
    }
    row.insert(row.end(), {{"share", share.share}, {"lower", share.interval.lower}, {"upper", share.interval.upper}});
    return row;
}

Row gap_row(const Ticked& ticked, const Gap& gap) {
    Row row{{"word", at(ticked.words, gap.word)}, {"a", at(ticked.samples, gap.a)}, {"b", at(ticked.samples, gap.b)}, {"people", gap.people}, {"a_only", gap.a_only}, {"b_only", gap.b_only}};
    if (gap.people == 0) {
        for (const char* key : {"difference", "lower", "upper", "p_value", "p_adjusted"}) row.push_back(absent(key, "never on a tray together"));
        return row;
    }
    row.insert(row.end(), {{"difference", gap.difference}, {"lower", gap.interval.lower}, {"upper", gap.interval.upper}});
    if (gap.a_only + gap.b_only == 0) {
        for (const char* key : {"p_value", "p_adjusted"}) row.push_back(absent(key, k_none_ticked));
        return row;
    }
    row.insert(row.end(), {{"p_value", gap.p}, {"p_adjusted", gap.p_adjusted}});
    return row;
}

/// The samples for which the word was ticked most and least.
std::pair<const Share*, const Share*> ends_of(const Weighed& weighed, int word) {
    const Share* most = nullptr;
    const Share* least = nullptr;
    for (const Share& share : weighed.shares) {
        if (share.word != word || share.people == 0) continue;
        if (most == nullptr || share.share > most->share) most = &share;
        if (least == nullptr || share.share < least->share) least = &share;
    }
    return {most, least};
}

/// Every word, the ticked ones first, with the share for each recipe.
core::Sentence word_sentence(const Ticked& ticked, const Weighed& weighed, const WordTest& test) {
    const auto [most, least] = ends_of(weighed, test.word);
    return {"ticks.word",
            {{"word", at(ticked.words, test.word)},
             {"most", at(ticked.samples, most->sample)},
             {"high", most->share},
             {"on_most", most->people},
             {"least", at(ticked.samples, least->sample)},
             {"low", least->share},
             {"on_least", least->people},
             {"q", test.p_adjusted}}};
}

}   // namespace

std::vector<core::Sentence> words_of(const Question& question, const Ticked& ticked, const Weighed& weighed) {
    std::vector<core::Sentence> words;
    if (ticked.trays.empty()) return {{"ticks.nobody", {}}};
    const std::vector<const WordTest*> some = shown(question, weighed);
    std::vector<std::string> names;
    for (const WordTest* test : some) names.push_back(at(ticked.words, test->word));
    words.push_back({"ticks." + std::string(some.empty() ? k_none : k_some),
                     {{"words", leads::names_of(names)}, {"many", static_cast<std::int64_t>(names.size())}, {"n", ticked.tasters()}, {"of", static_cast<std::int64_t>(ticked.words.size())}, {"alpha", question.alpha}}});
    for (const WordTest* test : some) words.push_back(word_sentence(ticked, weighed, *test));
    if (some.empty()) words.push_back({"ticks.not_alike", {}});
    std::vector<std::string> held;
    for (const WordTest& test : weighed.tests)
        if (test.df > 0 && test.pieces_p && stats::significant(test.people_adjusted, question.alpha) && !stats::significant(test.p_adjusted, question.alpha)) held.push_back(at(ticked.words, test.word));
    if (held_to_pieces(weighed)) words.push_back({"pieces.larger", {}});
    if (!held.empty()) words.push_back({"ticks.pieces_hold_back", {{"words", leads::names_of(held)}}});
    return words;
}

Findings findings_of(const Method& method, const Question& question, const Ticked& ticked, const Weighed& weighed) {
    Findings findings;
    findings.add("method", std::string(method.id));
    findings.add("confidence", question.confidence);
    findings.add("tasters", ticked.tasters());
    findings.add("answers", static_cast<std::int64_t>(ticked.trays.size()));
    List tests{"words_ticked", {}}, shares{"ticks", {}}, gaps{"gaps", {}};
    for (const WordTest& test : weighed.tests) tests.rows.push_back(test_row(ticked, test, held_to_pieces(weighed)));
    for (const Share& share : weighed.shares) shares.rows.push_back(share_row(ticked, share));
    for (const Gap& gap : weighed.gaps) gaps.rows.push_back(gap_row(ticked, gap));
    for (List* list : {&tests, &shares, &gaps})
        if (!list->rows.empty()) findings.lists.push_back(std::move(*list));
    findings.verdict = shown(question, weighed).empty() ? k_none : k_some;
    findings.words = words_of(question, ticked, weighed);
    return findings;
}

}   // namespace oddplate::methods::ticks
