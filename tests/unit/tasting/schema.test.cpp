// The schemas know what the reader knows, no more and no less; and the examples of designs/notes/formats.md are files like any
// other.
#include "plan_files.hpp"

#include <set>

#include "mini_schema.hpp"
#include "oddplate/core/csv.hpp"
#include "oddplate/core/text.hpp"
#include "oddplate/methods/method.hpp"
#include "oddplate/tasting/parcel.hpp"

using namespace oddplate;
using namespace oddplate::tasting::testing;
using Names = std::set<std::string>;

namespace {

core::Json schema(const std::string& name) {
    return json_of(text_of(designs("schema/" + name + ".schema.json")));
}

Names keys_of(const core::Json& properties) {
    Names keys;
    for (const auto& [key, value] : properties.as_object()) keys.insert(key);
    return keys;
}

/// What the reader knows at a place, as it says itself when it meets a key that is like no other.
Names known_at(const std::string& place, const std::string& text) {
    const auto plan = tasting::read_plan(text, "plan.json");
    REQUIRE_FALSE(plan);
    for (const auto& fault : plan.faults()) {
        const std::string before = "(known here: ";
        const std::size_t at = fault.text.find(before);
        if (fault.where != "plan.json " + place + "/zzzzzzzzzzzz" || at == std::string::npos) continue;
        const auto list = core::split(fault.text.substr(at + before.size(), fault.text.rfind(')') - at - before.size()), ',');
        Names names;
        for (const auto& name : list) names.insert(core::trimmed(name));
        return names;
    }
    FAIL("no fault lists the known keys of " << place);
    return {};
}

std::string plan_with(const std::string& version, const std::string& round, const std::string& top) {
    return R"({"title":"T","tasters":24,"versions":[{"id":"current")" + version + R"(},{"id":"new"}],"rounds":[{)" + round +
           "}]" + top + "}";
}

/// The first fenced block after a heading: ```json or ```csv.
std::string block_after(const std::string& text, const std::string& heading) {
    const std::size_t begin = text.find("\n## " + heading);
    REQUIRE(begin != std::string::npos);
    const std::size_t fence = text.find("```", begin);
    REQUIRE(fence != std::string::npos);
    const std::size_t from = text.find('\n', fence) + 1;
    return text.substr(from, text.find("```", from) - from);
}

void check_no_pattern(const core::Json& value) {
    if (value.is_array())
        for (const auto& item : value.as_array()) check_no_pattern(item);
    if (!value.is_object()) return;
    CHECK(value.find("pattern") == nullptr);   // patterns differ between readers of schemas; the program says such things itself
    for (const auto& [key, member] : value.as_object()) check_no_pattern(member);
}

}   // namespace

TEST_CASE("the plan's schema names exactly the keys that are read", "[schema]") {
    const core::Json plan = schema("plan");
    const std::string unknown = R"("zzzzzzzzzzzz":0)";
    CHECK(keys_of(plan.at("properties")) == known_at("", plan_with("", R"("method":"triangle")", "," + unknown)));
    CHECK(keys_of(plan.at("properties").at("versions").at("items").at("properties")) ==
          known_at("/versions/0", plan_with("," + unknown, R"("method":"triangle")", "")));
    Names rounds;
    for (const methods::Method* method : methods::all())
        rounds.merge(known_at("/rounds/0", plan_with("", R"("method":")" + std::string(method->id) + "\"," + unknown, "")));
    CHECK(keys_of(plan.at("$defs").at("round").at("properties")) == rounds);
}

TEST_CASE("ready-made plans and canonical ones fit the plan's schema", "[schema]") {
    const MiniSchema plan(schema("plan"));
    for (const auto& [name, text] : ready_made()) {
        INFO(name);
        CHECK(plan.faults(json_of(text)).empty());
        CHECK(plan.faults(tasting::plan_to_json(read_ready_made(name))).empty());
    }
}

