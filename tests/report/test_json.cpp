#include <support/catch.hpp>
#include <valve/report/json.hpp>

#include <limits>
#include <optional>
#include <stdexcept>

using valve::report::csv;
using valve::report::Json;

TEST_CASE("numbers that are not finite become null and are named", "[report]") {
    Json object;
    object["good"] = 1.0;
    object["bad"] = std::numeric_limits<double>::quiet_NaN();
    object["worse"] = std::numeric_limits<double>::infinity();
    object["error"] = nullptr;
    valve::report::refuse_non_finite(object);
    CHECK(object["good"] == 1.0);
    CHECK(object["bad"].is_null());
    CHECK(object["worse"].is_null());
    CHECK(object["error"] == "no finite value for bad, worse");
}

TEST_CASE("finite numbers are left alone", "[report]") {
    Json object;
    object["value"] = -1e-300;
    object["error"] = nullptr;
    valve::report::refuse_non_finite(object);
    CHECK(object["value"] == -1e-300);
    CHECK(object["error"].is_null());
}

TEST_CASE("JSON keeps the order of its keys, ends in a newline and survives foreign bytes", "[report]") {
    Json object;
    object["z"] = 1;
    object["a"] = "caf\xe9"; // Latin-1, not UTF-8
    CHECK(valve::report::written(object) == "{\n  \"z\": 1,\n  \"a\": \"caf\xef\xbf\xbd\"\n}\n");
    CHECK(valve::report::or_null(std::optional<double>{}).is_null());
    CHECK(valve::report::or_null(std::optional<double>{2.5}) == 2.5);
}

TEST_CASE("CSV has the keys of the points as its head and the digits of the JSON", "[report]") {
    Json points = Json::array();
    points.push_back({{"speed_m_s", -0.1}, {"cavitated", nullptr}, {"error", "a, \"b\""}});
    points.push_back({{"speed_m_s", 1.0 / 3.0}, {"cavitated", "C"}, {"error", nullptr}});
    CHECK(csv(points) == "speed_m_s,cavitated,error\n"
                         "-0.1,,\"a, \"\"b\"\"\"\n"
                         "0.3333333333333333,C,\n");
    CHECK(csv(Json::array()) == "");
}

TEST_CASE("CSV refuses points with different keys", "[report]") {
    Json points = Json::array();
    points.push_back({{"a", 1}});
    points.push_back({{"b", 1}});
    CHECK_THROWS_AS(csv(points), std::invalid_argument);
}
