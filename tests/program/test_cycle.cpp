#include <program/run.hpp>
#include <setup/files.hpp>
#include <support/catch.hpp>

#include <nlohmann/json.hpp>

#include <algorithm>
#include <cmath>
#include <numbers>
#include <string>

using namespace valve::tests;
using nlohmann::json;

namespace {

const std::string found = "stacks/rally-fork.yaml";
const std::string softer = "stacks/rally-fork-softer-check.yaml";
const std::string plates = VALVE_SANITIZED ? " --theory linear" : ""; // the sanitizers take ten times as long
const std::string still =
    " --valves quasi-static" + plates; // so that what is told does not hang on what can move

/// The demo shock, the oil in its ports following at once, and `more` changes.
std::string shock_without_inertia(const std::string& name, const std::string& more = "") {
    return file_with(name, "format: 1\n"
                           "from: " VALVE_SOURCE_DIR "/stacks/rally-shock.yaml\n"
                           "change:\n"
                           "  valves.base.compression.ports.length: 0 mm\n"
                           "  valves.base.refill.ports.length: 0 mm\n"
                           "  valves.piston.compression.ports.length: 0 mm\n"
                           "  valves.piston.rebound.ports.length: 0 mm\n" +
                               more);
}

/// Nothing but film and flow damps its valves: no friction between shims either.
std::string slippery_shock() {
    return shock_without_inertia("slippery-shock.yaml", "  valves.piston.compression.shim_friction: 0\n"
                                                        "  valves.piston.rebound.shim_friction: 0\n");
}

json cycle(const std::string& arguments) {
    const Run solved = run("cycle " + arguments + " --json");
    INFO("valve cycle " << arguments << "\n" << solved.err);
    REQUIRE(solved.status == 0);
    return json::parse(solved.out);
}

} // namespace

TEST_CASE("a cycle closes its balances, and its loop has the energy told", "[program][cycle]") {
    const json object = cycle(found + " --stroke 60 --frequencies 1,4" + still);
    CHECK(object.at("valves") == "quasi-static");
    REQUIRE(object.at("cycles").size() == 2);
    for (const json& one : object.at("cycles")) {
        CHECK(one.at("periodic") == true);
        CHECK(one.at("balance").at("mass").get<double>() < 1e-10);
        CHECK(one.at("balance").at("energy").get<double>() < 1e-6);
        const json& series = one.at("series");
        const auto force = series.at("force_N").get<std::vector<double>>();
        const auto travel = series.at("travel_m").get<std::vector<double>>();
        REQUIRE(force.size() == travel.size());
        REQUIRE(force.size() == series.at("lift_m").at("base.refill").size());
        double area = 0.0;
        for (std::size_t i = 1; i < force.size(); ++i)
            area += 0.5 * (force[i] + force[i - 1]) * (travel[i] - travel[i - 1]);
        CHECK_THAT(area, WithinRel(one.at("energy_J").get<double>(), 5e-3)); // trapezia
        const double peak = one.at("peak_force_compression_N").get<double>();
        CHECK_THAT(peak, WithinRel(*std::max_element(force.begin(), force.end()), 2e-3)); // between samples
    }
    CHECK(object.at("cycles")[0].at("frequency_Hz") == 1.0);
    CHECK(object.at("cycles")[1].at("peak_speed_m_s").get<double>() > 0.75);
}

TEST_CASE("a check that opens too hard leaves a void, which costs travel at the next stroke",
          "[program][cycle]") {
    const std::string run_it = " --stroke 60 --frequency 12" + still;
    const json hard = cycle(found + run_it).at("cycles")[0];
    const json soft = cycle(softer + run_it).at("cycles")[0];
    CHECK(hard.at("largest_void_C_m3").get<double>() > 1e-7);
    CHECK(soft.at("largest_void_C_m3").get<double>() == 0.0);
    CHECK(hard.at("dead_travel_compression_m").get<double>() >
          1.3 * soft.at("dead_travel_compression_m").get<double>());
}