TEST_CASE("what the schema refuses the reader refuses", "[schema]") {
    const MiniSchema plan(schema("plan"));
    const std::string triangle = R"("method":"triangle")";
    for (const std::string& text : {std::string("{}"),
                                    std::string("[]"),
                                    plan_with("", triangle, R"(,"colour":1)"),
                                    plan_with("", triangle, R"(,"alpha":5)"),
                                    plan_with("", triangle, R"(,"spares":-1)"),
                                    plan_with("", triangle, R"(,"grams":0)"),
                                    plan_with("", triangle, R"(,"pieces":1.5)"),
                                    plan_with("", triangle, R"(,"warm":"yes")"),
                                    plan_with("", triangle, R"(,"salt_percent":{"new":101})"),
                                    plan_with("", triangle, R"(,"allergens":["a","a"])"),
                                    plan_with("", triangle, R"(,"evenings":2)"),
                                    plan_with("", triangle, R"(,"version":2)"),
                                    plan_with("", triangle + R"(,"detect_pd":1)", ""),
                                    plan_with("", triangle + R"(,"spots":[])", ""),
                                    plan_with("", triangle + R"(,"aim":"x")", ""),
                                    plan_with("", triangle + R"(,"decide_on":"all")", ""),
                                    plan_with("", triangle + R"(,"detect_d":30)", ""),
                                    plan_with("", R"("spots":["a"])", ""),
                                    plan_with("", R"("method":"paired-preference","share":0.5)", ""),
                                    plan_with(R"(,"colour":1)", triangle, "")}) {
        INFO(text);
        CHECK_FALSE(plan.faults(json_of(text)).empty());
        CHECK_FALSE(tasting::read_plan(text, "plan.json").ok());
    }
}

TEST_CASE("schemas use no patterns", "[schema]") {
    for (const char* name : {"plan", "tasting"}) check_no_pattern(schema(name));
}

TEST_CASE("the kinds of act in the schema are those of the log", "[schema]") {
    // Read off the header, so that a new kind cannot be forgotten here.
    const std::string header = text_of(std::string(ODDPLATE_SOURCE_DIR) + "/include/oddplate/tasting/log.hpp");
    const std::string before = "inline constexpr const char* ";
    Names ours;
    for (std::size_t at = header.find(before); at != std::string::npos; at = header.find(before, at + 1)) {
        const std::size_t from = header.find('"', at) + 1;
        ours.insert(header.substr(from, header.find('"', from) - from));
    }
    CHECK(ours.contains(tasting::kinds::planned));
    CHECK(ours.contains(tasting::kinds::follows));
    Names named;
    const core::Json tasting = schema("tasting");
    for (const auto& kind : tasting.at("properties").at("log").at("items").at("properties").at("kind").at("enum").as_array())
        named.insert(kind.as_string());
    CHECK(named == ours);
}

TEST_CASE("the examples of the notes are real files", "[schema]") {
    const std::string notes = text_of(designs("notes/formats.md"));
    const std::string plan_text = block_after(notes, "The plan");
    CHECK(MiniSchema(schema("plan")).faults(json_of(plan_text)).empty());
    const auto plan = tasting::read_plan(plan_text, "the example");
    REQUIRE(plan);

    const std::string file = block_after(notes, "The tasting");
    CHECK(MiniSchema(schema("tasting")).faults(json_of(file)).empty());
    const auto parcel = tasting::unpack(file, "the example");   // checks the chain of the log
    if (!parcel) FAIL(parcel.faults()[0].line());
    CHECK(parcel->key.has_value());
    const auto state = tasting::state_of(*parcel);
    if (!state) FAIL(state.faults()[0].line());
    CHECK(state->stage == tasting::Stage::closed);
    CHECK(core::to_canonical_text(tasting::plan_to_json(state->plan)) == core::to_canonical_text(tasting::plan_to_json(*plan)));

    const auto table = core::parse_csv(block_after(notes, "The answers"));
    REQUIRE(table);
    CHECK(core::expect_columns(*table, {"ballot", "set", "answer"}, {"taster", "note"}).ok());
    REQUIRE(table->rows.size() == 4);   // the very answers that the tasting holds, last boxes too
    for (const auto& row : table->rows) {
        const int ballot = state->ballot_of(row.cells[0]), set = std::stoi(row.cells[1]) - 1;
        REQUIRE(ballot >= 0);
        if (set < 0)
            CHECK(state->told.at(ballot) == (row.cells[2] == "yes"));
        else
            CHECK(state->answers.at({ballot, set}).text == row.cells[2]);
    }
}
