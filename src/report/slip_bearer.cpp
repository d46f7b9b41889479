// The slip that says which letter goes on which tub. Page 1 is a cover, so that the printer's tray shows nothing; the words
// are on page 2. After tagging, the tubs of a row stand in the order of their letters, so that left and right tell no more
// than the letters do.
#include <algorithm>
#include <vector>

#include "code_face.hpp"
#include "furniture.hpp"

namespace oddplate::report {
namespace {

constexpr double k_margin = 20;

struct Tag {
    std::string letter;
    int version{0};
};

std::vector<Tag> tags_of(const draw::TubRow& row) {
    std::vector<Tag> tags;
    for (std::size_t version = 0; version < row.letters.size(); ++version)
        tags.push_back({row.letters[version], static_cast<int>(version)});
    std::sort(tags.begin(), tags.end(), [](const Tag& a, const Tag& b) { return a.letter < b.letter; });
    return tags;
}

/// The kitchen leaves the tubs in the order of the plan's recipes; whether that is the letters' order too.
bool stand_right(const draw::TubRow& row) {
    return std::is_sorted(row.letters.begin(), row.letters.end());
}

void cover(Canvas& canvas, const RoomPapers& papers, const Voice& voice) {
    canvas.page(portrait(papers.size));
    const double width = canvas.size().width - 2 * k_margin;
    const double y = canvas.size().height * 0.36;
    canvas.text(k_margin, y, width, headline(papers), {.points = 22, .weight = Weight::bold, .align = Align::centre});
    canvas.text(k_margin, y + 14, width, voice.say("slip.cover"), {.points = 15, .align = Align::centre, .leading = 1.2});
}

void row_words(Column& column, const KitchenPapers& papers, const Voice& voice, const draw::TubRow& row) {
    const std::string spot = row.spot.empty() ? voice.say("map.whole_cut") : row.spot;
    column.text(spot, {.points = 15, .weight = Weight::bold});
    column.gap(1);
    const bool several = papers.room.plan.pieces > 1;   // then every letter goes on several tubs
    for (const Tag& tag : tags_of(row)) {
        const std::string& label = papers.room.plan.versions[static_cast<std::size_t>(tag.version)].label;
        if (column.draws_words()) {
            column.canvas.box(column.x, column.y, 7);
            column.canvas.line_of_text(column.x + 10, column.y - 1.4, tag.letter, {.points = 24, .weight = Weight::bold});
            const std::string on = voice.say(several ? "slip.on_pieces" : "slip.on", {{"label", label}});
            column.canvas.fitted(column.x + 23, column.y + 0.4, column.width - 23, on, {.points = 14});
        }
        column.y += 11;
    }
    column.text(voice.say(stand_right(row) ? "slip.stay" : "slip.swap"), {.points = 14, .weight = Weight::bold});
    column.gap(5);
}

void draw_words(Column& column, const KitchenPapers& papers, const Voice& voice) {
    column.text(voice.say("slip.title"), {.points = 20, .weight = Weight::bold});
    column.gap(2);
    column.text(voice.say("slip.before"), {.points = 13});
    const std::int64_t pieces = papers.room.plan.pieces;
    if (pieces > 1) column.text(voice.say("slip.pieces", {{"n", pieces}}), {.points = 13, .weight = Weight::bold});
    column.gap(6);
    for (const draw::TubRow& row : papers.key.tubs) row_words(column, papers, voice, row);
    column.text(voice.say("slip.after"), {.points = 13});
}

void inside(Canvas& canvas, const KitchenPapers& papers, const Voice& voice) {
    canvas.page(portrait(papers.room.size));
    const double right = canvas.size().width - k_margin, foot = canvas.size().height - k_margin;
    canvas.line_of_text(k_margin, 12, headline(papers.room), {.points = 11});
    Column column{.canvas = canvas, .x = k_margin, .y = 20, .width = right - k_margin};
    column.stretch = 1;
    draw_words(column, papers, voice);
    blank_after(canvas, k_margin, std::max(column.y + 8, foot - 42), right, voice.say("slip.signed"), {.points = 13});
    draw_qr(canvas, right - 22, foot - 22, 24, whole_seal(papers.room));
    canvas.line_of_text(k_margin, foot - 4, seal_line(papers.room, voice), {.points = 8});
}

}   // namespace

core::Result<std::string> slip_pdf(const KitchenPapers& papers, const core::Words& words) {
    auto canvas = Canvas::open(papers.room.name);
    if (!canvas) return canvas.faults();
    const Voice voice(words, papers.room.plan);
    cover(*canvas, papers.room, voice);
    inside(*canvas, papers, voice);
    return canvas->finish();
}

}   // namespace oddplate::report
