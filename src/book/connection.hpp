#pragma once
// The one place that meets SQLite's exceptions: they become faults in plain words here, and the library's text goes no further.

#include <string>

#include <SQLiteCpp/SQLiteCpp.h>

#include "migrations.hpp"
#include "oddplate/book/book_file.hpp"
#include "oddplate/core/result.hpp"

namespace oddplate::book {

inline constexpr int k_application_id = 0x6f646470;   // "oddp"
inline constexpr int k_wait_ms = 5000;

/// A sentence for what the library answered.
[[nodiscard]] core::Error translated(const SQLite::Exception& exception, const std::string& path);

/// The same fault where it came while a transaction was made durable. The write-ahead log may then hold the whole transaction, and the next
/// program that opens the book brings it back: so nothing is promised.
[[nodiscard]] core::Error in_doubt(const core::Error& fault);

/// Runs `work`; an exception of the library becomes a fault.
template <class Work>
auto guarded(const std::string& path, Work work) -> decltype(work()) {
    try {
        return work();
    } catch (const SQLite::Exception& exception) {
        return translated(exception, path);
    }
}

/// Checks that the file may be opened as a book at all, then opens, sets up, brings it to the newest format and, where asked, creates
/// it. Fault "migration-failed" (io): an older book could not be brought there and is as it was.
[[nodiscard]] core::Result<std::unique_ptr<SQLite::Database>> connect(const std::string& path, WhenMissing when_missing,
                                                                      Scripts scripts = migrations());

}   // namespace oddplate::book
