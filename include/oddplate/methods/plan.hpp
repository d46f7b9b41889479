#pragma once
// A tasting's plan as a plain value, with every default filled in. (Reading and checking the file is `tasting`'s.)

#include <map>
#include <optional>
#include <string>
#include <vector>

#include "oddplate/methods/settings.hpp"

namespace oddplate::methods {

struct Version {
    std::string id;
    std::string label;
};

enum class DecideOn { overall, any_spot, each_spot };
[[nodiscard]] std::string_view to_text(DecideOn rule);

/// One course: one method asked at some spots of the cut.
struct Round {
    std::string method;
    std::vector<std::string> spots{""};   ///< at least one; a single "" is the unnamed spot
    DecideOn decide_on{DecideOn::overall};
    bool decide_on_given{false};          ///< the plan said so itself
    double alpha{0.05};
    double power{0.8};
    bool hide_spots{false};               ///< the room does not see which spot a set is from
    int sets_per_taster{1};               ///< sets a spot, for each taster
    int blank_sets{0};                    ///< further sets a spot of two pieces of the current recipe, coded alike
    int spots_per_taster{0};              ///< how many of the spots each taster gets; 0 = all
    int stronger{1};                      ///< index of the version that the setting of that name names; filled in when the round is settled
    Settings settings;                    ///< the method's own: detect_pd, attribute, stronger, no_preference, ...

    [[nodiscard]] int passes() const { return sets_per_taster + blank_sets; }
    [[nodiscard]] int spots_each() const {
        return spots_per_taster == 0 ? static_cast<int>(spots.size()) : spots_per_taster;
    }
};

enum class SpotOrder { balanced, together };

struct Plan {
    std::string title;
    std::vector<Version> versions;        ///< [0] is the current recipe
    int tasters{0};
    int spares{0};
    double alpha{0.05};
    double power{0.8};
    std::vector<Round> rounds;
    int pieces{1};                        ///< whole pieces of meat a version
    std::optional<double> grams;          ///< a portion
    std::map<std::string, double> salt_percent;   ///< by version id
    std::vector<std::string> allergens;
    std::vector<std::string> insiders;    ///< nicknames whose answers never count
    int waves{0};                         ///< ballots a wave; 0 = all at once
    SpotOrder spot_order{SpotOrder::balanced};
    std::map<std::string, std::string> spots_at;      ///< where on the cut each spot is
    std::map<std::string, int> first_ballots;         ///< a scarce spot goes to the first N ballots
    std::string start;                    ///< "HH:MM", or empty
    bool same_recipe{false};              ///< two ids, one recipe
    bool warm{false};                     ///< served warm: the clock runs
    bool warm_up{false};                  ///< everybody eats a bite of the current recipe first, known and uncounted

    [[nodiscard]] int ballots() const { return tasters + spares; }
    [[nodiscard]] int version_index(std::string_view id) const;   ///< -1 where there is none
};

}   // namespace oddplate::methods
