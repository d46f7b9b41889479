// Golden draws: what these seeds and plans give may change only with k_draw_version. tests/draw/rebuild_draw.py rebuilds the same
// files from the note alone. After a raised version run this test with ODDPLATE_WRITE_GOLDEN=1 to write them anew, and read the
// difference.

#include <catch2/catch.hpp>
#include <cstdlib>
#include <string>
#include <utility>

#include "oddplate/core/files.hpp"
#include "oddplate/core/json.hpp"
#include "oddplate/draw/deal.hpp"

using namespace oddplate;
using core::Json;

namespace {

struct Golden {
    methods::Plan plan;
    draw::OrdersByRound orders;
    core::Bytes32 seed;
};

int whole(const Json& object, const char* key) {
    return static_cast<int>(object.at(key).as_integer());
}

std::vector<methods::Order> read_orders(const Json& list) {
    std::vector<methods::Order> orders;
    for (const Json& item : list.as_array()) {
        methods::Order order;
        for (const Json& version : item.at("versions").as_array()) {
            order.versions.push_back(static_cast<int>(version.as_integer()));
        }
        order.reference = whole(item, "reference");
        order.trait = whole(item, "trait");
        if (item.find("batch") != nullptr) order.batch = whole(item, "batch");
        orders.push_back(order);
    }
    return orders;
}

Golden read_golden(const Json& file) {
    Golden golden;
    const Json& plan = file.at("plan");
    golden.plan.tasters = whole(plan, "tasters");
    golden.plan.spares = whole(plan, "spares");
    golden.plan.pieces = whole(plan, "pieces");
    golden.plan.versions.resize(static_cast<std::size_t>(whole(plan, "versions")));
    golden.plan.spot_order =
        plan.at("spot_order").as_string() == "together" ? methods::SpotOrder::together : methods::SpotOrder::balanced;
    for (const auto& [spot, ballots] : plan.at("first_ballots").as_object()) {
        golden.plan.first_ballots[spot] = static_cast<int>(ballots.as_integer());
    }
    for (const Json& item : plan.at("rounds").as_array()) {
        methods::Round round;
        round.spots.clear();
        for (const Json& spot : item.at("spots").as_array()) {
            round.spots.push_back(spot.as_string());
        }
        round.sets_per_taster = whole(item, "sets_per_taster");
        round.spots_per_taster = whole(item, "spots_per_taster");
        if (const Json* blanks = item.find("blank_sets"); blanks != nullptr) round.blank_sets = static_cast<int>(blanks->as_integer());
        if (const Json* sittings = item.find("sittings"); sittings != nullptr) round.sittings = static_cast<int>(sittings->as_integer());
        golden.plan.rounds.push_back(round);
        golden.orders.push_back(read_orders(item.at("orders")));
    }
    const auto seed = core::from_hex(file.at("seed").as_string(), "seed");
    REQUIRE(seed);
    golden.seed = *seed;
    return golden;
}

Json to_json(const draw::RoomSet& shown, const draw::KeySet& hidden) {
    Json codes = Json::array(), pieces = Json::array();
    for (const std::string& code : shown.codes) {
        codes.push(code);
    }
    for (const draw::KeyPortion& portion : hidden.portions) {
        pieces.push(portion.piece);
    }
    Json set = Json::object();
    set.set("round", shown.round).set("spot", shown.spot).set("order", hidden.order);
    if (hidden.is_blank()) set.set("blank", true);
    set.set("codes", codes).set("pieces", pieces).set("reference_piece", hidden.reference_piece);
    return set;
}

Json to_json(const draw::Drawn& drawn) {
    Json ballots = Json::array();
    for (std::size_t ballot = 0; ballot < drawn.room.ballots.size(); ++ballot) {
        Json sets = Json::array();
        for (std::size_t set = 0; set < drawn.room.ballots[ballot].sets.size(); ++set) {
            sets.push(to_json(drawn.room.ballots[ballot].sets[set], drawn.key.ballots[ballot].sets[set]));
        }
        ballots.push(sets);
    }
    Json tubs = Json::object();
    for (const draw::TubRow& row : drawn.key.tubs) {
        Json letters = Json::array();
        for (const std::string& letter : row.letters) {
            letters.push(letter);
        }
        tubs.set(row.spot, letters);
    }
    return Json::object().set("ballots", ballots).set("tubs", tubs);
}

// A line a ballot, so that a difference can be read.
std::string written(const Json& file) {
    std::string text = "{\n";
    for (const char* key : {"about", "draw_version", "seed", "plan"}) {
        text += "\"" + std::string(key) + "\": " + core::to_text(file.at(key)) + ",\n";
    }
    text += "\"draw\": {\"tubs\": " + core::to_text(file.at("draw").at("tubs")) + ",\n\"ballots\": [";
    std::string separator = "\n";
    for (const Json& ballot : file.at("draw").at("ballots").as_array()) {
        text += separator + core::to_text(ballot);
        separator = ",\n";
    }
    return text + "\n]}\n}\n";
}

// The lines of the note's worked draw.
std::vector<std::string> worked_lines(const draw::Drawn& drawn) {
    const std::vector<std::string> spots{"edge", "centre"};
    std::vector<std::string> lines;
    for (std::size_t ballot = 0; ballot < drawn.room.ballots.size(); ++ballot) {
        std::string line = "ballot " + std::to_string(ballot + 1), separator = ": ";
        for (std::size_t set = 0; set < drawn.room.ballots[ballot].sets.size(); ++set) {
            const draw::RoomSet& shown = drawn.room.ballots[ballot].sets[set];
            line += std::exchange(separator, ", ") + spots.at(static_cast<std::size_t>(shown.spot));
            for (std::size_t place = 0; place < shown.codes.size(); ++place) {
                const draw::KeyPortion& portion = drawn.key.ballots[ballot].sets[set].portions[place];
                line += " " + shown.codes[place] + "=" + std::to_string(portion.version) + "." + std::to_string(portion.piece);
            }
        }
        lines.push_back(line);
    }
    std::string tubs = "tubs", separator = ": ";
    for (const draw::TubRow& row : drawn.key.tubs) {
        tubs += std::exchange(separator, ", ") + row.spot + " 0=" + row.letters.at(0) + " 1=" + row.letters.at(1);
    }
    lines.push_back(tubs);
    return lines;
}

Json golden_file(const std::string& name) {
    const auto text = core::read_file(ODDPLATE_SOURCE_DIR "/tests/draw/golden_" + name + ".json");
    REQUIRE(text);
    auto file = core::parse_json(*text);
    REQUIRE(file);
    return *file;
}

}   // namespace

