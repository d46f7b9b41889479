// Three evenings of a made-up deli. Every step goes through the same acts as a real tasting; only the answers are simulated, from a true
// difference that is stated, with the generator that no draw ever uses.

#include "demo.hpp"

#include <array>

#include "oddplate/book/book_file.hpp"
#include "oddplate/core/files.hpp"
#include "oddplate/core/philox.hpp"
#include "oddplate/report/plan_words.hpp"
#include "oddplate/report/results.hpp"
#include "oddplate/report/verdict_files.hpp"
#include "oddplate/tasting/names.hpp"
#include "oddplate/tasting/outcome.hpp"
#include "oddplate/tasting/parcel.hpp"
#include "oddplate/tasting/plan_json.hpp"
#include "printing.hpp"

namespace oddplate::cli {
namespace {

using core::Json;

struct Evening {
    const char* folder;         ///< "" is the demo's own folder
    const char* title;
    const char* plan;
    double can_tell;            ///< share of tasters who really find the odd one
    double for_new;             ///< chance that a vote goes to the new recipe
    std::uint64_t seed;         ///< of the made-up answers
    const char* seed_of_draw;   ///< fixed, so that the demo is the same everywhere
};

constexpr std::array<Evening, 3> k_evenings{{
    {"", "noticed",
     R"({"title":"Less salt in the cure: is it noticed?","versions":[{"id":"current","label":"2.4 % salt"},{"id":"new","label":"2.0 % salt"}],
         "tasters":26,"start":"12:30","grams":12,"salt_percent":{"current":2.4,"new":2.0},"allergens":["mustard","celery"],"pieces":2,
         "spots_at":{"edge":"outer 15 mm ring of the slice, with crust","centre":"middle of the slice"},
         "rounds":[{"method":"triangle","spots":["edge","centre"],"detect_pd":0.4},{"method":"paired-preference","spots":["edge"],"no_preference":true}]})",
     0.45, 0.5, 11, "0000000000000000000000000000000000000000000000000000000000000001"},
    {"evening-2-cant-say-yet", "can't say yet",
     R"({"title":"A little less salt in the cure: do few enough notice?","versions":[{"id":"current","label":"2.4 % salt"},{"id":"new","label":"2.2 % salt"}],
         "tasters":24,"start":"12:30","grams":12,"salt_percent":{"current":2.4,"new":2.2},"allergens":["mustard","celery"],"pieces":2,
         "rounds":[{"method":"triangle","spots":["edge","centre"],"aim":"similarity","same_below_pd":0.3}]})",
     0.1, 0.5, 5, "0000000000000000000000000000000000000000000000000000000000000002"},
    {"evening-3-same-against-itself", "the same recipe against itself",
     R"({"title":"The usual cure against itself","versions":[{"id":"first","label":"usual, first batch"},{"id":"second","label":"usual, second batch"}],
         "same_recipe":true,"tasters":26,"start":"12:30","grams":12,"allergens":["mustard","celery"],"pieces":2,
         "rounds":[{"method":"triangle","spots":["edge","centre"],"detect_pd":0.4}]})",
     0.0, 0.5, 3, "0000000000000000000000000000000000000000000000000000000000000003"},
}};

/// What a simulated taster answers to one set.
std::string made_up_answer(const Evening& evening, const draw::RoomSet& room, const draw::KeySet& key, core::PhiloxStream& chance) {
    const auto n = static_cast<std::uint32_t>(room.codes.size());
    if (n == 2) {
        if (chance.uniform() < 0.08) return "none";
        const bool wants_new = chance.uniform() < evening.for_new;
        return room.codes[(key.portions[0].version == 1) == wants_new ? 0 : 1];
    }
    std::size_t odd = 0;
    for (std::size_t i = 0; i < n; ++i) {
        int alike = 0;
        for (const auto& other : key.portions) alike += other.version == key.portions[i].version ? 1 : 0;
        if (alike == 1) odd = i;
    }
    const bool tells = chance.uniform() < evening.can_tell;
    return room.codes[tells ? odd : chance.below(n)];
}

std::vector<tasting::IncomingAnswer> made_up_answers(const Evening& evening, const tasting::State& state, const draw::Key& key) {
    std::vector<tasting::IncomingAnswer> answers;
    for (int b = 0; b < state.plan.tasters; ++b) {
        core::PhiloxStream chance(evening.seed, static_cast<std::uint64_t>(b));
        const auto& room = state.room.ballots[static_cast<std::size_t>(b)].sets;
        const auto& sets = key.ballots[static_cast<std::size_t>(b)].sets;
        for (std::size_t s = 0; s < room.size(); ++s)
            answers.push_back({.line = answers.size() + 2, .ballot = state.ballot_name(b), .set = std::to_string(s + 1), .answer = made_up_answer(evening, room[s], sets[s], chance)});
        answers.push_back({.line = answers.size() + 2, .ballot = state.ballot_name(b), .set = "0", .answer = "no"});
    }
    return answers;
}

std::string csv_of(const std::vector<tasting::IncomingAnswer>& answers) {
    std::string csv = "ballot,set,answer\n";
    for (const auto& answer : answers) csv += answer.ballot + "," + answer.set + "," + answer.answer + "\n";
    return csv;
}

