#include <motion/discs.hpp>
#include <support/catch.hpp>
#include <valve/core/constants.hpp>
#include <valve/core/error.hpp>
#include <valve/motion/detail/ride_equations.hpp>
#include <valve/motion/ride.hpp>
#include <valve/motion/swings.hpp>

#include <algorithm>
#include <cmath>
#include <limits>
#include <numbers>
#include <string>
#include <vector>

using namespace valve;
using motion::Event;
using motion::EventKind;
using motion::Ride;
using motion::RideMoment;
using motion::RideUnit;

namespace {

/// A fork of two legs on discs, with springs, stops and a load.
damper::SetUp ridden_fork(double friction = 25.0) {
    damper::SetUp setup = samples::with_discs(samples::fork());
    damper::Support& support = *setup.support;
    support.spring = damper::MainSpring{.rate = 4800.0, .preload = 6e-3};
    support.top_out = damper::EndSpring{.rate = 3000.0, .length = 10e-3};
    support.stop = damper::EndSpring{.rate = 150e3, .length = 8e-3};
    support.friction = friction;
    support.breakaway = 1.3 * friction;
    support.legs = 2;
    support.load = damper::Load{.sprung_mass = 65.0,
                                .rider_mass = 95.0,
                                .rider_share = 0.45,
                                .rake = 27.0 * std::numbers::pi / 180.0};
    return setup;
}

/// What a ride on `setup` needs, kept alive.
struct Bike {
    explicit Bike(const damper::SetUp& setup_, bool moves = false)
        : setup(setup_), model(setup, samples::disc_laws(setup)), support(setup) {
        if (moves) valves = samples::moving_discs(model);
        vehicle.unsprung = 16.0;
    }
    Bike(const Bike&) = delete;
    Bike& operator=(const Bike&) = delete;

    RideUnit unit() const { return {model, valves, support}; }
    Ride over(const Event& event, const motion::RideOptions& options = {}) const {
        const RideUnit one = unit();
        return motion::run_ride({&one, 1}, vehicle, *setup.support->load, event, options);
    }

    damper::SetUp setup;
    damper::Model model;
    damper::SupportLaw support;
    motion::MovingValves valves;
    motion::Vehicle vehicle;
};

Event event_of(EventKind kind, double height) {
    Event event;
    event.kind = kind;
    event.speed = kind == EventKind::landing ? 0.0 : 12.0;
    event.duration = 0.6;
    event.height = height;
    event.length = 0.6;
    event.pitch = 2.0;
    event.count = kind == EventKind::bumps ? 3 : 1;
    return event;
}

} // namespace

TEST_CASE("the Jacobian of a ride is the slope of its rates", "[motion][ride]") {
    using namespace motion::detail;
    Bike bike(ridden_fork(), true);
    damper::Load load = *bike.setup.support->load;
    load.rake.reset();
    load.linkage = damper::LinkageTable{{0.0, 0.1, 0.3}, {0.0, 0.12, 0.3}};
    const damper::Linkage linkage(load);
    const Event event = event_of(EventKind::bump, 0.05);
    const motion::Ground ground(event, 0.34);
    const RideUnit unit = bike.unit();
    for (const Rub rub : {Rub::stuck, Rub::in, Rub::out}) {
        CAPTURE(static_cast<int>(rub));
        RideEquations equations({&unit, 1}, bike.vehicle, linkage, load, event, ground);
        std::vector<double> y = equations.at_start();
        y[0] += 0.02;
        y[1] = rub == Rub::stuck ? 0.0 : rub == Rub::in ? 0.7 : -0.7;
        y[3] = 0.4;
        const std::size_t first = 4;
        y[first] += 0.4e-7;
        y[first + 1] -= 0.3e-7;
        y[first + 2] += 1e-7;
        const std::vector<double> valves{0.1e-3, 0.004, 2e-5, 0.5e-3, -0.01, -6e-5,
                                         0.2e-3, 0.01,  1e-4, 0.2e-3, 0.02,  3e-5}; // lift, impulse, flow
        std::copy(valves.begin(), valves.end(), y.begin() + first + 3);
        RideModes modes = equations.modes();
        modes.rub = rub;
        modes.metal = {false, true};
        modes.dampers.front().grip = motion::Grip::in;
        modes.dampers.front().seating.fill(motion::Seating::open);
        equations.set(modes);
        const std::size_t n = equations.coupled();
        std::vector<double> exact(n * n, 0.0);
        equations.jacobian(0.01, y, Columns(exact.data(), n));
        const std::vector<double> tolerances = equations.tolerances({});
        std::vector<double> plus(equations.size());
        std::vector<double> minus(equations.size());
        for (std::size_t column = 0; column < n; ++column) {
            if (rub == Rub::stuck && column == 1) continue; // held at zero
            const double step = std::max(1e-6 * std::abs(y[column]), 1e-2 * tolerances[column]);
            std::vector<double> moved = y;
            moved[column] = y[column] + step;
            equations.rates(0.01, moved, plus);
            moved[column] = y[column] - step;
            equations.rates(0.01, moved, minus);
            for (std::size_t row = 0; row < n; ++row) {
                CAPTURE(row, column);
                const double difference = (plus[row] - minus[row]) / (2.0 * step);
                const double rounding = 1e-9 * (std::abs(plus[row]) + std::abs(minus[row])) / step;
                CHECK_THAT(exact[column * n + row],
                           WithinAbs(difference, 2e-4 * std::abs(difference) + rounding));
            }
        }
    }
}

