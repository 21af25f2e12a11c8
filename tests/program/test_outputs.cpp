#include <program/run.hpp>
#include <support/catch.hpp>

#include <filesystem>
#include <map>
#include <string>
#include <vector>

using namespace valve::tests;

namespace {

const std::string linear = " --theory linear";

/// Files of a workshop that name each other, copied so that they may be written over; by name.
std::map<std::string, std::string> workshop() {
    const auto demo = [](const char* name) {
        return content(std::string(VALVE_SOURCE_DIR) + "/stacks/" + name);
    };
    const std::map<std::string, std::string> texts{
        {"rally-fork.yaml", demo("rally-fork.yaml")},
        {"variant.yaml", demo("rally-fork-softer-check.yaml")},
        {"drawer.yaml", demo("drawers/van.yaml")},
        {"run.csv", demo("rally-fork-run.csv")},
        {"road.csv", "distance [m];height [mm]\n0;0\n2;0\n2.5;20\n3;0\n9;0\n"},
        {"road.yaml", "format: 1\nevent: {kind: profile, file: road.csv, speed: 8 m/s, duration: 0.5 s}\n"},
        {"goal.yaml", "format: 1\ngoal:\n  - {figure: peak_travel, event: road.yaml, change: -1 mm}\n"},
        {"said.yaml", "format: 1\nwords:\n  - said: [dives]\n"
                      "    goal: [{figure: peak_travel, event: road.yaml, change: -1 mm}]\n"}};
    std::map<std::string, std::string> paths;
    for (const auto& [name, text] : texts)
        paths[name] = file_with(name, text);
    return paths;
}

} // namespace

TEST_CASE("no command writes over a file that it reads", "[program]") {
    const std::map<std::string, std::string> at = workshop();
    const std::string file = " " + at.at("variant.yaml");
    const std::string goal = " --goal " + at.at("goal.yaml");
    const std::string drawer = " --drawer " + at.at("drawer.yaml");
    const std::vector<std::string> goal_files{"rally-fork.yaml", "variant.yaml", "goal.yaml", "road.yaml",
                                              "road.csv"};
    struct Asked {
        std::string line;
        std::string option;
        std::vector<std::string> reads;
    };
    std::vector<Asked> all{
        {"search" + file + goal + drawer + linear, "--output", goal_files},
        {"search" + file + goal + drawer + " --shard 1/2" + linear, "--output", {"rally-fork.yaml"}},
        {"search" + file + goal + drawer + " --merge " + at.at("run.csv") + linear,
         "--output",
         {"drawer.yaml", "run.csv"}},
        {"advise" + file + goal + linear, "--output", goal_files},
        {"advise" + file + " --said dives --words " + at.at("said.yaml") + linear,
         "--output",
         {"said.yaml", "road.yaml", "road.csv"}},
        {"advise" + file + " --said dives --words " + at.at("said.yaml") + " --event " + at.at("road.yaml") +
             linear,
         "--output",
         {"said.yaml", "road.yaml"}},
        {"support" + file + " --sag 75", "--output", {"rally-fork.yaml", "variant.yaml"}}};
#if VALVE_HAS_PAGE
    all.push_back({"report" + file + goal + drawer + " --measured " + at.at("run.csv") + linear,
                   "-o",
                   {"rally-fork.yaml", "drawer.yaml", "run.csv", "goal.yaml", "road.yaml", "road.csv"}});
    all.push_back(
        {"report" + file + " --event " + at.at("road.yaml") + linear, "-o", {"road.yaml", "road.csv"}});
#endif
    for (const Asked& asked : all)
        for (const std::string& name : asked.reads) {
            INFO(asked.line << " -o " << name);
            const std::string before = content(at.at(name));
            const Run refused = run(asked.line + " -o " + at.at(name));
            INFO(refused.err);
            CHECK(refused.status == 2);
            CHECK_THAT(refused.err, contains_text("wrong usage: " + asked.option + ": ") &&
                                        contains_text(name + " is read as well; it would be lost"));
            CHECK(content(at.at(name)) == before);
        }
}

TEST_CASE("a command writes over its earlier answer and over no other set-up", "[program]") {
    const std::map<std::string, std::string> at = workshop();
    const std::string base = " " + at.at("rally-fork.yaml");
    const std::string refill = " --goal stacks/goals/refill.yaml --pairs 0 --only base.refill.float" + linear;
    const std::string answer = file_with("answer.yaml", "not yet\n");
    for (const std::string& line :
         {"support" + base + " --sag 75", "advise" + base + refill, "support" + base + " --sag 75"}) {
        const Run written = run(line + " -o " + answer);
        INFO(line << written.err);
        CHECK(written.status == 0);
        CHECK_THAT(content(answer), contains_text("from: rally-fork.yaml"));
    }
    const std::string before = content(answer);
    for (const std::string& line : {"support" + base + " --sag 75 -o " + at.at("variant.yaml"),
                                    "support" + base + " --sag 75 -o " + at.at("road.yaml"),
                                    "support stacks/rally-fork.yaml --sag 75 -o " + answer,
                                    "advise stacks/rally-fork.yaml" + refill + " -o " + answer,
                                    "search" + base + " --goal " + at.at("goal.yaml") + " --drawer " +
                                        at.at("drawer.yaml") + " --shard 1/2" + linear + " -o " + answer}) {
        INFO(line);
        const Run refused = run(line);
        INFO(refused.err);
        CHECK(refused.status == 2);
        CHECK_THAT(refused.err, contains_text("wrong usage: --output: ") &&
                                    contains_text("not an earlier answer to this; it would be lost"));
    }
    CHECK(content(answer) == before);
}

TEST_CASE("a search writes no file where the set-up stays as it is", "[program][search]") {
    const std::string met =
        file_with("met-by-search.yaml",
                  "format: 1\ngoal:\n  - {figure: damping_force, speed: 1 m/s, at_most: 90 kN}\n");
    const std::string far = file_with(
        "far-for-search.yaml",
        "format: 1\ngoal:\n  - {figure: damping_force, speed: -3 m/s, change: +2 %, within: 0.1 %}\n");
    const std::string ask = "search stacks/rally-fork.yaml --drawer stacks/drawers/van.yaml --most 30 "
                            "--starts 1 --valve base.compression -o none.yaml" +
                            linear + " --goal ";
    const Run reached = run(ask + met);
    CHECK(reached.status == 4);
    CHECK_THAT(reached.err,
               contains_text("--output: nothing is written: as it is the set-up meets the goal"));
    const Run idle = run(ask + far);
    CHECK(idle.status == 4);
    CHECK_THAT(idle.err, contains_text("--output: nothing is written: nothing looked at comes nearer"));
    CHECK_FALSE(std::filesystem::exists("none.yaml"));
    CHECK_FALSE(std::filesystem::exists(std::string(VALVE_SOURCE_DIR) + "/none.yaml"));
}
