// Compact lists rather than objects: a draw for 10,000 tasters is a few megabytes.

#include "oddplate/tasting/drawn_json.hpp"

#include "oddplate/tasting/plan_json.hpp"

namespace oddplate::tasting {
namespace {

using core::Json;

core::Error damaged(const char* what) {
    return core::fault(core::ErrorKind::check_failed, "damaged", std::string("the book's ") + what + " cannot be read: it was changed after it was written");
}

Json portion_json(const draw::KeyPortion& portion) {
    if (portion.role >= 0) return Json(Json::Array{portion.version, portion.piece, portion.role});
    return Json(Json::Array{portion.version, portion.piece});
}

// [order, [[version, piece], ...]] or, with a reference, [order, portions, reference, its piece]. In a blank set a portion has a
// third number and the reference a fifth entry: what it stands in for.
Json key_set_json(const draw::KeySet& set) {
    Json portions = Json::array();
    for (const auto& portion : set.portions) portions.push(portion_json(portion));
    Json out = Json::array();
    out.push(set.order);
    out.push(std::move(portions));
    if (set.reference >= 0) {
        out.push(set.reference);
        out.push(set.reference_piece);
        if (set.reference_role >= 0) out.push(set.reference_role);
    }
    return out;
}

draw::KeySet key_set_from(const Json& json) {
    const auto& list = json.as_array();
    draw::KeySet set;
    set.order = static_cast<int>(list.at(0).as_integer());
    for (const Json& portion : list.at(1).as_array()) {
        const auto& numbers = portion.as_array();
        set.portions.push_back({.version = static_cast<int>(numbers.at(0).as_integer()),
                                .piece = static_cast<int>(numbers.at(1).as_integer()),
                                .role = numbers.size() > 2 ? static_cast<int>(numbers[2].as_integer()) : -1});
    }
    if (list.size() > 3) {
        set.reference = static_cast<int>(list.at(2).as_integer());
        set.reference_piece = static_cast<int>(list.at(3).as_integer());
        if (list.size() > 4) set.reference_role = static_cast<int>(list.at(4).as_integer());
    }
    return set;
}

std::string key_to_text(const KeyPaper& paper, const core::Bytes32& salt) {
    std::string ballots = core::list_text(paper.key.ballots.size(), [&](std::size_t b) {
        Json sets = Json::array();
        for (const auto& set : paper.key.ballots[b].sets) sets.push(key_set_json(set));
        return sets;
    });
    Json tubs = Json::array();
    for (const auto& row : paper.key.tubs) {
        Json letters = Json::array();
        for (const auto& letter : row.letters) letters.push(letter);
        tubs.push(Json(Json::Array{row.spot, std::move(letters)}));
    }
    Json out = Json::object();
    if (paper.host) out.set("host", core::to_hex(*paper.host));
    out.set("salt", core::to_hex(salt));
    out.set("seed", core::to_hex(paper.seed));
    out.set("tubs", std::move(tubs));
    return "{\"ballots\":" + ballots + "," + core::to_text(out).substr(1);
}

}   // namespace

std::string room_to_text(const draw::Room& room) {
    return core::list_text(room.ballots.size(), [&](std::size_t b) {
        const draw::RoomBallot& ballot = room.ballots[b];
        Json sets = Json::array();
        for (const auto& set : ballot.sets) {
            Json codes = Json::array();
            for (const auto& code : set.codes) codes.push(code);
            Json item = Json::array();
            item.push(set.round);
            item.push(set.spot);
            item.push(std::move(codes));
            if (!set.reference.empty()) item.push(set.reference);
            sets.push(std::move(item));
        }
        Json item = Json::array();
        item.push(ballot.spare);
        item.push(std::move(sets));
        return item;
    });
}

core::Result<draw::Room> room_from_text(const std::string& text) {
    try {
        draw::Room room;
        const auto take = [&](const Json& item) {
            draw::RoomBallot ballot{.spare = item.as_array().at(0).as_bool(), .sets = {}};
            for (const Json& part : item.as_array().at(1).as_array()) {
                const auto& list = part.as_array();
                draw::RoomSet set{.round = static_cast<int>(list.at(0).as_integer()), .spot = static_cast<int>(list.at(1).as_integer()), .codes = {}, .reference = {}};
                for (const Json& code : list.at(2).as_array()) set.codes.push_back(code.as_string());
                if (list.size() > 3) set.reference = list.at(3).as_string();
                ballot.sets.push_back(std::move(set));
            }
            room.ballots.push_back(std::move(ballot));
        };
        const auto rest = core::parse_json_rows(text, "", take);
        if (!rest || !rest->is_array()) return damaged("ballots");
        return room;
    } catch (const std::exception&) {   // a shape that our own writer never makes
        return damaged("ballots");
    }
}

std::string key_to_text(const KeyPaper& paper) { return key_to_text(paper, paper.salt); }

core::Result<KeyPaper> key_from_text(const std::string& text) {
    try {
        KeyPaper paper;
        const auto take = [&](const Json& item) {
            draw::KeyBallot ballot;
            for (const Json& set : item.as_array()) ballot.sets.push_back(key_set_from(set));
            paper.key.ballots.push_back(std::move(ballot));
        };
        const auto json = core::parse_json_rows(text, "ballots", take);
        if (!json || !json->at("ballots").is_array()) return damaged("list of codes");
        auto seed = core::from_hex(json->at("seed").as_string(), "seed");
        auto salt = core::from_hex(json->at("salt").as_string(), "salt");
        if (!seed || !salt) return damaged("list of codes");
        paper.seed = *seed;
        paper.salt = *salt;
        if (const Json* host = json->find("host")) {
            auto part = core::from_hex(host->as_string(), "host");
            if (!part) return damaged("list of codes");
            paper.host = *part;
        }
        for (const Json& item : json->at("tubs").as_array()) {
            draw::TubRow row{.spot = item.as_array().at(0).as_string(), .letters = {}};
            for (const Json& letter : item.as_array().at(1).as_array()) row.letters.push_back(letter.as_string());
            paper.key.tubs.push_back(std::move(row));
        }
        return paper;
    } catch (const std::exception&) {
        return damaged("list of codes");
    }
}

std::string fingerprint(const methods::Plan& plan, const draw::Room& room, const KeyPaper& paper, int draw_version) {
    return core::to_hex(core::sha256("oddplate draw " + std::to_string(draw_version) + "\n" + core::to_canonical_text(plan_to_json(plan)) + "\n" +
                                     room_to_text(room) + "\n" + key_to_text(paper, {}) + "\n" + core::to_hex(paper.salt)));
}

}   // namespace oddplate::tasting