TEST_CASE("nothing moves on level ground", "[motion][ride]") {
    Event event = event_of(EventKind::bump, 0.05);
    event.at = 100.0; // beyond the run
    for (const double friction : {0.0, 25.0}) {
        const Ride ride = Bike(ridden_fork(friction)).over(event);
        CHECK_FALSE(ride.begin);
        CHECK_THAT(ride.metrics.peak_travel, WithinAbs(ride.metrics.start_travel, 1e-7));
        CHECK_THAT(ride.series.back().wheel_load, WithinRel(ride.static_load, 1e-6));
        // The load rests on springs and reservoir alone.
        const double force = Bike(ridden_fork()).support.at(ride.metrics.start_travel).force;
        const double weight = (65.0 + 0.45 * 95.0) * standard_gravity;
        CHECK_THAT(force / std::cos(27.0 * std::numbers::pi / 180.0), WithinRel(weight, 1e-9));
    }
}

TEST_CASE("oil and energy balance over every kind of event", "[motion][ride]") {
    for (const bool moves : {false, true})
        for (const auto& [kind, height] :
             {std::pair{EventKind::square_edge, 0.05}, std::pair{EventKind::bumps, 0.06},
              std::pair{EventKind::landing, 0.6}}) {
            CAPTURE(moves, static_cast<int>(kind));
            const Ride ride = Bike(ridden_fork(), moves).over(event_of(kind, height));
            CHECK(ride.balance.mass < 1e-10);
            CHECK(ride.balance.energy < 1e-6);
            CHECK(ride.metrics.peak_travel > ride.metrics.start_travel);
            CHECK(ride.metrics.peak_travel < ride.metrics.full_travel + 1e-3);
            CHECK(ride.series.size() == 1001);
        }
}

TEST_CASE("quick steps tell what fine ones tell, in fewer than three quarters as many", "[motion][ride]") {
    // Oil that moves on in the ports makes the force ring as a valve shuts; quick steps cut its tips off.
    const auto [inertia, of_peak] = GENERATE(table<bool, double>({{false, 1e-3}, {true, 5e-3}}));
    const damper::SetUp fork = inertia ? ridden_fork() : samples::without_inertia(ridden_fork());
    for (const auto& [kind, height] :
         {std::pair{EventKind::bumps, 0.06}, std::pair{EventKind::landing, 0.6}}) {
        CAPTURE(inertia, static_cast<int>(kind));
        const Bike bike(fork, true);
        const Ride fine = bike.over(event_of(kind, height));
        const Ride quick = bike.over(event_of(kind, height), motion::RideOptions(motion::Accuracy::quick));
        CHECK(4 * quick.steps < 3 * fine.steps);
        CHECK_THAT(quick.metrics.peak_travel, WithinRel(fine.metrics.peak_travel, 1e-3));
        CHECK_THAT(quick.metrics.rms_acceleration, WithinRel(fine.metrics.rms_acceleration, 1e-3));
        CHECK_THAT(quick.metrics.peak_acceleration, WithinRel(fine.metrics.peak_acceleration, of_peak));
        CHECK_THAT(quick.losses.sum(), WithinRel(fine.losses.sum(), 1e-3));
        CHECK(quick.balance.mass < 1e-10);
        CHECK(quick.balance.energy < 1e-3);
    }
}

