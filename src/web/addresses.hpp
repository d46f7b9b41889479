#pragma once
// Which of a machine's addresses a phone in the room can probably reach.

#include <string>
#include <vector>

namespace oddplate::web {

struct Address {
    std::string device;    ///< "wlan0"
    std::string text;      ///< "192.168.1.7"
    bool is_default{false};   ///< the way to the rest of the world goes through it
};

/// Best first: the default route's, wired and wireless names, private ranges; last the virtual ones of containers, tunnels and carriers.
[[nodiscard]] std::vector<Address> ranked(std::vector<Address> addresses);

/// This machine's IPv4 addresses that are up and not its loopback, ranked.
[[nodiscard]] std::vector<Address> addresses_here();

/// Every "address:port" under which a host bound there is really asked for, the best to show first; the last two are the loopback's.
[[nodiscard]] std::vector<std::string> names_at(const std::string& bind, int port);

/// Whether a page of ours answers at "192.168.1.7:8642", asked from here; waits a second at most.
[[nodiscard]] bool answers_at(const std::string& name, const std::string& path = "/mark.svg");

}   // namespace oddplate::web
