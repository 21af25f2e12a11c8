#include <flow/derivative.hpp>
#include <flow/samples.hpp>
#include <support/catch.hpp>
#include <valve/core/constants.hpp>
#include <valve/flow/mixture.hpp>

#include <cmath>
#include <limits>
#include <stdexcept>

using namespace valve;
using flow::Mixture;

TEST_CASE("the volume of oil with air is 1 at the atmosphere and falls with pressure", "[flow][mixture]") {
    for (const double exponent : {1.0, 1.4}) {
        CAPTURE(exponent);
        const Mixture mixture(samples::oil_state(), exponent);
        CHECK(mixture.volume(p_atm).value == 1.0);
        for (const double pressure : {1.0, 1e3, 2e4, 1e5, 1e6, 1e7, 2e7}) {
            CAPTURE(pressure);
            const ValueSlope volume = mixture.volume(pressure);
            const auto value = [&](double p) { return mixture.expansion(p).value; };
            const double difference = difference_slope(value, pressure, 1e-3 * pressure);
            CHECK(volume.slope < 0.0);
            CHECK_THAT(volume.slope, WithinRel(difference, 1e-9)); // the step's fourth power
        }
    }
    CHECK_THROWS_AS(Mixture(samples::oil_state(), 0.0), std::invalid_argument);
}

TEST_CASE("without air oil is compressed by its bulk modulus", "[flow][mixture]") {
    flow::OilState oil = samples::oil_state();
    oil.free_air = 0.0;
    const Mixture mixture(oil, 1.0);
    const ValueSlope volume = mixture.volume(50e5);
    CHECK_THAT(-volume.value / volume.slope, WithinRel(oil.bulk_modulus, 1e-14));
    CHECK_THAT(mixture.pressure(0.1, p_atm), WithinRel(p_atm - oil.bulk_modulus * std::log(1.1), 1e-14));
    CHECK_THAT(mixture.enthalpy(50e5), WithinRel(oil.bulk_modulus * (1.0 - volume.value), 1e-13));
}

TEST_CASE("a volume has one pressure, wherever the search begins", "[flow][mixture]") {
    for (const double air : {1e-4, 5e-3, 0.1}) {
        flow::OilState oil = samples::oil_state();
        oil.free_air = air;
        const Mixture mixture(oil, 1.4);
        for (double pressure = 0.1; pressure < 300e5; pressure *= 1.9) {
            const double expansion = mixture.expansion(pressure).value;
            for (const double guess :
                 {0.0, 1.0, 1e5, 1e9, std::numeric_limits<double>::quiet_NaN(), -1e6, pressure}) {
                CAPTURE(air, pressure, guess);
                // What rounding of the expansion, a number near 0 or large, leaves.
                const double slope = std::abs(mixture.expansion(pressure).slope);
                const double uncertain = 1e-15 * (1.0 + std::abs(expansion)) / slope;
                CHECK_THAT(mixture.pressure(expansion, guess),
                           WithinAbs(pressure, 1e-13 * pressure + 4.0 * uncertain));
            }
        }
    }
}

TEST_CASE("the slope of the enthalpy is the volume", "[flow][mixture]") {
    for (const double exponent : {1.0, 1.4}) {
        const Mixture mixture(samples::oil_state(), exponent);
        CHECK(mixture.enthalpy(p_atm) == 0.0);
        for (const double pressure : {10.0, 1e3, 2e4, 1e6, 2e7}) {
            CAPTURE(exponent, pressure);
            const auto enthalpy = [&](double p) { return mixture.enthalpy(p); };
            // What is left of an enthalpy from 1 atm over so small a step of pressure.
            const double step = 1e-2 * pressure;
            const double rounding = 1e-15 * std::abs(enthalpy(pressure)) / step;
            CHECK_THAT(difference_slope(enthalpy, pressure, step),
                       WithinAbs(mixture.volume(pressure).value,
                                 1e-7 * mixture.volume(pressure).value + 10.0 * rounding));
        }
    }
}

TEST_CASE("the enthalpy is that of an ideal gas where air has all the volume", "[flow][mixture]") {
    flow::OilState oil = samples::oil_state();
    oil.free_air = 1.0;
    // Isothermal: p V ln p; polytropic: n/(n − 1) (p V − p_atm V_atm).
    CHECK_THAT(Mixture(oil, 1.0).enthalpy(5e5), WithinRel(p_atm * std::log(5e5 / p_atm), 1e-14));
    const Mixture polytropic(oil, 1.4);
    const double work = 1.4 / 0.4 * (5e5 * polytropic.volume(5e5).value - p_atm);
    CHECK_THAT(polytropic.enthalpy(5e5), WithinRel(work, 1e-13));
}
