#pragma once
// The kitchen's side: tubs, cups and the sheets they stand on. In blind mode a tub is its letter and nothing else.

#include <string>
#include <vector>

#include "canvas.hpp"
#include "furniture.hpp"
#include "timetable.hpp"
#include "oddplate/report/voice.hpp"
#include "zones.hpp"

namespace oddplate::report {

/// What portions are taken from: one spot of one recipe, of one piece.
struct Tub {
    std::string name{};   ///< "K", "USUAL" or, of several recipes, what the cook calls it
    std::string spot{};   ///< as the plan names it; may be empty
    int row{0};           ///< index into the key's tub rows
    int version{0};
    int piece{-1};   ///< from 0; -1 where there is one piece only
};

struct Cup {
    int ballot{0}, set{0}, place{0};   ///< from 0; a reference has place -1
    std::string code;                  ///< or the reference's mark
    std::size_t tub{0};                ///< index into Kitchen::tubs
    bool is_off{false};                ///< not filled: its recipe ran out, or what is left of its tray asks nothing
};

/// The key as the kitchen works with it.
struct Kitchen {
    const KitchenPapers& papers;
    const Voice& voice;
    std::vector<Tub> tubs;   ///< row by row; within a row by name in blind mode, so that their order tells nothing
    std::vector<Pass> passes;
    std::vector<Zone> zones;   ///< numbered from 1 on all pages

    Kitchen(const KitchenPapers& kitchen_papers, const Voice& words);

    [[nodiscard]] const methods::Plan& plan() const { return papers.room.plan; }
    [[nodiscard]] const draw::RoomSet& room_set(int ballot, int set) const;
    /// The cups of one tray from left to right, a reference first.
    [[nodiscard]] std::vector<Cup> tray(int ballot, int set) const;
    /// The cups of a pass in the order of filling: tub by tub, then by ballot and place; those that are off left out.
    [[nodiscard]] std::vector<Cup> in_fill_order(const Pass& pass) const;
    [[nodiscard]] bool is_off(int version) const;
    /// A sentence for each recipe that is off.
    [[nodiscard]] std::vector<std::string> off_lines() const;
    /// "K", "NEW", "NEW piece 2".
    [[nodiscard]] std::string tag(const Tub& tub) const;
    /// Short, for finding the tub: "K", "K p2", "NEW p2 edge" (where a spot's name is long, all go by number: "NEW p2 spot 3").
    [[nodiscard]] std::string short_tag(const Tub& tub) const;
    [[nodiscard]] std::string place_of(const Cup& cup) const;
    /// The spots that a pass takes from, in the plan's order, with their numbers on the cutting map: "1 edge, 2 centre". Without
    /// names: "1, 2". Empty where there is the unnamed spot only.
    [[nodiscard]] std::string spots_of(const Pass& pass, bool with_names) const;
    /// "1 edge": the spot with its number on the cutting map; the name alone where there is one spot.
    [[nodiscard]] std::string spot_label(const std::string& spot) const;

private:
    [[nodiscard]] std::size_t tub_of(const std::string& spot, int version, int piece) const;
};

/// A landscape sheet of the kitchen that begins its next page by itself.
class Sheet {
public:
    Sheet(Canvas& canvas, const Kitchen& kitchen) : m_canvas(canvas), m_kitchen(kitchen) {}

    /// A new page under this title ("PASS 3 of 8"), shown large; follow-up pages repeat it.
    void open(const std::string& title);
    /// Goes on to a further page unless `height` mm are left. True where it did.
    bool keep(double height);
    void heading(const std::string& text, const std::string& note);

    /// The type in which the longest of the tubs' short tags just fits: 12 points or fewer, one size for all.
    [[nodiscard]] Type tag_type(Weight weight, double width);

    [[nodiscard]] Canvas& canvas() { return m_canvas; }
    [[nodiscard]] const Kitchen& kitchen() const { return m_kitchen; }
    [[nodiscard]] const Voice& voice() const { return m_kitchen.voice; }
    [[nodiscard]] double left() const { return 15; }
    [[nodiscard]] double right() const { return m_canvas.size().width - 15; }
    [[nodiscard]] double width() const { return right() - left(); }
    [[nodiscard]] double bottom() const { return m_canvas.size().height - 19; }
    [[nodiscard]] double left_over() const { return bottom() - y; }

    double y{0};

private:
    void face(bool follows);

    Canvas& m_canvas;
    const Kitchen& m_kitchen;
    std::string m_title;
    int m_page{0};
};

inline constexpr double k_pass_box = 8, k_pass_row = 10.2;   // mm; ticked with wet hands

void cutting_pages(Sheet& sheet);                  // kitchen_map.cpp
void glance_pages(Sheet& sheet);                   // kitchen_glance.cpp
/// `spares`: loose bites a tub, in the order of Kitchen::tubs.
void pass_pages(Sheet& sheet, const Pass& pass, const std::vector<int>& spares);   // kitchen_pass.cpp
void fill_list(Sheet& sheet, const Pass& pass);    // kitchen_fill.cpp
void find_pages(Sheet& sheet);                     // kitchen_find.cpp

}   // namespace oddplate::report
