#pragma once
// Requests in, replies out, over one event loop: never a thread a phone. The library underneath is seen by http.cpp alone.

#include <functional>
#include <map>
#include <memory>
#include <string>
#include <string_view>
#include <utility>
#include <vector>

#include "oddplate/core/result.hpp"

namespace oddplate::web {

// What one request may cost. Beyond a limit it is refused or its connection closed; nothing that others wait for is touched.
inline constexpr std::size_t k_most_body = 64 * 1024, k_most_parcel = 16 * 1024 * 1024, k_most_headers = 8 * 1024, k_most_url = 2 * 1024;
inline constexpr unsigned k_most_connections = 900, k_most_connections_a_host = 64;
// Silence ends a connection. Headers must be whole so long after it was opened or the reply before them was gone, however often a byte comes; a body has
// a while and a second more for each so many bytes that are allowed; a reply must have been fetched.
inline constexpr unsigned k_idle_seconds = 5, k_header_seconds = 8, k_body_seconds = 10, k_reply_seconds = 300;
inline constexpr std::size_t k_bytes_a_second = 256 * 1024;

struct Request {
    std::string method;   ///< "GET" (HEAD too) or "POST"
    std::string path;     ///< without the query, which nobody reads
    std::string peer;     ///< the other side's address, without its port
    std::map<std::string, std::string, std::less<>> headers;   ///< names in lower case
    std::string body;

    [[nodiscard]] std::string header(std::string_view name) const;
};

struct Reply {
    int status{200};
    std::string type{"text/html; charset=utf-8"};
    std::string body{};
    std::vector<std::pair<std::string, std::string>> headers{};
};

/// Sends the reply; called once, from any thread, at once or later.
using Send = std::function<void(Reply)>;
/// Both run in the loop's thread and must not block it. `most_body` is asked when the headers are there: how long the body may be.
struct Handler {
    std::function<void(const Request&, Send)> answer;
    std::function<std::size_t(const Request&)> most_body;
};

/// Faults: not an IPv4 address (usage).
[[nodiscard]] core::Status check_address(const std::string& address);

class HttpServer {
public:
    /// Listens at an IPv4 address; port 0 takes a free one. Faults: as check_address; port taken or not allowed (conflict).
    [[nodiscard]] static core::Result<std::unique_ptr<HttpServer>> start(const std::string& address, int port, Handler handler);
    HttpServer(const HttpServer&) = delete;
    HttpServer& operator=(const HttpServer&) = delete;
    /// Every reply that was promised must have been sent before.
    ~HttpServer();

    [[nodiscard]] int port() const;

private:
    struct Inside;
    explicit HttpServer(std::unique_ptr<Inside> inside);
    std::unique_ptr<Inside> m_inside;
};

}   // namespace oddplate::web
