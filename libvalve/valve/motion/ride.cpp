#include <valve/core/detail/infinity.hpp>
#include <valve/core/error.hpp>
#include <valve/damper/support_check.hpp>
#include <valve/motion/detail/check_run.hpp>
#include <valve/motion/detail/ride_equations.hpp>
#include <valve/motion/detail/ride_tips.hpp>
#include <valve/motion/detail/turns.hpp>
#include <valve/motion/ride.hpp>
#include <valve/motion/swings.hpp>

#include <fmt/format.h>

#include <algorithm>
#include <array>
#include <cmath>
#include <numeric>
#include <utility>

namespace valve::motion {

namespace {

using detail::Integrator;
using detail::RideEquations;
using detail::RideTips;
using detail::StepEnd;
using detail::Turns;

constexpr double small_bump = 10e-3;  // [m]
constexpr double low_load = 0.2;      // of F_0
constexpr double longest_step = 1e-3; // [s]; no event is so short that it would be stepped over

/// Time below `limit` of what goes straight from `from` to `to` in `width`.
double time_below(double limit, double from, double to, double width) {
    if (from < limit && to < limit) return width;
    if (from >= limit && to >= limit) return 0.0;
    const double share = (limit - from) / (to - from);
    return width * (from < limit ? share : 1.0 - share);
}

/// The part of a step, as shares of it, in which what goes straight from `from` to `to` stays within
/// ±`limit`.
struct Part {
    double begin = 0.0;
    double end = 0.0;
};

Part part_within(double limit, double from, double to) {
    if (from == to) return std::abs(from) < limit ? Part{0.0, 1.0} : Part{};
    const double a = (-limit - from) / (to - from);
    const double b = (limit - from) / (to - from);
    return {std::clamp(std::min(a, b), 0.0, 1.0), std::clamp(std::max(a, b), 0.0, 1.0)};
}

/// Where the lift of a valve turns, stroke by stroke of the rod.
class LiftTurns {
public:
    void add(double lift) {
        const bool rises = lift > m_last;
        if (lift != m_last && rises != m_rises) {
            m_turns.push_back(m_last);
            m_rises = rises;
        }
        m_last = lift;
    }

    void end_stroke() {
        m_turns.push_back(m_last);
        m_ends.push_back(m_turns.size());
    }

    /// In the stroke that has the most.
    int most_swings(double least) const {
        int most = 0;
        std::size_t i = 0;
        for (const std::size_t end : m_ends) {
            SwingCount count(least);
            for (; i < end; ++i)
                count.add(m_turns[i]);
            most = std::max(most, count.count());
        }
        return most;
    }

private:
    double m_last = 0.0;
    bool m_rises = true;
    std::vector<double> m_turns; // and the last lift of each stroke [m]
    std::vector<std::size_t> m_ends;
};

/// Turns of what a unit is known by.
struct UnitTurns {
    Turns p_C;
    Turns p_R;
    Turns void_C;
    Turns void_R;
    Turns force;
};

/// Extremes and shares, moment by moment.
class Meter {
public:
    Meter(std::span<const RideUnit> units, double full_travel, double static_load)
        : m_static_load(static_load) {
        m_metrics.full_travel = full_travel;
        for (const RideUnit& unit : units) {
            UnitInRide& own = m_metrics.units.emplace_back();
            own.legs = unit.support.legs();
            m_lifts.emplace_back();
            m_turns.emplace_back();
            for (const damper::Place place : damper::all_places)
                if (unit.model.setup().valves[place]) own.valves.push_back(place);
            const damper::ByChamber space =
                unit.model.network().volumes(0.5 * unit.model.setup().cartridge.travel);
            own.oil_mass = unit.model.oil().density * (space.C + space.R);
        }
    }

    void begin_counting() { m_counts = true; }

