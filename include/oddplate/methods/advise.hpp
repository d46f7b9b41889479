#pragma once
// Which method to take: what every method would cost for one difference, the cheapest first.

#include <cstdint>
#include <optional>
#include <string>
#include <string_view>
#include <vector>

#include "oddplate/core/result.hpp"
#include "oddplate/methods/method.hpp"
#include "oddplate/methods/mouthful.hpp"

namespace oddplate::methods {

/// What the cook can say.
struct Asked {
    Wanted wanted{Wanted::noticed};
    bool direction{false};                ///< the change can be named, with the version that has more of it
    double notice_in_ten{4};              ///< of ten people so many would notice before it matters; above 0, below 10
    double share{0.7};                    ///< "liked": of those who choose, the share for one version that must not be missed; 0..1, not 1/2
    std::optional<std::int64_t> people;   ///< who can come
    int most_portions{k_many_portions};   ///< that one tongue takes in an evening
    std::optional<std::int64_t> servings; ///< that the scarcest spot can give
};

struct Advised {
    const Method* method{nullptr};
    std::string_view flag;                ///< setting that makes it this way ("specified"), or empty
    bool directed{false};                 ///< it asks with a word for the change
    std::int64_t tasters{0};              ///< the fewest, at power 0.8 and alpha 0.05, one set each
    std::int64_t servings_per_spot{0};    ///< cut for one spot: tasters times the portions of a set, references included, and what they learn by
    int portions{0};                      ///< of one set
    int learn{0};                         ///< portions of the current recipe that everybody eats first, to know it by
    std::int64_t sets{1};                 ///< a head, with the people there are
    bool enough_people{true};             ///< these people, at so many sets each, are enough
    bool enough_meat{true};               ///< a spot can give it
    bool fits{true};                      ///< both, and their tongues can take it

    [[nodiscard]] std::int64_t portions_a_head() const { return sets * portions + learn; }
    std::string_view reason;              ///< phrase id
};

/// The phrase that says what a way costs; arguments n, servings, portions, learn.
[[nodiscard]] inline std::string_view cost_phrase(const Advised& way) { return way.learn > 0 ? "advise.cost.learn" : "advise.cost"; }

struct AdviceGiven {
    double d_prime{0};                    ///< that all methods are held against; "liked": 0, since taste says nothing about liking
    double discriminators{0};             ///< as the triangle counts them
    std::optional<double> share;          ///< "liked": what was asked for
    std::vector<Advised> methods;         ///< best first: those that fit before the others
    std::vector<const Method*> beyond;    ///< they would answer the question, but take more answers than are looked for
};

/// The methods that answer the question, those that fit first, then by tasters, servings and portions a head.
///
/// "How many in ten" is turned into d' once, by the triangle's curve; all are then compared at that d', never at equal shares of
/// people who can tell: a share means another difference in each method, and they would rank the wrong way round. A preference is
/// sized for the share of votes asked for, whatever people notice: all may taste the change and like both alike. One set a person keeps the answers
/// independent; with fewer people than that each takes several sets, as many as the count from which every panel finds it needs. That serves only to
/// find a difference: few enough is shown by people, and a taste that stays with its owner is not outvoted by his second vote (24 people x 3 votes
/// find 7 in ten with .39 to .77 of the .8 asked for). Fault (usage): notice_in_ten not between 0 and 10,
/// share not between 0 and 1 or a half.
[[nodiscard]] core::Result<AdviceGiven> advise(const Asked& asked);

}   // namespace oddplate::methods
