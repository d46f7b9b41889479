// A token is compared in a time that does not depend on where it differs.

#include "tokens.hpp"

#include <cstdlib>

namespace oddplate::web {
namespace {

constexpr Role k_roles[] = {Role::desk, Role::runner, Role::kitchen, Role::host};

}   // namespace

std::string_view to_text(Role role) {
    switch (role) {
        case Role::nobody: return "nobody";
        case Role::desk: return "desk";
        case Role::runner: return "runner";
        case Role::kitchen: return "kitchen";
        case Role::host: return "host";
    }
    std::abort();
}

core::Result<Tokens> Tokens::of(tasting::Book& book) {
    tasting::Transaction transaction(book);
    if (auto begun = transaction.begin(); !begun) return begun.faults();
    const auto kept = book.host_secret();
    if (!kept) return kept.faults();
    if (*kept) {
        const auto secret = core::from_hex(**kept, "the host's secret");
        if (!secret) return secret.faults();
        return Tokens(*secret);
    }
    const core::Bytes32 secret = core::random_bytes32();
    if (auto done = book.keep_host_secret(core::to_hex(secret)); !done) return done.faults();
    if (auto done = transaction.commit(); !done) return done.faults();
    return Tokens(secret);
}

Role Tokens::role_of(std::string_view token) const {
    Role found = Role::nobody;
    for (const Role role : k_roles)
        if (core::equal_in_constant_time(token, of_role(role))) found = role;
    return found;
}

}   // namespace oddplate::web
