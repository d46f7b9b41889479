// The door: every request passes the same checks in the same order, whichever page it is for.

#include "house.hpp"

#include <algorithm>

#include "oddplate/core/languages.hpp"
#include "oddplate/core/text.hpp"
#include "oddplate/report/plan_words.hpp"

namespace oddplate::web {
namespace {

constexpr int k_most_guesses = 20;                       // wrong links an address may try in a minute
constexpr std::size_t k_most_guessers = 10'000;          // addresses that are remembered
constexpr auto k_guess_window = std::chrono::minutes(1);

/// Referrer-Policy is same-origin and not no-referrer: under the latter a browser sends `Origin: null` with a form, and a page of ours could not be told
/// from a stranger's. Nothing is ever sent to another origin either way.
void guard(Reply& reply) {
    for (const auto& [name, value] : std::initializer_list<std::pair<const char*, const char*>>{
             {"Content-Security-Policy", "default-src 'none'; style-src 'self'; script-src 'self'; connect-src 'self'; img-src 'self'; form-action 'self'; base-uri 'none'; frame-ancestors 'none'"},
             {"X-Content-Type-Options", "nosniff"},
             {"Referrer-Policy", "same-origin"},
             {"Cross-Origin-Opener-Policy", "same-origin"},
             {"Cross-Origin-Resource-Policy", "same-origin"}})
        reply.headers.emplace_back(name, value);
    const bool kept = std::any_of(reply.headers.begin(), reply.headers.end(), [](const auto& header) { return header.first == "Cache-Control"; });
    if (!kept) reply.headers.emplace_back("Cache-Control", "no-store");
    reply.headers.emplace_back("Vary", "Accept-Language");
}

std::optional<std::vector<std::string>> match(std::string_view pattern, std::string_view path) {
    const auto wanted = core::split(pattern, '/'), found = core::split(path, '/');
    if (wanted.size() != found.size()) return std::nullopt;
    std::vector<std::string> parts;
    for (std::size_t i = 0; i < wanted.size(); ++i) {
        if (wanted[i] == "*") parts.push_back(found[i]);
        else if (wanted[i] != found[i]) return std::nullopt;
    }
    return parts;
}

int hex_of(char c) {
    if (c >= '0' && c <= '9') return c - '0';
    c = static_cast<char>(c | 0x20);
    return c >= 'a' && c <= 'f' ? c - 'a' + 10 : -1;
}

std::string form_decoded(std::string_view text) {
    std::string out;
    for (std::size_t i = 0; i < text.size(); ++i) {
        const bool is_code = text[i] == '%' && i + 2 < text.size() && hex_of(text[i + 1]) >= 0 && hex_of(text[i + 2]) >= 0;
        if (is_code) {
            out += static_cast<char>(hex_of(text[i + 1]) * 16 + hex_of(text[i + 2]));
            i += 2;
        } else {
            out += text[i] == '+' ? ' ' : text[i];
        }
    }
    return out;
}

std::multimap<std::string, std::string, std::less<>> form_of(const Request& request) {
    std::multimap<std::string, std::string, std::less<>> fields;
    if (request.method != "POST") return fields;
    for (const std::string& pair : core::split(request.body, '&')) {
        const std::size_t equals = std::min(pair.find('='), pair.size());
        fields.emplace(form_decoded(std::string_view(pair).substr(0, equals)), form_decoded(std::string_view(pair).substr(std::min(equals + 1, pair.size()))));
    }
    return fields;
}

/// As whom a visitor comes to a page: by the role it asks for where he has that, else as the host, who has every key but the kitchen's.
Role role_at(const Route& route, const std::set<Role>& roles) {
    if (roles.empty()) return Role::nobody;
    if (route.role == Role::nobody) return *roles.rbegin();
    if (roles.contains(route.role)) return route.role;
    return route.role != Role::kitchen && roles.contains(Role::host) ? Role::host : Role::nobody;
}

std::vector<Route> all_routes() {
    std::vector<Route> all;
    for (const auto table : {asset_routes(), start_routes(), tasting_routes(), ballot_routes(), board_routes(), desk_routes(), kitchen_routes(),
                             paper_routes(), plan_routes(), verdict_routes(), book_routes()}) all.insert(all.end(), table.begin(), table.end());
    return all;
}

}   // namespace

std::string Visit::field(std::string_view name) const {
    const auto found = form.find(name);
    return found == form.end() ? std::string() : core::trimmed(found->second);
}

std::vector<std::string> Visit::fields(std::string_view name) const {
    std::vector<std::string> all;
    for (auto [at, end] = form.equal_range(name); at != end; ++at) all.push_back(core::trimmed(at->second));
    return all;
}

House::House(const HostBooks& books, const core::Clock& clock, const core::Words& words, const Tokens& tokens)
    : m_reader(books.reading, clock), m_tokens(tokens), m_words(report::on_page(words)), m_writer(books.writing, clock), m_backroom(books.slow, clock) {
    for (const std::string_view code : core::Words::languages())
        if (auto known = core::Words::in_language(code)) m_tongues.emplace(code, Tongue{std::move(*known), std::string(code)});
}

const Tongue& House::tongue(const Request& request) const { return m_tongues.find(core::language_for(request.header("accept-language")))->second; }

void House::answer(const Request& request, const Send& send) {
    const auto guarded = [send](Reply reply) {
        guard(reply);
        send(std::move(reply));
    };
    // A foreign name that was made to point here (DNS rebinding) must not be served.
    if (std::find(m_addresses.begin(), m_addresses.end(), core::lower_ascii(request.header("host"))) == m_addresses.end()) return guarded(sentence(421, say("door.host")));
    if (request.method == "POST" && !may_write(request)) return guarded(sentence(403, say("door.origin")));
    dispatch(request, guarded);
}

bool House::may_write(const Request& request) const {
    const std::string origin = request.header("origin"), site = request.header("sec-fetch-site");
    if (!site.empty() && site != "same-origin") return false;
    if (origin.empty() || origin == "null") return site == "same-origin";
    return origin == "http://" + request.header("host");
}

std::set<Role> House::roles_of(const Request& request) const {
    std::set<Role> roles;
    for (const std::string& cookie : core::split(request.header("cookie"), ';')) {
        const std::string pair = core::trimmed(cookie);
        if (!pair.starts_with("oddplate-")) continue;
        const std::size_t equals = std::min(pair.find('='), pair.size() - 1);
        const Role role = m_tokens.role_of(std::string_view(pair).substr(equals + 1));
        if (role != Role::nobody) roles.insert(role);
    }
    return roles;
}

std::size_t House::most_body(const Request& request) const {
    return request.path == "/import" && roles_of(request).contains(Role::host) ? k_most_parcel : k_most_body;
}

void House::dispatch(const Request& request, const Send& send) {
    static const std::vector<Route> k_routes = all_routes();
    bool path_known = false;
    for (const Route& route : k_routes) {
        auto parts = match(route.pattern, request.path);
        if (!parts) continue;
        path_known = true;
        if (route.method != request.method) continue;
        const Visit visit{.request = request, .parts = std::move(*parts), .form = form_of(request), .role = role_at(route, roles_of(request))};
        if (route.role != Role::nobody) {
            if (visit.role == Role::nobody) return send(sentence(403, say("door.role")));
            const std::string token = visit.form.contains("form") ? visit.field("form") : request.header("x-form");
            if (request.method == "POST" && !core::equal_in_constant_time(token, m_tokens.of_form(visit.role))) return send(sentence(403, say("door.form")));
        }
        return route.page(*this, visit, send);
    }
    send(path_known ? sentence(405, say("door.method")) : sentence(404, say("door.nothing")));
}

core::Result<tasting::State*> House::state(const std::string& id) {
    if (auto known = m_states.find(id); known != m_states.end()) {
        if (auto fresh = m_reader.refresh(known->second); !fresh) {
            m_states.erase(known);   // wiped, or not to be read
            m_seated.erase(id);
            std::erase_if(m_seats, [&](const auto& seat) { return seat.second.tasting == id; });
            return fresh.faults();
        }
        learn_seats(known->second);
        return &known->second;
    }
    auto loaded = m_reader.load(id);
    if (!loaded) return loaded.faults();
    auto& state = m_states.emplace(id, std::move(*loaded)).first->second;
    learn_seats(state);
    return &state;
}

void House::learn_seats(const tasting::State& state) {
    if (state.draws.empty() || m_seated[state.id] == state.draw().number) return;
    std::erase_if(m_seats, [&](const auto& seat) { return seat.second.tasting == state.id; });
    for (int b = 0; b < static_cast<int>(state.room.ballots.size()); ++b)
        m_seats[m_tokens.shelf(m_tokens.of_ballot(state.id, state.draw().number, b))] = {state.id, b};
    m_seated[state.id] = state.draw().number;
}

const Seat* House::seat_of(const std::string& token) {
    auto found = m_seats.find(m_tokens.shelf(token));
    if (found == m_seats.end()) {   // drawn since, or before the host was started anew
        if (const auto ids = tastings(); ids)
            for (const std::string& id : *ids)
                if (!m_seated.contains(id)) (void)state(id);   // one that cannot be read has no seats to offer; its own page says why
        found = m_seats.find(m_tokens.shelf(token));
    }
    return found == m_seats.end() ? nullptr : &found->second;
}

bool House::guesses_too_much(const std::string& peer) const {
    const auto found = m_guesses.find(peer);
    return found != m_guesses.end() && found->second.count >= k_most_guesses && std::chrono::steady_clock::now() - found->second.since < k_guess_window;
}

void House::count_guess(const std::string& peer) {
    if (m_guesses.size() > k_most_guessers) m_guesses.clear();
    Guesses& guesses = m_guesses[peer];
    const auto now = std::chrono::steady_clock::now();
    if (guesses.count == 0 || now - guesses.since >= k_guess_window) guesses = {now, 0};
    ++guesses.count;
}

std::string House::told(const core::Faults& faults) const {
    const core::Error& first = faults.front();
    switch (first.kind) {
        case core::ErrorKind::io:
        case core::ErrorKind::check_failed:
        case core::ErrorKind::internal: return say("door.machine");
        default: return first.where.starts_with("--") ? first.text : first.line();   // a page has no flags
    }
}

Reply House::sentence(int status, const std::string& text) const {
    return {.status = status, .body = document({.title = text, .body = element("p", {{"class", "sentence"}}, {text})})};
}

Reply House::refused(const core::Faults& faults) const {
    const int status = core::exit_code(faults) == 1 ? 500 : faults.front().kind == core::ErrorKind::not_found ? 404 : 409;
    return sentence(status, told(faults));
}

Markup House::form(const Visit& visit, const std::string& path, std::initializer_list<Markup> content) const {
    Markup inside = element("input", {{"type", "hidden"}, {"name", "form"}, {"value", m_tokens.of_form(visit.role)}});
    for (const Markup& part : content) inside += part;
    return element("form", {{"method", "post"}, {"action", path}}, {inside});
}

}   // namespace oddplate::web
