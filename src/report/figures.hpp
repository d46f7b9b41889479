#pragma once
// The pictures of a verdict. Each has its n, a caption that says it in a sentence, and a table for those who don't see it.

#include <functional>
#include <string>
#include <vector>

#include "oddplate/core/words.hpp"
#include "oddplate/judge/judge.hpp"
#include "oddplate/methods/plan.hpp"
#include "picture.hpp"

namespace oddplate::report {

struct Figure {
    std::string id;                            ///< "course-1-marks", also the name of its file
    int round{0};                              ///< 0-based
    std::string title;
    std::string caption;
    Picture picture;
    std::vector<std::vector<std::string>> table;   ///< the first row is its head
};

/// In the order in which they are read: one mark an answer against luck; each spot's estimate with its interval; how many could truly tell; what the panel
/// could have seen; then several recipes' own; last how the evening went. A round without answers has none.
[[nodiscard]] std::vector<Figure> figures_of(const judge::Judged& judged, const methods::Plan& plan, const core::Words& words);

/// The one picture of the first course for the card that is sent on: the first that is at most `most_high` mm high with its caption, whose height there
/// `caption_high` tells; the first of all where none is. Absent where there is no picture.
[[nodiscard]] std::optional<Figure> card_figure(const judge::Judged& judged, const methods::Plan& plan, const core::Words& words, double most_high,
                                                const std::function<double(const std::string&)>& caption_high);

}   // namespace oddplate::report
