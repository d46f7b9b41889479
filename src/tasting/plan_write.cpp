// The canonical plan: every default filled in, so that two files that mean the same have one fingerprint's worth of text.

#include "oddplate/core/text.hpp"
#include "oddplate/methods/method.hpp"
#include "oddplate/tasting/plan_json.hpp"

namespace oddplate::tasting {
namespace {

using core::Json;

Json setting_json(const methods::SettingValue& value) {
    return std::visit([](const auto& v) { return Json(v); }, value);
}

Json texts_json(const std::vector<std::string>& texts) {
    Json list = Json::array();
    for (const auto& text : texts) list.push(text);
    return list;
}

Json round_json(const methods::Round& round) {
    Json out = Json::object();
    out.set("method", round.method);
    if (round.spots != std::vector<std::string>{""}) out.set("spots", texts_json(round.spots));
    out.set("decide_on", methods::to_text(round.decide_on));
    out.set("alpha", round.alpha);
    out.set("power", round.power);
    out.set("hide_spots", round.hide_spots);
    out.set("sets_per_taster", round.sets_per_taster);
    out.set("spots_per_taster", round.spots_each());
    if (round.blank_sets > 0) out.set("blank_sets", round.blank_sets);   // left out at 0: fingerprints of older plans stay
    if (!round.reasons.empty()) out.set("reasons", core::joined(round.reasons, ", "));
    for (const auto& [key, value] : round.settings) out.set(key, setting_json(value));
    return out;
}

}   // namespace

Json plan_to_json(const methods::Plan& plan) {
    Json out = Json::object();
    out.set("format", "oddplate.plan");
    out.set("version", 1);
    out.set("title", plan.title);
    Json versions = Json::array();
    for (const auto& version : plan.versions) {
        Json item = Json::object();
        item.set("id", version.id);
        item.set("label", version.label);
        versions.push(std::move(item));
    }
    out.set("versions", std::move(versions));
    out.set("tasters", plan.tasters);
    out.set("spares", plan.spares);
    out.set("alpha", plan.alpha);
    out.set("power", plan.power);
    Json rounds = Json::array();
    for (const auto& round : plan.rounds) rounds.push(round_json(round));
    out.set("rounds", std::move(rounds));
    out.set("pieces", plan.pieces);
    if (plan.grams) out.set("grams", *plan.grams);
    const auto by_name = [&](const char* key, const auto& map) {
        if (map.empty()) return;
        Json object = Json::object();
        for (const auto& [name, value] : map) object.set(name, Json(value));
        out.set(key, std::move(object));
    };
    by_name("salt_percent", plan.salt_percent);
    by_name("spots_at", plan.spots_at);
    by_name("first_ballots", plan.first_ballots);
    out.set("allergens", texts_json(plan.allergens));
    out.set("insiders", texts_json(plan.insiders));
    out.set("waves", plan.waves);
    out.set("spot_order", plan.spot_order == methods::SpotOrder::together ? "together" : "balanced");
    if (!plan.start.empty()) out.set("start", plan.start);
    out.set("warm", plan.warm);
    if (plan.warm_up) out.set("warm_up", true);   // left out at false: fingerprints of older plans stay
    out.set("same_recipe", plan.same_recipe);
    if (!plan.evenings.empty()) {   // left out for one evening: fingerprints of older plans stay
        Json evenings = Json::array();
        for (const auto& evening : plan.evenings) {
            Json item = Json::object();
            if (!evening.date.empty()) item.set("date", evening.date);
            item.set("tasters", evening.tasters);
            if (!evening.lot.empty()) item.set("lot", evening.lot);
            evenings.push(std::move(item));
        }
        out.set("evenings", std::move(evenings));
    }
    if (!plan.looks.empty()) {
        Json looks = Json::array();
        for (const int look : plan.looks) looks.push(look);
        out.set("looks", std::move(looks));
    }
    return out;
}

}   // namespace oddplate::tasting
