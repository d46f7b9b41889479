// Which codes may be dealt. Three digits, none of which a cook, a waiter or a guest would read as something else, and none that
// turned upside down is another code. designs/notes/codes.md gives the reasons and the list; a test holds the two together.

#include <algorithm>
#include <array>
#include <span>

#include "parts.hpp"

namespace oddplate::draw {
namespace {

// Only codes that the other rules leave stand here.
constexpr std::array k_calls{101, 102, 103, 104, 105, 107, 110, 112, 113, 115, 117, 122,
                             144, 190, 192, 193, 194, 197, 211, 311, 411, 511, 711};
constexpr std::array k_temperatures{120, 121, 125, 130, 135, 140, 145, 155, 160, 165, 170, 175, 180, 185,
                                    195, 203, 205, 212, 220, 225, 230, 240, 260, 275, 325, 375, 425, 475};
constexpr std::array k_additives{249, 251, 252, 262, 301, 316, 326, 330, 331, 451, 452, 621};
constexpr std::array k_sayings{187, 247, 314, 360, 365, 366, 404, 420, 613, 786};

bool contains(std::span<const int> codes, int code) {
    return std::find(codes.begin(), codes.end(), code) != codes.end();
}

bool means_something(int code) {
    return code % 50 == 0 || contains(k_calls, code) || contains(k_temperatures, code) || contains(k_additives, code) ||
           contains(k_sayings, code);
}

// The digit that this one is upside down, -1 for none.
int turned(int digit) {
    constexpr std::array k_turned{0, 1, -1, -1, -1, -1, 9, -1, 8, 6};
    return k_turned[static_cast<std::size_t>(digit)];
}

bool turns_into_another(int a, int b, int c) {
    const int first = turned(c), second = turned(b), third = turned(a);
    if (first < 1 || second < 0 || third < 0) {   // a code never starts with 0
        return false;
    }
    return first != a || second != b;
}

bool usable(int code) {
    const int a = code / 100, b = code / 10 % 10, c = code % 10;
    const int up = b - a;
    const bool even_steps = up == c - b;
    if (even_steps && (up == 0 || up == 1 || up == -1)) {
        return false;
    }
    return !turns_into_another(a, b, c) && !means_something(code);
}

}   // namespace

const std::vector<int>& usable_codes() {
    static const std::vector<int> codes = [] {
        std::vector<int> all;
        for (int code = 100; code <= 999; ++code) {
            if (usable(code)) {
                all.push_back(code);
            }
        }
        return all;
    }();
    return codes;
}

bool two_digits_apart(int a, int b) {
    return (a / 100 != b / 100) + (a / 10 % 10 != b / 10 % 10) + (a % 10 != b % 10) >= 2;
}

int digit_class(int code) {
    return (code / 100 + code / 10 % 10 + code % 10) % 10;
}

int most_codes_on_a_ballot() {
    std::array<int, 10> in_class{};
    for (const int code : usable_codes()) {
        ++in_class[static_cast<std::size_t>(digit_class(code))];
    }
    return *std::max_element(in_class.begin(), in_class.end());
}

}   // namespace oddplate::draw
