// Balanced blocks: every pair equally often. Where a design of few sets is known it is taken, so that the balance closes
// after few ballots: the plane of 7 points, the 14 quadruples of 8, the 12 lines of 9 points, the 10 triples of 6 (textbook
// balanced incomplete blocks; a test counts the pairs). The complements of such a design are one too. All other sizes: all the
// sets there are.

#include <algorithm>

#include "oddplate/stats/blocks.hpp"

namespace oddplate::stats {
namespace {

Design six_by_three() {
    return {{0, 1, 2}, {0, 1, 3}, {0, 2, 4}, {0, 3, 5}, {0, 4, 5}, {1, 2, 5}, {1, 3, 4}, {1, 4, 5}, {2, 3, 4}, {2, 3, 5}};
}

Design seven_by_three() {
    Design sets;
    for (int i = 0; i < 7; ++i) {
        sets.push_back({i, (i + 1) % 7, (i + 3) % 7});
    }
    return sets;
}

Design eight_by_four() {
    Design sets;
    for (const std::vector<int>& line : seven_by_three()) {
        std::vector<int> rest;
        for (int i = 0; i < 7; ++i) {
            if (std::find(line.begin(), line.end(), i) == line.end()) {
                rest.push_back(i);
            }
        }
        sets.push_back({line[0], line[1], line[2], 7});
        sets.push_back(rest);
    }
    return sets;
}

Design nine_by_three() {
    Design sets;
    for (int slope = 0; slope < 3; ++slope) {
        for (int shift = 0; shift < 3; ++shift) {
            sets.push_back({shift, 3 + (slope + shift) % 3, 6 + (2 * slope + shift) % 3});
        }
    }
    for (int column = 0; column < 3; ++column) {
        sets.push_back({3 * column, 3 * column + 1, 3 * column + 2});
    }
    return sets;
}

Design complements(const Design& sets, int things) {
    Design answer;
    for (const std::vector<int>& set : sets) {
        std::vector<int> rest;
        for (int thing = 0; thing < things; ++thing) {
            if (std::find(set.begin(), set.end(), thing) == set.end()) {
                rest.push_back(thing);
            }
        }
        answer.push_back(rest);
    }
    return answer;
}

// Ascending as words are; empty when there are more than k_most_blocks.
Design all_sets(int things, int size) {
    Design sets;
    std::vector<int> set;
    for (int i = 0; i < size; ++i) {
        set.push_back(i);
    }
    for (;;) {
        if (static_cast<int>(sets.size()) == k_most_blocks) {
            return {};
        }
        sets.push_back(set);
        int place = size - 1;
        while (place >= 0 && set[static_cast<std::size_t>(place)] == things - size + place) {
            --place;
        }
        if (place < 0) {
            return sets;
        }
        int next = set[static_cast<std::size_t>(place)] + 1;
        for (; place < size; ++place) {
            set[static_cast<std::size_t>(place)] = next++;
        }
    }
}

Design known_design(int things, int size) {
    if (things == 6 && size == 3) return six_by_three();
    if (things == 7 && size == 3) return seven_by_three();
    if (things == 8 && size == 4) return eight_by_four();
    if (things == 9 && size == 3) return nine_by_three();
    if (things == 7 && size == 4) return complements(seven_by_three(), 7);
    if (things == 9 && size == 6) return complements(nine_by_three(), 9);
    return {};
}

}   // namespace

Design balanced_blocks(int things, int size) {
    Design sets = known_design(things, size);
    if (sets.empty()) {
        sets = all_sets(things, size);
    }
    for (std::vector<int>& set : sets) {
        std::sort(set.begin(), set.end());
    }
    return sets;
}

}   // namespace oddplate::stats
