// The levels stand where they lie: by their distance, or by how many times as much one is as another where the curve goes by that. Tests: tests/unit/report/level_picture.test.cpp

#include "oddplate/report/level_picture.hpp"

#include <algorithm>
#include <cmath>
#include <limits>

#include "oddplate/core/json.hpp"
#include "oddplate/core/text.hpp"
#include "oddplate/report/lines.hpp"
#include "figure_level.hpp"
#include "picture.hpp"

namespace oddplate::report {
namespace {

constexpr double k_left = 18, k_top = 12;         // mm: the field of the picture; names stand to the right of it
constexpr double k_inset = 8;                     // between the outer levels and the field's edge
constexpr double k_letter = 1.75, k_line = 4.2;   // a letter of 9 points; a line of text

/// How large the field is, and its words: a card is looked at from a phone, so it has the same picture lower and in larger type.
struct Look {
    double right{130}, bottom{82};
    double type{1};              ///< multiplies sizes of type and the room it takes
    bool has_sentences{true};
};
constexpr Look k_page, k_card{.right = 116, .bottom = 64, .type = 1.5, .has_sentences = false};

class Drawing {
public:
    Drawing(const methods::LevelLooks& looks, const core::Words& words, const Look& look = k_page)
        : m_looks(looks), m_words(words), m_look(look), m_low(scaled(looks.steps.front().level)), m_high(scaled(looks.steps.back().level)) {}

    Picture draw(bool with_title) {
        if (with_title) m_picture.text(0, 0, say("title"), {.points = 11, .weight = Weight::bold});
        field();
        curve();
        levels();
        if (m_looks.point) point(*m_looks.point, m_look.bottom, "point");
        if (m_looks.beside) point(*m_looks.beside, m_look.bottom + 14 * m_look.type, "beside");
        m_picture.height = m_look.bottom + (m_looks.beside ? 19 : 13) * m_look.type;
        if (m_look.has_sentences) sentences();
        return std::move(m_picture);
    }

private:
    [[nodiscard]] double scaled(double level) const { return m_looks.logarithmic ? std::log(level) : level / 2; }   // halves: the longest ladder's length is a number, too
    [[nodiscard]] double across(double level) const {
        const double whole = m_look.right - k_left - 2 * k_inset;
        const double part = m_high > m_low ? (scaled(level) - m_low) / (m_high - m_low) : 0.5;
        return k_left + k_inset + whole * part;
    }
    [[nodiscard]] bool within(double x) { return k_left < x && x < m_look.right; }
    [[nodiscard]] double up(double share) { return m_look.bottom - (m_look.bottom - k_top) * share; }
    [[nodiscard]] std::string say(const std::string& part, std::map<std::string, core::Argument> args = {}) const { return m_words.text(m_looks.words + "." + part, std::move(args)); }

    [[nodiscard]] Type small(Align align = Align::left) const { return {.points = 8 * m_look.type, .align = align}; }
    void beside(double y, const std::string& words) { m_picture.text(m_look.right + 3, y - 1.9 * m_look.type, words, small()); }

    void field() {
        m_picture.line(k_left, m_look.bottom, m_look.right, m_look.bottom, 0.25);
        m_picture.line(k_left, k_top, k_left, m_look.bottom, 0.25);
        for (const int share : {0, 25, 50, 75, 100}) {
            m_picture.line(k_left - 1.5, up(share / 100.0), k_left, up(share / 100.0), 0.25);
            m_picture.text(k_left - 2.5, up(share / 100.0) - 2 * m_look.type, std::to_string(share), small(Align::right));
        }
        m_picture.text(0, k_top - 5.5 * m_look.type, say("axis"), small());
        m_picture.dashes(k_left, up(m_looks.luck), m_look.right, up(m_looks.luck));
        beside(up(m_looks.luck), say("luck"));
        m_picture.line(k_left, up(m_looks.wanted), m_look.right, up(m_looks.wanted), 0.2);
        beside(std::min(up(m_looks.wanted), up(m_looks.luck) - 3.6 * m_look.type), say("wanted", {{"share", m_looks.wanted}}));   // the share asked for is above luck, maybe by little
    }

    void curve() {
        for (std::size_t i = 1; i < m_looks.curve.size(); ++i)
            m_picture.line(across(m_looks.curve[i - 1].first), up(m_looks.curve[i - 1].second), across(m_looks.curve[i].first), up(m_looks.curve[i].second), 0.5);
    }

    void levels() {
        double free_from = 0;
        for (const methods::LevelLooks::Step& step : m_looks.steps) {
            const double x = across(step.level);
            m_picture.line(x, m_look.bottom, x, m_look.bottom + 1.5, 0.25);
            if (step.of > 0) {
                const double y = up(static_cast<double>(step.count) / static_cast<double>(step.of));
                if (step.limits) m_picture.line(x, up(step.limits->lower), x, up(step.limits->upper), 0.3);
                m_picture.disc(x, y, 1.4);
            }
            const std::string level = core::shortest(step.level), answers = std::to_string(step.of);
            const double half = k_letter * m_look.type * static_cast<double>(std::max(level.size(), answers.size())) / 2;
            if (x - half < free_from) continue;   // where levels crowd, some go without their number
            m_picture.text(x, m_look.bottom + 2, level, {.points = 9 * m_look.type, .align = Align::centre});
            m_picture.text(x, m_look.bottom + 2 + 4 * m_look.type, answers, small(Align::centre));
            free_from = x + half + k_letter * m_look.type;
        }
        m_picture.text(0, m_look.bottom + 2.2, m_words.text("picture.levels.level"), small());
        m_picture.text(0, m_look.bottom + 2 + 4 * m_look.type, m_words.text("picture.levels.answers"), small());
    }

