// Folding the log: one small function a kind of act, in a table.

#include "oddplate/tasting/state.hpp"

#include <algorithm>
#include <map>
#include <stdexcept>

#include "oddplate/tasting/plan_json.hpp"

namespace oddplate::tasting {
namespace {

using core::Json;

std::string text_or_empty(const Json& body, std::string_view key) {
    const Json* value = body.find(key);
    return value != nullptr && value->is_string() ? value->as_string() : std::string();
}

bool flag_of(const Json& body, std::string_view key) {
    const Json* value = body.find(key);
    return value != nullptr && value->is_bool() && value->as_bool();
}

int int_of(const Json& body, std::string_view key) { return static_cast<int>(body.at(key).as_integer()); }

/// A ballot of the plan.
int ballot_from(const State& state, const Json& name) {
    const int ballot = state.ballot_of(name.as_string());
    if (ballot < 0) throw std::runtime_error("ballot");
    return ballot;
}

int ballot_in(const State& state, const Json& body) { return ballot_from(state, body.at("ballot")); }

void fold_planned(State& state, const Json& body, const LogRow& row) {
    auto plan = read_plan(core::to_text(body.at("plan")), "plan");
    if (!plan) throw std::runtime_error("plan");
    state.plan = std::move(*plan);
    state.planned_at = row.at;
}

void fold_drawn(State& state, const Json& body, const LogRow& row) {
    std::vector<std::string> guests;
    if (const Json* lines = body.find("guests"))
        for (const Json& line : lines->as_array()) guests.push_back(line.as_string());
    if (guests.empty() && !state.host_number.empty()) ++state.host_numbers_dropped;
    const std::string& fingerprint = body.at("fingerprint").as_string();
    if (!core::from_hex(fingerprint, "fingerprint")) throw std::runtime_error("fingerprint");
    state.draws.push_back({.number = int_of(body, "draw"),
                           .fingerprint = fingerprint,
                           .log_head = row.hash,
                           .seed_given = flag_of(body, "seed_given"),
                           .sealed = flag_of(body, "sealed"),
                           .draw_version = int_of(body, "draw_version"),
                           .at = row.at,
                           .guests = guests,
                           .host_number = guests.empty() ? std::string() : state.host_number});
    state.host_number.clear();
    state.stage = Stage::drawn;
}

void fold_host_committed(State& state, const Json& body, const LogRow&) {
    if (!state.host_number.empty()) ++state.host_numbers_dropped;
    state.host_number = body.at("number").as_string();
}

void fold_unsealed(State& state, const Json&, const LogRow&) { state.unsealed = true; }

void fold_handed(State& state, const Json& body, const LogRow& row) {
    const int ballot = ballot_in(state, body);
    state.handed.push_back(ballot);
    state.heard_of[ballot] = row.at;
    if (const std::string taster = text_or_empty(body, "taster"); !taster.empty()) state.tasters[ballot] = taster;
}

/// The answer as it is kept, or nothing for the last box.
KeptAnswer* fold_answer(State& state, const Json& item, const std::string& at) {
    const auto& list = item.as_array();
    const int ballot = ballot_from(state, list.at(0));
    const int set = static_cast<int>(list.at(1).as_integer()) - 1;
    const std::string& text = list.at(2).as_string();
    if (list.size() > 3 && list[3].is_string()) state.tasters[ballot] = list[3].as_string();
    state.heard_of[ballot] = at;
    const std::string note = list.size() > 4 && list[4].is_string() ? list[4].as_string() : std::string();
    if (set < 0) {
        state.told[ballot] = text == "yes";
        state.told_what[ballot] = note;
        return nullptr;
    }
    return &(state.answers[{ballot, set}] = {.text = text, .at_close = text, .note = note});
}

/// A file of answers is one row of the log: they are taken from its text one by one, and that they were late is said after them.
bool fold_answered(State& state, const LogRow& row) {
    std::vector<KeptAnswer*> kept;
    const auto body = core::parse_json_rows(row.body, "answers", [&](const Json& item) {
        if (KeptAnswer* const answer = fold_answer(state, item, row.at)) kept.push_back(answer);
    });
    if (!body || !body->at("answers").is_array()) return false;
    for (KeptAnswer* const answer : kept) answer->from = text_or_empty(*body, "from");
    if (!flag_of(*body, "late")) return true;
    for (KeptAnswer* const answer : kept) {
        answer->late = true;
        answer->at_close.clear();
    }
    state.late_answers += static_cast<int>(kept.size());
    return true;
}

void settle(State& state, int ballot, int set) {
    for (Difference& each : state.differences)
        if (each.ballot == ballot && each.set == set) each.settled = true;
}

void fold_differed(State& state, const Json& body, const LogRow& row) {
    for (const Json& item : body.at("answers").as_array()) {
        const auto& list = item.as_array();
        const int ballot = ballot_from(state, list.at(0));
        state.differences.push_back({.ballot = ballot, .set = static_cast<int>(list.at(1).as_integer()) - 1, .answer = list.at(2).as_string(), .from = text_or_empty(body, "from")});
        state.heard_of[ballot] = row.at;
    }
}

void fold_first_stands(State& state, const Json& body, const LogRow&) { settle(state, ballot_in(state, body), int_of(body, "set") - 1); }

void fold_corrected(State& state, const Json& body, const LogRow&) {
    const int ballot = ballot_in(state, body);
    const int set = int_of(body, "set") - 1;
    const std::string& text = body.at("answer").as_string();
    const bool after_opening = flag_of(body, "after_opening");
    if (after_opening) ++state.corrections_after_opening;
    settle(state, ballot, set);
    if (set < 0) {
        state.told[ballot] = text == "yes";
        return;
    }
    for (WithdrawalMade& made : state.withdrawals) made.before.erase({ballot, set});
    KeptAnswer& kept = state.answers[{ballot, set}];
    kept.text = text;
    ++kept.corrections;
    if (!after_opening) kept.at_close = text;
}

void fold_spoiled(State& state, const Json& body, const LogRow&) {
    state.spoiled.push_back({ballot_in(state, body), text_or_empty(body, "why")});
}

void fold_swapped(State& state, const Json& body, const LogRow&) {
    const auto& pair = body.at("ballots").as_array();
    state.swaps.push_back({ballot_from(state, pair.at(0)), ballot_from(state, pair.at(1)),
                           int_of(body, "set") - 1, text_or_empty(body, "why")});
}

void fold_stopped(State& state, const Json& body, const LogRow&) {
    state.stops.push_back({body.at("spot").as_string(), text_or_empty(body, "why")});
}

void fold_withdrawn(State& state, const Json& body, const LogRow&) {
    if (state.plan.version_index(body.at("version").as_string()) < 0) throw std::runtime_error("version");
    WithdrawalMade made{.version = body.at("version").as_string(), .why = text_or_empty(body, "why"), .from = state.tonight()};
    for (const auto& [place, kept] : state.answers) made.before.insert(place);
    state.withdrawals.push_back(std::move(made));
}

void fold_served_again(State& state, const Json& body, const LogRow&) {
    for (WithdrawalMade& made : state.withdrawals) {
        if (made.version != body.at("version").as_string() || made.until) continue;
        made.until = state.tonight();
        made.why_back = text_or_empty(body, "why");
    }
    std::erase_if(state.withdrawals, [](const WithdrawalMade& made) { return made.until == made.from; });   // by mistake: it never was
}

void fold_tubs(State& state, const Json& body, const LogRow&) {
    if (state.plan.version_index(body.at("version").as_string()) < 0) throw std::runtime_error("version");
    state.tubs.push_back({body.at("row").as_string(), body.at("letter").as_string(), body.at("version").as_string(), text_or_empty(body, "why")});
}

void fold_revealed(State& state, const Json& body, const LogRow&) {
    state.reveals.push_back({ballot_in(state, body), int_of(body, "set") - 1, body.at("code").as_string(), text_or_empty(body, "why")});
}

void fold_closed(State& state, const Json&, const LogRow& row) {
    state.stage = Stage::closed;
    state.closed_at = row.at;
}

void fold_evening_over(State& state, const Json& body, const LogRow&) {
    const int evening = int_of(body, "evening") - 1;
    if (evening < 0 || evening >= static_cast<int>(state.plan.evenings.size())) throw std::runtime_error("evening");
    state.evenings_over.push_back(evening);
}

void fold_looked(State& state, const Json& body, const LogRow&) { state.looks[int_of(body, "evening") - 1] = flag_of(body, "may_end"); }

void fold_opened_early(State& state, const Json& body, const LogRow&) { state.early_openings.push_back(text_or_empty(body, "why")); }
void fold_follows(State& state, const Json& body, const LogRow&) { state.follows = body.at("tasting").as_string(); }
void fold_nothing(State&, const Json&, const LogRow&) {}

using Folder = void (*)(State&, const Json&, const LogRow&);

const std::map<std::string_view, Folder>& folders() {
    static const std::map<std::string_view, Folder> k_folders{
        {kinds::planned, fold_planned},     {kinds::drawn, fold_drawn},         {kinds::printed, fold_nothing},
        {kinds::handed, fold_handed},       {kinds::spoiled, fold_spoiled},
        {kinds::corrected, fold_corrected}, {kinds::second_pass, fold_nothing}, {kinds::swapped, fold_swapped},
        {kinds::differed, fold_differed},   {kinds::first_stands, fold_first_stands},
        {kinds::stopped, fold_stopped},     {kinds::withdrawn, fold_withdrawn}, {kinds::served_again, fold_served_again},
           {kinds::tubs_found, fold_tubs},     {kinds::revealed, fold_revealed},
        {kinds::closed, fold_closed},       {kinds::opened_early, fold_opened_early}, {kinds::follows, fold_follows},
        {kinds::evening_over, fold_evening_over}, {kinds::looked, fold_looked},
        {kinds::host_committed, fold_host_committed}, {kinds::unsealed, fold_unsealed}};
    return k_folders;
}

/// False where the row has another shape than its kind. Throws where its body has.
bool fold_row(State& state, const LogRow& row) {
    if (row.seq != state.last_seq + 1 || (row.seq == 1) != (row.kind == kinds::planned)) return false;
    if (row.kind == kinds::answered) return fold_answered(state, row);
    const auto folder = folders().find(row.kind);
    const auto body = core::parse_json(row.body);
    if (folder == folders().end() || !body) return false;
    folder->second(state, *body, row);
    return true;
}

}   // namespace

bool State::is_spoiled(int ballot) const {
    return std::any_of(spoiled.begin(), spoiled.end(), [&](const Spoiled& s) { return s.ballot == ballot; });
}

std::vector<Difference> State::open_differences() const {
    std::vector<Difference> open;
    for (const Difference& each : differences) {
        const auto kept = answers.find({each.ballot, each.set});
        std::erase_if(open, [&](const Difference& earlier) { return earlier.ballot == each.ballot && earlier.set == each.set; });
        if (!each.settled && !is_spoiled(each.ballot) && kept != answers.end() && kept->second.text != each.answer) open.push_back(each);
    }
    return open;
}

bool State::is_stopped(const std::string& spot) const {
    return std::any_of(stops.begin(), stops.end(), [&](const StopMade& s) { return s.spot == spot; });
}

bool State::is_withdrawn(const std::string& version) const {
    return std::any_of(withdrawals.begin(), withdrawals.end(), [&](const WithdrawalMade& w) { return w.version == version && w.is_off(tonight()); });
}

std::size_t State::off_at(int evening) const {
    return static_cast<std::size_t>(std::count_if(withdrawals.begin(), withdrawals.end(), [&](const WithdrawalMade& w) { return w.is_off(evening); }));
}

int State::eaten_by(int ballot, int set) const {
    for (auto swap = swaps.rbegin(); swap != swaps.rend(); ++swap) {
        if (swap->set != set) continue;
        if (ballot == swap->ballot_a) ballot = swap->ballot_b;
        else if (ballot == swap->ballot_b) ballot = swap->ballot_a;
    }
    return ballot;
}

std::size_t State::may_lack(int ballot, int set) const {
    if (!ran_out) return off_at(plan.evening_at(ballot));
    const auto found = ran_out->find({eaten_by(ballot, set), set});
    return found == ran_out->end() ? 0 : found->second;
}

const std::vector<std::string>& State::codes_meant(int ballot, int set, const std::string& typed) const {
    const auto codes_of = [&](int number) -> const std::vector<std::string>& { return room.ballots[static_cast<std::size_t>(number)].sets[static_cast<std::size_t>(set)].codes; };
    const auto named = [&](const std::vector<std::string>& codes) {
        return std::count_if(codes.begin(), codes.end(), [&](const std::string& code) { return typed.find(code) != std::string::npos; });
    };
    const auto &own = codes_of(ballot), &eaten = codes_of(eaten_by(ballot, set));
    return named(eaten) > named(own) ? eaten : own;
}

bool State::is_over(int evening) const {
    return stage == Stage::closed || std::find(evenings_over.begin(), evenings_over.end(), evening) != evenings_over.end();
}

int State::tonight() const {
    const int last = std::max(0, static_cast<int>(plan.evenings.size()) - 1);
    int evening = 0;
    while (evening < last && is_over(evening)) ++evening;
    return evening;
}

core::Status fold(State& state, const std::vector<LogRow>& rows) {
    for (const LogRow& row : rows) {
        const auto unreadable = [&] {
            return core::fault(core::ErrorKind::check_failed, "row-unreadable",
                               "row " + std::to_string(row.seq) + " of the log of " + state.id + " (" + row.kind +
                                   ") cannot be read: it was changed, or written by a newer program");
        };
        try {
            if (!fold_row(state, row)) return unreadable();
        } catch (const std::exception&) {   // a body of another shape than its kind has
            return unreadable();
        }
        state.last_seq = row.seq;
        state.head = row.hash;
    }
    return core::Done{};
}

}   // namespace oddplate::tasting
