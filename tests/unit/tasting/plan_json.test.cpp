// Reading a plan: every kind of fault by its place and in one go, and what is read comes back the same.
#include <catch2/catch.hpp>

#include <string>
#include <vector>

#include "oddplate/core/json.hpp"
#include "oddplate/tasting/plan_json.hpp"

using namespace oddplate;
using Lines = std::vector<std::string>;

namespace {

const std::string k_versions = R"("versions":[{"id":"current"},{"id":"new"}])";
const std::string k_rounds = R"("rounds":[{"method":"triangle"}])";

/// A plan that is right but for what is added at its top.
std::string top(const std::string& more) {
    return R"({"title":"T","tasters":24,)" + k_versions + "," + k_rounds + more + "}";
}
/// The same, with something added in its one round.
std::string round(const std::string& more, const std::string& method = "triangle") {
    return R"({"title":"T","tasters":24,)" + k_versions + R"(,"rounds":[{"method":")" + method + "\"" + more + "}]}";
}
std::string versions(const std::string& list) {
    return R"({"title":"T","tasters":24,"versions":)" + list + "," + k_rounds + "}";
}

Lines faults_of(const std::string& text) {
    Lines lines;
    const auto plan = tasting::read_plan(text, "plan.json");
    if (plan) return lines;
    CHECK(core::exit_code(plan.faults()) == 2);
    for (const auto& fault : plan.faults()) lines.push_back(fault.line());
    return lines;
}

methods::Plan good(const std::string& text) {
    INFO(text);
    auto plan = tasting::read_plan(text, "plan.json");
    if (!plan) FAIL(plan.faults()[0].line());
    return *plan;
}

struct Bad {
    std::string text;
    std::string line;   ///< what the one fault says, from its beginning
};

void check_each(const std::vector<Bad>& all) {
    for (const Bad& bad : all) {
        INFO(bad.text);
        const Lines lines = faults_of(bad.text);
        CHECK(lines.size() == 1);
        for (const auto& line : lines) {
            INFO(line);
            CHECK(line.starts_with((bad.line.starts_with(":") ? "plan.json" : "plan.json ") + bad.line));
            CHECK(line.find('\n') == std::string::npos);
        }
    }
}

}   // namespace

TEST_CASE("a share in per cent is answered as the contract says", "[plan]") {
    CHECK(faults_of(round(R"(,"alpha":5)")) ==
          Lines{"plan.json /rounds/0/alpha: found 5, expected a number above 0 and below 1 (write 5 % as 0.05)"});
}

TEST_CASE("the smallest plan gets its defaults", "[plan]") {
    const auto plan = good(R"({"title":"Less salt in the cure","versions":[{"id":"current","label":"2.4 % cure"},{"id":"new"}],
        "tasters":24,"alpha":0.05,"rounds":[{"method":"triangle","spots":["edge","centre"],"aim":"difference","detect_pd":0.4},
        {"method":"paired-preference","spots":["edge"],"no_preference":true}]})");
    CHECK(plan.versions[0].label == "2.4 % cure");
    CHECK(plan.versions[1].label == "new");
    CHECK(plan.spares == 3);   // a tenth, rounded up
    CHECK(plan.power == 0.8);
    CHECK(plan.pieces == 1);
    CHECK(plan.rounds[0].decide_on == methods::DecideOn::overall);
    CHECK(plan.rounds[0].spots_each() == 2);
    CHECK(plan.rounds[0].settings.at("same_below_pd") == methods::SettingValue{0.4});   // the margin is what should be found
    CHECK(plan.rounds[1].settings.at("no_preference") == methods::SettingValue{true});
    CHECK(good(top(R"(,"spots_at":{})")).rounds[0].spots == std::vector<std::string>{""});
}

TEST_CASE("spares are a tenth, two at least", "[plan]") {
    const auto spares = [](int tasters) {
        return good(R"({"title":"T","tasters":)" + std::to_string(tasters) + "," + k_versions + "," + k_rounds + "}").spares;
    };
    CHECK(spares(1) == 2);
    CHECK(spares(20) == 2);
    CHECK(spares(21) == 3);
    CHECK(spares(10000) == 1000);
    CHECK(good(top(R"(,"spares":0)")).spares == 0);
}

