#include <valve/core/constants.hpp>
#include <valve/core/cubic.hpp>
#include <valve/core/detail/infinity.hpp>
#include <valve/core/root.hpp>
#include <valve/motion/cycle.hpp>
#include <valve/motion/detail/check_run.hpp>
#include <valve/motion/detail/dynamics.hpp>

#include <fmt/format.h>

#include <algorithm>
#include <cmath>
#include <optional>
#include <utility>
#include <vector>

namespace valve::motion {

namespace {

using detail::Dynamics;
using detail::Integrator;
using detail::StepEnd;

constexpr int highest_order = 5;
constexpr int a_stable = 2; // order; higher ones keep what rings ringing within large errors
constexpr double first_step =
    1e-7; // [s]; where errors are large a long one seems to shut what has just opened
constexpr double solved_within = 0.1; // energies of one loop close all the same

/// The end of a step, or what comes after a switch there, and what holds from there on.
struct Node {
    std::size_t piece = 0;
    Modes modes;
    Moment moment;
};

Energies difference(const Energies& to, const Energies& from) {
    Energies d{to.rod - from.rod,
               to.reservoir - from.reservoir,
               {},
               to.piston_bleeds - from.piston_bleeds,
               to.base_bleeds - from.base_bleeds,
               to.plates - from.plates,
               to.cups - from.cups,
               to.friction - from.friction};
    for (std::size_t i = 0; i < d.valves.size(); ++i)
        d.valves[i] = to.valves[i] - from.valves[i];
    return d;
}

/// Where the cubic through two lifts [m], whose slopes are rates [m/s], is highest, as a share of `width`
/// [s]; none where it does not rise and then fall.
std::optional<double> crest(double width, ValueSlope from, ValueSlope to) {
    if (!(from.slope > 0.0 && to.slope < 0.0)) return std::nullopt;
    const Cubic cubic(width, from, to);
    const double c2 = cubic.c2();
    // Of the two roots of its slope the one between: there it goes through zero once.
    const double share = from.slope / (std::sqrt(c2 * c2 - 3.0 * cubic.c3() * from.slope) - c2);
    if (!(share > 0.0 && share < 1.0)) return std::nullopt; // rounding, in a step of no length
    return share;
}

/// The range of `member` over a loop.
double range(const std::vector<Moment>& loop, double Moment::*member) {
    const auto [least, greatest] =
        std::minmax_element(loop.begin(), loop.end(), [&](const Moment& one, const Moment& other) {
            return one.*member < other.*member;
        });
    return *greatest.*member - *least.*member;
}

class Runner {
public:
    Runner(const damper::Model& model, const MovingValves& valves, const Input& input,
           const CycleOptions& options)
        : m_model(model), m_input(input), m_options(options),
          m_dynamics(model, valves, input, options.rod_into),
          m_integrator(m_dynamics, m_dynamics.tolerances(options), options.relative_error, highest_order,
                       solved_within),
          m_y(m_dynamics.at_rest()) {}

    Cycle run() {
        for (std::size_t piece = 0; piece < m_input.pieces_before_loop(); ++piece)
            run_piece(piece);
        Cycle result;
        const bool lead_in = m_options.lead_in && m_input.periodic() && m_options.most_loops > 1;
        do {
            allow_errors(lead_in && result.loops == 0);
            run_loop(result);
            ++result.loops;
        } while (!is_done(result, lead_in));
        result.series = std::move(m_series);
        result.moments = dense_moments();
        const detail::Effort effort = m_integrator.effort();
        result.steps = effort.steps;
        result.rates = effort.rates;
        result.jacobians = effort.jacobians;
        result.events = effort.starts;
        return result;
    }

private:
    /// What is left of where the first loop begins dies away, and none of its energies are told.
    void allow_errors(bool lead_in) {
        constexpr double larger = 1e3;
        constexpr double all_but_any = 1e-3; // of the work of the atmosphere, times `larger`
        if (lead_in) {
            m_integrator.allow(larger, a_stable, first_step);
            m_integrator.allow_sums(all_but_any * work_of_atmosphere());
        } else {
            m_integrator.allow(m_closer, highest_order);
        }
        m_started = false;
        m_keeps_nodes = !lead_in; // that loop is never the last
    }

