// Files read whole and written whole; the faults are made with the system's own means.
#include "oddplate/core/files.hpp"

#include <sys/resource.h>
#include <sys/stat.h>
#include <unistd.h>
#include <catch2/catch.hpp>

#include <csignal>
#include <filesystem>
#include <fstream>

using namespace oddplate::core;
namespace fs = std::filesystem;

namespace {

/// A fresh folder that goes away with the test.
class Folder {
public:
    Folder() {
        std::string pattern = (fs::temp_directory_path() / "oddplate-files-XXXXXX").string();
        REQUIRE(::mkdtemp(pattern.data()) != nullptr);
        m_path = pattern;
        fs::permissions(m_path, fs::perms(0755));
    }
    ~Folder() {
        std::error_code ignored;   // a left-over folder must not hide the test's own failure
        fs::permissions(m_path, fs::perms(0755), ignored);
        fs::remove_all(m_path, ignored);
    }
    std::string operator/(const std::string& name) const { return m_path + "/" + name; }
    const std::string& path() const { return m_path; }
    std::size_t entries() const {
        return static_cast<std::size_t>(std::distance(fs::directory_iterator(m_path), fs::directory_iterator()));
    }

private:
    std::string m_path;
};

unsigned mode_of(const std::string& path) {
    struct stat about {};
    REQUIRE(::stat(path.c_str(), &about) == 0);
    return about.st_mode & 07777;
}

class Umask {
public:
    explicit Umask(mode_t mask) : m_old(::umask(mask)) {}
    ~Umask() { ::umask(m_old); }

private:
    mode_t m_old;
};

void check_refused(const Result<std::string>& read, const std::string& path, const std::string& part) {
    REQUIRE_FALSE(read);
    CHECK(read.faults()[0].kind == ErrorKind::bad_file);
    CHECK(read.faults()[0].where == path);
    CHECK(read.faults()[0].line().find(part) != std::string::npos);
}

}   // namespace

TEST_CASE("write_file: the bytes are read back as they were, whatever they are and however many", "[core][files]") {
    const Folder folder;
    std::string every;
    for (int i = 0; i < 256; ++i) every += static_cast<char>(i);
    for (const std::string& bytes : {std::string(), every, std::string(65536, 'x'), std::string(3'000'001, 'y')}) {
        REQUIRE(write_file(folder / "a", bytes));
        const auto back = read_file(folder / "a");
        REQUIRE(back);
        CHECK((*back == bytes));
    }
    CHECK(folder.entries() == 1);
}

TEST_CASE("read_file: missing, a folder, a pipe and too large are each one sentence", "[core][files]") {
    const Folder folder;
    check_refused(read_file(folder / "none"), folder / "none", "there is no such file");
    check_refused(read_file(folder.path()), folder.path(), "it is a folder");
    check_refused(read_file(""), "", "no such file");
    REQUIRE(::mkfifo((folder / "pipe").c_str(), 0600) == 0);
    check_refused(read_file(folder / "pipe"), folder / "pipe", "no regular file");
    REQUIRE(write_file(folder / "a", "12345"));
    CHECK(*read_file(folder / "a", 5) == "12345");
    check_refused(read_file(folder / "a", 4), folder / "a", "more than 4 bytes");
    check_refused(read_file(folder / "a/b"), folder / "a/b", "a part of its path is a file");
}

TEST_CASE("write_file: modes are 0644 and 0600, and the umask can only take away", "[core][files]") {
    const Folder folder;
    {
        const Umask mask(0);
        REQUIRE(write_file(folder / "all", "x"));
        REQUIRE(write_file(folder / "own", "x", Access::owner_only));
        REQUIRE(make_folder(folder / "a/b", Access::owner_only));
        REQUIRE(make_folder(folder / "c"));
    }
    CHECK(mode_of(folder / "all") == 0644);
    CHECK(mode_of(folder / "own") == 0600);
    CHECK(mode_of(folder / "a") == 0700);
    CHECK(mode_of(folder / "a/b") == 0700);
    CHECK(mode_of(folder / "c") == 0755);
    const Umask mask(077);
    REQUIRE(write_file(folder / "all", "y"));
    CHECK(mode_of(folder / "all") == 0600);
}