TEST_CASE("1 to 10,000 tasters, whole ones", "[plan]") {
    const auto with = [](const std::string& n) {
        return R"({"title":"T","tasters":)" + n + "," + k_versions + "," + k_rounds + "}";
    };
    CHECK(good(with("1")).tasters == 1);
    CHECK(good(with("10000")).tasters == 10000);
    CHECK(good(with("24.0")).tasters == 24);
    check_each({{with("0"), "/tasters: found 0, expected a whole number from 1 to 10,000"},
                {with("10001"), "/tasters: found 10001, expected a whole number from 1 to 10,000"},
                {with("-3"), "/tasters: found -3, expected a whole number"},
                {with("1.5"), "/tasters: found 1.5, expected a whole number"},
                {with("1e300"), "/tasters: found 1e300, expected a whole number"},
                {with("\"24\""), "/tasters: found \"24\", expected a whole number"},
                {with("null"), "/tasters: found null, expected a whole number"},
                {with("[24]"), "/tasters: found a list, expected a whole number"},
                {R"({"title":"T",)" + k_versions + "," + k_rounds + "}",
                 "/tasters: found nothing, expected a whole number from 1 to 10,000"}});
}

TEST_CASE("what is no plan is refused in one line", "[plan]") {
    for (const std::string text : {"", " ", "{", "[", "\"", "{\"title\":\"T\"", "nonsense", "{\"title\":\"T\",}", "{} {}"}) {
        INFO(text);
        CHECK(faults_of(text).size() == 1);
    }
    check_each({{"[]", ": found a list, expected a plan"},
                {"3", ": found 3, expected a plan"},
                {"null", ": found null, expected a plan"}});
    for (const char* number : {"NaN", "Infinity", "-Infinity", "1e999", ".5", "05", "+1", "0x10"}) {
        INFO(number);
        CHECK(faults_of(round(std::string(R"(,"alpha":)") + number)).size() == 1);
    }
    const Lines twice = faults_of(top(R"(,"grams":10,"grams":12)"));
    REQUIRE(twice.size() == 1);
    CHECK(twice[0].find("grams") != std::string::npos);
    CHECK(faults_of(top(",\"start\":\"\xff\xfe\"")).size() == 1);
    CHECK(faults_of(top(R"(,"start":"18:30\u0000")")).size() == 1);
}

TEST_CASE("deep, huge and hollow plans end quickly", "[plan]") {
    CHECK(faults_of(top(R"(,"allergens":)" + std::string(5000, '[') + std::string(5000, ']'))).size() == 1);
    CHECK(faults_of(std::string(100000, '[')).size() == 1);
    CHECK(faults_of(top(R"(,"start":")" + std::string(2u << 20, 'x') + "\"")).size() == 1);   // beyond a megabyte nothing is read
    CHECK(faults_of(top(R"(,"insiders":[)" + std::string(3000, '[') + std::string(3000, ']') + "]")).size() == 1);
}

TEST_CASE("an empty object misses exactly what a plan needs", "[plan]") {
    CHECK(faults_of("{}") == Lines{"plan.json /title: found nothing, expected text of 1 to 200 bytes",
                                   "plan.json /tasters: found nothing, expected a whole number from 1 to 10,000",
                                   "plan.json /versions: found nothing, expected a list",
                                   "plan.json /rounds: found nothing, expected a list"});
}

TEST_CASE("unknown keys get the nearest known one", "[plan]") {
    check_each(
        {{top(R"(,"tastres":3)"), "/tastres: found an unknown key, expected one that a plan knows (did you mean \"tasters\"?)"},
         {top(R"(,"Grams":3)"), "/Grams: found an unknown key, expected one that a plan knows (did you mean \"grams\"?)"},
         {top(R"(,"xylophone":3)"),
          "/xylophone: found an unknown key, expected one that a plan knows (known here: format, version, title"},
         {top(R"(,"a/b~c":3)"), "/a~1b~0c: found an unknown key"},
         {top(R"(,"":3)"), "/: found an unknown key"},
         {round(R"(,"spot":["edge"])"),
          "/rounds/0/spot: found an unknown key, expected one that a plan knows (did you mean \"spots\"?)"},
         {round(R"(,"detect_dp":0.4)"), "/rounds/0/detect_dp: found an unknown key"},
         {round(R"(,"no_preference":true)"), "/rounds/0/no_preference: found an unknown key"},   // not a triangle's
         {round(R"(,"detect_pd":0.4)", "paired-preference"), "/rounds/0/detect_pd: found an unknown key"},
         {versions(R"([{"id":"a","lable":"x"},{"id":"b"}])"),
          "/versions/0/lable: found an unknown key, expected one that a plan knows (did you mean \"label\"?)"}});
}

