#pragma once
// The draw: from a seed and a plan to what lies on each tray. A pure function of the two; designs/notes/draw.md tells it exactly enough to
// be rebuilt in another language. What the room may see and what only the key holds are two values from the start.

#include <optional>
#include <string>
#include <vector>

#include "oddplate/core/bytes.hpp"
#include "oddplate/core/result.hpp"
#include "oddplate/methods/plan.hpp"
#include "oddplate/stats/blocks.hpp"

namespace oddplate::draw {

/// Raised whenever the same seed and plan would give another draw.
inline constexpr int k_draw_version = 4;
/// Whether that version of the draw gave this plan what this one gives: they differ in trays of some of the recipes, and in several sittings, alone.
[[nodiscard]] bool draws_alike(int version, const methods::Plan& plan);

// ---- the room's side
struct RoomSet {
    int round{0};                        ///< index into the plan's rounds
    int spot{0};                         ///< index into the round's spots
    std::vector<std::string> codes;      ///< in serving order
    std::string reference;               ///< mark of the reference portion, empty where there is none
    friend bool operator==(const RoomSet&, const RoomSet&) = default;
};
struct RoomBallot {
    bool spare{false};
    std::vector<RoomSet> sets;           ///< in the order served, through all rounds
    friend bool operator==(const RoomBallot&, const RoomBallot&) = default;
};
struct Room {
    std::vector<RoomBallot> ballots;     ///< [0] is ballot 1
    friend bool operator==(const Room&, const Room&) = default;
};

// ---- the key's side, place by place beside the room's
struct KeyPortion {
    int version{0};
    int piece{0};                        ///< 0-based, of that version
    int role{-1};                        ///< in a blank set: the version that it stands in for; else -1

    [[nodiscard]] int stands_for() const { return role < 0 ? version : role; }
    friend bool operator==(const KeyPortion&, const KeyPortion&) = default;
};
struct KeySet {
    int order{0};                        ///< index into the method's orders
    std::vector<KeyPortion> portions;    ///< in serving order
    int reference{-1};                   ///< version of the reference portion
    int reference_piece{0};
    int reference_role{-1};              ///< as a portion's

    /// Two pieces of one recipe instead of two recipes.
    [[nodiscard]] bool is_blank() const { return !portions.empty() && portions.front().role >= 0; }
    [[nodiscard]] int reference_stands_for() const { return reference_role < 0 ? reference : reference_role; }
    friend bool operator==(const KeySet&, const KeySet&) = default;
};
struct KeyBallot {
    std::vector<KeySet> sets;
    friend bool operator==(const KeyBallot&, const KeyBallot&) = default;
};
/// A row of tubs is one spot of one name; `letters[v]` is on the tub with version v. No letter stands in two rows.
struct TubRow {
    std::string spot;
    std::vector<std::string> letters;
    friend bool operator==(const TubRow&, const TubRow&) = default;
};
struct Key {
    std::vector<KeyBallot> ballots;
    std::vector<TubRow> tubs;
    friend bool operator==(const Key&, const Key&) = default;
};

/// How evenly one balance came out over all ballots; `spread` is the largest count less the smallest.
struct Spread {
    std::string balance;                 ///< "orders", "spot_positions", "orders_by_position", "odd_within_taster", "carry_over"
    int spread{0};
    int least{0};                        ///< the counts can't lie closer: 1 where their sum can't be dealt evenly
};

struct Drawn {
    Room room;
    Key key;
    std::vector<Spread> spreads;
    std::optional<stats::DesignReport> trays;   ///< where trays hold some of the recipes: how well those of planned ballots compare them, at the worst spot
    std::optional<double> beside_usual;  ///< where the usual recipe lies on every tray: how well those of planned ballots compare the others with it (stats::first_efficiency), at the worst spot
    std::optional<int> balanced_at;      ///< of either: with so many planned ballots, or a multiple, no trays would compare them better; nothing where that isn't known
    int codes_dealt_again{0};            ///< portions whose code another ballot has too (0 while the codes last)
};

/// Fault (bad_value, place "/rounds"): more codes on one ballot than can be two digits apart.
[[nodiscard]] core::Result<Drawn> draw(const methods::Plan& plan, const core::Bytes32& seed);

/// Letters that go on tubs.
inline constexpr std::string_view k_tub_letters = "ADHJKLTXY";

/// The codes that may be dealt, ascending: 100-999 without three equal digits, runs of three up or down, codes that read as another valid code upside
/// down, and the list of codes that mean something (designs/notes/codes.md).
[[nodiscard]] const std::vector<int>& usable_codes();

/// The most codes that one ballot can hold so that any two differ in two digits or more.
[[nodiscard]] int most_codes_on_a_ballot();

}   // namespace oddplate::draw
