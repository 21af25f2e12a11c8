#include <program/run.hpp>
#include <support/catch.hpp>

#include <nlohmann/json.hpp>

#include <algorithm>
#include <cmath>
#include <sstream>
#include <string>
#include <vector>

using namespace valve::tests;
using nlohmann::json;

// Linear plates where the theory does not matter: they are the quicker ones.

namespace {

const std::string found = "stacks/rally-fork.yaml";

json solved(const std::string& arguments) {
    const Run first = run(arguments + " --json");
    INFO("valve " << arguments << "\n" << first.err);
    REQUIRE(first.status == 0);
    return json::parse(first.out);
}

std::size_t lines(const std::string& text) {
    return static_cast<std::size_t>(std::count(text.begin(), text.end(), '\n'));
}

} // namespace

TEST_CASE("inspect says what a coil presses on", "[program]") {
    const std::string seat = " --set valves.base.refill.float.rests_on=seat";
    CHECK_THAT(run("inspect stacks/rally-fork.yaml").out, contains_text("N on the hub"));
    const Run seated = run("inspect stacks/rally-fork.yaml" + seat);
    CHECK_THAT(seated.out, contains_text("rests on seat; coil 60 N/mm, 22 N on the seat"));
}

TEST_CASE("inspect draws every stack of the demo and lists the defaults", "[program]") {
    std::vector<std::string> files{found};
    if (!VALVE_SANITIZED) // which take ten times as long, and see nothing else in the others
        for (const char* variant : {"softer-check", "more-float", "both"})
            files.push_back(std::string("stacks/rally-fork-") + variant + ".yaml");
    for (const std::string& file : files) {
        const Run inspected = run("inspect " + file);
        CHECK(inspected.status == 0);
        for (const char* valve : {"base.compression", "base.refill", "piston.compression", "piston.rebound"})
            CHECK_THAT(inspected.out, contains_text("\n" + std::string(valve) + "\n"));
        CHECK_THAT(inspected.out, contains_text("6 * 24 x 0.15"));
        CHECK_THAT(inspected.out, contains_text("oil.cavitation_pressure: 0.2 bar"));
        CHECK_THAT(inspected.out, contains_text("material.E: 206 GPa"));
        CHECK_THAT(inspected.out, contains_text("shim 7 of piston.rebound is bent beyond endless life"));
    }
    const json object = solved("inspect " + found);
    REQUIRE(object.at("valves").size() == 4);
    // 6 x 0.15 + 3 x 0.15 + 2 x 0.20 mm
    CHECK_THAT(object.at("valves").at(0).at("stack_height_m").get<double>(), WithinRel(1.75e-3, 1e-12));
    CHECK(object.at("defaults").size() > 40);
}

TEST_CASE("lift gives the points asked for, or all valves in turn", "[program]") {
    const json one = solved("lift " + found + " --valve base.refill --pressures 0.5,1,2 --theory linear");
    CHECK(one.at("valve") == "base.refill");
    REQUIRE(one.at("points").size() == 3);
    CHECK(one.at("points").at(1).at("pressure_Pa") == 1e5);
    CHECK(one.at("points").at(0).at("seat_lift_m") < one.at("points").at(2).at("seat_lift_m"));

    const std::string all = "lift " + found + " --pressures 1 --theory linear";
    CHECK(solved(all).at("valves").size() == 4);
    const Run table = run(all + " --csv");
    CHECK(table.status == 0);
    CHECK(table.out.rfind("valve,pressure_Pa,seat_lift_m,", 0) == 0);
    CHECK(lines(table.out) == 5);

    // Of four valves one has windows: its columns stand in every row.
    const std::string windows = " --set 'valves.piston.rebound.ports={count: 4, diameter: 4 mm}'"
                                " --set valves.piston.rebound.coverage=0.6 --csv";
    const Run mixed = run(all + windows);
    CHECK(mixed.status == 0);
    CHECK(mixed.out.find(",seat_lift_mid_port_m,seat_lift_mid_land_m,") != std::string::npos);
    CHECK(lines(mixed.out) == 5);
}

