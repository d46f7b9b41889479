// The first address of a machine is often that of a container or a tunnel, which no phone reaches; so names, ranges and the default route are weighed.

#include "addresses.hpp"

#include <arpa/inet.h>
#include <ifaddrs.h>
#include <net/if.h>
#include <netinet/in.h>
#include <sys/socket.h>
#include <unistd.h>

#include <algorithm>
#include <array>
#include <cstdlib>
#include <fstream>
#include <sstream>
#include <string_view>

namespace oddplate::web {
namespace {

constexpr std::array<std::string_view, 12> k_virtual{"docker", "veth", "br-", "virbr", "tun", "tap", "wg", "tailscale", "zt", "vmnet", "vbox", "lxc"};
constexpr std::array<std::string_view, 3> k_real{"en", "eth", "wl"};

template <class Names>
bool begins_with_any(std::string_view text, const Names& names) {
    return std::any_of(names.begin(), names.end(), [&](std::string_view name) { return text.starts_with(name); });
}

/// RFC 1918's private ranges, RFC 6598's of carriers, RFC 3927's of machines that were given none.
enum class Range { home, carrier, self_given, open };

Range range_of(const std::string& text) {
    in_addr parsed{};
    if (inet_pton(AF_INET, text.c_str(), &parsed) != 1) return Range::open;
    const std::uint32_t address = ntohl(parsed.s_addr);
    const auto within = [&](std::uint32_t network, int bits) { return address >> (32 - bits) == network >> (32 - bits); };
    if (within(0x0A000000, 8) || within(0xAC100000, 12) || within(0xC0A80000, 16)) return Range::home;
    if (within(0x64400000, 10)) return Range::carrier;
    return within(0xA9FE0000, 16) ? Range::self_given : Range::open;
}

int score(const Address& address) {
    int points = address.is_default ? 4 : 0;
    if (begins_with_any(address.device, k_real)) points += 3;
    if (begins_with_any(address.device, k_virtual)) points -= 12;
    switch (range_of(address.text)) {
        case Range::home: return points + 2;
        case Range::carrier: return points - 10;
        case Range::self_given: return points - 6;
        case Range::open: return points;
    }
    return points;
}

/// The device of the default route, as the kernel lists it; empty where there is none.
std::string default_device() {
    std::ifstream routes("/proc/net/route");
    std::string line;
    std::getline(routes, line);   // the heading
    while (std::getline(routes, line)) {
        std::istringstream cells(line);
        std::string device, destination;
        if (cells >> device >> destination && destination == "00000000") return device;
    }
    return {};
}

}   // namespace

std::vector<Address> ranked(std::vector<Address> addresses) {
    std::stable_sort(addresses.begin(), addresses.end(), [](const Address& a, const Address& b) { return score(a) > score(b); });
    return addresses;
}

bool answers_at(const std::string& name, const std::string& path) {
    const std::size_t colon = name.rfind(':');
    sockaddr_in at{};
    at.sin_family = AF_INET;
    at.sin_port = htons(static_cast<std::uint16_t>(std::strtoul(name.c_str() + colon + 1, nullptr, 10)));
    if (inet_pton(AF_INET, name.substr(0, colon).c_str(), &at.sin_addr) != 1) return false;
    const int connection = socket(AF_INET, SOCK_STREAM | SOCK_CLOEXEC, 0);
    if (connection < 0) return false;
    const timeval second{.tv_sec = 1, .tv_usec = 0};
    setsockopt(connection, SOL_SOCKET, SO_RCVTIMEO, &second, sizeof second);
    setsockopt(connection, SOL_SOCKET, SO_SNDTIMEO, &second, sizeof second);
    const std::string request = "GET " + path + " HTTP/1.1\r\nHost: " + name + "\r\nConnection: close\r\n\r\n";
    char reply[12] = "";
    const bool answered = connect(connection, reinterpret_cast<const sockaddr*>(&at), sizeof at) == 0 &&
                          send(connection, request.data(), request.size(), MSG_NOSIGNAL) == static_cast<ssize_t>(request.size()) &&
                          recv(connection, reply, sizeof reply, MSG_WAITALL) == sizeof reply && std::string_view(reply, sizeof reply) == "HTTP/1.1 200";
    close(connection);
    return answered;
}

std::vector<Address> addresses_here() {
    std::vector<Address> found;
    const std::string way_out = default_device();
    ifaddrs* list = nullptr;
    if (getifaddrs(&list) != 0) return found;
    for (const ifaddrs* each = list; each != nullptr; each = each->ifa_next) {
        if (each->ifa_addr == nullptr || each->ifa_addr->sa_family != AF_INET || (each->ifa_flags & IFF_UP) == 0 || (each->ifa_flags & IFF_LOOPBACK) != 0) continue;
        char text[INET_ADDRSTRLEN] = "";
        inet_ntop(AF_INET, &reinterpret_cast<const sockaddr_in*>(each->ifa_addr)->sin_addr, text, sizeof text);
        found.push_back({each->ifa_name, text, way_out == each->ifa_name});
    }
    freeifaddrs(list);
    return ranked(std::move(found));
}

std::vector<std::string> names_at(const std::string& bind, int port) {
    std::vector<std::string> names;
    const std::string tail = ":" + std::to_string(port);
    if (bind == "0.0.0.0")
        for (const Address& address : addresses_here()) names.push_back(address.text + tail);
    else if (bind != "127.0.0.1") names.push_back(bind + tail);
    names.push_back("127.0.0.1" + tail);
    names.push_back("localhost" + tail);
    return names;
}

}   // namespace oddplate::web
