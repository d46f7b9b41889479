#pragma once
// The files of the outside world: read whole, written whole.

#include <cstddef>
#include <string>
#include <string_view>

#include "oddplate/core/result.hpp"

namespace oddplate::core {

enum class Access { everyone, owner_only };   ///< 0644 or 0600 (folders 0755 or 0700), whatever the umask adds

/// The bytes of a regular file; "-" is standard input. Missing, a folder, unreadable and more than `limit` bytes are one sentence
/// each (bad_file).
[[nodiscard]] Result<std::string> read_file(const std::string& path, std::size_t limit = 256u << 20);

/// Written to a temporary file beside it, flushed to disk, renamed over the old one, the folder flushed. A failure leaves the old file whole.
/// A link stays a link; what is no regular file (a folder, a device, a pipe) is refused. A path that cannot be right is bad_file, what the
/// machine refuses (no right, disk full, read-only) is io. The main program ignores SIGXFSZ, or a limit on file sizes ends it instead.
[[nodiscard]] Status write_file(const std::string& path, std::string_view bytes, Access access = Access::everyone);

/// Makes the folder and its parents; one that is there already is fine.
[[nodiscard]] Status make_folder(const std::string& path, Access access = Access::everyone);

}   // namespace oddplate::core
