#include <frame/numbers.hpp>
#include <motion/parts.hpp>
#include <valve/core/constants.hpp>
#include <valve/damper/geometry.hpp>
#include <valve/motion/detail/integrator.hpp>
#include <valve/motion/detail/moving_damper.hpp>

#include <fmt/format.h>

#include <algorithm>
#include <array>
#include <cmath>
#include <cstddef>
#include <functional>
#include <string>
#include <utility>
#include <vector>

namespace valve::validation {

namespace {

using damper::Place;
using motion::RodMotion;
using motion::detail::Block;
using motion::detail::Columns;
using motion::detail::Equations;
using motion::detail::Integrator;
using motion::detail::MovingDamper;
using motion::detail::StepEnd;

/// What stands on a unit and under it. Heights downwards.
struct Around {
    double upper = 0.0;        ///< mass [kg]
    double lower = 0.0;        ///< [kg]; none: the unit stands on the floor
    double upper_weight = 0.0; ///< that is not carried otherwise [N]
    double lower_weight = 0.0;
    double spring = 0.0;                                ///< beside the unit [N/m]
    std::function<ValueSlope(double)> ground = nullptr; ///< force by the way of the lower mass [N]
};

/// A damper of the library's between two masses, none of the vehicle's equations. Unknowns: way and speed of
/// the upper mass, of the lower; those of the damper. Watched: the closing speed; while locked, the force
/// that the lock has to give beyond the unit's own.
class MassesOnUnit final : public Equations {
public:
    MassesOnUnit(const damper::Model& model, Around around)
        : m_around(std::move(around)), m_damper(model, m_valves, damper::RodInto::atmosphere),
          m_outside(model.rod_area() * p_atm), m_scratch(4 + m_damper.unknowns()),
          m_by_travel(m_damper.unknowns()), m_by_speed(m_damper.unknowns()) {}

    std::vector<double> at_start(double speed) {
        std::vector<double> y(size(), 0.0);
        y[1] = speed;
        if (m_around.lower > 0.0) y[3] = speed;
        const std::vector<double> own = m_damper.at_rest(0.0);
        std::copy(own.begin(), own.end(), y.begin() + 4);
        return y;
    }
    std::vector<double> tolerances() const {
        std::vector<double> result(4, 1e-13);
        const std::vector<double> own = m_damper.tolerances(1e-3, 1e-9, 2e3);
        result.insert(result.end(), own.begin(), own.end());
        return result;
    }
    void lock(bool locked) { m_locked = locked; }
    double force(std::span<const double> y) { return unit(y) + m_outside; } // without the atmosphere's part

    std::size_t size() const override { return 4 + m_damper.unknowns(); }
    std::size_t roots() const override { return 1; }
    void rates(double, std::span<const double> y, std::span<double> rates) override {
        const double force = m_damper.rates(rod(y), y.subspan(4), rates.subspan(4), m_energy) + m_outside +
                             m_around.spring * (y[0] - y[2]);
        const double ground = m_around.ground ? m_around.ground(y[2]).value : 0.0;
        const auto& a = m_around;
        rates[0] = y[1];
        rates[2] = y[3];
        if (m_locked) {
            rates[1] = rates[3] = (a.upper_weight + a.lower_weight - ground) / (a.upper + a.lower);
            return;
        }
        rates[1] = (a.upper_weight - force) / a.upper;
        rates[3] = a.lower > 0.0 ? (force + a.lower_weight - ground) / a.lower : 0.0;
    }
    void jacobian(double, std::span<const double> y, Columns j) override {
        std::fill(m_by_travel.begin(), m_by_travel.end(), 0.0);
        std::fill(m_by_speed.begin(), m_by_speed.end(), 0.0);
        m_damper.jacobian(rod(y), y.subspan(4), Block(j, 4, m_by_travel, m_by_speed));
        for (std::size_t i = 0; i < m_damper.unknowns(); ++i) {
            j(4 + i, 0) += m_by_travel[i];
            j(4 + i, 1) += m_by_speed[i];
            j(4 + i, 2) -= m_by_travel[i];
            j(4 + i, 3) -= m_by_speed[i];
        }
        j(0, 1) = j(2, 3) = 1.0;
        const double ground = m_around.ground ? m_around.ground(y[2]).slope : 0.0;
        if (m_locked) {
            j(1, 2) = j(3, 2) = -ground / (m_around.upper + m_around.lower);
            return;
        }
        const motion::detail::ForceSlopes slopes = m_damper.force_slopes(rod(y), y.subspan(4));
        const auto add = [&](std::size_t row, double by_force) {
            const double by_travel = slopes.by_travel + m_around.spring;
            j(row, 0) += by_force * by_travel;
            j(row, 1) += by_force * slopes.by_speed;
            j(row, 2) -= by_force * by_travel;
            j(row, 3) -= by_force * slopes.by_speed;
            j(row, 4) += by_force * slopes.by_excess_C;
            j(row, 5) += by_force * slopes.by_excess_R;
        };
        add(1, -1.0 / m_around.upper);
        if (m_around.lower > 0.0) {
            add(3, 1.0 / m_around.lower);
            j(3, 2) -= ground / m_around.lower;
        }
    }
    void watch(double, std::span<const double> y, std::span<double> values) override {
        if (!m_locked) {
            values[0] = y[1] - y[3];
            return;
        }
        const auto& a = m_around;
        const double rate = (a.upper_weight + a.lower_weight - a.ground(y[2]).value) / (a.upper + a.lower);
        values[0] = a.upper_weight - a.upper * rate - force(y);
    }

private:
    static RodMotion rod(std::span<const double> y) { return {y[0] - y[2], y[1] - y[3]}; }
    double unit(std::span<const double> y) {
        return m_damper.rates(rod(y), y.subspan(4), std::span<double>(m_scratch).subspan(4), m_energy);
    }