TEST_CASE("lift follows a stack into waves unless the round shape is asked for", "[program]") {
    const std::string asked = "lift " + found + " --valve piston.compression --pressures 15";
    const json bent = solved(asked);
    const json round = solved(asked + " --round");
    CHECK(bent.at("shape") == "as it bends");
    CHECK(round.at("shape") == "round");
    CHECK(bent.at("points").at(0).at("waves") == 3);
    CHECK(round.at("points").at(0).at("waves").is_null());
    CHECK(bent.at("points").at(0).at("seat_lift_m") > round.at("points").at(0).at("seat_lift_m"));
}

TEST_CASE("lift tells other numbers of waves where it is asked", "[program]") {
    const std::string asked = "lift " + found + " --valve piston.compression --pressures 1,15";
    CHECK(solved(asked).at("wave_branches").is_null());
    const json bent = solved(asked + " --other-waves");
    const json& told = bent.at("wave_branches").at(0);
    CHECK(told.at("waves") == bent.at("points").at(1).at("waves"));
    CHECK(told.at("seat_lift_m") == bent.at("points").at(1).at("seat_lift_m"));
    CHECK(told.at("buckles_from_Pa") == bent.at("waves_from_Pa"));
    CHECK(told.at("released_J") > 0.0);
    CHECK(solved(asked + " --other-waves --round").at("wave_branches").empty());
    CHECK(run(asked + " --sections").out.find("At 15.00 bar, the number of each shim") != std::string::npos);
    CHECK(run(asked + " --sections --round").out.find("number of each shim") == std::string::npos);
}

TEST_CASE("curve follows stacks into waves unless the round shape is asked for", "[program]") {
    const std::string asked = "curve " + found + " --speeds=-4,-1,1,5";
    const json bent = solved(asked);
    const json round = solved(asked + " --round");
    CHECK(bent.at("shape") == "as it bends");
    CHECK(round.at("shape") == "round");
    const auto force = [](const json& curve, std::size_t i) {
        return curve.at("points").at(i).at("damping_force_N").get<double>();
    };
    for (const std::size_t slow : {std::size_t{1}, std::size_t{2}}) // no stack has buckled yet
        CHECK(force(bent, slow) == force(round, slow));
    CHECK(std::abs(force(bent, 0)) < 0.95 * std::abs(force(round, 0)));
    CHECK(force(bent, 3) < 0.97 * force(round, 3));
    const auto warnings = [](const json& curve) { return curve.at("warnings").dump(); };
    CHECK(warnings(round).find("buckles into 3 waves") != std::string::npos);
    CHECK(warnings(bent).find("buckles") == std::string::npos);
}

TEST_CASE("curve says the same in JSON and CSV, in the order asked, twice the same bytes", "[program]") {
    const std::string arguments = "curve " + found + " --speeds=1,-1,0.1 --theory linear";
    const json object = solved(arguments);
    REQUIRE(object.at("points").size() == 3);
    CHECK(object.at("points").at(1).at("speed_m_s") == -1.0);
    CHECK(object.at("theory") == "linear plates");
    CHECK(run(arguments + " --json").out == run(arguments + " --json").out);

    const Run table = run(arguments + " --csv");
    CHECK(table.status == 0);
    CHECK(lines(table.out) == 4);
    std::istringstream rows(table.out);
    std::string head;
    std::string first;
    std::getline(rows, head);
    std::getline(rows, first);
    CHECK(head.rfind("speed_m_s,force_N,", 0) == 0);
    CHECK(first.rfind("1.0," + object.at("points").at(0).at("force_N").dump() + ",", 0) == 0);
}

TEST_CASE("overrides and clicks change what they name", "[program]") {
    const std::string slow = "curve " + found + " --speeds=0.1 --theory linear";
    const auto force = [&](const std::string& more) {
        return solved(slow + more).at("points").at(0).at("damping_force_N").get<double>();
    };
    const double as_found = force("");
    CHECK(force(" --set 'oil.temperature=0 C'") > as_found);
    CHECK(force(" --clicks base.compression=3") > as_found);
    CHECK(force(" --set valves.base.compression.bleed.needle.clicks=3") ==
          force(" --clicks base.compression=3"));
}