TEST_CASE("valves move where nothing else is asked, and shut after the reversal", "[program][cycle]") {
    const json object = cycle(found + " --stroke 60 --frequency 4" + plates);
    CHECK(object.at("valves") == "moving");
    const json& one = object.at("cycles")[0];
    CHECK(one.at("balance").at("energy").get<double>() < 1e-6);
    const json& check = one.at("valves")[1];
    CHECK(check.at("valve") == "base.refill");
    CHECK(check.at("shut_after_s").get<double>() > 0.0);
    CHECK(check.at("run_back_m3").get<double>() > check.at("run_back_curtain_m3").get<double>());
    // Peak forces hardly tell that valves move (seen in trials of the equations), timing does.
    const json still_one = cycle(found + " --stroke 60 --frequency 4" + still).at("cycles")[0];
    CHECK_THAT(one.at("peak_force_rebound_N").get<double>(),
               WithinRel(still_one.at("peak_force_rebound_N").get<double>(), 0.01));
}

TEST_CASE("a check that is never back on its seat has let run back no volume that could be told",
          "[program][cycle]") {
    const std::string soft = softer + " --stroke 4 --frequency 20 --set valves.base.refill.float.preload=0N"
                                      " --set valves.base.refill.float.rate=0.01N/mm"
                                      " --set valves.base.refill.float.travel=3mm --round";
    const json check = cycle(soft).at("cycles")[0].at("valves")[1];
    REQUIRE(check.at("valve") == "base.refill");
    CHECK(check.at("shut_after_s").is_null());
    CHECK(check.at("run_back_m3").is_null());
    CHECK(check.at("run_back_curtain_m3").is_null());
}

TEST_CASE("in time stacks bend round the ring unless they are to be round", "[program][cycle]") {
    if (VALVE_SANITIZED) return; // solves some seconds of plates
    const std::string fast = found + " --peak-speed 4 --valves quasi-static";
    const json bent = cycle(fast);
    const json round = cycle(fast + " --round");
    CHECK(bent.at("shape") == "as it bends");
    CHECK(bent.at("left_round").empty());
    CHECK(round.at("shape") == "round");
    for (const char* stroke : {"compression", "rebound"}) {
        const auto of = [&](const json& object, const std::string& kind) {
            return std::abs(object.at("cycles")[0].at(kind + stroke + "_N").get<double>());
        };
        CHECK(of(bent, "peak_force_") < 0.98 * of(round, "peak_force_"));
        CHECK(of(bent, "steady_force_") < 0.99 * of(round, "steady_force_"));
        CHECK_THAT(of(bent, "peak_force_"), WithinRel(of(bent, "steady_force_"), 0.06));
    }
    // Beside the cycle stands the force of the steady curve.
    const json curve = json::parse(run("curve " + found + " --speeds 4 --json").out);
    CHECK_THAT(bent.at("cycles")[0].at("steady_force_compression_N").get<double>(),
               WithinRel(curve.at("points")[0].at("force_N").get<double>(), 1e-6));
    const Run text = run("cycle " + found + " --frequency 1 --round");
    CHECK_THAT(text.out, contains_text("taken for round"));
}

TEST_CASE("valves over windows move as they bend, and of round stacks follow at once", "[program][cycle]") {
    if (VALVE_SANITIZED) return;
    const std::string windows =
        found +
        " --frequency 1 --set 'valves.piston.rebound.ports={count: 4, inner: 12 mm, outer: 19 mm, arc: 45 "
        "deg}'"
        " --set valves.piston.rebound.coverage=null --set 'valves.piston.rebound.curtain_length=60 mm'";
    const json bent = cycle(windows);
    CHECK(bent.at("valves") == "moving");
    CHECK(bent.at("valves_because").is_null());
    const json round = cycle(windows + " --round");
    CHECK(round.at("valves") == "quasi-static");
    CHECK_THAT(round.at("valves_because").get<std::string>(),
               contains_text("piston.rebound: its ports are windows"));
    const auto lift = [](const json& object) {
        return object.at("cycles")[0].at("valves")[3].at("largest_lift_m").get<double>();
    };
    CHECK(lift(bent) > 0.0);
}

TEST_CASE("cycles as text and as a table", "[program][cycle]") {
    const Run text = run("cycle " + found + " --stroke 40 --frequencies 2,5" + still);
    CHECK(text.status == 0);
    CHECK(text.err.empty());
    CHECK_THAT(text.out, contains_text("Dead travel: from the reversal"));
    CHECK_THAT(text.out, contains_text("quasi-static"));
    const Run table = run("cycle " + found + " --stroke 40 --frequency 2 --csv" + still);
    CHECK(table.status == 0);
    CHECK(table.out.rfind("frequency_Hz,time_s,travel_m,speed_m_s,force_N,p_C_Pa,", 0) == 0);
    CHECK(std::count(table.out.begin(), table.out.end(), '\n') > 300);
    const json ramp = cycle(found + " --wave ramp --peak-speed 0.5" + still).at("cycles")[0];
    CHECK(ramp.at("frequency_Hz").is_null());
    CHECK(ramp.at("dead_travel_rebound_m").get<double>() > 0.0);
}

