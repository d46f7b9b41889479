#pragma once
// What a tasting needs of whatever keeps it: begin, append, read by act. No SQL words, no row ids. One suite of tests runs against the
// SQLite book and the one in memory, so that another store can stand in its place.

#include <memory>
#include <optional>
#include <string>
#include <vector>

#include "oddplate/core/result.hpp"
#include "oddplate/tasting/log.hpp"

namespace oddplate::tasting {

/// What is kept beside the log, apart from each other: what the room may see, and what only the key holds.
enum class Paper {
    room,     ///< ballots, sets, codes
    key,      ///< orders, pieces, tubs, seed, salt
    sealed    ///< the key's bytes, locked under the bearer's words
};

/// A store of tastings. All writes happen between begin_write and commit; a failed or dropped act leaves nothing behind.
class Book {
public:
    Book() = default;
    Book(const Book&) = delete;
    Book& operator=(const Book&) = delete;
    virtual ~Book() = default;

    /// Waits up to 5 s for another writer. Faults are io with a sentence of their own (locked, read-only, full).
    virtual core::Status begin_write() = 0;
    virtual core::Status commit() = 0;
    virtual void roll_back() noexcept = 0;

    /// Ids in the order in which they came into the book.
    [[nodiscard]] virtual core::Result<std::vector<std::string>> tastings() = 0;
    /// The rows of a tasting with seq above `after`, ascending. Empty for an unknown tasting.
    [[nodiscard]] virtual core::Result<std::vector<LogRow>> rows(const std::string& tasting, std::int64_t after) = 0;
    [[nodiscard]] virtual core::Result<std::optional<std::string>> paper(const std::string& tasting, Paper paper, int draw) = 0;

    /// By the store's own count of how its form changed, for the report.
    [[nodiscard]] virtual int format() const = 0;
    /// What the host's page makes its links from: 64 hex digits, nothing before `keep_host_secret`. It belongs to the book, not to a tasting.
    [[nodiscard]] virtual core::Result<std::optional<std::string>> host_secret() = 0;
    virtual core::Status keep_host_secret(const std::string& hex) = 0;

    virtual core::Status begin_tasting(const std::string& tasting) = 0;
    virtual core::Status append(const std::string& tasting, const LogRow& row) = 0;
    virtual core::Status keep(const std::string& tasting, Paper paper, int draw, const std::string& text) = 0;
    /// Removes a tasting with everything that belongs to it.
    virtual core::Status forget(const std::string& tasting) = 0;
};

/// One act = one durable transaction: rolls back unless committed.
class Transaction {
public:
    explicit Transaction(Book& book) : m_book(&book) {}
    Transaction(const Transaction&) = delete;
    Transaction& operator=(const Transaction&) = delete;
    ~Transaction() {
        if (m_open) m_book->roll_back();
    }
    core::Status begin() {
        auto status = m_book->begin_write();
        m_open = status.ok();
        return status;
    }
    core::Status commit() {
        auto status = m_book->commit();
        if (status.ok()) m_open = false;
        return status;
    }

private:
    Book* m_book;
    bool m_open{false};
};

}   // namespace oddplate::tasting
