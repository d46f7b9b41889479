// The picture of a ladder: every level, its limits, the curve, the lines and the bar stand where their numbers say.
#include "papers_support.hpp"

#include <cmath>
#include <limits>

#include "oddplate/report/level_picture.hpp"

using namespace papers_test;

namespace {

std::size_t times_in(const std::string& text, const std::string& part) {
    std::size_t n = 0;
    for (std::size_t at = text.find(part); at != std::string::npos; at = text.find(part, at + part.size())) ++n;
    return n;
}

/// The field is 18 to 130 mm across, its outer levels 8 mm within, and 82 to 12 mm up for 0 to 1.
const methods::LevelLooks k_ladder{.steps = {{.level = 1, .count = 2, .of = 10, .limits = stats::Interval{0.1, 0.5}},
                                             {.level = 2, .count = 5, .of = 10, .limits = {}},
                                             {.level = 3, .count = 0, .of = 0, .limits = {}},
                                             {.level = 5, .count = 10, .of = 10, .limits = stats::Interval{0.75, 1}}},
                                   .curve = {{1, 0.25}, {3, 0.5}, {5, 0.75}},
                                   .luck = 0.5,
                                   .wanted = 0.75,
                                   .point = methods::LevelLooks::Point{4, stats::Interval{3, 5}},
                                   .words = "picture.ladder"};

}   // namespace

TEST_CASE("level picture: all stands where its number says", "[level_picture]") {
    const std::string svg = report::level_svg(k_ladder, core::Words::english());
    CHECK(times_in(svg, "<circle cx=\"26\" cy=\"68\" r=\"1.4\"") == 1);                          // level 1: 2 of 10
    CHECK(times_in(svg, "<circle cx=\"50\" cy=\"47\" r=\"1.4\"") == 1);                        // level 2: a quarter of the way, 5 of 10
    CHECK(times_in(svg, "<circle cx=\"122\" cy=\"12\" r=\"1.4\"") == 1);                         // level 5: all
    CHECK(times_in(svg, "r=\"1.4\"") == 3);                                                      // nobody chose at 3
    CHECK(times_in(svg, "<line x1=\"26\" y1=\"75\" x2=\"26\" y2=\"47\"") == 1);                  // limits .1 to .5
    CHECK(times_in(svg, "<line x1=\"26\" y1=\"64.5\" x2=\"74\" y2=\"47\"") == 1);                // the curve
    CHECK(times_in(svg, "stroke-dasharray") == 1);                                               // luck
    CHECK(times_in(svg, "<rect x=\"74\" y=\"81.3\" width=\"48\" height=\"1.4\" fill=\"currentColor\"") == 1);   // 3 to 5
    CHECK(times_in(svg, "<circle cx=\"98\" cy=\"82\" r=\"1.9\"") == 1);                       // 4
    CHECK(times_in(svg, "1: 2 of 10 (20 in 100); 2: 5 of 10 (50 in 100); 3: nobody chose; 5: 10 of 10 (100 in 100).</desc>") == 1);
    CHECK(times_in(svg, "more than once") == 1);
    CHECK(times_in(svg, "arrow") == 0);
    CHECK(svg == report::level_svg(k_ladder, core::Words::english()));
}

TEST_CASE("level picture: a level that ran out is named", "[level_picture]") {
    methods::LevelLooks looks = k_ladder;
    CHECK(times_in(report::level_svg(looks, core::Words::english()), "ran out") == 0);
    looks.steps[1].ran_out = true;
    CHECK(times_in(report::level_svg(looks, core::Words::english()), "Level 2 ran out during the tasting") == 2);   // drawn, and told to those who don't see it
}

TEST_CASE("level picture: steps alike are alike where the curve goes by the logarithm, and open ends have arrows", "[level_picture]") {
    constexpr double k_open = std::numeric_limits<double>::infinity();
    const methods::LevelLooks rising{.steps = {{.level = 1, .count = 3, .of = 9, .limits = {}}, {.level = 10, .count = 6, .of = 9, .limits = {}}, {.level = 100, .count = 9, .of = 9, .limits = {}}},
                                     .logarithmic = true,
                                     .luck = 1.0 / 3,
                                     .wanted = 2.0 / 3,
                                     .point = methods::LevelLooks::Point{10, stats::Interval{0, k_open}},
                                     .beside = methods::LevelLooks::Point{1, {}},
                                     .words = "picture.threshold"};
    const std::string svg = report::level_svg(rising, core::Words::english());
    CHECK(times_in(svg, "<circle cx=\"74\" cy=\"35.33\" r=\"1.4\"") == 1);                       // the middle
    CHECK(times_in(svg, "<rect x=\"18\" y=\"81.3\" width=\"112\"") == 1);
    CHECK(times_in(svg, "An arrow") == 1);
    CHECK(times_in(svg, "by the usual rule") == 1);
    CHECK(times_in(svg, "r=\"1.9\"") == 2);
    CHECK(times_in(svg, "No curve") == 1);
    methods::LevelLooks far = rising;
    far.beside->at = 400;   // beyond the field
    CHECK(times_in(report::level_svg(far, core::Words::english()), "r=\"1.9\"") == 1);
}

TEST_CASE("level picture: one level, and a ladder as long as numbers go", "[level_picture]") {
    const methods::LevelLooks one{.steps = {{.level = 7, .count = 1, .of = 2, .limits = {}}}, .words = "picture.ladder"};
    CHECK(times_in(report::level_svg(one, core::Words::english()), "<circle cx=\"74\" cy=\"47\"") == 1);
    const double most = std::numeric_limits<double>::max();
    const methods::LevelLooks wide{.steps = {{.level = -most, .count = 1, .of = 2, .limits = {}}, {.level = most, .count = 1, .of = 2, .limits = {}}}, .words = "picture.ladder"};
    const std::string svg = report::level_svg(wide, core::Words::english());
    CHECK(times_in(svg, "<circle cx=\"26\"") == 1);
    CHECK(times_in(svg, "<circle cx=\"122\"") == 1);
    CHECK(times_in(svg, "nan") + times_in(svg, "inf") == 0);
}
