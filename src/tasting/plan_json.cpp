// Reading a plan gathers every fault before it gives up: a cook mends the file once, not ten times.

#include "oddplate/tasting/plan_json.hpp"

#include <algorithm>
#include <array>
#include <set>

#include "object_reader.hpp"
#include "oddplate/core/text.hpp"
#include "oddplate/core/word_split.hpp"
#include "oddplate/methods/method.hpp"

namespace oddplate::tasting {
namespace {

using core::Json;
using methods::Plan;
using methods::Round;

constexpr std::string_view k_format = "oddplate.plan";
constexpr std::array<std::string_view, 3> k_rules{"overall", "any-spot", "each-spot"};
constexpr std::array<std::string_view, 2> k_spot_orders{"balanced", "together"};

bool is_version_id(const std::string& id) {
    return !id.empty() && id.size() <= 40 && std::all_of(id.begin(), id.end(), [](char c) {
        return (c >= 'a' && c <= 'z') || (c >= 'A' && c <= 'Z') || (c >= '0' && c <= '9') || c == '-' || c == '_' || c == '.';
    });
}

/// False where a version is missing or wrong, so that what names a version can't be held against the list.
bool read_versions(ObjectReader& top, Plan& plan, core::Faults& faults) {
    const std::size_t before = faults.size();
    const Json* list = top.list("versions", true);
    if (list == nullptr) return false;
    if (list->as_array().size() < 2 || list->as_array().size() > 12)
        top.add("versions", std::to_string(list->as_array().size()) + " versions", "2 to 12, the current recipe first");
    for (std::size_t i = 0; i < list->as_array().size(); ++i) {
        const Json& item = list->as_array()[i];
        const std::string place = "/versions/" + std::to_string(i);
        if (!item.is_object()) {
            faults.push_back(
                core::found(place, core::describe(item), "an object such as {\"id\":\"new\",\"label\":\"2.0 % cure\"}"));
            continue;
        }
        ObjectReader reader(item, place, faults);
        methods::Version version{.id = reader.text("id", true).value_or(""), .label = {}};
        version.label = reader.text("label").value_or(version.id);
        reader.refuse_the_rest();
        if (version.id.empty()) continue;
        if (!is_version_id(version.id)) {
            reader.add("id", "\"" + core::quoted(version.id) + "\"", "a short word of letters, digits, - _ or .");
        } else if (plan.version_index(version.id) >= 0) {
            reader.add("id", "\"" + version.id + "\" a second time", "an id of its own for each version");
        }
        plan.versions.push_back(std::move(version));
    }
    return faults.size() == before;
}

void read_round_spots(ObjectReader& reader, Round& round) {
    const auto spots = reader.texts("spots");
    if (spots && spots->empty())
        reader.add_once("spots", "an empty list", "at least one spot (leave `spots` out for one unnamed spot)");
    if (spots && spots->size() > 12) reader.add("spots", std::to_string(spots->size()) + " spots", "12 at most");
    if (spots && !spots->empty()) round.spots = *spots;
    round.sets_per_taster = reader.whole("sets_per_taster", 1, 20).value_or(1);
    const Json* list = reader.any("spots");   // counted as written: a spot that is wrong is a spot all the same
    const int most = list == nullptr ? 1 : list->is_array() ? std::max(1, static_cast<int>(list->as_array().size())) : 12;
    const auto each = reader.whole("spots_per_taster", 1, most);
    round.spots_per_taster = each && *each < static_cast<int>(round.spots.size()) ? *each : 0;
}

std::optional<double> alpha_in(ObjectReader& reader) {
    const auto alpha = reader.take(methods::k_alpha);
    return alpha ? std::optional(std::get<double>(*alpha)) : std::nullopt;
}

constexpr std::size_t k_most_reasons = 12;

/// "salt, dry": beginnings of words, kept in lower case.
void read_reasons(ObjectReader& reader, Round& round) {
    const auto text = reader.text("reasons");
    if (!text) return;
    const auto wrong = [&] { reader.add("reasons", "\"" + core::quoted(*text) + "\"", "one to twelve different beginnings of words of two letters or more, with commas between, such as \"salt, dry, smok\""); };
    for (const std::string& part : core::split(*text, ',')) {
        const std::vector<std::string> words = core::words_in(part);
        if (words.size() != 1 || words.front().size() < 2 || std::find(round.reasons.begin(), round.reasons.end(), words.front()) != round.reasons.end()) return wrong();
        round.reasons.push_back(words.front());
    }
    if (round.reasons.size() > k_most_reasons) wrong();
}

void read_round_rules(ObjectReader& reader, Round& round, const Plan& plan) {
    round.alpha = alpha_in(reader).value_or(plan.alpha);
    round.power = reader.number("power", 0, 1, true).value_or(plan.power);
    round.hide_spots = reader.flag("hide_spots").value_or(false);
    if (const auto rule = reader.choice("decide_on", k_rules)) {
        round.decide_on_given = true;
        round.decide_on = static_cast<methods::DecideOn>(std::find(k_rules.begin(), k_rules.end(), *rule) - k_rules.begin());
    }
    round.blank_sets = reader.whole("blank_sets", 0, 20).value_or(0);
    read_reasons(reader, round);
}

bool is_at(const core::Faults& faults, const std::string& place) {
    return std::any_of(faults.begin(), faults.end(), [&](const core::Error& fault) { return fault.where == place; });
}

/// The method's own settings and its checks. One place gets one fault, and none that only follows from a fault in the versions.
void read_method(ObjectReader& reader, const methods::Method& method, Round& round, const Plan& plan, const std::string& place,
                 bool versions_known, core::Faults& faults) {
    std::vector<std::string> ids;
    for (const auto& version : plan.versions) ids.push_back(version.id);
    std::vector<std::string> unsure;
    for (const auto& setting : method.round_settings) {
        if (setting.kind == methods::Kind::version && !versions_known) {
            (void)reader.any(setting.key);
            unsure.push_back(reader.at(setting.key));
        } else if (auto value = reader.take(setting, ids)) {
            round.settings.emplace(std::string(setting.key), std::move(*value));
        }
    }
    reader.refuse_the_rest();
    if (!versions_known) unsure.push_back(reader.at("method"));
    core::Faults settled;
    method.settle(method, round, plan, place, settled);
    for (core::Error& fault : settled)
        if (!is_at(faults, fault.where) && std::find(unsure.begin(), unsure.end(), fault.where) == unsure.end())
            faults.push_back(std::move(fault));
}

void read_round(const Json& item, std::size_t index, Plan& plan, bool versions_known, core::Faults& faults) {
    const std::string place = "/rounds/" + std::to_string(index);
    if (!item.is_object()) {
        faults.push_back(core::found(place, core::describe(item), "an object such as {\"method\":\"triangle\"}"));
        return;
    }
    ObjectReader reader(item, place, faults);
    Round round;
    round.method = reader.text("method", true).value_or("");
    read_round_spots(reader, round);
    read_round_rules(reader, round, plan);
    if (!round.method.empty()) {
        if (const auto method = methods::find(round.method)) {
            read_method(reader, **method, round, plan, place, versions_known, faults);
        } else {
            for (core::Error error : method.faults()) {
                error.where = place + "/method";
                faults.push_back(std::move(error));
            }
        }
    }
    plan.rounds.push_back(std::move(round));   // a faulty one too: its spots are known to the rest of the plan
}

void read_rounds(ObjectReader& top, Plan& plan, bool versions_known, core::Faults& faults) {
    const Json* list = top.list("rounds", true);
    if (list == nullptr) return;
    const std::size_t n = list->as_array().size();
    if (n < 1 || n > 20) top.add("rounds", std::to_string(n) + " rounds", "1 to 20");
    for (std::size_t i = 0; i < std::min<std::size_t>(n, 20); ++i)
        read_round(list->as_array()[i], i, plan, versions_known, faults);
}

std::set<std::string> spot_names(const Plan& plan) {
    std::set<std::string> names;
    for (const auto& round : plan.rounds) names.insert(round.spots.begin(), round.spots.end());
    return names;
}

/// An object whose keys are names that the plan must know.
template <class Take>
void read_by_name(ObjectReader& top, std::string_view key, const std::set<std::string>& known, const std::string& kind,
                  Take take) {
    const Json* object = top.object(key);
    if (object == nullptr) return;
    const std::vector<std::string> names(known.begin(), known.end());
    for (const auto& [name, value] : object->as_object()) {
        const std::string place = std::string(key) + "/" + pointer_token(name);
        if (known.contains(name)) {
            take(name, value, place);
        } else {
            const std::string near = core::nearest(name, names);
            top.add(place, "a " + kind + " that the plan does not have", "one of " + core::joined(names, ", "),
                    near.empty() ? "" : "did you mean \"" + near + "\"?");
        }
    }
}

void read_salt(ObjectReader& top, Plan& plan, bool versions_known) {
    if (!versions_known) {
        (void)top.object("salt_percent");
        return;
    }
    std::set<std::string> ids;
    for (const auto& version : plan.versions) ids.insert(version.id);
    read_by_name(top, "salt_percent", ids, "version", [&](const std::string& name, const Json& value, const std::string& place) {
        if (value.is_number() && value.as_number() >= 0 && value.as_number() <= 100)
            plan.salt_percent[name] = value.as_number();
        else
            top.add(place, core::describe(value), "a number from 0 to 100");
    });
}

void read_kitchen(ObjectReader& top, Plan& plan, bool tasters_known) {
    plan.pieces = top.whole("pieces", 1, 1000).value_or(1);
    for (std::size_t i = 0; i < plan.rounds.size(); ++i)
        if (plan.rounds[i].blank_sets > 0 && plan.pieces < 2)
            top.add_once("rounds/" + std::to_string(i) + "/blank_sets", std::to_string(plan.rounds[i].blank_sets),
                         "0, or a plan with \"pieces\" of 2 or more: a blank set holds two pieces of one recipe");
    plan.grams = top.number("grams", 0, 1000, true);
    plan.warm = top.flag("warm").value_or(false);
    plan.warm_up = top.flag("warm_up").value_or(false);
    plan.allergens = top.texts("allergens").value_or(std::vector<std::string>{});
    const auto spots = spot_names(plan);
    read_by_name(top, "spots_at", spots, "spot", [&](const std::string& name, const Json& value, const std::string& place) {
        if (!value.is_string())
            top.add(place, core::describe(value), "text in quotes");
        else if (const auto bad = plan_text_fault(value.as_string(), 120))
            top.add(place, *bad, "text of 1 to 120 bytes on one line");
        else
            plan.spots_at[name] = value.as_string();
    });
    read_by_name(top, "first_ballots", spots, "spot", [&](const std::string& name, const Json& value, const std::string& place) {
        const auto first = whole_in(value, 1, plan.tasters);
        if (first)
            plan.first_ballots[name] = *first;
        else
            top.add(place, core::describe(value),
                    "a whole number from 1 to " +
                        (tasters_known ? core::with_commas(plan.tasters) + ", the number of tasters" : "the number of tasters"));
    });
}

bool is_time_of_day(const std::string& text) {
    const auto digit = [&](std::size_t i, char most) { return text[i] >= '0' && text[i] <= most; };
    return text.size() == 5 && text[2] == ':' && digit(0, '2') && digit(1, text[0] == '2' ? '3' : '9') && digit(3, '5') &&
           digit(4, '9');
}

void read_room(ObjectReader& top, Plan& plan) {
    plan.insiders = top.texts("insiders").value_or(std::vector<std::string>{});
    plan.waves = top.whole("waves", 0, 10000).value_or(0);
    if (const auto order = top.choice("spot_order", k_spot_orders); order && *order == "together")
        plan.spot_order = methods::SpotOrder::together;
    plan.same_recipe = top.flag("same_recipe").value_or(false);
    if (const auto start = top.text("start")) {
        if (is_time_of_day(*start))
            plan.start = *start;
        else
            top.add("start", "\"" + core::quoted(*start) + "\"", "a time of day such as 18:30");
    }
}

/// Several evenings: a list of what differs between them. (The number 1, one evening, is what plans said before.)
void read_evenings(ObjectReader& top, Plan& plan, core::Faults& faults) {
    const Json* value = top.any("evenings");
    if (value == nullptr || (value->is_integer() && value->as_integer() == 1)) return;
    const std::size_t many = value->is_array() ? value->as_array().size() : 0;
    if (many < 2 || many > 20)
        return top.add("evenings", value->is_array() ? std::to_string(many) + (many == 1 ? " evening" : " evenings") : core::describe(*value),
                       "a list of 2 to 20 evenings such as {\"date\":\"14 June\",\"tasters\":24,\"lot\":\"A\"} (leave it out for one)");
    for (std::size_t e = 0; e < many; ++e) {
        const Json& item = value->as_array()[e];
        const std::string place = "/evenings/" + std::to_string(e);
        if (!item.is_object()) {
            faults.push_back(core::found(place, core::describe(item), "an object such as {\"date\":\"14 June\",\"tasters\":24,\"lot\":\"A\"}"));
            continue;
        }
        ObjectReader reader(item, place, faults);
        methods::Evening evening{.date = reader.text("date").value_or(""), .tasters = reader.whole("tasters", 1, 10000, true).value_or(1), .lot = reader.text("lot").value_or("")};
        if (evening.date.size() > 30) reader.add("date", "a text of " + std::to_string(evening.date.size()) + " bytes", "a date of at most 30 bytes, as it is to be printed");
        reader.refuse_the_rest();
        plan.evenings.push_back(std::move(evening));
    }
}

/// How many people taste and how many ballots are spare; nothing where the number of people is missing or wrong.
bool read_people(ObjectReader& top, Plan& plan) {
    int sum = 0, largest = 0;
    for (const methods::Evening& evening : plan.evenings) {
        sum += evening.tasters;
        largest = std::max(largest, evening.tasters);
    }
    const auto tasters = top.whole("tasters", 1, 10000, plan.evenings.empty());
    if (!plan.evenings.empty() && tasters && *tasters != sum)
        top.add("tasters", std::to_string(*tasters), std::to_string(sum) + ", the sum over the evenings (or leave it out)");
    if (!plan.evenings.empty() && sum > 10000) top.add("evenings", core::with_commas(sum) + " tasters", "10,000 at most");
    const bool known = plan.evenings.empty() ? tasters.has_value() : sum <= 10000;
    plan.tasters = plan.evenings.empty() ? tasters.value_or(10000) : std::min(sum, 10000);   // a plan without them goes no further than its faults
    const int tenth = ((plan.evenings.empty() ? plan.tasters : largest) + 9) / 10;
    const int evenings = std::max(1, static_cast<int>(plan.evenings.size()));
    plan.spares = top.whole("spares", 0, 10000).value_or(std::min(10000, evenings * std::max(2, tenth)));
    return known;
}

/// After which evenings the result may end the tasting. (The number 1, one look at the end, is what plans said before.)
void read_looks(ObjectReader& top, Plan& plan) {
    const Json* value = top.any("looks");
    if (value == nullptr || (value->is_integer() && value->as_integer() == 1)) return;
    const int last = static_cast<int>(plan.evenings.size()) - 1;
    const std::string expected =
        last < 1 ? "1, or several evenings: a look is made between two of them"
                 : "a list of evenings after which the result may end the tasting, from 1 to " + std::to_string(last) + ", at most 5, ascending";
    bool good = value->is_array() && last >= 1 && !value->as_array().empty() && value->as_array().size() <= 5;
    if (good)
        for (const Json& item : value->as_array()) {
            const auto after = whole_in(item, plan.looks.empty() ? 1 : plan.looks.back() + 1, last);
            good = good && after.has_value();
            if (after) plan.looks.push_back(*after);
        }
    if (good) return;
    plan.looks.clear();
    top.add("looks", value->is_array() ? core::to_text(*value) : core::describe(*value), expected);
}

/// What two parts of a plan say against each other.
void check_whole(const Plan& plan, core::Faults& faults) {
    if (plan.same_recipe && plan.salt_percent.size() > 1)
        for (const auto& [id, salt] : plan.salt_percent)
            if (salt != plan.salt_percent.begin()->second) {
                faults.push_back(
                    core::found("/same_recipe", "true, but salt_percent names different amounts", "one recipe, so one amount"));
                break;
            }

    if (!plan.evenings.empty() && !plan.first_ballots.empty())
        faults.push_back(core::found("/first_ballots", "a scarce spot in a plan of several evenings", "one or the other",
                                     "the first ballots are all dealt on the first evening"));

    // A spot's name stands on slips: one that is a version's name would tell the room what it must not know.
    for (std::size_t r = 0; r < plan.rounds.size(); ++r)
        for (std::size_t s = 0; s < plan.rounds[r].spots.size(); ++s)
            for (const auto& version : plan.versions) {
                const std::string spot = core::lower_ascii(plan.rounds[r].spots[s]);
                if (spot != core::lower_ascii(version.id) && spot != core::lower_ascii(version.label)) continue;
                faults.push_back(core::found("/rounds/" + std::to_string(r) + "/spots/" + std::to_string(s),
                                             "a spot with the name of version \"" + version.id + "\"", "a place on the cut, such as edge",
                                             "slips show it, and it would tell the room what is served"));
                break;
            }

    for (std::size_t r = 0; r < plan.rounds.size(); ++r) {
        const Round& round = plan.rounds[r];
        if (round.spots_per_taster > 0 && !plan.first_ballots.empty())
            for (const auto& spot : round.spots)
                if (plan.first_ballots.contains(spot))
                    faults.push_back(core::found("/first_ballots/" + pointer_token(spot),
                                                 "a scarce spot in a round with spots_per_taster", "one or the other",
                                                 "leave spots_per_taster out of round " + std::to_string(r + 1)));
    }
}

}   // namespace

core::Result<Plan> read_plan(std::string_view text, const std::string& file) {
    auto parsed = core::parse_json(text, {.bytes = 1u << 20, .depth = 16});
    if (!parsed) return core::within(parsed.faults(), file);
    core::Faults faults;
    if (!parsed->is_object()) return core::within({core::found("", core::describe(*parsed), "a plan, an object in { }")}, file);
    ObjectReader top(*parsed, "", faults);
    if (const auto format = top.text("format"); format && *format != k_format)
        top.add("format", "\"" + core::quoted(*format) + "\"", "\"oddplate.plan\"");
    if (const Json* version = top.any("version"); version != nullptr && !(version->is_integer() && version->as_integer() == 1))
        top.add("version", core::describe(*version), "1, the only version of plans that this program knows");
    Plan plan;
    plan.title = top.text("title", true).value_or("");
    read_evenings(top, plan, faults);
    const bool tasters_known = read_people(top, plan);
    read_looks(top, plan);
    plan.alpha = alpha_in(top).value_or(0.05);
    plan.power = top.number("power", 0, 1, true).value_or(0.8);
    const bool versions_known = read_versions(top, plan, faults);
    read_salt(top, plan, versions_known);   // a round may ask for it
    read_rounds(top, plan, versions_known, faults);
    read_kitchen(top, plan, tasters_known);
    read_room(top, plan);
    top.refuse_the_rest();
    check_whole(plan, faults);
    if (!faults.empty()) return core::within(std::move(faults), file);
    return plan;
}

}   // namespace oddplate::tasting
