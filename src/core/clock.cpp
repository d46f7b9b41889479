// The machine's clock, in UTC.
#include "oddplate/core/clock.hpp"

#include <cstdlib>
#include <ctime>

namespace oddplate::core {

std::string SystemClock::now() const {
    const std::time_t seconds = std::time(nullptr);
    std::tm parts{};
    char text[32];
    if (seconds == static_cast<std::time_t>(-1) || gmtime_r(&seconds, &parts) == nullptr)
        std::abort();   // a machine without time
    if (std::strftime(text, sizeof text, "%Y-%m-%dT%H:%M:%SZ", &parts) == 0) std::abort();
    return text;
}

}   // namespace oddplate::core
