// A draw with guests: the host's number first, then the words, then nothing can be chosen any more.

#include <numeric>

#include "oddplate/tasting/guests.hpp"
#include "oddplate/tasting/parcel.hpp"
#include "oddplate/tasting/proof.hpp"
#include "sealing.hpp"

using namespace oddplate;
using namespace oddplate::tasting;
using namespace oddplate::tasting::testing;

namespace {

const std::vector<std::string> k_lines{"blue gate", "6 2 5", "caf\xc3\xa9"};

core::Bytes32 counting() {
    core::Bytes32 bytes{};
    std::iota(bytes.begin(), bytes.end(), std::uint8_t{0});
    return bytes;
}

std::string drawn_with_guests(Kitchen& kitchen, std::optional<SealWords> seal = {}) {
    const std::string id = kitchen.planned();
    const core::Bytes32 host = good(kitchen.keeper.commit_host(id));
    good(kitchen.keeper.draw(id, {.seal = std::move(seal), .guests = GuestsPart{.host = host, .lines = k_lines}}));
    return id;
}

Proof proof_of(const std::string& name, const std::vector<Proof>& proofs) {
    for (const auto& proof : proofs)
        if (proof.id == name) return proof;
    FAIL("no proof " + name);
    return {};
}

}   // namespace

// Source: Python's hashlib on the same bytes:
//   sha256(h.encode()) and sha256(("oddplate guests 1\n" + h + "\n" + "\n".join(lines)).encode()) for h = bytes(range(32)).hex()
TEST_CASE("guests: number and seed are the hashes that the note tells", "[tasting][guests]") {
    CHECK(host_number(counting()) == "6c86c6aac5fb24bcf5d9939cb7d7d5645ce39418f449e03b262dd4fa14b4b92b");
    CHECK(core::to_hex(guests_seed(counting(), k_lines)) == "f178edddf5b9665efe8583787ce7fc6ede53af75eb4d993bea91fe4acdf51941");
}

TEST_CASE("guests: the seed changes with the host's part and with every line", "[tasting][guests]") {
    auto host = counting();
    const auto seed = guests_seed(host, k_lines);
    CHECK(guests_seed(host, {"blue gate", "6 2 5"}) != seed);
    CHECK(guests_seed(host, {"blue gate", "caf\xc3\xa9", "6 2 5"}) != seed);
    CHECK(guests_seed(host, {"blue gate", "6 2 6", "caf\xc3\xa9"}) != seed);
    host[31] ^= 1;
    CHECK(guests_seed(host, k_lines) != seed);
}

TEST_CASE("guests: lines that cannot stand in the log are refused", "[tasting][guests]") {
    CHECK(check_guests(k_lines).ok());
    CHECK(check_guests(std::vector<std::string>(200, "six")).ok());
    const std::vector<std::vector<std::string>> bad{{},
                                                    std::vector<std::string>(201, "six"),
                                                    {std::string(201, 'x')},
                                                    {"six", ""},
                                                    {"six\nfive"},
                                                    {std::string("a\0b", 3)},
                                                    {"\xff"}};
    for (const auto& lines : bad) CHECK(code_of(check_guests(lines)) == "guests-words");
}

TEST_CASE(
    "guests: the number stands in the log before the words, the part nowhere until the draw, and all of it is proved after close",
    "[tasting][guests]") {
    Kitchen kitchen;
    const std::string id = kitchen.planned();
    const core::Bytes32 host = good(kitchen.keeper.commit_host(id));
    CHECK(kitchen.state(id).host_number == host_number(host));
    CHECK(kitchen.book.everything().find(core::to_hex(host)) == std::string::npos);
    good(kitchen.keeper.draw(id, {.guests = GuestsPart{.host = host, .lines = k_lines}}));
    CHECK(kitchen.kinds_of(id) == std::vector<std::string>{"planned", "host-committed", "drawn"});

    State state = kitchen.state(id);
    CHECK(state.draw().guests == k_lines);
    CHECK(state.draw().host_number == host_number(host));
    CHECK(state.host_number.empty());
    CHECK(state.host_numbers_dropped == 0);
    const auto rows = good(kitchen.book.rows(id, 0));
    for (const auto& row : rows) CHECK(row.body.find(core::to_hex(host)) == std::string::npos);
    CHECK_FALSE(proof_of("guests", prove(state, rows, std::nullopt, "")).holds.has_value());

    good(kitchen.keeper.close(id, true));
    state = kitchen.state(id);
    const KeyPaper paper = good(kitchen.keeper.key(state));
    CHECK(paper.host == host);
    CHECK(paper.seed == guests_seed(host, k_lines));
    const auto proofs = prove(state, good(kitchen.book.rows(id, 0)), paper, core::printed_seal(state.draw().fingerprint));
    for (const auto& proof : proofs) CHECK(proof.holds == true);
    CHECK(proof_of("guests", proofs).says.find(core::to_hex(host)) != std::string::npos);
}