TEST_CASE("methods are known by their ids", "[plan]") {
    check_each({{round("", "triangel"), "/rounds/0/method: found triangel, expected one of "},
                {round("", "zither"), "/rounds/0/method: found zither, expected one of "},
                {R"({"title":"T","tasters":24,)" + k_versions + R"(,"rounds":[{}]})", "/rounds/0/method: found nothing"},
                {R"({"title":"T","tasters":24,)" + k_versions + R"(,"rounds":[{"method":3}]})",
                 "/rounds/0/method: found 3, expected text in quotes"},
                {R"({"title":"T","tasters":24,)" + k_versions + R"(,"rounds":["triangle"]})",
                 "/rounds/0: found \"triangle\", expected an object"},
                {R"({"title":"T","tasters":24,)" + k_versions + R"(,"rounds":[]})", "/rounds: found 0 rounds, expected 1 to 20"},
                {R"({"title":"T","tasters":24,)" + k_versions + R"(,"rounds":{}})",
                 "/rounds: found an object, expected a list in [ ]"}});
    CHECK(faults_of(round("", "triangel"))[0].find("(did you mean triangle?)") != std::string::npos);
}

TEST_CASE("versions need ids of their own", "[plan]") {
    check_each({{versions(R"([{"id":"a"},{"id":"a"}])"), "/versions/1/id: found \"a\" a second time, expected an id of its own"},
                {versions(R"([{"id":"a b"},{"id":"c"}])"), "/versions/0/id: found \"a b\", expected a short word"},
                {versions(R"([{"id":""},{"id":"c"}])"), "/versions/0/id: found empty text"},
                {versions(R"([{"label":"x"},{"id":"c"}])"), "/versions/0/id: found nothing"},
                {versions(R"([{"id":"a","label":""},{"id":"c"}])"), "/versions/0/label: found empty text"},
                {versions(R"([{"id":7},{"id":"c"}])"), "/versions/0/id: found 7, expected text in quotes"},
                {versions(R"(["a",{"id":"c"}])"), "/versions/0: found \"a\", expected an object"},
                {versions(R"([{"id":"a"}])"), "/versions: found 1 versions, expected 2 to 12"},
                {versions("[]"), "/versions: found 0 versions, expected 2 to 12"},
                {versions("{}"), "/versions: found an object, expected a list in [ ]"},
                {versions(R"([{"id":"a"},{"id":"b"},{"id":"c"}])"), "/rounds/0/method: found 3 versions, expected two"},
                {versions(R"([{"id":")" + std::string(41, 'a') + R"("},{"id":"c"}])"), "/versions/0/id: found"}});
}

TEST_CASE("a fault in the versions is not told again by what names them", "[plan]") {
    CHECK(faults_of(R"({"title":"T","tasters":24,"versions":[{"id":"current"}],"salt_percent":{"current":2,"new":1},
        "rounds":[{"method":"two-afc","attribute":"saltier","stronger":"new"}]})") ==
          Lines{"plan.json /versions: found 1 versions, expected 2 to 12, the current recipe first"});
}

TEST_CASE("text that can't stand on a page is refused", "[plan]") {
    const auto title = [](const std::string& text) {
        return R"({"title":)" + text + R"(,"tasters":24,)" + k_versions + "," + k_rounds + "}";
    };
    check_each({{title("\"\""), "/title: found empty text"},
                {title("\"  \""), "/title: found nothing but spaces"},
                {title("\" T\""), "/title: found a space at the beginning or the end"},
                {title(R"("a\nb")"), "/title: found a control character"},
                {title("\"" + std::string(201, 'x') + "\""), "/title: found text of 201 bytes"},
                {title("3"), "/title: found 3, expected text in quotes"},
                {title("null"), "/title: found null, expected text in quotes"}});
    CHECK(good(title("\"" + std::string(200, 'x') + "\"")).title.size() == 200);
    CHECK(good(title(R"("Sülze, härter gewürzt")")).title == "Sülze, härter gewürzt");
}

