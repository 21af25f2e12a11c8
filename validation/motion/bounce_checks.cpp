#include <motion/held_damper.hpp>
#include <motion/monotube.hpp>
#include <motion/parts.hpp>
#include <valve/motion/detail/integrator.hpp>
#include <valve/motion/detail/moving_damper.hpp>

#include <fmt/format.h>

#include <cmath>
#include <cstddef>
#include <optional>
#include <span>
#include <string>
#include <vector>

namespace valve::validation {

namespace {

using damper::Place;
using motion::detail::Integrator;
using motion::detail::MovingDamper;
using motion::detail::StepEnd;

constexpr auto place = static_cast<std::size_t>(Place::piston_compression);
constexpr double disc_area = 2e-4; // [m²]

/// A plate on a spring, and from where it falls.
struct Falling {
    double restitution = 0.0;
    double mass = 0.0;   // [kg]
    double force = 0.0;  // on the seat [N]
    double rate = 0.0;   // [N/m]
    double height = 0.0; // [m]
};

/// With a passage so wide that nothing but its spring presses the plate.
damper::Model wide_open() {
    damper::SetUp setup = monotube().setup();
    setup.valves[Place::piston_compression]->bleed = flow::Notch{.area = 0.1};
    damper::LiftLaws laws;
    laws.at_place.at(place) = stack::LiftLaw({0.0, 200e5}, {0.0, 0.0}, disc_area);
    return {setup, laws};
}

motion::MovingValves plate(const damper::Model& model, const Falling& falling) {
    flow::Valve valve = model.setup().valves[Place::piston_compression].value();
    valve.restitution = falling.restitution;
    valve.ports = {.count = 1, .area_each = 1.0, .length = 0.0};
    valve.jet_force = valve.shim_friction = 0.0;
    valve.stack.seat.inner_radius = valve.stack.seat.outer_radius; // a knife edge
    constexpr double end = 1e-3;
    const motion::ProfileSide side{disc_area, falling.mass};
    const double crack = falling.force / disc_area;
    const motion::Profile profile(
        {{0.0, crack, side, side}, {end, crack + falling.rate * end / disc_area, side, side}});
    motion::MovingValves valves;
    valves[Place::piston_compression].emplace(valve, profile, disc_area, model.oil());
    return valves;
}

/// A plate let go at `lift` above its seat.
std::vector<double> lifted(HeldDamper& equations, double lift) {
    MovingDamper& damper = equations.damper();
    std::vector<double> y = equations.at_rest();
    y[damper.lift_of(place)] = lift;
    motion::Modes modes = damper.modes();
    modes.seating[place] = motion::Seating::open;
    damper.set(modes);
    return y;
}

struct Blows {
    std::vector<double> times;  // [s]
    std::vector<double> speeds; // with which it leaves again [m/s]
    std::optional<double> rest; // [s]
    double lost = 0.0;          // [J]
};

Blows fall(const Falling& falling) {
    const damper::Model model = wide_open();
    const motion::MovingValves valves = plate(model, falling);
    HeldDamper equations(model, valves);
    std::vector<double> y = lifted(equations, falling.height);
    Integrator integrator(equations, equations.damper().tolerances(0.1, 1e-13, 1e4), 1e-9);
    const std::size_t impulse = equations.damper().lift_of(place) + 1;
    constexpr double long_enough = 1.0; // [s]
    Blows blows;
    double time = 0.0;
    integrator.start(time, y, 1e-3);
    while (time < long_enough && !blows.rest) {
        const StepEnd how = integrator.step(long_enough, time, y);
        const bool switched = equations.switch_modes(
            time, y, how == StepEnd::root ? integrator.signs() : std::span<const int>{});
        if (!switched) continue;
        if (equations.damper().modes().seating[place] == motion::Seating::shut) {
            blows.rest = time;
        } else {
            blows.times.push_back(time);
            blows.speeds.push_back(y[impulse] / std::sqrt(falling.mass));
        }
        integrator.start(time, y, 1e-3);
    }
    blows.lost = equations.damper().impact_energy();
    return blows;
}

/// It falls, leaves each blow with e times the speed, and lies still once a rebound would be too low.
void bouncing_plate(Recorder& recorder, const std::string& name, const Falling& falling) {
    const Blows blows = fall(falling);
    const Source source{"goldsmith_1960",
                        "heights of rebounds as powers of the squared coefficient of restitution; between "
                        "blows uniform acceleration or a harmonic motion"};
    const auto check = [&](const std::string& what, double expected, double got, double within,
                           const char* unit) {
        recorder.add({fmt::format("{}, e = {:g}: {}", name, falling.restitution, what), source, Kind::memory,
                      expected, got, absolute(within, "each blow is met 0.1 nm beyond the seat"), unit});
    };
    constexpr double time_error = 1e-6;  // [s]
    constexpr double speed_error = 3e-5; // [m/s]
    const double m = falling.mass;
    const double k = falling.rate;
    const double energy = falling.height * (falling.force + 0.5 * k * falling.height);
    const double first = std::sqrt(2.0 * energy / m);
    const double omega = std::sqrt(k / m);
    // From the seat at `speed` and back again.
    const auto flight = [&](double speed) {
        return k > 0.0 ? 2.0 / omega * std::atan(k * speed / (omega * falling.force))
                       : 2.0 * m * speed / falling.force;
    };
    double time = 0.5 * flight(first);
    double speed = first;
    const double e = falling.restitution;
    const auto count =
        static_cast<std::size_t>(std::ceil(std::log(falling.height / motion::MovingValve::least_rebound *
                                                    (1.0 + 0.5 * k * falling.height / falling.force)) /
                                           (-2.0 * std::log(e)))) -
        1;
    check("blows before it rests", static_cast<double>(count), static_cast<double>(blows.times.size()), 0.5,
          "");
    constexpr std::size_t told = 4;
    for (std::size_t i = 0; i < count && i < blows.times.size(); ++i) {
        speed *= e;
        if (i < told || i + 1 == count) {
            check(fmt::format("time of blow {}", i + 1), time, blows.times[i], time_error, "s");
            check(fmt::format("speed after blow {}", i + 1), speed, blows.speeds[i], speed_error, "m/s");
        }
        time += flight(speed);
    }
    check("rests", time, blows.rest.value_or(std::nan("")), time_error, "s");
    check("energy lost", energy, blows.lost, 1e-8, "J");
}

} // namespace

void bounce_checks(Recorder& recorder) {
    for (const double e : {0.3, 0.5, 0.8}) {
        bouncing_plate(recorder, "a plate under a constant force",
                       {.restitution = e, .mass = 2e-3, .force = 1.0, .rate = 0.0, .height = 0.5e-3});
        bouncing_plate(recorder, "a plate on a preloaded spring",
                       {.restitution = e, .mass = 2e-3, .force = 1.0, .rate = 10e3, .height = 0.5e-3});
    }
}

} // namespace valve::validation
