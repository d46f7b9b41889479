// The few questions a plan answers about itself.

#include "oddplate/methods/plan.hpp"

namespace oddplate::methods {

std::string_view to_text(DecideOn rule) {
    switch (rule) {
        case DecideOn::overall:
            return "overall";
        case DecideOn::any_spot:
            return "any-spot";
        case DecideOn::each_spot:
            return "each-spot";
    }
    return {};
}

int Plan::version_index(std::string_view id) const {
    for (std::size_t i = 0; i < versions.size(); ++i)
        if (versions[i].id == id) return static_cast<int>(i);
    return -1;
}

}   // namespace oddplate::methods
