// The places to answer, by the shape of the answer and never by the method's name: one ring a code, a box a code, words to tick.
#include "question.hpp"

#include <algorithm>
#include <array>
#include <cmath>

#include "code_face.hpp"
#include "oddplate/core/json.hpp"

namespace oddplate::report {
namespace {

/// A cup on the tray as the slip shows it.
struct Cup {
    std::string mark;
    bool reference{false};
};

std::vector<Cup> cups_of(const Question& question) {
    std::vector<Cup> cups;
    const std::string letter = question.voice.mark(question.round(), question.of_set().reference);
    if (!letter.empty()) cups.push_back({letter, true});
    for (const std::string& code : question.of_set().codes) cups.push_back({code, false});
    return cups;
}

/// Rows of at most three (five on a wide page), as even as they can be: 4 cups are 2 and 2, 5 are 3 and 2.
std::vector<std::size_t> rows_of(std::size_t cups, double width, double cup_width) {
    const auto most = static_cast<std::size_t>(std::max(1.0, std::floor(width / cup_width)));
    const std::size_t rows = (cups + most - 1) / most;
    std::vector<std::size_t> lengths;
    for (std::size_t row = 0; row < rows; ++row) lengths.push_back(cups / rows + (row < cups % rows ? 1 : 0));
    return lengths;
}

enum class Under { ring, nothing, write };   // what a cup's code stands in, or over

void draw_frame(Canvas& canvas, double x, double y, const Cup& cup, double digit, double half_width, Under under) {
    const double block = code_block_height(digit), height = block + digit * 0.7;
    if (cup.reference) {
        canvas.frame(x - half_width * 0.6, y, half_width * 1.2, height, 0.5);
    } else if (under == Under::ring) {
        canvas.frame(x - half_width, y, 2 * half_width, height, 0.2, height * 0.46);
    } else if (under == Under::write) {
        canvas.frame(x - half_width * 0.75, y + block + digit * 0.3, half_width * 1.5, digit * 0.85, 0.3);
    }
}

void draw_cup(const Column& column, double x, const Cup& cup, double digit, double half_width, Under under) {
    if (column.draws_words()) draw_frame(column.canvas, x, column.y, cup, digit, half_width, under);
    const double down = under == Under::write && !cup.reference ? 0 : digit * 0.35;
    if (column.draws_codes()) draw_code(column.canvas, x, column.y + down, cup.mark, digit);
}

void draw_cups(Column& column, const std::vector<Cup>& cups, double digit, Under under) {
    const double cup_width = code_width(column.canvas, "000", digit) * 1.12;
    const double height = code_block_height(digit) + (under == Under::write ? digit * 1.15 : digit * 0.7);
    std::size_t next = 0;
    for (const std::size_t length : rows_of(cups.size(), column.width + 0.5, cup_width)) {
        const double share = column.width / static_cast<double>(length);
        for (std::size_t i = 0; i < length; ++i, ++next) {
            const double centre = column.x + share * (static_cast<double>(i) + 0.5);
            const double half_width = std::min(cup_width * 0.56, share / 2 - 0.8);
            draw_cup(column, centre, cups[next], digit, half_width, under);
        }
        column.y += height;
        column.gap(2.5);
    }
}

constexpr double k_box = 5;   // mm; what a hand ticks without leaving it

/// Tick boxes with their words, as many on a line as fit.
void tick_row(Column& column, const std::vector<std::string>& words, double body) {
    const Type type{.points = body};
    const double side = std::max(k_box, body * 0.42);
    double x = column.x;
    for (const std::string& word : words) {
        const double width = side + 1.5 + column.canvas.extent(word, type).width + 5;
        if (x > column.x && x + width > column.x + column.width + 5) {
            x = column.x;
            column.y += side + 2;
        }
        if (column.draws_words()) {
            column.canvas.box(x, column.y, side);
            const double text_height = column.canvas.extent(word, type).height;
            column.canvas.line_of_text(x + side + 1.5, column.y + (side - text_height) / 2, word, type);
        }
        x += width;
    }
    column.y += side;
}

/// What stands over box `index` of so many: ordinals as far as they are short, then numbers.
std::string place_name(const Voice& voice, std::size_t index, std::size_t count) {
    constexpr std::size_t k_most_in_words = 4;
    if (index == 0) return voice.say("place_first");
    if (index + 1 == count) return voice.say("place_last");
    if (count > k_most_in_words) return std::to_string(index + 1);
    return voice.say(index == 1 ? "place_second" : "place_third");
}

/// A box a place, first to last, for whole codes: numbers beside codes get written the wrong way round.
void place_boxes(Column& column, const Question& question, std::size_t count, double digit, double body) {
    const Type number{.points = body, .align = Align::centre};
    const double share = column.width / static_cast<double>(count), width = std::min(share - 1.2, digit * 2.8), height = digit * 1.3;
    const double words = column.canvas.extent("1", number).height;
    if (column.draws_words()) {
        for (std::size_t i = 0; i < count; ++i) {
            const double centre = column.x + share * (static_cast<double>(i) + 0.5);
            column.canvas.fitted(centre - share / 2, column.y, share, place_name(question.voice, i, count), number);
            column.canvas.frame(centre - width / 2, column.y + words + 0.6, width, height, 0.3);
        }
    }
    column.y += words + 0.6 + height;
    column.gap(2);
}

/// A line a code with a box for every step of the scale, the steps' numbers on top.
void scale_rows(Column& column, const Question& question, const std::vector<double>& steps, double digit, double body) {
    const std::vector<std::string>& codes = question.of_set().codes;
    const double code_room = code_width(column.canvas, "000", digit) * 1.3, share = (column.width - code_room) / static_cast<double>(steps.size());
    const double side = std::min(k_box * 1.1, share * 0.82);   // beside a code there is height for it, whatever the words' size
    if (side < k_box) column.cramped = true;
    const auto centre_of = [&](std::size_t i) { return column.x + code_room + share * (static_cast<double>(i) + 0.5); };
    if (column.draws_words())
        for (std::size_t i = 0; i < steps.size(); ++i)
            column.canvas.line_of_text(centre_of(i), column.y, core::shortest(steps[i]), {.points = body, .align = Align::centre});
    column.y += body * 0.45;
    for (const std::string& code : codes) {
        const double height = std::max(code_block_height(digit), side);
        if (column.draws_codes()) draw_code(column.canvas, column.x + code_room * 0.45, column.y, code, digit);
        if (column.draws_words())
            for (std::size_t i = 0; i < steps.size(); ++i) column.canvas.box(centre_of(i) - side / 2, column.y + (digit - side) / 2, side);
        column.y += height + 0.7;
        column.gap(1.3);
    }
}

/// Under each code three boxes a line, one line for each attribute: too little, just right, too much.
void levels_grid(Column& column, const Question& question, const std::vector<std::string>& attributes, double body) {
    const std::vector<std::string>& codes = question.of_set().codes;
    const double name_width = column.width * 0.26, share = (column.width - name_width) / static_cast<double>(codes.size());
    const double digit = body * 0.36, side = std::min(k_box * 1.2, share / 4);
    const double sign = std::max(k_smallest_words, body * 0.9), text_down = (side - column.canvas.extent("A", {.points = body}).height) / 2;
    if (side < k_box) column.cramped = true;
    const auto centre_of = [&](std::size_t i) { return column.x + name_width + share * (static_cast<double>(i) + 0.5); };
    column.gap(1);
    column.text(question.voice.say("levels_each"), {.points = body, .align = Align::centre});
    column.y += 1.2;   // the codes stand clear of the words above them
    if (column.draws_codes())
        for (std::size_t i = 0; i < codes.size(); ++i) draw_code(column.canvas, centre_of(i), column.y, codes[i], digit);
    column.y += code_block_height(digit) + 1;
    const std::array<std::string, 3> signs{"\u2212", "0", "+"};
    for (std::size_t i = 0; column.draws_words() && i < codes.size(); ++i)
        for (std::size_t level = 0; level < 3; ++level)
            column.canvas.line_of_text(centre_of(i) + (static_cast<double>(level) - 1) * side * 1.2, column.y, signs[level], {.points = sign, .align = Align::centre});
    column.y += sign * 0.46;
    for (const std::string& attribute : attributes) {
        if (column.draws_words()) {
            column.canvas.fitted(column.x, column.y + text_down, name_width - 1, attribute, {.points = body});
            for (std::size_t i = 0; i < codes.size(); ++i)
                for (std::size_t level = 0; level < 3; ++level) column.canvas.box(centre_of(i) + (static_cast<double>(level) - 1) * side * 1.2 - side / 2, column.y, side);
        }
        column.y += std::max(side, body * 0.42) + 0.3;
        column.gap(0.9);
    }
}

/// A line a word, with its number for whoever types it in; a box under each code, and a last line for none of them.
void words_grid(Column& column, const Question& question, const std::vector<std::string>& words, double body) {
    const std::vector<std::string>& codes = question.of_set().codes;
    const double name_width = column.width * 0.42, share = (column.width - name_width) / static_cast<double>(codes.size());
    const double digit = body * 0.36, side = std::min(k_box, share / 2), number_width = body * 0.7;
    const double text_down = (side - column.canvas.extent("A", {.points = body}).height) / 2;
    const auto centre_of = [&](std::size_t i) { return column.x + name_width + share * (static_cast<double>(i) + 0.5); };
    column.text(question.voice.say("tick_words"), {.points = body, .align = Align::centre});
    column.y += 1.2;
    if (column.draws_codes())
        for (std::size_t i = 0; i < codes.size(); ++i) draw_code(column.canvas, centre_of(i), column.y, codes[i], digit);
    column.y += code_block_height(digit) + 1;
    const auto line = [&](const std::string& number, const std::string& word) {
        if (column.draws_codes()) {   // another order on each ballot
            column.canvas.line_of_text(column.x, column.y + text_down, number, {.points = body});
            column.canvas.fitted(column.x + number_width, column.y + text_down, name_width - number_width - 1, word, {.points = body});
        }
        if (column.draws_words()) {
            for (std::size_t i = 0; i < codes.size(); ++i) column.canvas.box(centre_of(i) - side / 2, column.y, side);
        }
        column.y += std::max(side, body * 0.42) + 0.3;
        column.gap(0.9);
    };
    for (const std::size_t word : word_order(words.size(), question.ballot)) line(std::to_string(word + 1), words[word]);
    line("0", question.voice.say("none_of_these"));
}

struct Places {
    Column& column;
    const Question& question;
    double digit, body;

