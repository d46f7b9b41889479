#include <catch2/catch.hpp>

#include "../../../src/web/html.hpp"

using oddplate::web::element;
using oddplate::web::Markup;

TEST_CASE("a text in a page can never become markup") {
    CHECK(Markup("<b>&\"'").html() == "&lt;b&gt;&amp;&quot;&#39;");
    CHECK(element("p", {{"title", "\"><script>"}}, {"a < b"}).html() == "<p title=\"&quot;&gt;&lt;script&gt;\">a &lt; b</p>");
    CHECK(element("input", {{"required", ""}, {"name", "x"}}).html() == "<input required name=\"x\">");
}

TEST_CASE("a text of several paragraphs keeps its columns where it has them") {
    CHECK(oddplate::web::paragraphs("To cut:\n  - the usual: 60\n    bites\n  - the new").html() == "<p class=\"head\">To cut:</p><ul><li>the usual: 60 bites</li><li>the new</li></ul>");
    CHECK(oddplate::web::paragraphs("one\n\na   b\nc   d").html() == "<p>one</p><pre tabindex=\"0\">a   b\nc   d</pre>");
}
