#pragma once
// A tasting's life: every act there is, with its rules. Each act is one durable transaction; the answer comes after the commit.

#include <functional>
#include <optional>
#include <string>
#include <vector>

#include "oddplate/core/bytes.hpp"
#include "oddplate/core/clock.hpp"
#include "oddplate/core/json.hpp"
#include "oddplate/core/result.hpp"
#include "oddplate/tasting/book.hpp"
#include "oddplate/tasting/drawn_json.hpp"
#include "oddplate/tasting/state.hpp"

namespace oddplate::tasting {

/// One answer as it comes in. `line` says where, for the complaint.
struct IncomingAnswer {
    std::size_t line{0};
    std::string ballot, set, answer, taster{}, note{};
};

struct Rejection {
    std::size_t line;
    std::string reason;
    std::string code{};               ///< the fault's; "answered-already" where another answer stands
};

/// A good answer that is not the one which is kept; both 0-based.
struct OtherAnswer {
    int ballot, set;
    std::string answer;
};

struct Intake {
    int accepted{0};
    int already{0};
    std::vector<Rejection> rejected;
    std::vector<OtherAnswer> others;   ///< of the rejected, those that differ from what is kept
};

/// The words under which a list of codes is sealed.
using SealWords = std::vector<std::string>;

/// What a draw with guests is made of; see guests.hpp.
struct GuestsPart {
    core::Bytes32 host{};
    std::vector<std::string> lines;
};

struct DrawOptions {
    std::optional<core::Bytes32> seed{};       ///< given instead of chance; goes with neither of the others
    std::optional<SealWords> seal{};           ///< keep the list of codes under these words only
    std::optional<GuestsPart> guests{};
};

struct DrawAnswer {
    int ballots{0}, sets{0}, servings{0};
    std::string fingerprint;
    int number{1};
    std::vector<draw::Spread> spreads;
    std::optional<stats::DesignReport> trays;   ///< as draw::Drawn
    std::optional<double> beside_usual;         ///< as draw::Drawn
    std::optional<int> balanced_at;             ///< as draw::Drawn
    methods::Plan plan;                         ///< what was drawn
    int codes_dealt_again{0};
};

/// What close counts: printed = dealt + left over; dealt = returned + missing.
struct Reconciliation {
    int printed{0}, dealt{0}, left_over{0}, spoiled{0};
    int sets_dealt{0}, answered{0}, blank{0}, void_{0}, not_served{0}, missing{0};
    std::vector<std::string> missing_sets;   ///< "7/2", the first 20
};

struct EveningClosed {
    Reconciliation counts;
    int left{0};   ///< evenings that are not over
};

/// Counts the slips as they stand; pure.
[[nodiscard]] Reconciliation reconcile(const State& state);

/// The slips of the planned ballots as a pile. They are dealt off the top, so the last numbers of a short house stay over and are no fault; a ballot
/// without an answer below an answered one is a gap, and a pile of which less than half was typed is thin. Spares lie apart: they are neither expected nor
/// do they show what was dealt.
struct Pile {
    int planned{0};
    std::vector<std::string> answered, gaps;   ///< names of ballots
    bool thin{false};
};
[[nodiscard]] Pile pile_of(const State& state);
/// "3", "3 and 4", "3, 4 and 5"; of many only the first twenty.
[[nodiscard]] std::string some_names(const std::vector<std::string>& names);

/// Whether the slips look like a whole pile. The fault says what to do at the command line; closing does not ask it, whoever closes does.
[[nodiscard]] core::Status look_at_pile(const State& state);
/// What the pile is short of, in one sentence; "" where nothing.
[[nodiscard]] std::string short_of(const State& state);

struct Correction {
    std::string ballot, set, answer, why;
    bool after_opening{false};
};

class Keeper {
public:
    Keeper(Book& book, const core::Clock& clock) : m_book(book), m_clock(clock) {}

    [[nodiscard]] core::Result<State> load(const std::string& id);
    /// Folds what others wrote since.
    [[nodiscard]] core::Status refresh(State& state);

