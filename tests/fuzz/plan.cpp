// Reading plans: what is taken can be written, read back and drawn, and every method can say what to expect of it.

#include "laws.hpp"
#include "oddplate/draw/draw.hpp"
#include "oddplate/methods/method.hpp"
#include "oddplate/tasting/plan_json.hpp"

using namespace oddplate;

extern "C" int LLVMFuzzerTestOneInput(const std::uint8_t* data, std::size_t size) {
    const auto plan = tasting::read_plan(fuzz::text_of(data, size), "plan.json");
    if (!fuzz::taken(plan)) return 0;
    const std::string text = core::to_canonical_text(tasting::plan_to_json(*plan));
    const auto again = tasting::read_plan(text, "again");
    fuzz::holds(again.ok(), "a plan that was written can be read");
    fuzz::holds(core::to_canonical_text(tasting::plan_to_json(*again)) == text, "reading it back gives the same plan");
    if (plan->ballots() > 200) return 0;
    const auto drawn = draw::draw(*plan, core::Bytes32{7});
    if (fuzz::taken(drawn)) fuzz::holds(drawn->room.ballots.size() == static_cast<std::size_t>(plan->ballots()), "each ballot is drawn");
    return 0;
}