    void add(const RideMoment& now) {
        RideMetrics& m = m_metrics;
        if (!m_before) m.start_travel = m.peak_travel = now.travel;
        m.peak_travel = std::max(m.peak_travel, now.travel);
        m.peak_speed_compression = std::max(m.peak_speed_compression, now.speed);
        m.peak_speed_rebound = std::max(m.peak_speed_rebound, -now.speed);
        if (const std::optional<Turns::Vertex> travel = m_travel.add(now.time, now.travel))
            m.peak_travel = std::max(m.peak_travel, travel->value);
        if (const std::optional<Turns::Vertex> speed = m_speed.add(now.time, now.speed)) {
            m.peak_speed_compression = std::max(m.peak_speed_compression, speed->value);
            m.peak_speed_rebound = std::max(m.peak_speed_rebound, -speed->value);
        }
        if (m_before && (now.speed > 0.0) != (m_before->speed > 0.0)) end_stroke();
        for (std::size_t i = 0; i < now.units.size(); ++i) {
            UnitInRide& own = m.units[i];
            const Moment& unit = now.units[i];
            for (std::size_t place = 0; place < own.largest_lift.size(); ++place) {
                own.largest_lift[place] = std::max(own.largest_lift[place], unit.valves[place].lift);
                m_lifts[i][place].add(unit.valves[place].lift);
            }
            own.add(unit);
            own.rod.emplace_back(unit);
            add_force(own, unit);
            add_turns(i, now.time, unit);
        }
        if (m_counts) {
            m.peak_acceleration = std::max(m.peak_acceleration, std::abs(now.acceleration));
            if (const std::optional<Turns::Vertex> crest = m_acceleration.add(now.time, now.acceleration))
                m.peak_acceleration = std::max(m.peak_acceleration, std::abs(crest->value));
            if (m_before && now.time > m_before->time) {
                const double width = now.time - m_before->time;
                if (m_before->stuck) m_stuck += width;
                if (m_before->wheel_load == 0.0 && now.wheel_load == 0.0) m_off += width;
                m_low += time_below(low_load * m_static_load, m_before->wheel_load, now.wheel_load, width);
                add_small(*m_before, now);
            }
        }
        m_before = now;
    }

    void meet_bump(double travel) { m_metrics.start_travels.push_back(travel); }
    void meet_stop(double speed) { raise(m_metrics.closing_speed, speed); }
    void meet_metal(bool extended, double speed) {
        raise(extended ? m_metrics.extension_speed : m_metrics.metal_speed, speed);
    }

    RideMetrics finish(double counted) {
        RideMetrics& m = m_metrics;
        if (m_before) m.residual_travel = m_before->travel;
        end_stroke();
        for (std::size_t i = 0; i < m.units.size(); ++i)
            for (std::size_t place = 0; place < m_lifts[i].size(); ++place)
                m.units[i].swings[place] =
                    m_lifts[i][place].most_swings(swing_share * m.units[i].largest_lift[place]);
        if (counted > 0.0) {
            m.stuck_share = m_stuck / counted;
            m.off_ground_share = m_off / counted;
            m.low_load_share = m_low / counted;
        }
        if (m_small_time > 0.0) m.small_bumps = std::sqrt(m_small / m_small_time);
        return std::move(m_metrics);
    }

private:
    /// What of the step lies near the level, ground and acceleration going straight in it.
    void add_small(const RideMoment& before, const RideMoment& now) {
        const Part near = part_within(small_bump, before.ground, now.ground);
        const auto at = [&](double share) {
            return before.acceleration + share * (now.acceleration - before.acceleration);
        };
        const double a = at(near.begin);
        const double b = at(near.end);
        const double time = (near.end - near.begin) * (now.time - before.time);
        m_small_time += time;
        m_small += time * (a * a + a * b + b * b) / 3.0;
    }

    static void add_force(UnitInRide& own, const Moment& unit) {
        if (unit.speed > 0.0 && unit.force > (own.hardest_compression ? own.hardest_compression->force : 0.0))
            own.hardest_compression = unit;
        if (unit.speed < 0.0 && unit.force < (own.hardest_rebound ? own.hardest_rebound->force : 0.0))
            own.hardest_rebound = unit;
    }

