// From start to stop. Signals are blocked before any thread begins, so that only this one ever sees them, and it waits for nothing else.

#include "oddplate/web/host.hpp"

#include <pthread.h>

#include <csignal>
#include <mutex>

#include "addresses.hpp"
#include "house.hpp"
#include "http.hpp"
#include "tokens.hpp"

namespace oddplate::web {
namespace {

/// SIGINT and SIGTERM wait until they are asked for.
class Signals {
public:
    Signals() {
        sigemptyset(&m_ends);
        sigaddset(&m_ends, SIGINT);
        sigaddset(&m_ends, SIGTERM);
        pthread_sigmask(SIG_BLOCK, &m_ends, &m_before);
    }
    Signals(const Signals&) = delete;
    Signals& operator=(const Signals&) = delete;
    ~Signals() { pthread_sigmask(SIG_SETMASK, &m_before, nullptr); }
    void wait() const {
        int which = 0;
        sigwait(&m_ends, &which);
    }

private:
    sigset_t m_ends{}, m_before{};
};

}   // namespace

core::Status check(const HostOptions& options) { return check_address(options.bind); }

core::Status host(const HostBooks& books, const core::Clock& clock, const core::Words& words, const HostOptions& options, const std::function<void(const Opened&)>& opened) {
    const auto tokens = Tokens::of(books.writing);
    if (!tokens) return tokens.faults();
    const Signals signals;
    House house(books, clock, words, *tokens);
    std::mutex starting;   // who asks before the port is known waits until the names are
    std::unique_lock hold(starting);
    auto server = HttpServer::start(options.bind, options.port,
                                    {.answer = [&](const Request& request, const Send& send) {
                                         { const std::scoped_lock known(starting); }
                                         house.answer(request, send);
                                     },
                                     .most_body = [&](const Request& request) { return house.most_body(request); }});
    if (!server) return server.faults();
    const auto names = names_at(options.bind, (*server)->port());
    house.set_addresses(names);
    hold.unlock();

    Opened where{.address = "http://" + names.front(), .others = {}, .links = {}, .answers = answers_at(names.front())};
    for (std::size_t i = 1; options.bind == "0.0.0.0" && i + 2 < names.size(); ++i) where.others.push_back("http://" + names[i]);
    for (const Role role : {Role::host, Role::runner, Role::desk, Role::kitchen})
        where.links.push_back({std::string(to_text(role)), where.address + "/as/" + tokens->of_role(role)});
    opened(where);
    signals.wait();
    house.writer().stop();   // every promised reply is sent before the server goes
    house.backroom().stop();
    return core::Done{};
}

}   // namespace oddplate::web