TEST_CASE("a sweep gives the curves that its settings give one by one", "[program]") {
    const std::string slow = "curve stacks/rally-shock.yaml --speeds=0.1,2 --theory linear";
    const json clicks = solved(slow + " --sweep base.compression=0,24").at("family");
    REQUIRE(clicks.size() == 2);
    CHECK(clicks.at(1).at("points") == solved(slow + " --clicks base.compression=24").at("points"));
    const auto force = [](const json& member, std::size_t point) {
        return member.at("points").at(point).at("damping_force_N").get<double>();
    };
    CHECK(force(clicks.at(0), 0) > force(clicks.at(1), 0));
    const json shown = solved("inspect stacks/rally-shock.yaml").at("adjusters");
    CHECK(shown.at(0).at("name") == "base.compression");
    CHECK(shown.at(1).at("name") == "base.compression.float");
    // The coil is the high-speed adjuster: it moves the force at 2 m/s, where the needle moves little.
    const json turns = solved(slow + " --sweep base.compression.float=0,4").at("family");
    CHECK(force(turns.at(0), 1) - force(turns.at(1), 1) >
          2.0 * (force(clicks.at(0), 1) - force(clicks.at(1), 1)));
    const Run table = run(slow + " --csv --sweep 'reservoir.gas_pressure=8 bar,12 bar'");
    CHECK(table.status == 0);
    CHECK(lines(table.out) == 5);
    CHECK_THAT(table.out, contains_text("\n12 bar,2.0,"));
    CHECK(run(slow + " --sweep base.compression=0,25").status == 4); // the first is shown
    CHECK(run(slow + " --sweep base.compression=3").status == 2);
}

TEST_CASE("oil from cold to hot fades, and what stays as it is is said", "[program]") {
    const std::string arguments =
        "curve " + found + " --speeds=0.1,1 --theory linear --temperatures=-10,20,120";
    const json family = solved(arguments).at("family");
    REQUIRE(family.size() == 3);
    CHECK(family.at(0).at("setting") == "-10 C");
    for (std::size_t i = 1; i < 3; ++i)
        CHECK(family.at(i).at("points").at(0).at("damping_force_N") <
              family.at(i - 1).at("points").at(0).at("damping_force_N"));
    CHECK_THAT(run(arguments).out, contains_text("Gas pressures stay as the file gives them."));
    CHECK(run(arguments + " --sweep base.compression=3,4").status == 2);
}

TEST_CASE("a ring and a seal can be swept, or worn at once", "[program]") {
    const std::string slow = "curve " + found + " --speeds=-0.1,0.1 --theory linear";
    const json gaps = solved(slow + " --sweep damper.ring_leak.gap=0.02,0.04");
    CHECK(gaps.at("sweep").at("unit") == "mm");
    const json worn = solved(slow + " --wear").at("family");
    REQUIRE(worn.size() == 6);
    CHECK(worn.at(1).at("setting") == "gap x 2");
    CHECK(worn.at(1).at("points") == gaps.at("family").at(1).at("points"));
    const json seals = solved(slow + " --sweep reservoir.friction=18,36").at("family");
    CHECK(worn.at(3).at("points") == seals.at(1).at("points"));
    CHECK(solved(slow + " --wear-to 1.5").at("family").size() == 4);
    CHECK(run(slow + " --wear-to 0").status == 2);
    CHECK(run(slow + " --wear --sweep reservoir.friction=18,36").status == 2);
    CHECK(run(slow + " --wear-to 100").status == 2);
}

TEST_CASE("a speed beyond the lift curves keeps its row and ends with status 4", "[program]") {
    const Run beyond = run("curve " + found + " --speeds=1,90 --json --theory linear");
    CHECK(beyond.status == 4);
    const json points = json::parse(beyond.out).at("points");
    REQUIRE(points.size() == 2);
    CHECK(points.at(0).at("error").is_null());
    CHECK(points.at(1).at("force_N").is_null());
    CHECK(points.at(1).at("error").is_string());
}

