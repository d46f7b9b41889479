#pragma once
// What the questions of `new` come to, and the plan that is made of it.

#include <optional>
#include <string>
#include <vector>

#include "oddplate/core/json.hpp"
#include "oddplate/core/words.hpp"

namespace oddplate::tasting {

/// The first four are about two recipes, the others about three or more.
enum class Asked { noticed, few, liked, stronger, most, how_much, worse };
[[nodiscard]] constexpr bool is_about_several(Asked asked) { return asked == Asked::most || asked == Asked::how_much || asked == Asked::worse; }

/// What the answers come to.
struct Wishes {
    std::string title;
    Asked asked{Asked::noticed};
    std::string attribute, stronger;
    int in_ten{4};
    int people{0};
    std::vector<std::string> spots;
    std::vector<std::string> recipes;      ///< of several, the usual one first
    int pieces{1};                         ///< whole pieces of meat a recipe
    int waves{0};                          ///< served at a time; 0: everybody at once
    std::optional<double> grams, salt_usual, salt_new;
    bool warm{false};
    std::string start;
    std::vector<std::string> allergens;
};

/// A number as a person types it: 0.35 or 0,35 and nothing else in the text.
[[nodiscard]] std::optional<double> number_in(std::string text);
/// "less-salt" of "Less salt!": small letters and digits with - between, at most `most` of them; empty where nothing is left.
[[nodiscard]] std::string slug_of(const std::string& text, std::size_t most);
/// Names with commas between, or "and" before the last of several, without the spaces around them; empty ones are left out.
[[nodiscard]] std::vector<std::string> names_in(const std::string& text);

/// The plan file of these wishes: only what was said, so that it stays short enough to be read.
[[nodiscard]] core::Json plan_of(const Wishes& wishes, const core::Words& words);

}   // namespace oddplate::tasting
