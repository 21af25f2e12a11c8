#include <valve/core/detail/infinity.hpp>
#include <valve/core/error.hpp>
#include <valve/damper/support_check.hpp>
#include <valve/motion/detail/check_run.hpp>
#include <valve/motion/detail/ride_equations.hpp>
#include <valve/motion/detail/ride_meter.hpp>
#include <valve/motion/detail/ride_tips.hpp>
#include <valve/motion/ride.hpp>

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
using detail::RideMeter;
using detail::RideTips;
using detail::StepEnd;

constexpr double longest_step = 1e-3; // [s]; no event is so short that it would be stepped over

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
    RideMeter m_meter;
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
        ride = std::move(again);
    }
    return ride;
}

} // namespace valve::motion
