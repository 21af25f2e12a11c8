#include <frame/numbers.hpp>
#include <stack/one_shim.hpp>
#include <stack/parts.hpp>
#include <valve/plate/detail/element.hpp>

#include <fmt/format.h>

#include <array>
#include <cmath>
#include <numbers>
#include <string>

namespace valve::validation {
namespace {

constexpr double rim = 15e-3; // a [m]
constexpr double E = plate::Material{}.youngs_modulus;

const Source source{"", "von Kármán's equations as a boundary value problem, references/plates.py"};
const Tolerance lift_elements = relative(1e-6, "40 cubic elements, graded; eight digits in the reference");
const Tolerance stress_elements = relative(
    1e-6, "40 cubic elements, graded: moments and forces at the clamp; eight digits in the reference");

/// A shim clamped at `ratio` a.
stack::Stack clamped(double ratio, double thickness) {
    stack::Stack stack;
    stack.shims = {{rim, thickness, {}}};
    stack.clamp_radius = stack.bore_radius = ratio * rim;
    stack.zone = {ratio * rim, rim};
    stack.seat = {rim, rim, 0.0};
    return stack;
}

/// Under a pressure of q a⁴/(D t) = `load` all over.
stack::LiftPoint pressed(double load, double ratio, double thickness) {
    const double D = plate::bending_stiffness(plate::Material{}, thickness);
    const double pressure = load * D * thickness / std::pow(rim, 4);
    return solved(clamped(ratio, thickness), std::array{pressure}, stack::Theory::large_deflection)
        .front()
        .state;
}

/// Under a ring load of w a³/(D t) = `load` on its rim: the spring of a float on a shim that a hub holds
/// level.
stack::StackShape pushed(double load, double ratio, double thickness) {
    const double D = plate::bending_stiffness(plate::Material{}, thickness);
    const double w = load * D * thickness / (rim * rim * rim);
    stack::Stack stack = clamped(ratio, thickness);
    stack.edge = stack::InnerEdge::guided;
    stack.seat.height = far_below;
    stack.floating = soft_float(2.0 * std::numbers::pi * rim * w, ratio * rim, rim, stack::RestsOn::hub);
    return solved(stack, std::array{0.0}, stack::Theory::large_deflection).front();
}

void against(Recorder& recorder, const std::string& name, const std::string& group, double lift,
             double stress, double thickness) {
    const Numbers& known = numbers("plates");
    recorder.add({name + ": w_a/t", source, Kind::computed_reference, known.at(group, "lift"),
                  lift / thickness, lift_elements, ""});
    recorder.add({name + ": largest von Mises stress, times a²/(E t²)", source, Kind::computed_reference,
                  known.at(group, "stress"), stress * rim * rim / (E * thickness * thickness),
                  stress_elements, ""});
}

/// Clamped inside, free outside.
void annular(Recorder& recorder) {
    constexpr double thickness = 2e-4;
    for (const double ratio : {0.2, 0.3, 0.5}) {
        for (const int load : {5, 10, 20, 40, 80, 160}) {
            const stack::LiftPoint s = pressed(load, ratio, thickness);
            against(recorder,
                    fmt::format("shim in large deflection, pressure, P = {}, b/a = {}", load, ratio),
                    fmt::format("annulus, pressure {}, b/a {}", load, ratio), s.edge_lift, s.peak.stress,
                    thickness);
        }
        for (const int load : {1, 5, 10, 20, 40}) {
            const stack::StackShape s = pushed(load, ratio, thickness);
            against(recorder,
                    fmt::format("shim in large deflection, rim load, P = {}, b/a = {}", load, ratio),
                    fmt::format("annulus, rim load {}, b/a {}", load, ratio), -s.shims.front().lift.back(),
                    s.state.peak.stress, thickness);
        }
    }
}

/// In the plate's own numbers w_a/t depends on q a⁴/(D t) alone, however thin the plate: elements that lock
/// fall short as it gets thinner.
void thin(Recorder& recorder) {
    constexpr double ratio = 0.3;
    for (const double slenderness : {10.0, 100.0, 1000.0}) {
        const double thickness = (1.0 - ratio) * rim / slenderness;
        const stack::LiftPoint s = pressed(80.0, ratio, thickness);
        against(recorder,
                fmt::format("shim in large deflection, pressure, P = 80, b/a = 0.3, width/thickness = {}",
                            slenderness),
                "annulus, pressure 80, b/a 0.3", s.edge_lift, s.peak.stress, thickness);
    }
}

} // namespace

void large_deflection_checks(Recorder& recorder) {
    annular(recorder);
    thin(recorder);
}

} // namespace valve::validation
