// The slip that says which letter goes on which tub. Page 1 is a cover, so that the printer's tray shows nothing; the words
// are on page 2 and as many more as the tubs need. After tagging, the tubs of a row stand in the order of their letters, so that left and right tell no more
// than the letters do.
#include <algorithm>
#include <vector>

#include "code_face.hpp"
#include "furniture.hpp"

namespace oddplate::report {
namespace {

constexpr double k_margin = 20, k_top = 20;

struct Tag {
    std::string letter;
    int version{0};
};

bool by_letter(const Tag& a, const Tag& b) {
    return a.letter < b.letter;
}

/// The tubs of a row as the kitchen leaves them, in the order of the plan's recipes; none of a recipe that is off.
std::vector<Tag> tags_of(const KitchenPapers& papers, const draw::TubRow& row) {
    std::vector<Tag> tags;
    for (std::size_t version = 0; version < row.letters.size(); ++version) {
        const bool is_off = std::any_of(papers.off.begin(), papers.off.end(), [&](const RecipeOff& off) { return off.version == static_cast<int>(version); });
        if (!is_off) tags.push_back({row.letters[version], static_cast<int>(version)});
    }
    return tags;
}

void cover(Canvas& canvas, const RoomPapers& papers, const Voice& voice) {
    canvas.page(portrait(papers.size));
    const double width = canvas.size().width - 2 * k_margin;
    const double y = canvas.size().height * 0.36;
    canvas.text(k_margin, y, width, headline(papers), {.points = 22, .weight = Weight::bold, .align = Align::centre});
    canvas.text(k_margin, y + 14, width, voice.say("slip.cover"), {.points = 15, .align = Align::centre, .leading = 1.2});
}

/// One row of tubs: its spot, a line for each letter, and how the tubs then stand.
void row_words(Column& column, const KitchenPapers& papers, const Voice& voice, const draw::TubRow& row) {
    const std::string spot = row.spot.empty() ? voice.say("map.whole_cut") : row.spot;
    column.text(spot, {.points = 15, .weight = Weight::bold});
    column.gap(1);
    const bool several = papers.room.plan.pieces > 1;   // then every letter goes on several tubs
    std::vector<Tag> tags = tags_of(papers, row);
    const bool stand_right = std::is_sorted(tags.begin(), tags.end(), by_letter);
    std::sort(tags.begin(), tags.end(), by_letter);
    for (const Tag& tag : tags) {
        const std::string& label = papers.room.plan.versions[static_cast<std::size_t>(tag.version)].label;
        if (column.draws_words()) {
            column.canvas.box(column.x, column.y, 7);
            column.canvas.fitted(column.x + 10, column.y - 1.4, 12.5, tag.letter, {.points = 24, .weight = Weight::bold});
            const std::string on = voice.say(several ? "slip.on_pieces" : "slip.on", {{"label", label}});
            column.canvas.fitted(column.x + 23, column.y + 0.4, column.width - 23, on, {.points = 14});
        }
        column.y += 11;
    }
    column.text(voice.say(stand_right ? "slip.stay" : "slip.swap"), {.points = 14, .weight = Weight::bold});
    column.gap(5);
}

/// Above the rows: what to do on the first page, on the others what holds there too.
void head_words(Column& column, const KitchenPapers& papers, const Voice& voice, bool is_first) {
    const std::string title = voice.say("slip.title");
    column.text(is_first ? title : voice.say("continued", {{"title", title}}), {.points = 20, .weight = Weight::bold});
    column.gap(2);
    if (is_first) column.text(voice.say("slip.before"), {.points = 13});
    const std::int64_t pieces = papers.room.plan.pieces;
    if (pieces > 1) column.text(voice.say("slip.pieces", {{"n", pieces}}), {.points = 13, .weight = Weight::bold});
    column.gap(6);
}

void last_words(Column& column, const Voice& voice) {
    column.text(voice.say("slip.after"), {.points = 13});
    column.gap(8);
    if (column.draws_words()) blank_after(column.canvas, column.x, column.y, column.x + column.width, voice.say("slip.signed"), {.points = 13});
    column.y += 7;
}

/// The pages behind the cover. A row of tubs is never broken: whoever tags it has it all before the eyes.
class Inside {
public:
    Inside(Canvas& canvas, const KitchenPapers& papers, const Voice& voice) : m_canvas(canvas), m_papers(papers), m_voice(voice) {}

