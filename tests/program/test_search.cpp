#include <program/run.hpp>
#include <support/catch.hpp>

#include <nlohmann/json.hpp>

#include <filesystem>
#include <string>

using namespace valve::tests;
using nlohmann::json;

namespace {

const std::string search_fork = "search stacks/rally-fork.yaml --theory linear --valve base.compression ";
const std::string goal = "--goal stacks/goals/harder-hits.yaml ";
const std::string drawer = "--drawer stacks/drawers/van.yaml ";
const std::string quick = "--most 120 --starts 2 ";

} // namespace

TEST_CASE("a search tells stacks, what they reach, and what was looked at", "[program][search]") {
    const std::string out = file_with("found.yaml", "");
    const Run found = run(search_fork + goal + drawer + quick + "--json -o " + out);
    INFO(found.err);
    REQUIRE(found.status == 0);
    const json result = json::parse(found.out);
    REQUIRE(!result.at("stacks").empty());
    const json& best = result.at("stacks").at(0);
    CHECK(best.at("valves").at("base.compression").is_array());
    CHECK(best.at("reached").size() == result.at("lines").size());
    CHECK(best.at("changed_shims").get<int>() > 0);
    CHECK(best.at("error_steps") < result.at("today").at("error_steps"));
    const json& coverage = result.at("coverage");
    CHECK(coverage.at("exhaustive") == false);
    CHECK(coverage.at("candidates") > 1e6);
    CHECK(coverage.at("screened") == 120);
    CHECK(coverage.at("solved").get<int>() >= 5);
    CHECK(coverage.at("seed") == 1);

    // The file does what was promised.
    const Run curve = run("curve " + out + " --theory linear --speeds=0.3,1,3 --json");
    REQUIRE(curve.status == 0);
    const json points = json::parse(curve.out).at("points");
    for (const json& point : points)
        for (std::size_t i = 0; i < result.at("lines").size(); ++i)
            if (result.at("lines").at(i).at("speed_m_s") == point.at("speed_m_s"))
                CHECK_THAT(
                    point.at("damping_force_N").get<double>(),
                    Catch::Matchers::WithinRel(best.at("reached").at(i).at("value").get<double>(), 1e-9));

    const Run again = run(search_fork + goal + drawer + quick + "--json");
    CHECK(again.out == found.out);
    const Run one_core = shell("taskset -c 0 " + std::string(VALVE_PROGRAM) + " " + search_fork + goal +
                               drawer + quick + "--json");
    if (one_core.status == 0) CHECK(one_core.out == found.out);

    const Run text = run(search_fork + goal + drawer + quick + "-o " + out);
    CHECK_THAT(text.out,
               contains_text("\n" + out + ": written, number 1 as a variant of stacks/rally-fork.yaml.\n"));
    CHECK_THAT(text.out, contains_text("goal error"));
    CHECK_THAT(text.out, contains_text("base.compression: ["));
    CHECK_THAT(text.out, contains_text("and the shims of the stacks that may change"));
    CHECK_THAT(text.out, contains_text("drawn at random"));

    const Run idle =
        run("search stacks/rally-fork.yaml --theory linear --valve piston.rebound " + goal + drawer + quick);
    CHECK_THAT(idle.out,
               contains_text("Nothing tried with these valves moves the goal: the set-up stays as it "
                             "is. It misses"));
    CHECK_THAT(idle.out, !contains_text("shim:"));
}

TEST_CASE("parts of a search are put together to the same answer", "[program][search]") {
    const Run whole = run(search_fork + goal + drawer + quick + "--json");
    REQUIRE(whole.status == 0);
    const std::string one = file_with("one.yaml", "");
    const std::string two = file_with("two.yaml", "");
    CHECK(run(search_fork + goal + drawer + quick + "--shard 1/2 -o " + one).status == 0);
    const Run second = run(search_fork + goal + drawer + quick + "--shard 2/2 --json -o " + two);
    CHECK(second.status == 0);
    const json told = json::parse(second.out);
    CHECK(told.at("output") == two);
    CHECK(told.at("part") == 2);
    CHECK(told.at("of") == 2);
    CHECK(told.at("screened") == 60);
    const Run merged = run(search_fork + goal + drawer + quick + "--json --merge " + two + " --merge " + one);
    CHECK(merged.out == whole.out);
    const Run missing = run(search_fork + goal + drawer + quick + "--merge " + one);
    CHECK(missing.status == 3);
    CHECK_THAT(missing.err, contains_text("1 of 2 parts"));
    const Run other = run(search_fork + goal + drawer + "--merge " + one + " --merge " + two);
    CHECK(other.status == 3);
    CHECK_THAT(other.err, contains_text("another search"));
    const Run no_part = run(search_fork + goal + drawer + quick + "--merge stacks/goals/harder-hits.yaml");
    CHECK(no_part.status == 3);
    CHECK_THAT(no_part.err, contains_text("title: unknown key"));
}

TEST_CASE("wrong use of a search is told", "[program][search]") {
    const auto refused = [](const std::string& arguments, int status, const std::string& words) {
        const Run run = valve::tests::run(arguments);
        INFO(arguments << "\n" << run.err);
        CHECK(run.status == status);
        CHECK_THAT(run.err, contains_text(words));
    };
    refused("search stacks/rally-fork.yaml " + drawer, 2, "--goal");
    refused("search stacks/rally-fork.yaml " + goal, 2, "--drawer");
    refused(search_fork + goal + drawer + "--valve base.compresion", 2, "did you mean 'base.compression'?");
    refused(search_fork + goal + drawer + "--order up", 2, "taper|any");
    refused(search_fork + goal + drawer + "--most 0", 2,
            "--most: expected a whole number from 1 to 10000000, got 0");
    refused(search_fork + goal + drawer + "--most many", 2, "expected a whole number, got 'many'");
    refused(search_fork + goal + drawer + "--shard 3/2 -o x.yaml", 2, "part K of N");
    refused(search_fork + goal + drawer + "--shard 1/2", 2, "say with -o");
    refused(search_fork + goal + drawer + "--turn base.refill", 2, "--turn: no adjuster 'base.refill'");
    refused(search_fork + goal + drawer + "--turn support.spring", 3, "no line asks for sag or support");
    refused(search_fork + goal + "--drawer stacks/rally-fork.yaml", 3, "unknown key");
    refused(search_fork + drawer + "--goal stacks/rally-fork.yaml", 3, "unknown key");
    refused("search stacks/rally-fork.yaml --valve base.compression " + goal + drawer +
                "-o stacks/rally-fork.yaml",
            2, "--output");
}