TEST_CASE("a cycle explains the check where there is one alone", "[program][cycle]") {
    const std::string asked = " --frequency 1 --stroke 10 --valves quasi-static --round";
    const Run shock = run("cycle stacks/rally-shock.yaml --set valves.base.compression=null"
                          " --set valves.base.refill=null" +
                          asked);
    CHECK(shock.status == 0);
    CHECK_THAT(shock.out, contains_text("-: not reached. Steady:") && !contains_text("base.refill"));
    CHECK_THAT(run("cycle stacks/rally-fork.yaml" + asked).out,
               contains_text("Check shut: base.refill, from"));
}

TEST_CASE("a sweep tells which setting loses the least travel", "[program][cycle]") {
    const std::string asked = found + " --stroke 60 --frequencies 4,12 --sweep "
                                      "valves.base.refill.float.rate=0.8,60";
    const json object = cycle(asked + still);
    REQUIRE(object.at("settings").size() == 2);
    CHECK(object.at("key") == "valves.base.refill.float.rate");
    const auto lost = [&](std::size_t i) {
        double sum = 0.0;
        for (const json& one : object.at("settings")[i].at("cycles"))
            sum += one.at("dead_travel_compression_m").get<double>() +
                   one.at("dead_travel_rebound_m").get<double>();
        return sum;
    };
    CHECK(object.at("least_dead_travel") == (lost(0) < lost(1) ? "0.8" : "60"));
    const json alone =
        cycle(found + " --stroke 60 --frequencies 4,12 --set valves.base.refill.float.rate=0.8" + still);
    CHECK(alone.at("cycles")[1].at("dead_travel_compression_m") ==
          object.at("settings")[0].at("cycles")[1].at("dead_travel_compression_m"));
    const Run text = run("cycle " + asked + still);
    CHECK(text.status == 0);
    CHECK_THAT(text.out, contains_text("Least dead travel in all: valves.base.refill.float.rate at"));
    const Run table = run("cycle " + asked + still + " --csv");
    CHECK(std::count(table.out.begin(), table.out.end(), '\n') == 5); // a head, two settings at two speeds
}

TEST_CASE("settings between which dead travel does not differ are not told as better", "[program][cycle]") {
    const std::string asked = found + " --frequency 4 --sweep oil.temperature=40,40.01" + still;
    const json object = cycle(asked);
    CHECK(object.at("alike_in_dead_travel") == json({"40", "40.01"}));
    CHECK_THAT(run("cycle " + asked).out,
               contains_text("Dead travel in all does not differ between the settings of oil.temperature"));
}

TEST_CASE("of several cycles the one that fails is named and the others are told", "[program][cycle]") {
    const std::string asked = found + " --stroke 60 --frequencies 1,4,20 --set oil.free_air=0" + still;
    const Run text = run("cycle " + asked);
    CHECK(text.status == 4);
    const std::size_t named = text.out.find("At 20 Hz there is no result: ");
    REQUIRE(named != std::string::npos);
    CHECK(named < text.out.find("dead in"));
    CHECK_THAT(text.out, contains_text("unsolved"));
    const json cycles = json::parse(run("cycle " + asked + " --json").out).at("cycles");
    REQUIRE(cycles.size() == 3);
    CHECK(cycles[1].at("error").is_null());
    CHECK(cycles[1].at("dead_travel_rebound_m").is_number());
    CHECK(cycles[2].at("error").is_string());
    const Run table = run("cycle " + asked + " --csv");
    CHECK(table.status == 4);
    CHECK_THAT(table.err, contains_text("no result"));
    CHECK(table.out.find("\n20") == std::string::npos);
    CHECK(table.out.find("\n4") != std::string::npos);
}