TEST_CASE("compare names the one key that was changed", "[program]") {
    const std::string arguments = "compare " + found + " stacks/rally-fork-more-float.yaml --theory linear";
    const json object = solved(arguments);
    REQUIRE(object.at("setups").size() == 2);
    REQUIRE_FALSE(object.at("changes").empty());
    for (const json& change : object.at("changes"))
        CHECK(change.at("because") == "valves.piston.compression.float.travel");
    const Run text = run(arguments);
    CHECK(text.status == 0);
    CHECK_THAT(text.out, contains_text("(piston.compression.float.travel)"));
    CHECK_THAT(text.out, contains_text("figures stayed within 1 %"));
    CHECK_THAT(run(arguments + " --unchanged").out,
               contains_text("Unchanged within 1 %: voids on rebound (from 1.3"));
    const Run table = run(arguments + " --csv");
    CHECK(table.out.rfind("file,quantity,speed_m_s,value,error,travel_share,frequency_Hz,event,"
                          "but_for_dips_m,swings,reversals,not_back,energy_left_J\n",
                          0) == 0);
}

TEST_CASE("a table has one row a set-up, with the figures and speeds that were chosen", "[program]") {
    const std::string table = "compare --table " + found + " stacks/rally-fork-more-float.yaml" +
                              " stacks/rally-fork-both.yaml --theory linear";
    const json object =
        solved(table + " --figures damping_force,support_force@90% --speeds=-1,2 --sort damping_force@2");
    REQUIRE(object.at("columns").size() == 3);
    CHECK(object.at("columns").at(1).at("speed_m_s") == 2.0);
    REQUIRE(object.at("rows").size() == 3);
    CHECK(object.at("rows").at(2).at("name") == "A"); // the tight mid-valve holds most
    CHECK(object.at("rows").at(0).at("values").at(1) <= object.at("rows").at(1).at("values").at(1));
    const json one = solved("curve " + found + " --speeds=2 --theory linear");
    CHECK(object.at("rows").at(2).at("values").at(1) == one.at("points").at(0).at("damping_force_N"));
    const Run sheet = run(table + " --figures damping_force@2,void_onset_rebound --csv");
    CHECK(sheet.out.rfind("name,file,damping_force_N@2,void_onset_rebound_m_s\n", 0) == 0);
    CHECK_THAT(run(table).out, contains_text("damping force on rebound at 0.3 m/s (damping_force@-0.3)"));
    const Run unknown = run(table + " --figures damping_forse");
    CHECK(unknown.status == 2);
    CHECK_THAT(unknown.err, contains_text("--figures") && contains_text("damping_force"));
    CHECK(run(table + " --figures refill_deficit@1").status == 2); // belongs to rebound
    CHECK(run("compare " + found + " " + found + " --sort damping_force@2").status == 2);
}

TEST_CASE("a set-up that does not say what a figure needs has a dash in a table", "[program]") {
    const std::string bare = file_with("bare.yaml", shell("sed '/^  load:/d' " + found).out);
    const std::string line = " --figures rider_sag,damping_force@1 --theory linear";
    const std::string table = "compare --table " + found + " " + bare + line;
    const json object = solved(table);
    CHECK(object.at("rows").at(0).at("values").at(0).is_number());
    CHECK(object.at("rows").at(1).at("values").at(0).is_null());
    CHECK(object.at("rows").at(1).at("values").at(1) == object.at("rows").at(0).at("values").at(1));
    CHECK_THAT(object.at("rows").at(1).at("errors").at(0).get<std::string>(), contains_text("support.load"));
    CHECK_THAT(run(table).out, contains_text("not told (-): support.load: missing"));
    CHECK(solved(table + " --sort rider_sag").at("rows").at(1).at("name") == "B"); // comes last
    CHECK(run("compare --table " + bare + line).status == 3);
}

