// Told from the rows of the log, one function a kind: a kind without one cannot be forgotten, since its name would be asked of the words.

#include "acts.hpp"

#include <map>
#include <optional>

#include "oddplate/core/bytes.hpp"
#include "oddplate/core/text.hpp"
#include "oddplate/draw/draw.hpp"
#include "oddplate/tasting/names.hpp"

#ifndef ODDPLATE_VERSION
#error "the build gives the version"
#endif

namespace oddplate::report {
namespace {

using core::Json;
using Arguments = std::map<std::string, core::Argument>;

/// "2026-06-14T18:30:00Z" to the minute.
std::string minute_of(const std::string& utc) { return utc.size() < 16 ? utc : utc.substr(0, 10) + " " + utc.substr(11, 5); }

/// What the words of a kind may ask for: every text and number of the row's body by its name, and lists joined.
Arguments arguments_of(const Json& body) {
    Arguments all;
    for (const auto& [key, value] : body.as_object()) {
        if (value.is_string()) all[key] = value.as_string();
        else if (value.is_bool()) all[key] = std::int64_t{value.as_bool() ? 1 : 0};
        else if (value.is_integer()) all[key] = value.as_integer();
        else if (value.is_array()) {
            std::vector<std::string> parts;
            for (const Json& part : value.as_array())
                if (part.is_string()) parts.push_back(part.as_string());
            all[key] = core::joined(parts, ", ");
        }
    }
    return all;
}

std::string said_of(const tasting::LogRow& row, const Json& body, const core::Words& words) {
    Arguments args = arguments_of(body);
    if (const Json* list = body.find("answers"); list != nullptr) args["n"] = static_cast<std::int64_t>(list->as_array().size());
    if (row.kind == tasting::kinds::drawn) {
        args["seal"] = core::printed_seal(body.at("fingerprint").as_string());
        const Json* const given = body.find("seed_given");
        args["how"] = words.text(body.find("guests") != nullptr ? "act.drawn.guests" : given != nullptr && given->is_bool() && given->as_bool() ? "act.drawn.seed" : "act.drawn.chance");
    }
    if (row.kind == tasting::kinds::follows) args["name"] = tasting::two_words(body.at("tasting").as_string());
    const bool after = row.kind == tasting::kinds::corrected && body.find("after_opening") != nullptr;
    return words.text("act." + row.kind + (after ? ".after" : ""), std::move(args));
}

/// Ballots handed out and answers taken in, one after the other.
struct Service {
    std::string from, to;
    std::int64_t handed{0};
    std::map<std::string, std::int64_t> answers{};   ///< by where they came from
};

Act service_act(const Service& service, const core::Words& words) {
    std::vector<std::string> parts;
    if (service.handed > 0) parts.push_back(words.text("act.handed", {{"n", service.handed}}));
    for (const auto& [from, n] : service.answers) parts.push_back(words.text("act.answered." + from, {{"n", n}}));
    const std::string to = minute_of(service.to), first = minute_of(service.from);
    const bool same_day = to.substr(0, 10) == first.substr(0, 10);
    return {first == to ? first : words.text("act.while", {{"from", first}, {"to", same_day ? to.substr(11) : to}}), core::joined(parts, "; ") + "."};
}

/// "phone", "desk", "csv", "keyboard"; a book from elsewhere may know other ways.
std::string source_of(const Json& body, const core::Words& words) {
    const Json* from = body.find("from");
    return from != nullptr && from->is_string() && words.has("act.answered." + from->as_string()) ? from->as_string() : "elsewhere";
}

/// Adds the row to what goes on; false where it is another kind of act.
bool goes_on(std::optional<Service>& service, const tasting::LogRow& row, const Json& body, const core::Words& words) {
    const bool late = body.find("late") != nullptr;
    if (row.kind != tasting::kinds::handed && row.kind != tasting::kinds::answered) return false;
    if (!service) service = Service{.from = row.at, .to = row.at};
    service->to = row.at;
    if (row.kind == tasting::kinds::handed) ++service->handed;
    else service->answers[late ? "late" : source_of(body, words)] += static_cast<std::int64_t>(body.at("answers").as_array().size());
    return true;
}

}   // namespace

std::vector<Act> acts_of(const VerdictPage& page, const core::Words& words) {
    std::vector<Act> acts;
    std::optional<Service> service;
    const auto end_service = [&] {
        if (service) acts.push_back(service_act(*service, words));
        service.reset();
    };
    for (const tasting::LogRow& row : page.rows) {
        const auto body = core::parse_json(row.body);
        if (!body || goes_on(service, row, *body, words)) continue;   // rows that cannot be read never became a state
        end_service();
        acts.push_back({minute_of(row.at), said_of(row, *body, words)});
    }
    end_service();
    return acts;
}

std::vector<std::string> concealment_of(const VerdictPage& page, const core::Words& words) {
    const tasting::State& state = page.state;
    std::vector<std::string> said{words.text(state.draw().sealed ? "concealed.sealed" : "concealed.book", {{"at", minute_of(state.draw().at)}})};
    if (state.early_openings.empty() && state.reveals.empty()) said.push_back(words.text("concealed.never_opened"));
    for (const std::string& why : state.early_openings) said.push_back(words.text("conduct.early", {{"why", why}}));
    for (const auto& reveal : state.reveals)
        said.push_back(words.text("conduct.revealed", {{"ballot", state.ballot_name(reveal.ballot)}, {"code", reveal.code}, {"why", reveal.why}}));
    return said;
}

std::string versions_of(const VerdictPage& page, const core::Words& words) {
    return words.text("act.versions", {{"program", std::string(ODDPLATE_VERSION)}, {"draw", std::int64_t{page.state.draw().draw_version}}, {"book", std::int64_t{page.book_format}}});
}

}   // namespace oddplate::report
