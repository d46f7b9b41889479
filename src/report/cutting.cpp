// Counting bites from the draw itself, so that list and trays cannot disagree.
#include "cutting.hpp"

#include <algorithm>

namespace oddplate::report {
namespace {

std::vector<Cutting> by_tub(const Kitchen& kitchen) {
    std::vector<Cutting> lines;
    for (std::size_t tub = 0; tub < kitchen.tubs.size(); ++tub)
        lines.push_back({kitchen.tubs[tub].spot, kitchen.tubs[tub].row, tub});
    for (const Pass& pass : kitchen.passes) {
        for (const Cup& cup : kitchen.in_fill_order(pass)) ++(pass.late ? lines[cup.tub].late : lines[cup.tub].ballots);
    }
    return lines;
}

}   // namespace

int spare_bites(int bites) {
    return std::max(2, (bites + 7) / 8);
}

std::vector<Cutting> cutting_list(const Kitchen& kitchen) {
    std::vector<Cutting> lines;
    for (const Cutting& line : by_tub(kitchen)) {
        const bool same_row = kitchen.papers.blind_tubs && !lines.empty() && lines.back().row == line.row;
        if (!same_row) {
            lines.push_back(line);
            continue;
        }
        lines.back().ballots = std::max(lines.back().ballots, line.ballots);
        lines.back().late = std::max(lines.back().late, line.late);
    }
    for (Cutting& line : lines) line.spare = spare_bites(line.ballots);
    return lines;
}

std::vector<int> spares_of(const Kitchen& kitchen) {
    const std::vector<Cutting> lines = cutting_list(kitchen);
    std::vector<int> spares;
    for (std::size_t tub = 0; tub < kitchen.tubs.size(); ++tub) {
        // A line's tub is the first that it speaks for.
        const auto after = std::find_if(lines.begin(), lines.end(), [&](const Cutting& line) { return line.tub > tub; });
        spares.push_back(std::prev(after)->spare);
    }
    return spares;
}

}   // namespace oddplate::report
