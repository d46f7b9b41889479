// Duo-trio: a marked reference first, then two coded portions; the taster names the one that is like it. Right by guessing 1 time
// in 2.

#include <cmath>

#include "oddplate/stats/curves.hpp"
#include "difference.hpp"
#include "right_answer.hpp"

namespace oddplate::methods {
namespace {

constexpr core::Phrase k_phrases[] = {
    {"duo-trio.title", "Duo-trio"},
    {"duo-trio.asks", "Can people tell which of two is like the one they had first?"},
    {"duo-trio.look", "Three portions. The first is marked R. One of the other two is like it."},
    {"duo-trio.how", "Eat R first, then the others from left to right. You may go back as often as you like."},
    {"duo-trio.ask", "Ring the one that is LIKE R."},
    {"duo-trio.tap", "Tap the one that is LIKE R."},
    {"duo-trio.kind", "Not sure? Most people aren't. Ring your best guess: a guess helps, an empty slip doesn't."},
    {"duo-trio.comment", "Anything you want to say, after you have chosen:"},
    {"duo-trio.before", "Before you tasted: did anything you saw, smelled or heard tell you which one was like R?"},
    {"duo-trio.advice", "It needs no word for the change, and R gives everybody the same start; but it finds no more than a triangle does, with as many portions."},
    {"duo-trio.ready", "designs/plans/which-is-like-the-marked-one.json"},
};

constexpr std::string_view k_references[] = {"balanced", "current"};
constexpr Setting k_reference[] = {{.key = "reference",
                              .kind = Kind::choice,
                              .choices = k_references,
                              .help = "which recipe R is: each for half of the sets (balanced, the default), or always the current one"}};
const std::vector<Setting> k_round_settings =
    difference::with(difference::with(right_answer::k_round_settings, k_reference), {&right_answer::k_sureness, 1});

std::vector<Order> orders(const Round& round, int) {
    std::vector<Order> orders{{{0, 1}, 0, 0}, {{1, 0}, 0, 1}};   // trait: which version is served first after R
    if (words(round.settings, "reference") == "current") return orders;
    orders.push_back({{0, 1}, 1, 0});
    orders.push_back({{1, 0}, 1, 1});
    return orders;
}

int like_place(std::span<const int> versions, int reference) {
    if (versions.size() != 2 || versions[0] == versions[1]) return -1;
    return versions[0] == reference ? 0 : versions[1] == reference ? 1 : -1;
}

void settle(const Method& method, Round& round, const Plan& plan, const std::string& place, core::Faults& faults) {
    right_answer::settle(method, round, plan, place, faults);
    round.settings.try_emplace("reference", std::string("balanced"));
}

constexpr right_answer::Family k_family{
    .ways = 2,
    .right_way = [](const Order& order, const Round&, const Plan&) { return like_place(order.versions, order.reference); }};

core::Result<Scored> score(const SetKey& key, const Answer& answer, const Round&, const Plan&) {
    return right_answer::score_place(key, answer, like_place(key.versions, key.reference),
                                     "this set did not hold one portion like its reference and one unlike it, so no answer to it is right");
}

/// The one nearer to the reference.
Answer decide(const Sensed& sensed, std::span<const std::string> codes, const Round&, const Plan&) {
    const bool second = std::fabs(sensed.portions[1] - sensed.reference) < std::fabs(sensed.portions[0] - sensed.reference);
    return right_answer::picks(codes, second ? 1 : 0);
}

constexpr Advice k_advice[] = {{Wanted::noticed, false, "duo-trio.advice"}, {Wanted::same, false, "duo-trio.advice"}};

constexpr Source k_sources[] = {
    {"ISO 10399:2004, Sensory analysis - Methodology - Duo-trio test (constant and balanced reference)"},
    {"Ura (1960), Reports of Statistical Application Research JUSE 7:107 (the curve)"},
    {"David & Trivedi (1962), Pair, triangle and duo-trio tests (the curve)"},
    {"Ennis (1993), Journal of Sensory Studies 8:353 (tables of the curve)"},
    {"Bi, Ennis & O'Mahony (1997), Journal of Sensory Studies 12:87 (standard error of d')"},
};

constexpr std::string_view k_table = "ISO 10399:2004, table A.1";
constexpr Example k_examples[] = {
    {R"({"correct":12,"of":24})", "least_correct", 17, 0, k_table},
    {R"({"correct":12,"of":36,"alpha":0.01})", "least_correct", 26, 0, k_table},
    {R"({"correct":12,"of":60,"alpha":0.001})", "least_correct", 43, 0, k_table},
    {R"({"correct":12,"of":22})", "least_correct", 16, 0,
     "exact; ISO 10399:2004 table A.1 prints n = 22 wrongly (15), ISO 5495:2005 table A.1 has 16"},
    {R"({"correct":28,"of":36})", "p_value", 0.00059662148, 5e-12, "ISO 10399:2004, B.1's panel of 36; P(X >= 28) computed"},
    {R"({"correct":28,"of":36})", "discriminators.estimate", 0.555556, 5e-7, "pd = 2 (28/36) - 1 (ISO 10399:2004, B.3)"},
    {R"({"correct":28,"of":36,"confidence":0.95})", "discriminators.lower", 0.2170, 5e-5, "Clopper-Pearson, carried over; computed"},
    {R"({"correct":28,"of":36,"confidence":0.95})", "discriminators.upper", 0.7977, 5e-5, "Clopper-Pearson, carried over; computed"},
    {R"({"correct":3,"of":4})", "d_prime.estimate", 2.0200, 5e-5, "Ennis (1993): d' at .75 right; digits by quadrature"},
};

}   // namespace

extern const Method duo_trio = right_answer::method_of<k_family>({
    .id = "duo-trio",
    .phrases = k_phrases,
    .portions = 2,
    .shape = right_answer::picked_code,
    .orders = orders,
    .round_settings = k_round_settings,
    .settle = settle,
    .score = score,
    .decide = decide,
    .advice = k_advice,
    .link = &stats::duo_trio_link(),
    .sources = k_sources,
    .examples = k_examples,
});

}   // namespace oddplate::methods