    void draw() {
        const std::vector<std::size_t> begins = first_rows();
        const std::vector<draw::TubRow>& rows = m_papers.key.tubs;
        for (std::size_t page = 0; page < begins.size(); ++page) {
            const bool is_last = page + 1 == begins.size();
            const std::size_t end = is_last ? rows.size() : begins[page + 1];
            face(page + 2, begins.size() + 1, is_last);
            Column column = fresh(Layer::both);
            head_words(column, m_papers, m_voice, page == 0);
            for (std::size_t row = begins[page]; row < end; ++row) row_words(column, m_papers, m_voice, rows[row]);
            if (is_last) last_words(column, m_voice);
        }
    }

private:
    /// Which row of tubs each page begins with, by measuring. The last page may hold the last words alone.
    [[nodiscard]] std::vector<std::size_t> first_rows() {
        const std::vector<draw::TubRow>& rows = m_papers.key.tubs;
        std::vector<std::size_t> begins{0};
        Column column = fresh(Layer::none);
        head_words(column, m_papers, m_voice, true);
        const auto put = [&](std::size_t next, const auto& words) {
            const double before = column.y;
            words();
            if (column.y <= bottom()) return;
            const double height = column.y - before;
            begins.push_back(next);
            column.y = k_top;
            head_words(column, m_papers, m_voice, false);
            column.y += height;
        };
        for (std::size_t row = 0; row < rows.size(); ++row) put(row, [&] { row_words(column, m_papers, m_voice, rows[row]); });
        put(rows.size(), [&] { last_words(column, m_voice); });
        return begins;
    }

    void face(std::size_t number, std::size_t of, bool is_last) {
        m_canvas.page(sheet());
        const double right = sheet().width - k_margin, foot = sheet().height - k_margin;
        m_canvas.line_of_text(k_margin, 12, headline(m_papers.room), {.points = 11});
        const Arguments args{{"n", static_cast<std::int64_t>(number)}, {"of", static_cast<std::int64_t>(of)}};
        m_canvas.line_of_text(right, 12, m_voice.say("slip.page", args), {.points = 11, .align = Align::right});
        if (!is_last) m_canvas.line_of_text(k_margin, foot - 14, m_voice.say("slip.more", {{"n", static_cast<std::int64_t>(number + 1)}}), {.points = 14, .weight = Weight::bold});
        draw_qr(m_canvas, right - 22, foot - 22, 24, whole_seal(m_papers.room));
        m_canvas.line_of_text(k_margin, foot - 4, seal_line(m_papers.room, m_voice), {.points = 8});
    }

    [[nodiscard]] Size sheet() const { return portrait(m_papers.room.size); }
    [[nodiscard]] double bottom() const { return sheet().height - k_margin - 24; }   // above the QR code
    [[nodiscard]] Column fresh(Layer layer) {
        return {.canvas = m_canvas, .x = k_margin, .y = k_top, .width = sheet().width - 2 * k_margin, .layer = layer};
    }

    Canvas& m_canvas;
    const KitchenPapers& m_papers;
    const Voice& m_voice;
};

}   // namespace

core::Result<std::string> slip_pdf(const KitchenPapers& papers, const core::Words& words) {
    auto canvas = Canvas::open(papers.room.name);
    if (!canvas) return canvas.faults();
    const Voice voice(words, papers.room.plan);
    cover(*canvas, papers.room, voice);
    Inside(*canvas, papers, voice).draw();
    return canvas->finish();
}

}   // namespace oddplate::report
