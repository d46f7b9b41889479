#pragma once
// What every page stands in: the book as it may be read, the writer, the words, who is asking. A screen is a file in pages/ with a table of routes.

#include <chrono>
#include <map>
#include <optional>
#include <set>
#include <span>
#include <string>
#include <string_view>
#include <utility>
#include <vector>

#include "html.hpp"
#include "http.hpp"
#include "oddplate/core/words.hpp"
#include "oddplate/tasting/keeper.hpp"
#include "oddplate/web/host.hpp"
#include "tokens.hpp"
#include "writer.hpp"

namespace oddplate::web {

/// One request, understood.
struct Visit {
    const Request& request;
    std::vector<std::string> parts;                            ///< what stood for each * of the pattern
    std::multimap<std::string, std::string, std::less<>> form{};   ///< fields of a POST
    Role role{Role::nobody};

    [[nodiscard]] std::string field(std::string_view name) const;
    [[nodiscard]] std::vector<std::string> fields(std::string_view name) const;
};

class House;
/// A row of the routing table. The host may go wherever a role may, but not into the kitchen; `Role::nobody` is open to all, and such a POST needs a token
/// in its path.
struct Route {
    std::string_view method, pattern;   ///< "/tasting/*/board"; * is one part of a path
    Role role;
    void (*page)(House&, const Visit&, const Send&);
};

/// Which tray of which ballot a link opens.
struct Seat {
    std::string tasting;
    int ballot{0};
};

/// A language that a taster's page is written in.
struct Tongue {
    core::Words words;
    std::string code;   ///< "en", as a page's lang

    [[nodiscard]] std::string say(std::string_view id, std::map<std::string, core::Argument> args = {}) const { return words.text("web." + std::string(id), std::move(args)); }
};

class House {
public:
    House(const HostBooks& books, const core::Clock& clock, const core::Words& words, const Tokens& tokens);

    /// Answers a request: host names, limits, rights and tokens first, then the page.
    void answer(const Request& request, const Send& send);
    [[nodiscard]] std::size_t most_body(const Request& request) const;

    /// A tasting as it stands in the book now. In the loop's thread only; good until the next call.
    [[nodiscard]] core::Result<tasting::State*> state(const std::string& id);
    [[nodiscard]] core::Result<std::vector<std::string>> tastings() { return m_reader.book().tastings(); }
    /// Wrong links are counted by address; one that tried too many waits.
    [[nodiscard]] bool guesses_too_much(const std::string& peer) const;
    void count_guess(const std::string& peer);
    /// Whose link it is, or nothing.
    [[nodiscard]] const Seat* seat_of(const std::string& token);

    /// Whether this is the first time in this run that `what` is asked for. From the writer's thread only.
    [[nodiscard]] bool first_time(const std::string& what) { return m_done_once.insert(what).second; }
    /// The one that the asking phone likes best of ours.
    [[nodiscard]] const Tongue& tongue(const Request& request) const;
    /// How far the second typing of the slips has come.
    struct SecondPass { std::set<std::pair<int, int>> compared; int differed{0}; };
    [[nodiscard]] SecondPass& second_pass(const std::string& tasting) { return m_second_passes[tasting]; }

    [[nodiscard]] std::string say(std::string_view id, std::map<std::string, core::Argument> args = {}) const { return m_words.text("web." + std::string(id), std::move(args)); }
    /// Takes a plan into the book and goes to its page, or says what is wrong with it.
    void keep_plan(const core::Result<methods::Plan>& plan, const Send& send);
    /// A page of nothing but a sentence.
    [[nodiscard]] Reply sentence(int status, const std::string& text) const;
    /// What may be told of faults: the sentences about what was asked, and nothing of the machine.
    [[nodiscard]] Reply refused(const core::Faults& faults) const;
    [[nodiscard]] std::string told(const core::Faults& faults) const;
    [[nodiscard]] static Reply page(const Page& page) { return {.status = 200, .body = document(page)}; }
    [[nodiscard]] static Reply go_to(const std::string& path) { return {.status = 303, .type = "", .body = "", .headers = {{"Location", path}}}; }
    /// <form method=post> with the hidden token of the visitor's role.
    [[nodiscard]] Markup form(const Visit& visit, const std::string& path, std::initializer_list<Markup> content) const;

    [[nodiscard]] const core::Words& words() const { return m_words; }
    [[nodiscard]] const Tokens& tokens() const { return m_tokens; }
    [[nodiscard]] Writer& writer() { return m_writer; }
    /// A hand for what takes longer and writes nothing that tasters wait for: papers, verdicts.
    [[nodiscard]] Writer& backroom() { return m_backroom; }
    [[nodiscard]] std::string ballot_link(const tasting::State& state, int ballot) const {
        return "http://" + m_addresses.front() + "/t/" + m_tokens.of_ballot(state.id, state.draw().number, ballot);
    }
    /// "192.168.1.7:8642", the one to show first; no other Host header is answered.
    void set_addresses(std::vector<std::string> addresses) { m_addresses = std::move(addresses); }

private:
    [[nodiscard]] bool may_write(const Request& request) const;
    [[nodiscard]] std::set<Role> roles_of(const Request& request) const;
    void dispatch(const Request& request, const Send& send);
    void learn_seats(const tasting::State& state);

    struct Guesses {
        std::chrono::steady_clock::time_point since;
        int count{0};
    };
    tasting::Keeper m_reader;
    Tokens m_tokens;
    core::Words m_words;
    std::map<std::string, Tongue, std::less<>> m_tongues;
    Writer m_writer, m_backroom;
    std::vector<std::string> m_addresses;
    std::map<std::string, tasting::State> m_states;
    std::map<std::string, Seat> m_seats;             ///< by a keyed hash of the token, so that looking one up tells nothing of it
    std::map<std::string, int> m_seated;             ///< draw whose seats are known, by tasting
    std::set<std::string> m_done_once;               ///< of the writer's thread
    std::map<std::string, SecondPass> m_second_passes;
    std::map<std::string, Guesses> m_guesses;        ///< wrong tokens, by address
};

// The screens.
[[nodiscard]] std::span<const Route> asset_routes();
[[nodiscard]] std::span<const Route> start_routes();
[[nodiscard]] std::span<const Route> tasting_routes();
[[nodiscard]] std::span<const Route> ballot_routes();
[[nodiscard]] std::span<const Route> board_routes();
[[nodiscard]] std::span<const Route> desk_routes();
[[nodiscard]] std::span<const Route> kitchen_routes();
[[nodiscard]] std::span<const Route> paper_routes();
[[nodiscard]] std::span<const Route> plan_routes();
[[nodiscard]] std::span<const Route> verdict_routes();
[[nodiscard]] std::span<const Route> book_routes();

}   // namespace oddplate::web
