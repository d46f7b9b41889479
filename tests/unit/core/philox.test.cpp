// The generator of simulations.
#include "oddplate/core/philox.hpp"

#include <catch2/catch.hpp>

#include <set>
#include <vector>

using namespace oddplate::core;

using Words4 = std::array<std::uint32_t, 4>;

// Salmon, Moraes, Dror & Shaw (2011); their published known-answer table. The second and third rows are written down from memory.
TEST_CASE("philox4x32: the three published known answers come out", "[core][philox]") {
    CHECK(philox4x32({0, 0, 0, 0}, {0, 0}) == Words4{0x6627e8d5, 0xe169c58d, 0xbc57ac4c, 0x9b00dbd8});
    CHECK(philox4x32({~0u, ~0u, ~0u, ~0u}, {~0u, ~0u}) == Words4{0x408f276d, 0x41c83b0e, 0xa20bc7c6, 0x6d5451fd});
    CHECK(philox4x32({0x243f6a88, 0x85a308d3, 0x13198a2e, 0x03707344}, {0xa4093822, 0x299f31d0}) ==
          Words4{0xd16cfe09, 0x94fdcceb, 0x5001e420, 0x24126ea1});   // digits of pi
}

TEST_CASE("PhiloxStream: its words are the blocks of counter 0, 1, 2 ... with the replicate in the upper half",
          "[core][philox]") {
    const std::uint64_t seed = 0x0123456789abcdef;
    const std::uint64_t replicate = 0xfedcba9876543210;
    PhiloxStream stream(seed, replicate);
    for (std::uint32_t block = 0; block < 5; ++block) {
        const Words4 words = philox4x32({block, 0, 0x76543210, 0xfedcba98}, {0x89abcdef, 0x01234567});
        for (const std::uint32_t word : words) CHECK(stream.next() == word);
    }
}

TEST_CASE("PhiloxStream: replicates and seeds give different words", "[core][philox]") {
    std::set<std::uint32_t> firsts;
    for (std::uint64_t i = 0; i < 100; ++i) {
        firsts.insert(PhiloxStream(7, i).next());
        firsts.insert(PhiloxStream(i + 100, 7).next());
    }
    CHECK(firsts.size() == 200);
}

TEST_CASE("PhiloxStream: below stays below its bound and reaches every number about equally often", "[core][philox]") {
    for (const std::uint32_t bound : {1u, 2u, 3u, 6u, 7u, 100u}) {
        PhiloxStream stream(11, bound);
        std::vector<int> count(bound);
        const int each = 1000;
        for (std::uint32_t i = 0; i < bound * each; ++i) {
            const std::uint32_t drawn = stream.below(bound);
            REQUIRE(drawn < bound);
            ++count[drawn];
        }
        for (const int seen : count) CHECK(std::abs(seen - each) < 200);   // more than six standard deviations; the seed is fixed
    }
}

TEST_CASE("PhiloxStream: below throws away words above the last whole multiple of its bound", "[core][philox]") {
    const std::uint32_t bound = 0x80000001u;   // nearly half of all words are thrown away
    PhiloxStream words(3, 3);
    PhiloxStream drawn(3, 3);
    int thrown = 0;
    for (int i = 0; i < 200; ++i) {
        std::uint32_t word = words.next();
        while (word >= bound) {
            word = words.next();
            ++thrown;
        }
        CHECK(drawn.below(bound) == word);
    }
    CHECK(thrown > 100);
}

TEST_CASE("PhiloxStream: uniform is inside (0, 1), has mean a half and uses two words", "[core][philox]") {
    PhiloxStream stream(5, 5);
    PhiloxStream words(5, 5);
    double sum = 0;
    for (int i = 0; i < 10000; ++i) {
        const double u = stream.uniform();
        REQUIRE(u > 0.0);
        REQUIRE(u < 1.0);
        const std::uint64_t upper = words.next();
        const std::uint64_t bits = (upper << 32 | words.next()) >> 12;
        CHECK(u == (static_cast<double>(bits) + 0.5) / 4503599627370496.0);   // 2^52
        sum += u;
    }
    CHECK(sum / 10000 == Approx(0.5).margin(0.015));   // five standard deviations; the seed is fixed
    CHECK((static_cast<double>((std::uint64_t{1} << 52) - 1) + 0.5) * 0x1p-52 < 1.0);   // the largest value it can give
}
