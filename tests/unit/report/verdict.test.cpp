// What a verdict says beside its first sentence.
#include "papers_support.hpp"

#include "../../../src/report/further.hpp"

using namespace papers_test;

TEST_CASE("verdict: a check is said once, in its own list", "[verdict]") {
    const core::Sentence first{"judge.a", {}}, more{"judge.b", {}}, alarm{"judge.c", {{"n", std::int64_t{3}}}};
    const core::Sentence same_id{"judge.c", {{"n", std::int64_t{4}}}};   // another number: not what the check says
    methods::RoundFindings found;
    CHECK(report::further_words(found).empty());
    found.words = {first, more, alarm, same_id};
    found.checks = {{.id = "c", .p_value = {}, .alarm = true, .words = alarm}};
    CHECK(report::further_words(found) == std::vector<core::Sentence>{more, same_id});
}

TEST_CASE("verdict: every way of counting again has its words", "[verdict]") {
    const Evening evening = evening_of(k_plan);
    for (const char* id : {"with_insiders", "with_late", "without_told", "missing_high", "missing_low"}) {
        CHECK(evening.words.has("results.variant." + std::string(id)));
    }
}