TEST_CASE("a measured motion is run through once", "[program][cycle]") {
    const Folder folder;
    std::string text = "time [ms];position [mm]\n";
    for (int i = 0; i <= 200; ++i)
        text += std::to_string(5 * i) + ";" +
                std::to_string(150.0 - 30.0 * std::cos(2.0 * std::numbers::pi * i / 100.0)) + "\n";
    const std::string file = folder.write("run.csv", text);
    const json one =
        cycle(found + " --trace " + file + " --columns time=time,travel=position" + still).at("cycles")[0];
    CHECK(one.at("wave") == "trace");
    CHECK_THAT(one.at("stroke_m").get<double>(), WithinRel(0.06, 1e-6));
    CHECK(one.at("balance").at("mass").get<double>() < 1e-10);
    const json sine = cycle(found + " --stroke 60 --travel 150 --frequency 2" + still).at("cycles")[0];
    CHECK_THAT(one.at("peak_force_compression_N").get<double>(),
               WithinRel(sine.at("peak_force_compression_N").get<double>(), 0.01));
    CHECK(run("cycle " + found + " --trace " + file + " --stroke 60").status == 2);

    const std::string still_file =
        folder.write("stands.csv", "time [ms];travel [mm]\n0;120\n5;120\n10;120\n15;120\n");
    const Run stands = run("cycle " + found + " --trace " + still_file + still);
    CHECK(stands.status == 2);
    CHECK_THAT(stands.err, contains_text("stands.csv: the rod stands still at 120 mm"));

    // A dynamometer counts from the middle of the stroke.
    std::string zeroed = "time [ms];position [mm]\n";
    for (int i = 0; i <= 200; ++i)
        zeroed += std::to_string(5 * i) + ";" +
                  std::to_string(-30.0 * std::cos(2.0 * std::numbers::pi * i / 100.0)) + "\n";
    const std::string asked = "cycle " + found + " --trace " + folder.write("zeroed.csv", zeroed) +
                              " --columns time=time,travel=position" + still;
    const Run refused = run(asked);
    CHECK(refused.status == 2);
    CHECK_THAT(refused.err, contains_text("zeroed.csv: a motion from -30 to 30 mm") &&
                                contains_text("--travel puts its middle"));
    const json placed = json::parse(run(asked + " --travel 150 --json").out).at("cycles")[0];
    CHECK_THAT(placed.at("peak_force_compression_N").get<double>(),
               WithinRel(one.at("peak_force_compression_N").get<double>(), 1e-6));
    CHECK(run("cycle " + found + " --columns time=time").status == 2);
    const Run quick = run("cycle " + found + " --frequency 500 --stroke 300");
    CHECK(quick.status == 2);
    CHECK_THAT(quick.err, contains_text("--frequency: 500 Hz over a stroke of 300 mm move the rod at up to "
                                        "471.2 m/s; expected no more than 100 m/s"));
    CHECK(run("cycle " + found + " --frequency 500 --stroke 300 --wave triangle").status == 2);
}

TEST_CASE("figures of a cycle stand in the table of figures", "[program][cycle]") {
    const std::string asked = "compare " + found + " " + softer +
                              " --table --figures dead_travel_compression@4Hz,dead_travel_compression@12Hz " +
                              plates + " ";
    const Run solved = run(asked + "--json");
    REQUIRE(solved.status == 0);
    const json table = json::parse(solved.out);
    CHECK(table.at("columns")[0].at("frequency_Hz") == 4.0);
    const json alone = cycle(softer + " --frequencies 4,12" + plates).at("cycles");
    for (std::size_t i = 0; i < 2; ++i)
        CHECK(table.at("rows")[1].at("values")[i] == alone[i].at("dead_travel_compression_m"));
    // Each frequency is a column of its own, under a name that can be typed again.
    CHECK_THAT(run(asked + "--csv").out, contains_text("dead_travel_compression_m@4Hz"));
    CHECK_THAT(run(asked).out, contains_text("dead_travel_compression@12Hz"));
}

