// The kitchen's passes without a page to draw on.

#include "oddplate/report/kitchen_list.hpp"

#include <algorithm>

#include "kitchen.hpp"

namespace oddplate::report {
namespace {

std::string when_of(const Kitchen& kitchen, const Pass& pass) {
    if (pass.late) return kitchen.voice.say("late_pass");
    const auto at = [&](int minutes) { return kitchen.voice.time(kitchen.plan(), minutes); };
    return kitchen.voice.say("pass_times", {{"cut", at(pass.times.cut)}, {"fill", at(pass.times.fill)}, {"trays", at(pass.times.trays)}, {"serve", at(pass.times.serve)}, {"clear", at(pass.times.clear)}});
}

std::string title_of(const Kitchen& kitchen, const Pass& pass) {
    const Arguments ballots{{"first", kitchen.plan().ballot_name(pass.ballots.front())}, {"last", kitchen.plan().ballot_name(pass.ballots.back())}};
    return kitchen.voice.say(pass.late ? "late_pass_title" : "pass_title", {{"n", std::to_string(pass.number)}, {"of", std::to_string(kitchen.passes.size())}}) + " · " +
           kitchen.voice.say(pass.ballots.size() == 1 ? "one_ballot" : "ballots", ballots) + " · " + kitchen.voice.say("tray_only", {{"tray", std::to_string(pass.set + 1)}});
}

std::vector<FillRow> fill_of(const Kitchen& kitchen, const Pass& pass) {
    std::vector<FillRow> rows;
    std::size_t tub = kitchen.tubs.size();
    for (const Cup& cup : kitchen.in_fill_order(pass)) {
        if (rows.empty() || cup.tub != tub) {
            tub = cup.tub;
            const std::string name = kitchen.tag(kitchen.tubs[tub]);
            rows.push_back({.tub = kitchen.papers.blind_tubs ? kitchen.voice.say("tub", {{"name", name}}) : name, .spot = kitchen.spot_label(kitchen.tubs[tub].spot), .codes = {}});
        }
        rows.back().codes.push_back(cup.code);
    }
    return rows;
}

}   // namespace

KitchenList kitchen_list(const KitchenPapers& papers, const core::Words& words) {
    const Voice voice(words, papers.room.plan);
    const Kitchen kitchen(papers, voice);
    KitchenList list{.face = voice.say("not_for_the_room"), .safety = voice.say(papers.room.plan.warm ? "hot_line" : "cold_line"), .off = kitchen.off_lines(), .passes = {}};
    for (const Pass& pass : kitchen.passes) {
        PassList one{.title = title_of(kitchen, pass), .when = when_of(kitchen, pass), .fill = fill_of(kitchen, pass), .trays = {}};
        for (const int ballot : pass.ballots) {
            TrayRow row{.ballot = papers.room.plan.ballot_name(ballot), .codes = {}};
            for (const Cup& cup : kitchen.tray(ballot, pass.set)) row.codes.push_back(cup.is_off ? "–" : cup.code);
            one.trays.push_back(std::move(row));
        }
        list.passes.push_back(std::move(one));
    }
    return list;
}

}   // namespace oddplate::report
