// Sealed boxes: what opens them, what does not, and that nothing of the text shows.

#include <algorithm>
#include <catch2/catch.hpp>
#include <fstream>
#include <iterator>
#include <set>
#include <string>

#include "oddplate/core/json.hpp"
#include "oddplate/core/sealed_box.hpp"
#include "oddplate/core/text.hpp"

using namespace oddplate::core;

namespace {

const std::vector<std::string> k_words{"abacus", "lantern", "orchard", "violin", "zoology"};

std::string file(const std::string& name) {
    std::ifstream in(std::string(ODDPLATE_SOURCE_DIR) + "/tests/reference/" + name, std::ios::binary);
    REQUIRE(in);
    return {std::istreambuf_iterator<char>(in), std::istreambuf_iterator<char>()};
}

// Dear in memory and time, so made once.
const std::string& box_of_hello() {
    static const std::string k_box = *seal_box("hello, room", k_words);
    return k_box;
}

std::string with(const std::string& key, Json value) {
    Json box = *parse_json(file("sealed_box.json"));
    box.set(key, std::move(value));
    return to_canonical_text(box);
}

/// Insert, delete, replace, or swap of neighbours: what one slip of the pen can do.
bool one_slip_apart(const std::string_view a, const std::string_view b) {
    if (a.size() == b.size()) {
        std::vector<std::size_t> differ;
        for (std::size_t i = 0; i < a.size(); ++i)
            if (a[i] != b[i]) differ.push_back(i);
        return differ.size() == 1 ||
               (differ.size() == 2 && differ[1] == differ[0] + 1 && a[differ[0]] == b[differ[1]] && a[differ[1]] == b[differ[0]]);
    }
    const auto shorter = a.size() < b.size() ? a : b, longer = a.size() < b.size() ? b : a;
    if (longer.size() != shorter.size() + 1) return false;
    for (std::size_t i = 0; i < longer.size(); ++i)
        if (std::string(longer.substr(0, i)) + std::string(longer.substr(i + 1)) == shorter) return true;
    return false;
}

}   // namespace

TEST_CASE("seal words: 2048 short plain words in order, none of which begins another", "[core][seal]") {
    const auto& list = seal_word_list();
    REQUIRE(list.size() == 2048);   // 11 bits a word
    for (std::size_t i = 0; i < list.size(); ++i) {
        CAPTURE(std::string(list[i]));
        CHECK((list[i].size() >= 4 && list[i].size() <= 8));
        CHECK(std::all_of(list[i].begin(), list[i].end(), [](char c) { return c >= 'a' && c <= 'z'; }));
        if (i > 0) CHECK((list[i - 1] < list[i] && !list[i].starts_with(list[i - 1])));   // in order, so neighbours are enough
    }
}

TEST_CASE("seal words: one slip of the pen never makes another word of the list", "[core][seal][exhaustive]") {
    const auto& list = seal_word_list();
    int near = 0;
    for (std::size_t i = 0; i < list.size(); ++i)
        for (std::size_t j = i + 1; j < list.size(); ++j)
            if (one_slip_apart(list[i], list[j])) ++near;
    CHECK(near == 0);
    CHECK(one_slip_apart("abide", "abode"));   // the oracle itself
    CHECK(one_slip_apart("abide", "baide"));
    CHECK(one_slip_apart("abide", "abid"));
    CHECK_FALSE(one_slip_apart("abide", "abyss"));
}

TEST_CASE("seal words: proposals are five words of the list, and change each time", "[core][seal]") {
    std::set<std::vector<std::string>> seen;
    for (int i = 0; i < 50; ++i) {
        const auto words = propose_seal_words();
        REQUIRE(words.size() == k_seal_words);
        for (const auto& word : words) CHECK(std::binary_search(seal_word_list().begin(), seal_word_list().end(), word));
        CHECK(*read_seal_words(joined(words, " ")) == words);
        CHECK(*read_seal_words(joined(words, "")) == words);
        seen.insert(words);
    }
    CHECK(seen.size() == 50);   // two equal ones among 50 come once in 3e13 runs
}

TEST_CASE("seal words: case and what stands between do not matter", "[core][seal]") {
    for (const char* typed : {"abacus lantern orchard violin zoology", "ABACUS Lantern orchard violin zoology\n",
                              "abacus-lantern-orchard-violin-zoology", "  abacus,lantern , orchard.  violin\r\nzoology\r\n",
                              "abacuslanternorchardviolinzoology", "abacus lanternorchard\tviolin_zoology"}) {
        CAPTURE(typed);
        const auto words = read_seal_words(typed);
        REQUIRE(words.ok());
        CHECK(*words == k_words);
    }
}

