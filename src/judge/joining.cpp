// Joining: which tray lay before whom, what was answered, and what that scores. Everything about the tray (spot, order, versions)
// comes from the tray that was eaten; everything about the person (taster, insider, told) from the ballot.

#include "joining.hpp"

#include <algorithm>
#include <map>
#include <numeric>
#include <set>
#include <utility>

#include "oddplate/core/text.hpp"
#include "oddplate/stats/promise.hpp"

namespace oddplate::judge {
namespace {

using stats::promise;

std::size_t at(int index) {
    return static_cast<std::size_t>(index);
}

std::string place_of(const Case& subject, int ballot, int set) {
    return "ballot " + subject.plan.ballot_name(ballot) + ", set " + std::to_string(set + 1);
}

core::Result<std::vector<const methods::Method*>> methods_of(const methods::Plan& plan) {
    std::vector<const methods::Method*> found;
    for (const methods::Round& round : plan.rounds) {
        const auto method = methods::find(round.method);
        if (!method) return method.faults();
        found.push_back(*method);
    }
    return found;
}

void check_sizes(const Case& subject) {
    const std::size_t ballots = subject.room.ballots.size();
    promise(subject.key.ballots.size() == ballots && subject.tasters.size() == ballots &&
            subject.void_ballots.size() == ballots && subject.told_beforehand.size() == ballots &&
            (subject.handed.empty() || subject.handed.size() == ballots));
    for (std::size_t ballot = 0; ballot < ballots; ++ballot)
        promise(subject.room.ballots[ballot].sets.size() == subject.key.ballots[ballot].sets.size());
}

/// What is looked up by ballot, or by ballot and set.
struct Lists {
    std::vector<std::vector<const GivenAnswer*>> answers;
    std::vector<std::vector<int>> trays;   ///< [ballot][set]: whose tray was eaten
    std::set<std::pair<int, int>> opened;
    std::vector<int> tasters;
    std::vector<bool> insiders, dealt;
};

void look_up_people(const Case& subject, Lists& lists) {
    std::set<std::string> insiders;
    for (const std::string& name : subject.plan.insiders) insiders.insert(folded_name(name));
    std::map<std::string, int> numbers;
    int next = 0;
    for (const std::string& nickname : subject.tasters) {
        const std::string name = folded_name(nickname);
        const auto known = name.empty() ? numbers.end() : numbers.find(name);
        lists.tasters.push_back(known == numbers.end() ? next : known->second);
        if (known == numbers.end() && !name.empty()) numbers.emplace(name, next);
        if (known == numbers.end()) ++next;
        lists.insiders.push_back(insiders.contains(name));
    }
}

Lists lists_of(const Case& subject) {
    Lists lists;
    for (std::size_t ballot = 0; ballot < subject.room.ballots.size(); ++ballot) {
        const std::size_t sets = subject.room.ballots[ballot].sets.size();
        lists.answers.emplace_back(sets, nullptr);
        lists.trays.emplace_back(sets, static_cast<int>(ballot));
    }
    for (const GivenAnswer& answer : subject.answers) {
        const GivenAnswer*& place = lists.answers.at(at(answer.ballot)).at(at(answer.set));
        promise(place == nullptr);   // one answer stands for a set
        place = &answer;
    }
    for (const Swap& swap : subject.swaps) {
        std::swap(lists.trays.at(at(swap.ballot_a)).at(at(swap.set)), lists.trays.at(at(swap.ballot_b)).at(at(swap.set)));
    }
    lists.opened.insert(subject.opened_sets.begin(), subject.opened_sets.end());
    look_up_people(subject, lists);
    for (std::size_t ballot = 0; ballot < subject.room.ballots.size(); ++ballot) {
        const auto& given = lists.answers[ballot];
        lists.dealt.push_back((!subject.handed.empty() && subject.handed[ballot]) ||
                              !folded_name(subject.tasters[ballot]).empty() || subject.void_ballots[ballot] ||
                              subject.told_beforehand[ballot].has_value() ||
                              std::any_of(given.begin(), given.end(), [](const GivenAnswer* one) { return one != nullptr; }));
    }
    return lists;
}

/// The answer with the places ringed on one slip read on the tray that lay before its taster; unchanged where its codes are that
/// tray's already.
void read_on_tray(methods::Answer& answer, const std::vector<std::string>& slip, const std::vector<std::string>& tray) {
    std::vector<std::string*> codes;
    if (auto* given = std::get_if<methods::Codes>(&answer))
        for (auto& code : given->codes) codes.push_back(&code);
    if (auto* given = std::get_if<methods::Scores>(&answer))
        for (auto& [code, score] : given->scores) codes.push_back(&code);
    if (auto* given = std::get_if<methods::Ordering>(&answer))
        for (auto& group : given->groups)
            for (auto& code : group) codes.push_back(&code);
    const auto place = [](const std::vector<std::string>& list, const std::string& code) {
        return std::find(list.begin(), list.end(), code) - list.begin();
    };
    const bool is_of_tray = std::all_of(codes.begin(), codes.end(), [&](const std::string* code) {
        return at(static_cast<int>(place(tray, *code))) < tray.size();
    });
    if (is_of_tray) return;
    for (std::string* code : codes) {
        const auto ringed = static_cast<std::size_t>(place(slip, *code));
        if (ringed < slip.size() && ringed < tray.size()) *code = tray[ringed];   // else it stays, and scoring refuses it
    }
}

void move_to_tray(const Case& subject, const JoinedSet& set, methods::Answer& answer) {
    const auto codes = [&](int ballot) -> const std::vector<std::string>& { return subject.room.ballots[at(ballot)].sets[at(set.set)].codes; };
    if (set.tray != set.ballot) read_on_tray(answer, codes(set.ballot), codes(set.tray));
}

Fate fate_of_mark(methods::Mark mark) {
    switch (mark) {
        case methods::Mark::none:
            return Fate::counted;
        case methods::Mark::blank:
            return Fate::blank;
        case methods::Mark::void_:
            return Fate::void_;
        case methods::Mark::not_served:
            return Fate::not_served;
    }
    std::abort();
}

/// Whether the recipe is off at the ballot's evening.
bool is_withdrawn(const Case& subject, int ballot, int version) {
    const int evening = subject.plan.evening_at(ballot);
    return std::any_of(subject.withdrawals.begin(), subject.withdrawals.end(), [&](const Withdrawal& one) { return one.version == version && one.from <= evening && evening < one.until; });
}

std::size_t withdrawn_on(const Case& subject, int ballot, const draw::KeySet& key) {
    if (subject.withdrawals.empty()) return 0;
    return static_cast<std::size_t>(std::count_if(key.portions.begin(), key.portions.end(), [&](const draw::KeyPortion& portion) { return is_withdrawn(subject, ballot, portion.version); }));
}

/// Whether what an order or scores leave out is withdrawn recipes alone.
bool lacks_only_withdrawn(const Case& subject, int ballot, const std::vector<std::string>& codes, const std::vector<int>& versions, const methods::Answer& answer) {
    std::set<std::string> named;
    if (const auto* given = std::get_if<methods::Scores>(&answer))
        for (const auto& [code, score] : given->scores) named.insert(code);
    if (const auto* given = std::get_if<methods::Ordering>(&answer))
        for (const auto& group : given->groups) named.insert(group.begin(), group.end());
    for (std::size_t place = 0; place < codes.size(); ++place)
        if (!named.contains(codes[place]) && !is_withdrawn(subject, ballot, versions[place])) return false;
    return true;
}

/// Scores the answer, or says by its fate why it has no score.
core::Status score(const Case& subject, const Joined& joined, Tray& tray, JoinedSet& set) {
    auto answer = methods::parse_answer(set.given->text);
    if (!answer) return core::within(answer.faults(), place_of(subject, set.ballot, set.set));
    if (const auto* mark = std::get_if<methods::Mark>(&*answer)) {
        set.fate = fate_of_mark(*mark);
        // Who could not choose is neither right nor wrong; a vote knows what to make of him.
        if (*mark == methods::Mark::none && joined.methods[at(set.round)]->scale == methods::Scale::right) set.fate = Fate::undecided;
        if (set.fate != Fate::counted) return core::Done{};
    }
    const std::vector<std::string>& codes = subject.room.ballots[at(set.tray)].sets[at(set.set)].codes;
    move_to_tray(subject, set, *answer);
    fill(tray, joined.key_of(set));
    const methods::Method& method = *joined.methods[at(set.round)];
    if (method.scale == methods::Scale::each && !lacks_only_withdrawn(subject, set.ballot, codes, tray.versions, *answer)) {
        set.fate = Fate::void_;   // a portion that was there was left out
        return core::Done{};
    }
    auto scored = method.score({codes, tray.versions, tray.reference}, *answer, subject.plan.rounds[at(set.round)], subject.plan);
    if (!scored) return core::within(scored.faults(), place_of(subject, set.ballot, set.set));
    set.fate = Fate::counted;
    set.is_scored = true;
    set.seen.scored = std::move(*scored);
    return core::Done{};
}

bool is_stopped(const Case& subject, const JoinedSet& set) {
    const std::string& spot = subject.plan.rounds[at(set.round)].spots[at(set.seen.spot)];
    return std::find(subject.stopped_spots.begin(), subject.stopped_spots.end(), spot) != subject.stopped_spots.end();
}

core::Result<JoinedSet> join_set(const Case& subject, const Lists& lists, const Joined& joined, int ballot, int index, int place,
                                 Tray& tray) {
    JoinedSet set{.ballot = ballot, .set = index, .tray = lists.trays[at(ballot)][at(index)], .seen = {}};
    const draw::RoomSet& room = subject.room.ballots[at(set.tray)].sets[at(index)];
    set.round = room.round;
    set.seen.taster = lists.tasters[at(ballot)];
    set.seen.ballot = ballot;
    set.seen.spot = room.spot;
    set.seen.order = joined.key_of(set).order;
    set.seen.place = place;
    set.is_insider = lists.insiders[at(ballot)];
    set.is_told = subject.told_beforehand[at(ballot)].value_or(false);
    const GivenAnswer* given = lists.answers[at(ballot)][at(index)];
    if (joined.methods[at(set.round)]->scale == methods::Scale::each) set.seen.pieces = pieces_on(joined.key_of(set), subject.plan.versions.size());
    if (given != nullptr) {
        set.given = given;
        set.is_late = given->late;
        if (auto done = score(subject, joined, tray, set); !done) return done.faults();
    } else if (is_stopped(subject, set) || withdrawn_on(subject, ballot, joined.key_of(set)) > 0) {
        set.fate = Fate::not_served;
    }
    const bool is_void = subject.void_ballots[at(ballot)];
    const bool is_opened = lists.opened.contains({set.tray, index});
    if (given != nullptr && given->late) set.fate = Fate::late;
    if (is_opened) set.fate = Fate::opened;
    if (is_void) set.fate = Fate::void_;
    if (is_void || is_opened) set.is_scored = false;   // under no choice of answers
    if (set.is_insider) set.fate = Fate::insider;
    return set;
}

}   // namespace

methods::Answer answer_on_tray(const Case& subject, const JoinedSet& set) {
    auto answer = methods::parse_answer(set.given->text);
    promise(answer.ok());
    move_to_tray(subject, set, *answer);
    return std::move(*answer);
}

core::Result<std::map<std::pair<int, int>, std::size_t>> ran_out_of(const Case& subject) {
    const auto methods = methods_of(subject.plan);
    if (!methods) return methods.faults();
    int changed = 0;
    const auto corrected = with_tubs_corrected(subject, *methods, changed);
    const auto& ballots = (corrected ? *corrected : subject.key).ballots;
    std::map<std::pair<int, int>, std::size_t> counts;
    for (int ballot = 0; ballot < static_cast<int>(ballots.size()); ++ballot)
        for (int set = 0; set < static_cast<int>(ballots[at(ballot)].sets.size()); ++set)
            if (const std::size_t gone = withdrawn_on(subject, ballot, ballots[at(ballot)].sets[at(set)]); gone > 0) counts.emplace(std::pair(ballot, set), gone);
    return counts;
}

std::string folded_name(const std::string& name) {
    return core::lower_ascii(core::trimmed(name));
}

void fill(Tray& tray, const draw::KeySet& key) {
    tray.reference = key.reference_stands_for();
    tray.versions.clear();
    for (const draw::KeyPortion& portion : key.portions) tray.versions.push_back(portion.stands_for());
}

std::vector<std::int32_t> pieces_on(const draw::KeySet& key, std::size_t versions) {
    std::vector<std::int32_t> pieces(versions, -1);
    for (const draw::KeyPortion& portion : key.portions) pieces[at(portion.version)] = portion.piece;
    return pieces;
}

Tray tray_of(const draw::KeySet& key) {
    Tray tray;
    fill(tray, key);
    return tray;
}

core::Result<Joined> join(const Case& subject) {
    check_sizes(subject);
    auto methods = methods_of(subject.plan);
    if (!methods) return methods.faults();
    const Lists lists = lists_of(subject);
    Joined joined;
    joined.methods = std::move(*methods);
    joined.corrected = with_tubs_corrected(subject, joined.methods, joined.changed_tubs);
    joined.key = joined.corrected ? joined.corrected.get() : &subject.key;
    joined.dealt = lists.dealt;
    std::size_t sets_in_all = 0;
    for (const draw::RoomBallot& ballot : subject.room.ballots) sets_in_all += ballot.sets.size();
    joined.sets.reserve(sets_in_all);
    core::Faults faults;
    Tray tray;
    std::vector<int> places(subject.plan.rounds.size());
    for (int ballot = 0; ballot < static_cast<int>(subject.room.ballots.size()); ++ballot) {
        if (!lists.dealt[at(ballot)]) continue;
        std::fill(places.begin(), places.end(), 0);
        const auto& sets = subject.room.ballots[at(ballot)].sets;
        for (int index = 0; index < static_cast<int>(sets.size()); ++index) {
            auto set = join_set(subject, lists, joined, ballot, index, places[at(sets[at(index)].round)]++, tray);
            if (set) {
                joined.sets.push_back(std::move(*set));
            } else {
                faults.insert(faults.end(), set.faults().begin(), set.faults().end());
            }
        }
    }
    if (!faults.empty()) return faults;
    return joined;
}

}   // namespace oddplate::judge
