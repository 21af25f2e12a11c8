#include <program/run.hpp>
#include <setup/files.hpp>
#include <support/catch.hpp>

#include <nlohmann/json.hpp>

#include <algorithm>
#include <sstream>
#include <string>
#include <vector>

using namespace valve::tests;
using nlohmann::json;

namespace {

const std::string found = "stacks/rally-fork.yaml";
const std::string still = " --valves quasi-static"; // so that what is told does not hang on what can move

json ride(const std::string& arguments) {
    const Run solved = run("ride " + arguments + still + " --json");
    INFO("valve ride " << arguments << "\n" << solved.err);
    REQUIRE(solved.status == 0);
    return json::parse(solved.out).at("rides");
}

} // namespace

TEST_CASE("a ride tells its metrics, and they are those of its series", "[program][ride]") {
    const json rides = ride(found + " --event stacks/events/stones.yaml --event stacks/events/ledge.yaml");
    REQUIRE(rides.size() == 2);
    for (const json& one : rides) {
        const json& summary = one.at("summary");
        CHECK(summary.at("balance").at("mass").get<double>() < 1e-10);
        CHECK(summary.at("balance").at("energy").get<double>() < 1e-5);
        const json& series = one.at("series");
        const auto travel = series.at("travel_m").get<std::vector<double>>();
        for (const char* key :
             {"time_s", "sprung_m", "unsprung_m", "ground_m", "wheel_load_N", "p_C_Pa", "void_R_m3"})
            CHECK(series.at(key).size() == travel.size());
        const double peak = summary.at("peak_travel_m").get<double>();
        CHECK_THAT(*std::max_element(travel.begin(), travel.end()), WithinAbs(peak, 5e-5)); // as printed
        const auto acceleration = series.at("acceleration_m_s2").get<std::vector<double>>();
        const auto [least, most] = std::minmax_element(acceleration.begin(), acceleration.end());
        CHECK_THAT(std::max(-*least, *most),
                   WithinAbs(summary.at("peak_acceleration_m_s2").get<double>(), 0.05));
        const auto time = series.at("time_s").get<std::vector<double>>();
        CHECK(std::is_sorted(time.begin(), time.end()));
        CHECK(time.size() > 1001);
        CHECK(time.size() < 1001 + 16);
        CHECK_THAT(summary.at("residual_travel_m").get<double>(), WithinAbs(travel.back(), 1e-9));
        double lost = 0.0;
        for (const auto& [part, joules] : summary.at("energy_J").items())
            lost += joules.get<double>();
        CHECK_THAT(lost, WithinRel(summary.at("dissipated_J").get<double>(), 1e-12));
        for (const std::string way : {"compression", "rebound"}) {
            const json& into = summary.at("reversals").at(way);
            const int back = into.at("count").get<int>() - into.at("not_back").get<int>();
            CHECK(into.at("count") > 0);
            CHECK(summary.at("dead_travel_" + way + "_m").is_number() == (back > 0));
            CHECK(into.at("time_s").is_number() == (back > 0));
        }
        CHECK(series.at("lift_m").size() == 4);
        for (const auto& [valve, lifts] : series.at("lift_m").items()) {
            CAPTURE(valve);
            CHECK(lifts.size() == travel.size());
            const auto lift = lifts.get<std::vector<double>>();
            CHECK(*std::min_element(lift.begin(), lift.end()) == 0.0);
            CHECK(*std::max_element(lift.begin(), lift.end()) > 1e-5);
        }
    }
    CHECK(rides[0].at("event") == "stacks/events/stones.yaml");
    CHECK(rides[0].at("summary").at("start_travels_m").size() == 8);
    CHECK(rides[1].at("summary").at("start_travels_m").empty());
    CHECK(rides[0].at("summary").at("small_bump_acceleration_m_s2").is_number());
    CHECK(rides[1].at("summary").at("small_bump_acceleration_m_s2").is_null());
    CHECK(rides[1].at("summary").at("closing_speed_m_s").is_null());
}

