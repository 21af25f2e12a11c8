#include <program/run.hpp>
#include <support/catch.hpp>

#include <nlohmann/json.hpp>

#include <filesystem>
#include <fstream>
#include <string>

using namespace valve::tests;
using nlohmann::json;

namespace {

const std::string found = "stacks/rally-fork.yaml";
const std::string linear = " --theory linear";

/// Advice for what a rider says, by the base valve's clicks alone.
Run run_said(const std::string& said) {
    const Run made = run("advise " + found + " --said " + said + " --pairs 0 --only base.compression.bleed" +
                         linear + " --json");
    INFO(made.err);
    REQUIRE(made.status == 0);
    return made;
}

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

TEST_CASE("a variant that is written through a link to a folder leads to its base from where it is",
          "[program][advise]") {
    namespace fs = std::filesystem;
    const fs::path folder = fs::temp_directory_path() / "valve-linked";
    fs::remove_all(folder);
    fs::create_directories(folder / "deep" / "down");
    fs::create_directory_symlink(folder / "deep" / "down", folder / "link");
    const fs::path demos = fs::path(VALVE_SOURCE_DIR) / "stacks";
    fs::copy_file(demos / "rally-fork.yaml", folder / "fork.yaml");
    fs::copy_file(demos / "rally-shock.yaml", folder / "deep" / "fork.yaml"); // ../fork.yaml from there
    const std::string answer = (folder / "link" / "advised.yaml").string();
    const std::string line = "advise " + (folder / "fork.yaml").string() +
                             " --goal stacks/goals/last-part.yaml --pairs 0 --only support.leg.oil -o " +
                             answer + linear;
    CHECK(run(line).status == 0);
    CHECK_THAT(content(answer), contains_text("from: ../../fork.yaml\n"));
    CHECK(run(line).status == 0); // an earlier answer of its own is written over
    fs::remove_all(folder);
}

TEST_CASE("keys that advice tells, set and no others, give what it tells", "[program][advise]") {
    const auto value = [](const std::string& file, const std::string& set, const std::string& figure) {
        const Run solved = run("compare --table " + file + set + " --figures " + figure + linear + " --json");
        INFO(solved.err);
        REQUIRE(solved.status == 0);
        return json::parse(solved.out).at("rows")[0].at("values")[0].get<double>();
    };
    struct Asked {
        const char* line;
        const char* only;
        const char* figure;
        const char* with;
    };
    for (const Asked& asked :
         {Asked{"{figure: refill_deficit, speed: -1 m/s, at_most: 0.3 bar}", "base.refill.float",
                "refill_deficit@-1", "valves.base.refill.float.preload"},
          Asked{"{figure: breakaway, at_most: 20 N}", "support.friction", "breakaway",
                "support.breakaway"}}) {
        CAPTURE(asked.line);
        const std::string goal =
            file_with("told.yaml", std::string("format: 1\ngoal:\n  - ") + asked.line + "\n");
        const Run told =
            run("advise " + found + " --goal " + goal + " --only " + asked.only + linear + " --json");
        INFO(told.err);
        REQUIRE(told.status == 0);
        const json object = json::parse(told.out);
        bool sets_both = false;
        for (const json& change : object.at("changes")) {
            std::string set;
            for (const json& step : change.at("steps")) {
                set += " --set '" + step.at("key").get<std::string>() + "=" +
                       step.at("to").get<std::string>() + "'";
                CHECK_THAT(change.at("words").get<std::string>(),
                           contains_text(step.at("key").get<std::string>().substr(
                               step.at("key").get<std::string>().starts_with("valves.") ? 7 : 0)));
                sets_both = sets_both || step.at("key") == asked.with;
            }
            CHECK(change.at("set").size() == change.at("steps").size());
            CHECK_THAT(value(found, set, asked.figure),
                       WithinRel(change.at("lines")[0].at("value").get<double>(), 1e-9));
        }
        CHECK(sets_both);
    }
}

TEST_CASE("a variant is found where its folder was named by the way back", "[program][advise]") {
    namespace fs = std::filesystem;
    const fs::path folder = fs::temp_directory_path() / "valve-way-back";
    fs::create_directories(folder / "here");
    fs::create_directories(folder / "there");
    fs::copy_file(fs::path(VALVE_SOURCE_DIR) / found, folder / "here" / "fork.yaml",
                  fs::copy_options::overwrite_existing);
    const std::string output = (folder / "here" / ".." / "there" / "x.yaml").string();
    const Run written =
        run("advise " + (folder / "here" / "fork.yaml").string() +
            " --goal stacks/goals/refill.yaml --pairs 0 --only base.refill.float -o " + output + linear);
    INFO(written.err);
    REQUIRE(written.status == 0);
    CHECK_THAT(content(output), contains_text("from: ../here/fork.yaml"));
    CHECK_THAT(written.out, contains_text("\n" + output + ": written, number 1 as a variant of "));
    CHECK(run("inspect " + output).status == 0);
    fs::remove_all(folder);
}

TEST_CASE("advise writes no file where it tells no change", "[program][advise]") {
    const std::string far = file_with(
        "far.yaml", "format: 1\ngoal:\n  - {figure: damping_force, speed: 1 m/s, at_least: 90 kN}\n");
    const std::string met = file_with(
        "met.yaml", "format: 1\ngoal:\n  - {figure: damping_force, speed: 1 m/s, at_most: 90 kN}\n");
    const std::string only = " --pairs 0 --only support.leg.oil -o none.yaml" + linear;
    for (const std::string& goal : {far, met}) {
        const Run none = run("advise " + found + " --goal " + goal + only);
        CHECK(none.status == 4);
        CHECK_THAT(none.err, contains_text("nothing is written"));
        CHECK_FALSE(std::filesystem::exists("none.yaml"));
    }
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

TEST_CASE("advise says of an event that no line is over, and of room that nobody stated",
          "[program][advise]") {
    const Run said = run_said("'small bumps fine' --event stacks/events/drop.yaml");
    CHECK_THAT(json::parse(said.out).at("cautions").dump(),
               contains_text("is over stacks/events/drop.yaml: it is not ridden."));

    const std::filesystem::path goal = std::filesystem::temp_directory_path() / "valve-wide-goal.yaml";
    std::ofstream(goal) << "format: 1\ngoal:\n"
                           "  - {figure: damping_force, speed: -1 m/s, change: 1 N}\n";
    const Run wide = run("advise " + found + " --goal " + goal.string() + linear + " --json");
    std::filesystem::remove(goal);
    REQUIRE(wide.status == 0);
    const json object = json::parse(wide.out);
    CHECK(object.at("met_today") == true);
    CHECK_THAT(object.at("lines")[0].at("words").get<std::string>(),
               contains_text("should change by +1 N, give or take ") &&
                   contains_text("(a noticeable step, as no within is given)"));
    CHECK_THAT(object.at("cautions").dump(),
               contains_text("the change asked for, +1 N, is no more than the "));
}

TEST_CASE("advise reads what a rider says, by the table of words alone", "[program][advise][words]") {
    const Run said = run_said("'dives, small bumps fine, feels nervous'");
    CHECK_THAT(said.err, contains_text("what is meant by 'feels nervous'") && contains_text("bottoms out"));
    const json object = json::parse(said.out);
    REQUIRE(object.at("lines").size() == 3);
    CHECK(object.at("goal_title") == "dives, small bumps fine, feels nervous");
    CHECK(object.at("lines")[0].at("must") == "change");
    CHECK(run("advise " + found + " --said 'feels nervous'" + linear).status == 2);
    const Run both = run("advise " + found + " --said dives --goal stacks/goals/refill.yaml");
    CHECK(both.status == 2);
    CHECK_THAT(both.err, contains_text("--said: give this or --goal, not both"));
    CHECK(run("advise " + found + " --goal stacks/goals/refill.yaml --words stacks/words.yaml").status == 2);
}
