#include <frame/numbers.hpp>
#include <frame/recorder.hpp>
#include <valve/core/constants.hpp>
#include <valve/flow/leak.hpp>
#include <valve/flow/link.hpp>
#include <valve/flow/mixture.hpp>
#include <valve/flow/oil.hpp>
#include <valve/flow/restriction.hpp>

#include <fmt/format.h>

#include <cmath>
#include <numbers>

namespace valve::validation {

namespace {

using flow::Oil;
using flow::OilState;
using flow::Restriction;
using std::numbers::pi;

double celsius(double temperature) {
    return temperature + zero_celsius;
}

/// Two-point oil, viscosities at 40 and 100 °C [m²/s].
Oil two_point_oil(double at_40, double at_100) {
    Oil oil;
    oil.density_15 = 860.0;
    oil.viscosity = {{celsius(40.0), at_40}, {celsius(100.0), at_100}};
    return oil;
}

/// Oil of a given density, as a reference that knows no temperature has it.
OilState oil_of(double density) {
    Oil oil = two_point_oil(32e-6, 5.4e-6);
    oil.density_15 = density;
    return flow::state_of(oil, celsius(15.0));
}

/// A transition so early that the tanh law is turbulent throughout: tanh(2λ/λ_c) = 1 to rounding from a flow
/// number of 2e-5 on. References with one constant discharge coefficient need it.
constexpr double turbulent = 1e-6;

void viscosity(Recorder& recorder) {
    const Oil heavy = two_point_oil(32e-6, 5.4e-6);
    recorder.add(
        {.name = "viscosity of 32 mm2/s oil at 80 °C, as printed",
         .source = {"astm_d341", "worked example of the two-point equation (A = 9.5259, B = 3.7449)"},
         .kind = Kind::published,
         .expected = 8.5e-6,
         .got = flow::kinematic_viscosity(heavy, celsius(80.0)),
         .tolerance = absolute(0.05e-6, "half the last digit printed"),
         .unit = "m2/s"});
    const auto check = [&](const Oil& oil, const char* group) {
        for (const int temperature : {-20, 0, 20, 50, 60, 80})
            recorder.add({.name = fmt::format("viscosity of {:g} mm2/s oil at {} °C",
                                              oil.viscosity.begin()->second * 1e6, temperature),
                          .source = {"astm_d341", "two-point equation, references/flow.py"},
                          .kind = Kind::computed_reference,
                          .expected = numbers("flow").at(group, fmt::format("{} C", temperature)),
                          .got = flow::kinematic_viscosity(oil, celsius(temperature)),
                          .tolerance = relative(1e-9, "ten digits in the reference"),
                          .unit = "m2/s"});
    };
    check(heavy, "viscosity 32, 5.4");
    check(two_point_oil(15e-6, 3.6e-6), "viscosity 15, 3.6");
}

void density(Recorder& recorder) {
    Oil oil = two_point_oil(32e-6, 5.4e-6);
    oil.expansion = 7e-4;
    const auto check = [&](double temperature, double expected) {
        const double warming = oil.expansion * (temperature - 15.0);
        recorder.add({.name = fmt::format("density at {:g} °C", temperature),
                      .source = {"", "860/(1 + 7e-4 (t - 15)) kg/m3"},
                      .kind = Kind::computed_reference,
                      .expected = expected,
                      .got = flow::density(oil, celsius(temperature)),
                      .tolerance = relative(1.05 * warming * warming,
                                            "the library's law is linear in t; the two differ by (α Δt)²"),
                      .unit = "kg/m3"});
    };
    check(50.0, 839.4);
    check(100.0, 811.7);
}

/// −v dp/dv [Pa]
double tangent_modulus(const flow::Mixture::State& state) {
    return -(1.0 + state.expansion) / state.slope;
}

/// Tangent bulk modulus of oil with air, against E = K (1 + α r)/(1 + α K r/(n p)), r = (p_0/p)^(1/n), with
/// α the air's part of the oil's volume at 1 atm.
void mixture(Recorder& recorder) {
    Oil oil = two_point_oil(32e-6, 5.4e-6);
    oil.bulk_modulus = 1.5e9;
    oil.free_air = 0.01 / 1.01; // of the mixture: α = 1 % of the oil
    const OilState state = flow::state_of(oil);
    for (const int gauge_bar : {0, 1, 5, 10, 20, 50, 100})
        for (const char* exponent : {"1", "1.4"}) {
            const double expected = numbers("flow").at(fmt::format("bulk modulus, n {}", exponent),
                                                       fmt::format("{} bar", gauge_bar));
            // The reference leaves the oil that dilutes the air at its volume of 1 atm: to first order its E
            // is high by the part (p - p_atm)/K (1 - E/K).
            const double gauge = gauge_bar * 1e5;
            const double neglected = gauge / oil.bulk_modulus * (1.0 - expected / oil.bulk_modulus);
            const flow::Mixture mixture(state, std::stod(exponent));
            recorder.add(
                {.name = fmt::format("bulk modulus, 1 % air, n = {}, {} bar", exponent, gauge_bar),
                 .source = {"merritt_1967", "compliances of oil and free air added, references/flow.py"},
                 .kind = Kind::computed_reference,
                 .expected = expected,
                 .got = tangent_modulus(mixture.at(p_atm + gauge)),
                 .tolerance =
                     relative(1e-9 + 1.05 * neglected,
                              "ten digits, and the compression of the oil that the reference neglects"),
                 .unit = "Pa"});
        }
}

/// Compliances of pipe, oil and entrained air add up. The air is 1 % of the
/// volume at the pressure itself.
void compliances(Recorder& recorder) {
    constexpr double psi = 6894.757;
    constexpr double pressure = 500.0 * psi;
    constexpr double share = 0.01;
    constexpr double pipe = 3e6 * psi; // E t/D of steel, 30e6 psi, D/t = 10
    for (const char* digits : {"1", "1.4"}) {
        const double exponent = std::stod(digits);
        Oil oil = two_point_oil(32e-6, 5.4e-6);
        oil.bulk_modulus = 250000.0 * psi;
        // Air and oil as they are at 1 atm.
        const double air = share * std::pow(pressure / p_atm, 1.0 / exponent);
        const double liquid = (1.0 - share) * std::exp((pressure - p_atm) / oil.bulk_modulus);
        oil.free_air = air / (air + liquid);
        const flow::Mixture mixture(flow::state_of(oil), exponent);
        recorder.add(
            {.name = fmt::format("bulk modulus of a pipe of oil with 1 % air, n = {:g}", exponent),
             .source = {"merritt_1967", "chapter 1, sum of compliances at 500 psi, references/flow.py"},
             .kind = Kind::computed_reference,
             .expected = numbers("flow").at(fmt::format("pipe, n {}", digits), "modulus"),
             .got = 1.0 / (1.0 / pipe + 1.0 / tangent_modulus(mixture.at(pressure))),
             .tolerance = relative(share * 54000.0 / 250000.0,
                                   "the sum counts the oil as the whole volume, 1 % too much"),
             .unit = "Pa"});
    }
}

void leak(Recorder& recorder) {
    const flow::AnnularGap book{.diameter = 25e-3, .gap = 0.005e-3, .length = 15e-3};
    const double book_flow = flow::leak_conductance(book, 0.018) * 19e6;
    recorder.add({.name = "leak past a 25 mm piston, gap 5 µm",
                  .source = {"fox_mcdonald", "Example 8.1: 57.6 mm3/s (the result from memory)"},
                  .kind = Kind::memory,
                  .expected = 57.6e-9,
                  .got = book_flow,
                  .tolerance = absolute(0.05e-9, "one decimal printed"),
                  .unit = "m3/s"});
    recorder.add({.name = "leak past a 25 mm piston, gap 5 µm",
                  .source = {"fox_mcdonald", "Example 8.1, its formula, references/flow.py"},
                  .kind = Kind::computed_reference,
                  .expected = numbers("flow").at("piston leak", "flow"),
                  .got = book_flow,
                  .tolerance = relative(1e-9, "ten digits in the reference"),
                  .unit = "m3/s"});

    for (const double eccentricity : {0.0, 0.5, 0.9}) {
        const flow::AnnularGap gap{
            .diameter = 36.1e-3, .gap = 0.05e-3, .length = 10e-3, .eccentricity = eccentricity};
        recorder.add(
            {.name = fmt::format("leak of a curved gap, eccentricity {:g}", eccentricity),
             .source = {"white_1991", "section 3-3, laminar flow in an annulus, references/flow.py"},
             .kind = Kind::computed_reference,
             .expected = numbers("flow").at(fmt::format("annulus, eccentricity {:g}", eccentricity), "flow"),
             .got = flow::leak_conductance(gap, 0.01) * 10e5,
             .tolerance = relative(1.1 * 0.05 / 36.1,
                                   "the flat-gap law with the bore's diameter is off by gap/diameter"),
             .unit = "m3/s"});
    }
}

void orifice(Recorder& recorder) {
    const double area = pi / 4.0 * 4e-6;
    const Restriction sharp({area, 2e-3}, 0.61, turbulent, oil_of(860.0));
    recorder.add({.name = "sharp orifice of 2 mm at 10 bar",
                  .source = {"", "0.61 A sqrt(2 Δp/ρ) at 860 kg/m3, references/flow.py"},
                  .kind = Kind::computed_reference,
                  .expected = numbers("flow").at("orifice", "flow"),
                  .got = sharp.flow(10e5).value,
                  .tolerance = relative(1e-9, "ten digits in the reference"),
                  .unit = "m3/s"});

    const OilState oil = oil_of(860.0);
    const Restriction law({area, 2e-3}, 0.7, 1000.0, oil);
    const auto coefficient = [&](double number, double expected) {
        const double speed = number * oil.kinematic_viscosity / 2e-3;
        const double dp = oil.density * speed * speed / 2.0;
        recorder.add({.name = fmt::format("discharge coefficient at flow number {:g}", number),
                      .source = {"mccloy_martin_1980", "0.7 tanh(2 λ/1000), to four decimals"},
                      .kind = Kind::memory,
                      .expected = expected,
                      .got = law.flow(dp).value / (area * speed),
                      .tolerance = absolute(0.5e-4, "half the last digit"),
                      .unit = ""});
    };
    coefficient(50.0, 0.0698);
    coefficient(100.0, 0.1382);
    coefficient(200.0, 0.2660);
    coefficient(500.0, 0.5331);
    coefficient(1000.0, 0.6748);
}

/// Merritt joins C_d = δ √Re to a constant 0.611 at Re = (0.611/δ)². The tanh law has the same two limits
/// when λ_c = 2 C/δ², since both are laminar there: the Reynolds number C_d λ where its limits meet must be
/// the same.
void transition(Recorder& recorder) {
    const OilState oil = oil_of(860.0);
    const auto check = [&](const char* shape, double delta, double expected) {
        constexpr double discharge = 0.611;
        const double area = 1e-6;
        const double diameter = 1e-3;
        const Restriction law({area, diameter}, discharge, 2.0 * discharge / (delta * delta), oil);
        // laminar Q = G Δp, turbulent Q = c √Δp, met where Q = c²/G
        const double conductance = law.flow(0.0).slope;
        const double far = 1e9;
        const double turbulent_part = law.flow(far).value / std::sqrt(far);
        const double meeting = turbulent_part * turbulent_part / conductance;
        recorder.add({.name = fmt::format("Reynolds number of transition, {}", shape),
                      .source = {"merritt_1967", "chapter 3: (0.611/δ)²"},
                      .kind = Kind::memory,
                      .expected = expected,
                      .got = meeting * diameter / (area * oil.kinematic_viscosity),
                      .tolerance = absolute(5e-4, "three decimals"),
                      .unit = ""});
    };
    check("round sharp edge, δ = 0.2", 0.2, 9.333);
    check("slit, δ = 0.157", 0.157, 15.145);
}

/// A plate that its pressure opens, 5.856238e-9 m/Pa at the rim: its curtain alone, so the ports are made
/// large (1 m²), the jet is left out and the coefficient held at 0.61 by an early transition.
void opened_plate(Recorder& recorder) {
    flow::Valve valve;
    valve.ports = {.count = 1, .area_each = 1.0};
    valve.curtain_length = 2.0 * pi * 15e-3;
    valve.jet_force = 0.0;
    valve.discharge.curtain = 0.61;
    valve.discharge.curtain_transition = turbulent;
    valve.discharge.port_transition = turbulent;
    const stack::LiftLaw lift({0.0, 1e6}, {0.0, 5.856238e-3}, 1e-4);
    const flow::Link link({.name = "plate", .valve = flow::ValveLaw(valve, lift, oil_of(860.0))});

    const Numbers& known = numbers("flow");
    const Source closed_form{"", "[Q/(C 2 π a k sqrt(2/ρ))]^(2/3), k = 5.856238e-9 m/Pa, references/flow.py"};
    for (const char* flow : {"1e-5", "5e-5", "1e-4", "2e-4"}) {
        const flow::LinkState state = link.at_flow(std::stod(flow));
        const Tolerance digits = relative(1e-8, "ten digits in the reference; flow solved for its pressure");
        recorder.add({.name = fmt::format("pressure-opened plate, {} m3/s: pressure", flow),
                      .source = closed_form,
                      .kind = Kind::computed_reference,
                      .expected = known.at("opened plate", fmt::format("pressure at {}", flow)),
                      .got = state.dp,
                      .tolerance = digits,
                      .unit = "Pa"});
        recorder.add({.name = fmt::format("pressure-opened plate, {} m3/s: lift", flow),
                      .source = closed_form,
                      .kind = Kind::computed_reference,
                      .expected = known.at("opened plate", fmt::format("lift at {}", flow)),
                      .got = state.lift,
                      .tolerance = digits,
                      .unit = "m"});
    }
}

/// Orifice of a hydropneumatic strut, alone and with its check valve beside it.
void strut_orifice(Recorder& recorder) {
    const OilState oil = oil_of(870.0);
    const Restriction hole({1.41e-5, 4e-3}, 0.7, turbulent, oil);
    const Restriction check_valve({1.41e-5, 4e-3}, 0.6, turbulent, oil);
    const flow::Link alone({.name = "orifice", .bleeds = {hole}});
    const flow::Link both({.name = "orifice and check valve", .bleeds = {hole, check_valve}});
    const double annulus = pi / 4.0 * (0.11 * 0.11 - 0.09 * 0.09);
    for (const double speed : {0.05, 0.1, 0.2})
        for (const flow::Link* link : {&alone, &both})
            recorder.add(
                {.name =
                     fmt::format("{} of a strut at {:g} m/s", link->name(flow::Direction::forward), speed),
                 .source = {"shock_and_vibration_5526106",
                            "Table 1: areas, coefficients, density; references/flow.py"},
                 .kind = Kind::computed_reference,
                 .expected = numbers("flow").at(
                     "strut", fmt::format("{} at {:g} m/s", link->name(flow::Direction::forward), speed)),
                 .got = link->at_flow(annulus * speed).dp,
                 .tolerance = relative(1e-8, "ten digits in the reference; flow solved for its drop"),
                 .unit = "Pa"});
}

} // namespace

void flow_checks(Recorder& recorder) {
    viscosity(recorder);
    density(recorder);
    mixture(recorder);
    compliances(recorder);
    leak(recorder);
    orifice(recorder);
    transition(recorder);
    opened_plate(recorder);
    strut_orifice(recorder);
}

} // namespace valve::validation
