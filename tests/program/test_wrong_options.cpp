#include <program/run.hpp>
#include <support/catch.hpp>

#include <nlohmann/json.hpp>

#include <cmath>
#include <numbers>
#include <string>
#include <vector>

using namespace valve::tests;

namespace {

const std::string found = " stacks/rally-fork.yaml ";
const std::string shock = " stacks/rally-shock.yaml ";

struct Asked {
    std::string option; ///< that the message names
    std::string line;
};

void refuses_all(const std::vector<Asked>& lines) {
    for (const Asked& asked : lines) {
        INFO("valve " << asked.line);
        const Run wrong = run(asked.line);
        CHECK(wrong.status == 2);
        CHECK(wrong.out.empty());
        CHECK_THAT(wrong.err, contains_text("wrong usage: " + asked.option));
    }
}

} // namespace

TEST_CASE("what a damper has not is wrong usage in every command", "[program]") {
    const std::string measured = " --measured stacks/rally-fork-run.csv ";
    const std::string trace = " --trace stacks/rally-fork-run.csv ";
    refuses_all(
        {{"--travel: 301 mm", "curve" + found + "--travel 301"},
         {"--travel: 301 mm", "compare" + found + found + "--travel 301"},
         {"--travel: 301 mm", "compare" + found + found + "--table --travel 30.1cm"},
         {"--travel: 301 mm", "report" + found + "--json --travel 301"},
         {"--travel: 301 mm", "cycle" + found + "--travel 301 --stroke 60"},
         {"--travel: a motion from -20 to 40 mm", "cycle" + found + "--travel 10 --stroke 60 --frequency 1"},
         {"--stroke", "cycle" + found + "--stroke 301 --frequency 1"},
         {"--travels: 301 mm", "curve" + found + "--travels 10,301"},
         {"--travels: 131 mm", "support" + shock + "--travels 131"},
         {"--travels: -1 mm", "support" + found + "--travels=-1"},
         {"--rod-into", "curve" + shock + "--rod-into leg"},
         {"--rod-into", "compare" + shock + shock + "--rod-into leg"},
         {"--rod-into", "report" + shock + "--json --rod-into leg"},
         {"--rod-into", "cycle" + shock + "--frequency 1 --rod-into leg"},
         {"--columns: 'nonsense'", "curve" + found + measured + "--columns nonsense"},
         {"--columns: 'speed='", "curve" + found + measured + "--columns speed="},
         {"--columns: stacks/rally-fork-run.csv:2:1: error: no column 'foo'",
          "curve" + found + measured + "--columns speed=foo,force=bar"},
         {"--columns: stacks/rally-fork-run.csv:2:1: error: 'bar' is no unit of a speed",
          "compare" + found + found + measured + "--columns 'speed=-velocity[bar],damping=-load'"},
         {"--columns: travel is needed", "cycle" + found + trace + "--columns time=x"},
         {"--columns: stacks/rally-fork-run.csv:2:1",
          "cycle" + found + trace + "--columns time=x,travel=y"}});
}

