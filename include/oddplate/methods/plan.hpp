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

/// Each look that a plan names takes a tenth of alpha, and the end has what is left. By Boole's inequality the chance of a wrong finding at any of
/// them then stays at most alpha, whatever the method, the panels' sizes and the dependence between looks (common practice: a strict level for looks,
/// nearly all of alpha for the end; a boundary that knew the method could give the end a little more).
inline constexpr double k_look_share = 0.1;

/// One of several evenings over which one draw is served.
struct Evening {
    std::string date;                     ///< as it stands on the papers, or empty
    int tasters{0};
    std::string lot;                      ///< which lot of meat was served, or empty

    friend bool operator==(const Evening&, const Evening&) = default;
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
    int sittings{1};                      ///< over how many sittings of one person all recipes are spread, one tray each; filled in when the round is settled
    std::vector<std::string> reasons;     ///< beginnings of words, lower case, that are counted in what people write; empty: every word that enough people write
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

    std::vector<Evening> evenings;        ///< empty: one evening. `tasters` is their sum, `spares` are dealt among them
    std::vector<int> looks;               ///< after which evenings, from 1, the tasting may be ended by its result
    std::vector<int> withdrawn;           ///< in the plan that a verdict is reached by: recipes that ran out; they are told, and lead nothing
    int evening{0};                       ///< in the part of a plan that one evening sees: which one, from 1. Else 0

    [[nodiscard]] int ballots() const { return tasters + spares; }
    /// The name that prints: "7", and where there are several evenings "2-07". `ballot` is 0-based.
    [[nodiscard]] std::string ballot_name(int ballot) const;
    /// 0-based ballot of a name, or -1.
    [[nodiscard]] int ballot_of(std::string_view name) const;
    /// Which evening, from 0, a 0-based ballot is dealt at; 0 where there is only one.
    [[nodiscard]] int evening_at(int ballot) const;
    /// The 0-based ballots of an evening, from 0, in the order dealt: those planned, then its spares.
    [[nodiscard]] std::vector<int> ballots_at(int evening) const;
    [[nodiscard]] int spares_at(int evening) const;
    /// Whole pieces of meat a version over all evenings: those of another lot are others.
    [[nodiscard]] int whole_pieces() const { return pieces * lots(); }
    [[nodiscard]] int lots() const;
    /// The share of alpha that looks leave to the end.
    [[nodiscard]] double alpha_left() const { return 1 - k_look_share * static_cast<double>(looks.size()); }
    /// Which lot, from 0, an evening serves: evenings that name the same lot share it, those that name none have one of their own.
    [[nodiscard]] int lot_at(int evening) const;
    [[nodiscard]] int version_index(std::string_view id) const;   ///< -1 where there is none
};

}   // namespace oddplate::methods