    /// From the last reversal of that loop on: the next begins where it ends, and is to end there, too.
    void allow_errors_late() {
        constexpr double larger = 1e2;
        m_integrator.allow(larger, a_stable, first_step);
        m_started = false;
    }

    double work_of_atmosphere() const { return m_dynamics.damper().work_of_atmosphere(m_input.stroke()); }

    /// Where little is lost in many steps, little may be left open by each, if all is to close to a millionth
    /// of it. Slow and smooth, all err the same way: by some four times what is allowed to one of sixteen
    /// unknowns or so; the steps are those of the loop before, which are fewer where it errs more. A valve
    /// that chatters takes many, whose errors are of either sign.
    void allow_energies(double lost) {
        constexpr double same_way = 1000.0; // so many steps
        constexpr double whole = 40.0;      // steps, each with its share of the losses
        const auto steps = static_cast<double>(std::max(m_steps, 1L));
        const double count = std::min(steps, std::sqrt(same_way * steps));
        constexpr double most = 10.0;
        constexpr double rounding = 1e-13; // of what 1 atm does
        constexpr double digits = 2e-15;   // of what the largest pressure does; sums have no more
        const double share = std::min(whole / count, most);
        const double of_atmosphere = work_of_atmosphere();
        double largest = 0.0;
        for (const Moment& moment : m_series)
            largest = std::max(largest, moment.p_C / p_atm);
        m_integrator.allow_sums(
            std::max(m_options.energy_error * std::min(share * std::max(lost, least_loss), of_atmosphere),
                     std::max(rounding, digits * largest) * of_atmosphere));
    }

    bool is_done(Cycle& loop, bool lead_in) {
        if (!m_input.periodic()) return true;
        const double open_before = std::exchange(m_open, open());
        loop.periodic = !(lead_in && loop.loops == 1) && is_periodic(open_before, m_open);
        m_loop_before = m_series;
        // Valves that ring all the time may err the same way in 100,000 steps.
        constexpr double nearly = 0.3;
        constexpr double smaller = 0.25;
        constexpr double least = 0.05; // what rounds off does not go with errors
        const double within = 1e3 * m_options.energy_error;
        if (m_keeps_nodes && loop.balance.energy > nearly * within)
            m_closer = std::max(smaller * m_closer, least);
        return (loop.periodic && loop.balance.energy <= within && loop.loops >= m_options.least_loops) ||
               loop.loops >= m_options.most_loops;
    }

    /// Whether the next loop would be as this one: it differs from the one before by no more than is allowed.
    /// Where what is left of the start dies away fast, that it ends in the state in which it began is enough;
    /// else a void that closes late makes a hundred times as much of a small difference there.
    bool is_periodic(double open_before, double open) const {
        constexpr double fast = 0.05;    // of what the loop before left open
        constexpr double closely = 0.02; // of what is allowed, whatever was before
        const double within = m_options.periodic_within;
        if (open > within) return false;
        return open <= fast * open_before || open <= closely * within || differs_by() <= within;
    }

    /// How far the loop ends from the state in which it began: pressures, oil in the chambers, lifts, of
    /// their range.
    double open() const {
        const Moment& begin = m_series.front();
        const Moment& end = m_series.back();
        double open = 0.0;
        const auto add = [&](double difference, double of) {
            if (difference != 0.0) open = std::max(open, std::abs(difference) / of);
        };
        for (double Moment::*member : {&Moment::p_C, &Moment::p_R, &Moment::p_S})
            add(end.*member - begin.*member, range(m_series, member));
        const double swept = m_model.piston_area() * m_input.stroke();
        for (std::size_t i = 0; i < 3; ++i)
            add(m_y[i] - m_begin[i], swept);
        for (std::size_t place = 0; place < begin.valves.size(); ++place) {
            double largest = 0.0;
            for (const Moment& moment : m_series)
                largest = std::max(largest, moment.valves[place].lift);
            add(end.valves[place].lift - begin.valves[place].lift, largest);
        }
        return open;
    }

    /// How far force and pressures of this loop are from those of the one before, of their range.
    double differs_by() const {
        if (m_loop_before.size() != m_series.size()) return infinity;
        double most = 0.0;
        for (double Moment::*member : {&Moment::force, &Moment::p_C, &Moment::p_R, &Moment::p_S}) {
            double apart = 0.0;
            for (std::size_t i = 0; i < m_series.size(); ++i)
                apart = std::max(apart, std::abs(m_series[i].*member - m_loop_before[i].*member));
            if (apart != 0.0) most = std::max(most, apart / range(m_series, member));
        }
        return most;
    }

