#pragma once
// Who may come in: links that nobody can guess, made from the book's secret and kept nowhere.

#include <string>
#include <string_view>

#include "oddplate/core/bytes.hpp"
#include "oddplate/core/result.hpp"
#include "oddplate/tasting/book.hpp"

namespace oddplate::web {

enum class Role { nobody, desk, runner, kitchen, host };
[[nodiscard]] std::string_view to_text(Role role);

class Tokens {
public:
    /// Makes the book's secret where it has none.
    [[nodiscard]] static core::Result<Tokens> of(tasting::Book& book);

    /// 32 hex digits: the first 128 bits of a keyed hash.
    [[nodiscard]] std::string of_role(Role role) const { return token("role|" + std::string(to_text(role))); }
    [[nodiscard]] std::string of_ballot(const std::string& tasting, int draw, int ballot) const {
        return token("ballot|" + tasting + "|" + std::to_string(draw) + "|" + std::to_string(ballot));
    }
    /// What a form of this role's pages carries, so that no other page can send it.
    [[nodiscard]] std::string of_form(Role role) const { return token("form|" + std::string(to_text(role))); }

    /// Where a token is looked up: a keyed hash, so that the time of a look-up tells nothing of the token.
    [[nodiscard]] std::string shelf(std::string_view given) const { return token("shelf|" + std::string(given)); }

    [[nodiscard]] Role role_of(std::string_view token) const;

private:
    explicit Tokens(const core::Bytes32& secret) : m_secret(secret) {}
    [[nodiscard]] std::string token(std::string_view text) const { return core::to_hex(core::keyed_hash(m_secret, text)).substr(0, 32); }
    core::Bytes32 m_secret;
};

}   // namespace oddplate::web
