#pragma once
// A disk that can be told to fail: it stands between SQLite and the real files, counts what would change them, and at the n-th such call runs
// full, breaks once, breaks for good, or loses power. After a power cut the files are what the disk had been made to promise (synced) and no more.

#include <cstddef>
#include <string>
#include <vector>

namespace oddplate::testing {

enum class Failure {
    none,
    full,            ///< no room for this write, nor for any later one
    broken_once,     ///< one call answers with a fault of the disk, then all is well
    broken_for_good, ///< this call and all that follow answer with a fault
    power_cut,       ///< as broken_for_good; what was not synced is lost, all of it
    power_cut_some   ///< every other unsynced write is lost: disks reorder
};

class Disk {
public:
    /// The one disk of this program; from the first call on it is what SQLite uses.
    static Disk& instance();

    /// Counting begins anew; the `at`-th write, sync, truncation or removal fails.
    void fail(Failure how, long at);
    /// Whether files opened from now on can share memory between processes. Without it there is no write-ahead log, as on some network shares.
    void share_memory(bool can) { m_shares = can; }
    [[nodiscard]] bool shares_memory() const { return m_shares; }
    /// All calls go through again. After a power cut the files are set back first: call it when every book is closed.
    void mend();
    [[nodiscard]] long calls() const { return m_calls; }

    // What the shim asks and tells.
    enum class Call { write, sync, truncate, remove };
    /// The code to answer with, or 0 where the call goes through.
    [[nodiscard]] int answer_to(Call call);
    void will_write(const std::string& path, long long offset, long long bytes);
    void will_truncate(const std::string& path, long long size);
    void was_synced(const std::string& path);

private:
    /// What stood where something was written that is not yet synced.
    struct Unsynced {
        std::string path;
        long long offset;
        std::string before;       ///< the old bytes of that place, as far as the file went
        long long bytes;
        long long size_before;
    };
    void set_back(const Unsynced& change, bool whole) const;

    Failure m_how{Failure::none};
    long m_at{0}, m_calls{0};
    bool m_shares{true};
    std::vector<Unsynced> m_unsynced;
};

}   // namespace oddplate::testing
