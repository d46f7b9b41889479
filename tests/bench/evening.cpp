// The budgets of an evening: start 10 ms; a draw for 1,000 tasters x 4 spots 50 ms; papers for 200 tasters 1 s; 100,000 answers taken in 1 s and
// judged 200 ms; under 100 MB.

#include <benchmark/benchmark.h>
#include <sys/resource.h>
#include <unistd.h>

#include <cstdlib>
#include <filesystem>
#include <string>

#include "oddplate/book/book_file.hpp"
#include "oddplate/core/chance.hpp"
#include "oddplate/core/clock.hpp"
#include "oddplate/core/csv.hpp"
#include "oddplate/draw/draw.hpp"
#include "oddplate/judge/judge.hpp"
#include "oddplate/methods/method.hpp"
#include "oddplate/report/papers.hpp"
#include "oddplate/tasting/keeper.hpp"
#include "oddplate/tasting/outcome.hpp"
#include "oddplate/tasting/plan_json.hpp"

namespace {

using namespace oddplate;

methods::Plan plan_of(int tasters, const std::string& spots, const std::string& more = "") {
    const auto plan = tasting::read_plan(R"({"title":"bench","versions":[{"id":"current"},{"id":"new"}],"tasters":)" + std::to_string(tasters) +
                                             R"(,"spares":0,"rounds":[{"method":"triangle","detect_pd":0.4,"spots":)" + spots + "}" + more + "]}", "plan");
    if (!plan) std::abort();
    return *plan;
}

core::Words words() {
    core::Words all = core::Words::english();
    for (const methods::Method* method : methods::all()) all.add(method->phrases);
    return all;
}

constexpr const char* k_four = R"(["a","b","c","d"])";
constexpr const char* k_ten = R"(["a","b","c","d","e","f","g","h","i","j"])";

void start(benchmark::State& state) {
    for (auto _ : state)
        if (std::system(ODDPLATE_PROGRAM " --version >/dev/null") != 0) state.SkipWithError("the program did not start");
}
BENCHMARK(start)->Unit(benchmark::kMillisecond)->UseRealTime();

void draw_1000_tasters_4_spots(benchmark::State& state) {
    const methods::Plan plan = plan_of(1000, k_four);
    for (auto _ : state) benchmark::DoNotOptimize(draw::draw(plan, core::Bytes32{1}));
}
BENCHMARK(draw_1000_tasters_4_spots)->Unit(benchmark::kMillisecond);

void papers_200_tasters(benchmark::State& state) {
    const methods::Plan plan = plan_of(200, R"(["edge","centre"])", R"(,{"method":"paired-preference","spots":["edge"]})");
    const auto drawn = draw::draw(plan, core::Bytes32{1});
    if (!drawn) return state.SkipWithError("no draw");
    const report::KitchenPapers papers{.room = {.plan = plan, .room = drawn->room, .name = "BLUE GATE", .date = "14 June", .seal = std::string(64, 'a'),
                                                .log_head = std::string(64, 'b'), .tasting_id = "bcdfghjk"},
                                       .key = drawn->key};
    const core::Words all = words();
    for (auto _ : state) {
        benchmark::DoNotOptimize(report::ballots_pdf(papers.room, all));
        benchmark::DoNotOptimize(report::runner_pdf(papers.room, all));
        benchmark::DoNotOptimize(report::kitchen_pdf(papers, all));
        benchmark::DoNotOptimize(report::labels_pdf(papers, {}, all));
    }
}
BENCHMARK(papers_200_tasters)->Unit(benchmark::kMillisecond);

std::string first_codes_csv(const draw::Room& room) {
    std::string csv = "ballot,set,answer\n";
    for (std::size_t b = 0; b < room.ballots.size(); ++b)
        for (std::size_t s = 0; s < room.ballots[b].sets.size(); ++s)
            csv += std::to_string(b + 1) + "," + std::to_string(s + 1) + "," + room.ballots[b].sets[s].codes.front() + "\n";
    return csv;
}

std::vector<tasting::IncomingAnswer> answers_of(const std::string& csv) {
    const auto table = core::parse_csv(csv);
    if (!table) std::abort();
    std::vector<tasting::IncomingAnswer> answers;
    for (const auto& row : table->rows) answers.push_back({.line = row.line, .ballot = row.cells[0], .set = row.cells[1], .answer = row.cells[2]});
    return answers;
}

/// Takes in 100,000 answers of 10,000 tasters at 10 spots, and judges them.
void enter_and_judge_100000(benchmark::State& state) {
    const std::string path = std::filesystem::temp_directory_path() / ("oddplate-bench-" + std::to_string(getpid()) + ".sqlite");
    const core::SystemClock clock;
    double enter_ms = 0, judge_ms = 0;
    const auto now = [] { return std::chrono::steady_clock::now(); };
    const auto since = [&](auto from) { return std::chrono::duration<double, std::milli>(now() - from).count(); };
    for (auto _ : state) {
        std::filesystem::remove(path);
        auto book = book::open_book(path, book::WhenMissing::create);
        if (!book) return state.SkipWithError("no book");
        tasting::Keeper keeper(**book, clock);
        const auto id = keeper.plan(plan_of(10000, k_ten));
        if (!id || !keeper.draw(*id, {})) return state.SkipWithError("no draw");
        auto tasting = keeper.load(*id);
        if (!tasting) return state.SkipWithError("not loaded");
        const std::string csv = first_codes_csv(tasting->room);
        auto from = now();
        const auto intake = keeper.enter(*tasting, answers_of(csv), "csv", false, false);
        enter_ms = since(from);
        if (!intake || intake->accepted != 100000) return state.SkipWithError("not all taken in");
        const auto key = keeper.key(*tasting, true);
        if (!key) return state.SkipWithError("no key");
        judge::Case subject = tasting::case_of(*tasting, tasting::AnswersAs::now);
        subject.room = tasting->room;
        subject.key = key->key;
        from = now();
        if (!judge::judge(subject)) return state.SkipWithError("not judged");
        judge_ms = since(from);
    }
    std::filesystem::remove(path);
    rusage usage{};
    getrusage(RUSAGE_SELF, &usage);
    state.counters["enter_ms"] = enter_ms;
    state.counters["judge_ms"] = judge_ms;
    state.counters["peak_MB"] = static_cast<double>(usage.ru_maxrss) / 1024;
}
BENCHMARK(enter_and_judge_100000)->Unit(benchmark::kMillisecond)->Iterations(2);

}   // namespace