TEST_CASE("guests: another part, another seed or other words do not prove", "[tasting][guests]") {
    Kitchen kitchen;
    const std::string id = drawn_with_guests(kitchen);
    good(kitchen.keeper.close(id, true));
    const State state = kitchen.state(id);
    const auto rows = good(kitchen.book.rows(id, 0));
    const KeyPaper paper = good(kitchen.keeper.key(state));

    KeyPaper other_part = paper;
    (*other_part.host)[0] ^= 1;
    other_part.seed = guests_seed(*other_part.host, k_lines);
    CHECK(proof_of("guests", prove(state, rows, other_part, "")).holds == false);
    KeyPaper no_part = paper;
    no_part.host.reset();
    CHECK(proof_of("guests", prove(state, rows, no_part, "")).holds == false);
    KeyPaper other_seed = paper;
    other_seed.seed[0] ^= 1;
    CHECK(proof_of("guests", prove(state, rows, other_seed, "")).holds == false);
    State other_words = state;
    other_words.draws.back().guests.back() = "cafe";
    CHECK(proof_of("guests", prove(other_words, rows, paper, "")).holds == false);
    State no_number = state;
    no_number.draws.back().host_number.clear();
    CHECK(proof_of("guests", prove(no_number, rows, paper, "")).holds == false);
}

TEST_CASE("guests: the host's part is covered by the seal number", "[tasting][guests]") {
    Kitchen kitchen;
    const std::string id = drawn_with_guests(kitchen);
    const State state = kitchen.state(id);
    KeyPaper paper = good(kitchen.keeper.key(state, true));
    const std::string drawn = fingerprint(state.plan, state.room, paper, state.draw().draw_version);
    CHECK(drawn == state.draw().fingerprint);
    (*paper.host)[5] ^= 1;
    CHECK(fingerprint(state.plan, state.room, paper, state.draw().draw_version) != drawn);
    CHECK(key_from_text(key_to_text(paper))->host == paper.host);
}

TEST_CASE("guests: a number that no draw followed is counted and told", "[tasting][guests]") {
    Kitchen kitchen;
    const std::string id = kitchen.planned();
    good(kitchen.keeper.commit_host(id));
    good(kitchen.keeper.commit_host(id));
    CHECK(kitchen.state(id).host_numbers_dropped == 1);
    SECTION("by a draw with guests") {
        const core::Bytes32 host = good(kitchen.keeper.commit_host(id));
        good(kitchen.keeper.draw(id, {.guests = GuestsPart{.host = host, .lines = k_lines}}));
        const State state = kitchen.state(id);
        CHECK(state.host_numbers_dropped == 2);
        CHECK(proof_of("guests", prove(state, good(kitchen.book.rows(id, 0)), std::nullopt, "")).says.find("2 times") !=
              std::string::npos);
    }
    SECTION("by one without") {
        good(kitchen.keeper.draw(id, {}));
        const State state = kitchen.state(id);
        CHECK(state.host_numbers_dropped == 2);
        CHECK(proof_of("draw", prove(state, good(kitchen.book.rows(id, 0)), std::nullopt, "")).says.find("2 times") !=
              std::string::npos);
    }
}

TEST_CASE("guests: nobody draws with a part whose number is not the last one shown", "[tasting][guests]") {
    Kitchen kitchen;
    const std::string id = kitchen.planned();
    CHECK(code_of(kitchen.keeper.draw(id, {.guests = GuestsPart{.host = counting(), .lines = k_lines}})) == "other-number");
    const core::Bytes32 first = good(kitchen.keeper.commit_host(id));
    const core::Bytes32 second = good(kitchen.keeper.commit_host(id));
    CHECK(first != second);
    CHECK(code_of(kitchen.keeper.draw(id, {.guests = GuestsPart{.host = first, .lines = k_lines}})) == "other-number");
    CHECK(code_of(kitchen.keeper.draw(id, {.guests = GuestsPart{.host = second, .lines = {}}})) == "guests-words");
    good(kitchen.keeper.draw(id, {.guests = GuestsPart{.host = second, .lines = k_lines}}));
    CHECK(code_of(kitchen.keeper.draw(id, {.guests = GuestsPart{.host = second, .lines = {"again"}}})) ==
          "other-number");   // a number serves once
    good(kitchen.keeper.close(id, true));
    CHECK(code_of(kitchen.keeper.commit_host(id)) == "too-late-to-draw");
}

TEST_CASE("guests: with a seal the host's part is in the box alone", "[tasting][guests][seal]") {
    Kitchen kitchen;
    const std::string id = drawn_with_guests(kitchen, k_seal);
    const KeyPaper paper = good(kitchen.keeper.key(kitchen.state(id), true, k_seal));
    REQUIRE(paper.host);
    CHECK(kitchen.book.everything().find(core::to_hex(*paper.host)) == std::string::npos);
    CHECK(kitchen.book.everything().find(core::to_hex(paper.seed)) == std::string::npos);
    CHECK(paper.seed == guests_seed(*paper.host, k_lines));
    CHECK(good(pack(kitchen.keeper, id)).find(core::to_hex(*paper.host)) == std::string::npos);
}