TEST_CASE("a table of a sweep has one row a setting, as the curve of that setting says it", "[program]") {
    const std::string table = "compare --table " + found + " --figures damping_force@1 --theory linear";
    const json object = solved(table + " --sweep base.compression=4,10,16 --sort damping_force@1");
    CHECK(object.at("sweep") == "base.compression");
    REQUIRE(object.at("rows").size() == 3);
    CHECK(object.at("rows").at(0).at("setting") == "16"); // the most open needle damps least
    const json curve = solved("curve " + found + " --clicks base.compression=4 --speeds=1 --theory linear");
    CHECK(object.at("rows").at(2).at("values").at(0) == curve.at("points").at(0).at("damping_force_N"));

    const Run left_out = run(table + " --sweep reservoir.friction=-5,18 --json");
    CHECK(left_out.status == 4);
    const json rows = json::parse(left_out.out).at("rows");
    CHECK_THAT(rows.at(0).at("error").get<std::string>(), contains_text("'-5'"));
    CHECK(rows.at(0).at("values").at(0).is_null());
    CHECK(rows.at(1).at("error").is_null());
    const std::string text = run(table + " --sweep reservoir.friction=-5,18").out;
    CHECK_THAT(text, contains_text("unsolved  -5") &&
                         contains_text("\n  A: --sweep: error: reservoir.friction: '-5' is out of range") &&
                         contains_text("\n          | reservoir.friction=-5\n          |"));
    CHECK_THAT(run(table + " --sweep reservoir.friction=9,18 --csv").out,
               contains_text("name,file,setting,damping_force_N@1\n"));
    const Run none = run(table + " --sweep reservoir.frition=9,18");
    CHECK(none.status == 2);
    CHECK_THAT(none.err, contains_text("--sweep") && contains_text("friction"));
    CHECK(run("compare " + found + " " + found + " --sweep base.compression=4,8").status == 2);
}

TEST_CASE("halving the friction of seals and bushings shows", "[program]") {
    const std::string freer = file_with(
        "freer.yaml", "format: 1\ntitle: freer\nfrom: " + std::string(VALVE_SOURCE_DIR) + "/" + found +
                          "\nchange: {support.friction: 12.5 N, "
                          "support.breakaway: 16 N}\n");
    const json object = solved("compare --theory linear " + found + " " + freer);
    const auto because = [&](const std::string& quantity) -> json {
        for (const json& change : object.at("changes"))
            if (change.at("quantity") == quantity) return change.at("because_keys");
        return nullptr;
    };
    CHECK(because("friction_N") == json::array({"support.friction"}));
    CHECK(because("breakaway_N") == json::array({"support.breakaway"}));
    const auto hit_travel = [&](std::size_t setup) {
        for (const json& figure : object.at("setups").at(setup).at("figures"))
            if (figure.at("quantity") == "hit_travel_m") return figure.at("value").get<double>();
        return 0.0;
    };
    CHECK(hit_travel(1) > hit_travel(0));
}

TEST_CASE("piston against bladder tells the friction that is felt on the rod", "[program]") {
    const json object = solved("compare " + found + " stacks/rally-fork-bladder.yaml --theory linear");
    const auto& changes = object.at("changes");
    CHECK(std::any_of(changes.begin(), changes.end(), [](const json& change) {
        return change.at("quantity") == "felt_reservoir_friction_N" && change.at("to") == 0.0;
    }));
}

TEST_CASE("compare sees what oil in the leg does to the support, and leads with it", "[program]") {
    const json object = solved("compare " + found + " stacks/rally-fork-most-oil.yaml --theory linear");
    REQUIRE_FALSE(object.at("changes").empty());
    CHECK(object.at("changes").at(0).at("quantity") == "support_force_N");
    CHECK(object.at("changes").at(0).at("travel_share") == 1.0); // a few ml act at the end of the travel
    double steps = object.at("changes").at(0).at("noticeable_steps");
    for (const json& change : object.at("changes")) {
        CHECK(change.at("because") == "support.leg.oil");
        CHECK(change.at("noticeable_steps") <= steps);
        steps = change.at("noticeable_steps");
    }
}

