// The runner's page: one side, read while walking, with the times down its left edge; then the timetable. The runner is blind
// too, so nothing here tells what the tasting is about. Only the words at the door name salt, because a guest's health goes
// first.
#include <algorithm>
#include <cmath>

#include "code_face.hpp"
#include "furniture.hpp"
#include "oddplate/methods/mouthful.hpp"
#include "oddplate/core/text.hpp"
#include "timetable.hpp"

namespace oddplate::report {
namespace {

constexpr double k_left = 11, k_times = 17.5, k_qr = 21;

/// One block of the page: what the clock says, its title, its lines.
struct Section {
    std::string time;
    std::string title;
    std::vector<std::string> lines;
};

struct Evening {
    const RoomPapers& papers;
    const Voice& voice;
    std::vector<Pass> passes;
    Load load;

    [[nodiscard]] int last_clear() const {
        int last = 0;
        for (const Pass& pass : passes) last = std::max(last, pass.late ? 0 : pass.times.clear);
        return last;
    }
};

/// Without spare ballots there is no tray to look at beforehand, and none for late guests.
bool has_spares(const draw::Room& room) {
    return std::any_of(room.ballots.begin(), room.ballots.end(), [](const draw::RoomBallot& ballot) { return ballot.spare; });
}

std::vector<std::string> said(const Evening& evening, std::initializer_list<const char*> ids) {
    std::vector<std::string> lines;
    for (const char* id : ids) lines.push_back(evening.voice.say(id));
    return lines;
}

/// Whether guests are asked for their own opinion, so that nobody has to guess. A named attribute asks for more or less of something instead.
bool is_about_liking(const methods::Round& round) {
    const methods::Scale scale = method_of(round).scale;
    return (scale == methods::Scale::votes || scale == methods::Scale::each) && methods::words(round.settings, "attribute").value_or("").empty();
}

/// The welcome, by what who is not sure should do.
const char* welcome_id(const methods::Plan& plan) {
    if (!std::all_of(plan.rounds.begin(), plan.rounds.end(), is_about_liking)) return "run.say.words";
    const bool all_choose = std::all_of(plan.rounds.begin(), plan.rounds.end(), [](const methods::Round& round) {
        const methods::Method& method = method_of(round);
        const methods::AnswerShape shape = method.shape(round);
        return !method.may_abstain(round) && (std::holds_alternative<methods::OrderAll>(shape) || std::holds_alternative<methods::OneCode>(shape));
    });
    return all_choose ? "run.say.words.liked" : "run.say.words.liked.free";
}

/// Whether the same people may come twice: of several evenings, or of several sittings on one.
bool needs_nicknames(const methods::Plan& plan) {
    return plan.evening > 0 || std::any_of(plan.rounds.begin(), plan.rounds.end(), [](const methods::Round& round) { return round.sittings > 1; });
}

/// Portions, grams and sodium of one guest, as far as they are known.
std::string load_line(const Evening& evening) {
    const Load& load = evening.load;
    std::string line = evening.voice.say("load.portions", {{"n", static_cast<std::int64_t>(load.portions)}});
    if (load.grams > 0) line += ", " + evening.voice.say("grams", {{"n", static_cast<std::int64_t>(std::lround(load.grams))}});
    if (load.sodium_mg > 0) {
        const double tens = std::ceil(load.sodium_mg / 10) * 10;   // rounded up: it is a caution
        line += ", " + evening.voice.say("load.sodium", {{"mg", static_cast<std::int64_t>(std::lround(tens))}});
    }
    return line;
}

std::vector<std::string> door_lines(const Evening& evening) {
    const auto& allergens = evening.papers.plan.allergens;
    std::vector<std::string> lines;
    lines.push_back(allergens.empty() ? evening.voice.say("door.no_allergens")
                                      : evening.voice.say("door.allergens", {{"list", core::joined(allergens, ", ")}}));
    lines.push_back(evening.voice.say("door.load", {{"load", load_line(evening)}}));
    // Seven and more portions tire a tongue (common practice); the plan was not refused, so the runner should know.
    if (evening.load.portions > methods::k_too_many_portions) lines.push_back(evening.voice.say("door.too_many"));
    lines.push_back(evening.voice.say("door.sit_out"));
    if (needs_nicknames(evening.papers.plan)) lines.push_back(evening.voice.say("door.nickname"));
    return lines;
}

struct KindOf {
    const char* operator()(const methods::OneCode&) const { return "code"; }
    const char* operator()(const methods::CodeGroup&) const { return "group"; }
    const char* operator()(const methods::OneWord&) const { return "word"; }
    const char* operator()(const methods::ScoreEach&) const { return "scores"; }
    const char* operator()(const methods::OrderAll&) const { return "order"; }
    const char* operator()(const methods::TickEach&) const { return "ticks"; }
};

/// A line for each kind of answer that the plan asks for: what a missing mark is, and two, depends on it.
void by_kind(std::vector<std::string>& lines, const Evening& evening, const std::string& id) {
    for (const methods::Round& round : evening.papers.plan.rounds) {
        const std::string line = evening.voice.say(id + "." + std::visit(KindOf{}, method_of(round).shape(round)));
        if (std::find(lines.begin(), lines.end(), line) == lines.end()) lines.push_back(line);
    }
}

std::vector<std::string> tray_lines(const Evening& evening) {
    std::vector<std::string> lines = said(evening, {"run.tray.deal", "run.tray.eat"});
    by_kind(lines, evening, "run.tray.collect");
    lines.back() += " " + evening.voice.say("run.tray.wait");
    return lines;
}

/// What to do with a tray of three or more that lacks a cup because its recipe ran out. Smaller trays, and those that ask for the odd one, ask nothing
/// without it and stay in the kitchen.
void without_a_recipe(std::vector<std::string>& lines, const Evening& evening) {
    for (const draw::RoomSet& set : evening.papers.room.ballots.front().sets) {
        if (set.codes.size() < 3) continue;
        const methods::Round& round = evening.papers.plan.rounds[static_cast<std::size_t>(set.round)];
        const methods::AnswerShape shape = method_of(round).shape(round);
        const bool in_order = std::holds_alternative<methods::OrderAll>(shape);
        if (!in_order && !std::holds_alternative<methods::ScoreEach>(shape) && !std::holds_alternative<methods::TickEach>(shape)) continue;
        const std::string line = evening.voice.say(in_order ? "run.if.recipe.order" : "run.if.recipe");
        if (std::find(lines.begin(), lines.end(), line) == lines.end()) lines.push_back(line);
    }
}

std::vector<std::string> if_lines(const Evening& evening) {
    std::vector<std::string> lines = said(evening, {"run.if.spill", "run.if.swap"});
    by_kind(lines, evening, "run.if.two");
    for (std::string& line : said(evening, {"run.if.tells", "run.if.late", "run.if.out"})) lines.push_back(std::move(line));
    without_a_recipe(lines, evening);
    for (std::string& line : said(evening, {"run.if.phone", "run.if.read", "run.if.unwell"})) lines.push_back(std::move(line));
    return lines;
}

/// What somebody is asked who may only look at the first tray of a spare ballot; nothing where one portion lies there alone.
std::string look_id(const Evening& evening) {
    const draw::RoomSet& set = evening.papers.room.ballots.front().sets.front();
    const methods::Round& round = evening.papers.plan.rounds[static_cast<std::size_t>(set.round)];
    if (!set.reference.empty()) return "run.look.marked";
    if (set.codes.size() < 2) return {};
    if (evening.papers.plan.versions.size() > 2) return "run.look.all";
    if (set.codes.size() == 2) return "run.look.two";
    return std::holds_alternative<methods::CodeGroup>(method_of(round).shape(round)) ? "run.look.group" : "run.look.one";
}

std::vector<Section> sections_of(const Evening& evening) {
    const Voice& voice = evening.voice;
    const methods::Plan& plan = evening.papers.plan;
    const int last = evening.last_clear();
    const auto at = [&](int minutes) { return voice.time(plan, minutes); };
    std::vector<Section> sections;
    sections.push_back(
        {"", voice.say("run.who"), said(evening, {"run.who.plater", "run.who.runner", "run.who.bearer", "run.who.enter"})});
    if (evening.papers.recipes_off > 0) sections.push_back({"", voice.say("off.runner"), {voice.say("off.runner.how")}});
    sections.push_back({at(-5), voice.say("run.door"), door_lines(evening)});
    sections.push_back({at(2), voice.say("run.say"), said(evening, {welcome_id(plan), "run.say.never"})});
    // What everybody knows is no secret: this line may name the first recipe as the usual one.
    if (const int known = known_portions(plan); known > 0) {
        const bool learn = known > (plan.warm_up ? 1 : 0);
        sections.push_back({"", voice.say("run.known"), {voice.say(learn ? "run.known.learn" : "run.known.warm_up", {{"n", std::int64_t{known}}})}});
    }
    sections.push_back({at(k_welcome_minutes), voice.say("run.tray"), tray_lines(evening)});
    for (const methods::Round& round : plan.rounds)
        if (round.sittings > 1) sections.push_back({"", voice.say("run.sittings"), {voice.say("run.sittings.how", {{"n", std::int64_t{round.sittings}}})}});
    sections.push_back({"", voice.say("run.if"), if_lines(evening)});
    sections.push_back({"", voice.say("run.dont"), said(evening, {"run.dont.all"})});
    sections.push_back({at(last + 5), voice.say("run.end"),
                        said(evening, {"run.end.count", plan.warm ? "run.end.warm" : "run.end.cold", "food_code"})});
    return sections;
}

void draw_section(Column& column, const Section& section, double points) {
    const double top = column.y;
    const Type title{.points = points, .weight = Weight::bold}, plain{.points = points, .leading = 0.9};
    column.text(section.title, title);
    for (const std::string& line : section.lines) column.text(line, plain);
    if (column.draws_words() && !section.time.empty()) {
        column.canvas.fitted(k_left, top, k_times - 3, section.time, {.points = points, .weight = Weight::bold});
    }
    if (column.draws_words()) column.canvas.line(k_left + k_times - 2.5, top + 0.5, k_left + k_times - 2.5, column.y, 0.5);
    column.gap(1.6);
}

/// The head: whose evening it is, and its figures.
double draw_head(Canvas& canvas, const Evening& evening) {
    const RoomPapers& papers = evening.papers;
    const methods::Plan& plan = papers.plan;
    const double right = canvas.size().width - k_left;
    draw_qr(canvas, right - k_qr + 1.5, 8.5, k_qr, whole_seal(papers));
    const double width = right - k_left - k_qr - 1;
    double y = 10;
    y += canvas.fitted(k_left, y, width, headline(papers), {.points = 19, .weight = Weight::bold});
    int trays = 0;
    for (const draw::RoomBallot& ballot : papers.room.ballots) trays = std::max(trays, static_cast<int>(ballot.sets.size()));
    std::string facts =
        plan.start.empty() ? evening.voice.say("run.no_start") : evening.voice.say("run.start", {{"time", plan.start}});
    facts += " · " + evening.voice.say("run.facts", {{"people", static_cast<std::int64_t>(plan.tasters)},
                                                     {"courses", static_cast<std::int64_t>(plan.rounds.size())},
                                                     {"trays", static_cast<std::int64_t>(trays)}});
    y += canvas.text(k_left, y, width, facts, {.points = 11});
    const std::string spare =
        evening.voice.say(has_spares(papers.room) ? "run.ballots" : "run.ballots_no_spares",
                          {{"first", plan.ballot_name(0)}, {"all", plan.ballot_name(static_cast<int>(papers.room.ballots.size()) - 1)}, {"planned", plan.ballot_name(plan.tasters - 1)}}) +
        (plan.evening == 0 ? std::string() : "; " + evening.voice.say("run.evening", {{"n", std::to_string(plan.evening)}}));
    y += canvas.text(k_left, y, width, spare, {.points = 11});
    canvas.line(k_left, std::max(y + 1, 29.0), right, std::max(y + 1, 29.0), 0.5);
    return std::max(y + 1, 29.0) + 2;
}

void draw_foot(Canvas& canvas, const Evening& evening) {
    canvas.line_of_text(k_left, canvas.size().height - 12, seal_line(evening.papers, evening.voice), {.points = 7.5});
}

void front(Canvas& canvas, const Evening& evening) {
    canvas.page(portrait(evening.papers.size));
    const double top = draw_head(canvas, evening);
    draw_foot(canvas, evening);
    const double room = canvas.size().height - 14 - top;
    const std::vector<Section> sections = sections_of(evening);
    double points = 14;
    Column measure{.canvas = canvas,
                   .x = k_left + k_times,
                   .y = 0,
                   .width = canvas.size().width - 2 * k_left - k_times,
                   .layer = Layer::none};
    for (; points > 8; points -= 0.25) {
        measure.y = measure.gaps = 0;
        for (const Section& section : sections) draw_section(measure, section, points);
        if (measure.y <= room) break;
    }
    Column column = measure;
    column.y = top;
    column.layer = Layer::both;
    column.stretch = std::clamp(1 + (room - measure.y) / measure.gaps, 0.5, 3.0);
    for (const Section& section : sections) draw_section(column, section, points);
}

constexpr double k_line = 8.6;

void table_titles(Canvas& canvas, const Evening& evening, double y) {
    const double right = canvas.size().width - k_left;
    const char* const ids[] = {"serve", "clear", "pass", "list.ballots_short", "tray_short"};
    const double at[] = {0, 27, 54, 74, 108};
    for (std::size_t i = 0; i < 5; ++i) canvas.line_of_text(k_left + at[i], y, evening.voice.say(ids[i]), {.points = 11});
    canvas.line_of_text(right - 17, y, evening.voice.say("run.served"), {.points = 11, .align = Align::right});
    canvas.line_of_text(right, y, evening.voice.say("run.cleared"), {.points = 11, .align = Align::right});
    canvas.line(k_left, y + 6, right, y + 6, 0.4);
}

void table_line(Canvas& canvas, const Evening& evening, const Pass& pass, double y) {
    const double right = canvas.size().width - k_left;
    const methods::Plan& plan = evening.papers.plan;
    const Type type{.points = 14}, strong{.points = 14, .weight = Weight::bold};
    const std::string first = plan.ballot_name(pass.ballots.front()), last = plan.ballot_name(pass.ballots.back());
    if (pass.late) {
        canvas.fitted(k_left, y, 52, evening.voice.say("run.when_they_come"), {.points = 11});
    } else {
        canvas.line_of_text(k_left, y, evening.voice.time(plan, pass.times.serve), strong);
        canvas.line_of_text(k_left + 27, y, evening.voice.time(plan, pass.times.clear), type);
    }
    canvas.line_of_text(k_left + 54, y, std::to_string(pass.number), type);
    canvas.line_of_text(k_left + 74, y, first == last ? first : first + "–" + last, type);
    canvas.line_of_text(k_left + 108, y, std::to_string(pass.set + 1), type);
    canvas.box(right - 29, y, 6);
    canvas.box(right - 6, y, 6);
    canvas.line(k_left, y + 7.3, right, y + 7.3, 0.12);
}

/// A further page under this title; answers where it begins.
double page_titled(Canvas& canvas, const Evening& evening, const char* title) {
    canvas.page(portrait(evening.papers.size));
    draw_foot(canvas, evening);
    canvas.line_of_text(k_left, 12, evening.voice.say(title), {.points = 18, .weight = Weight::bold});
    canvas.line_of_text(canvas.size().width - k_left, 14, headline(evening.papers),
                        {.points = 12, .weight = Weight::bold, .align = Align::right});
    return 24;
}

/// What the desk counts at the end, and the look beforehand: blanks to fill.
void back_blanks(Canvas& canvas, const Evening& evening, double y) {
    const double right = canvas.size().width - k_left, width = right - k_left;
    const auto block = [&](const char* title, const std::string& text) {
        y += canvas.text(k_left, y, width, evening.voice.say(title), {.points = 13, .weight = Weight::bold});
        y += canvas.text(k_left, y + 0.5, width, text, {.points = 12, .leading = 1.35}) + 5;
    };
    const std::string look = look_id(evening);
    if (!look.empty() && has_spares(evening.papers.room))
        block("run.look.title", evening.voice.say("run.look", {{"ask", evening.voice.say(look)}}));
    block("run.count.title", evening.voice.say("run.count"));
    for (const char* id : {"run.signed", "run.oddities"}) {
        blank_after(canvas, k_left, y, right, evening.voice.say(id), {.points = 12});
        y += 9;
    }
}

void back(Canvas& canvas, const Evening& evening) {
    double y = page_titled(canvas, evening, "run.timetable");
    const double foot = canvas.size().height - 16;
    table_titles(canvas, evening, y);
    y += 8;
    for (const Pass& pass : evening.passes) {
        if (y + k_line > foot) {
            y = page_titled(canvas, evening, "run.timetable");
            table_titles(canvas, evening, y);
            y += 8;
        }
        table_line(canvas, evening, pass, y);
        y += k_line;
    }
    constexpr double k_blanks = 78;
    if (y + k_blanks > foot) y = page_titled(canvas, evening, "run.timetable");
    back_blanks(canvas, evening, y + 5);
}

/// A place for the nickname of each ballot's guest, asked at the door: the same person may come again.
void nicknames(Canvas& canvas, const Evening& evening) {
    constexpr std::size_t k_columns = 3;
    constexpr double k_number = 13, k_name = 46, k_row = 9;   // a name of 12 letters by hand
    const auto ballots = evening.papers.room.ballots.size();
    const double foot = canvas.size().height - 16, width = canvas.size().width - 2 * k_left;
    for (std::size_t next = 0; next < ballots;) {
        double y = page_titled(canvas, evening, "run.nicknames");
        const std::string how = evening.voice.say("run.nicknames.how", {{"id", evening.papers.tasting_id}, {"ballot", evening.papers.plan.ballot_name(0)}});
        y += canvas.text(k_left, y, width, how, {.points = 12}) + 3;
        const auto column = [&](std::size_t i) { return k_left + width / k_columns * static_cast<double>(i); };
        const auto fit = static_cast<std::size_t>((foot - y - 6) / k_row);
        const std::size_t here = std::min(ballots - next, fit * k_columns), rows = (here + k_columns - 1) / k_columns;
        for (std::size_t i = 0; i * rows < here; ++i) {
            canvas.line_of_text(column(i) + k_number - 2, y, evening.voice.say("ballot"), {.points = 10, .align = Align::right});
            canvas.line_of_text(column(i) + k_number, y, evening.voice.say("run.nickname"), {.points = 10});
        }
        y += 6;
        for (std::size_t i = 0; i < here; ++i) {
            const double x = column(i / rows), top = y + k_row * static_cast<double>(i % rows);
            canvas.line_of_text(x + k_number - 2, top + 1, evening.papers.plan.ballot_name(static_cast<int>(next + i)), {.points = 13, .weight = Weight::bold, .align = Align::right});
            canvas.line(x + k_number, top + 7.4, x + k_number + k_name, top + 7.4, 0.2);
        }
        next += here;
    }
}

}   // namespace

core::Result<std::string> runner_pdf(const RoomPapers& papers, const core::Words& words) {
    auto canvas = Canvas::open(papers.name);
    if (!canvas) return canvas.faults();
    const Voice voice(words, papers.plan);
    const Evening evening{papers, voice, passes_of(papers.plan, papers.room), load_of(papers.plan, papers.room)};
    front(*canvas, evening);
    back(*canvas, evening);
    if (needs_nicknames(papers.plan)) nicknames(*canvas, evening);
    return canvas->finish();
}

}   // namespace oddplate::report
