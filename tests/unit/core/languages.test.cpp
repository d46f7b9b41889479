// Which language a phone is answered in. The headers are such as browsers send, and such as nobody should.
#include "oddplate/core/languages.hpp"

#include <catch2/catch.hpp>

#include <string>

using namespace oddplate::core;

TEST_CASE("languages: the heaviest that we have wins, of equal ones the earlier", "[core][languages]") {
    CHECK(language_for("de") == "de");
    CHECK(language_for("de-AT,de;q=0.9,en;q=0.8") == "de");
    CHECK(language_for("it-IT,it;q=0.9,fr;q=0.5,en;q=0.3") == "fr");
    CHECK(language_for("en;q=0.2, ES-mx;q=0.7") == "es");
    CHECK(language_for("fr, es") == "fr");
    CHECK(language_for("en;q=0.001,de;q=0.002") == "de");
    CHECK(language_for("fr;q=0, es;q=0.1") == "es");
    CHECK(language_for("da, en-gb;q=0.8, en;q=0.7") == "en");   // RFC 9110, 12.5.4
}

TEST_CASE("languages: English where nothing fits or nothing can be read", "[core][languages]") {
    for (const char* header : {"", "*", ",", ";", "-", "it", "deu", "d e", "fr;q=0", "fr;q=2", "fr;q=1.5", "fr;q=", "fr;q=0,5", "fr;q=0.1234", "fr;level=1",
                               "fr;q=1;q=1", "fr;q=.5", "fr;q=0x"}) {
        CAPTURE(header);
        CHECK(language_for(header) == "en");
    }
    CHECK(language_for(std::string(100'000, ',')) == "en");
}