    Around m_around;
    motion::MovingValves m_valves;
    MovingDamper m_damper;
    double m_outside;
    bool m_locked = false;
    std::array<double, MovingDamper::energies> m_energy{};
    std::vector<double> m_scratch;
    std::vector<double> m_by_travel;
    std::vector<double> m_by_speed;
};

/// That never opens, beside a passage of `area`.
flow::Valve passage(double area, double discharge) {
    flow::Valve valve;
    valve.ports = {.count = 2, .area_each = 10e-6};
    valve.stack.shims = {{.outer_radius = 12e-3, .thickness = 0.3e-3, .material = {}}};
    valve.stack.clamp_radius = 6e-3;
    valve.stack.zone = {.inner_radius = 7e-3, .outer_radius = 11e-3};
    valve.stack.seat = {.inner_radius = 11e-3, .outer_radius = 11.5e-3, .height = 0.0};
    valve.bleed = flow::Notch{.area = area};
    valve.discharge.bleed = discharge;
    valve.discharge.bleed_transition = 10.0; // turbulent from 0.1 Pa on
    return valve;
}

damper::Model model_of(const damper::SetUp& setup) {
    damper::LiftLaws laws;
    for (const Place place : damper::all_places)
        if (setup.valves[place])
            laws.at_place.at(static_cast<std::size_t>(place)) =
                stack::LiftLaw({0.0, 1000e5}, {0.0, 0.0}, 2.4e-4);
    return {setup, laws};
}

flow::Oil stiff_oil(double density) {
    flow::Oil oil;
    oil.density_15 = density;
    oil.viscosity = {{288.15, 10e-6}, {373.15, 3e-6}};
    oil.temperature = 288.15;
    oil.bulk_modulus = 1e12;
    oil.free_air = 0.0;
    return oil;
}

/// A monotube full of `oil` to 1 mm of either end, its gas behind a bladder; `bore`, `rod`, `travel` [m].
damper::SetUp monotube_full_of(const flow::Oil& oil, double bore, double rod, double travel) {
    damper::SetUp setup;
    setup.oil = oil;
    damper::Cartridge& cartridge = setup.cartridge;
    cartridge.layout = damper::Layout::monotube;
    cartridge.bore = bore;
    cartridge.rod = rod;
    cartridge.travel = travel;
    cartridge.dead_length_C = cartridge.dead_length_R = 1e-3;
    setup.reservoir.kind = damper::ReservoirKind::bladder;
    return setup;
}

/// An aircraft's main strut, gas and oil, dropped on its tyres.
void strut(Recorder& recorder) {
    damper::SetUp setup = monotube_full_of(stiff_oil(837.244), 195e-3, 190e-3, 0.45);
    setup.reservoir.gas_volume = 17.88e-3;
    setup.reservoir.gas_pressure = 4.4e6;
    setup.reservoir.exponent = 1.0;
    setup.valves[Place::piston_compression] = passage(0.02, 0.7); // wide open
    setup.valves[Place::base_compression] = passage(830.406783e-6, 0.6900655593);
    const damper::Model model = model_of(setup);

    constexpr double g = 9.81;
    MassesOnUnit drop(
        model, {.upper = 33390.0,
                .lower = 517.0,
                .upper_weight = 0.0, // carried by the wing
                .lower_weight = 517.0 * g,
                .spring = 0.0,
                .ground = [](double z) -> ValueSlope {
                    // Two tyres, each η²/(a + b η), N and mm.
                    constexpr double a = 0.008469;
                    constexpr double b = 0.0005346 / 1.15;
                    const double eta = 1e3 * std::max(z, 0.0);
                    const double below = a + b * eta;
                    return {2.0 * eta * eta / below, 2e3 * eta * (2.0 * a + b * eta) / (below * below)};
                }});
    const auto tyres = [](double z) {
        const double eta = 1e3 * z;
        return 2.0 * eta * eta / (0.008469 + 0.0005346 / 1.15 * eta);
    };
    Integrator integrator(drop, drop.tolerances(), 1e-11);
    std::vector<double> y = drop.at_start(3.0);
    double t = 0.0;
    drop.lock(true);
    integrator.start(t, y, 1e-3);
    while (integrator.step(0.1, t, y) == StepEnd::step) {
    }
    const Source source{
        "", "two masses, gas and orifice with constants that a public program of a taxiing aircraft "
            "uses, by SciPy's DOP853 at 1e-13, references/ride.py"};
    const auto check = [&](const std::string& what, double got, const char* unit) {
        const double within = what.starts_with("oil") ? 2e-4 : 5e-5;
        recorder.add(
            {"drop on a strut: " + what, source, Kind::computed_reference, numbers("ride").at("strut", what),
             got, relative(within, "oil of 1,000 GPa gives way by some µm, and the small mass rings on it"),
             unit});
    };
    check("unlocks at", t, "s");
    drop.lock(false);
    integrator.start(t, y, 1e-4);
    double fastest = 0.0;
    std::array<double, 3> speeds{}; // the last
    std::array<double, 3> times{};
    for (const double stop : {0.04, 0.08, 0.15, 0.25, 0.4}) {
        StepEnd how = StepEnd::step;
        while (how == StepEnd::step) {
            how = integrator.step(stop, t, y);
            std::rotate(speeds.begin(), speeds.begin() + 1, speeds.end());
            std::rotate(times.begin(), times.begin() + 1, times.end());
            speeds.back() = y[1] - y[3];
            times.back() = t;
            fastest = std::max(fastest, speeds.back());
        }
        if (how == StepEnd::root) break;
        const std::string at = fmt::format(" at {:g} s", stop);
        const double gas =
            model.rod_area() * model.reservoir().pressure(0.0, model.rod_area() * (y[0] - y[2]));
        check("down" + at, y[0], "m");
        check("closure" + at, y[0] - y[2], "m");
        check("closing" + at, y[1] - y[3], "m/s");
        check("gas" + at, gas, "N");
        check("oil" + at, drop.force(y) - gas, "N");
        check("ground" + at, tyres(y[2]), "N");
    }
    check("largest closing speed", fastest, "m/s");
    check("full closure at", t, "s");
    check("full closure", y[0] - y[2], "m");
    check("ground at full closure", tyres(y[2]), "N");
}

/// m x'' + c x'|x'| + k x = 0 by an orifice of the library's.
void orifice_oscillator(Recorder& recorder) {
    damper::SetUp setup = monotube_full_of(stiff_oil(850.0), 50e-3, 1e-3, 0.3);
    setup.reservoir.gas_volume = 1.0; // that hardly changes
    setup.reservoir.gas_pressure = 5e5;
    constexpr double mass = 100.0;
    constexpr double coefficient = 500.0; // c [N s²/m²]
    // F = A_a Δp, Δp = ρ/2 (A_a v/(C A))²
    const double annulus = damper::piston_area(setup.cartridge) - damper::rod_area(setup.cartridge);
    constexpr double discharge = 0.7;
    setup.valves[Place::piston_compression] =
        passage(annulus * std::sqrt(850.0 * annulus / (2.0 * coefficient)) / discharge, discharge);
    const damper::Model model = model_of(setup);
    constexpr double spring = 1000.0;
    constexpr double centre = 0.1; // β x = 1 from there at full extension
    MassesOnUnit swing(model, {.upper = mass,
                               .upper_weight = spring * centre + 5e5 * damper::rod_area(setup.cartridge),
                               .spring = spring});
    Integrator integrator(swing, swing.tolerances(), 1e-10);
    std::vector<double> y = swing.at_start(0.0);
    double t = 0.0;
    integrator.start(t, y, 1e-3);
    int turn = 0;
    for (const double expected : {0.59362426004004, 0.42395354960931, 0.330078741860029}) {
        StepEnd how = StepEnd::step;
        while (how != StepEnd::root || t < 0.1)
            how = integrator.step(10.0, t, y);
        integrator.start(t, y, 1e-3);
        ++turn;
        recorder.add({fmt::format("mass and spring on an orifice: turning point {}, β x", turn),
                      {"", "(1 − β x₂) exp(β x₂) = (1 + β x₁) exp(−β x₁), worked out by hand"},
                      Kind::computed_reference,
                      expected,
                      2.0 * coefficient / mass * std::abs(y[0] - centre),
                      relative(1e-5, "laminar at the turns, oil of 1,000 GPa, gas of 1 m³"),
                      "-"});
        const double until = t + 0.1;
        while (t < until)
            integrator.step(until, t, y);
        integrator.start(t, y, 1e-3);
    }
}

} // namespace

void strut_checks(Recorder& recorder) {
    strut(recorder);
    orifice_oscillator(recorder);
}

} // namespace valve::validation
