#include "deadlines.hpp"

#include <sys/socket.h>

namespace oddplate::web {

constexpr std::chrono::milliseconds k_between_looks{500};

Deadlines::Deadlines() : m_watch([this] { watch(); }) {}

Deadlines::~Deadlines() {
    {
        const std::scoped_lock lock(m_guard);
        m_ends = true;
    }
    m_wake.notify_one();
    m_watch.join();
}

void Deadlines::give(int socket, std::chrono::seconds time) {
    const std::scoped_lock lock(m_guard);
    m_due[socket] = std::chrono::steady_clock::now() + time;
}

void Deadlines::lift(int socket) {
    const std::scoped_lock lock(m_guard);
    m_due.erase(socket);
}

void Deadlines::watch() {
    std::unique_lock lock(m_guard);
    while (!m_wake.wait_for(lock, k_between_looks, [this] { return m_ends; })) {
        const auto now = std::chrono::steady_clock::now();
        std::erase_if(m_due, [now](const auto& each) {
            if (each.second > now) return false;
            shutdown(each.first, SHUT_RDWR);   // the loop sees its end and closes it; while the guard is held the number is this connection's
            return true;
        });
    }
}

}   // namespace oddplate::web