TEST_CASE("off the ground the bike falls freely", "[motion][ride]") {
    Event event = event_of(EventKind::bump, 0.1);
    event.duration = 0.4;
    const Bike bike(ridden_fork());
    const Ride ride = bike.over(event);
    CHECK(ride.metrics.off_ground_share > 0.1);
    const double m_s = 65.0 + 0.45 * 95.0;
    const double m_u = 16.0;
    std::size_t seen = 0;
    for (std::size_t i = 1; i + 1 < ride.series.size(); ++i) {
        const RideMoment& a = ride.series[i - 1];
        const RideMoment& b = ride.series[i];
        const RideMoment& c = ride.series[i + 1];
        if (a.wheel_load != 0.0 || b.wheel_load != 0.0 || c.wheel_load != 0.0) continue;
        const auto height = [&](const RideMoment& m) {
            return (m_s * m.sprung + m_u * m.unsprung) / (m_s + m_u);
        };
        const double step = b.time - a.time;
        const double fall = (height(a) - 2.0 * height(b) + height(c)) / (step * step);
        CHECK_THAT(fall, WithinAbs(-standard_gravity, 0.2)); // second differences of rounded heights
        ++seen;
    }
    CHECK(seen > 20);
}

TEST_CASE("a ride on no unit, or under a load that cannot be, is refused", "[motion][ride]") {
    const Event event = event_of(EventKind::bump, 0.05);
    Bike bike(ridden_fork());
    CHECK_THROWS_WITH(motion::run_ride({}, bike.vehicle, *bike.setup.support->load, event),
                      contains_text("units"));
    CHECK_THROWS_AS(motion::run_ride({}, bike.vehicle, *bike.setup.support->load, event), InputError);
    const auto refused = [&](const std::string& key, double damper::Load::*member, double value) {
        CAPTURE(key, value);
        damper::Load load = *bike.setup.support->load;
        load.*member = value;
        const RideUnit unit = bike.unit();
        CHECK_THROWS_AS(motion::run_ride({&unit, 1}, bike.vehicle, load, event), InputError);
        CHECK_THROWS_WITH(motion::run_ride({&unit, 1}, bike.vehicle, load, event),
                          contains_text("load." + key));
    };
    const double no_number = std::numeric_limits<double>::quiet_NaN();
    for (const double mass : {0.0, -65.0, no_number})
        refused("sprung", &damper::Load::sprung_mass, mass);
    refused("rider", &damper::Load::rider_mass, no_number);
    refused("rider_share", &damper::Load::rider_share, -0.1);
    damper::Load upright = *bike.setup.support->load;
    const RideUnit unit = bike.unit();
    for (const double rake : {0.5 * std::numbers::pi, no_number}) {
        upright.rake = rake;
        CHECK_THROWS_WITH(motion::run_ride({&unit, 1}, bike.vehicle, upright, event),
                          contains_text("load.rake"));
    }
}

TEST_CASE("two legs that are alike ride as the pair does", "[motion][ride]") {
    const Event event = event_of(EventKind::square_edge, 0.05);
    const Bike pair(ridden_fork());
    damper::SetUp single = ridden_fork();
    single.support->legs = 1;
    const Bike left(single);
    const Bike right(single);
    const std::array<RideUnit, 2> legs{left.unit(), right.unit()};
    const Ride both = motion::run_ride(legs, pair.vehicle, *single.support->load, event);
    const Ride one = pair.over(event);
    CHECK_THAT(both.metrics.peak_travel, WithinRel(one.metrics.peak_travel, 1e-6));
    CHECK_THAT(both.metrics.rms_acceleration, WithinRel(one.metrics.rms_acceleration, 1e-5));
    CHECK(both.metrics.units.size() == 2);
    CHECK_FALSE(one.metrics.small_bumps); // the first of the climb is none
}

TEST_CASE("a swing is a maximum that is left by more than is asked", "[motion]") {
    motion::SwingCount count(1.0);
    for (const double lift : {0.0, 5.0, 4.5, 5.5, 3.0, 3.5, 2.0, 6.0, 0.0}) // counted by hand: 5.5 and 6
        count.add(lift);
    CHECK(count.count() == 2);
}