TEST_CASE("on a ride stacks bend round the ring unless they are to be round", "[program][ride]") {
    if (VALVE_SANITIZED) return;
    const std::string drop = found + " --event stacks/events/drop.yaml --accuracy quick";
    const json bent = ride(drop)[0];
    const json round = ride(drop + " --round")[0];
    CHECK(bent.at("shape") == "as it bends");
    CHECK(round.at("shape") == "round");
    const auto of = [](const json& ride, const char* key) {
        return ride.at("summary").at(key).get<double>();
    };
    CHECK(of(bent, "peak_travel_m") > of(round, "peak_travel_m") + 0.5e-3); // softer at the hit
    CHECK(bent.at("left_round").empty());
}

TEST_CASE("the rows of a long ride are as dense as its help says and hold its peaks", "[program][ride]") {
    if (VALVE_SANITIZED) return;
    const Run help = run("ride --help");
    CHECK_THAT(help.out, contains_text("1001 or, of more than 3 s, one each 3 ms and 20001 at most"));
    const Folder folder;
    const std::string event = folder.write(
        "road.yaml", "format: 1\nevent: {kind: rough, class: C, speed: 12 m/s, duration: 4.5 s}\n");
    const std::string asked = "ride " + found + " --round --accuracy quick --event " + event + still;
    const json summary = json::parse(run(asked + " --json").out).at("rides").at(0).at("summary");
    // The geometric mean of class C is 256e-6 m³ (ISO 8608, annex; from memory).
    CHECK_THAT(run(asked).out, contains_text("a rough road of 256e-6 m³ at 0.1 cycles/m"));
    const Run table = run(asked + " --csv");
    REQUIRE(table.status == 0);
    std::istringstream lines(table.out);
    std::string line;
    std::getline(lines, line);
    const auto fields = [&] {
        std::vector<std::string> list;
        std::istringstream parts(line);
        for (std::string part; std::getline(parts, part, ',');)
            list.push_back(part);
        return list;
    };
    const std::vector<std::string> head = fields();
    const auto column =
        static_cast<std::size_t>(std::find(head.begin(), head.end(), "travel_m") - head.begin());
    double peak = 0.0;
    std::size_t rows = 0;
    for (; std::getline(lines, line); ++rows)
        peak = std::max(peak, std::stod(fields().at(column)));
    CHECK(rows > 1501);
    CHECK(rows < 1501 + 16);
    CHECK_THAT(peak, WithinAbs(summary.at("peak_travel_m").get<double>(), 5e-5));
}

TEST_CASE("the table of a ride has a column for each valve's lift", "[program][ride]") {
    const Run solved = run("ride " + found + " --event stacks/events/ledge.yaml" + still + " --csv");
    REQUIRE(solved.status == 0);
    const std::string head = solved.out.substr(0, solved.out.find('\n'));
    CHECK_THAT(head, contains_text(",lift_base.refill_m,"));
    CHECK_THAT(head, !contains_text("other_leg"));
}

TEST_CASE("of the landing a little more oil takes the end and leaves small bumps", "[program][ride]") {
    // Common practice, no source: the case that every workshop knows.
    const std::string events = " --event stacks/events/drop.yaml --event stacks/events/pebble.yaml";
    const json as_found = ride(found + events);
    const json slick = ride(found + events + " --set support.friction=8 --set support.breakaway=10");
    const json more_oil = ride(
        found + events + " --set support.friction=8 --set support.breakaway=10 --set support.leg.oil=385");
    const auto of = [](const json& rides, int event, const char* key) {
        return rides.at(static_cast<std::size_t>(event)).at("summary").at(key).get<double>();
    };
    const double before = of(as_found, 0, "peak_travel_m");
    CHECK(of(slick, 0, "peak_travel_m") > before + 0.5e-3);
    CHECK(of(more_oil, 0, "peak_travel_m") < of(slick, 0, "peak_travel_m") - 1e-3);
    const char* small = "small_bump_acceleration_m_s2";
    const double gain = of(as_found, 1, small) - of(slick, 1, small);
    CHECK(gain > 0.0);
    CHECK(of(as_found, 1, small) - of(more_oil, 1, small) > 0.8 * gain);
}

