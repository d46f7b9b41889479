// The book's health: what SQLite can say of the file, and what only we can say of what is in it.

#include "connection.hpp"
#include "oddplate/tasting/log.hpp"
#include "oddplate/tasting/state.hpp"

namespace oddplate::book {
namespace {

void ask_sqlite(SQLite::Database& db, std::vector<std::string>& problems) {
    SQLite::Statement integrity(db, "PRAGMA integrity_check(5)");
    while (integrity.executeStep())
        if (integrity.getColumn(0).getString() != "ok") problems.emplace_back("the file's own structure is damaged");
    SQLite::Statement foreign(db, "PRAGMA foreign_key_check");
    while (foreign.executeStep())
        problems.push_back("table " + foreign.getColumn(0).getString() + " has a row that belongs to no tasting");
}

void check_tasting(tasting::Book& book, const std::string& id, std::vector<std::string>& problems) {
    const auto rows = book.rows(id, 0);
    if (!rows) {
        problems.push_back(rows.faults().front().line());
        return;
    }
    if (rows->empty()) problems.push_back("tasting " + id + " has no log");
    if (const auto chained = tasting::check_chain(id, *rows); !chained) problems.push_back(chained.faults().front().line());
    tasting::State state;
    state.id = id;
    if (const auto folded = tasting::fold(state, *rows); !folded) {
        problems.push_back(folded.faults().front().line());
        return;
    }
    for (const auto& draw : state.draws) {
        const auto room = book.paper(id, tasting::Paper::room, draw.number);
        if (!room) problems.push_back(room.faults().front().line());
        else if (!*room && &draw == &state.draws.back()) problems.push_back("tasting " + id + " has lost its ballots");
    }
}

}   // namespace

core::Result<std::vector<std::string>> check_book(const std::string& path) {
    std::vector<std::string> problems;
    {
        auto db = connect(path, WhenMissing::refuse);
        if (!db) return db.faults();
        auto asked = guarded(path, [&]() -> core::Status {
            ask_sqlite(**db, problems);
            return core::Done{};
        });
        if (!asked) problems.push_back(asked.faults().front().text);
    }
    auto book = open_book(path, WhenMissing::refuse);
    if (!book) return book.faults();
    const auto ids = (*book)->tastings();
    if (!ids) return ids.faults();
    for (const auto& id : *ids) check_tasting(**book, id, problems);
    return problems;
}

}   // namespace oddplate::book
