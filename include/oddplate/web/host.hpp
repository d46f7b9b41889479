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

}   // namespace oddplate::web