TEST_CASE("a ride without a wheel's mass or an event says what is missing", "[program][ride]") {
    const Run no_event = run("ride " + found);
    CHECK(no_event.status == 2);
    CHECK_THAT(no_event.err, contains_text("--event"));
    const Run no_vehicle = run("ride " + found + " --set vehicle=null --event stacks/events/ledge.yaml");
    CHECK(no_vehicle.status == 3);
    CHECK_THAT(no_vehicle.err, contains_text("unsprung: 16 kg"));
    const Run no_file = run("ride " + found + " --event nowhere.yaml");
    CHECK(no_file.status == 3);
    const Run wrong = run("ride " + found + " --event stacks/rally-shock.yaml");
    CHECK(wrong.status == 3);
    CHECK_THAT(wrong.err, contains_text("unknown key"));
}

TEST_CASE("a run that ends before its event says so", "[program][ride]") {
    const Folder folder;
    const auto with = [&](const std::string& event) {
        const std::string file = folder.write("cut.yaml", "format: 1\nevent: " + event + "\n");
        const std::string line = "ride " + found + " --event " + file + still;
        return std::pair{run(line), run(line + " --json")};
    };
    const auto [row, row_json] = with(
        "{kind: bumps, height: 20 mm, length: 0.6 m, pitch: 2 m, count: 8, speed: 10 m/s, duration: 0.6 s}");
    CHECK_THAT(row.out, contains_text("The run ends 6 m along, before the row of bumps does at 15.6 m: the"));
    const json ride = json::parse(row_json.out).at("rides").at(0);
    CHECK(ride.at("summary").at("start_travels_m").size() == 3);
    REQUIRE(ride.at("cautions").size() == 1);
    CHECK(ride.at("cautions")[0] ==
          "The run ends 6 m along, before the row of bumps does at 15.6 m: the wheel meets 3 of 8.");
    const auto [edge, edge_json] =
        with("{kind: square_edge, height: 20 mm, speed: 10 m/s, at: 20 m, duration: 0.2 s}");
    CHECK_THAT(edge.out, contains_text("The run ends 2 m along, short of the edge at 20 m."));
    CHECK_THAT(edge.out, contains_text("The wheel meets nothing within the run"));
    CHECK_THAT(edge.out, contains_text("travel at the end") && !contains_text("mean travel  ") &&
                             !contains_text("time that it sticks") && !contains_text("energy lost in"));
    const json nothing = json::parse(edge_json.out).at("rides").at(0);
    CHECK(nothing.at("cautions").size() == 2);
    CHECK(nothing.at("summary").at("start_travel_m").get<double>() > 0.05);
    for (const char* key : {"mean_travel_m", "travel_drift_m", "rms_acceleration_m_s2",
                            "peak_acceleration_m_s2", "small_bump_acceleration_m_s2", "stuck_share",
                            "wheel_load_variation", "low_load_share", "off_ground_share"})
        CHECK(nothing.at("summary").at(key).is_null());

    const auto [braked, braked_json] =
        with("{kind: braking, height: 20 mm, length: 0.6 m, pitch: 2 m, count: 8, speed: 10 m/s, "
             "load_transfer: 200 N, transfer_time: 0.9 s, duration: 0.6 s}");
    CHECK_THAT(braked.out, contains_text("before the row of bumps does at 15.6 m"));
    CHECK_THAT(braked.out,
               contains_text("The run ends after 0.6 s, before load transfer is whole at 0.9 s."));
    CHECK(json::parse(braked_json.out).at("rides").at(0).at("cautions").size() == 2);
}

