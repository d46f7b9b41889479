// Several answers a taster, nobody can tell: the pooled count is binomial whatever habits tasters have, as long as every tray's order is drawn afresh.
//
// Source: Kunert & Meyners (1999), Food Quality and Preference 10:477 ("On the triangle test with replications"; volume and page from memory): under proper
// randomisation and equal products the count of n tasters with k trays each is exactly binomial(nk, guessing rate), so the binomial test of the pooled count
// keeps its level. Here by full enumeration of the orders, through the methods' own orders and scoring.
#include <algorithm>
#include <cmath>
#include <cstdint>
#include <functional>
#include <vector>

#include "oddplate/stats/binomial.hpp"
#include "unit/methods/support.hpp"

using namespace oddplate;
using namespace oddplate::methods;
using namespace oddplate::methods::testing;

namespace {

/// right[way][order]: whether the way to answer a tray (which code, or which of the groups of codes) is right on that order.
using Table = std::vector<std::vector<int>>;

std::vector<Answer> ways_to_answer(const Method& asked, const Round& round, const std::vector<std::string>& codes) {
    const AnswerShape shape = asked.shape(round);
    const auto* const group = std::get_if<CodeGroup>(&shape);
    const std::size_t picked = group == nullptr ? 1 : static_cast<std::size_t>(group->size);
    std::vector<Answer> ways;
    for (unsigned mask = 0; mask < 1u << codes.size(); ++mask) {
        Codes some;
        for (std::size_t i = 0; i < codes.size(); ++i)
            if ((mask >> i & 1u) != 0) some.codes.push_back(codes[i]);
        if (some.codes.size() == picked) ways.emplace_back(some);
    }
    return ways;
}

Table table_of(const Method& asked, const Plan& plan) {
    const Round& round = plan.rounds[0];
    std::vector<std::string> codes;
    for (int place = 0; place < asked.portions; ++place) codes.push_back(std::to_string(417 + 100 * place));
    Table right;
    for (const Answer& way : ways_to_answer(asked, round, codes)) {
        right.emplace_back();
        for (const Order& order : asked.orders(round, 2)) {
            const auto scored = asked.score({codes, order.versions, order.reference}, way, round, plan);
            REQUIRE(scored.ok());
            right.back().push_back(scored->value > 0);
        }
    }
    return right;
}

/// What has been answered so far: way and whether it was right, tray by tray (a taster's trays follow one another).
struct Past {
    std::vector<std::size_t> ways;
    std::vector<int> right;
};
/// A habit: which way tray t (of all) is answered. It may look at everything that was before, and not at what lies on the tray.
using Habit = std::function<std::size_t(std::size_t tray, const Past& past, std::size_t ways)>;

const std::pair<const char*, Habit> k_habits[] = {
    {"always the first", [](std::size_t, const Past&, std::size_t) { return std::size_t{0}; }},
    {"each taster has a favourite, one the last", [](std::size_t tray, const Past&, std::size_t ways) { return tray % 2 == 0 ? ways - 1 : ways / 2; }},
    {"in turn", [](std::size_t tray, const Past&, std::size_t ways) { return tray % ways; }},
    {"stays where it was right, moves on where it wasn't",
     [](std::size_t, const Past& past, std::size_t ways) { return past.ways.empty() ? 0 : (past.ways.back() + (past.right.back() == 0 ? 1 : 0)) % ways; }},
    {"never where it was last", [](std::size_t tray, const Past& past, std::size_t ways) { return past.ways.empty() ? 1 : (past.ways.back() + 1 + tray % (ways - 1)) % ways; }}};

/// How many of the equally likely draws of all trays give k right answers: tally[k].
std::vector<std::int64_t> enumerated(const Table& right, std::size_t trays, const Habit& habit) {
    std::vector<std::int64_t> tally(trays + 1, 0);
    Past past;
    const std::function<void()> next = [&] {
        const std::size_t tray = past.ways.size();
        if (tray == trays) {
            ++tally[static_cast<std::size_t>(std::count(past.right.begin(), past.right.end(), 1))];
            return;
        }
        const std::size_t way = habit(tray, past, right.size());
        for (const int is_right : right[way]) {
            past.ways.push_back(way);
            past.right.push_back(is_right);
            next();
            past.ways.pop_back();
            past.right.pop_back();
        }
    };
    next();
    return tally;
}

}   // namespace

TEST_CASE("replicated: without a difference the pooled count is binomial, whatever the habits (Kunert & Meyners 1999)", "[replicated]") {
    int methods_seen = 0;
    for (const Method* asked : all()) {
        if (asked->scale != Scale::right || !asked->right_of_n || asked->link == nullptr) continue;
        ++methods_seen;
        const Plan plan = plan_of(asked->id, {""}, 12, asked->link->is_signed ? R"({"attribute":"saltier","stronger":"current"})" : "{}");
        const Table right = table_of(*asked, plan);
        const std::size_t orders = right.front().size();
        std::size_t trays = 2;   // two tasters; as many trays each as 50,000 draws allow
        while (std::pow(orders, trays + 2) <= 5e4) trays += 2;
        const double draws = std::pow(orders, trays);
        for (const auto& [name, habit] : k_habits) {
            INFO(asked->id << ", " << trays << " trays, " << name);
            const auto tally = enumerated(right, trays, habit);
            double level = 0;
            for (std::size_t k = 0; k <= trays; ++k) {
                const double share = static_cast<double>(tally[k]) / draws;
                CHECK(std::abs(share - stats::binomial_pmf(static_cast<std::int64_t>(k), static_cast<std::int64_t>(trays), asked->link->chance)) < 1e-14);
                const auto found = count(asked->id, "{\"correct\":" + std::to_string(k) + ",\"of\":" + std::to_string(trays) + "}");
                if (found.verdict == "different") level += share;
            }
            CHECK(level <= 0.05);
        }
    }
    CHECK(methods_seen >= 6);
}

// The theorem needs the fresh draw: were all trays laid alike, a taster with a habit would be right on all or on none.
TEST_CASE("replicated: were every tray laid alike, a habit would be right always or never", "[replicated]") {
    const Method& asked = method("triangle");
    const Table right = table_of(asked, plan_of("triangle", {""}, 12));
    const Table one_order = [&] {
        Table cut = right;
        for (auto& row : cut) row.resize(1);
        return cut;
    }();
    const auto tally = enumerated(one_order, 4, k_habits[0].second);
    CHECK((tally[0] == 1 || tally[4] == 1));
    CHECK(tally[1] + tally[2] + tally[3] == 0);
}