TEST_CASE("dead travel, voids and peaks are compared, with what they come from", "[program][cycle][long]") {
    const std::string asked = "compare " + found + " " + softer + " --frequencies 1,4 --theory linear";
    const Run solved = run(asked + " --json");
    REQUIRE(solved.status == 0);
    const json object = json::parse(solved.out);
    const json alone = cycle(softer + " --frequencies 1,4 --theory linear").at("cycles");
    int compared = 0;
    for (const json& figure : object.at("setups").at(1).at("figures"))
        for (const char* key : {"dead_travel_compression_m", "dead_travel_rebound_m",
                                "peak_force_compression_N", "peak_force_rebound_N"})
            if (figure.at("quantity") == key) {
                const std::size_t i = figure.at("frequency_Hz") == 1.0 ? 0 : 1;
                CHECK(figure.at("value") == alone.at(i).at(key));
                ++compared;
            }
    CHECK(compared == 8);
    // The check alone differs, and it is what the refill's dead travel comes from.
    const auto caused = [&](const json& change) {
        return change.at("quantity") == "dead_travel_compression_m" &&
               change.at("because").dump().find("base.refill") != std::string::npos;
    };
    CHECK(std::any_of(object.at("changes").begin(), object.at("changes").end(), caused));
    CHECK(object.at("rule_of_cycles").is_string());
    CHECK_THAT(run(asked).out, contains_text("dead travel into compression at 4 Hz"));
    CHECK(run("compare " + found + " " + softer + " --frequencies 0").status == 2);
    CHECK(run("compare --table " + found + " --frequencies 4").status == 2);
}

TEST_CASE("a cycle that cannot be asked for is refused", "[program][cycle]") {
    CHECK(run("cycle " + found + " --wave square").status == 2);
    CHECK(run("cycle " + found + " --frequency 0").status == 2);
    CHECK(run("cycle " + found + " --frequency 1 --peak-speed 1").status == 2);
    CHECK(run("cycle " + found + " --valves sticky").status == 2);
    CHECK(run("cycle " + found + " --travel 10 --stroke 60 --frequency 1" + plates).status == 2);
}

TEST_CASE("valves that swing are told by name where the forces show it", "[program][cycle][long]") {
    const auto swings = [](const std::string& arguments, const std::string& name) {
        const json object = cycle(arguments);
        for (const json& valve : object.at("cycles")[0].at("valves"))
            if (valve.at("valve") == name) return valve.at("swings").get<int>();
        return -1;
    };
    const std::string quiet = found + " --frequency 4";
    CHECK(swings(quiet, "base.compression") == 1);
    CHECK_THAT(run("cycle " + quiet).out, !contains_text("valves swing"));
    const std::string loud = slippery_shock() + " --peak-speed 1 --theory linear";
    CHECK(swings(loud, "piston.rebound") >= 10);
    CHECK_THAT(run("cycle " + loud).out, contains_text("valves swing"));
    CHECK_THAT(run("cycle " + loud + " --valves quasi-static").out, !contains_text("valves swing"));
}

TEST_CASE("friction between shims holds the small swings from which greater ones grow without it",
          "[program][cycle][long]") {
    const std::string fast = " --peak-speed 1 --theory linear";
    const auto above_steady = [&](const std::string& file) {
        const json one = cycle(file + fast).at("cycles")[0];
        return one.at("peak_force_rebound_N").get<double>() / one.at("steady_force_rebound_N").get<double>();
    };
    const std::string rubbing = shock_without_inertia("rubbing-shock.yaml");
    CHECK(above_steady(slippery_shock()) > 1.5);
    CHECK_THAT(above_steady(rubbing), WithinAbs(1.0, 0.02));
    // A blow may start them all the same: from which speed they last is told without friction.
    const json told = cycle(rubbing + fast).at("swings_from");
    REQUIRE(told.size() == 2);
    CHECK(told[0].at("valve") == "base.compression");
    CHECK(told[1].at("valve") == "piston.rebound");
    CHECK(told == cycle(slippery_shock() + fast).at("swings_from"));
}

TEST_CASE("after a blow the oil in the ports damps swings that friction between shims does not hold",
          "[program][cycle][long]") {
    const std::string blow = " --set 'oil.free_air=3 %' --wave ramp --peak-speed 2 --theory linear";
    const auto most_swings = [&](const std::string& file) {
        int most = 0;
        const json solved = cycle(file + blow);
        for (const json& valve : solved.at("cycles")[0].at("valves"))
            most = std::max(most, valve.at("swings").get<int>());
        return most;
    };
    CHECK(most_swings(shock_without_inertia("rubbing-shock.yaml")) >= 10);
    CHECK(most_swings("stacks/rally-shock.yaml") < 5);
}