    /// What lies between two steps.
    void add_turns(std::size_t number, double time, const Moment& unit) {
        UnitInRide& own = m_metrics.units[number];
        UnitTurns& turns = m_turns[number];
        if (const std::optional<Turns::Vertex> p_C = turns.p_C.add(time, unit.p_C)) {
            own.lowest_p_C = std::min(own.lowest_p_C, std::max(p_C->value, 0.0));
            own.highest_p_C = std::max(own.highest_p_C, p_C->value);
        }
        if (const std::optional<Turns::Vertex> p_R = turns.p_R.add(time, unit.p_R)) {
            own.lowest_p_R = std::min(own.lowest_p_R, std::max(p_R->value, 0.0));
            own.highest_p_R = std::max(own.highest_p_R, p_R->value);
        }
        if (const std::optional<Turns::Vertex> void_C = turns.void_C.add(time, unit.void_C))
            own.largest_void_C = std::max(own.largest_void_C, void_C->value);
        if (const std::optional<Turns::Vertex> void_R = turns.void_R.add(time, unit.void_R))
            own.largest_void_R = std::max(own.largest_void_R, void_R->value);
        if (const std::optional<Turns::Vertex> force = turns.force.add(time, unit.force); force && m_before) {
            Moment tip = m_before->units[number];
            tip.force = force->value;
            add_force(own, tip);
        }
    }

    void end_stroke() {
        for (std::array<LiftTurns, 4>& unit : m_lifts)
            for (LiftTurns& valve : unit)
                valve.end_stroke();
    }

    static void raise(std::optional<double>& most, double value) {
        most = std::max(most.value_or(value), value);
    }

    double m_static_load;
    RideMetrics m_metrics;
    std::vector<std::array<LiftTurns, 4>> m_lifts; // of the valves of each unit
    std::vector<UnitTurns> m_turns;                // likewise
    std::optional<RideMoment> m_before;
    bool m_counts = false;
    Turns m_travel;
    Turns m_speed;
    Turns m_acceleration;
    double m_stuck = 0.0; // [s]
    double m_off = 0.0;
    double m_low = 0.0;
    double m_small_time = 0.0;
    double m_small = 0.0; // [m²/s³]
};

/// A time at which the run stops to take stock.
struct Mark {
    double time = 0.0;
    std::optional<std::size_t> piece = std::nullopt; ///< of the ground that begins here
    bool kink = false;                               ///< something else has a kink here
    bool counts = false;                             ///< means count from here on
    bool half = false;                               ///< half of the time that counts has passed
    bool bump = false;                               ///< a bump of a row is met
};

} // namespace

RideOptions::RideOptions(Accuracy accuracy) {
    if (accuracy == Accuracy::fine) return;
    relative_error = 1e-4;
    pressure_error = 100.0;
    length_error = 1e-7;
    speed_error = 1e-5; // goes with that in a swing of the wheel on its tyre
    energy_error = 4e-5;
    solved_within = 0.03;
    highest_order = 3; // a valve that rings at kHz is stepped over
}

namespace {

class Runner {
public:
    Runner(std::span<const RideUnit> units, const Vehicle& vehicle, const damper::Load& load,
           const Event& event, const RideOptions& options)
        : m_event(event), m_options(options), m_linkage(load),
          m_ground(event, vehicle.tyre.radius, options.stop),
          m_equations(units, vehicle, m_linkage, load, event, m_ground), m_y(m_equations.at_start()),
          m_integrator(m_equations, m_equations.tolerances(options), options.relative_error,
                       options.highest_order, options.solved_within),
          m_meter(units, m_equations.full_travel(), m_equations.static_load()),
          m_last_sample(options.samples > 0 ? options.samples : samples_of(event.duration)) {
        for (const RideUnit& unit : units) {
            const std::optional<damper::Support>& support = unit.model.setup().support;
            if (support && support->stop)
                m_stop =
                    std::min(m_stop.value_or(infinity), m_equations.full_travel() - support->stop->length);
        }
    }

