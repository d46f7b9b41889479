#pragma once
// The book: one SQLite file that keeps every tasting.

#include <memory>
#include <string>
#include <vector>

#include "oddplate/core/result.hpp"
#include "oddplate/tasting/book.hpp"

namespace oddplate::book {

/// `is_open`: this process has the book open already and wants a second way in. The file's first bytes are then not looked at: closing any handle on a file
/// takes away every lock that the process holds on it (POSIX), and another program would believe itself alone and clear the write-ahead log away.
enum class WhenMissing { refuse, create, is_open };

/// Opens a book, waiting up to 5 s for others. Write-ahead log with full sync; where the file system refuses that, a rollback journal with
/// full sync. Faults with a sentence each - exit 2: missing, a folder, not a book, of another program, newer than this program; exit 1:
/// locked, unreadable, damaged, disk full.
[[nodiscard]] core::Result<std::unique_ptr<tasting::Book>> open_book(const std::string& path, WhenMissing when_missing);

/// What is wrong with the book, a sentence each; empty when it is sound: the file's own integrity, foreign keys, schema, each tasting's chain,
/// papers without a draw and draws without their ballots.
[[nodiscard]] core::Result<std::vector<std::string>> check_book(const std::string& path);

}   // namespace oddplate::book
