// Escaping is the report's, and no markup is made but by `element`.

#include "html.hpp"

#include <algorithm>
#include <array>

#include "oddplate/core/text.hpp"
#include "oddplate/report/markup.hpp"

namespace oddplate::web {
namespace {

constexpr std::array<std::string_view, 4> k_never_closed{"br", "input", "link", "meta"};

/// Lines that are set out in columns: words, then a gap.
bool has_columns(std::string_view part) {
    for (std::size_t gap = part.find("   "); gap != std::string_view::npos; gap = part.find("   ", gap + 1))
        if (gap > 0 && part[gap - 1] != '\n' && part[gap - 1] != ' ') return true;
    return false;
}

/// A heading line or two, then "- " points whose further lines are indented; what is not indented after them is a paragraph of its own.
Markup block(std::string_view part) {
    if (has_columns(part)) return element("pre", {{"tabindex", "0"}}, {part});
    std::string words;
    std::vector<std::string> points;
    Markup all;
    const auto flush = [&] {
        if (!words.empty()) all += element("p", points.empty() ? Attributes{} : Attributes{{"class", "head"}}, {words});
        Markup list;
        for (const std::string& point : points) list += element("li", {}, {point});
        if (!points.empty()) all += element("ul", {}, {list});
        words.clear();
        points.clear();
    };
    for (const std::string& line : core::split(part, '\n')) {
        const std::string text = core::trimmed(line);
        if (text.starts_with("- ")) {
            points.push_back(text.substr(2));
            continue;
        }
        if (!points.empty() && !line.starts_with(' ')) flush();
        std::string& last = points.empty() ? words : points.back();
        last += (last.empty() ? "" : " ") + text;
    }
    flush();
    return all;
}

}   // namespace

Markup::Markup(std::string_view text) : m_html(report::escaped(text)) {}

Markup Markup::made_elsewhere(std::string html) {
    Markup made;
    made.m_html = std::move(html);
    return made;
}

Markup element(std::string_view name, const Attributes& attributes, std::initializer_list<Markup> content) {
    Markup made;
    std::string& html = made.m_html;
    html.append("<").append(name);
    for (const auto& [key, value] : attributes) {
        html.append(" ").append(key);
        if (value.empty()) continue;
        html += "=\"";
        html += report::escaped(value);
        html += '"';
    }
    html += '>';
    for (const Markup& part : content) html += part.m_html;
    if (std::find(k_never_closed.begin(), k_never_closed.end(), name) == k_never_closed.end()) html.append("</").append(name).append(">");
    return made;
}

Markup paragraphs(std::string_view text) {
    Markup all;
    while (!text.empty()) {
        const std::size_t end = std::min(text.find("\n\n"), text.size());
        all += block(text.substr(0, end));
        text.remove_prefix(std::min(end + 2, text.size()));
    }
    return all;
}

std::string document(const Page& page) {
    Markup head = element("meta", {{"charset", "utf-8"}});
    head += element("meta", {{"name", "viewport"}, {"content", "width=device-width, initial-scale=1"}});
    head += element("title", {}, {page.title});
    head += element("link", {{"rel", "stylesheet"}, {"href", "/page.css"}});
    head += element("link", {{"rel", "icon"}, {"href", "/mark.svg"}});
    head += element("script", {{"src", "/page.js"}, {"defer", ""}});
    const Markup body = element("body", {{"class", page.kind.empty() ? "plain" : page.kind}}, {element("main", {}, {page.body})});
    return "<!doctype html>\n" + element("html", {{"lang", page.language}}, {element("head", {}, {head}), body}).html() + "\n";
}

}   // namespace oddplate::web