TEST_CASE("write_file: a disk that is full half way leaves the old file whole and no other", "[core][files][fault]") {
    const Folder folder;
    const std::string old(1000, 'o');
    REQUIRE(write_file(folder / "a", old));
    struct rlimit before {};
    REQUIRE(::getrlimit(RLIMIT_FSIZE, &before) == 0);
    const auto old_action = std::signal(SIGXFSZ, SIG_IGN);   // else the limit ends the program instead of the write
    const struct rlimit small { 4096, before.rlim_max };
    REQUIRE(::setrlimit(RLIMIT_FSIZE, &small) == 0);
    const Status written = write_file(folder / "a", std::string(100'000, 'n'));
    REQUIRE(::setrlimit(RLIMIT_FSIZE, &before) == 0);
    std::signal(SIGXFSZ, old_action);
    REQUIRE_FALSE(written);
    CHECK(written.faults()[0].kind == ErrorKind::io);
    CHECK(written.faults()[0].where == folder / "a");
    CHECK((*read_file(folder / "a") == old));
    CHECK(folder.entries() == 1);
}

TEST_CASE("write_file: a folder that may not be written to leaves the old file whole and no other", "[core][files][fault]") {
    const Folder folder;
    REQUIRE(write_file(folder / "a", "old"));
    fs::permissions(folder.path(), fs::perms(0555));
    const bool root = ::geteuid() == 0;   // root may write anywhere, so the test becomes another user for one call
    if (root) REQUIRE(::seteuid(65534) == 0);
    const Status written = write_file(folder / "a", "new");
    if (root) REQUIRE(::seteuid(0) == 0);
    REQUIRE_FALSE(written);
    CHECK(written.faults()[0].line() == (folder / "a") + ": cannot be written: you have no right to");
    CHECK(exit_code(written.faults()) == 1);
    CHECK(*read_file(folder / "a") == "old");
    CHECK(folder.entries() == 1);
}

TEST_CASE("write_file: a folder, a pipe or a missing folder in the file's place is refused as the user's fault",
          "[core][files]") {
    const Folder folder;
    REQUIRE(make_folder(folder / "sub"));
    REQUIRE(::mkfifo((folder / "pipe").c_str(), 0600) == 0);
    REQUIRE(write_file(folder / "file", "x"));
    for (const std::string name : {"sub", "pipe", "none/a", "file/a"}) {
        CAPTURE(name);
        const Status written = write_file(folder / name, "x");
        REQUIRE_FALSE(written);
        CHECK(exit_code(written.faults()) == 2);
    }
    CHECK(fs::is_fifo(folder / "pipe"));
    CHECK(folder.entries() == 3);
}

TEST_CASE("write_file: a link stays a link and the file behind it gets the bytes", "[core][files]") {
    const Folder folder;
    REQUIRE(write_file(folder / "real", "old"));
    fs::create_symlink("real", folder / "link");
    REQUIRE(write_file(folder / "link", "new"));
    CHECK(fs::is_symlink(folder / "link"));
    CHECK(*read_file(folder / "real") == "new");
}

TEST_CASE("write_file: a name as long as names can be is written", "[core][files]") {
    const Folder folder;
    const std::string name(255, 'n');
    REQUIRE(write_file(folder / name, "x"));
    CHECK(*read_file(folder / name) == "x");
    const Status written = write_file(folder / (name + "n"), "x");
    REQUIRE_FALSE(written);
    CHECK(written.faults()[0].line().ends_with("its name is too long"));
}

TEST_CASE("write_file: whoever holds the old file open goes on reading the old bytes", "[core][files]") {
    const Folder folder;
    REQUIRE(write_file(folder / "a", "old"));
    std::ifstream reader(folder / "a");
    REQUIRE(write_file(folder / "a", "new bytes"));
    std::string seen;
    reader >> seen;
    CHECK(seen == "old");
}

TEST_CASE("make_folder: parents are made, one that is there is fine, and a file in the way is refused", "[core][files]") {
    const Folder folder;
    REQUIRE(make_folder(folder / "x/y/z"));
    REQUIRE(make_folder(folder / "x/y/z/"));
    REQUIRE(make_folder(folder / "x/y/w/"));
    CHECK(fs::is_directory(folder / "x/y/w"));
    REQUIRE(write_file(folder / "file", "x"));
    for (const std::string name : {"file", "file/sub"}) {
        const Status made = make_folder(folder / name);
        REQUIRE_FALSE(made);
        CHECK(exit_code(made.faults()) == 2);
    }
    CHECK_FALSE(make_folder(""));
}
