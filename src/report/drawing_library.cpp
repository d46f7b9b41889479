// One library is opened; what it needs comes with it, and is searched for names as well.
#include "drawing_library.hpp"

#include <dlfcn.h>

#include <string>

namespace oddplate::report {
namespace {

constexpr const char* k_library = "libpangocairo-1.0.so.0";   // its name for programs has been the same since Pango 1.10 (2005)

/// What is missing, or "".
std::string missing() {
    void* const library = dlopen(k_library, RTLD_NOW | RTLD_LOCAL);
    if (library == nullptr) return k_library;
    const auto find = [&](auto& function, const char* name) {
        function = reinterpret_cast<std::remove_reference_t<decltype(function)>>(dlsym(library, name));
        return function != nullptr;
    };
#define ODDPLATE_FIND(name) \
    if (!find(name, #name)) return #name;
    ODDPLATE_DRAWING_FUNCTIONS(ODDPLATE_FIND)
#undef ODDPLATE_FIND
    return {};
}

}   // namespace

core::Status open_drawing_library() {
    static const std::string s_missing = missing();
    if (s_missing.empty()) return core::Done{};
    return core::fault(core::ErrorKind::io, "drawing-library-missing",
                       "papers cannot be made: " + s_missing + " is missing; install the package libpangocairo-1.0-0");
}

}   // namespace oddplate::report