    void run_loop(Cycle& result) {
        m_nodes.clear();
        m_states.clear();
        m_rates.clear();
        m_series.clear();
        m_steps = 0;
        const std::size_t first = m_next_piece;
        const double begin = m_input.piece(first).begin;
        m_dynamics.set(first, m_dynamics.modes());
        m_begin = m_y;
        const std::vector<double>& y0 = m_begin;
        const detail::MovingDamper::Stored stored = m_dynamics.stored(begin, y0);
        const Energies energies = m_dynamics.energies_of(y0);
        const double impacts = m_dynamics.damper().impact_energy();
        m_loop_begin = begin;
        for (std::size_t k = 0; k < m_input.pieces_in_loop(); ++k) {
            if (!m_keeps_nodes && k + 1 == m_input.pieces_in_loop()) allow_errors_late();
            run_piece(first + k);
        }
        m_loop_begin.reset();

        const double end = m_input.piece(m_next_piece - 1).end;
        result.energy = difference(m_dynamics.energies_of(m_y), energies);
        const detail::MovingDamper::Stored left = m_dynamics.stored(end, m_y);
        if (left.reservoir) result.energy.reservoir = *left.reservoir - *stored.reservoir;
        result.plates_stored = left.plates - stored.plates;
        result.impacts = m_dynamics.damper().impact_energy() - impacts;
        const double heat = lost_across(result.energy);
        const double open = std::abs(result.energy.rod - (left.oil - stored.oil) - result.energy.reservoir -
                                     result.energy.friction - heat) +
                            std::abs(result.energy.plates - result.plates_stored - result.impacts);
        const double lost = heat + result.energy.friction;
        result.balance.energy = open / std::max(lost, least_loss);
        allow_energies(lost);
        result.balance.mass =
            std::abs((m_y[0] + m_y[1] + m_y[2]) - (y0[0] + y0[1] + y0[2])) / m_dynamics.oil(m_y, end);
        result.work = result.energy.rod + result.energy.cups - work_outside(begin, end);
        const double middle = 0.5 * (m_input.least_travel() + m_input.greatest_travel());
        const damper::ByChamber space = m_model.network().volumes(middle);
        result.oil_mass = m_model.oil().density * (space.C + space.R);
    }

    /// ∫ A_r p_ext dx of what the rod leaves into; nothing over a closed loop.
    double work_outside(double begin, double end) const {
        const double from = m_input.at(m_next_piece - m_input.pieces_in_loop(), begin).travel;
        const double to = m_input.at(m_next_piece - 1, end).travel;
        const auto work = [&](double travel) { return m_model.external_work(travel, m_options.rod_into); };
        return m_model.rod_area() * (work(to) - work(from));
    }

    void run_piece(std::size_t number) {
        const Input::Piece piece = m_input.piece(number);
        m_dynamics.set(number, m_dynamics.modes());
        m_next_piece = number + 1;
        const bool goes_on = m_started && m_input.wave() == Wave::sine;
        if (!goes_on) {
            m_dynamics.switch_modes(piece.begin, m_y, {});
            start(piece.begin);
        }
        m_time = piece.begin;
        add_node();
        sample_start();
        while (m_time < piece.end)
            step(piece.end);
    }

    void start(double time) {
        m_integrator.start(time, m_y,
                           m_input.longest_step(m_next_piece - 1)); // lest an event be stepped over
        m_started = true;
    }

    void step(double end) {
        if (m_options.stop.stop_requested()) throw Stopped("stopped");
        if (++m_steps > m_options.most_steps) give_up("the limit on steps is reached");
        try {
            const StepEnd how = m_integrator.step(end, m_time, m_y);
            add_node(); // first: the state is the one last asked for
            sample_up_to(m_time);
            const bool switched = m_dynamics.switch_modes(
                m_time, m_y, how == StepEnd::root ? m_integrator.signs() : std::span<const int>{});
            // A root that changes nothing is left behind by beginning anew, too: it would be found again.
            if (switched || how == StepEnd::root) {
                add_node();
                if (m_time < end)
                    start(m_time);
                else
                    m_started = false;
            }
        } catch (const SolveError& error) {
            give_up(error.what());
        }
        if (m_options.progress && m_steps % 256 == 0) m_options.progress(m_time);
    }

