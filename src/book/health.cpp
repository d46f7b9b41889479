// The book's health: what SQLite can say of the file, and what only we can say of what is in it.

#include <map>

#include "connection.hpp"
#include "oddplate/core/sealed_box.hpp"
#include "oddplate/tasting/seating.hpp"
#include "oddplate/tasting/log.hpp"
#include "oddplate/tasting/state.hpp"

namespace oddplate::book {
namespace {

using Problems = std::vector<std::string>;

std::vector<std::string> schema_of(SQLite::Database& db) {
    std::vector<std::string> texts;
    SQLite::Statement statement(db, "SELECT sql FROM sqlite_schema WHERE sql IS NOT NULL ORDER BY name");
    while (statement.executeStep()) texts.push_back(statement.getColumn(0).getString());
    return texts;
}

void check_schema(SQLite::Database& db, Problems& problems) {
    SQLite::Database fresh(":memory:", SQLite::OPEN_READWRITE | SQLite::OPEN_CREATE);
    migrate(fresh, migrations());
    if (schema_of(db) != schema_of(fresh)) problems.emplace_back("the book's tables are not those of this program: something was added, changed or taken away");
}

void ask_sqlite(SQLite::Database& db, Problems& problems) {
    SQLite::Statement integrity(db, "PRAGMA integrity_check(5)");
    while (integrity.executeStep())
        if (integrity.getColumn(0).getString() != "ok") problems.emplace_back("the file's own structure is damaged");
    std::map<std::string, int> strays;
    SQLite::Statement foreign(db, "PRAGMA foreign_key_check");
    while (foreign.executeStep()) ++strays[foreign.getColumn(0).getString()];
    for (const auto& [table, n] : strays)
        problems.push_back("table " + table + " has " + (n == 1 ? "a row that belongs" : std::to_string(n) + " rows that belong") + " to no tasting");
}

/// What can be said of a sealed list of codes without its words.
void check_box_of(tasting::Book& book, const tasting::State& state, Problems& problems) {
    const auto box = book.paper(state.id, tasting::Paper::sealed, state.draw().number);
    if (!box) return problems.push_back(box.faults().front().line());
    if (!*box) return problems.push_back("tasting " + state.id + " has lost its sealed list of codes");
    if (const auto shape = core::check_box(**box); !shape) problems.push_back("tasting " + state.id + ": " + shape.faults().front().line());
}

/// The papers of the draw that holds. Before the list of codes is open it is not even read: nothing of it may show, not as a problem either.
void check_papers(tasting::Book& book, tasting::State& state, Problems& problems) {
    const int number = state.draw().number;
    const auto text = book.paper(state.id, tasting::Paper::room, number);
    if (!text) return problems.push_back(text.faults().front().line());
    if (!*text) return problems.push_back("tasting " + state.id + " has lost its ballots");
    if (const auto seated = tasting::seat(state, **text); !seated) return problems.push_back("tasting " + state.id + ": " + seated.faults().front().line());
    if (state.draw().sealed) check_box_of(book, state, problems);
    if (!state.is_opened()) return;
    const auto key_text = book.paper(state.id, tasting::Paper::key, number);
    if (!key_text) return problems.push_back(key_text.faults().front().line());
    if (!*key_text) return;   // it lies in the book that drew it, or under the bearer's words
    const auto key = tasting::key_of(state, **key_text);
    if (!key) return problems.push_back("tasting " + state.id + ": " + key.faults().front().line());
    if (tasting::fingerprint(state.plan, state.room, *key, state.draw().draw_version) != state.draw().fingerprint)
        problems.push_back("the ballots or the list of codes of " + state.id + " are not those that were drawn: the seal number differs");
}

void check_tasting(tasting::Book& book, const std::string& id, Problems& problems) {
    const auto rows = book.rows(id, 0);
    if (!rows) return problems.push_back(rows.faults().front().line());
    if (rows->empty()) return problems.push_back("tasting " + id + " has no log");
    if (const auto chained = tasting::check_chain(id, *rows); !chained) problems.push_back(chained.faults().front().line());
    tasting::State state;
    state.id = id;
    if (const auto folded = tasting::fold(state, *rows); !folded) return problems.push_back(folded.faults().front().line());
    if (!state.draws.empty()) check_papers(book, state, problems);
}

}   // namespace

core::Result<std::vector<std::string>> check_book(const std::string& path) {
    Problems problems;
    {
        auto db = connect(path, WhenMissing::refuse);
        if (!db) return db.faults();
        auto asked = guarded(path, [&]() -> core::Status {
            ask_sqlite(**db, problems);
            check_schema(**db, problems);
            return core::Done{};
        });
        if (!asked) problems.push_back(asked.faults().front().text);
    }
    auto book = open_book(path, WhenMissing::refuse);
    if (!book) return book.faults();
    const auto ids = (*book)->tastings();
    if (!ids && problems.empty()) return ids.faults();
    if (!ids) return problems;   // why it cannot be read is among them
    for (const auto& id : *ids) check_tasting(**book, id, problems);
    return problems;
}

}   // namespace oddplate::book