/// Writes files and remembers the first fault, so that an evening reads top down.
class Folder {
public:
    explicit Folder(std::string path) : m_path(std::move(path)) { keep(core::make_folder(m_path)); }
    void write(const std::string& name, core::Result<std::string> bytes) {
        if (!bytes) keep(bytes.faults());
        else keep(core::write_file(m_path + "/" + name, *bytes));
    }
    void keep(const core::Status& status) {
        if (!status && m_faults.empty()) m_faults = status.faults();
    }
    [[nodiscard]] const std::string& path() const { return m_path; }
    [[nodiscard]] const core::Faults& faults() const { return m_faults; }

private:
    std::string m_path;
    core::Faults m_faults;
};

struct Told {
    std::string id, verdict, sentence;
};

core::Result<std::string> run_evening(Call& call, tasting::Keeper& keeper, const Evening& evening, Folder& folder) {
    const auto plan = tasting::read_plan(evening.plan, "plan");
    if (!plan) return plan.faults();
    const auto id = keeper.plan(*plan);
    if (!id) return id.faults();
    const auto seed = core::from_hex(evening.seed_of_draw, "seed");
    if (!seed) return seed.faults();
    if (auto drawn = keeper.draw(*id, {.seed = *seed}); !drawn) return drawn.faults();
    Call printing = call;
    printing.given.erase("--json");
    if (auto printed = print_papers(printing, keeper, *id, folder.path() + "/4-papers"); !printed) return printed.faults();
    auto state = keeper.load(*id);
    if (!state) return state.faults();
    const auto key = keeper.key(*state, true);
    if (!key) return key.faults();
    const auto answers = made_up_answers(evening, *state, key->key);
    const auto intake = keeper.enter(*state, answers, "csv", false, false);
    if (!intake) return intake.faults();
    if (auto closed = keeper.close(*id, false); !closed) return closed.faults();
    folder.write("2-the-plan-in-words.txt", report::plan_in_words(*plan, call.words));
    folder.write("3-plan.json", core::to_pretty_text(tasting::plan_to_json(*plan)));
    folder.write("5-answers.csv", csv_of(answers));
    return *id;
}

core::Result<Told> write_verdict(Call& call, tasting::Keeper& keeper, const std::string& id, Folder& folder) {
    auto state = keeper.load(id);
    if (!state) return state.faults();
    auto key = keeper.key(*state);
    if (!key) return key.faults();
    const auto outcome = tasting::outcome_of(*state, *key);
    if (!outcome) return outcome.faults();
    const auto log = keeper.book().rows(id, 0);
    if (!log) return log.faults();
    const report::VerdictPage page{.state = *state, .outcome = *outcome, .earlier = {}, .rows = *log, .book_format = keeper.book().format(), .made_up = true, .size = {}};
    folder.write("1-verdict.pdf", report::verdict_pdf(page, call.words));
    folder.write("6-verdict.txt", report::outcome_text(*state, *outcome, {}, call.words, report::Depth::numbers));
    folder.write("7-verdict.json", core::to_pretty_text(report::outcome_json(*state, *outcome, {}, call.words)));
    folder.write("8-tasting-to-send-on.json", tasting::pack(keeper, id));
    const auto rows = tasting::answers_at_close(*state, *key);
    if (!rows) return rows.faults();
    const auto files = report::verdict_files({.page = page, .answers = *rows, .date = {}}, call.words);
    if (!files) return files.faults();
    for (const char* part : {"", "/figures"})
        if (auto made = core::make_folder(folder.path() + "/9-the-report" + part); !made) return made.faults();
    for (const report::ReportFile& file : *files)
        if (file.name != "verdict.pdf") folder.write("9-the-report/" + file.name, core::Result<std::string>(file.bytes));   // it is 1-verdict.pdf
    if (!folder.faults().empty()) return folder.faults();
    return Told{id, outcome->at_close.verdict, call.words.text(outcome->at_close.words.front())};
}

}   // namespace

core::Result<ExitCode> make_demo(Call& call, const std::string& into) {
    auto book = book::open_book(into + "/book.sqlite", book::WhenMissing::create);
    if (!book) return book.faults();
    tasting::Keeper keeper(**book, call.clock);
    Json list = Json::array();
    call.say(call.words.text("demo.begin"));
    for (const Evening& evening : k_evenings) {
        Folder folder(evening.folder[0] == '\0' ? into : into + "/" + evening.folder);
        const auto id = run_evening(call, keeper, evening, folder);
        if (!id) return id.faults();
        const auto told = write_verdict(call, keeper, *id, folder);
        if (!told) return told.faults();
        call.say("\n" + folder.path() + "  (" + call.words.text("demo.truth", {{"share", evening.can_tell}}) + ")\n  " + told->sentence);
        Json item = Json::object();
        item.set("tasting", told->id);
        item.set("folder", folder.path());
        item.set("verdict", told->verdict);
        list.push(std::move(item));
    }
    call.say("\n" + call.words.text("demo.end", {{"file", into + "/1-verdict.pdf"}}));
    if (!call.json()) return 0;
    call.answer.clear();
    Json out = Json::object();
    out.set("open_first", into + "/1-verdict.pdf");
    out.set("evenings", std::move(list));
    call.print(out);
    return 0;
}

}   // namespace oddplate::cli