TEST_CASE("numbers keep to their ranges", "[plan]") {
    check_each(
        {{top(R"(,"alpha":0)"), "/alpha: found 0, expected a number above 0 and below 1"},
         {top(R"(,"alpha":1)"), "/alpha: found 1, expected a number above 0 and below 1"},
         {top(R"(,"alpha":"0.05")"), "/alpha: found \"0.05\", expected a number"},
         {top(R"(,"power":80)"), "/power: found 80, expected a number above 0 and below 1 (write 80 % as 0.8)"},
         {top(R"(,"spares":-1)"), "/spares: found -1, expected a whole number from 0 to 10,000"},
         {top(R"(,"spares":2.5)"), "/spares: found 2.5, expected a whole number"},
         {top(R"(,"pieces":0)"), "/pieces: found 0, expected a whole number from 1 to 1,000"},
         {top(R"(,"grams":0)"), "/grams: found 0, expected a number above 0"},
         {top(R"(,"grams":"12 g")"), "/grams: found \"12 g\", expected a number"},
         {top(R"(,"waves":-1)"), "/waves: found -1"},
         {top(R"(,"warm":1)"), "/warm: found 1, expected true or false"},
         {top(R"(,"same_recipe":"yes")"), "/same_recipe: found \"yes\", expected true or false"},
         {top(R"(,"spot_order":"togehter")"),
          "/spot_order: found \"togehter\", expected one of balanced, together (did you mean together?)"},
         {top(R"(,"format":"other")"), "/format: found \"other\""},
         {top(R"(,"version":2)"), "/version: found 2"},
         {round(R"(,"power":0)"), "/rounds/0/power: found 0"},
         {round(R"(,"detect_pd":1)"), "/rounds/0/detect_pd: found 1, expected a number above 0 and below 1"},
         {round(R"(,"detect_pd":40)"),
          "/rounds/0/detect_pd: found 40, expected a number above 0 and below 1 (write 40 % as 0.4)"},
         {round(R"(,"detect_d":-1)"), "/rounds/0/detect_d: found -1"},
         {round(R"(,"detect_d":1,"detect_pd":0.4)"), "/rounds/0: found both detect_d and detect_pd, expected one of them"},
         {round(R"(,"sets_per_taster":0)"), "/rounds/0/sets_per_taster: found 0"},
         {round(R"(,"sets_per_taster":21)"), "/rounds/0/sets_per_taster: found 21"},
         {round(R"(,"hide_spots":"no")"), "/rounds/0/hide_spots: found \"no\""},
         {round(R"(,"decide_on":"any")"), "/rounds/0/decide_on: found \"any\", expected one of overall, any-spot, each-spot"},
         {round(R"(,"aim":"sameness")"), "/rounds/0/aim: found \"sameness\", expected one of difference, similarity"},
         {round(R"(,"blank_sets":1)"), "/rounds/0/blank_sets: found 1"},
         {round(R"(,"share":0.4)", "paired-preference"), "/rounds/0/share: found 0.4, expected a number above 0.5 and below 1"}});
}

TEST_CASE("times of day are written with two digits each", "[plan]") {
    for (const std::string time : {"00:00", "09:05", "19:59", "23:59"})
        CHECK(good(top(",\"start\":\"" + time + "\"")).start == time);
    for (const std::string time : {"24:00", "9:30", "18.30", "18:60", "1830", "half past six", "29:00", "18:5", "18:300"}) {
        INFO(time);
        CHECK(faults_of(top(",\"start\":\"" + time + "\"")) ==
              Lines{"plan.json /start: found \"" + time + "\", expected a time of day such as 18:30"});
    }
}

