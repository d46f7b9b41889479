// Every method's own size at one difference, then sorted. Nothing here knows a method by name but the triangle, whose curve turns
// "how many in ten" into a difference.

#include "oddplate/methods/advise.hpp"

#include <algorithm>
#include <tuple>

#include "oddplate/stats/curves.hpp"

namespace oddplate::methods {
namespace {

Settings question_for(const Asked& asked, const Advice& way, double d) {
    Settings settings;
    if (asked.wanted == Wanted::liked) {
        settings.emplace("share", asked.share);
        return settings;
    }
    settings.emplace("detect_d", d);
    if (asked.wanted == Wanted::same) settings.emplace("aim", std::string("similarity"));
    if (!way.flag.empty()) settings.emplace(std::string(way.flag), true);
    return settings;
}

int portions_of(const Method& method, const Settings& settings) {
    Round round;
    round.settings = settings;
    const std::vector<Order> orders = method.orders(round, 2);
    return method.portions + (orders.front().reference >= 0 ? 1 : 0);
}

/// `safe`: the count from which every larger panel is enough.
void fit(const Asked& asked, std::int64_t safe, Advised& advised) {
    if (asked.people && *asked.people != advised.tasters && *asked.people < safe) {
        if (asked.wanted == Wanted::noticed) advised.sets = (safe + *asked.people - 1) / *asked.people;
        else advised.enough_people = false;
    }
    advised.enough_meat = !asked.servings || advised.servings_per_spot <= *asked.servings;
    advised.fits = advised.enough_people && advised.enough_meat && advised.portions_a_head() <= asked.most_portions;
}

/// Without tasters where the method would take more answers than it looks for.
core::Result<Advised> advised_of(const Asked& asked, const Method& method, const Advice& way, double d) {
    const Settings settings = question_for(asked, way, d);
    const auto size = method.size(method, settings);
    if (!size) return size.faults();
    Advised advised{.method = &method, .flag = way.flag, .directed = way.directed, .reason = way.reason};
    const auto tasters = size->number("tasters");
    if (!tasters) return advised;
    advised.tasters = static_cast<std::int64_t>(*tasters);
    advised.portions = portions_of(method, settings);
    if (method.to_learn != nullptr) advised.learn = method.to_learn(Round{});
    advised.servings_per_spot = advised.tasters * (advised.portions + advised.learn);
    fit(asked, static_cast<std::int64_t>(size->number("tasters_safe").value_or(*tasters)), advised);
    return advised;
}

}   // namespace

core::Result<AdviceGiven> advise(const Asked& asked) {
    if (!(asked.notice_in_ten > 0 && asked.notice_in_ten < 10))
        return core::found("--notice-in-ten", core::shortest(asked.notice_in_ten), "a number above 0 and below 10", "", "out-of-range",
                           core::ErrorKind::usage);
    if (!(asked.share > 0 && asked.share < 1 && asked.share != 0.5))
        return core::found("--share", core::shortest(asked.share), "a number above 0 and below 1, not 0.5", "", "out-of-range",
                           core::ErrorKind::usage);
    AdviceGiven given;
    if (asked.wanted == Wanted::liked) {
        given.share = asked.share;
    } else {
        given.discriminators = asked.notice_in_ten / 10;
        given.d_prime = *stats::d_from_discriminators(stats::triangle_link(), given.discriminators);
    }
    for (const Method* method : all())
        for (const Advice& way : method->advice) {
            if (way.wanted != asked.wanted || (way.directed && !asked.direction)) continue;
            auto advised = advised_of(asked, *method, way, given.d_prime);
            if (!advised) return advised.faults();
            if (advised->tasters == 0) given.beyond.push_back(method);
            else given.methods.push_back(*advised);
        }
    std::stable_sort(given.methods.begin(), given.methods.end(), [](const Advised& a, const Advised& b) {
        return std::tuple(!a.fits, a.tasters, a.servings_per_spot, a.portions_a_head()) < std::tuple(!b.fits, b.tasters, b.servings_per_spot, b.portions_a_head());
    });
    return given;
}

}   // namespace oddplate::methods
