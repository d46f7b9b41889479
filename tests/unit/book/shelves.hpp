#pragma once
// The two books that one suite runs against: the file, and the one in memory.

#include <sqlite3.h>
#include <unistd.h>

#include <catch2/catch.hpp>
#include <cstdlib>
#include <filesystem>
#include <memory>
#include <string>

#include "oddplate/book/book_file.hpp"
#include "unit/tasting/memory_book.hpp"

namespace oddplate::book::testing {

/// A folder that lasts as long as the test.
class Folder {
public:
    Folder() {
        std::string name = (std::filesystem::temp_directory_path() / "oddplate-book-XXXXXX").string();
        if (mkdtemp(name.data()) == nullptr) std::abort();
        m_path = name;
    }
    Folder(const Folder&) = delete;
    Folder& operator=(const Folder&) = delete;
    ~Folder() { std::filesystem::remove_all(m_path); }
    [[nodiscard]] std::string file(const std::string& name) const { return (m_path / name).string(); }

private:
    std::filesystem::path m_path;
};

/// A book on disk; `again` closes it and opens it anew.
class FileShelf {
public:
    FileShelf() { again(); }
    tasting::Book& book() { return *m_book; }
    void again() {
        m_book.reset();
        auto opened = open_book(path(), WhenMissing::create);
        REQUIRE(opened);
        m_book = std::move(*opened);
    }
    [[nodiscard]] std::string path() const { return m_folder.file("book.sqlite"); }
    void put_away() { m_book.reset(); }

private:
    Folder m_folder;
    std::unique_ptr<tasting::Book> m_book;
};

class MemoryShelf {
public:
    tasting::Book& book() { return m_book; }
    void again() {}

private:
    tasting::testing::MemoryBook m_book;
};

/// Another program's hand on the file.
class OtherHand {
public:
    explicit OtherHand(const std::string& path) {
        if (sqlite3_open(path.c_str(), &m_db) != SQLITE_OK) std::abort();
    }
    OtherHand(const OtherHand&) = delete;
    OtherHand& operator=(const OtherHand&) = delete;
    ~OtherHand() { sqlite3_close(m_db); }
    void does(const std::string& sql) { REQUIRE(sqlite3_exec(m_db, sql.c_str(), nullptr, nullptr, nullptr) == SQLITE_OK); }
    [[nodiscard]] std::string reads(const std::string& sql) {
        sqlite3_stmt* statement = nullptr;
        REQUIRE(sqlite3_prepare_v2(m_db, sql.c_str(), -1, &statement, nullptr) == SQLITE_OK);
        REQUIRE(sqlite3_step(statement) == SQLITE_ROW);
        const std::string text = reinterpret_cast<const char*>(sqlite3_column_text(statement, 0));
        sqlite3_finalize(statement);
        return text;
    }

private:
    sqlite3* m_db{nullptr};
};

inline tasting::LogRow row(std::int64_t seq, const std::string& body = "{}") {
    return {.seq = seq, .kind = "printed", .at = "2026-06-14T12:00:00Z", .body = body, .hash = std::string(64, 'a')};
}

}   // namespace oddplate::book::testing
