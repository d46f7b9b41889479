// A private fontconfig configuration that knows four font files and nothing else. Pango would otherwise take whatever the machine
// has, and a slip that fits on one machine would run over on the next.
#include "fonts.hpp"

#include <array>
#include <cstdlib>

namespace oddplate::report {
namespace {

struct Family {
    const char* name;
    const char* package;
    const char* folder;
    std::array<const char*, 2> files;   // regular and bold; the papers use no other
};
constexpr Family k_families[] = {
    {k_family, "fonts-b612", "/usr/share/fonts/opentype/b612", {"B612-Regular.otf", "B612-Bold.otf"}},
    {k_other_letters, "fonts-dejavu-core", "/usr/share/fonts/truetype/dejavu", {"DejaVuSans.ttf", "DejaVuSans-Bold.ttf"}}};

struct DestroyConfig {
    void operator()(FcConfig* config) const { FcConfigDestroy(config); }
};

/// The folder that stands in for the packages' own, or "".
std::string other_folder() {
    const char* folder = std::getenv("ODDPLATE_FONTS");
    return folder == nullptr ? "" : folder;
}

/// Files and not folders are added: a folder makes fontconfig look for a place to keep a cache, and complain where there is none.
bool add_family(FcConfig* config, const Family& family, const std::string& other) {
    const std::string folder = other.empty() ? family.folder : other;
    for (const char* file : family.files) {
        const std::string path = folder + "/" + file;
        if (FcConfigAppFontAddFile(config, reinterpret_cast<const FcChar8*>(path.c_str())) == FcFalse) return false;
    }
    return true;
}

core::Result<Owned<PangoFontMap>> read_fonts(const std::string& other) {
    const std::unique_ptr<FcConfig, DestroyConfig> config(FcConfigCreate());
    for (const Family& family : k_families) {
        if (add_family(config.get(), family, other)) continue;
        return core::fault(core::ErrorKind::io, "font-missing",
                           std::string("the font ") + family.name + " is missing: install the package " + family.package);
    }
    Owned<PangoFontMap> map(pango_cairo_font_map_new_for_font_type(CAIRO_FONT_TYPE_FT));
    pango_fc_font_map_set_config(PANGO_FC_FONT_MAP(map.get()), config.get());
    pango_cairo_font_map_set_resolution(PANGO_CAIRO_FONT_MAP(map.get()), 72);   // one unit is one point
    return map;
}

}   // namespace

core::Result<PangoFontMap*> open_fonts() {
    if (auto opened = open_drawing_library(); !opened) return opened.faults();
    // Read once: Cairo keeps the fonts of every map that it has seen, so a map a document would pile up. One a thread, because
    // Pango's maps must not be shared between threads.
    static thread_local Owned<PangoFontMap> s_map;
    static thread_local std::string s_folder;
    const std::string folder = other_folder();
    if (s_map == nullptr || s_folder != folder) {
        auto map = read_fonts(folder);
        if (!map) return map.faults();
        s_map = std::move(*map);
        s_folder = folder;
    }
    return s_map.get();
}

}   // namespace oddplate::report

#if defined(__SANITIZE_ADDRESS__)
// Fontconfig points to parts of its patterns by offsets, which the leak check cannot follow: what Cairo still holds at the end
// looks lost.
extern "C" const char* __lsan_default_suppressions();
extern "C" const char* __lsan_default_suppressions() {
    return "leak:libfontconfig\n";
}
#endif
