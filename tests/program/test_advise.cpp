#include <program/run.hpp>
#include <support/catch.hpp>

#include <nlohmann/json.hpp>

#include <filesystem>
#include <string>

using namespace valve::tests;
using nlohmann::json;

namespace {

const std::string found = "stacks/rally-fork.yaml";
const std::string linear = " --theory linear";

} // namespace

TEST_CASE("advise tells changes best first, the same bytes each time, and writes one as a variant",
          "[program][advise]") {
    const std::string line = "advise " + found + " --goal stacks/goals/refill.yaml --pairs 0" + linear;
    const Run first = run(line + " --json");
    INFO(first.err);
    REQUIRE(first.status == 0);
    CHECK(run(line + " --json").out == first.out);
    const json object = json::parse(first.out);
    CHECK(object.at("met_today") == false);
    CHECK(object.at("can_be_met") == true);
    REQUIRE(object.at("lines").size() == 4);
    CHECK(object.at("lines")[0].at("quantity") == "refill_deficit_Pa");
    CHECK(object.at("lines")[0].at("must") == "at_most");
    REQUIRE_FALSE(object.at("changes").empty());
    const json& best = object.at("changes")[0];
    for (const char* key : {"key", "from", "to", "reached", "side_effect", "effort"})
        CHECK(best.contains(key));
    CHECK(best.at("meets") == true);

    const std::string path = (std::filesystem::temp_directory_path() / "valve-advised.yaml").string();
    const Run told = run(line + " -o " + path);
    INFO(told.out << told.err);
    REQUIRE(told.status == 0);
    CHECK_THAT(told.out, contains_text("Single changes, the best first"));
    CHECK_THAT(content(path), contains_text(best.at("key").get<std::string>()));
    const Run again =
        run("advise " + path + " --goal stacks/goals/refill.yaml --pairs 0" + linear + " --json");
    CHECK(json::parse(again.out).at("met_today") == true);
    std::filesystem::remove(path);

    const Run csv = run(line + " --csv");
    CHECK(csv.out.starts_with("key,from,to,reached,side_effect,effort,"));
}

TEST_CASE("advise refuses what it cannot use", "[program][advise]") {
    CHECK(run("advise " + found).status == 2);
    const Run none = run("advise " + found + " --goal none.yaml");
    CHECK(none.status == 3);
    CHECK_THAT(none.err, contains_text("none.yaml: error: cannot be read"));
    const Run set_up = run("advise " + found + " --goal " + found);
    CHECK(set_up.status == 3);
    CHECK_THAT(set_up.err, contains_text("known here: format, title, note, goal"));
    const Run take = run("advise " + found +
                         " --goal stacks/goals/refill.yaml --pairs 0 --only base.refill --take 99 "
                         "-o none.yaml" +
                         linear);
    CHECK(take.status == 2);
    CHECK_THAT(take.err, contains_text("--take: there is no change 99"));
    const Run key = run("advise " + found + " --goal stacks/goals/refill.yaml --only base.refil" + linear);
    CHECK(key.status == 2);
    CHECK_THAT(key.err, contains_text("--only: base.refil"));
    CHECK(run("advise " + found + " --goal stacks/goals/refill.yaml -o stacks/goals/refill.yaml" + linear)
              .status == 2);
    CHECK(run("advise " + found + " --goal stacks/goals/refill.yaml --travel 301" + linear).status == 2);
    CHECK(run("diagnose " + found + " --travel 301" + linear).status == 2);
    const std::string ride = file_with("ride.yaml", "format: 1\ngoal:\n  - {figure: peak_travel, event: "
                                                    "landing.yaml, change: -10 mm}\n");
    CHECK_THAT(run("advise " + found + " --goal " + ride).err,
               contains_text("ride.yaml:3:34") && contains_text("landing.yaml: error: cannot be read"));
    CHECK(
        run("advise " + found + " --goal stacks/goals/refill.yaml --event stacks/events/drop.yaml").status ==
        2);
}

TEST_CASE("advise reads what a rider says, by the table of words alone", "[program][advise][words]") {
    const Run said = run("advise " + found +
                         " --said 'dives, small bumps fine, feels nervous' --pairs 0 "
                         "--only base.compression.bleed" +
                         linear + " --json");
    INFO(said.err);
    REQUIRE(said.status == 0);
    CHECK_THAT(said.err, contains_text("what is meant by 'feels nervous'") && contains_text("bottoms out"));
    const json object = json::parse(said.out);
    REQUIRE(object.at("lines").size() == 3);
    CHECK(object.at("goal_title") == "dives, small bumps fine, feels nervous");
    CHECK(object.at("lines")[0].at("must") == "change");
    CHECK(run("advise " + found + " --said 'feels nervous'" + linear).status == 2);
    CHECK(run("advise " + found + " --said dives --goal stacks/goals/refill.yaml").status == 2);
    CHECK(run("advise " + found + " --goal stacks/goals/refill.yaml --words stacks/words.yaml").status == 2);
}