TEST_CASE("a ride keeps the moments at which its damper pushes and pulls hardest", "[motion][ride]") {
    const Ride ride = Bike(ridden_fork()).over(event_of(EventKind::bump, 0.05));
    const motion::UnitInRide& unit = ride.metrics.units.front();
    REQUIRE((unit.hardest_compression && unit.hardest_rebound));
    CHECK(unit.hardest_compression->speed > 0.0);
    CHECK(unit.hardest_rebound->speed < 0.0);
    double most = 0.0;
    double least = 0.0;
    for (const RideMoment& moment : ride.series) {
        const motion::Moment& own = moment.units.front();
        if (own.speed > 0.0) most = std::max(most, own.force);
        if (own.speed < 0.0) least = std::min(least, own.force);
    }
    constexpr double between_samples = 1.05;
    CHECK(unit.hardest_compression->force >= most);
    CHECK(unit.hardest_compression->force < most * between_samples);
    CHECK(unit.hardest_rebound->force <= least);
    CHECK(unit.hardest_rebound->force > least * between_samples);
    // Discs that follow the pressure open again only as the wheel bounces within a stroke.
    CHECK(*std::max_element(unit.swings.begin(), unit.swings.end()) >= 1);
    CHECK(*std::max_element(unit.swings.begin(), unit.swings.end()) < 10);
}

TEST_CASE("friction that is large enough holds the unit over a small stone", "[motion][ride]") {
    Event event = event_of(EventKind::bump, 2e-3);
    const Ride held = Bike(ridden_fork(400.0)).over(event);
    CHECK(held.metrics.stuck_share > 0.99);
    CHECK_THAT(held.metrics.peak_travel, WithinAbs(held.metrics.start_travel, 1e-9));
    const Ride moves = Bike(ridden_fork(5.0)).over(event);
    CHECK(moves.metrics.stuck_share < 0.9);
    CHECK(moves.metrics.small_bumps.value() < held.metrics.small_bumps.value());
}

TEST_CASE("a stuck unit breaks away at the edge, and its mass feels no more than friction passes on",
          "[motion][ride]") {
    Event event = event_of(EventKind::square_edge, 45e-3);
    motion::RideOptions options;
    options.samples = 40000;
    const Ride ride = Bike(ridden_fork()).over(event, options);
    double most = 0.0;
    for (const RideMoment& moment : ride.series)
        most = std::max(most, std::abs(moment.acceleration));
    CHECK_THAT(ride.metrics.peak_acceleration, WithinRel(most, 1e-3));
}

TEST_CASE("small bumps are what passes within 10 mm of the level, to the moment", "[motion][ride]") {
    Event event = event_of(EventKind::bumps, 30e-3);
    motion::RideOptions options;
    options.samples = 60000; // 10 µs, in which nothing of it counts
    const Ride ride = Bike(ridden_fork()).over(event, options);
    double sum = 0.0;
    double time = 0.0;
    for (std::size_t i = 1; i < ride.series.size(); ++i) {
        const RideMoment& before = ride.series[i - 1];
        const RideMoment& now = ride.series[i];
        if (now.time < ride.begin.value() || std::abs(now.ground) >= 10e-3) continue;
        const double width = std::min(now.time - before.time, now.time - ride.begin.value());
        time += width;
        sum += width * now.acceleration * now.acceleration;
    }
    CHECK_THAT(ride.metrics.small_bumps.value(), WithinRel(std::sqrt(sum / time), 1e-3));
}

TEST_CASE("a landing comes down at the speed of its fall, and a high one meets metal", "[motion][ride]") {
    const Ride low = Bike(ridden_fork()).over(event_of(EventKind::landing, 0.3));
    CHECK_FALSE(low.metrics.metal_speed);
    Event high = event_of(EventKind::landing, 8.0);
    high.duration = 0.3;
    const Ride hard = Bike(ridden_fork()).over(high);
    REQUIRE(hard.metrics.closing_speed);
    REQUIRE(hard.metrics.metal_speed);
    CHECK(*hard.metrics.closing_speed > *hard.metrics.metal_speed);
    CHECK(hard.metrics.peak_travel > hard.metrics.full_travel);
    CHECK(hard.balance.energy < 1e-6);
    // What comes in at the start is the fall.
    const double speed = std::sqrt(2.0 * standard_gravity * 8.0);
    const RideMoment& first = hard.series.front();
    const RideMoment& next = hard.series.at(1);
    CHECK_THAT((first.unsprung - next.unsprung) / (next.time - first.time), WithinRel(speed, 2e-2));
}