TEST_CASE("seal words: what is wrong is said by its number and never repeated", "[core][seal]") {
    const std::pair<const char*, const char*> cases[] = {{"", "found 0 words"},
                                                         {"abacus lantern orchard violin", "found 4 words"},
                                                         {"abacus lantern orchard violin zoology zoology", "found 6 words"},
                                                         {"abacus lantrn orchard violin zoology", "word 2 "},
                                                         {"abacus lanterns orchard violin zoology", "word 2 "},
                                                         {"abacuslanternorchardviolinzoologx", "word 5 "},
                                                         {"abacus lantern orchard violin zo\xc3\xb6logy", "word 5 "},
                                                         {"12345", "word 1 "}};
    for (const auto& [typed, said] : cases) {
        CAPTURE(typed);
        const auto words = read_seal_words(typed);
        REQUIRE_FALSE(words.ok());
        REQUIRE(words.faults().size() == 1);
        CHECK(exit_code(words.faults()) == 2);
        CHECK(words.faults()[0].line().find(said) != std::string::npos);
        CHECK(words.faults()[0].line().find("lant") == std::string::npos);
    }
}

// Made by tests/reference/make/sealed_box.py: Argon2id written from RFC 9106 and held to the RFC's example, XSalsa20-Poly1305
// written out, both without libsodium.
TEST_CASE("sealed box: one made by another program opens", "[core][seal]") {
    const auto plain = open_box(file("sealed_box.json"), k_words);
    REQUIRE(plain.ok());
    CHECK(*plain == R"({"ballots":[],"salt":"made up"})");
}

TEST_CASE("sealed box: its words open it, and nothing of the text shows", "[core][seal]") {
    const std::string& box = box_of_hello();
    CHECK(*open_box(box, k_words) == "hello, room");
    CHECK(check_box(box).ok());
    for (const char* secret : {"hello", "room", "abacus", "lantern", "orchard", "violin", "zoology"})
        CHECK(box.find(secret) == std::string::npos);
    const Json json = *parse_json(box);
    CHECK(json.at("memory").as_integer() == 64 << 20);
    CHECK(json.at("passes").as_integer() == 3);
}

TEST_CASE("sealed box: the same text under the same words never looks the same", "[core][seal]") {
    const Json one = *parse_json(box_of_hello()), two = *parse_json(*seal_box("hello, room", k_words));
    for (const char* key : {"box", "nonce", "salt"}) CHECK(one.at(key).as_string() != two.at(key).as_string());
    CHECK(one.at("box").as_string().size() == two.at("box").as_string().size());
}

TEST_CASE("sealed box: length tells only whole kilobytes", "[core][seal]") {
    const auto size = [](std::size_t n) {
        return parse_json(*seal_box(std::string(n, 'x'), k_words))->at("box").as_string().size();
    };
    CHECK(size(0) == size(1023));
    CHECK(size(1024) > size(1023));
    CHECK(*open_box(*seal_box(std::string(1024, 'x'), k_words), k_words) == std::string(1024, 'x'));
}

TEST_CASE("sealed box: other words do not open it", "[core][seal]") {
    auto words = k_words;
    std::swap(words[0], words[1]);
    for (const auto& wrong : {words, std::vector<std::string>{"abacus", "lantern", "orchard", "violin", "zodiac"}}) {
        const auto plain = open_box(file("sealed_box.json"), wrong);
        REQUIRE_FALSE(plain.ok());
        CHECK(plain.faults()[0].code == "wrong-words");
        CHECK(exit_code(plain.faults()) == 2);
    }
}

TEST_CASE("sealed box: no byte of it can be changed", "[core][seal]") {
    std::string bytes = parse_json(file("sealed_box.json"))->at("box").as_string();
    for (const std::size_t at : {std::size_t{0}, std::size_t{10}, std::size_t{40}, bytes.size() - 10}) {
        std::string changed = bytes;
        changed[at] = changed[at] == 'A' ? 'B' : 'A';
        const auto plain = open_box(with("box", changed), k_words);
        REQUIRE_FALSE(plain.ok());
        CHECK(plain.faults()[0].code == "wrong-words");
    }
    CHECK_FALSE(open_box(with("nonce", "ZGVmZ2hpamtsbW5vcHFyc3R1dnd4eXp8"), k_words).ok());
    CHECK_FALSE(open_box(with("salt", "AQECAwQFBgcICQoLDA0ODw=="), k_words).ok());
    CHECK_FALSE(open_box(with("passes", 2), k_words).ok());
}

TEST_CASE("sealed box: what is no box is refused before any work", "[core][seal]") {
    const std::string good = file("sealed_box.json");
    const std::string cases[] = {"",
                                 "x",
                                 "[]",
                                 "{}",
                                 good.substr(0, good.size() / 2),
                                 with("format", "oddplate.tasting"),
                                 with("version", 2),
                                 with("version", "1"),
                                 with("kdf", "scrypt"),
                                 with("cipher", "none"),
                                 with("memory", std::int64_t{1} << 40),
                                 with("memory", 1024),
                                 with("memory", -1),
                                 with("passes", 0),
                                 with("passes", 100000),
                                 with("passes", 1.5),
                                 with("salt", "AAEC"),
                                 with("salt", "???"),
                                 with("nonce", ""),
                                 with("box", ""),
                                 with("box", "AAAA"),
                                 with("box", nullptr)};
    for (const auto& text : cases) {
        CAPTURE(text);
        const auto plain = open_box(text, k_words);
        REQUIRE_FALSE(plain.ok());
        CHECK(plain.faults()[0].code == "not-a-box");
        CHECK_FALSE(check_box(text).ok());
    }
}