    void arrow(double x, double y, double way) {
        m_picture.line(x, y, x - 2 * way, y - 1.4, 0.5);
        m_picture.line(x, y, x - 2 * way, y + 1.4, 0.5);
    }

    /// A bar as wide as the interval, with the point on it.
    void point(const methods::LevelLooks::Point& found, double y, const std::string& name) {
        beside(y, say(name));
        if (found.limits) {
            const double left = std::clamp(across(found.limits->lower), k_left, m_look.right), right = std::clamp(across(found.limits->upper), k_left, m_look.right);
            m_picture.bar(left, y - 0.7, right - left, 1.4);
            if (!within(left)) arrow(k_left - 1, y, -1);
            if (!within(right)) arrow(m_look.right + 1, y, 1);
            m_open = m_open || !within(left) || !within(right);
        } else if (!within(across(found.at))) {
            arrow(across(found.at) < k_left ? k_left - 1 : m_look.right + 1, y, across(found.at) < k_left ? -1 : 1);
            m_open = true;
        }
        if (within(across(found.at))) m_picture.disc(across(found.at), y, 1.9);
        if (y == m_look.bottom) m_picture.line(across(found.at), up(m_looks.wanted), across(found.at), m_look.bottom, 0.2);
    }

    void sentence(const std::string& words) {
        for (const std::string& line : core::split(lines_of(words), '\n')) {
            if (line.empty()) continue;
            m_picture.text(0, m_picture.height, line, {.points = 9});
            m_picture.height += k_line;
        }
    }

    void sentences() {
        const auto limits = [](const methods::LevelLooks::Step& step) { return step.limits.has_value(); };
        if (std::any_of(m_looks.steps.begin(), m_looks.steps.end(), limits)) sentence(m_words.text("picture.levels.discs", {{"confidence", m_looks.confidence}}));
        if (std::any_of(m_looks.steps.begin(), m_looks.steps.end(), [&](const auto& step) { return step.of > 0 && !step.limits; })) sentence(m_words.text("picture.levels.no_limits"));
        if (m_looks.curve.empty()) sentence(m_words.text("picture.levels.no_curve"));
        else if (m_looks.point) sentence(say("curve", {{"share", m_looks.wanted}}));
        if (m_open) sentence(m_words.text("picture.levels.open"));
        for (const methods::LevelLooks::Step& step : m_looks.steps)
            if (step.ran_out) sentence(m_words.text("picture.levels.ran_out", {{"level", core::shortest(step.level)}}));
    }

    const methods::LevelLooks& m_looks;
    const core::Words& m_words;
    const Look& m_look;
    double m_low, m_high;   ///< as they are drawn
    bool m_open{false};
    Picture m_picture;
};

/// What the picture shows, for those who don't see it.
std::string in_words(const methods::LevelLooks& looks, const core::Words& words) {
    std::string all;
    for (const methods::LevelLooks::Step& step : looks.steps) {
        const std::string level = core::shortest(step.level);
        all += (all.empty() ? "" : "; ") + (step.of == 0 ? words.text("picture.levels.nobody", {{"level", level}})
                                                         : words.text("picture.levels.step", {{"level", level}, {"k", step.count}, {"n", step.of}, {"share", static_cast<double>(step.count) / static_cast<double>(step.of)}}));
    }
    all += ".";
    for (const methods::LevelLooks::Step& step : looks.steps)
        if (step.ran_out) all += " " + words.text("picture.levels.ran_out", {{"level", core::shortest(step.level)}});
    return all;
}

}   // namespace

std::optional<Figure> level_figure(const judge::JudgedRound& round, const core::Words& words) {
    const auto& looks = round.findings.pooled.level_looks;
    if (!looks || looks->steps.empty()) return std::nullopt;
    Figure figure{.id = "course-" + std::to_string(round.round + 1) + "-levels", .round = round.round, .title = words.text(looks->words + ".title"), .caption = in_words(*looks, words), .picture = Drawing(*looks, words).draw(false), .table = {}};
    figure.table.push_back({words.text("figure.levels.level"), words.text("figure.levels.times"), words.text("figure.levels.of")});
    for (const methods::LevelLooks::Step& step : looks->steps) figure.table.push_back({step.ran_out ? words.text("figure.ran_out", {{"name", core::shortest(step.level)}}) : core::shortest(step.level), std::to_string(step.count), std::to_string(step.of)});
    return figure;
}

std::optional<Figure> level_card(const judge::JudgedRound& round, const core::Words& words) {
    std::optional<Figure> figure = level_figure(round, words);
    if (!figure) return std::nullopt;
    const methods::LevelLooks& looks = *round.findings.pooled.level_looks;
    figure->picture = Drawing(looks, words, k_card).draw(false);
    const bool any_limits = std::any_of(looks.steps.begin(), looks.steps.end(), [](const auto& step) { return step.limits.has_value(); });
    if (any_limits) figure->caption = words.text("picture.levels.discs", {{"confidence", looks.confidence}});
    return figure;
}

std::string level_svg(const methods::LevelLooks& looks, const core::Words& words) {
    return svg_of(Drawing(looks, words).draw(true), words.text(looks.words + ".title"), in_words(looks, words));
}

}   // namespace oddplate::report
