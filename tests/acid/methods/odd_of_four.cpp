// Made up for the acid test: four portions, three alike; right by guessing 1 time in 4. The curve is invented too.

#include <algorithm>
#include <cmath>

#include "right_answer.hpp"

namespace oddplate::methods {
namespace {

constexpr core::Phrase k_phrases[] = {
    {"odd-of-four.title", "Odd one of four"},
    {"odd-of-four.asks", "Can people pick the odd one of four?"},
    {"odd-of-four.look", "Four portions. Three are alike."},
    {"odd-of-four.how", "Go from left to right."},
    {"odd-of-four.ask", "Ring the one that is DIFFERENT."},
    {"odd-of-four.kind", "A guess helps."},
    {"odd-of-four.comment", "Anything to say?"},
    {"odd-of-four.before", "Did anything tell you beforehand?"},
};

std::vector<Order> orders(const Round&, int) {
    std::vector<Order> all;
    for (const int odd : {0, 1})
        for (std::size_t place = 0; place < 4; ++place) {
            Order order{{1 - odd, 1 - odd, 1 - odd, 1 - odd}, -1, odd};
            order.versions[place] = odd;
            all.push_back(order);
        }
    return all;
}

int odd_place(std::span<const int> versions) {
    for (std::size_t i = 0; i < versions.size(); ++i)
        if (std::count(versions.begin(), versions.end(), versions[i]) == 1) return static_cast<int>(i);
    return -1;
}

constexpr right_answer::Family k_family{
    .ways = 4, .right_way = [](const Order& order, const Round&, const Plan&) { return odd_place(order.versions); }};

// Pc(d) = 1 - 3/4 exp(-d^2 / 4)
constexpr stats::Link k_link{.chance = 0.25,
                             .gain = [](double d) { return -0.75 * std::expm1(-d * d / 4); },
                             .shortfall = [](double d) { return 0.75 * std::exp(-d * d / 4); },
                             .slope = [](double d) { return 0.375 * d * std::exp(-d * d / 4); }};

core::Result<Scored> score(const SetKey& key, const Answer& answer, const Round&, const Plan&) {
    return right_answer::score_place(key, answer, odd_place(key.versions), "this set held no odd portion");
}

constexpr Source k_sources[] = {{"made up"}};
constexpr Example k_examples[] = {{R"({"correct":2,"of":2})", "p_value", 0.0625, 0, "1/4 twice"}};

}   // namespace

extern const Method odd_of_four = right_answer::method_of<k_family>({
    .id = "odd-of-four",
    .phrases = k_phrases,
    .portions = 4,
    .orders = orders,
    .round_settings = right_answer::k_round_settings,
    .score = score,
    .link = &k_link,
    .sources = k_sources,
    .examples = k_examples,
});

}   // namespace oddplate::methods
