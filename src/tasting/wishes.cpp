// The plan of what was wished. Method and settings are the trade's; the cook's words stand where it is asked.

#include "oddplate/tasting/wishes.hpp"

#include <algorithm>
#include <charconv>
#include <cmath>

#include "oddplate/core/text.hpp"
#include "oddplate/stats/curves.hpp"

namespace oddplate::tasting {
namespace {

using core::Json;

Json texts(const std::vector<std::string>& list) {
    Json out = Json::array();
    for (const std::string& text : list) out.push(text);
    return out;
}

/// "How many in ten" means one gap in all questions: the triangle's, in thousandths.
double gap(double share) {
    return std::round(1000 * *stats::d_from_discriminators(stats::triangle_link(), share)) / 1000;
}

Json round_json(const Wishes& wishes) {
    Json round = Json::object();
    const double share = wishes.in_ten / 10.0;
    switch (wishes.asked) {
        case Asked::noticed:
            round.set("method", "triangle").set("aim", "difference").set("detect_pd", share);
            break;
        case Asked::few:
            round.set("method", "triangle").set("aim", "similarity").set("same_below_pd", share);
            break;
        case Asked::liked:
            round.set("method", "paired-preference").set("no_preference", true).set("share", share);
            break;
        case Asked::stronger:
            round.set("method", "two-afc")
                .set("attribute", wishes.attribute)
                .set("stronger", wishes.stronger)
                .set("detect_d", gap(share));
            break;
    }
    if (!wishes.spots.empty()) round.set("spots", texts(wishes.spots));
    if (wishes.spots.size() > 2) round.set("spots_per_taster", 2);   // two trays a head: a third tires
    return round;
}

Json version_json(const core::Words& words, const char* id, const char* plain, const std::optional<double>& salt) {
    Json version = Json::object();
    version.set("id", id);
    version.set("label", salt ? words.text("wizard.label.salt", {{"percent", core::shortest(*salt)}}) : words.text(plain));
    return version;
}

}   // namespace

std::optional<double> number_in(std::string text) {
    std::replace(text.begin(), text.end(), ',', '.');
    double value = 0;
    const auto [end, fault] = std::from_chars(text.data(), text.data() + text.size(), value);
    if (fault != std::errc{} || end != text.data() + text.size()) return std::nullopt;
    return value;
}

std::vector<std::string> names_in(const std::string& text) {
    std::vector<std::string> names;
    for (const std::string& part : core::split(text, ','))
        if (const std::string name = core::trimmed(part); !name.empty()) names.push_back(name);
    return names;
}

Json plan_of(const Wishes& wishes, const core::Words& words) {
    Json plan = Json::object();
    plan.set("title", wishes.title);
    const bool alike = wishes.salt_usual && wishes.salt_usual == wishes.salt_new;   // then the salt names neither
    const auto label_salt = [&](const std::optional<double>& salt) { return alike ? std::nullopt : salt; };
    plan.set("versions", Json(Json::Array{version_json(words, "current", "wizard.label.usual", label_salt(wishes.salt_usual)),
                                          version_json(words, "new", "wizard.label.new", label_salt(wishes.salt_new))}));
    plan.set("tasters", wishes.people);
    plan.set("rounds", Json(Json::Array{round_json(wishes)}));
    if (wishes.grams) plan.set("grams", *wishes.grams);
    if (wishes.salt_usual)
        plan.set("salt_percent", Json::object().set("current", *wishes.salt_usual).set("new", *wishes.salt_new));
    plan.set("warm", wishes.warm);
    if (!wishes.start.empty()) plan.set("start", wishes.start);
    if (!wishes.allergens.empty()) plan.set("allergens", texts(wishes.allergens));
    return plan;
}

}   // namespace oddplate::tasting