    Ride run() {
        Ride ride;
        const std::vector<Mark> marks = this->marks();
        const std::vector<double> y0 = m_y;
        enter(0);
        const RideEquations::DamperStore before = m_equations.stored_in_dampers(0.0, y0);
        m_equations.switch_modes(0.0, m_y, {});
        const double stored = m_equations.stored(0.0, m_y);
        start();
        note(m_equations.moment(0.0, m_y));
        sample_start();
        std::optional<RideEquations::Means> from;
        std::optional<RideEquations::Means> half;
        for (const Mark& mark : marks) {
            while (m_time < mark.time)
                step(mark.time);
            if (mark.counts) {
                from = m_equations.means(m_y);
                ride.begin = mark.time;
                m_meter.begin_counting();
                m_tips.begin_counting();
            }
            if (mark.half) half = m_equations.means(m_y);
            if (mark.bump) m_meter.meet_bump(m_linkage.at(m_y[0]).travel);
            if (mark.piece) enter(*mark.piece);
            if (mark.piece || mark.kink) {
                m_equations.switch_modes(m_time, m_y, {});
                m_is_held = false;
                if (m_time < m_event.duration) start();
            }
            if (mark.piece || mark.counts) note(m_equations.moment(m_time, m_y));
        }
        const double end = m_event.duration;
        const double counted = ride.begin ? end - *ride.begin : 0.0;
        ride.metrics = m_meter.finish(counted);
        if (!has_small_bumps(m_event.kind)) ride.metrics.small_bumps.reset();
        if (counted > 0.0 && from && half) {
            const RideEquations::Means to = m_equations.means(m_y);
            ride.metrics.rms_acceleration =
                std::sqrt(std::max(0.0, to.acceleration - from->acceleration) / counted);
            ride.metrics.wheel_load_variation =
                std::sqrt(std::max(0.0, to.load - from->load) / counted) / m_equations.static_load();
            ride.metrics.mean_travel = (to.travel - from->travel) / counted;
            ride.metrics.travel_drift =
                ((to.travel - half->travel) - (half->travel - from->travel)) / (0.5 * counted);
        }
        ride.static_load = m_equations.static_load();
        const RideEquations::DamperStore after = m_equations.stored_in_dampers(end, m_y);
        ride.energy = m_equations.energies(m_y, before, after);
        ride.losses = m_equations.losses(ride.energy);
        const double lost = ride.losses.sum();
        const RideEnergies& e = ride.energy;
        const double change = m_equations.stored(end, m_y) - stored;
        const double open =
            std::abs(change - e.ground - e.transfer + e.tyre + e.friction + e.metal + e.dampers) +
            m_equations.left_open(before, after, e);
        ride.balance.energy = open / std::max(lost, least_loss);
        ride.balance.mass = m_equations.oil_fault(y0, m_y);
        const detail::Effort effort = m_integrator.effort();
        ride.steps = effort.steps;
        ride.rates = effort.rates;
        ride.events = effort.starts;
        ride.switches = m_equations.vehicle_switches();
        tell_moments(ride);
        return ride;
    }

private:
    /// Rising in time; the last is the end.
    std::vector<Mark> marks() const {
        std::vector<Mark> marks;
        const double end = m_event.duration;
        const auto time_at = [&](double distance) {
            return m_event.speed > 0.0 ? distance / m_event.speed : 0.0;
        };
        const std::vector<double>& breaks = m_ground.breaks();
        for (std::size_t i = 1; i + 1 < breaks.size(); ++i)
            marks.push_back({.time = time_at(breaks[i]), .piece = i});
        for (const double distance : m_ground.bump_begins())
            marks.push_back({.time = time_at(distance), .bump = true});
        if (m_ground.begin()) {
            const double begin = time_at(*m_ground.begin());
            if (begin < end) {
                marks.push_back({.time = begin, .counts = true});
                marks.push_back({.time = 0.5 * (begin + end), .half = true});
            }
        }
        if (m_event.load_transfer != 0.0 && m_event.transfer_time < end)
            marks.push_back({.time = m_event.transfer_time, .kink = true});
        marks.push_back({.time = end});
        std::stable_sort(marks.begin(), marks.end(),
                         [](const Mark& a, const Mark& b) { return a.time < b.time; });
        while (marks.back().time > end)
            marks.pop_back();
        return marks;
    }

    void enter(std::size_t piece) {
        m_piece = piece;
        m_equations.enter(piece);
    }

    bool is_fine() const {
        constexpr int order_of_fine = 5;
        return m_options.highest_order == order_of_fine;
    }