TEST_CASE("what no set-up can hold is wrong usage, and the option is named that asks it", "[program]") {
    refuses_all({{"--set: error: nonsense: unknown key", "inspect" + found + "--set nonsense=1"},
                 {"--set: error: oil.tempratur: unknown key; did you mean",
                  "curve" + found + "--set oil.tempratur=3"},
                 {"--set: error: damper.bore: 'abc'", "curve" + found + "--set damper.bore=abc"},
                 {"--set: error: damper.bore: '-3'", "support" + found + "--set damper.bore=-3"},
                 {"--clicks: base.compression=99: 99 clicks lie outside the adjuster's range, 0 to 24",
                  "curve" + found + "--clicks base.compression=99"},
                 {"--clicks: base.compression=abc: 'abc' is not a number",
                  "inspect" + found + "--clicks base.compression=abc"},
                 {"--clicks: no adjuster 'nonsense'", "report" + found + "--json --clicks nonsense=1"},
                 {"--sweep: error: nonsense:", "curve" + found + "--sweep nonsense=1,2"},
                 {"--sweep: error: nonsense:", "cycle" + found + "--sweep nonsense=1,2 --frequency 1"},
                 {"--clicks: base.compression=-1: -1 clicks lie outside the adjuster's range, 0 to 24",
                  "curve" + found + "--clicks base.compression=-1"},
                 {"--clicks: base.compression=300: 300 clicks lie outside the adjuster's range, 0 to 24",
                  "curve" + found + "--clicks base.compression=300"},
                 {"--sweep: 'base.compression=4' has one value; expected NAME=VALUE,VALUE,…",
                  "curve" + found + "--sweep base.compression=4"},
                 {"--sweep: expected NAME=VALUE,VALUE,…, got 'base.compression'",
                  "curve" + found + "--sweep base.compression"},
                 {"--temperatures: expected at least two", "curve" + found + "--temperatures=30"},
                 {"--temperatures: 3000 C is out of range", "curve" + found + "--temperatures=20,3000"},
                 {"--temperatures", "curve" + found + "--temperatures=20,-300"},
                 {"--wear-to: 'fast' is not a number", "curve" + found + "--wear-to fast"},
                 {"--wear-to", "curve" + found + "--wear-to 100"},
                 {"--speeds: nothing stands at a comma of '1,,2'", "curve" + found + "--speeds 1,,2"},
                 {"--speeds: nothing stands at a comma of '1,'", "curve" + found + "--speeds 1,"},
                 {"--valve: no valve 'piston.compression'",
                  "search" + found +
                      "--set valves.piston.compression=null --valve piston.compression "
                      "--goal stacks/goals/harder-hits.yaml --drawer stacks/drawers/van.yaml"}});
    const std::string fast =
        file_with("fast.yaml", "format: 1\ngoal:\n  - {figure: damping_force, speed: 200 m/s, keep: 5 %}\n");
    const Run goal = run("advise" + found + "--goal " + fast);
    CHECK(goal.status == 3);
    CHECK_THAT(goal.err, contains_text("fast.yaml:3:36") && contains_text("200 m/s is out of range"));
    const std::string alone = file_with("alone.yaml", shell("cat" + found).out);
    const Run said = run("advise " + alone + " --said dives");
    CHECK(said.status == 3);
    CHECK_THAT(said.err, contains_text("words.yaml") && contains_text("--words names another"));
}

TEST_CASE("an option that would count for nothing is refused by its name", "[program]") {
    const std::string refill = "advise" + found + "--goal stacks/goals/refill.yaml ";
    const std::string search =
        "search" + found + "--goal stacks/goals/harder-hits.yaml --drawer stacks/drawers/van.yaml ";
    const std::string trace = "cycle" + found + "--trace stacks/rally-fork-run.csv ";
    refuses_all(
        {{"--wave: does not go with --trace", trace + "--wave ramp"},
         {"--wave: does not go with --trace", trace + "--wave sine"},
         {"--frequency: does not go with --trace", trace + "--frequency 1"},
         {"--stroke: does not go with --trace", trace + "--stroke 10"},
         {"--peak-speed: does not go with --trace", trace + "--peak-speed 1"},
         {"--changes: expected a whole number from 1 to 1000", refill + "--changes 0"},
         {"--most: belongs to --drawer", "report" + found + "--json --most 0"},
         {"--most: belongs to --drawer", "report" + found + "--json --most 5"},
         {"--most: expected a whole number from 1 to 10000000, got 0",
          "report" + found +
              "--json --goal stacks/goals/harder-hits.yaml --drawer stacks/drawers/van.yaml --most 0"},
         {"--take: belongs to --output", refill + "--take 999"},
         {"--take: belongs to --output", search + "--take 3"},
         {"--most: expected a whole number from 1 to 10000000, got 10000001", search + "--most 10000001"},
         {"--starts: expected a whole number from 1 to 1000, got 0", search + "--starts 0"},
         {"--answers: expected a whole number from 1 to 50, got 51", search + "--answers 51"},
         {"--take: a part of a search", search + "--take 1 --shard 1/2 -o none.yaml"},
         {"--valves: belongs to events", refill + "--valves moving"},
         {"--valves: belongs to events", "diagnose" + found + "--valves moving"},
         {"--valves: belongs to events", "compare" + found + found + "--valves quasi-static"},
         {"--valves: belongs to events",
          "compare" + found + "--table --figures damping_force@1 --valves quasi-static"},
         {"--speeds: every figure asked for names its own",
          "compare" + found + "--table --figures damping_force@1,void_onset_rebound --speeds 2"},
         {"--columns: belongs to --measured",
          "compare" + found + "--table --figures damping_force@1 --columns speed=x"},
         {"--sections: draws", "lift" + found + "--sections --json"},
         {"--sections: draws", "lift" + found + "--sections --csv"},
         {"--springs: give this or --rates", "support" + found + "--sag 75 --springs 5 --rates 4,6"},
         {"--fills: give this or --oils", "support" + found + "--end-force 8kN --fills 370 --oils 350,380"},
         {"--csv: has the travel alone", "support" + found + "--sag 75 --csv"}});
}

