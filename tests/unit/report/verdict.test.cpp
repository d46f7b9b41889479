// What a verdict says beside its first sentence.
#include "papers_support.hpp"

#include "../../../src/report/further.hpp"
#include "oddplate/report/verdict_files.hpp"

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

TEST_CASE("verdict: what ran out is said behind what carries on from the headline", "[verdict]") {
    const Evening evening = evening_of(k_plan);
    judge::JudgedRound round;
    round.findings.words = {{"ladder.rejected.salt", {{"level", "2.6"}, {"name", "old"}, {"n", std::int64_t{40}}, {"alpha", 0.05}}}, {std::string(methods::k_ran_out), {{"names", "new"}, {"n", std::int64_t{1}}}}};
    const report::Headline said = report::headline_of(round, evening.words);
    CHECK(said.head == "From 2.6 % salt (old) on people would rather have the usual one.");
    CHECK(said.rest.starts_with("40 people chose"));
    CHECK(said.rest.find("new ran out") > said.rest.find("by luck"));
    CHECK(said.rest.find("new ran out") != std::string::npos);
}