TEST_CASE("springs too soft for the load are refused", "[motion][ride]") {
    damper::SetUp setup = ridden_fork();
    setup.support->spring->rate = 100.0;
    setup.support->leg.reset();
    setup.support->stop.reset();
    CHECK_THROWS_WITH(Bike(setup).over(event_of(EventKind::bump, 0.05)),
                      contains_text("do not carry the load"));
}

TEST_CASE("a wheel that begins on its stop has not met it", "[motion][ride]") {
    damper::SetUp setup = ridden_fork();
    setup.support->stop = damper::EndSpring{.rate = 5e3, .length = 0.28}; // under it from 20 mm on
    Event edge;
    edge.kind = EventKind::square_edge;
    edge.height = 0.02;
    edge.speed = 8.0;
    edge.at = 1.0;
    edge.duration = 0.4;
    const Ride ride = Bike(setup).over(edge);
    REQUIRE(ride.metrics.start_travel > 0.02);
    CHECK_FALSE(ride.metrics.closing_speed);
    Event drop;
    drop.kind = EventKind::landing;
    drop.height = 0.3;
    drop.duration = 0.3;
    CHECK(Bike(setup).over(drop).metrics.closing_speed.value() > 1.0);
}

TEST_CASE("a reservoir's piston that rubs on its way to its stop leaves C a pressure", "[motion][ride]") {
    // After a hop the shock hangs fully extended. Its piston, on a coil, has given all its oil; friction
    // would take what the stop leaves of its pressure, but C, run empty, keeps that of its vapour.
    damper::SetUp setup = samples::with_discs(samples::shock());
    setup.reservoir = {.kind = damper::ReservoirKind::spring_piston,
                       .diameter = 56e-3,
                       .spring_rate = 3300.0,
                       .preload = 250.0,
                       .friction = 8.0};
    setup.oil.free_air = 0.024;
    setup.support.emplace();
    setup.support->spring = damper::MainSpring{.rate = 60e3, .preload = 2e-3};
    setup.support->stop = damper::EndSpring{.rate = 400e3, .length = 10e-3};
    setup.support->friction = setup.support->breakaway = 20.0;
    setup.support->load = damper::Load{.sprung_mass = 90.0, .motion_ratio = 0.5};
    for (const bool moves : {false, true}) {
        CAPTURE(moves);
        Event hop = event_of(EventKind::landing, 0.8);
        hop.duration = 0.8;
        const Ride ride = Bike(setup, moves).over(hop);
        CHECK(ride.metrics.extension_speed);
        CHECK(ride.metrics.units.front().lowest_p_C > 0.0);
        CHECK(ride.balance.mass < 1e-10);
        // 5e-5 while lengths might err by a share of the travel: at full travel metal takes 20 N/µm.
        CHECK(ride.metrics.metal_speed);
        CHECK(ride.balance.energy < 1e-6);
    }
}

TEST_CASE("no figure of a ride depends on how many samples its series has", "[motion][ride]") {
    for (const bool moves : {false, true})
        for (const auto& [kind, height] :
             {std::pair{EventKind::square_edge, 0.05}, std::pair{EventKind::landing, 0.6}}) {
            CAPTURE(moves, static_cast<int>(kind));
            const Bike bike(ridden_fork(), moves);
            const Event event = event_of(kind, height);
            const auto ridden = [&](int samples) {
                motion::RideOptions options;
                options.samples = samples;
                return bike.over(event, options).metrics;
            };
            const motion::RideMetrics few = ridden(2);
            const motion::RideMetrics many = ridden(20000);
            for (double motion::RideMetrics::*member :
                 {&motion::RideMetrics::peak_travel, &motion::RideMetrics::residual_travel,
                  &motion::RideMetrics::peak_speed_compression, &motion::RideMetrics::peak_speed_rebound,
                  &motion::RideMetrics::rms_acceleration, &motion::RideMetrics::peak_acceleration,
                  &motion::RideMetrics::stuck_share, &motion::RideMetrics::wheel_load_variation,
                  &motion::RideMetrics::mean_travel})
                CHECK(few.*member == many.*member);
            for (double motion::UnitInRide::*member :
                 {&motion::UnitInRide::lowest_p_C, &motion::UnitInRide::lowest_p_R,
                  &motion::UnitInRide::highest_p_C, &motion::UnitInRide::highest_p_R,
                  &motion::UnitInRide::largest_void_C, &motion::UnitInRide::largest_void_R})
                CHECK(few.units.front().*member == many.units.front().*member);
            CHECK(few.units.front().hardest_compression->force ==
                  many.units.front().hardest_compression->force);
            CHECK(few.units.front().hardest_rebound->force == many.units.front().hardest_rebound->force);
            CHECK(few.units.front().largest_lift == many.units.front().largest_lift);
        }
}