TEST_CASE("cycles that --travel leaves no room for are wrong usage that says what there is", "[program]") {
    // Of 60 mm in 300 mm: from 30 to 270 mm.
    const std::string room = "--travel: cycles of 60 mm about 10 mm leave the travel of "
                             "stacks/rally-fork.yaml; expected 30 to 270 mm";
    const std::string goal =
        file_with("dead-travel.yaml", "format: 1\ngoal:\n  - {figure: dead_travel_rebound, "
                                      "frequency: 4 Hz, keep: 5 %}\n");
    const std::string asks = " --goal " + goal + " --travel 10";
    refuses_all(
        {{room, "compare" + found + found + "--frequencies 4 --travel 10"},
         {room, "compare" + found + "--table --figures dead_travel_rebound@4Hz --travel 10"},
         {room, "advise" + found + asks},
         {room, "search" + found + "--drawer stacks/drawers/van.yaml" + asks},
         {room, "report" + found + "--json" + asks},
         {"--travel: cycles of 52 mm about 105 mm leave the travel of stacks/rally-shock.yaml; expected "
          "26 to 104 mm",
          "compare" + shock + shock + "--frequencies 4 --travel 105"}});
    CHECK(run("compare" + found + "--table --figures damping_force@1 --travel 10 --theory linear").status ==
          0);
    CHECK(run("compare" + found + "--table --figures dead_travel_rebound@4Hz --travel 30 --theory linear")
              .status == 0);
}

TEST_CASE("a sag at the wheel is one along the unit by ratio and rake, and both are told", "[program]") {
    const auto choice = [](const std::string& line) {
        const Run chosen = run("support" + line + " --json");
        INFO(chosen.err);
        REQUIRE(chosen.status == 0);
        return nlohmann::json::parse(chosen.out).at("choice");
    };
    const auto number = [](const nlohmann::json& of, const char* key) { return of.at(key).get<double>(); };
    using Catch::Matchers::WithinRel;
    // Elementary trigonometry: the demo's rake is 27 degrees.
    const double upright = std::cos(27.0 * std::numbers::pi / 180.0);
    const nlohmann::json fork = choice(found + "--wheel-sag 70 --free-wheel-sag 40");
    CHECK_THAT(number(fork.at("goal"), "sag_m"), WithinRel(0.07 / upright, 1e-12));
    CHECK_THAT(number(fork.at("goal"), "free_sag_m"), WithinRel(0.04 / upright, 1e-12));
    CHECK_THAT(number(fork.at("goal"), "sag_wheel_m"), WithinRel(0.07, 1e-12));
    CHECK_THAT(number(fork.at("reached"), "free_sag_wheel_m"),
               WithinRel(number(fork.at("reached"), "free_sag_m") * upright, 1e-12));
    const nlohmann::json by_shock = choice(shock + "--sag 30");
    CHECK(by_shock.at("goal").at("free_sag_wheel_m").is_null());
    CHECK_THAT(number(by_shock.at("goal"), "sag_wheel_m"), WithinRel(0.03 / 0.42, 1e-12)); // its motion ratio
    const nlohmann::json at_wheel = choice(shock + "--wheel-sag 75");
    CHECK_THAT(number(at_wheel.at("goal"), "sag_m"), WithinRel(0.42 * 0.075, 1e-12));
    CHECK_THAT(number(at_wheel, "rate_N_m"),
               WithinRel(number(choice(shock + "--sag 31.5"), "rate_N_m"), 1e-9));
    const Run words = run("support" + shock + "--sag 30");
    CHECK_THAT(words.out, contains_text("Choice for a sag of 30 mm (") &&
                              contains_text(" mm at the wheel)") && contains_text("(along the shock;"));
    refuses_all({{"--wheel-sag: give this or --sag", "support" + shock + "--sag 30 --wheel-sag 80"},
                 {"--free-wheel-sag: 400 mm; expected", "support" + found + "--free-wheel-sag 400"},
                 {"--wheel-sag: the file says nothing of the wheel",
                  "support" + found + "--wheel-sag 70 --set support.load=null --set vehicle=null"}});
}

