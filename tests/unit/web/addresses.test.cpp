#include <catch2/catch.hpp>

#include "../../../src/web/addresses.hpp"

using oddplate::web::Address;
using oddplate::web::ranked;

TEST_CASE("the address for the phones is the room's network, not a container's or a tunnel's") {
    const auto best = ranked({{"docker0", "172.17.0.1", false}, {"tun0", "10.8.0.2", true}, {"wlan0", "192.168.1.7", false}, {"tailscale0", "100.101.3.4", false}});
    CHECK(best.front().text == "192.168.1.7");
    CHECK(best.back().text == "100.101.3.4");   // RFC 6598, and a tunnel's name
    CHECK(ranked({{"eth1", "169.254.3.4", false}, {"eth0", "10.0.0.5", false}}).front().text == "10.0.0.5");   // RFC 3927: nobody gave it one
    CHECK(ranked({{"eth0", "10.0.0.5", false}, {"wlan0", "192.168.0.9", true}}).front().text == "192.168.0.9");
}
