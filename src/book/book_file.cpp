// Statements live here as named constants; values are bound, never pasted.

#include "oddplate/book/book_file.hpp"

#include <cstdlib>
#include <utility>

#include <sqlite3.h>

#include "connection.hpp"
#include "migrations.hpp"

namespace oddplate::book {
namespace {

using tasting::LogRow;
using tasting::Paper;

constexpr const char* k_tastings = "SELECT id FROM tasting ORDER BY number";
constexpr const char* k_rows = "SELECT seq, kind, at, body, hash FROM log WHERE tasting = :tasting AND seq > :after ORDER BY seq";
constexpr const char* k_begin_tasting = "INSERT INTO tasting (id) VALUES (:id)";
constexpr const char* k_append = "INSERT INTO log (tasting, seq, kind, at, body, hash) VALUES (:tasting, :seq, :kind, :at, :body, :hash)";
constexpr const char* k_host_secret = "SELECT secret FROM host";
constexpr const char* k_keep_host_secret = "INSERT INTO host (one, secret) VALUES (1, :secret)";
constexpr const char* k_forget = "DELETE FROM tasting WHERE id = :id";

struct PaperStatements {
    const char* read;
    const char* keep;
};

PaperStatements statements_of(Paper paper) {
    switch (paper) {
        case Paper::room:
            return {"SELECT body FROM room WHERE tasting = :tasting AND draw = :draw",
                    "INSERT INTO room (tasting, draw, body) VALUES (:tasting, :draw, :body)"};
        case Paper::key:
            return {"SELECT body FROM key WHERE tasting = :tasting AND draw = :draw",
                    "INSERT INTO key (tasting, draw, body) VALUES (:tasting, :draw, :body)"};
        case Paper::sealed:
            return {"SELECT body FROM sealed WHERE tasting = :tasting AND draw = :draw",
                    "INSERT INTO sealed (tasting, draw, body) VALUES (:tasting, :draw, :body)"};
    }
    std::abort();
}

class SqliteBook final : public tasting::Book {
public:
    SqliteBook(std::unique_ptr<SQLite::Database> db, std::string path) : m_db(std::move(db)), m_path(std::move(path)) {}

    int format() const override { return static_cast<int>(migrations().size()); }   // an older book was brought here when it was opened

    core::Status begin_write() override {
        return run([&] { m_db->exec("BEGIN IMMEDIATE"); });
    }

    core::Status commit() override {
        auto done = run([&] { m_db->exec("COMMIT"); });
        if (!done) return in_doubt(done.faults().front());
        return done;
    }

    void roll_back() noexcept override {
        // A failed statement may have rolled back already; then there is nothing to do, and nothing to say.
        if (sqlite3_get_autocommit(m_db->getHandle()) == 0) m_db->tryExec("ROLLBACK");
    }

    core::Result<std::vector<std::string>> tastings() override {
        return guarded(m_path, [&]() -> core::Result<std::vector<std::string>> {
            std::vector<std::string> ids;
            SQLite::Statement statement(*m_db, k_tastings);
            while (statement.executeStep()) ids.push_back(statement.getColumn(0).getString());
            return ids;
        });
    }

    core::Result<std::vector<LogRow>> rows(const std::string& tasting, std::int64_t after) override {
        return guarded(m_path, [&]() -> core::Result<std::vector<LogRow>> {
            std::vector<LogRow> rows;
            SQLite::Statement statement(*m_db, k_rows);
            statement.bind(":tasting", tasting);
            statement.bind(":after", after);
            while (statement.executeStep()) {
                rows.push_back({.seq = statement.getColumn(0).getInt64(),
                                .kind = statement.getColumn(1).getString(),
                                .at = statement.getColumn(2).getString(),
                                .body = statement.getColumn(3).getString(),
                                .hash = statement.getColumn(4).getString()});
            }
            return rows;
        });
    }

    core::Result<std::optional<std::string>> paper(const std::string& tasting, Paper paper, int draw) override {
        return guarded(m_path, [&]() -> core::Result<std::optional<std::string>> {
            SQLite::Statement statement(*m_db, statements_of(paper).read);
            statement.bind(":tasting", tasting);
            statement.bind(":draw", draw);
            if (!statement.executeStep()) return std::optional<std::string>{};
            return std::optional(statement.getColumn(0).getString());
        });
    }

    core::Result<std::optional<std::string>> host_secret() override {
        return guarded(m_path, [&]() -> core::Result<std::optional<std::string>> {
            SQLite::Statement statement(*m_db, k_host_secret);
            if (!statement.executeStep()) return std::optional<std::string>{};
            return std::optional(statement.getColumn(0).getString());
        });
    }

    core::Status keep_host_secret(const std::string& hex) override {
        return write([&] {
            SQLite::Statement statement(*m_db, k_keep_host_secret);
            statement.bind(":secret", hex);
            statement.exec();
        });
    }

    core::Status begin_tasting(const std::string& tasting) override {
        return write([&] {
            SQLite::Statement statement(*m_db, k_begin_tasting);
            statement.bind(":id", tasting);
            statement.exec();
        });
    }

    core::Status append(const std::string& tasting, const LogRow& row) override {
        return write([&] {
            SQLite::Statement statement(*m_db, k_append);
            statement.bind(":tasting", tasting);
            statement.bind(":seq", row.seq);
            statement.bind(":kind", row.kind);
            statement.bind(":at", row.at);
            statement.bind(":body", row.body);
            statement.bind(":hash", row.hash);
            statement.exec();
        });
    }

    core::Status keep(const std::string& tasting, Paper paper, int draw, const std::string& text) override {
        return write([&] {
            SQLite::Statement statement(*m_db, statements_of(paper).keep);
            statement.bind(":tasting", tasting);
            statement.bind(":draw", draw);
            statement.bind(":body", text);
            statement.exec();
        });
    }

    core::Status forget(const std::string& tasting) override {
        return write([&] {
            SQLite::Statement statement(*m_db, k_forget);
            statement.bind(":id", tasting);
            statement.exec();
        });
    }

private:
    /// Outside of an act a statement would be an act of its own, half of what was meant.
    template <class Work>
    core::Status write(Work work) {
        if (sqlite3_get_autocommit(m_db->getHandle()) != 0) return core::fault(core::ErrorKind::internal, "outside-an-act", "the book was written to outside of an act; nothing was changed", m_path);
        return run(std::move(work));
    }

    template <class Work>
    core::Status run(Work work) {
        return guarded(m_path, [&]() -> core::Status {
            work();
            return core::Done{};
        });
    }

    std::unique_ptr<SQLite::Database> m_db;
    std::string m_path;
};

}   // namespace

core::Result<std::unique_ptr<tasting::Book>> open_book(const std::string& path, WhenMissing when_missing) {
    auto db = connect(path, when_missing);
    if (!db) return db.faults();
    return std::unique_ptr<tasting::Book>(std::make_unique<SqliteBook>(std::move(*db), path));
}

}   // namespace oddplate::book
