#include <support/catch.hpp>
#include <valve/report/lift.hpp>

#include <algorithm>
#include <memory>
#include <string>

using namespace valve::report;
using namespace valve::stack;

namespace {

valve::study::LiftResult sample() {
    valve::study::LiftResult result;
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

bool contains(const std::string& text, const std::string& part) {
    return text.find(part) != std::string::npos;
}

std::string one_line(std::string text) {
    std::replace(text.begin(), text.end(), '\n', ' ');
    std::string::size_type blanks = 0; // that set off the lines of a paragraph
    while ((blanks = text.find("  ")) != std::string::npos)
        text.erase(blanks, 1);
    return text;
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
    CHECK(all.find("Cracks at 0.100 bar, lifts 0.02 mm at 0.150 bar, begins to float at more than the end") !=
          std::string::npos);
    CHECK(all.find("1.00  0.250  0.300  0.200") != std::string::npos);
    CHECK(all.find("250     1    18     25") != std::string::npos); // MPa, shim, Ø mm, % of yield
    CHECK(all.find("fatigue") == std::string::npos);
    CHECK(all.find("0.200 bar  touch, shims 1 and 2 at Ø 20") != std::string::npos);
    CHECK(contains(one_line(all), "free edge, rests on hub"));
    CHECK_FALSE(sample().failed());
}

TEST_CASE("the table of a lift says which stress and which limits it shows", "[report]") {
    valve::study::LiftResult result = sample();
    CHECK(contains(one_line(text(result)),
                   "stress: the largest von Mises stress on a face of any shim; yield: its"));
    CHECK_FALSE(text(result).find("fatigue") != std::string::npos);
    result.curve->points.front().of_fatigue = StressShare{0.4, result.curve->points.front().peak};
    CHECK_THAT(text(result), contains_text("Soderberg's rule"));
    CHECK_THAT(text(result), contains_text("fatigue: its share"));
}

TEST_CASE("lift at ports and between them is told where the file gives windows", "[report]") {
    valve::study::LiftResult result = sample();
    CHECK_FALSE(json(result).at("points").at(0).contains("seat_lift_mid_port_m"));
    CHECK(json(result).at("port_pattern") == "ring");
    CHECK(json(result).at("crack_pressure_mid_port_Pa").is_null());
    CHECK_FALSE(contains(text(result), "mid-port"));

    result.valve.stack.windows = 4;
    result.valve.stack.coverage = 0.6;
    result.ring = RingCurve{0.05e5, 0.3e5, 1.5e5};
    result.rows.front().ring = RingLift{
        .pressure = 1e5, .mean = 0.25e-3, .mid_port = 0.31e-3, .mid_land = 0.2e-3, .open_arcs = 0.28e-3};
    result.rows.push_back({2e5, result.rows.front().state, ""});
    const Json object = json(result);
    CHECK(object.at("port_pattern") == "windows");
    CHECK(object.at("crack_pressure_mid_port_Pa") == 0.05e5);
    CHECK(object.at("mid_land_shut_until_Pa") == 0.3e5);
    CHECK(object.at("windows_hold_until_Pa") == 1.5e5);
    CHECK(object.at("points").at(0).at("seat_lift_mid_port_m") == 0.31e-3);
    CHECK(object.at("points").at(0).at("seat_lift_mid_land_m") == 0.2e-3);
    CHECK(object.at("points").at(0).at("seat_lift_open_arcs_m") == 0.28e-3);
    CHECK(object.at("points").at(1).at("seat_lift_mid_port_m").is_null());

    const std::string all = text(result);
    CHECK(contains(all, "1.00  0.250     0.310     0.200  0.300  0.200"));
    CHECK(contains(all, "2.00  0.250         -         -  0.300  0.200"));
    const std::string words = one_line(all);
    CHECK(contains(words,
                   "Ports: 4 windows of 54°, evenly round the ring. At their middle (mid-port) the seat "
                   "lets go at 0.050 bar."));
    CHECK(contains(words, "At 1.00 bar the shim lifts 0.310 mm there and 0.200 mm half-way between two "
                          "(mid-land), 124 % and 80 % of the ring's mean; over the open arcs 112 %."));
    CHECK(contains(words, "hardly changes how much"));
    CHECK(contains(words, "to 0.30 bar mid-land comes out below the seat"));
    CHECK(contains(words, "Beyond 1.50 bar the waves"));

    result.valve.curtain_length = 40e-3;
    CHECK(contains(one_line(text(result)), "as high as over the open arcs, so this counts in full"));
    result.valve.stack.windows = 0;
    CHECK(json(result).at("port_pattern") == "unknown");
}

TEST_CASE("a round shape that buckles is told with its pressure and waves", "[report]") {
    valve::study::LiftResult result = sample();
    CHECK(json(result).at("waves_from_Pa").is_null());
    CHECK_FALSE(contains(text(result), "round shape"));
    result.waves = Waves{0.8e5, 3};
    CHECK(json(result).at("waves_from_Pa") == 0.8e5);
    CHECK(json(result).at("waves") == 3);
    CHECK(contains(one_line(text(result)), "From 0.80 bar on the round shape is not stable"));
    CHECK(contains(one_line(text(result)), "buckles into 3 waves round the ring"));
}

TEST_CASE("a lift is solved with its windows and its waves", "[report]") {
    valve::flow::Valve valve = sample().valve;
    valve.stack.floating.reset();
    valve.stack.edge = InnerEdge::clamped;
    valve.stack.clamp_radius = 6e-3;
    valve.stack.shims.front().material.yield_strength.reset();
    valve.stack.windows = 4;
    valve.stack.coverage = 0.6;
    valve::damper::LiftCache lifts({.max_pressure = 10e5, .shape = valve::stack::Shape::round});
    const valve::study::LiftResult result = valve::study::lift_result("v", valve, {0.2e5, 9e5}, lifts);
    REQUIRE(result.rows.size() == 2);
    REQUIRE(result.rows[0].ring);
    CHECK_THAT(result.rows[0].ring->mean,
               WithinRel(result.rows[0].state->seat_lift, 1e-6)); // two ways to one state
    CHECK(result.rows[0].ring->mid_port > result.rows[0].ring->mid_land);
    REQUIRE(result.ring);
    CHECK(result.ring->holds_until < 9e5);
    CHECK_FALSE(result.rows[1].ring);
    REQUIRE(result.waves);
    CHECK(result.waves->pressure > *result.ring->holds_until);

    valve::damper::LiftCache linear({.theory = Theory::linear, .max_pressure = 10e5});
    const valve::study::LiftResult straight = valve::study::lift_result("v", valve, {9e5}, linear);
    CHECK_FALSE(straight.ring->holds_until);
    CHECK_FALSE(straight.waves);
    REQUIRE(straight.rows[0].ring); // linear plates wave as high as one likes
    CHECK(straight.rows[0].ring->mid_port > straight.rows[0].ring->mean);

    valve.stack.shims.clear();
    valve.stack.edge = InnerEdge::free;
    valve.stack.disc = Disc{13e-3, 2e-3};
    valve.stack.floating = Float{.travel = 1e-3, .spring_rate = 20e3, .preload = 5.0};
    const valve::study::LiftResult even = valve::study::lift_result("v", valve, {0.5e5}, lifts);
    REQUIRE(even.rows[0].ring);
    CHECK(even.rows[0].ring->mid_port == even.rows[0].state->seat_lift);
    CHECK(even.rows[0].ring->mid_land == even.rows[0].state->seat_lift);
    CHECK(even.ring->crack_mid_port == even.curve->crack_pressure);
    CHECK_FALSE(even.waves);
}

TEST_CASE("a lift is told as the stack bends round the ring", "[report]") {
    using valve::stack::Shape;
    valve::flow::Valve valve = sample().valve;
    valve.stack.floating.reset();
    valve.stack.edge = InnerEdge::clamped;
    valve.stack.clamp_radius = 6e-3;
    valve.stack.shims.front().material.yield_strength = 1500e6;
    valve.stack.shims.front().material.fatigue_limit.reset();
    const auto solutions = std::make_shared<valve::stack::Solutions>();
    const auto lift = [&](const std::vector<double>& pressures, Shape shape) {
        valve::damper::LiftCache lifts({.max_pressure = 40e5, .shape = shape}, solutions);
        return valve::study::lift_result("v", valve, pressures, lifts);
    };
    const valve::study::LiftResult round = lift({1e5, 8e5}, Shape::round);
    REQUIRE(round.waves);
    REQUIRE(round.waves->pressure > 1e5);
    REQUIRE(round.waves->pressure < 8e5);
    const valve::study::LiftResult bent = lift({1e5, 8e5}, Shape::as_it_bends);
    CHECK(bent.rows[0].state->seat_lift == round.rows[0].state->seat_lift);
    CHECK_FALSE(bent.rows[0].uneven);
    REQUIRE(bent.rows[1].uneven);
    CHECK(bent.rows[1].state->seat_lift > round.rows[1].state->seat_lift);
    const Json object = json(bent);
    CHECK(object.at("shape") == "as it bends");
    CHECK(json(round).at("shape") == "round");
    CHECK(object.at("points").at(0).at("seat_lift_crest_m").is_null());
    const Json point = object.at("points").at(1);
    CHECK(point.at("waves") == round.waves->count);
    CHECK(point.at("seat_lift_crest_m") > point.at("seat_lift_m"));
    CHECK(point.at("seat_lift_trough_m") < point.at("seat_lift_m"));
    CHECK_FALSE(point.contains("seat_lift_mid_port_m"));
    CHECK(contains(text(bent), "crest  trough"));
    CHECK(
        contains(one_line(text(bent)), "the stack as it bends round the ring: at 8.00 bar its mean lift is"));
    CHECK_FALSE(contains(text(round), "crest  trough"));
    CHECK(contains(one_line(text(round)), "The rows take it for round"));

    CHECK(object.at("wave_branches").is_null()); // not asked for

    // The curve ends, and the strip yields, where the true shape does.
    const valve::study::LiftResult all = lift({}, Shape::as_it_bends);
    CHECK_FALSE(all.failed());
    const valve::study::LiftResult all_round = lift({}, Shape::round);
    REQUIRE(all.curve->set);
    REQUIRE(all_round.curve->set);
    CHECK(all.curve->set->pressure < all_round.curve->set->pressure);
    REQUIRE(all.curve->end_reason);
    CHECK(all.curve->points.back().pressure < all_round.curve->points.back().pressure);
    const double end = all.curve->points.back().pressure;
    CHECK(all.rows.back().pressure == end);
    CHECK(all.rows.back().uneven);
    CHECK((all.curve->events.empty() || all.curve->events.back().pressure <= end));
    // To a thousandth, wherever the points of the round curve lie; and one limit is told.
    const valve::study::LiftResult about = lift({0.999 * end, 1.0025 * end}, Shape::as_it_bends);
    CHECK(about.rows[0].state);
    CHECK_FALSE(about.rows[1].state);
    CHECK_THAT(
        valve::damper::LiftCache({.max_pressure = 40e5}, solutions).solution(valve.stack)->uneven_end(),
        WithinRel(end, 2.5e-3));

    valve.stack.windows = 3;
    valve.stack.coverage = 0.5;
    const valve::study::LiftResult windows = lift({1e5}, Shape::as_it_bends);
    REQUIRE(windows.uneven_crack);
    REQUIRE(windows.rows[0].uneven);
    CHECK(json(windows).at("points").at(0).at("seat_lift_mid_port_m") == windows.rows[0].uneven->mid_port);
    CHECK(contains(text(windows), "mid-port  mid-land"));
}

TEST_CASE("a pressure without a state keeps its row, and so does a stack without a curve", "[report]") {
    valve::study::LiftResult result = sample();
    result.rows.push_back({2e5, std::nullopt, "no state at 2 bar"});
    CHECK(result.failed());
    const Json point = json(result).at("points").at(1);
    CHECK(point.at("pressure_Pa") == 2e5);
    CHECK(point.at("seat_lift_m").is_null());
    CHECK(point.at("error") == "no state at 2 bar");
    CHECK(text(result).find("no state at 2 bar") != std::string::npos);

    valve::study::LiftResult none = sample();
    none.curve.reset();
    none.rows.clear();
    none.error = "no state";
    CHECK(none.failed());
    CHECK(json(none).at("crack_pressure_Pa").is_null());
    CHECK(json(none).at("error") == "no state");
    CHECK(text(none).find("No lift curve: no state") != std::string::npos);
    none.error = "the stack has no lift curve: at rest it is bent";
    CHECK(contains(text(none), "No lift curve: at rest it is bent")); // said once
}

TEST_CASE("a rigid disc is told without theory or inner edge", "[report]") {
    CHECK(contains(one_line(text(sample())), "plates; free edge, rests on hub."));
    valve::study::LiftResult disc = sample();
    disc.valve.stack.shims.clear();
    disc.valve.stack.disc = Disc{13e-3, 2e-3};
    const std::string told = one_line(text(disc));
    CHECK(contains(told, "The disc is rigid."));
    CHECK_FALSE(contains(told, "Theory"));
    CHECK_FALSE(contains(told, "edge, rests"));
}

TEST_CASE("another number of waves is told where it has less energy", "[report]") {
    using valve::stack::WaveBranch;
    valve::study::LiftResult result = sample();
    result.shape = Shape::as_it_bends;
    result.waves = Waves{0.8e5, 4};
    const auto branch = [](int count, double from, double lift, double released) {
        WaveBranch one{{from, count}, {}, released};
        one.lift.state.pressure = 1e5;
        one.lift.state.seat_lift = lift;
        one.lift.crest = 2.0 * lift;
        return one;
    };
    CHECK_FALSE(contains(text(result), "energy"));
    result.wave_branches.emplace();
    CHECK(json(result).at("wave_branches").empty());
    CHECK(contains(one_line(text(result)), "No row is in waves"));
    result.wave_branches = {branch(4, 0.8e5, 0.5e-3, 0.010), branch(3, 0.82e5, 0.6e-3, 0.012)};
    const Json told = json(result).at("wave_branches").at(1);
    CHECK(told.at("waves") == 3);
    CHECK(told.at("pressure_Pa") == 1e5);
    CHECK(told.at("buckles_from_Pa") == 0.82e5);
    CHECK(told.at("seat_lift_crest_m") == 1.2e-3);
    CHECK(told.at("released_J") == 0.012);
    CHECK(contains(
        one_line(text(result)),
        "At 1.00 bar 3 waves (from 0.82 bar on) have released 20.0 % more energy than the 4 told here"));
    result.wave_branches->back().released = 0.009;
    CHECK(
        contains(one_line(text(result)), "3 waves could stand as well, but would have released less energy"));
    result.wave_branches->pop_back();
    CHECK(contains(one_line(text(result)), "neither a wave more nor a wave less could stand"));
}
