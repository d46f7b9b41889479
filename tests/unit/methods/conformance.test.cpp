// What every method owes, whatever it is: run over the whole table, made-up methods included.
#include <algorithm>
#include <cmath>
#include <set>

#include "unit/methods/lists.hpp"
#include "unit/methods/support.hpp"

#include "oddplate/core/text.hpp"
#include "oddplate/methods/questions.hpp"
#include "oddplate/stats/link.hpp"

using namespace oddplate;
using namespace oddplate::methods;
using namespace oddplate::methods::testing;

namespace {

constexpr std::string_view k_phrase_names[] = {"title", "asks", "look", "how", "ask", "kind", "comment", "before"};

std::string text_of(const Method& asked, std::string_view name) {
    core::Words words = core::Words::english();
    words.add(asked.phrases);
    return words.text(std::string(asked.id) + "." + std::string(name), {{"attribute", std::string("saltier")}, {"portions", std::string("Three portions")}});
}

/// A value just outside the setting's range, or of another kind.
core::Json outside(const Setting& setting) {
    switch (setting.kind) {
        case Kind::flag:
            return core::Json("maybe");
        case Kind::whole:
            return core::Json(setting.lo - 1);
        case Kind::number:
            return std::isinf(setting.hi) ? core::Json(setting.open ? setting.lo : setting.lo - 1) : core::Json(setting.hi + 1);
        case Kind::choice:
        case Kind::version:
            return core::Json("nonesuch");
        case Kind::words:
            return core::Json("");
    }
    return {};
}

void check_settings(std::span<const Setting> settings) {
    std::set<std::string_view> keys;
    for (const Setting& setting : settings) {
        INFO("setting " << setting.key);
        CHECK(keys.insert(setting.key).second);
        CHECK_FALSE(setting.help.empty());
        const std::vector<std::string> ids{"current", "new"};
        const auto refused = read_setting(setting, outside(setting), "/rounds/0/" + std::string(setting.key), ids);
        REQUIRE_FALSE(refused.ok());
        CHECK(refused.faults()[0].line().find(setting.key) != std::string::npos);
        if (setting.kind == Kind::number || setting.kind == Kind::whole) {
            const auto text = read_setting_text(setting, "x");
            REQUIRE_FALSE(text.ok());
            CHECK(text.faults()[0].where == flag_name(setting.key));
        }
    }
}

}   // namespace

TEST_CASE("ids are unique, in order and found", "[conformance]") {
    std::string_view last;
    for (const Method* asked : all()) {
        INFO(asked->id);
        CHECK(last < asked->id);
        last = asked->id;
        CHECK(std::all_of(asked->id.begin(), asked->id.end(), [](char c) { return ('a' <= c && c <= 'z') || c == '-'; }));
        CHECK(*find(asked->id) == asked);
        CHECK(asked->version >= 1);
        CHECK_FALSE(asked->sources.empty());
    }
    REQUIRE_FALSE(all().empty());
    const auto unknown = find("triangel");
    REQUIRE_FALSE(unknown.ok());
    CHECK(unknown.faults()[0].kind == core::ErrorKind::usage);
    CHECK(unknown.faults()[0].text.find("did you mean triangle?") != std::string::npos);
}

TEST_CASE("every phrase is there, can be said and hints at nothing", "[conformance]") {
    for (const Method* asked : all()) {
        for (const std::string_view name : k_phrase_names) {
            INFO(asked->id << "." << name);
            const std::string text = text_of(*asked, name);
            CHECK_FALSE(text.empty());
            CHECK(text.find_first_of("[]{}") == std::string::npos);
            if (name == "title" || name == "asks") continue;   // the cook's side, not the guest's
            const std::string lower = " " + core::lower_ascii(text) + " ";
            for (const char* hint : {"salt ", "change", " new ", " old ", " better", " worse", "recipe", "usual"})
                CHECK(lower.find(hint) == std::string::npos);
        }
        for (const core::Phrase& phrase : asked->phrases) CHECK(phrase.id.starts_with(std::string(asked->id) + "."));
    }
}

TEST_CASE("settings outside their range are refused by name", "[conformance]") {
    for (const Method* asked : all()) {
        INFO(asked->id);
        check_settings(asked->round_settings);
        check_settings(asked->count_settings);
        check_settings(asked->size_settings);
        CHECK((asked->count != nullptr) == !asked->count_settings.empty());
        CHECK((asked->size != nullptr) == !asked->size_settings.empty());
    }
}

TEST_CASE("orders fill a set and differ from each other", "[conformance]") {
    for (const Method* asked : all()) {
        INFO(asked->id);
        const auto orders = asked->orders(Round{}, 2);
        REQUIRE_FALSE(orders.empty());
        std::set<std::pair<std::vector<int>, int>> seen;
        for (const Order& order : orders) {
            CHECK(static_cast<int>(order.versions.size()) == portions_of(*asked, Round{}, 2));
            CHECK(std::all_of(order.versions.begin(), order.versions.end(),
                              [](int version) { return version == 0 || version == 1; }));
            CHECK(seen.emplace(order.versions, order.reference).second);
        }
        const auto news_at = [&](std::size_t place) {
            return std::count_if(orders.begin(), orders.end(), [&](const Order& order) { return order.versions[place] == 1; });
        };
        const bool lopsided = asked->id == "three-afc";   // one of the stronger version, two of the other
        for (std::size_t place = 0; place < orders.front().versions.size(); ++place) {   // no place favours a version
            CHECK(news_at(place) == news_at(0));
            CHECK((lopsided || 2 * news_at(place) == static_cast<std::ptrdiff_t>(orders.size())));
        }
    }
}