    [[nodiscard]] std::vector<Cup> cups() const { return cups_of(question); }

    void operator()(const methods::OneCode& one) const {
        draw_cups(column, cups(), digit, Under::ring);
        how_sure(one.sureness_steps);
    }
    void operator()(const methods::CodeGroup&) const { draw_cups(column, cups(), digit, Under::ring); }
    void operator()(const methods::ScoreEach& score) const {
        const std::vector<double> steps = score.steps();
        if (steps.empty()) draw_cups(column, cups(), digit, Under::write);
        else scale_rows(column, question, steps, digit * 0.6, body);
        column.text(question.voice.say(steps.empty() ? "score_each" : "tick_each"), {.points = body, .align = Align::centre});
        column.text(question.scale_line(score), {.points = body, .align = Align::centre});
        if (!score.attributes.empty()) levels_grid(column, question, score.attributes, body);
    }
    void operator()(const methods::OrderAll& order) const {
        draw_cups(column, cups(), digit, Under::nothing);
        column.text(question.voice.say(order.ties ? "order_all_ties" : "order_all"), {.points = body, .align = Align::centre});
        place_boxes(column, question, question.of_set().codes.size(), digit, body);
    }
    void operator()(const methods::TickEach& tick) const { words_grid(column, question, tick.words, body); }
    void operator()(const methods::OneWord& one) const {
        draw_cups(column, cups(), digit, Under::nothing);
        std::vector<std::string> words;
        for (const std::string_view word : one.words) {
            words.push_back(question.voice.ask_or(question.round(), "word." + std::string(word), std::string(word)));
        }
        tick_row(column, words, body * 1.25);
        column.gap(1.5);
        how_sure(one.sureness_steps);
    }

