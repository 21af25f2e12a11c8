#include <program/run.hpp>
#include <support/catch.hpp>

#include <nlohmann/json.hpp>

using namespace valve::tests;
using nlohmann::json;

TEST_CASE("diagnose tells each fault with its number, its rule and what mends it", "[program][diagnose]") {
    const Run told = run("diagnose stacks/rally-fork-softer-check.yaml --theory linear");
    INFO(told.err);
    REQUIRE(told.status == 0);
    CHECK_THAT(told.out, contains_text("rules are broken") && contains_text("common practice, no source") &&
                             contains_text("Mended by"));
    const Run solved = run("diagnose stacks/rally-fork-softer-check.yaml --theory linear --json");
    const json object = json::parse(solved.out);
    CHECK(object.at("is_sound") == false);
    for (const json& fault : object.at("faults")) {
        CHECK(fault.at("noticeable_steps") != 0.0);
        CHECK((fault.at("low").is_number() || fault.at("high").is_number()));
        if (!fault.at("mend").is_null()) CHECK(fault.at("mend").at("meets") == true);
    }
    const Run sound = run("diagnose stacks/rally-shock.yaml --theory linear");
    CHECK(sound.status == 0);
    CHECK_THAT(sound.out, contains_text("Sound: 11 of 11 rules hold."));
    CHECK(run("diagnose stacks/rally-shock.yaml --theory linear --csv").out.starts_with("rule,quantity,"));
    CHECK(run("diagnose none.yaml").status == 3);
}
