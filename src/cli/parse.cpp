// The only file that sees CLI11. It splits; what is missing, unknown or doubled is said in our own words.

#include <CLI/CLI.hpp>

#include <algorithm>
#include <list>

#include "oddplate/core/text.hpp"
#include "parts.hpp"
#include "verb.hpp"

namespace oddplate::cli {
namespace {

core::Error usage(const Verb& verb, std::string text) {
    return core::fault(core::ErrorKind::usage, "usage", std::move(text) + " (see `oddplate " + std::string(verb.name) + " --help`)");
}

struct Slot {
    std::string name;
    std::string text;
    bool given{false};
    bool takes_value{false};
    bool is_setting{false};
    CLI::Option* option{nullptr};
};

void add_slot(CLI::App& app, std::list<Slot>& slots, std::string name, bool takes_value, bool is_setting) {
    Slot& slot = slots.emplace_back();
    slot.name = std::move(name);
    slot.takes_value = takes_value;
    slot.is_setting = is_setting;
    if (takes_value) slot.option = app.add_option(slot.name, slot.text)->expected(1)->multi_option_policy(CLI::MultiOptionPolicy::TakeAll);
    else slot.option = app.add_flag(slot.name, slot.given)->multi_option_policy(CLI::MultiOptionPolicy::TakeLast);
}

/// The methods with which the verb takes this flag.
std::string methods_with(const Verb& verb, const std::string& flag) {
    std::vector<std::string> ids;
    for (const methods::Method* method : methods::all())
        for (const auto& setting : verb.settings(*method))
            if (methods::flag_name(setting.key) == flag) ids.emplace_back(method->id);
    return core::joined(ids, ", ");
}

core::Status refuse_extras(const Verb& verb, const std::vector<std::string>& extras, const std::list<Slot>& slots, const methods::Method* method) {
    if (extras.empty()) return core::Done{};
    const std::string& word = extras.front();
    if (word.size() < 2 || word[0] != '-') return usage(verb, "found \"" + core::quoted(word) + "\", expected nothing more after the arguments of " + std::string(verb.name));
    std::vector<std::string> known;
    for (const Slot& slot : slots)
        if (slot.name.starts_with("--")) known.push_back(slot.name);
    const std::string name = word.substr(0, word.find('='));
    if (const std::string others = method == nullptr ? "" : methods_with(verb, name); !others.empty())
        return usage(verb, "found the flag " + name + " with " + std::string(method->id) + ", expected one that it takes here; " + name + " goes with " + others);
    const std::string near = core::nearest(name, known);
    return usage(verb, "found the flag " + core::quoted(name) + ", expected one that `" + std::string(verb.name) + "` knows" + (near.empty() ? "" : "; did you mean " + near + "?"));
}

/// A flag that ends the line or stands right before another one has lost its value; CLI11 would take that other flag for the value.
core::Status check_values(const Verb& verb, const std::vector<std::string>& arguments, const std::list<Slot>& slots) {
    const auto slot_named = [&](const std::string& word) { return std::find_if(slots.begin(), slots.end(), [&](const Slot& slot) { return slot.name == word; }); };
    for (std::size_t i = 0; i < arguments.size() && arguments[i] != "--"; ++i) {
        const std::size_t equals = arguments[i].find('=');
        const auto slot = slot_named(arguments[i].substr(0, equals));
        if (slot != slots.end() && equals != std::string::npos) {
            if (!slot->takes_value) return usage(verb, slot->name + " takes no value");   // CLI11 would read --yes=no as given
            continue;
        }
        if (slot == slots.end() || !slot->takes_value || !slot->name.starts_with("--")) continue;
        const bool lost = i + 1 == arguments.size() || (arguments[i + 1].starts_with("--") && slot_named(arguments[i + 1]) != slots.end());
        if (lost) return usage(verb, slot->name + " stands there without its value");
        ++i;
    }
    return core::Done{};
}

core::Status check_counts(const Verb& verb, const std::list<Slot>& slots) {
    for (const Slot& slot : slots)
        if (slot.takes_value && slot.option->count() > 1) return usage(verb, slot.name + " stands there twice, expected once");
    for (const Flag& flag : verb.flags) {
        if (!flag.required) continue;
        const auto slot = std::find_if(slots.begin(), slots.end(), [&](const Slot& s) { return s.name == flag.name; });
        if (slot->option->count() == 0)
            return usage(verb, std::string(flag.name) + (flag.value.empty() || !flag.name.starts_with("--") ? "" : " " + std::string(flag.value)) + " is missing: " + std::string(flag.help));
    }
    return core::Done{};
}

/// An empty name would be the root of a path, and "" is what an unset variable of a script leaves.
core::Status refuse_empty_names(const Verb& verb, const Call& call) {
    for (const Flag& flag : verb.flags)
        if ((flag.value == "FILE" || flag.value == "FOLDER") && call.has(flag.name) && call.value(flag.name).empty())
            return core::found(std::string(flag.name), "nothing", flag.value == "FILE" ? "the name of a file" : "the name of a folder");
    return core::Done{};
}

core::Status name_method(const Verb& verb, const std::vector<std::string>& arguments, Call& call) {
    if (verb.settings == nullptr || arguments.empty() || arguments.front().starts_with('-')) return core::Done{};
    const auto method = methods::find(arguments.front());
    if (!method) return method.faults();
    call.method = *method;
    // Said before the flags are looked at: none of them would be known.
    if ((verb.name == "count" && (*method)->count == nullptr) || (verb.name == "size" && (*method)->size == nullptr))
        return not_for(**method, verb.name);
    return core::Done{};
}

}   // namespace

core::Status parse(const Verb& verb, std::vector<std::string> arguments, Call& call) {
    if (auto named = name_method(verb, arguments, call); !named) return named;
    CLI::App app;
    app.set_help_flag();
    app.allow_extras();
    std::list<Slot> slots;
    for (const Flag& flag : verb.flags) add_slot(app, slots, std::string(flag.name), !flag.value.empty() || !flag.name.starts_with("--"), false);
    if (verb.uses_book) add_slot(app, slots, "--book", true, false);
    if (verb.answers) add_slot(app, slots, "--json", false, false);
    if (call.method != nullptr)
        for (const auto& setting : verb.settings(*call.method))
            add_slot(app, slots, methods::flag_name(setting.key), setting.kind != methods::Kind::flag, true);
    if (auto whole = check_values(verb, arguments, slots); !whole) return whole;
    std::reverse(arguments.begin(), arguments.end());   // CLI11 takes them from the back
    try {
        app.parse(arguments);
    } catch (const CLI::ParseError&) {
        return usage(verb, "these arguments could not be read");
    }
    if (auto none = refuse_extras(verb, app.remaining(), slots, call.method); !none) return none;
    if (auto counted = check_counts(verb, slots); !counted) return counted;
    for (const Slot& slot : slots) {
        if (slot.option->count() == 0) continue;
        if (slot.is_setting) call.settings[slot.name] = slot.takes_value ? slot.option->results().front() : "true";
        else if (slot.takes_value) call.values[slot.name] = slot.option->results().front();
        else call.given.insert(slot.name);
    }
    return refuse_empty_names(verb, call);
}

}   // namespace oddplate::cli
