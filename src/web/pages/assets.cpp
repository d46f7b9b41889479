// The style sheet, the script and the mark, as they were built in.

#include "house.hpp"

namespace oddplate::embedded {
extern const std::string_view page_css;
extern const std::string_view mark_svg;
extern const std::string_view page_js;
}   // namespace oddplate::embedded

namespace oddplate::web {
namespace {

void send_asset(const Send& send, const char* type, std::string_view bytes) {
    send({.status = 200, .type = type, .body = std::string(bytes), .headers = {{"Cache-Control", "max-age=300"}}});
}

void css(House&, const Visit&, const Send& send) { send_asset(send, "text/css; charset=utf-8", embedded::page_css); }
void script(House&, const Visit&, const Send& send) { send_asset(send, "text/javascript; charset=utf-8", embedded::page_js); }
void mark(House&, const Visit&, const Send& send) { send_asset(send, "image/svg+xml", embedded::mark_svg); }

constexpr Route k_routes[] = {{"GET", "/page.css", Role::nobody, css}, {"GET", "/page.js", Role::nobody, script}, {"GET", "/mark.svg", Role::nobody, mark}};

}   // namespace

std::span<const Route> asset_routes() { return k_routes; }

}   // namespace oddplate::web
