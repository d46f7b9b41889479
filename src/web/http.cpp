// libmicrohttpd with epoll and one thread. A request whose answer must wait for the disk is put to sleep and woken by whoever has the reply; an
// exchange is shared by the connection and that somebody, so that neither can outlive it.

#include "http.hpp"

#include <arpa/inet.h>
#include <microhttpd.h>

#include <algorithm>
#include <cerrno>
#include <mutex>
#include <optional>

#include "deadlines.hpp"
#include "oddplate/core/text.hpp"

namespace oddplate::web {
namespace {

struct Exchange {
    Request request;
    std::size_t most_body{k_most_body};
    bool too_large{false}, asked{false};
    MHD_Connection* connection{nullptr};
    std::mutex guard;   // of what follows
    std::optional<Reply> reply;
    bool asleep{false};
};
using Shared = std::shared_ptr<Exchange>;

/// What the loop's callbacks are given.
struct Loop {
    Handler handler;
    Deadlines deadlines;
};

int socket_of(MHD_Connection* connection) {
    const auto* info = MHD_get_connection_info(connection, MHD_CONNECTION_INFO_CONNECTION_FD);
    return info == nullptr ? -1 : info->connect_fd;
}

void send(const Shared& exchange, Reply reply) {
    const std::scoped_lock lock(exchange->guard);
    if (exchange->reply) return;   // the first reply stands
    exchange->reply = std::move(reply);
    if (!exchange->asleep) return;
    exchange->asleep = false;
    MHD_resume_connection(exchange->connection);
}

MHD_Result keep_header(void* into, MHD_ValueKind, const char* name, const char* value) {
    auto& request = *static_cast<Request*>(into);
    request.headers.emplace(core::lower_ascii(name), value == nullptr ? "" : value);
    return MHD_YES;
}

std::string peer_of(MHD_Connection* connection) {
    const auto* info = MHD_get_connection_info(connection, MHD_CONNECTION_INFO_CLIENT_ADDRESS);
    char text[INET_ADDRSTRLEN] = "";
    if (info != nullptr && info->client_addr != nullptr && info->client_addr->sa_family == AF_INET)
        inet_ntop(AF_INET, &reinterpret_cast<const sockaddr_in*>(info->client_addr)->sin_addr, text, sizeof text);
    return text;
}

MHD_Result queue(MHD_Connection* connection, const Reply& reply) {
    MHD_Response* response = MHD_create_response_from_buffer(reply.body.size(), const_cast<char*>(reply.body.data()), MHD_RESPMEM_MUST_COPY);
    if (response == nullptr) return MHD_NO;
    if (!reply.type.empty()) MHD_add_response_header(response, MHD_HTTP_HEADER_CONTENT_TYPE, reply.type.c_str());
    for (const auto& [name, value] : reply.headers) MHD_add_response_header(response, name.c_str(), value.c_str());
    const MHD_Result queued = MHD_queue_response(connection, static_cast<unsigned>(reply.status), response);
    MHD_destroy_response(response);
    return queued;
}

std::size_t bytes_of(const Request& request) {
    std::size_t bytes = 0;
    for (const auto& [name, value] : request.headers) bytes += name.size() + value.size() + 4;
    return bytes;
}

/// Why the request is not even looked at, or 0.
int refusal(const Exchange& exchange) {
    const Request& request = exchange.request;
    if (exchange.too_large) return MHD_HTTP_CONTENT_TOO_LARGE;
    if (request.path.size() > k_most_url) return MHD_HTTP_URI_TOO_LONG;
    if (bytes_of(request) > k_most_headers) return MHD_HTTP_REQUEST_HEADER_FIELDS_TOO_LARGE;
    return request.method == "GET" || request.method == "POST" ? 0 : MHD_HTTP_METHOD_NOT_ALLOWED;
}

/// A connection begins, or is about to be closed.
void on_connection(void* loop, MHD_Connection* connection, void**, MHD_ConnectionNotificationCode code) {
    auto& deadlines = static_cast<Loop*>(loop)->deadlines;
    if (code == MHD_CONNECTION_NOTIFY_STARTED) deadlines.give(socket_of(connection), std::chrono::seconds(k_header_seconds));
    else deadlines.lift(socket_of(connection));
}

MHD_Result on_part(void* told, MHD_Connection* connection, const char* url, const char* method, const char*, const char* data, std::size_t* size, void** kept) {
    auto& loop = *static_cast<Loop*>(told);
    if (*kept == nullptr) {   // the headers are there
        auto exchange = std::make_shared<Exchange>();
        exchange->connection = connection;
        exchange->request.method = std::string_view(method) == "HEAD" ? "GET" : method;
        exchange->request.path = url;
        exchange->request.peer = peer_of(connection);
        MHD_get_connection_values(connection, MHD_HEADER_KIND, keep_header, &exchange->request);
        exchange->most_body = loop.handler.most_body(exchange->request);
        loop.deadlines.give(socket_of(connection), std::chrono::seconds(k_body_seconds + exchange->most_body / k_bytes_a_second));
        *kept = new Shared(std::move(exchange));
        return MHD_YES;
    }
    const Shared exchange = *static_cast<Shared*>(*kept);
    if (*size > 0) {
        exchange->too_large = exchange->too_large || exchange->request.body.size() + *size > exchange->most_body;
        if (!exchange->too_large) exchange->request.body.append(data, *size);
        *size = 0;
        return MHD_YES;
    }
    if (!exchange->asked) {
        exchange->asked = true;
        loop.deadlines.give(socket_of(connection), std::chrono::seconds(k_reply_seconds));
        if (const int status = refusal(*exchange)) return queue(connection, {.status = status, .type = "text/plain; charset=utf-8", .body = "refused\n"});
        loop.handler.answer(exchange->request, [exchange](Reply reply) { send(exchange, std::move(reply)); });
    }
    const std::scoped_lock lock(exchange->guard);
    if (exchange->reply) return queue(connection, *exchange->reply);
    exchange->asleep = true;
    MHD_suspend_connection(connection);
    return MHD_YES;
}

void on_end(void* loop, MHD_Connection* connection, void** kept, MHD_RequestTerminationCode) {
    static_cast<Loop*>(loop)->deadlines.give(socket_of(connection), std::chrono::seconds(k_header_seconds));   // for the next request, if there is one
    delete static_cast<Shared*>(*kept);
    *kept = nullptr;
}

}   // namespace

std::string Request::header(std::string_view name) const {
    const auto found = headers.find(name);
    return found == headers.end() ? std::string() : found->second;
}

struct HttpServer::Inside {
    Loop loop;   // outlives the daemon
    MHD_Daemon* daemon{nullptr};
};

HttpServer::HttpServer(std::unique_ptr<Inside> inside) : m_inside(std::move(inside)) {}

HttpServer::~HttpServer() { MHD_stop_daemon(m_inside->daemon); }

core::Status check_address(const std::string& address) {
    in_addr parsed{};
    if (inet_pton(AF_INET, address.c_str(), &parsed) == 1) return core::Done{};
    return core::found("--bind", "\"" + core::quoted(address) + "\"", "an IPv4 address of this machine, or 0.0.0.0 for all of them", "", "bad-address", core::ErrorKind::usage);
}

core::Result<std::unique_ptr<HttpServer>> HttpServer::start(const std::string& address, int port, Handler handler) {
    if (auto good = check_address(address); !good) return good.faults();
    sockaddr_in at{};
    at.sin_family = AF_INET;
    at.sin_port = htons(static_cast<std::uint16_t>(port));
    inet_pton(AF_INET, address.c_str(), &at.sin_addr);
    auto inside = std::make_unique<Inside>();
    inside->loop.handler = std::move(handler);
    inside->daemon = MHD_start_daemon(MHD_USE_EPOLL_INTERNAL_THREAD | MHD_ALLOW_SUSPEND_RESUME, static_cast<std::uint16_t>(port), nullptr, nullptr, on_part, &inside->loop,
                                      MHD_OPTION_SOCK_ADDR, reinterpret_cast<sockaddr*>(&at), MHD_OPTION_NOTIFY_COMPLETED, on_end, &inside->loop,
                                      MHD_OPTION_NOTIFY_CONNECTION, on_connection, &inside->loop,
                                      MHD_OPTION_CONNECTION_LIMIT, k_most_connections, MHD_OPTION_PER_IP_CONNECTION_LIMIT, k_most_connections_a_host,
                                      MHD_OPTION_CONNECTION_TIMEOUT, k_idle_seconds, MHD_OPTION_CONNECTION_MEMORY_LIMIT, std::size_t{16 * 1024},
                                      MHD_OPTION_STRICT_FOR_CLIENT, 1, MHD_OPTION_END);
    if (inside->daemon == nullptr)
        return core::fault(core::ErrorKind::conflict, "cannot-listen",
                           "cannot listen at " + address + ":" + std::to_string(port) + ": another program has it, or it is not this machine's; choose another with --port or --bind");
    return std::unique_ptr<HttpServer>(new HttpServer(std::move(inside)));
}

int HttpServer::port() const {
    const auto* info = MHD_get_daemon_info(m_inside->daemon, MHD_DAEMON_INFO_BIND_PORT);
    return info == nullptr ? 0 : info->port;
}

}   // namespace oddplate::web