    void start() {
        // Metal gives back in a few ms much of what it was given: fine steps err least there.
        constexpr double in_metal = 0.1; // of the errors elsewhere
        const std::array<bool, 2> metal = m_equations.metal();
        const bool closely = (metal[0] || metal[1]) && is_fine();
        m_integrator.allow(closely ? in_metal : 1.0, m_options.highest_order, first_step());
        m_integrator.start(m_time, m_y, longest_step);
        m_is_held = false;
    }

    /// After an event; 0: what the errors allow, which takes about as many rates as a step to find.
    double first_step() const {
        if (is_fine() || m_last_step == 0.0) return 0.0;
        constexpr double share = 0.3; // of the step before the event
        constexpr double shortest = 1e-6;
        constexpr double longest = 30e-6; // [s]
        return std::clamp(share * m_last_step, shortest, longest);
    }

    void note(const RideMoment& moment) {
        m_meter.add(moment);
        m_tips.add(moment, m_y, hold());
    }

    void step(double end) {
        if (m_options.stop.stop_requested()) throw Stopped("stopped");
        if (++m_steps > m_options.most_steps) give_up("the limit on steps is reached");
        try {
            m_equations.begin_step(m_time, m_y);
            const double before = m_time;
            const StepEnd how = m_integrator.step(end, m_time, m_y);
            if (how == StepEnd::step) m_last_step = m_time - before;
            m_equations.end_step(m_time, m_y);
            sample_up_to(m_time);
            m_equations.tell(m_time, m_y, m_arrived);
            tell_ends(m_arrived);
            note(m_arrived);
            const bool switched = m_equations.switch_modes(
                m_time, m_y, how == StepEnd::root ? m_integrator.signs() : std::span<const int>{});
            if (switched || how == StepEnd::root) {
                m_is_held = false;
                note(m_equations.moment(m_time, m_y));
                if (m_time < end || end < m_event.duration) start();
            }
        } catch (const SolveError& error) {
            give_up(error.what());
        }
        if (m_options.progress && m_steps % 512 == 0) m_options.progress(m_time);
    }

    /// The speed at which stop and metal are met.
    void tell_ends(const RideMoment& now) {
        // What begins on its stop has not met it.
        const double before = std::exchange(m_travel_before, now.travel).value_or(now.travel);
        if (m_stop && before < *m_stop && now.travel >= *m_stop) m_meter.meet_stop(now.speed);
        const double full = m_equations.full_travel();
        if (before < full && now.travel >= full) m_meter.meet_metal(false, now.speed);
        if (before > 0.0 && now.travel <= 0.0) m_meter.meet_metal(true, -now.speed);
    }

    [[noreturn]] void give_up(const std::string& reason) const {
        const double travel = m_linkage.at(m_y[0]).travel;
        throw SolveError(
            fmt::format("at {:.6g} ms, {:.4g} m along and {:.4g} mm of travel: {}. Try {}a slower event",
                        m_time * 1e3, m_event.speed * m_time, travel * 1e3, reason,
                        m_equations.has_moving_valves() ? "quasi-static valves or " : ""));
    }

    double sample_time(std::size_t number) const {
        return m_event.duration * static_cast<double>(number) / m_last_sample;
    }

    /// The number of what does not change between two events, as it is now.
    std::size_t hold() {
        if (!m_is_held) m_held.push_back({m_equations.modes(), m_piece});
        m_is_held = true;
        return m_held.size() - 1;
    }

    /// Room for the state of one sample more.
    std::span<double> add_sample(double time) {
        m_samples.push_back({time, hold()});
        m_states.resize(m_states.size() + m_y.size());
        return std::span(m_states).last(m_y.size());
    }

    void sample_start() { std::copy(m_y.begin(), m_y.end(), add_sample(0.0).begin()); }

    void sample_up_to(double time) {
        const auto last = static_cast<std::size_t>(m_last_sample);
        while (m_samples.size() <= last) {
            double next = sample_time(m_samples.size());
            if (next > time) {
                if (m_samples.size() < last || time < m_event.duration) return;
                next = time; // the end, to rounding
            }
            m_integrator.interpolate(next, 0, add_sample(next));
        }
    }

    RideMoment moment_at(double time, std::size_t held, std::span<const double> y) {
        m_equations.enter(m_held[held].piece);
        m_equations.set(m_held[held].modes);
        m_time = time;
        return m_equations.moment(time, y);
    }

