#pragma once
// The fonts of all papers: the same files on every machine, so that a page breaks its lines in the same places everywhere.

#include <memory>
#include <string>

#include "drawing_library.hpp"
#include "oddplate/core/result.hpp"

namespace oddplate::report {

/// Frees what the GLib world hands out.
struct Unref {
    void operator()(gpointer object) const { g_object_unref(object); }
};
template <class T>
using Owned = std::unique_ptr<T, Unref>;

/// The family of all text and digits: made for reading under bad light, with an open 6 and 9 and a flag on its 1.
inline constexpr const char* k_family = "B612";
/// Stands in for letters that the first family lacks (Greek, Cyrillic, ...).
inline constexpr const char* k_other_letters = "DejaVu Sans";

/// A map of the papers' fonts alone: neither the user's fonts nor the machine's settings are looked at. The folders are those of
/// Debian's fonts-b612 and fonts-dejavu-core; the variable ODDPLATE_FONTS names one folder to take in their place.
/// Read at the thread's first call and kept till the thread ends. Fault: the libraries or a family are not there (io; names the package).
[[nodiscard]] core::Result<PangoFontMap*> open_fonts();

}   // namespace oddplate::report