TEST_CASE("an event that begins under the wheel is refused by every command that rides", "[program][ride]") {
    const Folder folder;
    const std::string edge = folder.write(
        "edge.yaml", "format: 1\nevent: {kind: square_edge, height: 45 mm, speed: 9 m/s, at: 0.1 m, "
                     "duration: 0.5 s}\n");
    const std::string two = found + " stacks/rally-fork-less-friction.yaml";
    for (const std::string& command : {"ride " + found, "compare " + two, "diagnose " + found}) {
        CAPTURE(command);
        const Run told = run(command + " --event " + edge);
        CHECK(told.status == 3);
        CHECK_THAT(told.err,
                   contains_text("edge.yaml: error: event.at: 0.1 m: the wheel, 0.34 m in radius, would "
                                 "begin on it; at least 0.170 m"));
    }
}

TEST_CASE("a run that ends before its event is told once of all set-ups and by all commands",
          "[program][ride][compare]") {
    const Folder folder;
    const std::string row =
        folder.write("row.yaml", "format: 1\ntitle: Row\nevent: {kind: bumps, height: 20 mm, "
                                 "length: 0.6 m, pitch: 2 m, count: 8, speed: 10 m/s, "
                                 "duration: 0.6 s}\n");
    const std::string two = found + " stacks/rally-fork-less-friction.yaml";
    const std::string event = " --event " + row + still;
    const auto times = [](const std::string& text, const std::string& words) {
        int count = 0;
        for (std::size_t at = text.find(words); at != std::string::npos; at = text.find(words, at + 1))
            ++count;
        return count;
    };
    CHECK(times(run("ride " + two + event).out, "he run ends 6 m along") == 1);
    const std::string told = "Over Row: the run ends 6 m along, before the row of bumps does at 15.6 m.";
    const std::string goal =
        folder.write("goal.yaml", "format: 1\ntitle: Deeper\ngoal:\n"
                                  "  - {figure: peak_travel, event: row.yaml, at_most: 1 m}\n"
                                  "  - {figure: packing, event: row.yaml, at_most: 1 m}\n");
    for (const std::string& line :
         {"compare " + two + event, "compare --table " + found + " --figures peak_travel@" + row + still,
          "diagnose " + found + " --round" + event, "advise " + found + " --goal " + goal + still}) {
        CAPTURE(line);
        CHECK(times(run(line).out, told) == 1);
        CHECK(json::parse(run(line + " --json").out).at("cautions") == json{told});
    }
}

TEST_CASE("valves that swing by themselves on a ride are named", "[program][ride]") {
    if (VALVE_SANITIZED) return;
    const std::string stones = " --round --event stacks/events/stones.yaml";
    std::string slides = "stacks/rally-shock.yaml --set valves.piston.rebound.shim_friction=0 "
                         "--set valves.piston.compression.shim_friction=0";
    for (const std::string valve :
         {"base.compression", "base.refill", "piston.compression", "piston.rebound"})
        slides += " --set 'valves." + valve + ".ports.length=0 mm'";
    const Run swings = run("ride " + slides + stones + " --json");
    REQUIRE(swings.status == 0);
    const json told = json::parse(swings.out).at("rides").at(0).at("cautions");
    REQUIRE(told.size() == 1);
    CHECK_THAT(told[0].get<std::string>(),
               contains_text("Forces are more than 10 % above the steady ones, and valves swing") &&
                   contains_text(" piston.rebound ") && contains_text("times in one stroke of the rod"));
    CHECK(ride(slides + stones)[0].at("cautions").empty()); // quasi-static
    // As the demo fork's shims rub on one another.
    const Run calm = run("ride " + found + stones + " --json");
    CHECK(json::parse(calm.out).at("rides").at(0).at("cautions").empty());
}

TEST_CASE("legs that differ ride between the two that are alike", "[program][ride]") {
    const std::string event = " --event stacks/events/ledge.yaml";
    const std::string other = "stacks/rally-fork-more-float.yaml";
    const double a = ride(found + event)[0].at("summary").at("peak_travel_m");
    const double b = ride(other + event)[0].at("summary").at("peak_travel_m");
    const double mixed = ride(found + event + " --other-leg " + other)[0].at("summary").at("peak_travel_m");
    CHECK(mixed > std::min(a, b));
    CHECK(mixed < std::max(a, b));

    const Run shock = run("ride stacks/rally-shock.yaml" + event + " --other-leg stacks/rally-shock.yaml");
    CHECK(shock.status == 2);
    CHECK_THAT(shock.err, contains_text("--other-leg: stacks/rally-shock.yaml is a unit of one leg"));
    const Run unequal = run("ride " + found + event + " --other-leg stacks/forest-fork.yaml");
    CHECK(unequal.status == 3);
    CHECK_THAT(unequal.err, contains_text("two legs move together, and theirs are"));
}

