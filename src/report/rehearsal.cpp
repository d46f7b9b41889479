// Every bar lies in a frame of the same length, so that it reads as a share without colour and without an axis. Tests: tests/unit/report/rehearsal.test.cpp

#include "oddplate/report/rehearsal.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>

#include "oddplate/core/text.hpp"
#include "oddplate/report/lines.hpp"
#include "picture.hpp"

namespace oddplate::report {
namespace {

constexpr double k_row = 6.2, k_line = 4.2, k_bars = 50, k_whole = 60;   // mm

double share_of(const ToldRehearsal& told, std::int64_t count) {
    return static_cast<double>(count) / static_cast<double>(told.times);
}

/// A sentence, wrapped; what follows begins below it.
void sentence(Picture& picture, const std::string& words, const Type& type) {
    for (const std::string& line : core::split(lines_of(words), '\n')) {
        if (line.empty()) continue;
        picture.text(0, picture.height, line, type);
        picture.height += k_line;
    }
}

/// What the picture shows, for those who don't see it.
std::string in_words(const ToldRehearsal& told, const core::Words& words) {
    std::string all = told.head;
    for (const RehearsedCourse& course : told.courses) {
        all += " " + course.title + ".";
        for (const auto& [verdict, count] : course.verdicts)
            all += " " + words.text("rehearse.picture.share", {{"verdict", verdict}, {"share", 100 * share_of(told, count)}, {"n", count}}) + ".";
    }
    return all;
}

/// 40 columns are the whole, in eighths of a column.
std::string bar_of_text(double share) {
    static constexpr const char* k_eighths[] = {"", "▏", "▎", "▍", "▌", "▋", "▊", "▉"};
    const auto eighths = static_cast<int>(std::lround(share * 320));
    std::string text;
    for (int i = 0; i < eighths / 8; ++i) text += "█";
    return text + k_eighths[eighths % 8];
}

}   // namespace

std::string rehearsal_text(const ToldRehearsal& told) {
    std::string text = lines_of(told.head);
    for (const RehearsedCourse& course : told.courses) {
        text += "\n" + course.title + "\n";
        if (!course.liking.empty()) text += lines_of(course.liking, "  ", "  ");
        std::size_t longest = 28;
        for (const auto& [verdict, count] : course.verdicts) longest = std::max(longest, verdict.size());
        for (const auto& [verdict, count] : course.verdicts)
            text += fmt::format("  {:<{}} {:5.1f}  {}\n", verdict, longest, 100 * share_of(told, count), bar_of_text(share_of(told, count)));
    }
    return text + "\n" + lines_of(told.error);
}

std::string rehearsal_svg(const ToldRehearsal& told, const core::Words& words) {
    Picture picture;
    for (const RehearsedCourse& course : told.courses) {
        picture.text(0, picture.height, course.title, {.points = 11, .weight = Weight::bold});
        picture.height += k_row;
        for (const auto& [verdict, count] : course.verdicts) {
            const double y = picture.height, share = share_of(told, count);
            picture.text(0, y, verdict, {.points = 10});
            picture.frame(k_bars, y, k_whole, k_line);
            if (count > 0) picture.bar(k_bars, y, k_whole * share, k_line);
            picture.text(k_bars + k_whole + 2, y + 0.2, words.text("rehearse.picture.beside", {{"share", 100 * share}, {"n", count}, {"times", told.times}}), {.points = 8.5});
            picture.height += k_row;
        }
        if (!course.liking.empty()) sentence(picture, course.liking, {.points = 8});
        picture.height += 2;
    }
    sentence(picture, told.head, {.points = 9});
    sentence(picture, told.error, {.points = 9});
    return svg_of(picture, words.text("rehearse.picture"), in_words(told, words));
}

}   // namespace oddplate::report
