// What somebody types from a slip.
#include <catch2/catch.hpp>

#include "oddplate/tasting/typed.hpp"

using namespace oddplate;
using namespace oddplate::tasting;

TEST_CASE("a ticked last box keeps what the guest wrote behind it", "[typed]") {
    for (const char* line : {"yes, heard maple", "Yes heard maple", "y; heard maple", "YES - heard maple"}) {
        INFO(line);
        const Typed typed = typed_box(line);
        CHECK((typed.answer == "yes" || typed.answer == "y"));
        CHECK(typed.note == "heard maple");
    }
    CHECK(typed_box("no").answer == "no");
    CHECK(typed_box("no").note.empty());
    CHECK(typed_box("yesterday").answer == "yesterday");   // no answer: whoever reads it says so
    for (const char* line : {"No answer", "n.a.", "no idea", "n/a"}) CHECK(typed_box(line).answer == line);   // left empty, which is not no
    CHECK(typed_box("no, nothing").note == "nothing");
    CHECK(typed_box("").answer.empty());
}

TEST_CASE("a version goes by its id or its label, in any case", "[typed]") {
    methods::Plan plan;
    plan.versions = {{"usual", "2.4 % salt"}, {"p", "Black pepper"}, {"q", "black pepper"}, {"m", "maple"}};
    CHECK(version_meant(plan, "usual") == 0);
    CHECK(version_meant(plan, " Maple ") == 3);
    CHECK(version_meant(plan, "P") == 1);
    CHECK(version_meant(plan, "black pepper") == -1);   // two are called so
    CHECK(version_meant(plan, "juniper") == -1);
}