    /// After the run: what is worked out at a sample leaves traces in the last digits of what comes next.
    void tell_moments(Ride& ride) {
        ride.series.reserve(m_samples.size());
        try {
            for (const Sample& sample : m_samples)
                ride.series.push_back(
                    moment_at(sample.time, sample.held,
                              std::span(m_states).subspan(ride.series.size() * m_y.size(), m_y.size())));
            for (const RideTips::Tip& tip : m_tips.tips())
                ride.extremes.push_back(moment_at(tip.time, tip.held, tip.y));
        } catch (const SolveError& error) {
            give_up(error.what());
        }
    }

    const Event& m_event;
    const RideOptions& m_options;
    damper::Linkage m_linkage;
    Ground m_ground;
    RideEquations m_equations;
    std::vector<double> m_y;
    Integrator m_integrator;
    Meter m_meter;
    struct Held { // what does not change between two events
        detail::RideModes modes;
        std::size_t piece = 0; // of the ground
    };
    struct Sample {
        double time = 0.0;
        std::size_t held = 0; // its number
    };
    std::size_t m_piece = 0;
    std::vector<Held> m_held;
    bool m_is_held = false; // the last of these still holds
    std::vector<Sample> m_samples;
    std::vector<double> m_states; // of the samples, one after the other
    int m_last_sample;            // its number
    RideTips m_tips;
    RideMoment m_arrived;                  // at the end of a step
    std::optional<double> m_stop;          // travel at which it is reached
    std::optional<double> m_travel_before; // at the moment noted before
    double m_time = 0.0;
    double m_last_step = 0.0; // that nothing cut short [s]
    long m_steps = 0;
};

} // namespace

damper::RodInto rod_into(const damper::SetUp& unit) {
    const bool around =
        unit.support && unit.support->leg && unit.cartridge.layout == damper::Layout::closed_cartridge;
    return around ? damper::RodInto::leg : damper::RodInto::atmosphere;
}

double RideLosses::sum() const {
    return std::accumulate(valves.begin(), valves.end(), 0.0) + base_bleeds + piston_bleeds + cups +
           reservoir_friction + friction + tyre + metal;
}

int samples_of(double duration) {
    const double enough = std::ceil(duration / longest_between_samples);
    return static_cast<int>(std::clamp(enough, double{least_samples}, double{most_samples}));
}

Findings check(const RideOptions& options) {
    Findings findings = detail::check_run(options, 0);
    require(findings, "length_error", options.length_error, above_zero_to(1.0, "mm"));
    require(findings, "speed_error", options.speed_error, above_zero_to(1.0, "m/s"));
    require(findings, "solved_within", options.solved_within, above_zero_to(1.0, ""));
    require_count(findings, "highest_order", options.highest_order, 1, 5); // BDF beyond is not stable
    return findings;
}

Ride run_ride(std::span<const RideUnit> units, const Vehicle& vehicle, const damper::Load& load,
              const Event& event, const RideOptions& options) {
    Findings findings;
    if (units.empty()) add_error(findings, "units", "there is none; a ride needs one or more");
    add_below(findings, "vehicle", check(vehicle));
    add_below(findings, "load", damper::check(load));
    add_below(findings, "event", check(event, vehicle.tyre.radius));
    add_below(findings, "options", check(options));
    refuse_errors<InputError>(findings, "");
    add_below(findings, "event", check_start(event, vehicle.tyre.radius));
    refuse_errors<InputError>(findings, "");
    Ride ride = Runner(units, vehicle, load, event, options).run();
    const double within = 500.0 * options.energy_error;
    RideOptions closer = options;
    for (int more = 2; more > 0 && ride.balance.energy > within; --more) {
        for (double RideOptions::*error :
             {&RideOptions::relative_error, &RideOptions::pressure_error, &RideOptions::length_error,
              &RideOptions::speed_error, &RideOptions::energy_error})
            closer.*error *= 0.25;
        Ride again = Runner(units, vehicle, load, event, closer).run();
        again.steps += ride.steps;
        again.rates += ride.rates;
        again.events += ride.events;
        ride = std::move(again);
    }
    return ride;
}

} // namespace valve::motion
