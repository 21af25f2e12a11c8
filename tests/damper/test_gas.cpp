#include <support/catch.hpp>
#include <valve/core/constants.hpp>
#include <valve/damper/gas.hpp>

#include <cmath>
#include <stdexcept>

using namespace valve;
using damper::gas_pressure;
using damper::gas_stiffness;
using damper::gas_work;

namespace {

constexpr double volume = 685e-6; // [m³]
constexpr double rounding = 1e-13;

} // namespace

TEST_CASE("isothermal gas: p V stays, and its work is a logarithm", "[damper][gas]") {
    for (const double swept : {1e-9, 100e-6, 500e-6}) {
        CHECK_THAT(gas_pressure(p_atm, volume, 1.0, swept) * (volume - swept),
                   WithinRel(p_atm * volume, rounding));
        CHECK_THAT(gas_work(p_atm, volume, 1.0, swept),
                   WithinRel(-p_atm * volume * std::log1p(-swept / volume), rounding));
    }
}

TEST_CASE("adiabatic gas: p V^n stays, and its work is (p V − p_0 V_0)/(n − 1)", "[damper][gas]") {
    constexpr double n = 1.4;
    for (const double swept : {100e-6, 500e-6}) {
        const double left = volume - swept;
        const double pressure = gas_pressure(p_atm, volume, n, swept);
        CHECK_THAT(pressure * std::pow(left, n), WithinRel(p_atm * std::pow(volume, n), rounding));
        CHECK_THAT(gas_work(p_atm, volume, n, swept),
                   WithinRel((pressure * left - p_atm * volume) / (n - 1.0), rounding));
    }
}

TEST_CASE("the work of the gas goes over to the isothermal one without a step", "[damper][gas]") {
    // Its derivative by n is of the order of the work itself.
    CHECK_THAT(gas_work(p_atm, volume, 1.0 + 1e-10, 500e-6),
               WithinRel(gas_work(p_atm, volume, 1.0, 500e-6), 1e-9));
}

TEST_CASE("the stiffness of the gas is the derivative of its pressure", "[damper][gas]") {
    constexpr double step = 1e-9; // [m³]; error of the difference quotient about (step/volume left)²
    for (const double n : {1.0, 1.3, 1.4})
        for (const double swept : {0.0, 300e-6, 600e-6}) {
            const double quotient = (gas_pressure(p_atm, volume, n, swept + step) -
                                     gas_pressure(p_atm, volume, n, swept - step)) /
                                    (2.0 * step);
            CHECK_THAT(gas_stiffness(p_atm, volume, n, swept), WithinRel(quotient, 1e-8));
        }
}

TEST_CASE("gas without room left is misuse", "[damper][gas]") {
    CHECK_THROWS_AS(gas_pressure(p_atm, volume, 1.3, volume), std::invalid_argument);
    CHECK_THROWS_AS(gas_stiffness(p_atm, volume, 1.3, volume), std::invalid_argument);
    CHECK_THROWS_AS(gas_work(p_atm, volume, 1.3, 2.0 * volume), std::invalid_argument);
}
