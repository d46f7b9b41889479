// A book can only be consistent with itself; paper printed before service is what ties it to the evening.

#include "oddplate/tasting/proof.hpp"

#include "oddplate/draw/draw.hpp"
#include "oddplate/tasting/guests.hpp"

namespace oddplate::tasting {
namespace {

Proof prove_log(const State& state, const std::vector<LogRow>& rows) {
    const auto chained = check_chain(state.id, rows);
    if (chained) return {"log", true, "the log's " + std::to_string(rows.size()) + " rows hold together"};
    return {"log", false, chained.faults().front().text};
}

Proof prove_draw(const State& state, const std::optional<KeyPaper>& paper) {
    if (!paper) return {"draw", std::nullopt, "the draw can be done again and compared once the list of codes is open"};
    if (!draw::draws_alike(state.draw().draw_version, state.plan))
        return {"draw", std::nullopt, "the draw was made by version " + std::to_string(state.draw().draw_version) + " of the drawing, which this program no longer has"};
    auto again = draw::draw(state.plan, paper->seed);
    if (!again) return {"draw", false, "the seed does not give a draw for this plan"};
    const bool same = again->room == state.room && again->key == paper->key;
    return {"draw", same, same ? "drawing again from the seed gives the same ballots and list of codes"
                               : "drawing again from the seed gives other ballots or another list of codes: one of them was changed"};
}

// How often a host began with guests and gave up is no fault, but it is said: each time the guests' words could be heard first.
std::string given_up(const State& state) {
    if (state.host_numbers_dropped == 0) return {};
    return "; before or after it the host began " + std::to_string(state.host_numbers_dropped) + (state.host_numbers_dropped == 1 ? " time" : " times") +
           " with guests without drawing";
}

Proof prove_guests(const State& state, const std::optional<KeyPaper>& paper) {
    const DrawInfo& info = state.draw();
    if (info.host_number.empty()) return {"guests", false, "no number of the host stood in the log before the guests gave their words"};
    if (!paper)
        return {"guests", std::nullopt, "the host's number stood in the log before the guests gave their words; the host's part shows once the list of codes is open" + given_up(state)};
    if (!paper->host || host_number(*paper->host) != info.host_number)
        return {"guests", false, "the host's part is not the one whose number was shown before the guests gave their words"};
    if (guests_seed(*paper->host, info.guests) != paper->seed) return {"guests", false, "the seed is not made of the host's part and the guests' words"};
    return {"guests", true, "the seed is made of the guests' words and the host's part, whose number was shown before (host's part: " + core::to_hex(*paper->host) + ")" + given_up(state)};
}

Proof prove_fingerprint(const State& state, const std::optional<KeyPaper>& paper) {
    if (!paper) return {"fingerprint", std::nullopt, "the seal number can be checked against plan and draw once the list of codes is open"};
    const bool same = fingerprint(state.plan, state.room, *paper, state.draw().draw_version) == state.draw().fingerprint;
    return {"fingerprint", same, same ? "the seal number is that of this plan and this draw" : "the seal number is not that of this plan and draw: something was changed after drawing"};
}

Proof prove_printed(const State& state, const std::string& printed) {
    if (printed.empty())
        return {"printed", std::nullopt, "without --printed this says only that the book is consistent with itself; the seal number on the pages ties it to the evening"};
    const std::string& seal = state.draw().fingerprint;
    const bool same = core::seal_matches(printed, seal);
    return {"printed", same, same ? "the seal number on paper is the book's" : "the seal number on paper is not the book's: these pages belong to another draw"};
}

}   // namespace

std::vector<Proof> prove(const State& state, const std::vector<LogRow>& rows, const std::optional<KeyPaper>& paper, const std::string& printed) {
    std::vector<Proof> proofs{prove_log(state, rows)};
    if (state.draws.empty()) {
        proofs.push_back({"draw", std::nullopt, "nothing has been drawn yet"});
        if (!printed.empty()) proofs.push_back({"printed", false, "no page of it can have been printed: the seal number on paper belongs to another tasting"});
        return proofs;
    }
    proofs.push_back(prove_draw(state, paper));
    if (!state.draw().guests.empty()) proofs.push_back(prove_guests(state, paper));
    else proofs.back().says += given_up(state);   // it is said too where the guests' words were heard and then left out
    proofs.push_back(prove_fingerprint(state, paper));
    proofs.push_back(prove_printed(state, printed));
    return proofs;
}

}   // namespace oddplate::tasting