TEST_CASE("sines leave a monotube of many thin shims and much air calm, and its balances closed",
          "[program][cycle][long]") {
    const std::string file =
        file_with("monotube.yaml",
                  "format: 1\n"
                  "title: Invented monotube\n"
                  "oil: {density: 850 kg/m3, viscosity: {40 C: 16 mm2/s, 100 C: 3.9 mm2/s}, free_air: 3 %}\n"
                  "damper: {layout: monotube, bore: 46 mm, rod: 14 mm, travel: 100 mm}\n"
                  "reservoir: {kind: gas_piston, diameter: 46 mm, gas_volume: 90 ml, gas_pressure: 12 bar,\n"
                  "            friction: 20 N}\n"
                  "valves:\n"
                  "  piston.compression:\n"
                  "    ports: {count: 4, area: 40 mm2}\n"
                  "    zone: {inner: 22 mm, outer: 34 mm}\n"
                  "    seat: {inner: 34 mm, outer: 36 mm}\n"
                  "    clamp: 16 mm\n"
                  "    shims: [3 * 38 x 0.15, 34 x 0.15, 30 x 0.15, 26 x 0.15, 22 x 0.20, 18 x 0.20]\n"
                  "  piston.rebound:\n"
                  "    ports: {count: 4, area: 30 mm2}\n"
                  "    zone: {inner: 20 mm, outer: 30 mm}\n"
                  "    seat: {inner: 30 mm, outer: 32 mm}\n"
                  "    clamp: 14 mm\n"
                  "    shims: [3 * 34 x 0.15, 30 x 0.15, 26 x 0.15, 22 x 0.15, 18 x 0.20, 16 x 0.20]\n");
    const json object = cycle(file + " --frequencies 1,4,12");
    for (const json& one : object.at("cycles")) {
        const auto number = [&](const std::string& key) { return one.at(key).get<double>(); };
        CAPTURE(number("frequency_Hz"));
        CHECK_THAT(number("peak_force_compression_N"), WithinRel(number("steady_force_compression_N"), 0.03));
        CHECK_THAT(number("peak_force_rebound_N"),
                   WithinAbs(number("steady_force_rebound_N"),
                             0.04 * std::abs(number("steady_force_rebound_N")) + 10.0));
        CHECK(number("dead_travel_compression_m") < 3e-3); // of strokes of 40 mm
        CHECK(number("dead_travel_rebound_m") < 3e-3);
        CHECK(one.at("balance").at("mass").get<double>() < 1e-10);
        CHECK(one.at("balance").at("energy").get<double>() < 1e-6);
    }
}

TEST_CASE("a rod whose speed jumps is told to be what strikes", "[program][cycle]") {
    const std::string blow = "the rod's speed jumps where it turns round";
    const auto told = [](const std::string& wave) {
        return run("cycle stacks/rally-shock.yaml --stroke 30 --frequency 4 --theory linear --wave " + wave)
            .out;
    };
    CHECK_THAT(told("triangle"), contains_text(blow));
    CHECK_THAT(told("sine"), !contains_text(blow));
}

TEST_CASE("compare tells where valves swing in its cycles", "[program][cycle][compare][long]") {
    const std::string pair =
        "compare " + slippery_shock() + " stacks/rally-shock.yaml --theory linear --frequencies 0.5,6";
    const json both = json::parse(run(pair + " --json").out);
    for (const json& setup : both.at("setups"))
        CHECK(setup.at("cycle_valves") == "moving");
    CHECK(both.at("setups")[0].at("swinging_Hz") == json{6.0});
    CHECK(both.at("setups")[1].at("swinging_Hz").empty());
    CHECK_THAT(run(pair).out, contains_text("at 6 Hz valves swing by themselves"));
}

TEST_CASE("cycle tells from which speed valves swing by themselves, whatever speeds are run",
          "[program][cycle][long]") {
    const auto swings = [](const std::string& arguments) { return cycle(arguments).at("swings_from"); };
    CHECK(swings(found + " --frequency 4").empty());
    const std::string shock = shock_without_inertia("rubbing-shock.yaml");
    const json slow = swings(shock + " --peak-speed 0.6 --round");
    const json fast = swings(shock + " --peak-speed 1 --round");
    REQUIRE(slow.size() == 1);
    CHECK(slow[0] == fast[0]);
    CHECK(slow[0].at("valve") == "base.compression");
    CHECK(slow[0].at("stroke") == "compression");
    CHECK_THAT(run("cycle " + shock + " --peak-speed 0.6 --round").out,
               contains_text("valves swing by themselves even at constant rod speed"));
    CHECK(swings(shock + " --peak-speed 0.6 --round --valves quasi-static").empty());
}
