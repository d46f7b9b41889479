#pragma once
// Who sends a byte now and then is never idle, so the server's own timeout lets such a connection stand for hours. Here each has a moment by which what it
// is doing must be done, or it is hung up on.

#include <chrono>
#include <condition_variable>
#include <map>
#include <mutex>
#include <thread>

namespace oddplate::web {

class Deadlines {
public:
    Deadlines();
    Deadlines(const Deadlines&) = delete;
    Deadlines& operator=(const Deadlines&) = delete;
    ~Deadlines();

    /// From now on the connection of this socket has so long, whatever it had before. Any thread.
    void give(int socket, std::chrono::seconds time);
    /// It may take as long as it wants to. Must be called before the socket is closed: its number may be somebody else's afterwards.
    void lift(int socket);

private:
    void watch();

    std::mutex m_guard;   // of what follows
    std::condition_variable m_wake;
    std::map<int, std::chrono::steady_clock::time_point> m_due;
    bool m_ends{false};
    std::thread m_watch;   // last: it uses the others
};

}   // namespace oddplate::web