TEST_CASE("spots are named once and known by name", "[plan]") {
    check_each(
        {{round(R"(,"spots":[])"), "/rounds/0/spots: found an empty list, expected at least one spot"},
         {round(R"(,"spots":"edge")"), "/rounds/0/spots: found \"edge\", expected a list in [ ]"},
         {round(R"(,"spots":["edge",""])"), "/rounds/0/spots/1: found empty text"},
         {round(R"(,"spots":["edge","edge"])"), "/rounds/0/spots/1: found \"edge\" a second time, expected each only once"},
         {round(R"(,"spots":["edge",2])"), "/rounds/0/spots/1: found 2, expected text in quotes"},
         {round(R"(,"spots":["edge"," edge"])"), "/rounds/0/spots/1: found a space at the beginning or the end"},
         {round(R"(,"spots":["a","b","c","d","e","f","g","h","i","j","k","l","m"])"),
          "/rounds/0/spots: found 13 spots, expected 12 at most"},
         {round(R"(,"spots":["a","b"],"spots_per_taster":3)"),
          "/rounds/0/spots_per_taster: found 3, expected a whole number from 1 to 2"},
         {round(R"(,"spots_per_taster":2)"), "/rounds/0/spots_per_taster: found 2"},
         {round(R"(,"spots":["a",""],"spots_per_taster":2)"), "/rounds/0/spots/1: found empty text"},
         {top(R"(,"spots_at":{"egde":"outside"})"), "/spots_at/egde: found a spot that the plan does not have"},
         {top(R"(,"spots_at":["edge"])"), "/spots_at: found a list, expected an object"}});
    const auto with_spots = [](const std::string& more) {
        return R"({"title":"T","tasters":24,)" + k_versions + R"(,"rounds":[{"method":"triangle","spots":["edge","tip/end"]}])" +
               more + "}";
    };
    check_each(
        {{with_spots(R"(,"spots_at":{"edeg":"outside"})"),
          "/spots_at/edeg: found a spot that the plan does not have, expected one of edge, tip/end (did you mean \"edge\"?)"},
         {with_spots(R"(,"spots_at":{"tip/end":3})"), "/spots_at/tip~1end: found 3, expected text in quotes"},
         {with_spots(R"(,"spots_at":{"edge":""})"), "/spots_at/edge: found empty text"},
         {with_spots(R"(,"first_ballots":{"edge":25})"),
          "/first_ballots/edge: found 25, expected a whole number from 1 to 24, the number of tasters"},
         {with_spots(R"(,"first_ballots":{"edge":0})"), "/first_ballots/edge: found 0"},
         {with_spots(R"(,"first_ballots":{"edge":"all"})"), "/first_ballots/edge: found \"all\""}});
    CHECK(good(with_spots(R"(,"first_ballots":{"edge":24})")).first_ballots.at("edge") == 24);
    CHECK(good(round(R"(,"spots":["a","b"],"spots_per_taster":2)")).rounds[0].spots_per_taster == 0);   // all of them
    check_each({{R"({"title":"T","tasters":24,)" + k_versions +
                     R"(,"rounds":[{"method":"triangle","spots":["a","b","c"],"spots_per_taster":2}],"first_ballots":{"a":9}})",
                 "/first_ballots/a: found a scarce spot in a round with spots_per_taster, expected one or the other"}});
}

TEST_CASE("lists and tables of the kitchen", "[plan]") {
    check_each(
        {{top(R"(,"salt_percent":{"neu":2})"),
          "/salt_percent/neu: found a version that the plan does not have, expected one of current, new (did you mean \"new\"?)"},
         {top(R"(,"salt_percent":{"new":101})"), "/salt_percent/new: found 101, expected a number from 0 to 100"},
         {top(R"(,"salt_percent":{"new":"2 %"})"), "/salt_percent/new: found \"2 %\""},
         {top(R"(,"salt_percent":2)"), "/salt_percent: found 2, expected an object in { }"},
         {top(R"(,"allergens":"mustard")"), "/allergens: found \"mustard\", expected a list in [ ]"},
         {top(R"(,"allergens":["mustard","mustard"])"), "/allergens/1: found \"mustard\" a second time"},
         {top(R"(,"insiders":[""])"), "/insiders/0: found empty text"},
         {top(R"(,"insiders":[")" + std::string(61, 'x') + "\"]"), "/insiders/0: found text of 61 bytes"},
         {top(R"(,"evenings":2)"), "/evenings: found 2, expected a list of 2 to 20 evenings"},
         {top(R"(,"looks":3)"), "/looks: found 3, expected 1"},
         {top(R"(,"same_recipe":true,"salt_percent":{"current":2.4,"new":2})"),
          "/same_recipe: found true, but salt_percent names different amounts"}});
    CHECK(good(top(R"(,"evenings":1,"looks":1)")).tasters == 24);
    CHECK(good(top(R"(,"same_recipe":true,"salt_percent":{"current":2.4,"new":2.4})")).same_recipe);
}