TEST_CASE("what a command lacks is told with the help of that command", "[program]") {
    refuses_all({{"--event is required; see valve ride --help", "ride" + found},
                 {"FILE is required; see valve curve --help", "curve"},
                 {"A subcommand is required; see valve --help", ""}});
    CHECK_THAT(run("curve" + found + "--nonsense").err, contains_text("; see valve curve --help"));
}

TEST_CASE("what no spring, oil or hit can be is wrong usage of support", "[program]") {
    refuses_all({{"--sag: 500 mm", "support" + found + "--sag 500"},
                 {"--sag: 0 mm", "support" + found + "--sag 0"},
                 {"--free-sag: 500 mm", "support" + found + "--free-sag 500"},
                 {"--end-force", "support" + found + "--end-force 1e9"},
                 {"--hit", "support" + found + "--hit 1e300"},
                 {"--hit: '500 N'", "support" + found + "--hit '500 N'"},
                 {"--rider: 9999 kg", "support" + found + "--rider 9999kg"},
                 {"--springs", "support" + found + "--sag 75 --springs 1e300"},
                 {"--oils", "support" + found + "--end-force 8kN --oils 0,1e9"},
                 {"--fills", "support" + found + "--end-force 8kN --fills 1e9"},
                 {"--preloads", "support" + found + "--free-sag 44 --preloads 0,1e9"},
                 {"--rates: expected FROM,TO, two values, the smaller first",
                  "support" + found + "--sag 75 --rates 10,5"},
                 {"--output", "support" + found + "--sag 75 -o ."}});
    const Run at_hand = run("support" + shock + "--sag 30 --springs 30,35,40");
    CHECK(at_hand.status == 0);
    CHECK_THAT(at_hand.out, contains_text("30, 35, 40 N/mm") && contains_text("30.0 asked"));
    const std::string hit = "support" + found + "--json --hit ";
    CHECK(run(hit + "500").out == run(hit + "'0.5 kJ'").out);
    CHECK(run(hit + "500").out == run(hit + "500J").out);
    const Run none = run("support" + found + "--end-force 1N");
    CHECK(none.status == 0); // the nearest is told
    CHECK_THAT(none.out, contains_text("cannot be built within these limits") &&
                             contains_text("support.leg.oil: 1 ml"));
}

TEST_CASE("a choice of spring never replaces the file it is made from", "[program]") {
    const std::string file = file_with("fork-to-keep.yaml", shell("cat" + found).out);
    const std::string before = content(file);
    const Run refused = run("support " + file + " --sag 75mm -o " + file);
    CHECK(refused.status == 2);
    CHECK_THAT(refused.err, contains_text("wrong usage: --output"));
    CHECK(content(file) == before);
}
