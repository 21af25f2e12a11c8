#include <frame/table.hpp>
#include <support/catch.hpp>

#include <fmt/format.h>

#include <limits>
#include <string>
#include <vector>

using namespace valve::validation;

namespace {

const References works{"@book{roark,\n}\n"};

std::vector<Recorder> sample() {
    Recorder plate{"plate", works};
    plate.add({.name = "lift",
               .source = {"roark", "Table 11.2, case 2l"},
               .kind = Kind::published,
               .expected = 2.0,
               .got = 2.002,
               .tolerance = relative(5e-3, "three digits printed"),
               .unit = "m"});
    plate.add({.name = "slope",
               .source = {"roark", "Table 11.2, case 2l"},
               .kind = Kind::memory,
               .expected = 1.0,
               .got = std::numeric_limits<double>::quiet_NaN(),
               .tolerance = absolute(1e-3, "three digits printed"),
               .unit = ""});
    Recorder flow{"flow", works};
    flow.add({.name = "share",
              .source = no_source(),
              .kind = Kind::common_practice,
              .expected = 0.5,
              .got = 0.5,
              .tolerance = absolute(0.1, "a rule of thumb"),
              .unit = ""});
    flow.add({.name = "margin",
              .source = no_source(),
              .kind = Kind::common_practice,
              .expected = 0.5,
              .got = 0.25,
              .tolerance = at_least("a rule of thumb"),
              .unit = ""});
    return {plate, flow};
}

} // namespace

TEST_CASE("validation: the table shows every check and counts by module and by kind", "[validation]") {
    const std::string text = table(sample());
    CHECK_THAT(text, contains_text("lift [m]"));
    CHECK_THAT(text, contains_text("published: roark, Table 11.2, case 2l; three digits printed"));
    CHECK_THAT(text, contains_text("3.0   0.005 rel  pass"));
    CHECK_THAT(text, contains_text("0.001 abs  FAIL"));
    CHECK_THAT(text, contains_text("    common practice, no source; a rule of thumb"));
    const std::string heading =
        fmt::format("{:<12} {:>18} {:>18} {:>18} {:>18} {:>8} {:>8}\n", "checks", "published",
                    "computed reference", "memory", "common practice", "all", "failed");
    const auto row = [](const char* what, int published, int memory, int practice, int all, int failed) {
        return fmt::format("{:<12} {:>18} {:>18} {:>18} {:>18} {:>8} {:>8}\n", what, published, 0, memory,
                           practice, all, failed);
    };
    CHECK_THAT(text, contains_text(heading + row("plate", 1, 1, 0, 2, 1) + row("flow", 0, 0, 2, 2, 1) +
                                   row("all", 1, 1, 2, 4, 2)));
    CHECK_THAT(text, contains_text("-    at least  FAIL"));
}

TEST_CASE("validation: the JSON carries the same, a value that is not finite as null", "[validation]") {
    const nlohmann::ordered_json result = json(sample());
    REQUIRE(result["checks"].size() == 4);
    CHECK(result["checks"][0]["source"] == "roark");
    CHECK(result["checks"][0]["passed"] == true);
    CHECK(result["checks"][1]["got"].is_null());
    CHECK(result["checks"][1]["passed"] == false);
    CHECK(result["checks"][2]["measure"] == "absolute");
    CHECK(result["checks"][2]["tolerance"] == 0.1);
    CHECK(result["checks"][3]["measure"] == "at least");
    CHECK(result["checks"][3]["tolerance"].is_null());
    CHECK(result["checks"][3]["digits"].is_null());
    CHECK(result["modules"]["plate"]["failed"] == 1);
    CHECK(result["kinds"]["common practice"]["passed"] == 1);
}
