// One transaction for all scripts: a book is of its old format or of the newest, never of one between.

#include <string>

#include <sqlite3.h>

#include "connection.hpp"
#include "migrations.hpp"

namespace oddplate::book {
namespace {

int format_of(SQLite::Database& db) { return db.execAndGet("PRAGMA user_version").getInt(); }

void run_scripts(SQLite::Database& db, Scripts scripts) {
    for (auto format = static_cast<std::size_t>(format_of(db)); format < scripts.size(); ++format) db.exec(std::string(scripts[format]));
    if (SQLite::Statement(db, "PRAGMA foreign_key_check").executeStep()) throw SQLite::Exception("a row belongs to nothing", SQLITE_CONSTRAINT);
    db.exec("PRAGMA application_id=" + std::to_string(k_application_id));
    db.exec("PRAGMA user_version=" + std::to_string(scripts.size()));
}

}   // namespace

void migrate(SQLite::Database& db, Scripts scripts) {
    const auto newest = static_cast<int>(scripts.size());
    if (format_of(db) >= newest) return;
    db.exec("PRAGMA foreign_keys=OFF");   // a table that is made anew under its own name would take its rows' children with it
    db.exec("BEGIN IMMEDIATE");
    try {
        if (format_of(db) < newest) run_scripts(db, scripts);   // another program may have been first
        db.exec("COMMIT");
    } catch (const SQLite::Exception&) {
        if (sqlite3_get_autocommit(db.getHandle()) == 0) db.exec("ROLLBACK");
        throw;
    }
    db.exec("PRAGMA foreign_keys=ON");
}

}   // namespace oddplate::book
