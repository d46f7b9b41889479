// The draw's generator, against published vectors and against a second implementation.
#include "oddplate/core/chance.hpp"

#include <sodium.h>
#include <catch2/catch.hpp>

#include <map>
#include <numeric>
#include <set>

#include "oddplate/core/csv.hpp"
#include "oddplate/core/files.hpp"

using namespace oddplate::core;

namespace {

std::string keystream_block(const Bytes32& key, std::array<std::uint8_t, 8> nonce, std::uint64_t block) {
    std::array<std::uint8_t, 64> out{};
    crypto_stream_chacha20_xor_ic(out.data(), out.data(), out.size(), nonce.data(), block, key.data());
    Bytes32 first{}, second{};
    std::copy_n(out.begin(), 32, first.begin());
    std::copy_n(out.begin() + 32, 32, second.begin());
    return to_hex(first) + to_hex(second);
}

}   // namespace

// RFC 8439, appendix A.1, test vectors 1 to 5. The RFC's nonce has 12 bytes and its counter 4; where the first four bytes of the
// nonce are nought, that is the same block as with 8 bytes and a counter of 8. (Vector 1 is also the zero-key vector of the
// algorithm's draft.)
TEST_CASE("ChaCha20: the library's blocks are those of RFC 8439", "[core][chance]") {
    Bytes32 last_one{};
    last_one[31] = 1;
    Bytes32 second_ff{};
    second_ff[1] = 0xff;
    CHECK(keystream_block({}, {}, 0) ==
          "76b8e0ada0f13d90405d6ae55386bd28bdd219b8a08ded1aa836efcc8b770dc7"
          "da41597c5157488d7724e03fb8d84a376a43b8f41518a11cc387b669b2ee6586");
    CHECK(keystream_block({}, {}, 1) ==
          "9f07e7be5551387a98ba977c732d080dcb0f29a048e3656912c6533e32ee7aed"
          "29b721769ce64e43d57133b074d839d531ed1f28510afb45ace10a1f4b794d6f");
    CHECK(keystream_block(last_one, {}, 1) ==
          "3aeb5224ecf849929b9d828db1ced4dd832025e8018b8160b82284f3c949aa5a"
          "8eca00bbb4a73bdad192b5c42f73f2fd4e273644c8b36125a64addeb006c13a0");
    CHECK(keystream_block(second_ff, {}, 2) ==
          "72d54dfbf12ec44b362692df94137f328fea8da73990265ec1bbbea1ae9af0ca"
          "13b25aa26cb4a648cb9b9d1be65b2c0924a66c54d545ec1b7374f4872e99f096");
    CHECK(keystream_block({}, {0, 0, 0, 0, 0, 0, 0, 2}, 0) ==
          "c2c64d378cd536374ae204b9ef933fcd1a8b2288b3dfa49672ab765b54ee27c7"
          "8a970e0e955c14f3a88e741b97c286f75f8fc299e8148362fa198a39531bed6d");
}

// The table comes from a script that knows neither libsodium nor this program: BLAKE2b of Python's hashlib, ChaCha20 written out.
TEST_CASE("ChanceStream: its words are those of a second implementation, beyond its buffer too", "[core][chance][reference]") {
    const auto bytes = read_file(ODDPLATE_SOURCE_DIR "/tests/reference/chance_words.csv");
    REQUIRE(bytes);
    const auto table = parse_csv(*bytes);
    REQUIRE(table);
    REQUIRE(table->rows.size() > 50);
    for (const CsvRow& row : table->rows) {
        CAPTURE(row.line);
        ChanceStream stream(*from_hex(row.cells[0], "seed"), static_cast<Purpose>(std::stoull(row.cells[1])),
                            std::stoull(row.cells[2]));
        for (int skip = std::stoi(row.cells[3]); skip > 0; --skip) stream.next();
        CHECK(stream.next() == std::stoul(row.cells[4]));
    }
}

TEST_CASE("ChanceStream: seed, purpose and lane each change every word, and nothing else does", "[core][chance]") {
    const Bytes32 seed = sha256("seed");
    std::set<std::uint32_t> firsts;
    for (const Purpose purpose :
         {Purpose::orders, Purpose::spot_orders, Purpose::codes, Purpose::pieces, Purpose::tubs, Purpose::spot_choice}) {
        for (std::uint64_t lane = 0; lane < 10; ++lane) firsts.insert(ChanceStream(seed, purpose, lane).next());
    }
    firsts.insert(ChanceStream(sha256("other"), Purpose::orders, 0).next());
    CHECK(firsts.size() == 61);
    ChanceStream a(seed, Purpose::codes, 3), b(seed, Purpose::codes, 3);
    for (int i = 0; i < 1000; ++i) CHECK(a.next() == b.next());
}

TEST_CASE("ChanceStream: below throws away words above the last whole multiple of its bound", "[core][chance]") {
    const Bytes32 seed = sha256("below");
    for (const std::uint32_t bound : {1u, 3u, 0x80000000u, 0x80000001u, 0xffffffffu}) {
        const std::uint64_t limit = (std::uint64_t{1} << 32) / bound * bound;
        ChanceStream words(seed, Purpose::orders, bound), drawn(seed, Purpose::orders, bound);
        for (int i = 0; i < 500; ++i) {
            std::uint32_t word = words.next();
            while (word >= limit) word = words.next();
            CHECK(drawn.below(bound) == word % bound);
        }
    }
}

TEST_CASE("ChanceStream: shuffle is Fisher-Yates from the end with below", "[core][chance]") {
    const Bytes32 seed = sha256("shuffle");
    std::vector<int> items(30), expected(30);
    std::iota(items.begin(), items.end(), 0);
    std::iota(expected.begin(), expected.end(), 0);
    ChanceStream stream(seed, Purpose::orders, 1), same(seed, Purpose::orders, 1);
    stream.shuffle(items);
    for (std::uint32_t i = 29; i >= 1; --i) std::swap(expected[i], expected[same.below(i + 1)]);
    CHECK(items == expected);
    CHECK(stream.next() == same.next());
    std::vector<int> none, one{7};
    stream.shuffle(none);
    stream.shuffle(one);
    CHECK(one == std::vector<int>{7});
}

TEST_CASE("ChanceStream: shuffle reaches each order of four about equally often", "[core][chance]") {
    ChanceStream stream(sha256("orders"), Purpose::orders, 0);
    std::map<std::vector<int>, int> seen;
    for (int i = 0; i < 24'000; ++i) {
        std::vector<int> items{0, 1, 2, 3};
        stream.shuffle(items);
        ++seen[items];
    }
    REQUIRE(seen.size() == 24);
    double chi_squared = 0;
    for (const auto& [order, count] : seen) chi_squared += (count - 1000.0) * (count - 1000.0) / 1000.0;
    CHECK(chi_squared < 49.7);   // the upper 0.001 point of chi-squared with 23 degrees of freedom; the seed is fixed
}
