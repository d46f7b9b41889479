#include "figure_places.hpp"

#include <algorithm>
#include <cmath>
#include <map>
#include <set>

#include "alike_lines.hpp"

namespace oddplate::report {
namespace {

constexpr double k_left = 46, k_right = 140, k_row = 12, k_most_radius = 4.6;

const methods::List* list_of(const methods::Findings& findings, std::string_view key) {
    const auto at = std::find_if(findings.lists.begin(), findings.lists.end(), [&](const methods::List& list) { return list.key == key; });
    return at == findings.lists.end() ? nullptr : &*at;
}

template <class T>
T value_of(const std::vector<methods::Field>& row, std::string_view key) {
    for (const methods::Field& field : row)
        if (field.key == key && std::holds_alternative<T>(field.value)) return std::get<T>(field.value);
    return T{};
}

struct Places {
    std::vector<std::string> names;                          // best first
    std::set<std::string> ran_out;
    std::map<std::string, std::map<double, std::int64_t>> times;   // ties stand between two places
    double last{0};
    std::int64_t most{1};
};

Places places_of(const methods::Findings& findings) {
    Places places;
    const methods::List *samples = list_of(findings, "samples"), *counts = list_of(findings, "places");
    if (samples == nullptr || counts == nullptr) return places;
    for (const auto& row : samples->rows) {
        places.names.push_back(value_of<std::string>(row, "name"));
        if (value_of<bool>(row, "ran_out")) places.ran_out.insert(places.names.back());
    }
    for (const auto& row : counts->rows) {
        const double place = value_of<double>(row, "place");
        const std::int64_t times = value_of<std::int64_t>(row, "times");
        places.times[value_of<std::string>(row, "name")][place] = times;
        places.last = std::max(places.last, std::ceil(place));
        places.most = std::max(places.most, times);
    }
    return places;
}

void draw_lines(Picture& picture, const methods::Findings& findings, const Places& places, double alpha) {
    double x = k_right + 5;
    for (const auto& [first, last] : alike_runs(findings, places.names, alpha)) {
        picture.line(x, 8 + k_row * static_cast<double>(first) + 2, x, 8 + k_row * static_cast<double>(last + 1) - 2, 0.9);
        x += 3;
    }
}

}   // namespace

std::optional<Figure> places_figure(const judge::JudgedRound& round, const methods::Plan&, const core::Words& words) {
    const methods::Findings& pooled = round.findings.pooled;
    const Places places = places_of(pooled);
    if (places.times.empty() || places.last < 2) return std::nullopt;
    Figure figure{.id = "course-" + std::to_string(round.round + 1) + "-places", .round = round.round, .title = words.text("figure.places"), .caption = {}, .picture = {}, .table = {}};
    const auto x = [&](double place) { return k_left + (k_right - k_left) * (place - 0.5) / places.last; };
    figure.table.push_back({words.text("figure.places.recipe")});
    for (double place = 1; place <= places.last; ++place) {
        const char* const named = place == 1 ? "paper.place_first" : place == places.last ? "paper.place_last" : places.last > 4 ? "" : place == 2 ? "paper.place_second" : "paper.place_third";   // as the slips say
        const std::string head = *named != 0 ? words.text(named) : std::to_string(static_cast<int>(place));
        figure.picture.text(x(place), 1, head, {.points = 9, .align = Align::centre});
        figure.table.front().push_back(head);
    }
    double y = 8;
    for (const std::string& name : places.names) {
        figure.picture.text(0, y + 3, places.ran_out.contains(name) ? words.text("figure.ran_out", {{"name", name}}) : name, {.points = 10, .weight = Weight::bold});
        std::vector<std::string> row{name};
        const auto mine = places.times.find(name);
        for (double place = 1; place <= places.last; ++place) {
            std::int64_t whole = 0;
            if (mine != places.times.end())
                for (const auto& [at, times] : mine->second) {
                    if (at == place) whole = times;
                    if (std::floor(at) != place || times == 0) continue;
                    const double radius = k_most_radius * std::sqrt(static_cast<double>(times) / static_cast<double>(places.most));
                    figure.picture.ring(x(at), y + k_row / 2 - 1, radius);
                    figure.picture.text(x(at) + std::max(radius, 1.0) + 1, y + k_row / 2 - 3, std::to_string(times), {.points = 9});
                }
            row.push_back(std::to_string(whole));
        }
        figure.table.push_back(std::move(row));
        y += k_row;
    }
    figure.picture.height = y + 2;
    draw_lines(figure.picture, pooled, places, round.alpha);
    const auto tasters = pooled.number("tasters"), answers = pooled.number("answers");
    figure.caption = words.text("figure.places.caption", {{"n", static_cast<std::int64_t>(tasters.value_or(0))}, {"trays", static_cast<std::int64_t>(answers.value_or(0))}});
    return figure;
}

}   // namespace oddplate::report