TEST_CASE("what a ride is largest and least at is among its moments", "[motion][ride]") {
    for (const motion::Accuracy accuracy : {motion::Accuracy::fine, motion::Accuracy::quick})
        for (const auto& [kind, height] :
             {std::pair{EventKind::bumps, 0.08}, std::pair{EventKind::landing, 4.0}}) {
            CAPTURE(motion::name(accuracy), static_cast<int>(kind));
            motion::RideOptions options(accuracy);
            options.samples = 10; // which miss most peaks
            const Ride ride = Bike(ridden_fork(), true).over(event_of(kind, height), options);
            const motion::RideMetrics& metrics = ride.metrics;
            const motion::UnitInRide& unit = metrics.units.front();
            int missed = 0; // by the samples
            const auto most = [&](const std::vector<RideMoment>& moments, const auto& of) {
                double value = of(moments.front());
                for (const RideMoment& moment : moments)
                    value = std::max(value, of(moment));
                return value;
            };
            // Beside each the last digit that `ride` prints of it.
            const auto check = [&](double told, double digit, const auto& of) {
                CHECK_THAT(most(ride.extremes, of), WithinAbs(told, 0.5 * digit));
                if (most(ride.series, of) < told - digit) ++missed;
            };
            check(metrics.peak_travel, 1e-4, [](const RideMoment& m) { return m.travel; });
            check(metrics.peak_speed_compression, 1e-2, [](const RideMoment& m) { return m.speed; });
            check(metrics.peak_speed_rebound, 1e-2, [](const RideMoment& m) { return -m.speed; });
            check(metrics.peak_acceleration, 0.1,
                  [](const RideMoment& m) { return std::abs(m.acceleration); });
            check(unit.highest_p_C, 1e4, [](const RideMoment& m) { return m.units.front().p_C; });
            check(unit.highest_p_R, 1e4, [](const RideMoment& m) { return m.units.front().p_R; });
            CHECK(missed >= 4);
            CHECK_THAT(-most(ride.extremes, [](const RideMoment& m) { return -m.units.front().p_C; }),
                       WithinAbs(unit.lowest_p_C, 500.0));
            CHECK_THAT(-most(ride.extremes, [](const RideMoment& m) { return -m.units.front().p_R; }),
                       WithinAbs(unit.lowest_p_R, 500.0));
            CHECK_THAT(most(ride.extremes, [](const RideMoment& m) { return m.units.front().void_R; }),
                       WithinAbs(unit.largest_void_R, 5e-9));
            CHECK(std::is_sorted(ride.extremes.begin(), ride.extremes.end(),
                                 [](const RideMoment& a, const RideMoment& b) { return a.time < b.time; }));
        }
}

TEST_CASE("a series that is left open is as dense as the ride is long", "[motion][ride]") {
    CHECK(motion::samples_of(0.6) == 1000);
    CHECK(motion::samples_of(3.0) == 1000);
    CHECK(motion::samples_of(4.5) == 1500);
    CHECK(motion::samples_of(600.0) == 20000);
    Event event = event_of(EventKind::bump, 0.02);
    event.duration = 4.5;
    const Ride ride = Bike(ridden_fork()).over(event);
    CHECK(ride.series.size() == 1501);
    CHECK_THAT(ride.series[1].time, WithinRel(3e-3, 1e-12));
    CHECK(ride.series.back().time == 4.5);
}
