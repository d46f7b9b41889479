#pragma once
// A tasting as it stands: the log, folded. Nothing here is kept anywhere else; the same rows always give the same state.

#include <map>
#include <optional>
#include <set>
#include <string>
#include <utility>
#include <vector>

#include "oddplate/core/result.hpp"
#include "oddplate/draw/draw.hpp"
#include "oddplate/methods/plan.hpp"
#include "oddplate/tasting/log.hpp"

namespace oddplate::tasting {

enum class Stage { planned, drawn, closed };

/// An answer that stands, with what it stood for before.
struct KeptAnswer {
    std::string text;
    bool late{false};                 ///< entered after close
    std::string at_close{};            ///< what stood when entry closed; differs from `text` after a correction after opening
    std::string note{};
    int corrections{0};
    std::string from{};               ///< "phone", "desk", "csv", "keyboard"
};

/// Another answer to a set that has one already. The kept one stands until somebody looks at the slip and corrects it.
struct Difference {
    int ballot, set;
    std::string answer, from;         ///< from: as KeptAnswer's, or "second": the second typing
    bool settled{false};
};

struct SwapMade { int ballot_a, ballot_b, set; std::string why; };
struct StopMade { std::string spot, why; };
/// A recipe that ran out at an evening, from 0, and may be served again from a later one on. It may run out once more then: that is another one.
struct WithdrawalMade {
    std::string version, why;
    int from{0};
    std::optional<int> until{};               ///< the evening from which on it was served again; nothing: it was not
    std::string why_back{};
    std::set<std::pair<int, int>> before{};   ///< ballot and set of the answers that stood already, and still stand as they were
    [[nodiscard]] bool is_off(int evening) const { return from <= evening && (!until || evening < *until); }
};
struct TubFound { std::string spot, letter, version, why; };
struct RevealMade { int ballot, set; std::string code, why; };
struct Spoiled { int ballot; std::string why; };

struct DrawInfo {
    int number{0};                    ///< 1 for the first draw
    std::string fingerprint;          ///< 64 hex digits
    std::string log_head{};             ///< head of the log as of the draw: the hash of its own row
    bool seed_given{false};
    bool sealed{false};
    int draw_version{0};
    std::string at{};
    std::vector<std::string> guests{};    ///< the guests' lines, in a draw with guests
    std::string host_number{};            ///< with guests: the host's number as it stood in the log before they spoke, else empty
};

/// Ballots and sets are 0-based throughout; set -1 is the last box.
struct State {
    std::string id;
    methods::Plan plan;
    Stage stage{Stage::planned};
    std::vector<DrawInfo> draws;      ///< the last one holds
    draw::Room room;                  ///< of the last draw

    std::map<std::pair<int, int>, KeptAnswer> answers;
    std::map<int, std::string> tasters;           ///< by ballot
    std::map<int, bool> told;                     ///< the last box: did something give it away?
    std::map<int, std::string> told_what;
    std::vector<int> handed;
    std::map<int, std::string> heard_of;          ///< by ballot: when it was handed out or last answered (UTC)
    std::vector<Difference> differences;          ///< oldest first
    std::vector<Spoiled> spoiled;
    std::vector<SwapMade> swaps;
    std::vector<StopMade> stops;
    std::vector<WithdrawalMade> withdrawals;      ///< recipes that ran out, as they did
    /// By ballot and set, how many portions of recipes that are off at its evening each tray holds that holds any; unset where none ran out, or the list of codes is
    /// not here to tell (sealed, or in another book).
    std::optional<std::map<std::pair<int, int>, std::size_t>> ran_out;
    std::vector<TubFound> tubs;
    std::vector<RevealMade> reveals;
    std::vector<std::string> early_openings;      ///< the reasons
    bool unsealed{false};                         ///< the sealed list of codes was opened with its words, after close
    std::string host_number;                      ///< a host's number that no draw has followed yet
    int host_numbers_dropped{0};                  ///< how many no draw followed: begun with guests and given up
    int corrections_after_opening{0};
    int late_answers{0};
    std::string follows;                          ///< the earlier tasting of the same question, or empty
    std::string planned_at, closed_at;
    std::vector<int> evenings_over;               ///< from 0, as they ended
    std::map<int, bool> looks;                    ///< by evening, from 0: whether the result let the tasting end there
    std::int64_t last_seq{0};
    std::string head;                             ///< hash of the last row

    [[nodiscard]] bool is_open_for_entry() const { return stage == Stage::drawn && early_openings.empty(); }
    [[nodiscard]] bool is_opened() const { return stage == Stage::closed || !early_openings.empty(); }
    [[nodiscard]] const DrawInfo& draw() const { return draws.back(); }
    [[nodiscard]] bool is_spoiled(int ballot) const;
    /// What nobody settled yet, the latest of each set; ballots that do not count left out.
    [[nodiscard]] std::vector<Difference> open_differences() const;
    [[nodiscard]] bool is_stopped(const std::string& spot) const;
    /// Whether it is off tonight.
    [[nodiscard]] bool is_withdrawn(const std::string& version) const;
    /// How many recipes are off at an evening, from 0.
    [[nodiscard]] std::size_t off_at(int evening) const;
    /// The ballot whose tray of this set was eaten: another one's after a swap.
    [[nodiscard]] int eaten_by(int ballot, int set) const;
    /// How many portions may be missing from what an answer says: those that ran out, or as many as recipes did where nobody can tell which tray held them.
    [[nodiscard]] std::size_t may_lack(int ballot, int set) const;
    /// The codes that an answer is about: the slip's own, or those of the tray that was eaten instead where it names more of them.
    [[nodiscard]] const std::vector<std::string>& codes_meant(int ballot, int set, const std::string& typed) const;
    /// The name that prints: "7", or "2-07" where there are several evenings.
    [[nodiscard]] std::string ballot_name(int ballot) const { return plan.ballot_name(ballot); }
    /// 0-based ballot of a name, or -1.
    [[nodiscard]] int ballot_of(const std::string& name) const { return plan.ballot_of(name); }
    /// Whether this evening, from 0, has ended; all have once the tasting is closed.
    [[nodiscard]] bool is_over(int evening) const;
    /// The first evening, from 0, that has not ended; the last one where all have.
    [[nodiscard]] int tonight() const;
};

/// Folds further rows into a state. Rows must follow on (seq = last_seq + 1); a row that cannot be read is a fault (check_failed).
[[nodiscard]] core::Status fold(State& state, const std::vector<LogRow>& rows);

}   // namespace oddplate::tasting
