#include <flow/derivative.hpp>
#include <flow/samples.hpp>
#include <support/catch.hpp>
#include <valve/core/constants.hpp>
#include <valve/core/error.hpp>
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
        CHECK(mixture.at(p_atm).expansion == 0.0);
        for (const double pressure : {1.0, 1e3, 2e4, 1e5, 1e6, 1e7, 2e7}) {
            CAPTURE(pressure);
            const Mixture::State state = mixture.at(pressure);
            const auto expansion = [&](double p) { return mixture.at(p).expansion; };
            const auto slope = [&](double p) { return mixture.at(p).slope; };
            const double step = 1e-3 * pressure; // its fourth power is left
            CHECK(state.slope < 0.0);
            CHECK_THAT(state.slope, WithinRel(difference_slope(expansion, pressure, step), 1e-9));
            CHECK_THAT(state.curvature, WithinRel(difference_slope(slope, pressure, step), 1e-9));
        }
    }
    CHECK_THROWS_AS(Mixture(samples::oil_state(), 0.0), std::invalid_argument);
}

TEST_CASE("without air oil is compressed by its bulk modulus", "[flow][mixture]") {
    flow::OilState oil = samples::oil_state();
    oil.free_air = 0.0;
    const Mixture mixture(oil, 1.0);
    const Mixture::State state = mixture.at(50e5);
    CHECK_THAT(-(1.0 + state.expansion) / state.slope, WithinRel(oil.bulk_modulus, 1e-14));
    Mixture::State near;
    CHECK_THAT(mixture.at_expansion(0.1, near).pressure,
               WithinRel(p_atm - oil.bulk_modulus * std::log(1.1), 1e-14));
    CHECK_THAT(state.enthalpy, WithinRel(-oil.bulk_modulus * state.expansion, 1e-13));
}

TEST_CASE("a volume has one pressure, wherever the search begins", "[flow][mixture]") {
    for (const double air : {1e-4, 5e-3, 0.1}) {
        flow::OilState oil = samples::oil_state();
        oil.free_air = air;
        const Mixture mixture(oil, 1.4);
        for (double pressure = 0.1; pressure < 300e5; pressure *= 1.9) {
            const Mixture::State exact = mixture.at(pressure);
            const auto check = [&](Mixture::State near) {
                CAPTURE(air, pressure, near.pressure);
                const Mixture::State found = mixture.at_expansion(exact.expansion, near);
                // What rounding of the expansion, a number near 0 or large, leaves.
                const double uncertain =
                    4e-15 * (1.0 + std::abs(exact.expansion)) / std::abs(exact.slope) + 1e-13 * pressure;
                CHECK_THAT(found.pressure, WithinAbs(pressure, uncertain));
                CHECK_THAT(found.enthalpy,
                           WithinAbs(exact.enthalpy, (1.0 + exact.expansion) * uncertain +
                                                         1e-14 * std::abs(exact.enthalpy) + 1e-15 * p_atm));
                CHECK_THAT(found.slope, WithinRel(exact.slope, 1e-8 + 2.0 * uncertain / pressure));
            };
            check({});
            check({std::numeric_limits<double>::quiet_NaN(), 1.0, 1.0, 1.0, 1.0, 1.0});
            for (const double guess :
                 {1.0, 1e5, 1e9, (1.0 - 1.99e-3) * pressure, (1.0 + 1.99e-3) * pressure,
                  (1.0 - 9e-6) * pressure, (1.0 + 9e-6) * pressure, 1.01 * pressure, pressure})
                check(mixture.at(guess));
        }
    }
}

