#pragma once
// HTML that cannot be broken into: a text becomes markup only by being escaped.

#include <initializer_list>
#include <string>
#include <string_view>
#include <utility>
#include <vector>

namespace oddplate::web {

/// A piece of a page. Made from text it is that text, escaped.
class Markup {
public:
    Markup() = default;
    Markup(std::string_view text);              // NOLINT(google-explicit-constructor)
    Markup(const std::string& text) : Markup(std::string_view(text)) {}   // NOLINT
    Markup(const char* text) : Markup(std::string_view(text)) {}          // NOLINT
    /// Markup that another layer made and escaped (pictures, the verdict's own page).
    [[nodiscard]] static Markup made_elsewhere(std::string html);

    Markup& operator+=(const Markup& more) {
        m_html += more.m_html;
        return *this;
    }
    [[nodiscard]] const std::string& html() const { return m_html; }

private:
    friend Markup element(std::string_view, const std::vector<std::pair<std::string_view, std::string>>&, std::initializer_list<Markup>);
    std::string m_html;
};

[[nodiscard]] inline Markup operator+(Markup a, const Markup& b) {
    a += b;
    return a;
}

using Attributes = std::vector<std::pair<std::string_view, std::string>>;

/// <name attributes>content</name>; an element that HTML never closes (input, meta, link, br) stands alone. A value "" gives a bare attribute.
[[nodiscard]] Markup element(std::string_view name, const Attributes& attributes, std::initializer_list<Markup> content = {});

/// A text of several lines as paragraphs and lists ("- "); where lines are set out in columns, as it stands.
[[nodiscard]] Markup paragraphs(std::string_view text);

struct Page {
    std::string title;
    Markup body;
    std::string kind{};       ///< class of the body, for the style sheet
    std::string language{"en"};
};
/// The whole document.
[[nodiscard]] std::string document(const Page& page);

}   // namespace oddplate::web
