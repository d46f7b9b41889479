#include "qr.hpp"

#include "oddplate/web/host.hpp"

#include <qrcodegen.hpp>

namespace oddplate::web {

Markup qr(const std::string& text) {
    constexpr int k_quiet = 4;   // modules of white around the code (ISO/IEC 18004)
    const auto code = qrcodegen::QrCode::encodeText(text.c_str(), qrcodegen::QrCode::Ecc::MEDIUM);
    std::string path;
    for (int y = 0; y < code.getSize(); ++y)
        for (int x = 0; x < code.getSize(); ++x)
            if (code.getModule(x, y)) path += "M" + std::to_string(x + k_quiet) + " " + std::to_string(y + k_quiet) + "h1v1h-1z";
    const std::string side = std::to_string(code.getSize() + 2 * k_quiet);
    return element("svg", {{"viewBox", "0 0 " + side + " " + side}, {"class", "qr"}, {"aria-hidden", "true"}, {"shape-rendering", "crispEdges"}}, {element("path", {{"d", path}})});
}

std::string qr_for_terminal(const std::string& link) {
    constexpr int k_quiet = 4;
    const auto code = qrcodegen::QrCode::encodeText(link.c_str(), qrcodegen::QrCode::Ecc::LOW);
    const auto dark = [&](int x, int y) { return code.getModule(x, y); };   // outside the code it is light
    std::string text;
    for (int y = -k_quiet; y < code.getSize() + k_quiet; y += 2) {
        text += "\x1b[30;107m";   // black on bright white, whatever the terminal's own colours
        for (int x = -k_quiet; x < code.getSize() + k_quiet; ++x) text += dark(x, y) ? (dark(x, y + 1) ? "█" : "▀") : (dark(x, y + 1) ? "▄" : " ");
        text += "\x1b[0m\n";
    }
    return text;
}

}   // namespace oddplate::web