    [[noreturn]] void give_up(const std::string& reason) const {
        const RodMotion rod = m_input.at(m_next_piece - 1, m_time);
        const auto& switches = m_dynamics.damper().switches();
        const auto busiest = std::max_element(switches.begin(), switches.end());
        const std::string valve(
            damper::name(damper::all_places[static_cast<std::size_t>(busiest - switches.begin())]));
        throw SolveError(
            fmt::format("at {:.6g} ms, {:.4g} mm travel and {:.3g} m/s: {}.{} Try less speed or stroke{}",
                        m_time * 1e3, rod.travel * 1e3, rod.speed, reason,
                        *busiest > 0 ? fmt::format(" {} has opened and shut most often, {} time{}.", valve,
                                                   *busiest, *busiest == 1 ? "" : "s")
                                     : "",
                        m_dynamics.damper().has_moving_valves() ? ", or quasi-static valves" : ""));
    }

    void add_node() {
        if (!m_keeps_nodes) return;
        m_states.insert(m_states.end(), m_y.begin(), m_y.end());
        m_rates.resize(m_states.size());
        m_dynamics.rates(m_time, m_y, std::span(m_rates).last(m_y.size()));
        m_nodes.push_back({m_next_piece - 1, m_dynamics.modes(), m_dynamics.moment(m_time, m_y)});
    }
    std::span<const double> of_node(const std::vector<double>& all, std::size_t node) const {
        return std::span(all).subspan(node * m_y.size(), m_y.size());
    }

    double sample_time(std::size_t number) const {
        return *m_loop_begin + m_input.loop_duration() * static_cast<double>(number) / m_options.samples;
    }

    void sample_start() {
        if (m_loop_begin && m_series.empty()) m_series.push_back(m_dynamics.moment(m_time, m_y));
    }

    /// Adds what lies within the last step to the series.
    void sample_up_to(double time) {
        if (!m_loop_begin) return;
        const auto last = static_cast<std::size_t>(m_options.samples);
        std::vector<double>& y = m_between;
        y.resize(m_y.size());
        while (m_series.size() <= last) {
            double next = sample_time(m_series.size());
            if (next > time) {
                if (m_series.size() < last || time < next - 1e-9 * m_input.loop_duration()) return;
                next = time; // the end, to rounding
            }
            m_integrator.interpolate(next, 0, y);
            m_series.push_back(m_dynamics.moment(next, y));
        }
    }

    /// Every node of the last loop, and moments between, by cubics through states and rates; where a valve is
    /// highest, too.
    std::vector<Moment> dense_moments() {
        const std::vector<std::size_t> lifts = m_dynamics.damper().lifts();
        constexpr double per_loop = 1000.0;
        const double spacing = m_input.loop_duration() / per_loop;
        const Modes at_end = m_dynamics.modes();
        std::vector<Moment> moments;
        std::vector<double> y(m_y.size());
        for (std::size_t i = 0; i + 1 < m_nodes.size(); ++i) {
            const Node& from = m_nodes[i];
            const Node& to = m_nodes[i + 1];
            const double begin = from.moment.time;
            const double width = to.moment.time - begin;
            if (!(width > 0.0)) continue;
            if (moments.empty() || m_nodes[i - 1].moment.time == begin) moments.push_back(from.moment);
            m_dynamics.set(from.piece, from.modes);
            const std::span<const double> before = of_node(m_states, i);
            const std::span<const double> after = of_node(m_states, i + 1);
            const std::span<const double> left = of_node(m_rates, i);
            const std::span<const double> right = of_node(m_rates, i + 1);
            const int parts = std::clamp(static_cast<int>(std::ceil(width / spacing)), 1, 100);
            std::vector<double> shares;
            for (int k = 1; k < parts; ++k)
                shares.push_back(static_cast<double>(k) / parts);
            for (const std::size_t lift : lifts)
                if (const std::optional<double> top =
                        crest(width, {before[lift], left[lift]}, {after[lift], right[lift]}))
                    shares.push_back(*top);
            std::sort(shares.begin(), shares.end());
            for (const double share : shares) {
                for (std::size_t j = 0; j < y.size(); ++j)
                    y[j] = hermite(width, share, {before[j], left[j]}, {after[j], right[j]}).value;
                if (const std::optional<Moment> there = moment_between(begin + share * width, y))
                    moments.push_back(*there);
            }
            moments.push_back(to.moment);
        }
        for (const double sign : {1.0, -1.0})
            add_tip(moments, sign);
        m_dynamics.set(m_next_piece - 1, at_end);
        return moments;
    }

