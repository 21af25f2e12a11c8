#include <frame/recorder.hpp>
#include <valve/damper/lift_cache.hpp>
#include <valve/damper/steady.hpp>
#include <valve/setup/read.hpp>

#include <fmt/format.h>

#include <algorithm>
#include <cmath>
#include <stdexcept>
#include <string>
#include <utility>
#include <vector>

// What the trade knows of forks, held against the set-ups in stacks/. The set-ups are invented, the rules are
// not: they stand in no book that the project has read.

namespace valve::validation {
namespace {

using damper::Place;
using damper::SteadyPoint;
using damper::Stroke;

constexpr double top_speed = 4.0;   // [m/s]
constexpr double mid_travel = 0.15; // of the demo fork's 300 mm [m]

damper::SetUp set_up(const std::string& name) {
    const setup::Document document = setup::Document::load(fmt::format("{}/{}.yaml", VALVE_STACKS, name));
    const setup::Reading reading = setup::read(document);
    if (!reading.unit) throw std::runtime_error(name + " is not a whole damper");
    return *reading.unit;
}

void add(Recorder& recorder, std::string name, double expected, double got, Tolerance tolerance,
         std::string unit) {
    recorder.add({std::move(name), no_source(), Kind::common_practice, expected, got, std::move(tolerance),
                  std::move(unit)});
}

/// Oil moved at the base in one stroke [m³], from the pressures that the damper was solved for.
struct Moved {
    double rod = 0.0;  ///< volume by which the rod goes in or out
    double base = 0.0; ///< through the base valves
    double left = 0.0; ///< void that is left in the chambers
};

/// One stroke of 100 mm about mid travel, in steps of equal travel, at the speeds of a sine.
Moved stroke(const damper::Model& model, double peak_speed, Stroke direction) {
    constexpr int steps = 50;
    constexpr double length = 0.1;
    const double sign = direction == Stroke::compression ? 1.0 : -1.0;
    Moved moved;
    for (int i = 0; i < steps; ++i) {
        const double part = (i + 0.5) / steps;
        const double speed = peak_speed * std::sqrt(4.0 * part * (1.0 - part));
        const double travel = mid_travel + sign * length * (part - 0.5);
        const double time = length / steps / speed;
        const SteadyPoint point = damper::steady_point(model, sign * speed, travel);
        moved.rod += model.rod_area() * length / steps;
        moved.base += time * sign * model.base()->at_drop(point.p_C - point.p_S).flow;
        moved.left += time * point.void_growth;
    }
    return moved;
}

void volume_of_the_rod(Recorder& recorder, const damper::Model& as_found, const damper::Model& soft_check) {
    const Tolerance balance = relative(1e-8, "flow and pressure drop are each solved from the other");
    const std::string rod = "the oil that passes the base is the volume of the rod: ";
    const Moved in = stroke(as_found, 1.0, Stroke::compression);
    add(recorder, rod + "in, 1 m/s", in.rod, in.base, balance, "m3");
    const Moved out = stroke(as_found, 1.0, Stroke::rebound);
    add(recorder, rod + "out, 1 m/s", out.rod, out.base, balance, "m3");

    const Moved fast = stroke(as_found, 3.0, Stroke::rebound);
    add(recorder, "a stiff check brings back less than 95 % of the rod, out, 3 m/s", 0.95 * fast.rod,
        fast.base, at_most("above the onset of voids the chamber does not refill before the next stroke"),
        "m3");
    add(recorder, "what a stiff check does not bring back is void, out, 3 m/s", fast.rod - fast.base,
        fast.left, relative(1e-6, "difference of two flows, each within 1e-8"), "m3");
    const Moved soft = stroke(soft_check, 3.0, Stroke::rebound);
    add(recorder, rod + "soft check, out, 3 m/s", soft.rod, soft.base, balance, "m3");
}

/// The curve at mid travel, every point of it solved.
damper::Curve curve(const damper::Model& model) {
    damper::Curve curve = damper::steady_curve(
        model, {.speeds = {0.1, 0.2, 0.5, 1.0, 1.5, 2.0, 2.5, 3.0, 3.5, top_speed, -0.5, -1.0, -3.0},
                .travel = mid_travel,
                .top_speed = top_speed});
    for (const SteadyPoint& point : curve.points)
        if (point.error) throw std::runtime_error(*point.error);
    return curve;
}

/// Largest pressure drop of the mid-valve over that of the base valve up to the top speed [-].
double mid_valve_over_base(const damper::Curve& curve) {
    double largest = 0.0;
    for (const SteadyPoint& point : curve.points)
        if (point.speed > 0.0) largest = std::max(largest, point.dp_piston / point.dp_base);
    return largest;
}

void base_leads(Recorder& recorder, const damper::Curve& as_found, const damper::Curve& more_float) {
    const char* why = "the mid-valve must not dominate the base valve, or the rod side runs empty";
    add(recorder, "drop of the mid-valve over the base valve's as found, up to 4 m/s", 1.0,
        mid_valve_over_base(as_found), at_least(why), "");
    add(recorder, "drop of the mid-valve over the base valve's, more float, up to 4 m/s", 1.0,
        mid_valve_over_base(more_float), at_most(why), "");
}

const SteadyPoint& at_speed(const damper::Curve& curve, double speed) {
    for (const SteadyPoint& point : curve.points)
        if (point.speed == speed) return point;
    throw std::logic_error(fmt::format("no point at {} m/s", speed));
}

void check_that_opens(Recorder& recorder, const damper::Curve& as_found, const damper::Curve& soft_check) {
    const char* why = "a check plate that opens freely lets the chamber refill";
    for (const double speed : {0.5, 1.0, 3.0}) {
        add(recorder, fmt::format("refill deficit of a soft check below a stiff one's, {} m/s", speed),
            at_speed(as_found, -speed).refill_deficit.value(),
            at_speed(soft_check, -speed).refill_deficit.value(), at_most(why), "Pa");
        add(recorder, fmt::format("damping force in compression with a soft check, {} m/s", speed),
            at_speed(as_found, speed).damping_force, at_speed(soft_check, speed).damping_force,
            relative(1e-9, "the check is shut in compression: nothing else changes"), "N");
    }
    // An onset that is not found lies above the top speed.
    add(recorder, "onset of voids with a soft check above that with a stiff one",
        as_found.void_onset.rebound.value(), soft_check.void_onset.rebound.value_or(top_speed), at_least(why),
        "m/s");
}

} // namespace

void practice_checks(Recorder& recorder) {
    const damper::SetUp as_found = set_up("rally-fork");
    const damper::SetUp more_float = set_up("rally-fork-more-float");
    const damper::SetUp soft_check = set_up("rally-fork-softer-check");
    damper::LiftCache lifts;
    const damper::Model found_model = lifts.model(as_found);
    const damper::Model float_model = lifts.model(more_float);
    const damper::Model check_model = lifts.model(soft_check);
    const damper::Curve found = curve(found_model);

    volume_of_the_rod(recorder, found_model, check_model);
    base_leads(recorder, found, curve(float_model));
    check_that_opens(recorder, found, curve(check_model));
}

} // namespace valve::validation
