#pragma once
// The time of day, as an interface, so that tests can stop it.

#include <string>

namespace oddplate::core {

class Clock {
public:
    virtual ~Clock() = default;
    /// UTC, to the second: "2026-11-25T12:30:00Z".
    [[nodiscard]] virtual std::string now() const = 0;
};

/// The machine's clock.
class SystemClock final : public Clock {
public:
    [[nodiscard]] std::string now() const override;
};

}   // namespace oddplate::core
