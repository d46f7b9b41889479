#pragma once
// From one format of the book to the next. A book's format is its user_version; script i of the list (from 0) takes it from format i
// to i + 1, so that the newest format is the length of the list and a new book is one that went all the way from nothing.

#include <span>
#include <string_view>

#include <SQLiteCpp/SQLiteCpp.h>

namespace oddplate::book {

using Scripts = std::span<const std::string_view>;

/// The program's own.
[[nodiscard]] Scripts migrations();

/// Runs what the book has not seen yet, all of it or nothing: one transaction, in which every reference must hold at the end. Two
/// programs may do so at once. A book that has seen them all, or is newer, is left alone. Throws the library's exceptions.
void migrate(SQLite::Database& db, Scripts scripts);

}   // namespace oddplate::book
