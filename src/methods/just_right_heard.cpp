// The answers of one person about one sample taken together.

#include "just_right.hpp"

namespace oddplate::methods::just_right {

std::optional<Sort> Heard::sort() const {
    const auto most = std::max_element(said.begin(), said.end());
    if (std::count(said.begin(), said.end(), *most) > 1) return std::nullopt;
    return static_cast<Sort>(most - said.begin());
}

double Heard::level() const {
    double sum = 0;
    for (const Opinion* one : answers) sum += one->level;
    return sum / static_cast<double>(answers.size());
}

std::optional<double> Heard::liking() const {
    double sum = 0, given = 0;
    for (const Opinion* one : answers)
        if (one->liking) sum += *one->liking, given += 1;
    return given > 0 ? std::optional(sum / given) : std::nullopt;
}

std::vector<std::vector<Heard>> heard_of(const Opinions& opinions, std::int32_t attribute) {
    std::vector<std::vector<Heard>> cells(opinions.samples.size(), std::vector<Heard>(opinions.tasters.size()));
    for (const Opinion& one : opinions.rows) {
        if (one.attribute != attribute) continue;
        Heard& heard = cells[static_cast<std::size_t>(one.sample)][static_cast<std::size_t>(one.taster)];
        heard.answers.push_back(&one);
        ++heard.said[one.sort()];
    }
    return cells;
}

}   // namespace oddplate::methods::just_right
