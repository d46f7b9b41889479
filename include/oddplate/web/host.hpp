#pragma once
// The local page: what `oddplate host` runs.

#include <functional>
#include <string>
#include <vector>

#include "oddplate/core/clock.hpp"
#include "oddplate/core/result.hpp"
#include "oddplate/core/words.hpp"
#include "oddplate/tasting/book.hpp"

namespace oddplate::web {

struct HostOptions {
    std::string bind{"127.0.0.1"};   ///< an IPv4 address of this machine; 0.0.0.0 is all of them
    int port{8642};                  ///< 0 takes a free one
};

/// Before anything is opened or written. Faults: the address to listen at is none (usage).
[[nodiscard]] core::Status check(const HostOptions& options);

/// Three openings of one book: pages are read from one while answers are written to another; papers and verdicts, which take longer, have the third.
struct HostBooks {
    tasting::Book& reading;
    tasting::Book& writing;
    tasting::Book& slow;
};

/// Where the page is, once it listens.
struct Opened {
    struct Link { std::string role, url; };   ///< "host", "runner", "desk", "kitchen"
    std::string address;                      ///< "http://192.168.1.7:8642", the one to show first
    std::vector<std::string> others;          ///< further addresses of this machine
    std::vector<Link> links;
    bool answers{false};                      ///< the page was asked at that address, from here, and answered
};

/// Serves until SIGINT or SIGTERM; then what was taken in is written and answered, and it returns. `opened` is called once, when the page listens.
/// Faults: address or port cannot be had; the book cannot be read or written.
[[nodiscard]] core::Status host(const HostBooks& books, const core::Clock& clock, const core::Words& words, const HostOptions& options,
                                const std::function<void(const Opened&)>& opened);

/// The day before: waits for a guest's phone.
struct PhoneTest {
    std::string link;                  ///< what the phone should open
    std::vector<std::string> others;   ///< the same link at this machine's further addresses
    bool answers{false};               ///< it answered when asked from here
    std::string from{};                ///< the phone's address; empty: none came in time
    double seconds{0};                 ///< how long it took
};
/// Listens where `options` says (an address of the network, not the loopback), calls `waiting` once with the link, and waits `seconds` at most for a request from
/// another machine. Opens no book. Faults: as `host`.
[[nodiscard]] core::Result<PhoneTest> wait_for_a_phone(const HostOptions& options, const core::Words& words, int seconds, const std::function<void(const PhoneTest&)>& waiting);

/// The link as a picture of letters for a terminal (black on white by its own colours).
[[nodiscard]] std::string qr_for_terminal(const std::string& link);

}   // namespace oddplate::web
