// The local page.

#include <unistd.h>

#include "oddplate/web/host.hpp"
#include "parts.hpp"

namespace oddplate::cli {
namespace {

void say_where(Call& call, const web::Opened& where, const web::HostOptions& options) {
    if (call.json()) {
        core::Json out = core::Json::object(), links = core::Json::object(), others = core::Json::array();
        for (const auto& link : where.links) links.set(link.role, link.url);
        for (const std::string& other : where.others) others.push(other);
        call.print(out.set("address", where.address).set("answers", where.answers).set("others", std::move(others)).set("links", std::move(links)));
        return call.flush();
    }
    const auto say = [&](const std::string& id, std::map<std::string, core::Argument> args = {}) { call.say(call.words.text("web.host." + id, std::move(args))); };
    say("at", {{"address", where.address}});
    for (const auto& link : where.links) say("link." + link.role, {{"link", link.url}});
    for (const std::string& other : where.others) say("also", {{"address", other}});
    if (!where.answers) say("silent", {{"address", where.address}});
    say(options.bind == "127.0.0.1" ? "alone" : "open");
    call.flush();
}

/// --test: one minute for a guest's phone. Off a terminal no picture is printed.
core::Result<ExitCode> test_phones(Call& call, web::HostOptions options) {
    constexpr int k_seconds = 60;
    if (!call.has("--bind")) options.bind = "0.0.0.0";
    const auto say = [&](const std::string& id, std::map<std::string, core::Argument> args = {}) { call.say(call.words.text("web.test." + id, std::move(args))); };
    const auto test = web::wait_for_a_phone(options, call.words, k_seconds, [&](const web::PhoneTest& waiting) {
        if (call.json()) {
            call.tell(waiting.link);
            return;
        }
        if (isatty(STDOUT_FILENO) != 0) call.say(web::qr_for_terminal(waiting.link));
        say("open", {{"link", waiting.link}});
        for (const std::string& other : waiting.others) say("also", {{"link", other}});
        if (!waiting.answers) say("silent");
        call.flush();
    });
    if (!test) return test.faults();
    const bool came = !test->from.empty();
    if (call.json()) {
        core::Json out = core::Json::object();
        out.set("link", test->link).set("answers", test->answers).set("reached", came).set("seconds", test->seconds);
        call.print(out);
    } else {
        say(came ? "came" : "nobody", {{"from", test->from}, {"seconds", test->seconds}});
    }
    return came ? 0 : 1;
}

core::Result<ExitCode> host(Call& call) {
    const auto port = whole_flag_or(call, "--port", web::HostOptions{}.port, 0, 65535);
    if (!port) return port.faults();
    web::HostOptions options;
    options.port = static_cast<int>(*port);
    if (call.has("--bind")) options.bind = call.value("--bind");
    if (auto good = web::check(options); !good) return good.faults();
    if (call.has("--test")) return test_phones(call, options);
    const auto writing = call.open_book(true);
    if (!writing) return writing.faults();
    const auto reading = call.open_again();
    if (!reading) return reading.faults();
    const auto slow = call.open_again();
    if (!slow) return slow.faults();
    const auto served = web::host({.reading = **reading, .writing = **writing, .slow = **slow}, call.clock, call.words, options,
                                  [&](const web::Opened& where) { say_where(call, where, options); });
    if (!served) return served.faults();
    return 0;
}

}   // namespace

std::vector<Verb> host_verbs() {
    return {
        {.name = "host",
         .summary = "the local page: plan, phones, desk, board, verdict; runs until it is stopped",
         .flags = {{"--port", "N", "the port to listen at (default 8642; 0 takes a free one)", false},
                   {"--bind", "ADDRESS", "an IPv4 address of this machine, 0.0.0.0 for all: opens the page to the local network (default 127.0.0.1: this machine alone)", false},
                   {"--test", "", "the day before: waits a minute for a guest's phone and says whether it reached this machine", false}},
         .run = host,
         .examples = {"oddplate host", "oddplate host --bind 0.0.0.0 --port 8642"},
         .uses_book = true},
    };
}

}   // namespace oddplate::cli
