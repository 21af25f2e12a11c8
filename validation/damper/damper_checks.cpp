#include <frame/numbers.hpp>
#include <frame/recorder.hpp>
#include <valve/damper/end_cup.hpp>
#include <valve/damper/geometry.hpp>
#include <valve/damper/reservoir.hpp>
#include <valve/damper/steady.hpp>
#include <valve/damper/support.hpp>

#include <fmt/format.h>

#include <cmath>
#include <numbers>
#include <utility>

namespace valve::validation {

namespace {

using damper::Place;

void air_spring(Recorder& recorder) {
    const double area = 1452.2e-6;
    const double length = 110e-3;
    for (const char* exponent : {"1", "1.2", "1.3", "1.4"})
        for (const int travel : {30, 60, 90}) {
            const double inside =
                damper::gas_pressure(p_atm, area * length, std::stod(exponent), area * travel * 1e-3);
            recorder.add({.name = fmt::format("air spring of a leg, n = {}, {} mm", exponent, travel),
                          .source = {"", "p_0 A [(L_0/(L_0 - x))^n - 1], references/damper.py"},
                          .kind = Kind::computed_reference,
                          .expected = numbers("damper").at(fmt::format("air spring, n {}", exponent),
                                                           fmt::format("{} mm", travel)),
                          .got = (inside - p_atm) * area,
                          .tolerance = relative(1e-8, "nine digits in the reference"),
                          .unit = "N"});
        }
}

void gas_reservoir(Recorder& recorder) {
    damper::SetUp setup;
    setup.cartridge.rod = 14e-3;
    setup.reservoir = {
        .kind = damper::ReservoirKind::bladder, .gas_volume = 60e-6, .gas_pressure = p_atm + 10e5};
    for (const char* exponent : {"1", "1.2", "1.4"}) {
        setup.reservoir.exponent = std::stod(exponent);
        const double taken = damper::circle_area(14e-3) * 60e-3;
        recorder.add(
            {.name = fmt::format("gas of a monotube, n = {}, rod 60 mm in: gauge pressure", exponent),
             .source = {"", "p V^n constant from 60 cm3 at 10 bar, references/damper.py"},
             .kind = Kind::computed_reference,
             .expected = numbers("damper").at(fmt::format("gas, n {}", exponent), "pressure"),
             .got = damper::ReservoirLaw(setup).pressure(60e-3, taken) - p_atm,
             .tolerance = relative(1e-8, "nine digits in the reference"),
             .unit = "Pa"});
    }
}

void strut_gas(Recorder& recorder) {
    const double rod = damper::circle_area(0.09);
    recorder.add({.name = "gas of a hydropneumatic strut, rod 20 mm in",
                  .source = {"shock_and_vibration_5526106",
                             "Table 1: pressure, volume, exponent; references/damper.py"},
                  .kind = Kind::computed_reference,
                  .expected = numbers("damper").at("strut", "pressure"),
                  .got = damper::gas_pressure(9.25e6, 1.2e-3, 1.4, rod * 20e-3),
                  .tolerance = relative(1e-8, "nine digits in the reference"),
                  .unit = "Pa"});
}

/// A monotube with one hole of 4 mm in its piston, laminar up to a flow number of about `transition`.
damper::Model monotube(double transition) {
    damper::SetUp setup;
    setup.oil.density_15 = 860.0;
    setup.oil.temperature = zero_celsius + 15.0;
    setup.oil.viscosity = {{313.15, 16e-6}, {373.15, 3.9e-6}};
    setup.cartridge = {.layout = damper::Layout::monotube, .bore = 36e-3, .rod = 12e-3, .travel = 50e-3};
    setup.reservoir = {.kind = damper::ReservoirKind::bladder, .gas_volume = 50e-6, .gas_pressure = 1e6};
    flow::Valve rebound; // stands for the hole alone: its stack never lifts
    rebound.ports = {.count = 4, .area_each = 10e-6};
    rebound.stack.shims = {{.outer_radius = 15e-3, .thickness = 0.2e-3, .material = {}}};
    rebound.stack.clamp_radius = 6e-3;
    rebound.stack.zone = {.inner_radius = 8e-3, .outer_radius = 14e-3};
    rebound.stack.seat = {.inner_radius = 14e-3, .outer_radius = 15e-3};
    rebound.bleed = flow::Hole{.diameter = 4e-3, .count = 1};
    rebound.discharge.bleed_transition = transition;
    setup.valves[Place::piston_rebound] = rebound;
    damper::LiftLaws laws;
    laws.at_place[static_cast<std::size_t>(Place::piston_rebound)] =
        stack::LiftLaw({0.0, 100e5}, {0.0, 0.0}, 1e-4);
    return {setup, laws};
}

/// The reference runs the monotube in time through a sine, with oil that gives; at peak speed, where little
/// changes, the steady curve must be near it.
void turbulent_hole(Recorder& recorder) {
    const damper::Model model = monotube(1e-6); // turbulent throughout, as the reference
    const Numbers& known = numbers("damper");
    const double peak_speed = known.at("monotube", "speed");
    const auto check = [&](double speed, const char* force) {
        recorder.add(
            {.name = fmt::format("monotube with a hole: damping force at {:g} m/s", speed),
             .source = {"", "two chambers and a gas in time, 25 mm at 2 Hz, references/damper.py"},
             .kind = Kind::computed_reference,
             .expected = known.at("monotube", force),
             .got = damper::steady_point(model, speed, 25e-3).damping_force,
             .tolerance = relative(1e-3, "the reference's oil and gas give, and it is regularised near 0"),
             .unit = "N"});
    };
    check(peak_speed, "damping force in");
    check(-peak_speed, "damping force out");
    recorder.add({.name = "monotube with a hole: piston drop at peak speed",
                  .source = {"", "ρ/2 (A_a v/(0.7 A))², references/damper.py"},
                  .kind = Kind::computed_reference,
                  .expected = known.at("monotube", "piston drop, incompressible"),
                  .got = damper::steady_point(model, peak_speed, 25e-3).dp_piston,
                  .tolerance = relative(1e-8, "nine digits in the reference"),
                  .unit = "Pa"});
}

/// The other end of the same law: the hole as a laminar throttle, so that force is speed times a constant.
void laminar_hole(Recorder& recorder) {
    constexpr double transition = 1e6;
    constexpr double diameter = 4e-3;
    constexpr double speed = 1e-5;
    const damper::Model model = monotube(transition);
    const double viscosity = model.oil().dynamic_viscosity();
    const double conductance =
        4.0 * flow::Discharge{}.bleed * damper::circle_area(diameter) * diameter / (viscosity * transition);
    for (const double direction : {1.0, -1.0})
        recorder.add(
            {.name = fmt::format("monotube with a laminar hole: damping coefficient, {}",
                                 direction > 0.0 ? "in" : "out"),
             .source = {"mccloy_martin_1980", "limit of the tanh law at rest: Q = 4 C A D Δp/(μ λ_c), "
                                              "on the annulus"},
             .kind = Kind::memory,
             .expected = model.annulus_area() * model.annulus_area() / conductance,
             .got = damper::steady_point(model, direction * speed, 25e-3).damping_force / (direction * speed),
             .tolerance = relative(1e-6, "the law leaves its tangent by (2λ/λ_c)²/3"),
             .unit = "N s/m"});
}

/// A leg with coil, air and a spring-backed reservoir: the reference differentiates the energy of the whole,
/// the air's by quadrature of p dV, and knows no area that a pressure acts on.
void leg_by_its_energy(Recorder& recorder) {
    damper::SetUp setup;
    setup.cartridge = {
        .layout = damper::Layout::closed_cartridge, .bore = 25e-3, .rod = 12.5e-3, .travel = 280e-3};
    setup.reservoir = {.kind = damper::ReservoirKind::spring_piston,
                       .diameter = 34e-3,
                       .spring_rate = 1500.0,
                       .preload = 55.0};
    setup.support = damper::Support{};
    setup.support->spring = damper::MainSpring{.rate = 4700.0, .preload = 8e-3};
    setup.support->leg = damper::Leg{.chamber_volume = 1000e-6,
                                     .oil_volume = 380e-6,
                                     .diameter = 48e-3,
                                     .pressure = p_atm + 0.2e5,
                                     .exponent = 1.25};
    const damper::SupportLaw law(setup);
    for (const double travel : {0.05, 0.15, 0.25, 0.28}) {
        const char* source = "energy of springs, air and reservoir, differentiated, references/damper.py";
        const std::string at = fmt::format(" of a leg, {:g} mm in", travel * 1e3);
        const std::string group = fmt::format("leg, {:g} m in", travel);
        const auto check = [&](const char* what, const char* quantity, double got, const char* unit) {
            recorder.add({.name = what + at,
                          .source = {"", source},
                          .kind = Kind::computed_reference,
                          .expected = numbers("damper").at(group, quantity),
                          .got = got,
                          .tolerance = relative(1e-8, "nine digits printed"),
                          .unit = unit});
        };
        check("support", "force", law.at(travel).force, "N");
        check("energy", "energy", law.at(travel).energy, "J");
    }
}

/// A plug in its cup by the exact law of a concentric annulus, sliced where it is tapered, and by orifices.
void end_cup(Recorder& recorder) {
    constexpr double bore = 16.4e-3;
    constexpr double length = 20e-3;
    flow::Oil oil;
    oil.density_15 = 860.0;
    oil.viscosity = {{313.15, 16e-6}, {373.15, 3.9e-6}};
    const flow::OilState state = flow::state_of(oil);
    const auto plug = [&](double entry_gap, double gap) {
        return damper::EndCup{.plug = bore - 2.0 * gap, .length = length, .gap = gap, .entry_gap = entry_gap};
    };

    // Q = π Δp/(8 μ L) [R⁴ − r⁴ − (R² − r²)²/ln(R/r)]
    const auto slice = [&](double gap, double thickness, double flow) {
        const double outer = 0.5 * bore;
        const double inner = outer - gap;
        const double squares = outer * outer - inner * inner;
        return 8.0 * state.dynamic_viscosity() * thickness * flow /
               (std::numbers::pi *
                (std::pow(outer, 4.0) - std::pow(inner, 4.0) - squares * squares / std::log(outer / inner)));
    };
    constexpr double creeping = 1e-7; // no jet to speak of
    const auto laminar = [&](const char* name, double entry_gap, double gap, double depth,
                             Tolerance tolerance) {
        const damper::EndCupLaw law(plug(entry_gap, gap), 0.0, state);
        constexpr int slices = 2000;
        double expected = 0.0;
        for (int i = 0; i < slices; ++i) {
            const double from_tip = depth * (i + 0.5) / slices;
            expected += slice(entry_gap + (gap - entry_gap) * from_tip / length, depth / slices,
                              law.area(depth) * creeping);
        }
        recorder.add({.name = fmt::format("plug in a cup, slow: {}", name),
                      .source = {"", "Hagen and Poiseuille's flow in a concentric annulus, in 2000 slices"},
                      .kind = Kind::computed_reference,
                      .expected = expected,
                      .got = law.pressure(depth, creeping),
                      .tolerance = std::move(tolerance),
                      .unit = "Pa"});
    };
    laminar("straight, half in", 0.2e-3, 0.2e-3, 10e-3,
            relative(1e-4, "a flat gap, (h/D)² of its curvature"));
    laminar("straight, all in", 0.2e-3, 0.2e-3, 20e-3, relative(1e-4, "a flat gap, (h/D)² of its curvature"));
    laminar("tapered, half in", 0.6e-3, 0.2e-3, 10e-3,
            relative(0.01, "one mean diameter, a little small where the gap is narrow"));
    laminar("tapered, all in", 0.6e-3, 0.2e-3, 20e-3,
            relative(0.02, "one mean diameter, a little small where the gap is narrow"));

    const auto orifice = [&](double flow, double area) {
        const double speed = flow / (0.7 * area);
        return 0.5 * state.density * speed * speed;
    };
    const damper::EndCupLaw open(plug(0.2e-3, 0.2e-3), 0.0, state);
    recorder.add(
        {.name = "plug in the mouth of its cup, 2 m/s",
         .source = {"", "ρ/2 (Q/(0.7 A))² through the ring between cup and plug"},
         .kind = Kind::computed_reference,
         .expected = orifice(open.area(0.0) * 2.0, damper::circle_area(bore) - damper::circle_area(16e-3)),
         .got = open.pressure(0.0, 2.0),
         .tolerance = relative(0.003, "the law counts from the loss of an open mouth, (4h/D)²"),
         .unit = "Pa"});
    damper::EndCup sealed = plug(0.0, 0.0);
    sealed.hole = 3e-3;
    const damper::EndCupLaw holed(sealed, 0.0, state);
    recorder.add({.name = "plug that seals a cup with a hole, 1 m/s",
                  .source = {"", "ρ/2 (Q/(0.7 A))² through the hole"},
                  .kind = Kind::computed_reference,
                  .expected = orifice(damper::circle_area(bore) * 1.0, damper::circle_area(3e-3)),
                  .got = holed.pressure(5e-3, 1.0),
                  .tolerance = relative(1e-6, "turbulent, and nothing else"),
                  .unit = "Pa"});
}

} // namespace

void damper_checks(Recorder& recorder) {
    air_spring(recorder);
    leg_by_its_energy(recorder);
    gas_reservoir(recorder);
    strut_gas(recorder);
    turbulent_hole(recorder);
    laminar_hole(recorder);
    end_cup(recorder);
}

} // namespace valve::validation
