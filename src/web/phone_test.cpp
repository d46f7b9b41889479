// One link and nothing behind it: whether a phone in the room's network reaches this machine, found out the day before.

#include <algorithm>
#include <chrono>
#include <condition_variable>
#include <mutex>
#include <thread>

#include "addresses.hpp"
#include "html.hpp"
#include "http.hpp"
#include "oddplate/core/bytes.hpp"
#include "oddplate/core/text.hpp"
#include "oddplate/web/host.hpp"

namespace oddplate::web {
namespace {

/// Whether an address is one of this machine's own: whoever asks from here shows nothing of the network.
bool is_own(const std::string& peer) {
    const auto own = addresses_here();
    return peer == "127.0.0.1" || std::any_of(own.begin(), own.end(), [&](const Address& each) { return each.text == peer; });
}

}   // namespace

core::Result<PhoneTest> wait_for_a_phone(const HostOptions& options, const core::Words& words, int seconds, const std::function<void(const PhoneTest&)>& waiting) {
    using Steady = std::chrono::steady_clock;
    const std::string path = "/hello/" + core::to_hex(core::random_bytes32()).substr(0, 8);
    std::mutex guard;
    std::condition_variable news;
    std::vector<std::string> names;
    std::string from;
    auto server = HttpServer::start(options.bind, options.port,
                                    {.answer = [&](const Request& request, const Send& send) {
                                         const std::scoped_lock lock(guard);
                                         const bool known = std::find(names.begin(), names.end(), core::lower_ascii(request.header("host"))) != names.end();
                                         if (!known || request.path != path) return send({.status = 404, .type = "text/plain; charset=utf-8", .body = "nothing here\n"});
                                         const std::string text = words.text("web.test.reached");
                                         send({.status = 200, .body = document({.title = text, .body = element("p", {{"class", "sentence"}}, {text})})});
                                         if (is_own(request.peer)) return;
                                         from = request.peer;
                                         news.notify_one();
                                     },
                                     .most_body = [](const Request&) { return k_most_body; }});
    if (!server) return server.faults();
    PhoneTest test;
    {
        const std::scoped_lock lock(guard);
        names = names_at(options.bind, (*server)->port());
        test.link = "http://" + names.front() + path;
        for (std::size_t i = 1; options.bind == "0.0.0.0" && i + 2 < names.size(); ++i) test.others.push_back("http://" + names[i] + path);
    }
    test.answers = answers_at(names.front(), path);
    waiting(test);
    const auto begun = Steady::now();
    std::unique_lock lock(guard);
    news.wait_for(lock, std::chrono::seconds(seconds), [&] { return !from.empty(); });
    test.from = from;
    test.seconds = std::chrono::duration<double>(Steady::now() - begun).count();
    lock.unlock();
    if (!test.from.empty()) std::this_thread::sleep_for(std::chrono::milliseconds(500));   // the phone gets its page before the door shuts
    return test;
}

}   // namespace oddplate::web
