// Hashes and hexadecimal digits.
#include "oddplate/core/bytes.hpp"

#include <catch2/catch.hpp>

using namespace oddplate::core;

// The examples published with FIPS 180-4 (one block, two blocks) and the long one of its predecessor, FIPS 180-2 appendix B.3;
// the empty text is from the standard's validation vectors.
TEST_CASE("sha256: the published examples come out", "[core][bytes]") {
    CHECK(to_hex(sha256("abc")) == "ba7816bf8f01cfea414140de5dae2223b00361a396177a9cb410ff61f20015ad");
    CHECK(to_hex(sha256("abcdbcdecdefdefgefghfghighijhijkijkljklmklmnlmnomnopnopq")) ==
          "248d6a61d20638b8e5c026930c3e6039a33ce45964ff2167f6ecedd419db06c1");
    CHECK(to_hex(sha256(std::string(1'000'000, 'a'))) == "cdc76e5c9914fb9281a1c7e284d73e67f1809a48a497200e046d39ccc7112cd0");
    CHECK(to_hex(sha256("")) == "e3b0c44298fc1c149afbf4c8996fb92427ae41e4649b934ca495991b7852b855");
}

TEST_CASE("from_hex: reads back what to_hex wrote, in either case of letters", "[core][bytes]") {
    const Bytes32 bytes = sha256("any");
    std::string text = to_hex(bytes);
    CHECK(*from_hex(text, "--seed") == bytes);
    for (char& c : text) c = static_cast<char>(std::toupper(static_cast<unsigned char>(c)));
    CHECK(*from_hex(text, "--seed") == bytes);
}

TEST_CASE("from_hex: anything but 64 digits is refused with the flag's name", "[core][bytes]") {
    const std::string good(64, 'a');
    for (const std::string& bad :
         {std::string(), good.substr(1), good + "a", "0x" + good.substr(2), "g" + good.substr(1), good.substr(1) + " "}) {
        const auto read = from_hex(bad, "--seed");
        REQUIRE_FALSE(read);
        CHECK(read.faults()[0].where == "--seed");
        CHECK(read.faults()[0].line().find("64 hexadecimal digits") != std::string::npos);
        CHECK(exit_code(read.faults()) == 2);
    }
}

TEST_CASE("random_bytes32: two calls do not give the same bytes", "[core][bytes]") {
    CHECK(random_bytes32() != random_bytes32());
}

TEST_CASE("printed_seal: six groups of four capitals", "[core][bytes]") {
    CHECK(printed_seal("9f2c71ab00112233445566778899aabbccddeeff00112233445566778899aabb") == "9F2C-71AB-0011-2233-4455-6677");
}

TEST_CASE("seal_matches: dashes, spaces and the case of letters do not count, every digit does", "[core][bytes]") {
    const std::string hash = to_hex(sha256("seal"));
    const std::string seal = printed_seal(hash);
    CHECK(seal_matches(seal, hash));
    CHECK(seal_matches(hash.substr(0, 24), hash));
    CHECK(seal_matches(hash, hash));
    CHECK_FALSE(seal_matches(hash.substr(0, 63) + (hash.back() == '0' ? "1" : "0"), hash));
    CHECK(seal_matches("  " + hash.substr(0, 12) + " - " + hash.substr(12, 12) + " ", hash));
    for (std::size_t i = 0; i < seal.size(); ++i) {
        if (seal[i] == '-') continue;
        std::string wrong = seal;
        wrong[i] = wrong[i] == '0' ? '1' : '0';
        CHECK_FALSE(seal_matches(wrong, hash));
    }
    CHECK_FALSE(seal_matches(hash.substr(0, 23), hash));
    CHECK_FALSE(seal_matches(hash.substr(0, 25), hash));
    CHECK_FALSE(seal_matches("", hash));
    CHECK_FALSE(seal_matches("not a seal", hash));
    CHECK(is_seal_text(seal));
    CHECK(is_seal_text(hash));
    for (const char* no_seal : {"", "not a seal", "9F2C-71AB", "9F2C-71AB-03DE-5510-8C2A-F00G"}) CHECK_FALSE(is_seal_text(no_seal));
}

// Made with Python's hashlib.blake2b(b"abc", key=bytes(range(32)), digest_size=32), another implementation of RFC 7693.
TEST_CASE("keyed_hash: agrees with another implementation, and another key gives another hash", "[core][bytes]") {
    Bytes32 key{};
    for (std::size_t i = 0; i < key.size(); ++i) key[i] = static_cast<std::uint8_t>(i);
    CHECK(to_hex(keyed_hash(key, "abc")) == "d63a32d3e44738d7907f964316c241adaba0abfeabc32349677578a15a203f7f");
    CHECK(keyed_hash(Bytes32{}, "abc") != keyed_hash(key, "abc"));
    CHECK(equal_in_constant_time("abc", "abc"));
    CHECK_FALSE(equal_in_constant_time("abc", "abd"));
    CHECK_FALSE(equal_in_constant_time("abc", "ab"));
}
