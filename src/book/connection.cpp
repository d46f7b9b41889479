// Opening a file as a book, with a sentence for each way in which it is none.

#include "connection.hpp"

#include <array>
#include <filesystem>
#include <fstream>
#include <string_view>

#include <sqlite3.h>
#include <sys/stat.h>

#include "oddplate/core/files.hpp"

namespace oddplate::book {
namespace {

namespace fs = std::filesystem;

core::Error not_a_book(const std::string& path, const std::string& what) {
    return core::fault(core::ErrorKind::bad_file, "not-a-book", "found " + what + ", expected a book of this program", path);
}

core::Error no_book(const std::string& path) {
    return core::fault(core::ErrorKind::not_found, "no-book", "there is no book here yet; `oddplate new` makes one", path);
}

// SQLite opens any file and complains late, so the first bytes are looked at before it is asked.
core::Status look_before_opening(const std::string& path, WhenMissing when_missing) {
    std::error_code error;
    const fs::file_status status = fs::status(path, error);
    if (status.type() == fs::file_type::not_found) {
        if (when_missing == WhenMissing::create) return core::Done{};
        return no_book(path);
    }
    if (status.type() == fs::file_type::directory) return not_a_book(path, "a folder");
    if (status.type() != fs::file_type::regular) return not_a_book(path, "something that is no plain file");
    std::ifstream file(path, std::ios::binary);
    if (!file) return core::fault(core::ErrorKind::io, "unreadable", "the book cannot be read: permission is missing", path);
    std::array<char, 16> head{};
    file.read(head.data(), head.size());
    if (file.gcount() == 0) {
        if (when_missing == WhenMissing::create) return core::Done{};
        return not_a_book(path, "an empty file");
    }
    const bool known = std::string_view(head.data(), static_cast<std::size_t>(file.gcount())) == std::string_view("SQLite format 3\0", 16);
    // With a journal beside it a crash may have left anything in the file; SQLite first sets that right, and says if it is none of its own.
    if (!known && !fs::exists(path + "-journal", error)) return not_a_book(path, "a file of another kind");
    return core::Done{};
}

int pragma(SQLite::Database& db, const char* name) { return db.execAndGet(std::string("PRAGMA ") + name).getInt(); }

core::Status check_owner(SQLite::Database& db, const std::string& path, int newest) {
    if (pragma(db, "application_id") != k_application_id) return not_a_book(path, "a database of another program");
    const int version = pragma(db, "user_version");
    if (version > newest)
        return core::fault(core::ErrorKind::bad_file, "newer-book",
                           "the book was written by a newer oddplate (its format is " + std::to_string(version) + ", this program knows up to " +
                               std::to_string(newest) + ")", path);
    if (version < 1) return not_a_book(path, "a book without its tables");
    return core::Done{};
}

// A crash while the very first tables are written leaves a database without tables and without anybody's mark.
bool is_unborn(SQLite::Database& db) {
    return pragma(db, "application_id") == 0 && pragma(db, "user_version") == 0 && db.execAndGet("SELECT count(*) FROM sqlite_schema").getInt() == 0;
}

// Journal mode: asked for, not assumed - on some network shares the write-ahead log is refused.
void set_up(SQLite::Database& db) {
    for (const char* pragma_text : {"foreign_keys=ON", "trusted_schema=OFF", "cell_size_check=ON"}) db.exec(std::string("PRAGMA ") + pragma_text);
}

void choose_journal(SQLite::Database& db) {
    const std::string mode = db.execAndGet("PRAGMA journal_mode=WAL").getString();
    if (mode != "wal") db.exec("PRAGMA journal_mode=DELETE");
}

/// An older book is brought to this program's format, or left as it was.
core::Status bring_up(SQLite::Database& db, const std::string& path, Scripts scripts) {
    try {
        migrate(db, scripts);
    } catch (const SQLite::Exception& exception) {
        const int code = exception.getErrorCode() & 0xff;
        if (code != SQLITE_ERROR && code != SQLITE_CONSTRAINT) throw;
        return core::fault(core::ErrorKind::io, "migration-failed",
                           "the book is of an older format and could not be brought to this program's; nothing was changed", path);
    }
    return core::Done{};
}

}   // namespace

core::Error translated(const SQLite::Exception& exception, const std::string& path) {
    using core::ErrorKind;
    switch (exception.getErrorCode() & 0xff) {
        case SQLITE_BUSY:
        case SQLITE_LOCKED:
            return core::fault(ErrorKind::io, "locked", "the book was in use by another program for more than 5 seconds; nothing was changed", path);
        case SQLITE_READONLY:
            return core::fault(ErrorKind::io, "read-only", "the book is read-only; nothing was changed", path);
        case SQLITE_FULL:
            return core::fault(ErrorKind::io, "disk-full", "the disk is full; nothing was changed", path);
        case SQLITE_CANTOPEN:
            return core::fault(ErrorKind::io, "cannot-open", "the book cannot be opened: the folder is missing or permission is missing", path);
        case SQLITE_NOTADB:
            return not_a_book(path, "a file of another kind");
        case SQLITE_CORRUPT:
            return core::fault(ErrorKind::io, "damaged", "the book is damaged; `oddplate check` says more, and an export or a copy restores it", path);
        case SQLITE_IOERR:
            return core::fault(ErrorKind::io, "disk-failed", "the disk failed while the book was read or written; nothing was changed", path);
        default:
            return core::fault(ErrorKind::internal, "book-failed", "the book could not be used (code " + std::to_string(exception.getExtendedErrorCode()) + "); nothing was changed", path);
    }
}

core::Error in_doubt(const core::Error& fault) {
    if (fault.code != "disk-full" && fault.code != "disk-failed") return fault;
    return core::fault(fault.kind, fault.code,
                       std::string(fault.code == "disk-full" ? "the disk is full" : "the disk failed") +
                           " at the last moment, so this may have been kept or not; mend the disk, then look before doing it again", fault.where);
}

core::Result<std::unique_ptr<SQLite::Database>> connect(const std::string& path, WhenMissing when_missing, Scripts scripts) {
    if (when_missing != WhenMissing::is_open)
        if (auto looked = look_before_opening(path, when_missing); !looked) return looked.faults();
    std::error_code error;
    const bool fresh = !fs::exists(path, error) || fs::file_size(path, error) == 0;
    if (fresh) {
        const std::string folder = fs::path(path).parent_path().string();
        if (!folder.empty())
            if (auto made = core::make_folder(folder, core::Access::owner_only); !made) return made.faults();
    }
    return guarded(path, [&]() -> core::Result<std::unique_ptr<SQLite::Database>> {
        const mode_t before = umask(0077);   // a book is its owner's alone; its journal files follow it
        struct Restore { mode_t mask; ~Restore() { umask(mask); } } restore{before};
        auto db = std::make_unique<SQLite::Database>(path, SQLite::OPEN_READWRITE | SQLite::OPEN_CREATE, k_wait_ms);
        set_up(*db);
        const bool is_new = fresh || is_unborn(*db);
        if (is_new && when_missing == WhenMissing::refuse) return no_book(path);
        if (is_new) choose_journal(*db);
        else if (auto ours = check_owner(*db, path, static_cast<int>(scripts.size())); !ours) return ours.faults();
        db->exec("PRAGMA synchronous=FULL");
        if (auto brought = bring_up(*db, path, scripts); !brought) return brought.faults();
        return db;
    });
}

}   // namespace oddplate::book
