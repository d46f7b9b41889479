// A private fontconfig configuration that knows four font files and nothing else. Pango would otherwise take whatever the machine
// has, and a slip that fits on one machine would run over on the next.
#include "fonts.hpp"

#include <fontconfig/fontconfig.h>
#include <pango/pangocairo.h>
#include <pango/pangofc-fontmap.h>

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

/// Files and not folders are added: a folder makes fontconfig look for a place to keep a cache, and complain where there is none.
bool add_family(FcConfig* config, const Family& family) {
    const char* other = std::getenv("ODDPLATE_FONTS");
    const std::string folder = other != nullptr && *other != '\0' ? other : family.folder;
    for (const char* file : family.files) {
        const std::string path = folder + "/" + file;
        if (FcConfigAppFontAddFile(config, reinterpret_cast<const FcChar8*>(path.c_str())) == FcFalse) return false;
    }
    return true;
}

}   // namespace

core::Result<Owned<PangoFontMap>> open_fonts() {
    const std::unique_ptr<FcConfig, DestroyConfig> config(FcConfigCreate());
    for (const Family& family : k_families) {
        if (add_family(config.get(), family)) continue;
        return core::fault(core::ErrorKind::io, "font-missing",
                           std::string("the font ") + family.name + " is missing: install the package " + family.package);
    }
    Owned<PangoFontMap> map(pango_cairo_font_map_new_for_font_type(CAIRO_FONT_TYPE_FT));
    pango_fc_font_map_set_config(PANGO_FC_FONT_MAP(map.get()), config.get());
    pango_cairo_font_map_set_resolution(PANGO_CAIRO_FONT_MAP(map.get()), 72);   // one unit is one point
    return map;
}

}   // namespace oddplate::report
