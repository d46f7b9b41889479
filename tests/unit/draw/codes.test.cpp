// Which codes there are, and how they are dealt.

#include <algorithm>
#include <catch2/catch.hpp>
#include <map>
#include <regex>
#include <set>

#include "draw/made_up.hpp"
#include "oddplate/core/files.hpp"

using namespace oddplate;

namespace {

// The list between the two fences of the note, the words before each colon left out.
std::set<int> listed_in_note() {
    const auto note = core::read_file(ODDPLATE_SOURCE_DIR "/designs/notes/codes.md");
    REQUIRE(note);
    const std::size_t first = note->find("```");
    const std::string list = note->substr(first, note->find("```", first + 3) - first);
    std::set<int> codes;
    const std::regex line(R"(:([ 0-9]+))"), number(R"(\d+)");
    for (std::sregex_iterator row(list.begin(), list.end(), line), end; row != end; ++row) {
        const std::string numbers = (*row)[1];
        for (std::sregex_iterator one(numbers.begin(), numbers.end(), number); one != end; ++one) {
            CHECK(codes.insert(std::stoi(one->str())).second);   // none is listed twice
        }
    }
    return codes;
}

// The note's first three rules, written from the text: digits as characters, turning by a word list.
bool left_by_rules(int code) {
    const std::string text = std::to_string(code);
    if (text[0] == text[1] && text[1] == text[2]) {
        return false;
    }
    if (std::string("0123456789 9876543210").find(text) != std::string::npos) {
        return false;
    }
    const std::map<char, char> turned{{'0', '0'}, {'1', '1'}, {'6', '9'}, {'8', '8'}, {'9', '6'}};
    std::string other;
    for (auto digit = text.rbegin(); digit != text.rend(); ++digit) {
        if (!turned.contains(*digit)) {
            return true;
        }
        other += turned.at(*digit);
    }
    return other == text || other[0] == '0';
}

std::vector<std::vector<int>> dealt(const std::vector<int>& how_many, unsigned seed) {
    core::ChanceStream chance(made_up::seed(seed), core::Purpose::codes, 0);
    return draw::deal_codes(how_many, chance);
}

void check_ballots(const std::vector<std::vector<int>>& ballots, const std::vector<int>& how_many) {
    REQUIRE(ballots.size() == how_many.size());
    for (std::size_t ballot = 0; ballot < ballots.size(); ++ballot) {
        REQUIRE(ballots[ballot].size() == static_cast<std::size_t>(how_many[ballot]));
        for (std::size_t i = 0; i < ballots[ballot].size(); ++i) {
            for (std::size_t j = i + 1; j < ballots[ballot].size(); ++j) {
                REQUIRE(draw::two_digits_apart(ballots[ballot][i], ballots[ballot][j]));
            }
        }
    }
}

std::map<int, std::vector<int>> ballots_of_code(const std::vector<std::vector<int>>& ballots) {
    std::map<int, std::vector<int>> where;
    for (std::size_t ballot = 0; ballot < ballots.size(); ++ballot) {
        for (const int code : ballots[ballot]) {
            where[code].push_back(static_cast<int>(ballot));
        }
    }
    return where;
}

}   // namespace

TEST_CASE("codes: 810 numbers are left by the rules on digits, 719 once those with a meaning are gone", "[draw][codes]") {
    const std::set<int> listed = listed_in_note();
    std::vector<int> expected;
    int by_rules = 0;
    for (int code = 100; code <= 999; ++code) {
        by_rules += left_by_rules(code) ? 1 : 0;
        CAPTURE(code);
        CHECK((left_by_rules(code) || !listed.contains(code)));   // the list holds only what the rules leave
        if (left_by_rules(code) && !listed.contains(code)) {
            expected.push_back(code);
        }
    }
    CHECK(by_rules == 810);
    CHECK(expected.size() == 719);
    CHECK(draw::usable_codes() == expected);
}

TEST_CASE("codes: numbers that people know by heart are not dealt, those that no turning changes are", "[draw][codes]") {
    const std::vector<int>& codes = draw::usable_codes();
    for (const int known : {100, 112, 120, 135, 165, 225, 500, 666, 911, 999, 123, 321, 210, 789, 168, 891, 601, 109, 621}) {
        CAPTURE(known);
        CHECK_FALSE(std::binary_search(codes.begin(), codes.end(), known));
    }
    for (const int fine : {417, 619, 808, 906, 610}) {   // upside down: no code, themselves, or led by 0
        CAPTURE(fine);
        CHECK(std::binary_search(codes.begin(), codes.end(), fine));
    }
}

TEST_CASE("codes: two places must differ", "[draw][codes]") {
    CHECK(draw::two_digits_apart(417, 426));
    CHECK(draw::two_digits_apart(417, 862));
    CHECK(draw::two_digits_apart(417, 471));
    CHECK_FALSE(draw::two_digits_apart(417, 417));
    CHECK_FALSE(draw::two_digits_apart(417, 418));
    CHECK_FALSE(draw::two_digits_apart(417, 437));
    CHECK_FALSE(draw::two_digits_apart(417, 917));
}

TEST_CASE("code deal: the fullest ballot can always be dealt, again and again", "[draw][codes]") {
    REQUIRE(draw::most_codes_on_a_ballot() == 77);
    for (const int portions : {26, 27, 40, 60, 77}) {
        CAPTURE(portions);
        const std::vector<int> how_many(30, portions);
        check_ballots(dealt(how_many, 5), how_many);
    }
}

TEST_CASE("code deal: the whole deck is dealt before a code comes again", "[draw][codes]") {
    const int deck = static_cast<int>(draw::usable_codes().size());
    for (const int portions : {1, 3, 7, 12, 20, 26}) {
        for (unsigned seed = 0; seed < 20; ++seed) {
            CAPTURE(portions, seed);
            std::vector<int> how_many(static_cast<std::size_t>(deck / portions), portions);
            how_many.push_back(deck % portions);   // to the last code
            const auto ballots = dealt(how_many, seed);
            check_ballots(ballots, how_many);
            CHECK(ballots_of_code(ballots).size() == static_cast<std::size_t>(deck));
        }
    }
}

TEST_CASE("code deal: codes come again as late as can be", "[draw][codes]") {
    const int deck = static_cast<int>(draw::usable_codes().size());
    for (const int portions : {2, 6, 12}) {
        CAPTURE(portions);
        const std::vector<int> how_many(static_cast<std::size_t>(4 * deck / portions), portions);
        const auto ballots = dealt(how_many, 11);
        check_ballots(ballots, how_many);
        int nearest = deck, least = deck, most = 0;
        for (const auto& [code, where] : ballots_of_code(ballots)) {
            for (std::size_t i = 1; i < where.size(); ++i) {
                nearest = std::min(nearest, where[i] - where[i - 1]);
            }
            least = std::min(least, static_cast<int>(where.size()));
            most = std::max(most, static_cast<int>(where.size()));
        }
        // A round trip through the deck is deck / portions ballots; an exchange at its first end can cut one short.
        CAPTURE(nearest, least, most);
        CHECK(nearest >= deck / portions - 8);
        CHECK(least >= 3);
        CHECK(most <= 5);
    }
}

TEST_CASE("code deal: a ballot without portions takes nothing", "[draw][codes]") {
    const auto ballots = dealt({0, 3, 0}, 1);
    CHECK(ballots[0].empty());
    CHECK(ballots[1].size() == 3);
    CHECK(ballots[2].empty());
    CHECK(dealt({}, 1).empty());
}
