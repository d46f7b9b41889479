#pragma once
// The adviser's questions in a cook's words, for whoever calls it without flags.

#include "oddplate/methods/advise.hpp"
#include "verb.hpp"

namespace oddplate::cli {

/// Asks until every answer says something. Fault (usage): the input ended before.
[[nodiscard]] core::Result<methods::Asked> ask_for_advice(Call& call);

}   // namespace oddplate::cli
