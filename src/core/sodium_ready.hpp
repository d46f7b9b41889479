#pragma once
// libsodium asks to be woken once before its generator is used; private to core.

namespace oddplate::core {

/// Safe to call from any thread and any number of times. Aborts on a machine without a source of chance.
void sodium_ready();

}   // namespace oddplate::core
