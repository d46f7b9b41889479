// The tubs and cups of an evening, and the order of the kitchen's pages: cut, the evening at a glance, a page a pass, find a cup.
#include "kitchen.hpp"

#include <algorithm>
#include <cstdlib>
#include <tuple>
#include <variant>

#include "cutting.hpp"
#include "oddplate/report/lines.hpp"
#include "oddplate/tasting/state.hpp"
#include "recipe_names.hpp"

namespace oddplate::report {
namespace {

/// What stands on a recipe's tubs where the key is open.
std::vector<std::string> open_names(const Voice& voice, const methods::Plan& plan) {
    if (plan.versions.size() > 2) return recipe_names(plan);
    return {voice.say("usual"), voice.say("new")};
}

std::vector<Tub> tubs_of(const KitchenPapers& papers, const Voice& voice) {
    std::vector<Tub> tubs;
    const methods::Plan& plan = papers.room.plan;
    const std::vector<std::string> names = open_names(voice, plan);
    for (std::size_t row = 0; row < papers.key.tubs.size(); ++row) {
        for (std::size_t version = 0; version < plan.versions.size(); ++version) {
            Tub tub{.spot = papers.key.tubs[row].spot, .row = static_cast<int>(row), .version = static_cast<int>(version)};
            tub.name = papers.blind_tubs ? papers.key.tubs[row].letters[version] : names[version];
            for (int piece = 0; piece < plan.pieces; ++piece) {
                tub.piece = plan.pieces > 1 ? piece : -1;
                tubs.push_back(tub);
            }
        }
    }
    if (papers.blind_tubs) {
        std::sort(tubs.begin(), tubs.end(),
                  [](const Tub& a, const Tub& b) { return std::tie(a.row, a.name, a.piece) < std::tie(b.row, b.name, b.piece); });
    }
    return tubs;
}

/// How many portions must be left on a tray for it to ask anything.
std::size_t fewest_left(const methods::Round& round, std::size_t served) {
    const methods::AnswerShape shape = method_of(round).shape(round);
    if (std::holds_alternative<methods::OrderAll>(shape)) return 2;
    return std::holds_alternative<methods::ScoreEach>(shape) || std::holds_alternative<methods::TickEach>(shape) ? 1 : served;
}

}   // namespace

std::vector<RecipeOff> recipes_off(const tasting::State& state) {
    std::vector<RecipeOff> off;
    for (const tasting::WithdrawalMade& made : state.withdrawals)
        if (made.is_off(state.tonight())) off.push_back({state.plan.version_index(made.version), made.why});
    return off;
}

Kitchen::Kitchen(const KitchenPapers& kitchen_papers, const Voice& words)
    : papers(kitchen_papers),
      voice(words),
      tubs(tubs_of(kitchen_papers, words)),
      passes(passes_of(kitchen_papers.room.plan, kitchen_papers.room.room)),
      zones(zones_of(kitchen_papers.room.plan, words)) {}

const draw::RoomSet& Kitchen::room_set(int ballot, int set) const {
    return papers.room.room.ballots[static_cast<std::size_t>(ballot)].sets[static_cast<std::size_t>(set)];
}

std::size_t Kitchen::tub_of(const std::string& spot, int version, int piece) const {
    for (std::size_t i = 0; i < tubs.size(); ++i) {
        const bool same_piece = tubs[i].piece < 0 || tubs[i].piece == piece;
        if (tubs[i].spot == spot && tubs[i].version == version && same_piece) return i;
    }
    std::abort();   // a draw names only tubs that it has
}

std::vector<Cup> Kitchen::tray(int ballot, int set) const {
    const draw::RoomSet& shown = room_set(ballot, set);
    const draw::KeySet& hidden = papers.key.ballots[static_cast<std::size_t>(ballot)].sets[static_cast<std::size_t>(set)];
    const std::string& spot = plan().rounds[static_cast<std::size_t>(shown.round)].spots[static_cast<std::size_t>(shown.spot)];
    std::vector<Cup> cups;
    if (hidden.reference >= 0)
        cups.push_back({ballot, set, -1, voice.mark(plan().rounds[static_cast<std::size_t>(shown.round)], shown.reference), tub_of(spot, hidden.reference, hidden.reference_piece), is_off(hidden.reference)});
    for (std::size_t place = 0; place < shown.codes.size(); ++place) {
        const draw::KeyPortion& portion = hidden.portions[place];
        cups.push_back({ballot, set, static_cast<int>(place), shown.codes[place], tub_of(spot, portion.version, portion.piece), is_off(portion.version)});
    }
    const auto left = std::count_if(cups.begin(), cups.end(), [](const Cup& cup) { return cup.place >= 0 && !cup.is_off; });
    const bool asks = static_cast<std::size_t>(left) >= fewest_left(plan().rounds[static_cast<std::size_t>(shown.round)], shown.codes.size());
    if (!asks || is_off(hidden.reference))
        for (Cup& cup : cups) cup.is_off = true;
    return cups;
}

bool Kitchen::is_off(int version) const {
    return std::any_of(papers.off.begin(), papers.off.end(), [&](const RecipeOff& off) { return off.version == version; });
}

std::vector<std::string> Kitchen::off_lines() const {
    std::vector<std::string> lines;
    for (const RecipeOff& off : papers.off)
        lines.push_back(voice.say("off.kitchen", {{"name", plan().versions[static_cast<std::size_t>(off.version)].label}, {"why", off.why}}));
    return lines;
}

std::vector<Cup> Kitchen::in_fill_order(const Pass& pass) const {
    std::vector<Cup> cups;
    for (const int ballot : pass.ballots) {
        for (Cup& cup : tray(ballot, pass.set))
            if (!cup.is_off) cups.push_back(std::move(cup));
    }
    std::stable_sort(cups.begin(), cups.end(), [](const Cup& a, const Cup& b) { return a.tub < b.tub; });
    return cups;
}

std::string Kitchen::tag(const Tub& tub) const {
    if (tub.piece < 0) return tub.name;
    return voice.say("tub_piece", {{"name", tub.name}, {"n", std::to_string(tub.piece + 1)}});
}

std::string Kitchen::short_tag(const Tub& tub) const {
    constexpr std::size_t k_short = 10;   // letters that fit beside the name
    // One spot by its name and the next by its number would have to be matched; so numbers stand for all where a name is long.
    const bool all_short = std::all_of(zones.begin(), zones.end(), [](const Zone& zone) { return columns_of(zone.spot) <= k_short; });
    std::string text = tub.name;
    if (tub.piece >= 0) text = voice.say("tub_piece_short", {{"name", tub.name}, {"n", std::to_string(tub.piece + 1)}});
    if (papers.blind_tubs || zones.size() < 2) return text;
    if (all_short) return text + " " + tub.spot;
    const auto at = std::find_if(zones.begin(), zones.end(), [&](const Zone& zone) { return zone.spot == tub.spot; });
    return text + " " + voice.say("spot_nth", {{"n", std::to_string(at - zones.begin() + 1)}});
}

std::string Kitchen::place_of(const Cup& cup) const {
    if (cup.place < 0) return voice.say("place.reference");
    return voice.place(cup.place, static_cast<int>(room_set(cup.ballot, cup.set).codes.size()));
}

std::string Kitchen::spot_label(const std::string& spot) const {
    if (zones.size() < 2) return spot;
    const auto at = std::find_if(zones.begin(), zones.end(), [&](const Zone& zone) { return zone.spot == spot; });
    return std::to_string(at - zones.begin() + 1) + " " + (spot.empty() ? voice.say("map.whole_cut") : spot);
}

std::string Kitchen::spots_of(const Pass& pass, bool with_names) const {
    std::vector<std::string> taken;
    for (const int ballot : pass.ballots) {
        const draw::RoomSet& set = room_set(ballot, pass.set);
        taken.push_back(plan().rounds[static_cast<std::size_t>(set.round)].spots[static_cast<std::size_t>(set.spot)]);
    }
    std::string text;
    for (std::size_t i = 0; i < zones.size(); ++i) {
        if (std::find(taken.begin(), taken.end(), zones[i].spot) == taken.end()) continue;
        text += (text.empty() ? "" : ", ") + (with_names ? spot_label(zones[i].spot) : std::to_string(i + 1));
    }
    return text;
}

core::Result<std::string> kitchen_pdf(const KitchenPapers& papers, const core::Words& words) {
    auto canvas = Canvas::open(papers.room.name);
    if (!canvas) return canvas.faults();
    const Voice voice(words, papers.room.plan);
    const Kitchen kitchen(papers, voice);
    Sheet sheet(*canvas, kitchen);
    cutting_pages(sheet);
    glance_pages(sheet);
    const std::vector<int> spares = spares_of(kitchen);
    for (const Pass& pass : kitchen.passes) pass_pages(sheet, pass, spares);
    find_pages(sheet);
    return canvas->finish();
}

}   // namespace oddplate::report