TEST_CASE("a directed pair needs its word and its side, each said once", "[plan]") {
    CHECK(faults_of(round("", "two-afc")).size() == 2);
    check_each({{round(R"(,"stronger":"new")", "two-afc"), "/rounds/0/attribute: found nothing"},
                {round(R"(,"attribute":"saltier")", "two-afc"), "/rounds/0/stronger: found nothing"},
                {round(R"(,"attribute":"","stronger":"new")", "two-afc"), "/rounds/0/attribute: found"},
                {round(R"(,"attribute":"saltier","stronger":"newer")", "two-afc"),
                 "/rounds/0/stronger: found newer, expected the id of a version: current, new"}});
    CHECK(good(round(R"(,"attribute":"saltier","stronger":"new")", "two-afc")).rounds[0].method == "two-afc");
}

TEST_CASE("all faults of a file come in one go, each by its place", "[plan]") {
    const Lines lines = faults_of(R"({"title":"","tasters":0,"alpha":5,"colour":"red","versions":[{"id":"a"},{"id":"a"}],
        "rounds":[{"method":"triangel","alpha":5},{"method":"triangle","spots":["x","x"],"detect_pd":2}],"start":"noon","pieces":0})");
    const Lines places{"/title",
                       "/tasters",
                       "/alpha",
                       "/versions/1/id",
                       "/rounds/0/alpha",
                       "/rounds/0/method",
                       "/rounds/1/spots/1",
                       "/rounds/1/detect_pd",
                       "/pieces",
                       "/start",
                       "/colour"};
    REQUIRE(lines.size() == places.size());
    for (std::size_t i = 0; i < places.size(); ++i) {
        INFO(lines[i]);
        CHECK(lines[i].starts_with("plan.json " + places[i] + ": found "));
    }
}

TEST_CASE("a plan written out reads back as itself", "[plan]") {
    for (
        const std::string& text :
        {top(""),
         round(
             R"(,"spots":["edge","centre","tip"],"spots_per_taster":2,"sets_per_taster":2,"decide_on":"each-spot","hide_spots":true,"alpha":0.01,"power":0.9)"),
         round(R"(,"aim":"similarity","same_below_pd":0.3,"spots":["a","b"])"),
         round(R"(,"attribute":"saltier","stronger":"new","detect_d":1.25)", "two-afc"),
         round(R"(,"no_preference":true,"share":0.65,"not_less":0.4)", "paired-preference"),
         top(R"(,"spares":0,"grams":12.5,"salt_percent":{"new":2,"current":2.4},"allergens":["celery"],"insiders":["smoke"],"waves":8,"pieces":3,
               "spot_order":"together","start":"18:30","warm":true)"),
         top(R"(,"same_recipe":true)")}) {
        INFO(text);
        const core::Json once = tasting::plan_to_json(good(text));
        const core::Json twice = tasting::plan_to_json(good(core::to_pretty_text(once)));
        CHECK(core::to_canonical_text(once) == core::to_canonical_text(twice));
    }
}

TEST_CASE("two files that mean the same plan are written the same", "[plan]") {
    const std::string plain = top("");
    const std::string spelt_out =
        R"({"rounds":[{"power":0.8,"method":"triangle","aim":"difference","alpha":5e-2,"sets_per_taster":1}],"spares":3.0,
        "alpha":0.050,"versions":[{"label":"current","id":"current"},{"id":"new"}],"tasters":24,"title":"T","format":"oddplate.plan","version":1})";
    CHECK(core::to_canonical_text(tasting::plan_to_json(good(plain))) ==
          core::to_canonical_text(tasting::plan_to_json(good(spelt_out))));
}

TEST_CASE("a spot may not bear a version's name, which slips would show", "[plan]") {
    CHECK(faults_of(round(R"(,"spots":["edge","New"])")) ==
          Lines{R"(plan.json /rounds/0/spots/1: found a spot with the name of version "new", expected a place on the cut, such as edge (slips show it, and it would tell the room what is served))"});
    CHECK(faults_of(round(R"(,"spots":["edge","newer half"])")).empty());
}
