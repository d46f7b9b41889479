// Writing JSON: one walk over the value with three ways to lay it out. Numbers go through std::to_chars, whose shortest form
// reads back to the same double; a library's writer would turn NaN into null unasked.
#include "oddplate/core/json.hpp"

#include <algorithm>
#include <charconv>
#include <cmath>
#include <cstdlib>

#include "oddplate/core/text.hpp"
#include "utf8.hpp"

namespace oddplate::core {
namespace {

enum class Layout { line, pretty, canonical };

/// Text that is no UTF-8 (a file name given on the command line can be such) must not make broken JSON: U+FFFD stands for the bad
/// bytes.
std::string mended(std::string_view text) {
    std::string good;
    for (std::size_t at = 0; at < text.size();) {
        const Utf8Letter letter = utf8_letter(text, at);
        good += letter.good ? text.substr(at, letter.bytes) : std::string_view("\xEF\xBF\xBD");
        at += letter.bytes;
    }
    return good;
}

class Writer {
public:
    explicit Writer(Layout layout) : m_layout(layout) {}

    void value(const Json& json) {
        if (json.is_null()) {
            m_out += "null";
        } else if (json.is_bool()) {
            m_out += json.as_bool() ? "true" : "false";
        } else if (json.is_integer()) {
            integer(json.as_integer());
        } else if (json.is_number()) {
            number(json.as_number());
        } else if (json.is_string()) {
            string(json.as_string());
        } else if (json.is_array()) {
            array(json.as_array());
        } else {
            object(json.as_object());
        }
    }

    std::string take() { return std::move(m_out); }

private:
    void integer(std::int64_t number) {
        char digits[24];
        m_out.append(digits, std::to_chars(digits, digits + sizeof digits, number).ptr);
    }

    /// "-0" would be read as the whole number 0, so minus nought keeps its point.
    void number(double number) { m_out += number == 0.0 && std::signbit(number) ? "-0.0" : shortest(number); }

    void string(std::string_view text) {
        if (!is_utf8(text)) return string(mended(text));
        m_out += '"';
        std::size_t plain = 0;   // start of the part not yet copied
        for (std::size_t at = 0; at < text.size(); ++at) {
            const char c = text[at];
            if (c != '"' && c != '\\' && static_cast<unsigned char>(c) >= 0x20) continue;
            m_out += text.substr(plain, at - plain);
            plain = at + 1;
            escape(c);
        }
        m_out += text.substr(plain);
        m_out += '"';
    }

    void escape(char c) {
        constexpr std::string_view digits = "0123456789abcdef";
        switch (c) {
            case '"':
                m_out += "\\\"";
                break;
            case '\\':
                m_out += "\\\\";
                break;
            case '\n':
                m_out += "\\n";
                break;
            case '\r':
                m_out += "\\r";
                break;
            case '\t':
                m_out += "\\t";
                break;
            default:
                m_out += c < 0x10 ? "\\u000" : "\\u001";
                m_out += digits[static_cast<std::size_t>(c & 15)];
        }
    }

    void array(const Json::Array& items) {
        m_out += '[';
        ++m_depth;
        for (std::size_t i = 0; i < items.size(); ++i) {
            next_line(i);
            value(items[i]);
        }
        close(items.empty(), ']');
    }

    void object(const Json::Object& members) {
        std::vector<const Json::Object::value_type*> order;
        order.reserve(members.size());
        for (const auto& member : members) order.push_back(&member);
        if (m_layout == Layout::canonical) {   // std::string compares its bytes as unsigned, so this is the order of code points
            std::sort(order.begin(), order.end(), [](const auto* a, const auto* b) { return a->first < b->first; });
        }
        m_out += '{';
        ++m_depth;
        for (std::size_t i = 0; i < order.size(); ++i) {
            next_line(i);
            string(order[i]->first);
            m_out += m_layout == Layout::pretty ? ": " : ":";
            value(order[i]->second);
        }
        close(order.empty(), '}');
    }

    void next_line(std::size_t index) {
        if (index > 0) m_out += ',';
        if (m_layout == Layout::pretty) indent();
    }

    void close(bool empty, char bracket) {
        --m_depth;
        if (!empty && m_layout == Layout::pretty) indent();
        m_out += bracket;
    }

    void indent() {
        m_out += '\n';
        m_out.append(2 * m_depth, ' ');
    }

    Layout m_layout;
    std::size_t m_depth = 0;
    std::string m_out;
};

std::string written(const Json& value, Layout layout) {
    Writer writer(layout);
    writer.value(value);
    return writer.take();
}

}   // namespace

std::string to_text(const Json& value) {
    return written(value, Layout::line);
}
std::string to_pretty_text(const Json& value) {
    return written(value, Layout::pretty) + "\n";
}
std::string to_canonical_text(const Json& value) {
    return written(value, Layout::canonical);
}

std::string shortest(double value) {
    if (!std::isfinite(value)) std::abort();
    char digits[32];
    std::string text(digits, std::to_chars(digits, digits + sizeof digits, value).ptr);
    const std::size_t e = text.find('e');
    if (e == std::string::npos) return text;
    const std::size_t first = text.find_first_not_of("+-0", e + 1);   // to_chars writes "1e+05" and "1e-05": the rest is padding
    return text.substr(0, e + 1) + (text[e + 1] == '-' ? "-" : "") + text.substr(first);
}

}   // namespace oddplate::core
