// The table of verbs, in the order in which a tasting meets them.

#include <algorithm>

#include "parts.hpp"

namespace oddplate::cli {

std::span<const Verb> verbs() {
    static const std::vector<Verb> k_verbs = [] {
        std::vector<Verb> all;
        for (auto group : {plan_verbs, room_verbs, mending_verbs, verdict_verbs, report_verbs, book_verbs, host_verbs, ahead_verbs, rehearsal_verbs, question_verbs})
            for (Verb& verb : group()) all.push_back(std::move(verb));
        return all;
    }();
    return k_verbs;
}

const Verb* find_verb(std::string_view name) {
    const auto all = verbs();
    const auto found = std::find_if(all.begin(), all.end(), [&](const Verb& verb) { return verb.name == name; });
    return found == all.end() ? nullptr : &*found;
}

}   // namespace oddplate::cli
