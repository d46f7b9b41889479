// Which of two is saltier? Two portions and a named direction; right is the version that the plan says has more. Right by
// guessing 1 time in 2.

#include <cstdlib>

#include "oddplate/stats/curves.hpp"
#include "difference.hpp"
#include "right_answer.hpp"
#include "votes.hpp"

namespace oddplate::methods {
namespace {

constexpr core::Phrase k_phrases[] = {
    {"two-afc.title", "Which has more (two portions)"},
    {"two-afc.asks", "Can people tell which of the two has more of one named taste?"},
    {"two-afc.look", "Two portions."},
    {"two-afc.how", "Begin with the left one, then take the right one. You may go back as often as you like."},
    {"two-afc.ask", "Ring the one that is {attribute}."},
    {"two-afc.tap", "Tap the one that is {attribute}."},
    {"two-afc.kind", "Hard to say? It is for most people. Ring your best guess: a guess helps, an empty slip doesn't."},
    {"two-afc.none", "I can't tell"},
    {"two-afc.comment", "Anything you want to say, after you have chosen:"},
    {"two-afc.before", "Before you tasted: did anything you saw, smelled or heard tell you which one was {attribute}?"},
    {"two-afc.advice", "Two portions and a word for the change: few people and little meat. It sees only that one taste; a change that goes another way stays unseen."},
    {"two-afc.ready", "designs/plans/which-is-saltier.json"},
};

std::vector<Order> orders(const Round&, int) {
    return {{{0, 1}, -1, 0}, {{1, 0}, -1, 1}};   // trait: which version is served first
}

int right_place(std::span<const int> versions, int stronger) {
    if (versions.size() != 2 || versions[0] == versions[1]) return -1;
    return versions[0] == stronger ? 0 : versions[1] == stronger ? 1 : -1;
}

constexpr Setting k_no_difference[] = {
    {.key = "no_difference", .kind = Kind::flag, .help = "tasters may answer that they can't tell the two apart; such answers are left out of the test and reported"}};
const std::vector<Setting> k_round_settings =
    difference::with(difference::with(right_answer::k_directed_round_settings, k_no_difference), {&right_answer::k_sureness, 1});

bool may_abstain(const Round& round) {
    return flag(round.settings, "no_difference");
}

constexpr right_answer::Family k_family{
    .similar = stats::Sided::two,
    .ways = 2,
    .right_way = [](const Order& order, const Round& round, const Plan&) { return right_place(order.versions, round.stronger); }};

core::Result<Scored> score(const SetKey& key, const Answer& answer, const Round& round, const Plan&) {
    return right_answer::score_place(key, answer, right_place(key.versions, round.stronger),
                                     "this set did not hold one portion of each version, so no answer to it is right");
}

Answer decide(const Sensed& sensed, std::span<const std::string> codes, const Round&, const Plan&) {
    return right_answer::picks(codes, right_answer::most_place(sensed));
}

constexpr Advice k_advice[] = {{Wanted::noticed, true, "two-afc.advice"}, {Wanted::same, true, "two-afc.advice"}};

constexpr Setting k_undecided[] = {{.key = "no_difference",
                              .kind = Kind::whole,
                              .lo = 0,
                              .hi = 100'000'000,
                              .help = "further people who saw no difference; left out of the test and reported"}};
const std::vector<Setting> k_count = difference::with(right_answer::k_count_settings, k_undecided);

/// The verdict had the undecided answered like this; a line beside the result, never a test of its own.
core::Result<std::string> add_line(Findings& findings, const Method& method, Settings settings, const std::string& name, const votes::Pile& pile) {
    settings.insert_or_assign("correct", pile.for_new);
    settings.insert_or_assign("of", pile.chose());
    const auto other = right_answer::count(method, k_family, settings);
    if (!other) return other.faults();
    findings.add_optional("undecided_" + name + ".p_value", other->number("p_value"), "no margin was given");
    findings.add("undecided_" + name + ".verdict", other->verdict);
    return other->verdict;
}

/// What the undecided of a count would change, and the model of three outcomes.
core::Status say_undecided(Findings& findings, const Method& method, const Settings& settings, const votes::Pile& pile) {
    findings.add("no_difference", pile.undecided);
    const auto split = add_line(findings, method, settings, "split", votes::split(pile));
    if (!split) return split.faults();
    const auto against = add_line(findings, method, settings, "against", votes::against(pile, pile.for_new >= pile.for_current));
    if (!against) return against.faults();
    votes::add_three_outcomes(findings, pile);
    if (pile.undecided > 0) findings.words.push_back({"right.undecided", {{"t", pile.undecided}}});
    if (*split != findings.verdict) findings.words.push_back({"right.undecided_split", {}});
    else if (*against != findings.verdict) findings.words.push_back({"right.undecided_against", {}});
    return core::Done{};
}

votes::Pile pile_of(std::int64_t correct, std::int64_t of, std::int64_t undecided) {
    return {correct, of - correct, undecided};
}

core::Result<Findings> count(const Method& method, const Settings& settings) {
    auto found = right_answer::count(method, k_family, settings);
    const auto undecided = whole(settings, "no_difference");
    if (!found || !undecided) return found;
    const votes::Pile pile = pile_of(*whole(settings, "correct"), *whole(settings, "of"), *undecided);
    if (auto said = say_undecided(*found, method, settings, pile); !said) return said.faults();
    return found;
}

/// A judged count: the lines are those of `count` where everybody answered once; tasters with several answers would need a line of their own.
void say_undecided_here(Findings& findings, const Method& method, const Settings& settings, std::int64_t undecided) {
    const auto number = [&](const char* key) { return static_cast<std::int64_t>(findings.number(key).value_or(0)); };
    const std::int64_t correct = number("correct"), of = number("of");
    if (number("tasters") == of && of > 0) {
        if (!say_undecided(findings, method, settings, pile_of(correct, of, undecided))) std::abort();   // the round's settings were checked
        return;
    }
    findings.add("no_difference", undecided);
    votes::add_three_outcomes(findings, pile_of(correct, of, undecided));
    if (undecided > 0) findings.words.push_back({"right.undecided", {{"t", undecided}}});
}

void add_undecided(const Method& method, std::span<const std::int64_t> undecided, const Round& round, RoundFindings& found) {
    Settings settings = round.settings;
    settings.insert_or_assign("alpha", round.alpha);
    std::int64_t all = 0;
    for (std::size_t spot = 0; spot < found.spots.size(); ++spot) {
        all += undecided[spot];
        say_undecided_here(found.spots[spot].findings, method, settings, undecided[spot]);
    }
    const std::size_t said = found.pooled.words.size();
    say_undecided_here(found.pooled, method, settings, all);
    found.words.insert(found.words.end(), found.pooled.words.begin() + static_cast<std::ptrdiff_t>(said), found.pooled.words.end());
}

constexpr Source k_sources[] = {
    {"ISO 5495:2005, Sensory analysis - Methodology - Paired comparison test (one-sided test, similarity)"},
    {"Thurstone (1927), Psychological Review 34:273 (the curve)"},
    {"Ennis (1993), Journal of Sensory Studies 8:353 (tables of the curve)"},
    {"Bi, Ennis & O'Mahony (1997), Journal of Sensory Studies 12:87 (standard error of d')"},
};

constexpr Example k_examples[] = {
    {R"({"correct":12,"of":24})", "least_correct", 17, 0, "ISO 5495:2005, table A.1, n = 24, alpha 0.05"},
    {R"({"correct":12,"of":36,"alpha":0.01})", "least_correct", 26, 0, "ISO 5495:2005, table A.1, n = 36, alpha 0.01"},
    {R"({"correct":50,"of":100,"alpha":0.001})", "least_correct", 66, 0, "ISO 5495:2005, table A.1, n = 100, alpha 0.001"},
    {R"({"correct":60,"of":126,"aim":"similarity","same_below_pd":0.3})", "most_correct", 72, 0,
     "ISO 5495:2005, table A.3, n = 126, pd 0.3, 0.05"},
    {R"({"correct":60,"of":132,"aim":"similarity","same_below_pd":0.5,"alpha":0.01})", "most_correct", 86, 0,
     "ISO 5495:2005, table A.3, n = 132, pd 0.5, 0.01"},
    {R"({"correct":20,"of":30,"no_difference":10})", "three_outcomes.d", 0.476936276204470, 1e-12,
     "a = z(1/2) = 0, b = z(1/4): d = -z(1/4)/sqrt 2, by 40-digit arithmetic"},
    {R"({"correct":20,"of":30,"no_difference":10})", "undecided_split.p_value", 0.0769299721, 5e-10, "exact: P(X >= 25 of 40) at 1/2"},
    {R"({"correct":20,"of":30,"no_difference":10})", "undecided_against.p_value", 0.5626853437, 5e-10, "exact: P(X >= 20 of 40) at 1/2"},
    {R"({"correct":8,"of":10})", "p_value", 0.0546875, 5e-8, "exact: 56/1024"},
};

}   // namespace

extern const Method two_afc = right_answer::method_of<k_family>({
    .id = "two-afc",
    .phrases = k_phrases,
    .portions = 2,
    .shape = right_answer::picked_code,
    .orders = orders,
    .round_settings = k_round_settings,
    .may_abstain = may_abstain,
    .add_undecided = add_undecided,
    .score = score,
    .decide = decide,
    .advice = k_advice,
    .count_settings = k_count,
    .count = count,
    .link = &stats::two_afc_link(),
    .sources = k_sources,
    .examples = k_examples,
});

}   // namespace oddplate::methods
