// libsodium's secretbox under Argon2id. Whoever holds the box may try words, so each try is made dear; the parameters stand in
// the box, so that a later program can make it dearer and still open old ones. What is secret here is wiped from memory after
// use.

#include "oddplate/core/sealed_box.hpp"

#include <sodium.h>

#include <array>
#include <cstdint>
#include <cstdlib>
#include <optional>

#include "oddplate/core/json.hpp"
#include "oddplate/core/text.hpp"
#include "sodium_ready.hpp"

namespace oddplate::core {
namespace {

constexpr std::int64_t k_memory = 64 << 20;
constexpr std::int64_t k_passes = 3;
// A box from elsewhere must not make this machine work for hours.
constexpr std::int64_t k_most_memory = 1 << 30;
constexpr std::int64_t k_most_passes = 64;
constexpr std::size_t k_padding = 1024;

/// Bytes that are wiped when they are done with.
class Secret {
public:
    explicit Secret(std::size_t size) : m_bytes(size, '\0') {}
    explicit Secret(std::string bytes) : m_bytes(std::move(bytes)) {}
    Secret(const Secret&) = delete;
    Secret& operator=(const Secret&) = delete;
    ~Secret() { sodium_memzero(m_bytes.data(), m_bytes.size()); }

    [[nodiscard]] std::string& bytes() { return m_bytes; }
    [[nodiscard]] unsigned char* data() { return reinterpret_cast<unsigned char*>(m_bytes.data()); }

private:
    std::string m_bytes;
};

struct Box {
    std::int64_t memory{0}, passes{0};
    std::string salt, nonce, bytes;
};

Error no_box(const std::string& why) {
    return fault(ErrorKind::bad_file, "not-a-box", "the sealed list of codes cannot be read: " + why);
}

const unsigned char* raw(const std::string& bytes) {
    return reinterpret_cast<const unsigned char*>(bytes.data());
}

std::string to_base64(const std::string& bytes) {
    std::string text(sodium_base64_encoded_len(bytes.size(), sodium_base64_VARIANT_ORIGINAL), '\0');
    sodium_bin2base64(text.data(), text.size(), raw(bytes), bytes.size(), sodium_base64_VARIANT_ORIGINAL);
    text.pop_back();   // its own zero at the end
    return text;
}

std::optional<std::string> from_base64(const std::string& text) {
    std::string bytes(text.size(), '\0');
    std::size_t size = 0;
    if (sodium_base642bin(reinterpret_cast<unsigned char*>(bytes.data()), bytes.size(), text.data(), text.size(), nullptr, &size,
                          nullptr, sodium_base64_VARIANT_ORIGINAL) != 0)
        return std::nullopt;
    bytes.resize(size);
    return bytes;
}

std::string random_bytes(std::size_t size) {
    std::string bytes(size, '\0');
    randombytes_buf(bytes.data(), bytes.size());
    return bytes;
}

Status derive_key(const Box& box, const std::vector<std::string>& words, Secret& key) {
    Secret phrase(joined(words, " "));
    if (crypto_pwhash(key.data(), key.bytes().size(), phrase.bytes().data(), phrase.bytes().size(), raw(box.salt),
                      static_cast<unsigned long long>(box.passes), static_cast<std::size_t>(box.memory),
                      crypto_pwhash_ALG_ARGON2ID13) != 0) {
        return fault(ErrorKind::io, "no-memory",
                     "sealing and opening take " + std::to_string(box.memory >> 20) +
                         " MB of memory, and this machine does not give that much now");
    }
    return Done{};
}

std::optional<std::int64_t> number_in(const Json& json, const char* key, std::int64_t lo, std::int64_t hi) {
    const Json* value = json.find(key);
    if (value == nullptr || !value->is_integer() || value->as_integer() < lo || value->as_integer() > hi) return std::nullopt;
    return value->as_integer();
}

std::optional<std::string> bytes_in(const Json& json, const char* key) {
    const Json* value = json.find(key);
    return value == nullptr || !value->is_string() ? std::nullopt : from_base64(value->as_string());
}

bool says(const Json& json, const char* key, const char* text) {
    const Json* value = json.find(key);
    return value != nullptr && value->is_string() && value->as_string() == text;
}

Result<Box> read_box(std::string_view text) {
    const auto json = parse_json(text);
    if (!json || !says(*json, "format", "oddplate.sealed")) return no_box("it is no sealed box");
    if (!number_in(*json, "version", 1, 1)) return no_box("it was made by a newer program");
    if (!says(*json, "kdf", "argon2id13") || !says(*json, "cipher", "xsalsa20-poly1305"))
        return no_box("it is locked in a way that this program does not know");
    const auto memory = number_in(*json, "memory", 1 << 20, k_most_memory), passes = number_in(*json, "passes", 1, k_most_passes);
    if (!memory || !passes) return no_box("opening it would take more memory or time than is allowed");
    const auto salt = bytes_in(*json, "salt"), nonce = bytes_in(*json, "nonce"), bytes = bytes_in(*json, "box");
    const bool whole = salt && salt->size() == crypto_pwhash_SALTBYTES && nonce && nonce->size() == crypto_secretbox_NONCEBYTES &&
                       bytes && bytes->size() > crypto_secretbox_MACBYTES;
    if (!whole) return no_box("a part of it is missing");
    return Box{.memory = *memory, .passes = *passes, .salt = *salt, .nonce = *nonce, .bytes = *bytes};
}

std::string to_json_text(const Box& box) {
    Json out = Json::object();
    out.set("box", to_base64(box.bytes))
        .set("cipher", "xsalsa20-poly1305")
        .set("format", "oddplate.sealed")
        .set("kdf", "argon2id13");
    out.set("memory", box.memory)
        .set("nonce", to_base64(box.nonce))
        .set("passes", box.passes)
        .set("salt", to_base64(box.salt))
        .set("version", 1);
    return to_canonical_text(out);
}

}   // namespace

Result<std::string> seal_box(std::string_view plain, const std::vector<std::string>& words) {
    sodium_ready();
    Box box{.memory = k_memory,
            .passes = k_passes,
            .salt = random_bytes(crypto_pwhash_SALTBYTES),
            .nonce = random_bytes(crypto_secretbox_NONCEBYTES),
            .bytes = {}};
    Secret key(crypto_secretbox_KEYBYTES);
    if (auto status = derive_key(box, words, key); !status) return status.faults();
    Secret padded(plain.size() + k_padding);
    plain.copy(padded.bytes().data(), plain.size());
    std::size_t size = 0;
    if (sodium_pad(&size, padded.data(), plain.size(), k_padding, padded.bytes().size()) != 0)
        std::abort();   // room for a whole block was made
    box.bytes.resize(size + crypto_secretbox_MACBYTES);
    crypto_secretbox_easy(reinterpret_cast<unsigned char*>(box.bytes.data()), padded.data(), size, raw(box.nonce), key.data());
    return to_json_text(box);
}

Result<std::string> open_box(std::string_view text, const std::vector<std::string>& words) {
    sodium_ready();
    const auto box = read_box(text);
    if (!box) return box.faults();
    Secret key(crypto_secretbox_KEYBYTES);
    if (auto status = derive_key(*box, words, key); !status) return status.faults();
    Secret padded(box->bytes.size() - crypto_secretbox_MACBYTES);
    if (crypto_secretbox_open_easy(padded.data(), raw(box->bytes), box->bytes.size(), raw(box->nonce), key.data()) != 0)
        return fault(ErrorKind::usage, "wrong-words", "these words do not open the sealed list of codes; nothing was changed");
    std::size_t size = 0;
    if (sodium_unpad(&size, padded.data(), padded.bytes().size(), k_padding) != 0) return no_box("what is in it is not whole");
    return padded.bytes().substr(0, size);
}

Status check_box(std::string_view text) {
    const auto box = read_box(text);
    if (!box) return box.faults();
    return Done{};
}

}   // namespace oddplate::core