// The formula itself in more digits: what soft oil is like where its liquid gives way as air does, at
// p = (1 + 1/n) K, and on both sides of there.
TEST_CASE("the softest oil keeps its digits along a search", "[flow][mixture]") {
    flow::OilState oil = samples::oil_state();
    oil.bulk_modulus = 0.05e9; // the least that a file may give
    for (const double exponent : {1.0, 1.4}) {
        for (const double air : {1e-4, 5e-3, 0.1}) {
            oil.free_air = air;
            const Mixture mixture(oil, exponent);
            const double alike = (1.0 + 1.0 / exponent) * oil.bulk_modulus;
            for (const double pressure : {1e4, 1e5, 50e5, 0.9 * alike, (1.0 - 1e-9) * alike, alike,
                                          (1.0 + 1e-4) * alike, 1.02 * alike, 1.5 * alike, 3.0 * alike}) {
                for (const double away : {-1.9e-3, -1e-4, -1e-7, 1e-7, 1e-5, 5e-4, 1.9e-3}) {
                    CAPTURE(exponent, air, pressure, away);
                    Mixture::State near = mixture.at(pressure);
                    const double p = (1.0 + away) * pressure;
                    const Mixture::State found = mixture.at_expansion(mixture.at(p).expansion, near);
                    // Of the two terms and their slopes, at the pressure found.
                    const auto K = static_cast<long double>(oil.bulk_modulus);
                    const auto n = static_cast<long double>(exponent);
                    const auto share = static_cast<long double>(air);
                    const auto there = static_cast<long double>(found.pressure);
                    const auto atmosphere = static_cast<long double>(p_atm);
                    const long double liquid = (1.0L - share) * std::exp(-(there - atmosphere) / K);
                    const long double of_air = share * std::pow(atmosphere / there, 1.0L / n);
                    const long double air_slope = -of_air / (n * there);
                    const long double slope = -liquid / K + air_slope;
                    const auto expansion = static_cast<double>(liquid + of_air - 1.0L);
                    CHECK_THAT(found.expansion, WithinAbs(expansion, 4e-15 * (1.0 + std::abs(expansion))));
                    CHECK_THAT(found.slope, WithinRel(static_cast<double>(slope), 1e-11));
                    CHECK_THAT(found.air_slope, WithinRel(static_cast<double>(air_slope), 1e-11));
                    CHECK_THAT(found.enthalpy,
                               WithinAbs(mixture.at(found.pressure).enthalpy,
                                         4e-15 * std::abs(found.enthalpy) +
                                             1e-14 * (1.0 + found.expansion) * found.pressure));
                }
            }
        }
    }
}

TEST_CASE("a search along a motion begins where the last one ended", "[flow][mixture]") {
    const Mixture mixture(samples::oil_state(), 1.4);
    Mixture::State near = mixture.at(2e5);
    const Mixture::State there = mixture.at_expansion(near.expansion * (1.0 + 1e-7), near);
    CHECK(near.pressure == 2e5); // nothing was worked out: a series leads there
    CHECK_THAT(mixture.at(there.pressure).expansion, WithinRel(near.expansion * (1.0 + 1e-7), 1e-13));
}

TEST_CASE("the slope of the enthalpy is the volume", "[flow][mixture]") {
    for (const double exponent : {1.0, 1.4}) {
        const Mixture mixture(samples::oil_state(), exponent);
        CHECK(mixture.at(p_atm).enthalpy == 0.0);
        for (const double pressure : {10.0, 1e3, 2e4, 1e6, 2e7}) {
            CAPTURE(exponent, pressure);
            const auto enthalpy = [&](double p) { return mixture.at(p).enthalpy; };
            // What is left of an enthalpy from 1 atm over so small a step of pressure.
            const double step = 1e-2 * pressure;
            const double rounding = 1e-15 * std::abs(enthalpy(pressure)) / step;
            const double volume = 1.0 + mixture.at(pressure).expansion;
            CHECK_THAT(difference_slope(enthalpy, pressure, step),
                       WithinAbs(volume, 1e-7 * volume + 10.0 * rounding));
        }
    }
}

TEST_CASE("the enthalpy is that of an ideal gas where air has all the volume", "[flow][mixture]") {
    flow::OilState oil = samples::oil_state();
    oil.free_air = 1.0;
    // Isothermal: p V ln p; polytropic: n/(n − 1) (p V − p_atm V_atm).
    CHECK_THAT(Mixture(oil, 1.0).at(5e5).enthalpy, WithinRel(p_atm * std::log(5e5 / p_atm), 1e-14));
    const Mixture::State polytropic = Mixture(oil, 1.4).at(5e5);
    const double work = 1.4 / 0.4 * (5e5 * (1.0 + polytropic.expansion) - p_atm);
    CHECK_THAT(polytropic.enthalpy, WithinRel(work, 1e-13));
}

TEST_CASE("an expansion that is no number has no pressure", "[flow][mixture]") {
    Mixture::State near;
    CHECK_THROWS_AS(
        Mixture(samples::oil_state(), 1.4).at_expansion(std::numeric_limits<double>::quiet_NaN(), near),
        SolveError);
}