    core::Result<std::string> plan(const methods::Plan& plan, const std::string& follows = {});
    core::Result<DrawAnswer> draw(const std::string& id, const DrawOptions& options);
    /// The first step of a draw with guests: the host's part is made by chance and its number kept in the log before the guests say anything. The
    /// part itself is handed back and kept nowhere.
    core::Result<core::Bytes32> commit_host(const std::string& id);
    /// All or nothing unless keep_good; rejected rows are told either way. late: after close only.
    core::Result<Intake> enter(State& state, const std::vector<IncomingAnswer>& answers, const std::string& from, bool keep_good, bool late);
    /// Keeps what differs from the answers that stand, so that somebody looks at the slip: the first four of a set, none twice from the same side.
    core::Status note_differing(State& state, const std::vector<OtherAnswer>& others, const std::string& from);
    /// The slip was looked at: the answer that is kept is right.
    core::Status let_stand(const std::string& id, const std::string& ballot, const std::string& set, const std::string& why);
    core::Status correct(const std::string& id, const Correction& correction);
    core::Status hand(const std::string& id, const std::string& ballot, const std::string& taster);
    core::Status spoil(const std::string& id, const std::string& ballot, const std::string& why);
    core::Status swap(const std::string& id, const std::string& ballot_a, const std::string& ballot_b, const std::string& set, const std::string& why);
    core::Status stop(const std::string& id, const std::string& spot, const std::string& why);
    /// A recipe has run out: from tonight on it is served no more. Trays that held several go out without it and are answered for the rest; others come to nothing.
    core::Status withdraw(const std::string& id, const std::string& version, const std::string& why);
    /// It is served from tonight on: all along where it was withdrawn by mistake tonight. Refused where tonight's answers, as they stand now, leave its portion out.
    core::Status serve_again(const std::string& id, const std::string& version, const std::string& why);
    core::Status tubs_found(const std::string& id, const std::string& row, const std::string& letter, const std::string& version, const std::string& why,
                            const std::optional<SealWords>& words = {});
    /// The version of one code, in an emergency.
    core::Result<std::string> reveal(const std::string& id, const std::string& ballot, const std::string& code, const std::string& why,
                                     const std::optional<SealWords>& words = {});
    core::Status note_printed(const std::string& id, const std::vector<std::string>& papers);
    core::Status note_second_pass(const std::string& id, int compared, int differed);
    core::Result<Reconciliation> close(const std::string& id, bool even_if_missing);
    /// Ends entry of one evening, from 0; the list of codes stays where it is. Closing the tasting after the last is `close`'s.
    core::Result<EveningClosed> close_evening(const std::string& id, int evening, bool even_if_missing);
    core::Status note_look(const std::string& id, int evening, bool may_end);
    core::Status open_early(const std::string& id, const std::string& why);
    core::Status wipe(const std::string& id);
    core::Result<std::string> again(const std::string& id);

    /// The key; refused before close unless `before_close` (print, judge --unblind-early). A sealed one needs its words until it was unlocked;
    /// faults: "words-needed", "wrong-words", and "seal-broken" where what the words open is not what was drawn.
    [[nodiscard]] core::Result<KeyPaper> key(const State& state, bool before_close = false, const std::optional<SealWords>& words = {});
    /// Whether `key` needs words.
    [[nodiscard]] core::Result<bool> is_locked(const State& state);
    /// After close: keeps a key that its words opened, so that nobody needs them again. One that is kept already is left as it is.
    core::Status unlock(const std::string& id, const KeyPaper& paper);

    [[nodiscard]] Book& book() { return m_book; }

private:
    using Body = std::function<core::Result<core::Json>(State&)>;
    /// begin, load, let `body` check and make the row's body, append, commit.
    core::Status act(const std::string& id, const char* kind, const Body& body);
    core::Status append(const State& state, const char* kind, const core::Json& body, LogRow* written);
    /// The key where it lies open in this book.
    core::Result<std::optional<KeyPaper>> open_key(const State& state);
    /// Counts what ran out of each tray; nothing else of the key leaves it.
    core::Status count_ran_out(State& state);
    core::Result<KeyPaper> open_sealed(const State& state, const std::optional<SealWords>& words);
    core::Status keep_drawn(const State& state, const DrawOptions& options, const draw::Room& room, const KeyPaper& paper, const DrawAnswer& answer);

    Book& m_book;
    const core::Clock& m_clock;
};

}   // namespace oddplate::tasting
