#include <plate/roark.hpp>
#include <stack/parts.hpp>
#include <valve/stack/solution.hpp>

#include <fmt/format.h>

#include <algorithm>
#include <array>
#include <cmath>
#include <numbers>
#include <stdexcept>
#include <tuple>
#include <utility>

namespace valve::validation {
namespace {

using stack::InnerEdge;
using stack::RestsOn;
using stack::Theory;

constexpr double ring = 6e-3;          // b [m]
constexpr double rim = 15e-3;          // a [m]
constexpr double preload = 5.0;        // [N]
constexpr double spring_rate = 4000.0; // [N/m]

/// One plate of 0.2 mm between a spring ring at b and a knife-edge seat under its rim, pressed from b to a.
stack::Stack plate_between(InnerEdge edge, RestsOn rests_on) {
    stack::Stack stack;
    stack.shims = {{rim, 0.2e-3, {}}};
    stack.clamp_radius = stack.bore_radius = ring;
    stack.zone = {ring, rim};
    stack.seat = {rim, rim, 0.0};
    stack.edge = edge;
    stack.floating = stack::Float{.travel = 2e-3,
                                  .spring_rate = spring_rate,
                                  .preload = preload,
                                  .ring_radius = ring,
                                  .spring_radius = ring,
                                  .stop_radius = ring,
                                  .rests_on = rests_on};
    return stack;
}

double area() {
    return std::numbers::pi * (rim * rim - ring * ring);
}

/// Coefficients of a case whose load begins, or lies, at `load_radius` [m].
PlateCoefficients formula(RoarkLoad load, char letter, double load_radius) {
    return roark(load, supports(letter), static_cast<long double>(ring / rim),
                 static_cast<long double>(load_radius / rim),
                 static_cast<long double>(plate::Material{}.poisson_ratio));
}

/// Rise of the rim over the ring per pressure [m/Pa]: case 2k where the edge is free, 2l where it is guided.
double rise_per_pressure(InnerEdge edge) {
    const plate::Material steel;
    const double D = plate::bending_stiffness(steel, 0.2e-3);
    const char letter = edge == InnerEdge::free ? 'k' : 'l';
    const PlateCoefficients K = formula(RoarkLoad::pressure, letter, ring);
    return -K.outer.deflection * std::pow(rim, 4) / D;
}

stack::LiftPoint linear_state(const stack::Stack& stack, double pressure) {
    return stack::Solution(stack, {.theory = Theory::linear}).at(pressure);
}

const Tolerance plate_formula = relative(1e-6, "cubic elements, 40 of them, graded");

/// Lift on the hub and in the float: ring as spring and load have it, and bending over it.
void lift_checks(Recorder& recorder) {
    for (const auto& [edge, name, where] :
         {std::tuple{InnerEdge::free, "free", "case 2k, r_o = b, on a spring"},
          std::tuple{InnerEdge::guided, "guided", "case 2l, r_o = b, on a spring"}}) {
        const stack::Stack stack = plate_between(edge, RestsOn::hub);
        const double floats_from = preload / area();
        for (const double pressure : {0.5 * floats_from, 2.0 * floats_from}) {
            const double ring_lift = std::max(0.0, pressure * area() - preload) / spring_rate;
            recorder.add({fmt::format("floated plate, edge {}, {:.3f} bar: seat lift", name, pressure / 1e5),
                          {"young_budynas_2002", where},
                          Kind::computed_reference,
                          ring_lift + pressure * rise_per_pressure(edge),
                          linear_state(stack, pressure).seat_lift,
                          plate_formula,
                          "m"});
        }
    }
}

/// Without a hub the seat alone carries the preload: the ring hangs below the rim as under a ring load.
void seat_checks(Recorder& recorder) {
    const plate::Material steel;
    const double D = plate::bending_stiffness(steel, 0.2e-3);
    const PlateCoefficients K = formula(RoarkLoad::ring, 'k', rim);
    const stack::Stack stack = plate_between(InnerEdge::free, RestsOn::seat);
    // The spring has given way by the sag z already: F = F_0 − k z and z = F c.
    const double compliance = -K.outer.deflection * rim * rim / (2.0 * std::numbers::pi * D);
    const double sag = preload * compliance / (1.0 + spring_rate * compliance);
    const stack::LiftPoint rest = linear_state(stack, 0.0);
    recorder.add({"floated plate that rests on its seat alone: ring below its seat",
                  {"young_budynas_2002", "case 1k, r_o = a, in series with a spring"},
                  Kind::computed_reference,
                  -sag,
                  rest.float_lift,
                  plate_formula,
                  "m"});
    recorder.add({"floated plate that rests on its seat alone: seat force at rest",
                  {"young_budynas_2002", "case 1k, r_o = a, in series with a spring"},
                  Kind::computed_reference,
                  preload - spring_rate * sag,
                  rest.seat_force,
                  plate_formula,
                  "N"});
}

/// A stop over the rim, beyond the seat, in place of the ring takes the plate when ring lift and bending
/// together reach it.
void stop_check(Recorder& recorder) {
    const plate::Material steel;
    const double D = plate::bending_stiffness(steel, 0.2e-3);
    constexpr double seat = 12e-3;
    stack::Stack stack = plate_between(InnerEdge::free, RestsOn::hub);
    stack.zone.outer_radius = seat;
    stack.seat = {seat, seat, 0.0};
    stack.floating->stop_radius = rim;
    // Pressure from b to the seat is pressure from b to the rim less pressure from the seat to the rim.
    double rise = 0.0;
    for (const auto& [from, sign] : {std::pair{ring, 1.0}, std::pair{seat, -1.0}}) {
        const PlateCoefficients K = formula(RoarkLoad::pressure, 'k', from);
        rise -= sign * K.outer.deflection * std::pow(rim, 4) / D;
    }
    const double pressed = std::numbers::pi * (seat * seat - ring * ring);
    const double at_stop = (stack.floating->travel + preload / spring_rate) / (pressed / spring_rate + rise);
    const stack::LiftCurve curve =
        stack::Solution(stack, {.theory = Theory::linear, .max_pressure = 2.0 * at_stop}).curve();
    const auto stop = std::find_if(curve.events.begin(), curve.events.end(), [](const stack::Event& event) {
        return event.kind == stack::EventKind::stop;
    });
    if (stop == curve.events.end()) throw std::runtime_error("the plate never meets its stop");
    recorder.add({"floated plate under a stop over its rim: pressure at the stop",
                  {"young_budynas_2002", "case 2k, two of them, on a spring"},
                  Kind::computed_reference,
                  at_stop,
                  stop->pressure,
                  plate_formula,
                  "Pa"});
}

/// Pressure at which a clamped plate yields, by the moment at the clamp: there M_t = ν M_r.
void yield_check(Recorder& recorder) {
    stack::Stack stack = plate_between(InnerEdge::free, RestsOn::hub);
    stack.floating.reset();
    stack.edge = InnerEdge::clamped;
    plate::Material& strip = stack.shims.front().material;
    strip.yield_strength = 1500e6;
    const double nu = strip.poisson_ratio;
    const double t = stack.shims.front().thickness;
    const PlateCoefficients K = formula(RoarkLoad::pressure, 'l', ring);
    const double stress_per_pressure =
        6.0 * std::abs(K.inner.moment) * rim * rim / (t * t) * std::sqrt(1.0 - nu + nu * nu);
    const stack::LiftCurve curve =
        stack::Solution(stack, {.theory = Theory::linear, .max_pressure = 10e5}).curve();
    if (!curve.set) throw std::runtime_error("the plate never yields");
    recorder.add({"clamped plate: pressure at which it takes a set",
                  {"young_budynas_2002", "case 2l, r_o = b, von Mises stress of M_r and ν M_r"},
                  Kind::computed_reference,
                  *strip.yield_strength / stress_per_pressure,
                  curve.set->pressure,
                  relative(1e-5, "plate 1e-6, and located to 1e-6 of the pressure"),
                  "Pa"});
}

} // namespace

void floated_checks(Recorder& recorder) {
    lift_checks(recorder);
    seat_checks(recorder);
    stop_check(recorder);
    yield_check(recorder);
}

} // namespace valve::validation