TEST_CASE("small ports on the same piston choke it, and the curve warns", "[program]") {
    const std::string piston = "stacks/road-shock-wider-piston";
    const std::string fast = ".yaml --speeds=-4,-2,2 --theory linear";
    const json object = solved("curve " + piston + "-small-ports" + fast);
    CHECK_THAT(object.at("warnings").dump(), contains_text("piston.rebound chokes in its ports from "));
    const json large = solved("curve " + piston + fast);
    const auto port_speed = [](const json& curve) {
        return curve.at("points").at(1).at("piston_port_velocity_m_s").get<double>();
    };
    CHECK(port_speed(object) > port_speed(large));
    CHECK_THAT(run("curve " + piston + "-small-ports" + fast).out,
               contains_text("warning: piston.rebound chokes in its ports from "));
    const json inspected = solved("inspect " + piston + ".yaml").at("valves").at(3);
    CHECK_THAT(inspected.at("ports_area_m2").get<double>(), WithinRel(36e-6, 1e-12)); // 4 x 9 mm²
    CHECK_THAT(inspected.at("ports_to_piston").get<double>(),
               WithinRel(36.0 / (0.25 * 3.14159265358979 * 34.7 * 34.7), 1e-12));
}

TEST_CASE("a measured run lies over the curve and beside every set-up compared", "[program]") {
    const std::string measured =
        " --theory linear --measured stacks/rally-fork-run.csv --columns speed=-velocity,damping=-load";
    const json object = solved("curve " + found + " --speeds=1" + measured);
    CHECK(object.at("measured").at("points").size() == 12);
    CHECK(object.at("measured").at("force") == "damping");
    const Run table = run("curve " + found + " --csv" + measured);
    CHECK(lines(table.out) == 13);
    const json both = solved("compare " + found + " stacks/rally-fork-both.yaml" + measured);
    CHECK(both.at("setups").at(0).at("measured").at("rms_difference_N") <
          both.at("setups").at(1).at("measured").at("rms_difference_N"));
    CHECK_THAT(run("compare " + found + " " + found + measured).out,
               contains_text("Measured less B, as amounts: mean"));
    CHECK(run("curve " + found + " --columns speed=a").status == 2);
    CHECK(run("curve " + found + " --measured stacks/rally-fork-run.csv").status == 3);
}

TEST_CASE("set-ups with the same values are told as such", "[program]") {
    const Run same = run("compare " + found + " " + found + " --theory linear");
    CHECK(same.status == 0);
    CHECK_THAT(same.out, contains_text("Same values as A."));
}

TEST_CASE("support says the same in JSON and CSV, and twice the same bytes", "[program]") {
    const std::string arguments = "support " + found + " --travels 0,30,300 --hit 400";
    const json object = solved(arguments);
    REQUIRE(object.at("points").size() == 3);
    CHECK(object.at("points").at(1).at("travel_m") == 0.03);
    CHECK(object.at("hit_J") == 400.0);
    CHECK(run(arguments + " --json").out == run(arguments + " --json").out);
    const Run table = run(arguments + " --csv");
    CHECK(table.status == 0);
    CHECK(lines(table.out) == 4);
    CHECK_THAT(table.out, contains_text("\n0.3," + object.at("points").at(2).at("force_N").dump() + ","));
    CHECK(run("support " + found + " --travels 301").status == 2);
}

TEST_CASE("a rider, a sag and a force at the end give spring, preload and oil", "[program]") {
    const std::string goal = "support " + found + " --sag 75mm --free-sag 44 --end-force 8kN";
    const json choice = solved(goal + " --rider 85kg").at("choice");
    CHECK(choice.at("at_limit").empty());
    CHECK(choice.at("chosen").size() == 3);
    CHECK_THAT(choice.at("reached").at("end_force_N").get<double>(), WithinRel(8000.0, 1e-9));
    // A heavier rider on the same sag needs a stiffer spring.
    CHECK(solved(goal + " --rider 95kg").at("choice").at("rate_N_m") > choice.at("rate_N_m"));
    const json bound = solved(goal + " --rider 85kg --oils 300,350").at("choice");
    CHECK(bound.at("at_limit") == json::array({"oil"}));
    CHECK(bound.at("oil_volume_m3") == 350e-6);

    const Run told = run(goal + " --rider 85kg");
    CHECK_THAT(told.out, contains_text("support.leg.oil: 364 ml"));
    const Run picked = run(goal + " --rider 85kg --springs 4.385 --fills 363.4,364.6");
    CHECK_THAT(picked.out, contains_text("support.spring.rate: 4.385 N/mm"));
    CHECK_THAT(picked.out,
               contains_text("support.leg.oil: 364.6 ml") || contains_text("support.leg.oil: 363.4 ml"));
    const Run kilo = run("support " + found + " --hit '0.4 kJ' --json");
    CHECK(json::parse(kilo.out).at("hit_J") == 400.0);
    CHECK_THAT(run("support " + found + " --hit '5 MJ'").err, contains_text("known: J, kJ"));
}

