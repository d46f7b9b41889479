// The chain: each row's hash covers the one before, so that nothing in the middle can be changed unnoticed; the head as of the draw stands on paper.

#include "oddplate/tasting/log.hpp"

#include "oddplate/core/bytes.hpp"

namespace oddplate::tasting {

std::string chain_hash(const std::string& previous, const std::string& tasting_id, const LogRow& row) {
    const std::string before = previous.empty() ? std::string(64, '0') : previous;
    return core::to_hex(
        core::sha256(before + "\n" + tasting_id + "\n" + std::to_string(row.seq) + "\n" + row.kind + "\n" + row.at + "\n" + row.body));
}

core::Status check_chain(const std::string& tasting_id, const std::vector<LogRow>& rows) {
    std::string previous;
    std::int64_t expected = 1;
    for (const LogRow& row : rows) {
        if (row.seq != expected || row.hash != chain_hash(previous, tasting_id, row)) {
            return core::fault(core::ErrorKind::check_failed, "log-broken",
                               "the log of " + tasting_id + " does not hold together at row " + std::to_string(expected) +
                                   " (" + row.kind + "): it was changed after it was written");
        }
        previous = row.hash;
        ++expected;
    }
    return core::Done{};
}

}   // namespace oddplate::tasting
