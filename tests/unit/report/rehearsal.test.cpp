// The rehearsal's picture and its text tell the same shares.
#include "papers_support.hpp"

#include "oddplate/report/rehearsal.hpp"

using namespace papers_test;

namespace {

const report::ToldRehearsal k_told{.times = 400,
                                   .head = "400 made-up evenings.",
                                   .error = "To about 5 points.",
                                   .courses = {{"Course 1: <Triangle>", "", {{"noticed", 300}, {"few enough notice", 0}, {"can't say yet", 100}}},
                                               {"Course 2: Paired preference", "Taken here: nobody prefers either.", {{"no clear preference", 400}}}}};

std::size_t times_in(const std::string& text, const std::string& part) {
    std::size_t n = 0;
    for (std::size_t at = text.find(part); at != std::string::npos; at = text.find(part, at + part.size())) ++n;
    return n;
}

}   // namespace

TEST_CASE("rehearsal: a bar is as long as its share of the frame, and says its number", "[rehearsal]") {
    const std::string svg = report::rehearsal_svg(k_told, core::Words::english());
    CHECK(times_in(svg, "width=\"60\" height=\"4.2\" stroke") == 4);           // a frame a verdict, all of one length
    CHECK(times_in(svg, "width=\"45\" height=\"4.2\" fill=\"currentColor\"") == 1);   // 300 of 400
    CHECK(times_in(svg, "width=\"15\" height=\"4.2\" fill=\"currentColor\"") == 1);
    CHECK(times_in(svg, "width=\"60\" height=\"4.2\" fill=\"currentColor\"") == 1);
    CHECK(times_in(svg, "<rect") == 7);                                        // what never came has a frame and no bar
    CHECK(times_in(svg, ">75.0 (300 of 400)<") == 1);                          // beside the bar
    CHECK(times_in(svg, "noticed: 75.0 in 100 (300 evenings)") == 1);          // in the description
    CHECK(times_in(svg, "&lt;Triangle") == 2);
    CHECK(times_in(svg, "<Triangle") == 0);
    CHECK(times_in(svg, "To about 5 points.") == 1);
    CHECK(times_in(svg, "nobody prefers either") == 1);
    CHECK(svg == report::rehearsal_svg(k_told, core::Words::english()));
}

TEST_CASE("rehearsal: the text's bars are shares of 40 columns", "[rehearsal]") {
    const std::string text = report::rehearsal_text(k_told);
    CHECK(times_in(text, "█") == 30 + 10 + 40);
    CHECK(times_in(text, "few enough notice              0.0  \n") == 1);
}