    /// None where cubics leave what can be, as a reservoir that is all but full: no step has.
    std::optional<Moment> moment_between(double time, const std::vector<double>& y) {
        try {
            return m_dynamics.moment(time, y);
        } catch (const SolveError&) {
            return std::nullopt;
        }
    }

    /// Where the force is largest, times `sign`: at the vertex of the parabola through the three moments
    /// there.
    void add_tip(std::vector<Moment>& moments, double sign) {
        if (moments.size() < 3) return;
        const auto tip =
            std::max_element(moments.begin() + 1, moments.end() - 1, [&](const Moment& a, const Moment& b) {
                return sign * a.force < sign * b.force;
            });
        const double before = tip->time - (tip - 1)->time;
        const double after = (tip + 1)->time - tip->time;
        if (!(before > 0.0 && after > 0.0)) return; // a jump
        const double rise = (tip->force - (tip - 1)->force) / before;
        const double then = ((tip + 1)->force - tip->force) / after;
        if (!(sign * rise > 0.0 && sign * then < 0.0)) return;
        const double bend = (then - rise) / (before + after);
        const double time = tip->time - 0.5 * (rise + bend * before) / bend;
        for (std::size_t i = 0; i + 1 < m_nodes.size(); ++i) {
            const double begin = m_nodes[i].moment.time;
            const double width = m_nodes[i + 1].moment.time - begin;
            if (!(time > begin && time < begin + width)) continue;
            std::vector<double> y(m_y.size());
            for (std::size_t j = 0; j < y.size(); ++j)
                y[j] =
                    hermite(width, (time - begin) / width, {of_node(m_states, i)[j], of_node(m_rates, i)[j]},
                            {of_node(m_states, i + 1)[j], of_node(m_rates, i + 1)[j]})
                        .value;
            m_dynamics.set(m_nodes[i].piece, m_nodes[i].modes);
            if (const std::optional<Moment> there = moment_between(time, y))
                moments.insert(time < tip->time ? tip : tip + 1, *there);
            return;
        }
    }

    const damper::Model& m_model;
    const Input& m_input;
    const CycleOptions& m_options;
    Dynamics m_dynamics;
    Integrator m_integrator;
    std::vector<double> m_y;
    std::vector<double> m_between;
    double m_time = 0.0;
    bool m_started = false;
    std::size_t m_next_piece = 0;
    std::optional<double> m_loop_begin; // while a loop is run
    long m_steps = 0;                   // of the loop
    std::vector<double> m_begin;        // of the loop
    bool m_keeps_nodes = true;
    std::vector<Node> m_nodes;    // of the loop
    std::vector<double> m_states; // at the nodes, one after the other
    std::vector<double> m_rates;  // likewise
    std::vector<Moment> m_series; // of the loop
    std::vector<Moment> m_loop_before;
    double m_closer = 1.0; // of the errors allowed, where energy has not closed
    double m_open = 0.0;   // how far it ends from the state in which it began
};

} // namespace

Findings check(const CycleOptions& options) {
    Findings findings = detail::check_run(options, 1);
    require(findings, "periodic_within", options.periodic_within, above_zero_to(1.0, ""));
    require_count(findings, "least_loops", options.least_loops, 1, 1'000'000);
    require_count(findings, "most_loops", options.most_loops, 1, 1'000'000);
    return findings;
}

Cycle run_cycle(const damper::Model& model, const MovingValves& valves, const Input& input,
                const CycleOptions& options) {
    refuse_errors<InputError>(check(options), "options: ");
    const double travel = model.setup().cartridge.travel;
    if (input.least_travel() < 0.0 || input.greatest_travel() > travel)
        throw InputError(fmt::format("a motion from {:.4g} to {:.4g} mm leaves the damper's travel, 0 to "
                                     "{:.4g} mm: ask for less stroke or another middle",
                                     input.least_travel() * 1e3, input.greatest_travel() * 1e3,
                                     travel * 1e3));
    return Runner(model, valves, input, options).run();
}

} // namespace valve::motion
