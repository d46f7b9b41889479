// Mending what goes wrong in a room: each act is a row of its own with its reason; nothing is ever written over.

#include <algorithm>

#include "object_reader.hpp"
#include "oddplate/core/text.hpp"
#include "oddplate/methods/answer.hpp"
#include "oddplate/tasting/intake.hpp"
#include "oddplate/tasting/keeper.hpp"
#include "oddplate/tasting/outcome.hpp"
#include "oddplate/tasting/typed.hpp"
#include "refusals.hpp"

namespace oddplate::tasting {
namespace {

using core::Json;

std::string rows_of(const draw::Key& key) {
    std::vector<std::string> rows;
    for (const auto& tub : key.tubs) rows.push_back(tub.spot);
    return core::joined(rows, ", ");
}

core::Status must_be_drawn(const State& state) {
    if (state.draws.empty()) return not_drawn_yet(state);
    return core::Done{};
}

/// The id of the version that is meant.
core::Result<std::string> version_of(const methods::Plan& plan, const std::string& text) {
    if (const int which = version_meant(plan, text); which >= 0) return plan.versions[static_cast<std::size_t>(which)].id;
    std::vector<std::string> ids;
    for (const auto& one : plan.versions) ids.push_back(one.id);
    return core::found("--version", "\"" + core::quoted(text) + "\"", "a version of the plan: " + core::joined(ids, ", "));
}

/// Whether an answer about each portion says nothing of one of them.
bool leaves_out(const State& state, int ballot, int set, const std::string& text) {
    const auto answer = methods::parse_answer(text);
    if (!answer) return false;
    std::size_t told = 0;
    if (const auto* scores = std::get_if<methods::Scores>(&*answer)) told = scores->scores.size();
    else if (const auto* order = std::get_if<methods::Ordering>(&*answer)) for (const auto& group : order->groups) told += group.size();
    else return false;
    return told < state.room.ballots[static_cast<std::size_t>(ballot)].sets[static_cast<std::size_t>(set)].codes.size();
}

/// The ballot and set of an answer that would count no more if the version had been served from tonight on, where there is one.
core::Result<std::optional<std::pair<int, int>>> answer_lost(const State& state, const draw::Key& key, const std::string& version) {
    judge::Case subject = case_of(state, AnswersAs::now);
    subject.room = state.room;
    subject.key = key;
    const auto now = judge::answer_rows(subject);
    if (!now) return now.faults();
    for (judge::Withdrawal& one : subject.withdrawals)
        if (one.version == state.plan.version_index(version)) one.until = std::min(one.until, state.tonight());
    const auto then = judge::answer_rows(subject);
    if (!then) return then.faults();
    for (std::size_t row = 0; row < now->size(); ++row)
        if ((*now)[row].score && !(*then)[row].score) return std::optional(std::pair((*now)[row].ballot, (*now)[row].set));
    return std::optional<std::pair<int, int>>{};
}

bool has_more_evenings(const State& state) { return state.tonight() + 1 < static_cast<int>(state.plan.evenings.size()); }

}   // namespace

core::Status Keeper::correct(const std::string& id, const Correction& correction) {
    if (auto status = check_reason(correction.why); !status) return status;
    return act(id, kinds::corrected, [&](State& state) -> core::Result<Json> {
        if (auto status = must_be_drawn(state); !status) return status.faults();
        if (state.is_opened() && !correction.after_opening) {
            return core::fault(core::ErrorKind::conflict, "opened",
                               "the list of codes of " + id + " may have been seen: a correction now needs --after-opening, and both verdicts will be shown");
        }
        if (!state.is_opened() && correction.after_opening)
            return core::fault(core::ErrorKind::usage, "not-opened", "--after-opening is for corrections after close; entry of " + id + " is still open");
        const auto ballot = ballot_named(state, correction.ballot);
        if (!ballot) return ballot.faults();
        const auto set = set_named(state, *ballot, correction.set, true);
        if (!set) return set.faults();
        const bool there = *set < 0 ? state.told.contains(*ballot) : state.answers.contains({*ballot, *set});
        if (!there) {
            return core::fault(core::ErrorKind::conflict, "nothing-to-correct",
                               "ballot " + correction.ballot + (*set < 0 ? " its last box" : " tray " + correction.set) + " has no answer yet; `oddplate enter` takes it in");
        }
        auto text = answer_text(state, *ballot, *set, correction.answer);
        if (!text) return text.faults();
        Json body = Json::object();
        body.set("ballot", correction.ballot);
        body.set("set", *set + 1);
        body.set("answer", *text);
        body.set("why", correction.why);
        if (correction.after_opening) body.set("after_opening", true);
        return body;
    });
}

core::Status Keeper::hand(const std::string& id, const std::string& ballot, const std::string& taster) {
    return act(id, kinds::handed, [&](State& state) -> core::Result<Json> {
        if (auto status = must_be_open(state); !status) return status.faults();
        const auto number = ballot_named(state, ballot);
        if (!number) return number.faults();
        if (state.is_spoiled(*number)) return core::fault(core::ErrorKind::conflict, "spoiled", "ballot " + ballot + " was marked as spoiled");
        if (auto on = must_be_on(state, *number); !on) return on.faults();
        const auto named = state.tasters.find(*number);
        if (named != state.tasters.end() && !taster.empty() && named->second != taster)
            return core::fault(core::ErrorKind::conflict, "other-taster", "ballot " + ballot + " is " + core::quoted(named->second) + "'s already");
        Json body = Json::object();
        body.set("ballot", ballot);
        if (!taster.empty()) {
            if (const auto bad = page_text_fault(taster, 60)) return core::found("--taster", *bad, "a nickname of 1 to 60 bytes");
            body.set("taster", taster);
        }
        return body;
    });
}

core::Status Keeper::spoil(const std::string& id, const std::string& ballot, const std::string& why) {
    if (auto status = check_reason(why); !status) return status;
    return act(id, kinds::spoiled, [&](State& state) -> core::Result<Json> {
        if (auto status = must_be_open(state); !status) return status.faults();
        const auto number = ballot_named(state, ballot);
        if (!number) return number.faults();
        if (state.is_spoiled(*number)) return core::fault(core::ErrorKind::conflict, "spoiled", "ballot " + ballot + " is marked as spoiled already");
        Json body = Json::object();
        body.set("ballot", ballot);
        body.set("why", why);
        return body;
    });
}

core::Status Keeper::swap(const std::string& id, const std::string& ballot_a, const std::string& ballot_b, const std::string& set,
                          const std::string& why) {
    if (auto status = check_reason(why); !status) return status;
    return act(id, kinds::swapped, [&](State& state) -> core::Result<Json> {
        if (auto status = must_be_open(state); !status) return status.faults();
        const auto a = ballot_named(state, ballot_a);
        if (!a) return a.faults();
        const auto b = ballot_named(state, ballot_b);
        if (!b) return b.faults();
        if (*a == *b) return core::found("--ballots", "ballot " + ballot_a + " twice", "the two ballots whose trays were exchanged, such as 7,12");
        if (state.plan.evening_at(*a) != state.plan.evening_at(*b))
            return core::found("--ballots", "ballots of two evenings", "two of one evening: trays of another are not there to be exchanged");
        const auto set_a = set_named(state, *a, set, false);
        if (!set_a) return set_a.faults();
        const auto set_b = set_named(state, *b, set, false);
        if (!set_b) return set_b.faults();
        const auto& of_a = state.room.ballots[static_cast<std::size_t>(*a)].sets[static_cast<std::size_t>(*set_a)];
        const auto& of_b = state.room.ballots[static_cast<std::size_t>(*b)].sets[static_cast<std::size_t>(*set_b)];
        if (of_a.round != of_b.round)
            return core::fault(core::ErrorKind::conflict, "other-round", "set " + set + " is of different courses on the two ballots, so their trays cannot stand for each other");
        Json body = Json::object();
        body.set("ballots", Json(Json::Array{ballot_a, ballot_b}));
        body.set("set", *set_a + 1);
        body.set("why", why);
        return body;
    });
}

core::Status Keeper::stop(const std::string& id, const std::string& spot, const std::string& why) {
    if (auto status = check_reason(why); !status) return status;
    return act(id, kinds::stopped, [&](State& state) -> core::Result<Json> {
        if (auto status = must_be_open(state); !status) return status.faults();
        std::vector<std::string> names;
        for (const auto& round : state.plan.rounds)
            for (const auto& name : round.spots)
                if (std::find(names.begin(), names.end(), name) == names.end()) names.push_back(name);
        const auto meant = std::find_if(names.begin(), names.end(), [&](const std::string& name) { return core::lower_ascii(name) == core::lower_ascii(core::trimmed(spot)); });
        if (meant == names.end()) return core::found("--spot", "\"" + core::quoted(spot) + "\"", "a spot of the plan: " + core::joined(names, ", "));
        if (state.is_stopped(*meant)) return core::fault(core::ErrorKind::conflict, "stopped", "spot " + *meant + " is stopped already");
        Json body = Json::object();
        body.set("spot", *meant);
        body.set("why", why);
        return body;
    });
}

core::Status Keeper::withdraw(const std::string& id, const std::string& version, const std::string& why) {
    if (auto status = check_reason(why); !status) return status;
    return act(id, kinds::withdrawn, [&](State& state) -> core::Result<Json> {
        if (auto status = must_be_open(state); !status) return status.faults();
        const auto named = version_of(state.plan, version);
        if (!named) return named.faults();
        if (state.is_withdrawn(*named)) return core::fault(core::ErrorKind::conflict, "withdrawn", "version " + *named + " is withdrawn already");
        const std::size_t left = state.plan.versions.size() - state.off_at(state.tonight()) - 1;
        if (left == 0 || (left == 1 && state.plan.versions.size() > 2))
            return core::fault(core::ErrorKind::conflict, "last-version",
                               "without version " + *named + " nothing is left to compare: close " + (has_more_evenings(state) ? "evening " + std::to_string(state.tonight() + 1) : "the tasting") + " instead");
        return Json::object().set("version", *named).set("why", why);
    });
}

core::Status Keeper::serve_again(const std::string& id, const std::string& version, const std::string& why) {
    if (auto status = check_reason(why); !status) return status;
    return act(id, kinds::served_again, [&](State& state) -> core::Result<Json> {
        if (auto status = must_be_open(state); !status) return status.faults();
        const auto named = version_of(state.plan, version);
        if (!named) return named.faults();
        const auto made = std::find_if(state.withdrawals.rbegin(), state.withdrawals.rend(), [&](const WithdrawalMade& one) { return one.version == *named; });
        if (made == state.withdrawals.rend() || made->until)
            return core::fault(core::ErrorKind::conflict, "not-withdrawn", "version " + *named + (made == state.withdrawals.rend() ? " was not withdrawn" : " is served again already"));
        const auto stays = [&](std::pair<int, int> place, const std::string& said) {
            return core::fault(core::ErrorKind::conflict, "answered-without",
                               "ballot " + state.ballot_name(place.first) + " tray " + std::to_string(place.second + 1) + " is answered without " + said + ", so version " + *named + " stays withdrawn" +
                                   (has_more_evenings(state) ? " until evening " + std::to_string(state.tonight() + 1) + " is closed" : ""));
        };
        auto paper = open_key(state);
        if (!paper) return paper.faults();
        if (*paper) {
            const auto lost = answer_lost(state, (*paper)->key, *named);
            if (!lost) return lost.faults();
            if (*lost) return stays(**lost, "it");
            return Json::object().set("version", *named).set("why", why);
        }
        for (const auto& [place, kept] : state.answers)
            if (state.plan.evening_at(place.first) >= state.tonight() && !made->before.contains(place) && !state.is_spoiled(place.first) && leaves_out(state, place.first, place.second, kept.text))
                return stays(place, "a portion, and only the list of codes can tell of which recipe");
        return Json::object().set("version", *named).set("why", why);
    });
}

core::Status Keeper::tubs_found(const std::string& id, const std::string& row, const std::string& letter, const std::string& version,
                                const std::string& why, const std::optional<SealWords>& words) {
    if (auto status = check_reason(why); !status) return status;
    return act(id, kinds::tubs_found, [&](State& state) -> core::Result<Json> {
        if (auto status = must_be_drawn(state); !status) return status.faults();
        if (state.plan.version_index(version) < 0)
            return core::found("--really", "version \"" + core::quoted(version) + "\"", "a version of the plan");
        auto paper = key(state, true, words);   // only to see which letters a row has; nothing of it is told
        if (!paper) return paper.faults();
        const auto found = std::find_if(paper->key.tubs.begin(), paper->key.tubs.end(), [&](const draw::TubRow& tub) { return tub.spot == row; });
        if (found == paper->key.tubs.end()) return core::found("--row", "\"" + core::quoted(row) + "\"", "a spot of the plan: " + rows_of(paper->key));
        if (std::find(found->letters.begin(), found->letters.end(), letter) == found->letters.end())
            return core::found("--really", "letter \"" + core::quoted(letter) + "\"", "a letter of that row");
        Json body = Json::object();
        body.set("row", row);
        body.set("letter", letter);
        body.set("version", version);
        body.set("why", why);
        return body;
    });
}

core::Result<std::string> Keeper::reveal(const std::string& id, const std::string& ballot, const std::string& code, const std::string& why,
                                         const std::optional<SealWords>& words) {
    if (auto status = check_reason(why); !status) return status.faults();
    std::string version;
    auto status = act(id, kinds::revealed, [&](State& state) -> core::Result<Json> {
        if (auto drawn = must_be_drawn(state); !drawn) return drawn.faults();
        const auto number = ballot_named(state, ballot);
        if (!number) return number.faults();
        auto paper = key(state, true, words);
        if (!paper) return paper.faults();
        const auto& sets = state.room.ballots[static_cast<std::size_t>(*number)].sets;
        for (std::size_t s = 0; s < sets.size(); ++s) {
            const auto at = std::find(sets[s].codes.begin(), sets[s].codes.end(), code);
            if (at == sets[s].codes.end()) continue;
            const auto& portion = paper->key.ballots[static_cast<std::size_t>(*number)].sets[s].portions[static_cast<std::size_t>(at - sets[s].codes.begin())];
            version = state.plan.versions[static_cast<std::size_t>(portion.version)].id;
            Json body = Json::object();
            body.set("ballot", ballot);
            body.set("set", static_cast<int>(s) + 1);
            body.set("code", code);
            body.set("why", why);
            return body;
        }
        return core::found("--code", "\"" + core::quoted(code) + "\"", "a code of ballot " + ballot);
    });
    if (!status) return status.faults();
    return version;
}

}   // namespace oddplate::tasting
