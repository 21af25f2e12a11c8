#include <program/run.hpp>
#include <support/catch.hpp>

#include <nlohmann/json.hpp>

#include <algorithm>

using namespace valve::tests;
using nlohmann::json;

namespace {

const std::string found = "stacks/rally-fork.yaml";

json modes(const std::string& arguments) {
    const Run solved = run("modes " + arguments + " --json");
    INFO("valve modes " << arguments << "\n" << solved.err);
    REQUIRE(solved.status == 0);
    return json::parse(solved.out);
}

double frequency(const json& valve, std::size_t mode, const char* in) {
    return valve.at("modes").at(mode).at(std::string("frequency_") + in + "_Hz").get<double>();
}

} // namespace

TEST_CASE("modes gives twelve frequencies a valve in air and in oil, the same bytes each time", "[program]") {
    const std::string arguments = found + " --valve base.refill";
    const json object = modes(arguments);
    CHECK(object.at("valve") == "base.refill");
    REQUIRE(object.at("modes").size() == 12);
    for (std::size_t i = 0; i < 12; ++i)
        CHECK(frequency(object, i, "oil") < frequency(object, i, "air"));
    CHECK(run("modes " + arguments + " --json").out == run("modes " + arguments + " --json").out);
    CHECK(modes(found).at("valves").size() == 4);

    const Run table = run("modes " + found + " --csv");
    CHECK(table.status == 0);
    CHECK(table.out.rfind("valve,nodal_diameters,family,frequency_air_Hz,frequency_oil_Hz,", 0) == 0);
    CHECK(std::count(table.out.begin(), table.out.end(), '\n') == 1 + 4 * 12);
    const Run text = run("modes " + arguments);
    CHECK(text.status == 0);
    CHECK_THAT(text.out, contains_text("Lowest in oil: "));
}

TEST_CASE("colder oil is heavier, and a bent stack stiffer", "[program]") {
    const std::string stack = found + " --valve base.compression";
    const json warm = modes(stack);
    const json cold = modes(stack + " --set 'oil.temperature=0 C'");
    CHECK(frequency(cold, 0, "air") == frequency(warm, 0, "air"));
    CHECK(frequency(cold, 0, "oil") < frequency(warm, 0, "oil"));
    const json bent = modes(stack + " --pressure 20");
    CHECK(bent.at("pressure_Pa") == 20e5);
    CHECK(frequency(bent, 0, "air") > 1.2 * frequency(warm, 0, "air"));
    const json linear = modes(stack + " --pressure 20 --theory linear");
    CHECK(frequency(linear, 0, "air") < 1.1 * frequency(warm, 0, "air"));
}

TEST_CASE("a valve alone vibrates in air; the text says why there is no oil", "[program]") {
    const std::string alone = file_with("alone.yaml", R"(format: 1
title: one stack
valve:
  ports: {count: 4, area: 11 mm2}
  zone: {inner: 12 mm, outer: 19 mm}
  seat: {inner: 19 mm, outer: 20 mm}
  clamp: 9 mm
  shims: [2 * 21 x 0.15, 15 x 0.15]
)");
    const json object = modes(alone);
    CHECK(object.at("modes").at(0).at("frequency_oil_Hz").is_null());
    CHECK(object.at("no_oil_because") == "the file gives no oil");
    CHECK(frequency(object, 0, "air") > 1000.0);
    CHECK_THAT(run("modes " + alone).out, contains_text("The file gives no oil"));
}

TEST_CASE("modes refuses what it cannot mean or reach", "[program]") {
    for (const char* options : {"--pressure=-1", "--pressure nan", "--valve no.such", "--json --csv"}) {
        INFO(options);
        const Run wrong = run("modes " + found + " " + options);
        CHECK(wrong.status == 2);
        CHECK(wrong.out.empty());
    }
    const Run beyond = run("modes " + found + " --valve piston.compression --pressure 5000 --json");
    CHECK(beyond.status == 4);
    CHECK(json::parse(beyond.out).at("error").is_string());
}
