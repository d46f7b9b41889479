// A thin layer over SQLite's own way to the files: everything is handed on, save the calls that the disk refuses.

#include "disk.hpp"

#include <sqlite3.h>

#include <algorithm>
#include <cstdlib>
#include <filesystem>
#include <fstream>

namespace oddplate::testing {
namespace {

namespace fs = std::filesystem;

struct File {
    sqlite3_file base;
    sqlite3_file* real;   // lies right behind this struct
    std::string* path;
};

File* ours(sqlite3_file* file) { return reinterpret_cast<File*>(file); }
sqlite3_file* real(sqlite3_file* file) { return ours(file)->real; }
const sqlite3_io_methods* of(sqlite3_file* file) { return real(file)->pMethods; }
sqlite3_vfs* real_vfs(sqlite3_vfs* vfs) { return static_cast<sqlite3_vfs*>(vfs->pAppData); }

int close_file(sqlite3_file* file) {
    const int code = of(file)->xClose(real(file));
    delete ours(file)->path;
    return code;
}

int read_file(sqlite3_file* file, void* into, int bytes, sqlite3_int64 offset) { return of(file)->xRead(real(file), into, bytes, offset); }

int write_file(sqlite3_file* file, const void* from, int bytes, sqlite3_int64 offset) {
    Disk& disk = Disk::instance();
    if (const int refused = disk.answer_to(Disk::Call::write)) return refused;
    disk.will_write(*ours(file)->path, offset, bytes);
    return of(file)->xWrite(real(file), from, bytes, offset);
}

int truncate_file(sqlite3_file* file, sqlite3_int64 size) {
    Disk& disk = Disk::instance();
    if (const int refused = disk.answer_to(Disk::Call::truncate)) return refused;
    disk.will_truncate(*ours(file)->path, size);
    return of(file)->xTruncate(real(file), size);
}

int sync_file(sqlite3_file* file, int flags) {
    Disk& disk = Disk::instance();
    if (const int refused = disk.answer_to(Disk::Call::sync)) return refused;
    disk.was_synced(*ours(file)->path);
    return of(file)->xSync(real(file), flags);
}

int file_size(sqlite3_file* file, sqlite3_int64* size) { return of(file)->xFileSize(real(file), size); }
int lock_file(sqlite3_file* file, int level) { return of(file)->xLock(real(file), level); }
int unlock_file(sqlite3_file* file, int level) { return of(file)->xUnlock(real(file), level); }
int check_lock(sqlite3_file* file, int* held) { return of(file)->xCheckReservedLock(real(file), held); }
int control(sqlite3_file* file, int what, void* with) { return of(file)->xFileControl(real(file), what, with); }
int sector_size(sqlite3_file* file) { return of(file)->xSectorSize(real(file)); }
int device(sqlite3_file*) { return 0; }   // promises nothing: writes are neither atomic nor in order
int map_shared(sqlite3_file* file, int page, int size, int extend, void volatile** at) { return of(file)->xShmMap(real(file), page, size, extend, at); }
int lock_shared(sqlite3_file* file, int offset, int n, int flags) { return of(file)->xShmLock(real(file), offset, n, flags); }
void barrier(sqlite3_file* file) { of(file)->xShmBarrier(real(file)); }
int unmap_shared(sqlite3_file* file, int remove) { return of(file)->xShmUnmap(real(file), remove); }

constexpr sqlite3_io_methods methods_of(int version) {
    return {version,   close_file,  read_file,  write_file, truncate_file, sync_file, file_size,
            lock_file, unlock_file, check_lock, control,    sector_size,   device,    map_shared,
            lock_shared, barrier,   unmap_shared, nullptr,  nullptr};
}
constexpr sqlite3_io_methods k_sharing = methods_of(2);
constexpr sqlite3_io_methods k_alone = methods_of(1);   // to SQLite, a file of version 1 has no shared memory

int open_file(sqlite3_vfs* vfs, const char* name, sqlite3_file* file, int flags, int* out_flags) {
    File* made = ours(file);
    made->real = reinterpret_cast<sqlite3_file*>(made + 1);
    made->path = nullptr;
    made->base.pMethods = nullptr;
    const int code = real_vfs(vfs)->xOpen(real_vfs(vfs), name, made->real, flags, out_flags);
    if (code != SQLITE_OK) return code;
    made->path = new std::string(name == nullptr ? "" : name);
    made->base.pMethods = Disk::instance().shares_memory() ? &k_sharing : &k_alone;
    return SQLITE_OK;
}

int remove_file(sqlite3_vfs* vfs, const char* name, int sync_folder) {
    Disk& disk = Disk::instance();
    if (const int refused = disk.answer_to(Disk::Call::remove)) return refused;
    disk.was_synced(name);   // what is gone cannot be lost
    return real_vfs(vfs)->xDelete(real_vfs(vfs), name, sync_folder);
}

void put_between() {
    static sqlite3_vfs shim;
    sqlite3_vfs* below = sqlite3_vfs_find(nullptr);
    shim = *below;
    shim.zName = "failing-disk";
    shim.pNext = nullptr;
    shim.pAppData = below;
    shim.szOsFile = static_cast<int>(sizeof(File)) + below->szOsFile;
    shim.xOpen = open_file;
    shim.xDelete = remove_file;
    if (sqlite3_vfs_register(&shim, 1) != SQLITE_OK) std::abort();
}

long long size_of(const std::string& path) {
    std::error_code error;
    const auto size = fs::file_size(path, error);
    return error ? 0 : static_cast<long long>(size);
}

}   // namespace

Disk& Disk::instance() {
    static Disk disk;
    static const bool placed = (put_between(), true);
    (void)placed;
    return disk;
}

void Disk::fail(Failure how, long at) {
    m_how = how;
    m_at = at;
    m_calls = 0;
    m_unsynced.clear();
}

void Disk::mend() {
    if (m_how == Failure::power_cut || m_how == Failure::power_cut_some) {
        bool lost = true;
        for (auto change = m_unsynced.rbegin(); change != m_unsynced.rend(); ++change) {
            if (lost || m_how == Failure::power_cut) set_back(*change, m_how == Failure::power_cut);
            lost = !lost;
        }
    }
    fail(Failure::none, 0);
}

void Disk::set_back(const Unsynced& change, bool whole) const {
    if (!fs::exists(change.path)) return;
    std::fstream file(change.path, std::ios::binary | std::ios::in | std::ios::out);
    file.seekp(change.offset);
    file << change.before << std::string(static_cast<std::size_t>(change.bytes) - change.before.size(), '\0');
    file.close();
    if (whole) fs::resize_file(change.path, static_cast<std::uintmax_t>(change.size_before));
}

int Disk::answer_to(Call call) {
    if (m_how == Failure::none) return 0;
    ++m_calls;
    const bool now = m_how == Failure::broken_once ? m_calls == m_at : m_calls >= m_at;
    if (!now) return 0;
    switch (call) {
        case Call::write: return m_how == Failure::full ? SQLITE_FULL : SQLITE_IOERR_WRITE;
        case Call::sync: return m_how == Failure::full ? 0 : SQLITE_IOERR_FSYNC;
        case Call::truncate: return m_how == Failure::full ? 0 : SQLITE_IOERR_TRUNCATE;
        case Call::remove: return m_how == Failure::full ? 0 : SQLITE_IOERR_DELETE;
    }
    std::abort();
}

void Disk::will_write(const std::string& path, long long offset, long long bytes) {
    if (m_how == Failure::none || path.empty()) return;
    Unsynced change{.path = path, .offset = offset, .before = {}, .bytes = bytes, .size_before = size_of(path)};
    if (change.size_before > offset) {
        change.before.resize(static_cast<std::size_t>(std::min(bytes, change.size_before - offset)));
        std::ifstream file(path, std::ios::binary);
        file.seekg(offset);
        file.read(change.before.data(), static_cast<std::streamsize>(change.before.size()));
    }
    m_unsynced.push_back(std::move(change));
}

void Disk::will_truncate(const std::string& path, long long size) {
    const long long before = size_of(path);
    if (before > size) will_write(path, size, before - size);
}

void Disk::was_synced(const std::string& path) {
    std::erase_if(m_unsynced, [&](const Unsynced& change) { return change.path == path; });
}

}   // namespace oddplate::testing
