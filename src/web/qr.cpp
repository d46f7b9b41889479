#include "qr.hpp"

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

}   // namespace oddplate::web
