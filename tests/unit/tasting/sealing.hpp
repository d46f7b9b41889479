#pragma once
// A tasting in a book in memory, planned and ready to be drawn.

#include <catch2/catch.hpp>
#include <string>

#include "memory_book.hpp"
#include "oddplate/tasting/keeper.hpp"
#include "oddplate/tasting/plan_json.hpp"

namespace oddplate::tasting::testing {

inline const SealWords k_seal{"abacus", "lantern", "orchard", "violin", "zoology"};
inline const SealWords k_other_words{"abacus", "lantern", "orchard", "violin", "zodiac"};

/// "" for success, else the stable code of the first fault.
template <class T>
std::string code_of(const core::Result<T>& result) {
    return result.ok() ? "" : result.faults().front().code;
}

/// The answer of a call that must succeed.
template <class T>
T good(core::Result<T> result) {
    if (!result) FAIL(result.faults().front().line());
    return std::move(*result);
}

struct Kitchen {
    MemoryBook book;
    TickingClock clock;
    Keeper keeper{book, clock};

    std::string planned(int tasters = 6) {
        const std::string text =
            R"({"title":"Made up","versions":[{"id":"usual","label":"usual"},{"id":"new","label":"new"}],"tasters":)" +
            std::to_string(tasters) + R"(,"rounds":[{"method":"triangle","spots":["edge","centre"]}]})";
        return good(keeper.plan(good(read_plan(text, "plan.json"))));
    }
    std::string sealed() {
        const std::string id = planned();
        good(keeper.draw(id, {.seal = k_seal}));
        return id;
    }
    State state(const std::string& id) { return good(keeper.load(id)); }
    std::vector<std::string> kinds_of(const std::string& id) {
        std::vector<std::string> kinds;
        for (const auto& row : good(book.rows(id, 0))) kinds.push_back(row.kind);
        return kinds;
    }
};

}   // namespace oddplate::tasting::testing
