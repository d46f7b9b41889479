// Files read whole and written whole. A write goes to a new file beside the old one, is flushed, takes the old one's name in one
// step, and the folder is flushed too: whoever looks, at any moment and after a power cut, sees the old bytes or the new ones.
#include "oddplate/core/files.hpp"

#include <fcntl.h>
#include <sys/stat.h>
#include <unistd.h>

#include <algorithm>
#include <cerrno>
#include <filesystem>
#include <string>

#include "oddplate/core/bytes.hpp"
#include "oddplate/core/text.hpp"

namespace oddplate::core {
namespace {

/// An open file that cannot be left open.
class Descriptor {
public:
    explicit Descriptor(int fd) : m_fd(fd) {}
    Descriptor(const Descriptor&) = delete;
    Descriptor& operator=(const Descriptor&) = delete;
    ~Descriptor() {
        if (m_fd >= 0) ::close(m_fd);   // on the ways out that already carry a fault
    }
    int get() const { return m_fd; }
    bool good() const { return m_fd >= 0; }
    /// Closes and tells whether that went well: some file systems tell only here that the disk is full.
    bool close() {
        const int fd = m_fd;
        m_fd = -1;
        return ::close(fd) == 0;
    }

private:
    int m_fd;
};

std::string reason(int error) {
    switch (error) {
        case EACCES:
        case EPERM:
            return "you have no right to";
        case ENOENT:
            return "there is no such file or folder";
        case ENOTDIR:
            return "a part of its path is a file, not a folder";
        case EISDIR:
            return "it is a folder";
        case ENAMETOOLONG:
            return "its name is too long";
        case ELOOP:
            return "its links lead round in a circle";
        case ENOSPC:
            return "the disk is full";
        case EDQUOT:
            return "your share of the disk is used up";
        case EFBIG:
            return "it would be larger than a file may be";
        case EROFS:
            return "the disk is read-only";
        case EIO:
            return "the disk reports a fault";
        case EMFILE:
        case ENFILE:
            return "too many files are open";
        default:
            return "the system says no (error " + std::to_string(error) + ")";
    }
}

/// A path that cannot be right is the user's to change; everything else is the machine's.
ErrorKind kind_of(int error) {
    const bool path = error == ENOENT || error == ENOTDIR || error == EISDIR || error == ENAMETOOLONG || error == ELOOP;
    return path ? ErrorKind::bad_file : ErrorKind::io;
}

Error not_read(const std::string& path, const std::string& why) {
    return fault(ErrorKind::bad_file, "file-not-read", "cannot be read: " + why, path);
}

Error not_written(const std::string& path, int error) {
    return fault(kind_of(error), "file-not-written", "cannot be written: " + reason(error), path);
}

Result<std::string> read_all(int fd, const std::string& name, std::size_t limit, std::size_t likely) {
    std::string bytes;
    std::size_t used = 0;
    for (;;) {
        if (used > limit) {
            return not_read(name, "it has more than " + with_commas(static_cast<long long>(limit)) + " bytes");
        }
        // One byte more than expected, so that the end of a file of the expected size is seen without growing.
        if (used == bytes.size()) bytes.resize(std::min(limit, std::max({likely, 2 * used, std::size_t{65536}})) + 1);
        const ssize_t got = ::read(fd, bytes.data() + used, bytes.size() - used);
        if (got < 0 && errno == EINTR) continue;
        if (got < 0) return not_read(name, reason(errno));
        if (got == 0) break;
        used += static_cast<std::size_t>(got);
    }
    bytes.resize(used);
    return bytes;
}

/// 0, or the error's number.
int write_all(int fd, std::string_view bytes) {
    while (!bytes.empty()) {
        const ssize_t done = ::write(fd, bytes.data(), bytes.size());
        if (done < 0 && errno == EINTR) continue;
        if (done < 0) return errno;
        bytes.remove_prefix(static_cast<std::size_t>(done));
    }
    return ::fsync(fd) == 0 ? 0 : errno;
}

int flush_folder(const std::string& folder) {
    Descriptor fd(::open(folder.c_str(), O_RDONLY | O_DIRECTORY | O_CLOEXEC));
    if (!fd.good()) return errno == EACCES ? 0 : errno;   // a folder may be writable and still not readable
    if (::fsync(fd.get()) != 0 && errno != EINVAL && errno != ENOTSUP)
        return errno;   // some network shares cannot flush a folder
    return 0;
}

int write_beside(const std::string& path, const std::string& temporary, std::string_view bytes, Access access) {
    Descriptor fd(::open(temporary.c_str(), O_WRONLY | O_CREAT | O_EXCL | O_CLOEXEC, access == Access::owner_only ? 0600 : 0644));
    if (!fd.good()) return errno;
    int error = write_all(fd.get(), bytes);
    if (error == 0 && !fd.close()) error = errno;
    if (error == 0 && ::rename(temporary.c_str(), path.c_str()) != 0) error = errno;
    if (error != 0) ::unlink(temporary.c_str());   // the fault that led here is the one to tell
    return error;
}

/// Where a chain of links ends, so that a link stays a link.
std::string behind_links(const std::string& path) {
    std::error_code error;
    if (!std::filesystem::is_symlink(path, error)) return path;
    const std::filesystem::path target = std::filesystem::canonical(path, error);
    return error ? path : target.string();
}

}   // namespace

Result<std::string> read_file(const std::string& path, std::size_t limit) {
    if (path == "-") return read_all(STDIN_FILENO, "standard input", limit, 0);
    // O_NONBLOCK: a named pipe that nobody writes to would hold us up for ever.
    const Descriptor fd(::open(path.c_str(), O_RDONLY | O_CLOEXEC | O_NONBLOCK));
    if (!fd.good()) return not_read(path, reason(errno));
    struct stat about {};
    if (::fstat(fd.get(), &about) != 0) return not_read(path, reason(errno));
    if (S_ISDIR(about.st_mode)) return not_read(path, "it is a folder");
    if (!S_ISREG(about.st_mode)) return not_read(path, "it is no regular file (use - for standard input)");
    return read_all(fd.get(), path, limit, static_cast<std::size_t>(about.st_size));
}

Status write_file(const std::string& path, std::string_view bytes, Access access) {
    const std::string target = behind_links(path);
    struct stat about {};
    if (::stat(target.c_str(), &about) == 0 && !S_ISREG(about.st_mode)) {   // a rename would put a file in a device's place
        const std::string what = S_ISDIR(about.st_mode) ? reason(EISDIR) : "it is no regular file";
        return fault(ErrorKind::bad_file, "file-not-written", "cannot be written: " + what, path);
    }
    std::string folder = std::filesystem::path(target).parent_path().string();
    if (folder.empty()) folder = ".";
    // Chance only keeps two writers apart; O_EXCL is what makes the name ours. It does not grow with the file's own name, which
    // may be as long as names can be.
    const std::string temporary = folder + "/.oddplate-" + to_hex(random_bytes32()).substr(0, 16) + ".tmp";
    if (const int error = write_beside(target, temporary, bytes, access); error != 0) return not_written(path, error);
    if (const int error = flush_folder(folder); error != 0) return not_written(path, error);
    return Done{};
}

Status make_folder(const std::string& path, Access access) {
    struct stat about {};
    if (::stat(path.c_str(), &about) == 0) {
        if (S_ISDIR(about.st_mode)) return Done{};
        return fault(ErrorKind::bad_file, "folder-not-made", "cannot be made a folder: a file of that name is there", path);
    }
    const std::filesystem::path whole(path);
    const std::filesystem::path parent = whole.has_filename() ? whole.parent_path() : whole.parent_path().parent_path();
    if (!parent.empty() && parent != whole) {
        if (Status made = make_folder(parent.string(), access); !made) return made;
    }
    if (::mkdir(path.c_str(), access == Access::owner_only ? 0700 : 0755) == 0 || errno == EEXIST) return Done{};
    const int error = errno;
    return fault(kind_of(error), "folder-not-made", "cannot be made: " + reason(error), path);
}

}   // namespace oddplate::core
