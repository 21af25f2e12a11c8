#include <support/catch.hpp>
#include <valve/report/lift.hpp>

#include <algorithm>
#include <string>

using namespace valve::report;
using namespace valve::stack;

namespace {

LiftResult sample() {
    LiftResult result;
    result.name = "base.refill";
    result.valve.ports = {4, 24e-6};
    Stack& stack = result.valve.stack;
    stack.shims = {Shim{13e-3, 0.20e-3, {}}};
    stack.shims.front().material.yield_strength = 1000e6;
    stack.clamp_radius = 9e-3;
    stack.bore_radius = 9e-3;
    stack.zone = {9e-3, 12e-3};
    stack.seat = {12e-3, 12.5e-3, 0.0};
    stack.edge = InnerEdge::free;
    stack.floating = Float{1.2e-3, 800.0, 2.0, 9e-3, 9e-3, 9e-3, RestsOn::hub};

    LiftPoint point;
    point.pressure = 1e5;
    point.seat_lift = 0.25e-3;
    point.edge_lift = 0.30e-3;
    point.float_lift = 0.20e-3;
    point.peak = {250e6, 1, 9e-3, Face::piston};
    point.of_yield = StressShare{0.25, point.peak};
    LiftCurve curve;
    curve.load_area = 200e-6;
    curve.crack_pressure = 0.1e5;
    curve.opening_pressure = 0.15e5;
    curve.points = {point};
    curve.events = {{0.1e5, EventKind::crack, {0, 1}, 12e-3}, {0.2e5, EventKind::touch, {1, 2}, 10e-3}};
    result.curve = curve;
    result.rows = {{1e5, point, ""}};
    return result;
}

} // namespace

TEST_CASE("a lift carries every key of the contract", "[report]") {
    const Json object = json(sample());
    CHECK(object.at("valve") == "base.refill");
    CHECK(object.at("theory") == "linear plates");
    CHECK(object.at("edge") == "free edge");
    CHECK(object.at("crack_pressure_Pa") == 0.1e5);
    CHECK(object.at("float_start_pressure_Pa").is_null());
    const Json& point = object.at("points").at(0);
    for (const char* key : {"pressure_Pa", "seat_lift_m", "edge_lift_m", "seat_force_N", "peak_stress_Pa",
                            "peak_stress_shim", "peak_stress_radius_m", "error"})
        CHECK(point.contains(key));
    CHECK(point.at("peak_stress_of_yield") == 0.25);
    CHECK(point.at("peak_stress_of_fatigue").is_null());
    CHECK(object.at("events").at(1) ==
          Json{{"pressure_Pa", 0.2e5}, {"kind", "touch"}, {"shims", {1, 2}}, {"radius_m", 10e-3}});
}

TEST_CASE("the text of a lift gives the three openings, the table and the events", "[report]") {
    const std::string all = text(sample());
    std::string one_line = all;
    std::replace(one_line.begin(), one_line.end(), '\n', ' ');
    CHECK(all.find("Cracks at 0.100 bar, lifts 0.02 mm at 0.150 bar, begins to float at more than the end") !=
          std::string::npos);
    CHECK(all.find("1.00      0.250      0.300  0.200") != std::string::npos);
    CHECK(all.find("250        1    18        25") != std::string::npos); // MPa, shim, Ø mm, % of yield
    CHECK(all.find("of fatigue") == std::string::npos);
    CHECK(all.find("0.200 bar  touch, shims 1 and 2 at Ø 20") != std::string::npos);
    CHECK(one_line.find("free edge, rests on hub") != std::string::npos);
    CHECK_FALSE(sample().failed());
}

TEST_CASE("a pressure without a state keeps its row, and so does a stack without a curve", "[report]") {
    LiftResult result = sample();
    result.rows.push_back({2e5, std::nullopt, "no state at 2 bar"});
    CHECK(result.failed());
    const Json point = json(result).at("points").at(1);
    CHECK(point.at("pressure_Pa") == 2e5);
    CHECK(point.at("seat_lift_m").is_null());
    CHECK(point.at("error") == "no state at 2 bar");
    CHECK(text(result).find("no state at 2 bar") != std::string::npos);

    LiftResult none = sample();
    none.curve.reset();
    none.rows.clear();
    none.error = "no state";
    CHECK(none.failed());
    CHECK(json(none).at("crack_pressure_Pa").is_null());
    CHECK(json(none).at("error") == "no state");
    CHECK(text(none).find("No lift curve: no state") != std::string::npos);
}