TEST_CASE("answers outside the shape are refused by the score", "[conformance]") {
    const std::vector<std::string> codes{"417", "862", "305", "519", "734"};
    for (const Method* asked : all()) {
        INFO(asked->id);
        const Plan plan = plan_of(asked->id, {""}, 12, R"({"attribute":"saltier","stronger":"new"})");
        const auto order = asked->orders(plan.rounds[0], static_cast<int>(plan.versions.size())).front();
        const std::span<const std::string> some(codes.data(), order.versions.size());
        const SetKey key{some, order.versions, order.reference};
        for (const Answer& answer : {Answer{Mark::void_}, Answer{Mark::blank}, Answer{Mark::not_served}, Answer{Codes{{"999"}}},
                                     Answer{Codes{{"417", "862", "305"}}}, Answer{Word{"nonesuch", 0}}}) {
            INFO(canonical_text(answer, some));
            CHECK_FALSE(asked->score(key, answer, plan.rounds[0], plan).ok());
        }
    }
}

TEST_CASE("curve and inverse undo each other and rise", "[conformance]") {
    for (const Method* asked : all()) {
        INFO(asked->id);
        if (asked->link == nullptr) {
            CHECK_FALSE(curve(*asked, {}, 1).ok());
            CHECK_FALSE(size_table(*asked, {}).ok());
            continue;
        }
        const stats::Link& link = *asked->link;
        CHECK(stats::proportion_correct(link, 0) == Approx(link.chance).epsilon(1e-15));
        double last = -1;
        for (double d = 0; d <= 8; d += 0.03125) {
            const double p = stats::proportion_correct(link, d);
            CHECK(p > last);
            last = p;
            if (d == 0) continue;
            const auto back = 2 * link.gain(d) < 1 - link.chance ? stats::d_from_gain(link, link.gain(d))
                                                                 : stats::d_from_shortfall(link, link.shortfall(d));
            REQUIRE(back);
            CHECK(std::abs(*back - d) <= 4e-12 * d);
        }
        CHECK(number(*curve(*asked, {}, 1.5), "proportion_correct") == stats::proportion_correct(link, 1.5));
        CHECK_FALSE(curve(*asked, {}, std::nan("")).ok());
        CHECK(curve(*asked, {}, -1).ok() == link.is_signed);
    }
}

TEST_CASE("a larger difference never takes more people", "[conformance]") {
    for (const Method* asked : all()) {
        if (asked->link == nullptr) continue;
        for (const char* aim : {"difference", "similarity"}) {
            double last = 1e300;
            // A tail maximised over criteria is dear at small margins.
            const double first = asked->right_of_n || std::string_view(aim) == "difference" ? 0.5 : 2.5;
            for (double d = first; d <= 3; d += 0.25) {
                const Findings found = size(asked->id, R"({"detect_d":)" + core::shortest(d) + R"(,"aim":")" + aim + "\"}");
                INFO(asked->id << " " << aim << " d " << d);
                if (!found.number("tasters")) {   // more than the method looks for; never after a size was found
                    CHECK(last == 1e300);
                    continue;
                }
                // Hits and false alarms: the criterion taken for the power moves with d, so the saw may rise by a tooth.
                CHECK(number(found, "tasters_safe") <= last + (asked->right_of_n ? 0 : 2));
                CHECK(number(found, "tasters") <= number(found, "tasters_safe"));
                CHECK(number(found, "power_actual") >= 0.8 * (1 - 1e-12));
                CHECK(number(found, "alpha_actual") <= 0.05 * (1 + 1e-12));
                last = number(found, "tasters_safe");
            }
        }
    }
}

TEST_CASE("published examples hold", "[conformance]") {
    for (const Method* asked : all())
        for (const Example& example : asked->examples) {
            INFO(asked->id << " " << example.inputs << " " << example.key << ": " << example.source);
            CHECK_FALSE(example.source.empty());
            CHECK(std::abs(number(count(asked->id, example.inputs), example.key) - example.expected) <= example.tolerance);
        }
}

TEST_CASE("a round without answers is unsettled and says why", "[conformance]") {
    for (const Method* asked : all()) {
        INFO(asked->id);
        const Plan plan = plan_of(asked->id, {"edge", "centre"}, 12, R"({"attribute":"saltier","stronger":"new"})");
        const RoundFindings found = asked->analyse(*asked, {}, plan.rounds[0], plan);
        CHECK(found.spots.size() == 2);
        CHECK_FALSE(found.verdict.empty());
        CHECK_FALSE(found.words.empty());
        check_lists(found.pooled);
        for (const SpotFindings& spot : found.spots) check_lists(spot.findings);
        CHECK(said(*asked, found.words).find('[') == std::string::npos);
    }
}

TEST_CASE("the table that `weigh --help` shows is one that `weigh` takes", "[conformance]") {
    for (const Method* method : all()) {
        INFO(method->id);
        REQUIRE((method->weigh == nullptr) == method->weigh_sample.empty());
        if (method->weigh == nullptr) continue;
        const std::vector<std::string> lines = core::split(method->weigh_sample, '\n');
        REQUIRE(lines.size() == 3);
        PlainTable table{.columns = core::split(lines[0], ','), .rows = {}};
        for (std::size_t i = 1; i < lines.size(); ++i) table.rows.push_back({i + 1, core::split(lines[i], ',')});
        for (const std::string& name : table.columns) {
            const auto known = std::any_of(method->weigh_columns.begin(), method->weigh_columns.end(), [&](const Column& each) { return each.name == name; });
            CHECK(known);
        }
        for (const Column& column : method->weigh_columns)
            if (column.required) CHECK(table.column(column.name) >= 0);
        const auto weighed = method->weigh(*method, table, {});
        REQUIRE(weighed.ok());
        check_lists(*weighed);
    }
}