TEST_CASE("what a ride tells is compared with everything else, and what it comes from is found",
          "[program][ride][compare]") {
    const std::string pebble = "stacks/events/pebble.yaml";
    const std::string slick = "stacks/rally-fork-less-friction.yaml";
    const Run compared = run("compare " + found + " " + slick + " --event " + pebble + still + " --json");
    REQUIRE(compared.status == 0);
    const json object = json::parse(compared.out);
    const auto change = [&](const std::string& quantity) {
        for (const json& one : object.at("changes"))
            if (one.at("quantity") == quantity) return one;
        return json();
    };
    const json small = change("small_bump_acceleration_m_s2");
    REQUIRE_FALSE(small.is_null());
    CHECK(small.at("event") == pebble);
    CHECK(small.at("because") == "support.friction");
    CHECK(small.at("to") < small.at("from"));
    CHECK(change("friction_N").at("event").is_null());
    const json rides = ride(found + " " + slick + " --event " + pebble);
    CHECK(small.at("from") == rides[0].at("summary").at("small_bump_acceleration_m_s2"));
    CHECK(small.at("to") == rides[1].at("summary").at("small_bump_acceleration_m_s2"));
    CHECK_FALSE(object.at("rule_of_rides").is_null());
    CHECK(object.at("setups").at(0).at("ride_valves") == "quasi-static");

    const Run table = run("compare --table " + found + " " + slick + " --figures peak_travel@" + pebble +
                          still + " --json");
    REQUIRE(table.status == 0);
    const json rows = json::parse(table.out).at("rows");
    CHECK(rows[0].at("values")[0] == rides[0].at("summary").at("peak_travel_m"));
    CHECK(rows[1].at("values")[0] == rides[1].at("summary").at("peak_travel_m"));

    CHECK(run("compare --table " + found + " --figures peak_travel").status == 2);
    const Run no_wheel = run("compare " + found + " stacks/forest-fork.yaml --event " + pebble);
    CHECK(no_wheel.status == 3);
    CHECK_THAT(no_wheel.err, contains_text("forest-fork.yaml") && contains_text("vehicle: missing"));
}

TEST_CASE("behind a linkage a ride starts where support says that the wheel rests", "[program][ride]") {
    const std::string shock =
        file_with("linked.yaml",
                  "format: 1\ntitle: behind a linkage\nfrom: " VALVE_SOURCE_DIR "/stacks/rally-shock.yaml\n"
                  "change:\n"
                  "  support.load.motion_ratio: null\n"
                  "  vehicle.linkage: {wheel_travel: [0, 100, 200, 310], travel: [0, 38, 80, 130]}\n");
    const Run solved = run("support " + shock + " --json");
    REQUIRE(solved.status == 0);
    const json support = json::parse(solved.out);
    const double sag = support.at("sag").at("travel_m").get<double>();
    const json series = ride(shock + " --event stacks/events/ledge.yaml").at(0).at("series");
    CHECK_THAT(series.at("travel_m").at(0).get<double>(), WithinRel(sag, 1e-10));
    for (const json& used : support.at("defaults"))
        CHECK(used.at("key") != "support.load.motion_ratio");
    const double mean = 0.130 / 0.310;
    CHECK(support.at("sag").at("wheel_travel_m").get<double>() > 1.05 * sag / mean);
    const Run table = run("compare --table " + shock + " --figures rider_sag,free_sag --json");
    REQUIRE(table.status == 0);
    const json values = json::parse(table.out).at("rows").at(0).at("values");
    CHECK(values.at(0) == support.at("sag").at("travel_m"));
    CHECK(values.at(1) == support.at("free_sag").at("travel_m"));
}