TEST_CASE("draw: the note's worked draw is what the program draws", "[draw][golden]") {
    const Golden golden = read_golden(golden_file("worked"));
    const auto drawn = draw::deal(golden.plan, golden.orders, golden.seed);
    REQUIRE(drawn);
    const auto note = core::read_file(ODDPLATE_SOURCE_DIR "/designs/notes/draw.md");
    REQUIRE(note);
    for (const std::string& line : worked_lines(*drawn)) {
        CAPTURE(line);
        CHECK(note->find("\n" + line + "\n") != std::string::npos);
    }
}

TEST_CASE("draw: the golden draws come out again", "[draw][golden]") {
    const std::string name = GENERATE("two_rounds", "some_spots", "three_spots", "full_ballots", "long", "many_sets", "blanks", "batches", "small_trays", "sittings", "worked");
    CAPTURE(name);
    Json file = golden_file(name);
    const Golden golden = read_golden(file);
    const auto drawn = draw::deal(golden.plan, golden.orders, golden.seed);
    REQUIRE(drawn);
    if (std::getenv("ODDPLATE_WRITE_GOLDEN") != nullptr) {
        file.set("draw_version", draw::k_draw_version).set("draw", to_json(*drawn));
        REQUIRE(core::write_file(ODDPLATE_SOURCE_DIR "/tests/draw/golden_" + name + ".json", written(file)));
    }
    const Json stored = golden_file(name);
    CHECK(stored.at("draw_version") == Json(draw::k_draw_version));
    CHECK(core::to_canonical_text(stored.at("draw")) == core::to_canonical_text(to_json(*drawn)));
}
