#include "leads.hpp"

namespace oddplate::methods::leads {

std::string_view verdict_of(bool differ, std::size_t leading, std::size_t compared) {
    if (!differ || leading == 0 || leading >= compared) return k_none;
    return leading == 1 ? k_one : k_some;
}

core::Argument names_of(std::span<const std::string> names) {
    std::string all;
    for (std::size_t i = 0; i < names.size(); ++i) {
        if (i > 0) all += i + 1 == names.size() ? " and " : ", ";
        all += names[i];
    }
    return all;
}

}   // namespace oddplate::methods::leads
