// Judging: join, tally, let the method weigh, look at the checks, say it. The verdict is the method's own by the plan's rule;
// what is added here is what holds for every method alike.

#include "oddplate/judge/judge.hpp"

#include <algorithm>
#include <cmath>
#include <utility>

#include "checks.hpp"
#include "draw_law.hpp"
#include "joining.hpp"
#include "oddplate/core/text.hpp"
#include "reasons.hpp"
#include "variants.hpp"

namespace oddplate::judge {
namespace {

Tally tally_of(const RoundSets& sets) {
    Tally tally;
    for (const JoinedSet* set : sets) {
        ++tally.dealt;
        switch (set->fate) {
            case Fate::counted:
                ++tally.counted;
                break;
            case Fate::undecided:
                ++tally.undecided;
                break;
            case Fate::blank:
                ++tally.blank;
                break;
            case Fate::void_:
                ++tally.void_;
                break;
            case Fate::not_served:
                ++tally.not_served;
                break;
            case Fate::missing:
                ++tally.missing;
                break;
            case Fate::insider:
                ++tally.insiders;
                break;
            case Fate::opened:
                ++tally.opened;
                break;
            case Fate::late:
                ++tally.late;
                break;
        }
    }
    return tally;
}

void say_worst_case(JudgedRound& judged) {
    const auto find = [&](std::string_view id) {
        return std::find_if(judged.variants.begin(), judged.variants.end(),
                            [&](const Variant& variant) { return variant.id == id; });
    };
    const auto high = find("missing_high"), low = find("missing_low");
    if (high == judged.variants.end() || low == judged.variants.end()) return;
    const bool holds = high->verdict == judged.findings.verdict && low->verdict == judged.findings.verdict;
    judged.findings.words.push_back(
        {holds ? "judge.worst_case.holds" : "judge.worst_case.turns", {{"n", std::int64_t{high->answers}}}});
}

void say_pieces(JudgedRound& judged, const methods::Method& method, const methods::Plan& plan) {
    if (judged.tally.counted == 0) return;
    if (plan.pieces >= 2) {
        judged.findings.words.push_back({"judge.pieces", {{"n", std::int64_t{plan.pieces}}}});
        if (plan.lots() > 1) judged.findings.words.push_back({"judge.pieces.lots", {}});
    } else {
        // A claim has its limit right behind it, not at the end of the page.
        const bool claims = method.claims_difference(judged.findings.verdict);
        const std::string id = claims ? "judge.one_piece.differ" : "judge.one_piece";
        auto& words = judged.findings.words;
        words.insert(claims && !words.empty() ? words.begin() + 1 : words.end(), {plan.versions.size() > 2 ? id + ".several" : id, {}});
    }
}

/// What to do comes right after what was found, and its limits; the rest is for who wants to know why.
void put_next_early(std::vector<core::Sentence>& words) {
    const auto next = std::find_if(words.begin(), words.end(), [](const core::Sentence& one) { return one.id.find(".next.") != std::string::npos; });
    if (next == words.end()) return;
    auto place = words.begin() + 1;
    while (place < next && (place->id.starts_with("judge.one_piece") || place->id == "trays.always_last" || methods::says_ran_out(*place))) ++place;
    if (place < next) std::rotate(place, next, next + 1);
}

void say_blanks(JudgedRound& judged, const methods::Method& method, double alpha) {
    if (!judged.blanks || !judged.blanks->p_value) return;
    const Blanks& found = *judged.blanks;
    judged.findings.words.push_back({"judge.blanks",
                                     {{"k", found.right}, {"n", found.sets}, {"recipe_k", found.recipe_right}, {"recipe_n", found.recipe_sets}, {"p", *found.p_value}}});
    if (*found.p_value <= alpha) judged.findings.words.push_back({"judge.blanks.recipes", {}});
    else if (method.claims_difference(judged.findings.verdict)) judged.findings.words.push_back({"judge.blanks.pieces", {}});
}

/// By the tasters' numbers: the nickname, or the ballot of one who has none.
std::vector<std::string> names_of(const Case& subject, const RoundSets& sets) {
    std::vector<std::string> names;
    for (const JoinedSet* set : sets) {
        const auto taster = static_cast<std::size_t>(set->seen.taster);
        if (taster >= names.size()) names.resize(taster + 1);
        if (!names[taster].empty()) continue;
        const std::string name = core::trimmed(subject.tasters[static_cast<std::size_t>(set->ballot)]);
        names[taster] = name.empty() ? subject.plan.ballot_name(set->ballot) : name;
    }
    return names;
}

/// Who could not choose where an answer is right or wrong: what he would change.
void say_undecided(JudgedRound& judged, const methods::Method& method, const methods::Round& asked, const RoundSets& sets) {
    if (method.add_undecided == nullptr || !method.may_abstain(asked)) return;
    std::vector<std::int64_t> undecided(asked.spots.size(), 0);
    for (const JoinedSet* set : sets)
        if (set->fate == Fate::undecided) ++undecided[static_cast<std::size_t>(set->seen.spot)];
    method.add_undecided(method, undecided, asked, judged.findings);
}

/// The warning of a check whose name says what should be.
std::string warning_of(const std::string& check) {
    if (check == "enough_tasters") return "too_few_tasters";
    if (check == "orders_balanced") return "orders_uneven";
    return check;
}

/// A difference, or that few enough notice: whatever could have been missed, this was not.
bool is_shown(const methods::Method& method, std::string_view verdict) {
    return method.claims_difference(verdict) || verdict == "close-enough";
}

/// What was shown was not missed: the warning stays, its words don't say more than that fewer came than were planned for.
void forgive_few(methods::RoundFindings& findings) {
    for (methods::Check& check : findings.checks) {
        if (check.words.id == "judge.people.too_few") check.words.id = "judge.people.fewer";
        if (check.words.id == "judge.people.short") check.words.id = "judge.people.came";
    }
}

void raise_alarms(methods::RoundFindings& findings) {
    for (const methods::Check& check : findings.checks) {
        if (!check.alarm) continue;
        findings.warnings.push_back(warning_of(check.id));
        findings.words.push_back(check.words);
    }
}

/// Right after the p-value that it stands beside: that of a difference, which is not `p_value` where similarity is asked for.
void put_draw_p(methods::Findings& findings, const DrawP& found) {
    const auto key_at = [&](std::string_view key) {
        return std::find_if(findings.fields.begin(), findings.fields.end(), [&](const methods::Field& field) { return field.key == key; });
    };
    auto at = key_at("p_value_different");
    if (at == findings.fields.end()) at = key_at("p_value");
    if (at == findings.fields.end()) return;
    methods::Field field{"p_value_draw", {}, found.why};
    if (found.p) field.value = *found.p;
    at = findings.fields.insert(at + 1, std::move(field));
    if (!found.p) return;
    std::vector<methods::Field> beside{{"p_value_draw_found", found.found}};
    if (found.draws > 0) beside.insert(beside.end(), {{"p_value_draw_error", found.error}, {"p_value_draw_draws", found.draws}});
    findings.fields.insert(at + 1, beside.begin(), beside.end());
}

/// By the p of a difference. A draw too coarse to reach alpha at all contradicts nothing, nor does a p that its draws can't tell from alpha (95 %).
bool on_different_sides(const methods::Findings& findings, const DrawP& found, double alpha) {
    const auto different = findings.number("p_value_different");
    const auto plain = different ? different : findings.number("p_value");
    if (!plain || !found.p) return false;
    const bool is_plain = *plain <= alpha, is_drawn = *found.p <= alpha;
    const bool is_clear = std::abs(*found.p - alpha) > 1.96 * found.error;
    return is_clear && is_plain != is_drawn && !(is_plain && found.smallest > alpha);
}

/// The p-value over the draws that could have been, beside the plain one; a warning where they fall on different sides of alpha.
void add_draw_p(JudgedRound& judged, const std::vector<DrawP>& found, double alpha) {
    if (found.empty()) return;
    methods::RoundFindings& findings = judged.findings;
    bool apart = judged.decide_on == methods::DecideOn::overall && on_different_sides(findings.pooled, found.back(), alpha);
    for (std::size_t spot = 0; spot < findings.spots.size(); ++spot) {
        if (judged.decide_on != methods::DecideOn::overall) apart = apart || on_different_sides(findings.spots[spot].findings, found[spot], alpha);
        put_draw_p(findings.spots[spot].findings, found[spot]);
    }
    put_draw_p(findings.pooled, found.back());
    if (!apart) return;
    findings.warnings.emplace_back("draw_disagrees");
    findings.words.push_back({"judge.draw_disagrees", {}});
}

JudgedRound judge_round(const Case& subject, const Joined& joined, int round) {
    RoundSets sets, blanks;
    for (const JoinedSet& set : joined.sets)
        if (set.round == round) (joined.key_of(set).is_blank() ? blanks : sets).push_back(&set);
    const auto index = static_cast<std::size_t>(round);
    const methods::Round& asked = subject.plan.rounds[index];
    const methods::Method& method = *joined.methods[index];

    JudgedRound judged;
    judged.round = round;
    judged.method = method.id;
    judged.decide_on = asked.decide_on;
    judged.alpha = asked.alpha;
    judged.tally = tally_of(sets);
    const std::vector<methods::Observation> observations = observations_of(sets);
    judged.findings = method.analyse(method, observations, asked, subject.plan);
    if (method.add_tasters != nullptr) method.add_tasters(method, observations, names_of(subject, sets), asked, judged.findings);
    say_undecided(judged, method, asked, sets);
    judged.pieces = pieces_of(subject, joined, sets);
    judged.scale = method.scale;
    judged.variants = variants_of(subject, joined, round, sets, judged.tally);

    RoundSets counted;
    std::copy_if(sets.begin(), sets.end(), std::back_inserter(counted),
                 [](const JoinedSet* set) { return set->fate == Fate::counted; });
    const CheckedRound checked{subject, joined, round, counted, judged.tally};
    judged.findings.checks = checks_of(checked);
    judged.adjusted = adjusted_of(checked);
    judged.picks = picks_by_place(checked);
    judged.sitting = right_by_place(checked);
    add_draw_p(judged, p_over_draws(subject, joined, round, counted), asked.alpha);
    say_pieces(judged, method, subject.plan);
    if (asked.blank_sets > 0) judged.blanks = blanks_of(method, sets, blanks);
    say_blanks(judged, method, asked.alpha);
    add_reasons(checked, judged.findings);
    say_worst_case(judged);
    if (method.scale == methods::Scale::each) put_next_early(judged.findings.words);   // reports on several recipes are long
    if (is_shown(method, judged.findings.verdict)) forgive_few(judged.findings);
    raise_alarms(judged.findings);
    return judged;
}

/// What stands about the tasting as a whole and only judging can tell. (What was done and why is in the log, and told from it.)
void say_conduct(const Case& subject, const Joined& joined, Judged& judged) {
    std::int64_t dealt = 0, spares = 0;
    for (std::size_t ballot = 0; ballot < joined.dealt.size(); ++ballot) {
        dealt += joined.dealt[ballot];
        spares += joined.dealt[ballot] && subject.room.ballots[ballot].spare;
    }
    if (spares > 0) judged.words.push_back({"judge.conduct.spares", {{"n", spares}}});
    if (dealt == 0) judged.words.push_back({"judge.conduct.nobody", {}});
    if (joined.changed_tubs > 0) judged.warnings.push_back("tubs_corrected");
}

}   // namespace

core::Result<Judged> judge(const Case& subject) {
    const auto joined = join(subject);
    if (!joined) return joined.faults();
    Judged judged;
    for (int round = 0; round < static_cast<int>(subject.plan.rounds.size()); ++round) {
        judged.rounds.push_back(judge_round(subject, *joined, round));
        for (const std::string& warning : judged.rounds.back().findings.warnings) {
            if (std::find(judged.warnings.begin(), judged.warnings.end(), warning) == judged.warnings.end())
                judged.warnings.push_back(warning);
        }
    }
    if (!judged.rounds.empty()) {
        judged.verdict = judged.rounds.front().findings.verdict;
        judged.words = judged.rounds.front().findings.words;
    }
    say_conduct(subject, *joined, judged);
    return judged;
}

}   // namespace oddplate::judge
