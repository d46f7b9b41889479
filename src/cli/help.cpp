// Help is made from the table of verbs.

#include <algorithm>

#include "verb.hpp"

namespace oddplate::cli {
namespace {

std::string row(std::string left, std::string_view right, std::size_t width) {
    left.resize(std::max(left.size() + 2, width), ' ');
    return "  " + left + std::string(right) + "\n";
}

std::string usage_line(const Verb& verb) {
    std::string line = "oddplate " + std::string(verb.name);
    for (const Flag& flag : verb.flags) {
        const std::string shown = std::string(flag.name) + (flag.value.empty() || !flag.name.starts_with("--") ? "" : " " + std::string(flag.value));
        line += flag.required ? " " + shown : " [" + shown + "]";
    }
    return line;
}

}   // namespace

std::string help_text() {
    std::string out =
        "oddplate - blind tastings for cooks: plan, draw, print, serve, enter, close, read the verdict\n\n"
        "A tasting:  oddplate new PLAN.json -> draw ID -> print ID --into DIR -> enter ID -> close ID -> judge ID\n\n";
    for (const Verb& verb : verbs()) out += row(std::string(verb.name), verb.summary, 12);
    out += "\n`oddplate COMMAND --help` tells more, with examples. `oddplate demo --into DIR` shows a whole evening.\n"
           "Follow your local food code. This is a tasting aid, not food-safety advice.\n";
    return out;
}

std::string help_text(const Verb& verb, const methods::Method* method) {
    std::string out = std::string(verb.summary) + "\n\n  " + usage_line(verb) + "\n\n";
    for (const Flag& flag : verb.flags) {
        const bool with_value = flag.name.starts_with("--") && !flag.value.empty();
        out += row(std::string(flag.name) + (with_value ? " " + std::string(flag.value) : ""), flag.help, 24);
    }
    if (method != nullptr) {
        for (const auto& setting : verb.settings(*method))
            out += row(methods::flag_name(setting.key) + (setting.kind == methods::Kind::flag ? "" : " ..."),
                       std::string(setting.help) + (setting.kind == methods::Kind::flag ? "" : " (" + methods::expectation(setting) + ")") + (setting.required ? "; needed" : ""), 24);
    } else if (verb.settings != nullptr) {
        out += "  further flags are the method's: `oddplate " + std::string(verb.name) + " triangle --help`\n  methods: ";
        bool first = true;
        for (const methods::Method* each : methods::all()) {
            out += (first ? "" : ", ") + std::string(each->id);
            first = false;
        }
        out += "\n";
    }
    if (verb.uses_book) out += row("--book FILE", "the book (default: in your data folder)", 24);
    if (verb.answers) out += row("--json", "the answer as JSON", 24);
    out += "\nExamples:\n";
    for (const auto example : verb.examples) out += "  " + std::string(example) + "\n";
    return out;
}

}   // namespace oddplate::cli