TEST_CASE("a choice that no file can say is told all the same, and why there is no file", "[program]") {
    const std::string dry = "support " + found + " --end-force 100 --oils 0,300";
    const Run told = run(dry);
    CHECK(told.status == 0);
    CHECK_THAT(told.out, contains_text("at its limit") &&
                             contains_text("No set-up can be made of the choice: '0 ml' is out of range"));
    const Run written = run(dry + " -o none.yaml");
    CHECK(written.status == 4);
    CHECK_THAT(written.out, contains_text("at its limit"));
    CHECK_THAT(written.err, contains_text("--output: nothing is written: no set-up can be made"));
    CHECK(run(dry + " --json").status == 0);
    // Unless somebody says so, it never comes to that.
    const Run least = run("support " + found + " --end-force 100");
    CHECK(least.status == 0);
    CHECK_THAT(least.out, contains_text("support.leg.oil: 1 ml"));
}

TEST_CASE("several supports: one row a point with its file, and the ride of two ends", "[program]") {
    const std::string ends = "support " + found + " stacks/rally-shock.yaml";
    const json object = solved(ends);
    CHECK(object.at("setups").size() == 2);
    CHECK(object.at("ride").at("front_Hz") > object.at("ride").at("rear_Hz"));
    const Run table = run(ends + " --csv");
    CHECK(table.out.rfind("file,travel_m,force_N,", 0) == 0);
    CHECK(solved("support " + found + " " + found).at("ride").is_null());
    CHECK(run(ends + " " + found).status == 3);
}

TEST_CASE("every demo of another layout is understood, flows and carries", "[program]") {
    for (const char* file :
         {"stacks/rally-shock.yaml", "stacks/forest-fork.yaml", "stacks/road-shock.yaml"}) {
        INFO(file);
        const Run inspected = run("inspect " + std::string(file));
        CHECK(inspected.status == 0);
        CHECK_THAT(inspected.out, contains_text("No warnings.") && contains_text("\nsupport: "));
        const json curve = solved("curve " + std::string(file) + " --speeds=-1,1 --theory linear");
        CHECK(curve.at("points").at(0).at("damping_force_N") < 0.0);
        CHECK(curve.at("points").at(1).at("damping_force_N") > 0.0);
        CHECK(solved("lift " + std::string(file) + " --pressures 1 --theory linear").at("valves").size() ==
              4);
        const json support = solved("support " + std::string(file));
        const double sag =
            support.at("sag").at("travel_m").get<double>() / support.at("travel_m").get<double>();
        CHECK(sag > 0.2);
        CHECK(sag < 0.4);
    }
}

TEST_CASE("no line of a stack, an inspection or a swept cycle is wider than a page", "[program]") {
    constexpr std::ptrdiff_t page = 100; // columns
    const std::string still = " --theory linear --valves quasi-static";
    for (const std::string& arguments :
         {"inspect stacks/rally-fork-cup.yaml" + std::string(),
          "lift stacks/rally-fork-cup.yaml" + std::string(),
          "lift stacks/rally-fork-cup.yaml --pressures 1,30,40" + std::string(),
          "curve stacks/rally-fork.yaml" + std::string(),
          "cycle stacks/rally-fork.yaml --frequencies 1,2,3,4 --sweep base.compression=4,8 --sweep "
          "valves.base.refill.float.preload=5,22" +
              still}) {
        const Run told = run(arguments);
        INFO("valve " << arguments << "\n" << told.err);
        CHECK((told.status == 0 || told.status == 4)); // a pressure beyond the theory
        std::istringstream all(told.out);
        for (std::string line; std::getline(all, line);) {
            const auto columns = std::count_if(line.begin(), line.end(), [](char one) {
                return (static_cast<unsigned char>(one) & 0xC0U) != 0x80U; // of UTF-8 the first of each
            });
            CAPTURE(line);
            CHECK(columns <= page);
        }
    }
}
