// The machine's clock.
#include "oddplate/core/clock.hpp"

#include <catch2/catch.hpp>

#include <ctime>

TEST_CASE("SystemClock: its text is UTC to the second and reads back to the present", "[core][clock]") {
    const std::time_t before = std::time(nullptr);
    const std::string text = oddplate::core::SystemClock().now();
    const std::time_t after = std::time(nullptr);
    REQUIRE(text.size() == 20);
    std::tm parts{};
    const char* end = strptime(text.c_str(), "%Y-%m-%dT%H:%M:%SZ", &parts);
    REQUIRE(end == text.c_str() + 20);
    const std::time_t read = timegm(&parts);
    CHECK(before <= read);
    CHECK(read <= after);
}
