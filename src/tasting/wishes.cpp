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

/// Trays for small mouths: six portions a head at most. All on a tray where they are few, else three of them; two trays where that fits, so that a house of two
/// minds shows.
Json several_json(const Wishes& wishes) {
    Json round = Json::object();
    const int recipes = static_cast<int>(wishes.recipes.size());
    const bool by_spot = wishes.spots.size() > 1;
    const int tray = recipes <= 3 || (recipes == 4 && !by_spot) ? recipes : 3;
    round.set("method", wishes.asked == Asked::how_much ? "rating" : "ranking");
    if (tray < recipes) round.set("tray_size", tray);
    if (wishes.asked == Asked::worse) {
        round.set("against_usual", true).set("not_less", 0.3);
        if (tray < recipes) round.set("usual_in_every_tray", true);
    }
    // Half a step on a scale of nine between two recipes is a hair, one is what a cook would act on; people's own differences scatter by about two (common practice).
    if (wishes.asked == Asked::how_much) round.set("detect_score", 1).set("spread", 2);
    if (!wishes.spots.empty()) round.set("spots", texts(wishes.spots));
    if (wishes.spots.size() > 2) round.set("spots_per_taster", 2);
    if (!by_spot && tray == 3) round.set("sets_per_taster", 2);
    return round;
}

/// Short ids for names: the usual one is `current`, the others their slugs, with a number where two are alike.
std::vector<std::string> ids_of(const std::vector<std::string>& recipes) {
    std::vector<std::string> ids{"current"};
    for (std::size_t i = 1; i < recipes.size(); ++i) {
        std::string id = slug_of(recipes[i], 36);
        if (id.empty() || std::find(ids.begin(), ids.end(), id) != ids.end()) id += (id.empty() ? "recipe-" : "-") + std::to_string(i + 1);
        ids.push_back(std::move(id));
    }
    return ids;
}

Json round_json(const Wishes& wishes) {
    Json round = Json::object();
    const double share = wishes.in_ten / 10.0;
    if (is_about_several(wishes.asked)) return several_json(wishes);
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
        default:
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

void set_two_versions(Json& plan, const Wishes& wishes, const core::Words& words) {
    const bool alike = wishes.salt_usual && wishes.salt_usual == wishes.salt_new;   // then the salt names neither
    const auto label_salt = [&](const std::optional<double>& salt) { return alike ? std::nullopt : salt; };
    plan.set("versions", Json(Json::Array{version_json(words, "current", "wizard.label.usual", label_salt(wishes.salt_usual)),
                                          version_json(words, "new", "wizard.label.new", label_salt(wishes.salt_new))}));
}

}   // namespace

std::string slug_of(const std::string& text, std::size_t most) {
    std::string slug;
    for (const char c : core::lower_ascii(text)) {
        const bool keeps = (c >= 'a' && c <= 'z') || (c >= '0' && c <= '9');
        if (keeps)
            slug += c;
        else if (!slug.empty() && slug.back() != '-')
            slug += '-';
        if (slug.size() == most) break;
    }
    while (!slug.empty() && slug.back() == '-') slug.pop_back();
    return slug;
}

std::optional<double> number_in(std::string text) {
    std::replace(text.begin(), text.end(), ',', '.');
    if (text.size() > 1 && text[0] == '+' && text[1] != '-') text.erase(0, 1);
    double value = 0;
    const auto [end, fault] = std::from_chars(text.data(), text.data() + text.size(), value);
    if (fault != std::errc{} || end != text.data() + text.size()) return std::nullopt;
    return value;
}

std::vector<std::string> names_in(const std::string& text) {
    std::vector<std::string> names;
    for (const std::string& part : core::split(text, ','))
        if (const std::string name = core::trimmed(part); !name.empty()) names.push_back(name);
    if (names.size() > 1) {   // "a, b and c": the last two of a list
        const std::string last = names.back();
        const std::size_t at = last.starts_with("and ") ? 0 : last.find(" and ");
        if (at != std::string::npos) {
            const std::string before = core::trimmed(last.substr(0, at)), after = core::trimmed(last.substr(at == 0 ? 4 : at + 5));
            if (!after.empty()) {
                names.pop_back();
                if (!before.empty()) names.push_back(before);
                names.push_back(after);
            }
        }
    }
    return names;
}

Json plan_of(const Wishes& wishes, const core::Words& words) {
    Json plan = Json::object();
    plan.set("title", wishes.title);
    if (is_about_several(wishes.asked)) {
        const std::vector<std::string> ids = ids_of(wishes.recipes);
        Json versions = Json::array();
        for (std::size_t i = 0; i < wishes.recipes.size(); ++i) versions.push(Json::object().set("id", ids[i]).set("label", wishes.recipes[i]));
        plan.set("versions", std::move(versions));
    } else {
        set_two_versions(plan, wishes, words);
    }
    plan.set("tasters", wishes.people);
    plan.set("rounds", Json(Json::Array{round_json(wishes)}));
    if (wishes.pieces > 1) plan.set("pieces", wishes.pieces);
    if (wishes.grams) plan.set("grams", *wishes.grams);
    if (wishes.salt_usual && !is_about_several(wishes.asked))
        plan.set("salt_percent", Json::object().set("current", *wishes.salt_usual).set("new", *wishes.salt_new));
    if (wishes.waves > 0) plan.set("waves", wishes.waves);
    plan.set("warm", wishes.warm);
    if (!wishes.start.empty()) plan.set("start", wishes.start);
    if (!wishes.allergens.empty()) plan.set("allergens", texts(wishes.allergens));
    return plan;
}

}   // namespace oddplate::tasting