    void how_sure(int last) const {
        if (last < 2) return;
        const bool in_words = last == 3;
        std::vector<std::string> steps;
        for (int step = 1; step <= last; ++step)
            steps.push_back(in_words ? question.voice.say("sure_" + std::to_string(step)) : std::to_string(step));
        column.text(question.voice.say(in_words ? "how_sure_3" : "how_sure", {{"last", std::to_string(last)}}), {.points = body});
        tick_row(column, steps, body * 1.1);
        column.gap(1.5);
    }
};

}   // namespace

std::string Question::tray_line() const {
    const Arguments args{
        {"course", std::to_string(of_set().round + 1)}, {"tray", std::to_string(set + 1)}, {"trays", std::to_string(trays())}};
    std::string line = voice.say(papers.plan.rounds.size() > 1 ? "course_tray" : "tray", args);
    if (round().sittings > 1) line += " · " + voice.say("sitting", {{"n", std::to_string(sitting_on(of_ballot().sets, set))}});
    const std::string& spot = round().spots[static_cast<std::size_t>(of_set().spot)];
    if (!round().hide_spots && !spot.empty()) line += " · " + spot;
    return line;
}

std::string Question::scale_line(const methods::ScoreEach& score) const { return report::scale_line(voice, round(), score); }

std::string Question::payload() const {
    if (!papers.links.empty()) return papers.links[static_cast<std::size_t>(ballot)] + "/" + std::to_string(set + 1);
    return "ODDPLATE:" + papers.tasting_id + ":" + ballot_name() + ":" + std::to_string(set + 1);
}

void answer_places(Column& column, const Question& question, double digit_height, double body) {
    const methods::Method& method = method_of(question.round());
    std::visit(Places{column, question, digit_height, body}, method.shape(question.round()));
    if (!method.may_abstain(question.round())) return;
    column.gap(1);
    tick_row(column, {question.voice.ask_or(question.round(), "none", question.voice.say("none"))}, body);
    column.gap(1.5);
}

void hint_box(Column& column, const Question& question, double body) {
    if (!question.is_last()) return;
    column.text(question.voice.ask(question.round(), "before"), {.points = body});
    column.gap(1);
    const double top = column.y;
    tick_row(column, {question.voice.say("no"), question.voice.say("yes_what")}, body);
    if (!column.draws_words()) return;
    const double used = k_box * 2 + 13 + column.canvas.extent(question.voice.say("no") + question.voice.say("yes_what"), {.points = body}).width;
    column.canvas.line(column.x + used, top + k_box, column.x + column.width, top + k_box, 0.15);
}

}   // namespace oddplate::report
