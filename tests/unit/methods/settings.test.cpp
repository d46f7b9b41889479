#include "oddplate/methods/settings.hpp"

#include <catch2/catch.hpp>
#include <vector>

#include "oddplate/core/json.hpp"

using namespace oddplate;
using namespace oddplate::methods;

namespace {

constexpr Setting k_share{.key = "detect_pd", .kind = Kind::number, .lo = 0, .hi = 1, .open = true, .help = ""};
constexpr Setting k_count{.key = "of", .kind = Kind::whole, .lo = 1, .hi = 10000, .help = ""};
constexpr std::string_view k_aims[] = {"difference", "similarity"};
constexpr Setting k_aim{.key = "aim", .kind = Kind::choice, .choices = k_aims, .help = ""};
constexpr Setting k_version{.key = "stronger", .kind = Kind::version, .help = ""};
const std::vector<std::string> k_ids{"current", "new"};

std::string fault(const core::Result<SettingValue>& result) {
    REQUIRE_FALSE(result.ok());
    REQUIRE(result.faults().size() == 1);
    return result.faults()[0].line();
}

std::string json_fault(const Setting& setting, const char* text) {
    return fault(read_setting(setting, *core::parse_json(text), "/rounds/0/x", k_ids));
}

}   // namespace

TEST_CASE("a number outside its range is refused with what would do", "[settings]") {
    CHECK(json_fault(k_share, "5") == "/rounds/0/x: found 5, expected a number above 0 and below 1 (5 in ten is 0.5, 5 % is 0.05)");
    CHECK(json_fault(k_alpha, "0.5") ==
          "/rounds/0/x: found 0.5, expected a number below 0.5 (from 0.5 on luck would fool you at least every second time)");
    CHECK(json_fault(k_alpha, "5") == "/rounds/0/x: found 5, expected a number above 0 and below 1 (write 5 % as 0.05)");
    constexpr Setting k_above_half{.key = "reject_at", .lo = 0.5, .hi = 1, .open = true, .help = "share"};   // a hundredth of what was written would be refused, too
    CHECK(json_fault(k_above_half, "1.5") == "/rounds/0/x: found 1.5, expected a number above 0.5 and below 1 (write 75 % as 0.75)");
    CHECK(json_fault(k_above_half, "80") == "/rounds/0/x: found 80, expected a number above 0.5 and below 1 (write 80 % as 0.8)");
    CHECK(read_setting_text(k_alpha, "0.499").ok());
    CHECK_FALSE(read_setting_text(k_alpha, "0.9").ok());
    CHECK(json_fault(k_share, "1") == "/rounds/0/x: found 1, expected a number above 0 and below 1");
    CHECK(json_fault(k_share, "\"0.4\"") == "/rounds/0/x: found \"0.4\", expected a number above 0 and below 1");
    CHECK(fault(read_setting_text(k_share, "nan")) == "--detect-pd: found nan, expected a number above 0 and below 1");
    CHECK(fault(read_setting_text(k_share, "0,4")).find("full stop") != std::string::npos);
    CHECK(fault(read_setting_text(k_share, "")) == "--detect-pd: found nothing, expected a number above 0 and below 1");
    CHECK(fault(read_setting_text(k_share, "0.4x")).starts_with("--detect-pd: found 0.4x"));
}

TEST_CASE("a whole number is whole", "[settings]") {
    CHECK(json_fault(k_count, "24.5") == "/rounds/0/x: found 24.5, expected a whole number from 1 to 10,000");
    CHECK(json_fault(k_count, "0") == "/rounds/0/x: found 0, expected a whole number from 1 to 10,000");
    CHECK(fault(read_setting_text(k_count, "99999999999999999999")).starts_with("--of: found 9999"));
    CHECK(std::get<std::int64_t>(*read_setting_text(k_count, " 24 ")) == 24);
}

TEST_CASE("choices and versions are named", "[settings]") {
    CHECK(json_fault(k_aim, "\"similarty\"") ==
          "/rounds/0/x: found \"similarty\", expected one of difference, similarity (did you mean similarity?)");
    CHECK(json_fault(k_version, "\"old\"") == "/rounds/0/x: found old, expected the id of a version: current, new");
    CHECK(std::get<std::string>(*read_setting(k_version, core::Json("new"), "/x", k_ids)) == "new");
}

TEST_CASE("what was set is found again", "[settings]") {
    Settings settings{{"detect_pd", *read_setting_text(k_share, "0.4")}, {"of", *read_setting_text(k_count, "24")}};
    CHECK(number(settings, "detect_pd") == 0.4);
    CHECK(whole(settings, "of") == 24);
    CHECK_FALSE(number(settings, "detect_d"));
    CHECK_FALSE(flag(settings, "no_preference"));
    CHECK(flag_name("same_below_pd") == "--same-below-pd");
}
