// The tetrad: two and two; the taster names a pair. Unspecified, either pair that goes together is right (by guessing 1 time in 3).
// Where the plan says which version has more of a named taste it is specified: the pair that has more is right (1 time in 6).

#include <algorithm>

#include "oddplate/stats/curves.hpp"
#include "difference.hpp"
#include "right_answer.hpp"

namespace oddplate::methods {
namespace {

constexpr core::Phrase k_phrases[] = {
    {"tetrad.title", "Tetrad"},
    {"tetrad.asks", "Can people sort two and two?"},
    {"tetrad.look", "Four portions: two of one kind, two of another."},
    {"tetrad.how", "Begin at the left and go on to the right. You may go back as often as you like."},
    {"tetrad.ask", "Which two belong together? Ring TWO that are alike."},
    {"tetrad.tap", "Which two belong together? Tap TWO that are alike."},
    {"tetrad.ask_directed", "Ring the TWO that are {attribute}."},
    {"tetrad.tap_directed", "Tap the TWO that are {attribute}."},
    {"tetrad.kind", "Not sure? Most people aren't. Ring two anyway: a guess helps, an empty slip doesn't."},
    {"tetrad.comment", "Anything you want to say, after you have chosen:"},
    {"tetrad.before_directed", "Before you tasted: did anything you saw, smelled or heard tell you which two are {attribute}?"},
    {"tetrad.before", "Before you tasted: did anything you saw, smelled or heard tell you which ones belong together?"},
    {"tetrad.advice", "It needs no word for the change and far fewer people than a triangle; but each eats four portions, which tires the tongue when the taste is strong."},
    {"tetrad.advice_directed", "With a word for the change it needs fewest people of all, since guessing hardly helps; but each eats four portions, and it sees only that one taste, one way."},
    {"tetrad.ready", "designs/plans/two-and-two.json"},
};

constexpr Setting k_more[] = {
    {.key = "attribute", .kind = Kind::words, .help = "what is asked, as a comparing word: saltier (with stronger)"},
    {.key = "stronger", .kind = Kind::version, .help = "the version that has more of it; tasters then name that pair"}};
const std::vector<Setting> k_round = difference::with(right_answer::k_round_settings, k_more);

constexpr Setting k_specified[] = {{.key = "specified", .kind = Kind::flag, .help = "tasters named the pair that has more of something"}};
const std::vector<Setting> k_count = difference::with(right_answer::k_count_settings, k_specified);
const std::vector<Setting> k_size = difference::with(right_answer::k_size_settings, k_specified);

const std::vector<Setting> k_weigh = difference::with(right_answer::k_weigh_settings, k_specified);

bool is_specified(const Settings& settings) {
    return flag(settings, "specified") || settings.contains("stronger");
}

std::vector<Order> orders(const Round&, int) {
    constexpr int a = 0, b = 1;   // trait: which version is served first
    return {{{a, a, b, b}, -1, a}, {{b, b, a, a}, -1, b}, {{a, b, a, b}, -1, a},
            {{b, a, b, a}, -1, b}, {{a, b, b, a}, -1, a}, {{b, a, a, b}, -1, b}};
}

void settle(const Method& method, Round& round, const Plan& plan, const std::string& place, core::Faults& faults) {
    right_answer::settle(method, round, plan, place, faults);
    for (const auto& [key, other] : {std::pair{"attribute", "stronger"}, std::pair{"stronger", "attribute"}})
        if (round.settings.contains(key) && !round.settings.contains(other))
            faults.push_back(core::found(place + "/" + other, std::string(key) + " alone", "both, or neither: then any two that are alike are right"));
}

bool is_two_and_two(std::span<const int> versions) {
    return versions.size() == 4 && std::count(versions.begin(), versions.end(), versions[0]) == 2;
}

/// Which of the three ways to make two pairs: by the place that goes with the first one, less 1.
int way_of(int one, int other) {
    if (one != 0 && other != 0) return 6 - one - other - 1;
    return one + other - 1;
}

int right_way(const Order& order, const Round& round, const Plan&) {
    const auto& v = order.versions;
    if (is_specified(round.settings) || !is_two_and_two(v)) return -1;   // specified: six ways, see Family::ways
    return static_cast<int>(std::find(v.begin() + 1, v.end(), v[0]) - v.begin()) - 1;
}

constexpr right_answer::Family k_family{.ways = 3, .right_way = right_way};

core::Result<Scored> score(const SetKey& key, const Answer& answer, const Round& round, const Plan&) {
    const auto pair = right_answer::picked_pair(key, answer);
    if (!pair) return pair.faults();
    if (!is_two_and_two(key.versions))
        return core::fault(core::ErrorKind::bad_value, "no-pairs", "this set did not hold two portions of each version, so no answer to it is right");
    const auto [one, other] = *pair;
    const int version = key.versions[static_cast<std::size_t>(one)];
    const bool alike = version == key.versions[static_cast<std::size_t>(other)];
    const bool right = alike && (!is_specified(round.settings) || version == round.stronger);
    return Scored{.value = right ? 1.0 : 0.0, .way = way_of(one, other)};
}

/// The two highest: the stronger pair, and in one dimension as good a pair alike as the two lowest.
Answer decide(const Sensed& sensed, std::span<const std::string> codes, const Round&, const Plan&) {
    std::vector<std::size_t> places{0, 1, 2, 3};
    std::sort(places.begin(), places.end(), [&](std::size_t a, std::size_t b) { return sensed.portions[a] > sensed.portions[b]; });
    return right_answer::picks_pair(codes, places[0], places[1]);
}

constexpr Advice k_advice[] = {{Wanted::noticed, false, "tetrad.advice"},
                               {Wanted::same, false, "tetrad.advice"},
                               {Wanted::noticed, true, "tetrad.advice_directed", "specified"},
                               {Wanted::same, true, "tetrad.advice_directed", "specified"}};

constexpr Source k_sources[] = {
    {"Ennis & Jesionka (2011), Journal of Sensory Studies 26:371 (the test, both curves)"},
    {"Bi & O'Mahony (2013), Journal of Sensory Studies (variance of d')"},
    {"ISO 4120:2004, Sensory analysis - Methodology - Triangle test (least right answers at 1 in 3)"},
    {"Bi, Ennis & O'Mahony (1997), Journal of Sensory Studies 12:87 (standard error of d')"},
};

constexpr std::string_view k_quadrature = "Ennis & Jesionka (2011), curve; digits by quadrature";
constexpr Example k_examples[] = {
    {R"({"correct":12,"of":24})", "least_correct", 13, 0, "ISO 4120:2004, table A.1, n = 24, alpha 0.05 (the same guessing rate)"},
    {R"({"correct":1,"of":2})", "d_prime.estimate", 1.0221, 5e-5, k_quadrature},
    {R"({"correct":3,"of":4})", "d_prime.estimate", 1.8898, 5e-5, k_quadrature},
    {R"({"correct":3,"of":5})", "d_prime.estimate", 1.3626, 5e-5, k_quadrature},
    {R"({"correct":12,"of":24,"specified":true})", "chance", 1.0 / 6, 0, "one pair of six"},
    {R"({"correct":12,"of":24,"specified":true,"same_below_d":1})", "same_below.proportion_correct", 0.4625454687, 5e-11,
     "the specified curve at d' = 1, by 40-digit quadrature"},
};

}   // namespace

extern const Method tetrad = right_answer::method_of<k_family>({
    .id = "tetrad",
    .phrases = k_phrases,
    .portions = 4,
    .shape = right_answer::pair_of_codes,
    .orders = orders,
    .round_settings = k_round,
    .settle = settle,
    .score = score,
    .decide = decide,
    .advice = k_advice,
    .count_settings = k_count,
    .size_settings = k_size,
    .weigh_settings = k_weigh,
    .link = &stats::tetrad_link(),
    .curve_settings = k_specified,
    .link_by = [](const Settings& settings) { return is_specified(settings) ? &stats::specified_tetrad_link() : &stats::tetrad_link(); },
    .sources = k_sources,
    .examples = k_examples,
});

}   // namespace oddplate::methods
