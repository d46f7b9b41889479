// Help is made from the table of verbs.

#include <algorithm>

#include "oddplate/core/text.hpp"
#include "verb.hpp"

namespace oddplate::cli {
namespace {

std::string row(std::string left, std::string_view right, std::size_t width) {
    left.resize(std::max(left.size() + 2, width), ' ');
    return "  " + left + std::string(right) + "\n";
}

/// What a setting takes; where the end of its range makes no sense, up to where it does.
std::string range_of(methods::Setting setting) {
    setting.hi = std::min(setting.hi, setting.sense_below);
    return methods::expectation(setting);
}

std::string usage_line(const Verb& verb) {
    std::string line = "oddplate " + std::string(verb.name);
    for (const Flag& flag : verb.flags) {
        const std::string shown = std::string(flag.name) + (flag.value.empty() || !flag.name.starts_with("--") ? "" : " " + std::string(flag.value));
        line += flag.required ? " " + shown : " [" + shown + "]";
    }
    return line;
}

/// Flags that make a whole command of a method's settings: the first key that it has, with what belongs to it.
constexpr std::pair<std::string_view, std::string_view> k_samples[] = {
    {"correct", "--correct 13 --of 24"},
    {"hits", "--hits 15 --signals 20 --false-alarms 6 --noises 20"},
    {"for_new", "--for-new 18 --for-current 9"},
    {"share", "--share 0.65"},
    {"detect_score", "--detect-score 1.5 --spread 2.5"},
    {"detect_pd", "--detect-pd 0.4"},
    {"detect_d", "--detect-d 1"},
    {"better", "--better 0.7 --worse 0.4"},
    {"high", "--high 0.6 --low 0.3"}};

/// The verb's examples, asked of the method that was named.
std::vector<std::string> examples_of(const Verb& verb, const methods::Method* method) {
    if (method == nullptr) return {verb.examples.begin(), verb.examples.end()};
    const std::string begin = "oddplate " + std::string(verb.name) + " " + std::string(method->id);
    std::string flags;
    for (const Flag& flag : verb.flags)
        if (flag.required && flag.name.starts_with("--")) flags += " " + std::string(flag.name) + (flag.name == "--d" ? " 1" : " answers.csv");
    const auto settings = verb.settings(*method);
    for (const auto& [key, sample] : k_samples) {
        const bool has = std::any_of(settings.begin(), settings.end(), [&key = key](const methods::Setting& each) { return each.key == key; });
        if (!has || !flags.empty()) continue;
        flags = " " + std::string(sample);
        if (std::any_of(settings.begin(), settings.end(), [](const methods::Setting& each) { return each.key == "samples" && each.required; })) flags += " --samples 4";
    }
    if (flags.empty()) return {"oddplate weigh " + std::string(method->id) + " --csv answers.csv", "oddplate methods"};
    return {begin + flags, begin + flags + " --json"};
}

/// The head of a table that `weigh` takes, with two answers.
std::string table_lines(const methods::Method* method) {
    const methods::Method& shown = method != nullptr ? *method : **methods::find("triangle");
    if (shown.weigh_sample.empty()) return {};
    std::string out = "\nA table for " + std::string(shown.id) + " begins like this";
    for (const methods::Column& column : shown.weigh_columns)
        if (!column.required) out += " (" + std::string(column.name) + " may be left out)";
    out += ":\n";
    for (const std::string& line : core::split(std::string(shown.weigh_sample), '\n')) out += "  " + line + "\n";
    for (const methods::Column& column : shown.weigh_columns)
        if (!column.help.empty()) out += row("column " + std::string(column.name), column.help, 24);
    return out;
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
                       std::string(setting.help) + (setting.kind == methods::Kind::flag ? "" : " (" + range_of(setting) + ")") + (setting.required ? "; needed" : ""), 24);
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
    if (verb.name == "weigh") out += table_lines(method);
    out += "\nExamples:\n";
    for (const std::string& example : examples_of(verb, method)) out += "  " + example + "\n";
    return out;
}

}   // namespace oddplate::cli
