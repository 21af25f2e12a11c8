#include <valve/core/detail/infinity.hpp>
#include <valve/core/detail/parallel.hpp>
#include <valve/damper/steady.hpp>
#include <valve/flow/opening.hpp>
#include <valve/motion/swings.hpp>
#include <valve/motion/valve_profiles.hpp>
#include <valve/study/cycle.hpp>
#include <valve/study/dead_travel.hpp>

#include <algorithm>
#include <cmath>
#include <limits>
#include <memory>
#include <stdexcept>
#include <utility>

namespace valve::study {

namespace {

using motion::Moment;

/// The fastest each way.
struct Strokes {
    std::optional<HalfStroke> compression;
    std::optional<HalfStroke> rebound;
};

/// The moments of a loop, again and again where the input is periodic.
class Loop {
public:
    Loop(const std::vector<Moment>& moments, bool periodic)
        : m_moments(moments), m_last(moments.size() - 1), m_periodic(periodic) {}

    /// Number `i` counted from the beginning, into the loop before (negative) and the next; none outside.
    const Moment* at(long i) const {
        const long size = static_cast<long>(m_last);
        if (!m_periodic) return i < 0 || i > size ? nullptr : &m_moments[static_cast<std::size_t>(i)];
        if (i < -size || i > 2 * size) return nullptr;
        return &m_moments[static_cast<std::size_t>((i % size + size) % size)];
    }

    double time(long i) const {
        const long size = static_cast<long>(m_last);
        const long turn = i >= 0 ? i / size : -((-i + size - 1) / size);
        const double duration = m_moments.back().time - m_moments.front().time;
        return m_moments[static_cast<std::size_t>(i - turn * size)].time +
               static_cast<double>(turn) * duration;
    }

private:
    const std::vector<Moment>& m_moments;
    std::size_t m_last;
    bool m_periodic;
};

constexpr double shut_below = 1e-12; // [m]

/// When a valve shuts after the reversal that ends its stroke, and what runs back meanwhile.
void add_shutting(ValveInCycle& valve, double restitution, const std::vector<Moment>& moments,
                  const Strokes& strokes, bool periodic) {
    const bool inwards = damper::stroke_of(valve.place) == damper::Stroke::compression;
    const std::optional<HalfStroke>& half = inwards ? strokes.compression : strokes.rebound;
    if (!half) return;
    const auto place = static_cast<std::size_t>(valve.place);
    const Loop loop(moments, periodic);
    const long reversal = static_cast<long>(half->end);
    const double began = loop.time(reversal);
    const auto lift = [&](long i) { return loop.at(i)->valves[place].lift; };
    const auto rebounds = [&](long i) { // from its seat, at the same instant
        long next = i + 1;
        while (loop.at(next) != nullptr && loop.time(next) == loop.time(i))
            ++next;
        return restitution > 0.0 && loop.at(next) != nullptr && lift(next) > shut_below;
    };
    if (lift(reversal) <= shut_below) { // shut before: look back
        valve.run_back = valve.run_back_curtain = 0.0;
        for (long i = reversal; i >= static_cast<long>(half->begin); --i)
            if (lift(i) > shut_below) {
                valve.shut_after = loop.time(i + 1) - began;
                return;
            }
        return;
    }
    double run_back = 0.0;
    double under_shim = 0.0;
    for (long i = reversal; loop.at(i + 1) != nullptr; ++i) {
        const motion::ValveMoment& from = loop.at(i)->valves[place];
        const motion::ValveMoment& to = loop.at(i + 1)->valves[place];
        const double width = loop.time(i + 1) - loop.time(i);
        run_back += 0.5 * width * (std::max(0.0, -from.port_flow) + std::max(0.0, -to.port_flow));
        under_shim += 0.5 * width * (std::max(0.0, -from.curtain_flow) + std::max(0.0, -to.curtain_flow));
        if (to.lift <= shut_below && !rebounds(i + 1)) {
            valve.shut_after = loop.time(i + 1) - began;
            valve.run_back = run_back;
            valve.run_back_curtain = under_shim;
            return;
        }
    }
}

int swings(const std::vector<Moment>& moments, std::size_t place, double largest) {
    motion::SwingCount count(motion::swing_share * largest);
    for (const Moment& moment : moments)
        count.add(moment.valves[place].lift);
    return count.count();
}

/// At the peak speed of a stroke: of a sine in its middle, else where the moments are fastest.
std::optional<double> steady_force(const damper::Model& model, const motion::Input& input,
                                   const std::vector<Moment>& moments, const std::optional<HalfStroke>& half,
                                   double sign, damper::RodInto rod_into) {
    if (!half) return std::nullopt;
    const bool sine = input.wave() == motion::Wave::sine;
    const double speed = sine ? sign * input.peak_speed() : moments[half->peak].speed;
    const double travel =
        sine ? 0.5 * (input.least_travel() + input.greatest_travel()) : moments[half->peak].travel;
    try {
        return damper::steady_point(model, speed, travel, rod_into).force;
    } catch (const SolveError&) {
        return std::nullopt;
    }
}

/// Of its valves, in the order of damper::all_places [m].
std::array<double, 4> largest_lifts(const CycleFigures& figures) {
    std::array<double, 4> lifts{};
    for (const ValveInCycle& valve : figures.valves)
        lifts.at(static_cast<std::size_t>(valve.place)) = valve.largest_lift;
    return lifts;
}

void add_extremes(CycleFigures& figures) {
    figures.peak_force_compression = -infinity;
    figures.peak_force_rebound = infinity;
    const std::vector<Moment>& moments = figures.cycle.moments;
    for (std::size_t i = 0; i < moments.size(); ++i) {
        const Moment& moment = moments[i];
        figures.peak_force_compression = std::max(figures.peak_force_compression, moment.force);
        figures.peak_force_rebound = std::min(figures.peak_force_rebound, moment.force);
        figures.add(moment);
        if (i == 0) continue;
        const double width = moment.time - moments[i - 1].time;
        if (moment.void_C > 0.0) figures.void_time_C += width;
        if (moment.void_R > 0.0) figures.void_time_R += width;
    }
}

} // namespace

bool is_far_above_steady(double size, const std::optional<double>& steady) {
    return steady && size > (1.0 + far_above_steady) * std::abs(*steady);
}

bool CycleFigures::is_far_above_steady() const {
    return study::is_far_above_steady(peak_force_compression, steady_force_compression) ||
           study::is_far_above_steady(-peak_force_rebound, steady_force_rebound);
}

bool CycleFigures::swings_tell() const {
    return is_far_above_steady() && std::any_of(valves.begin(), valves.end(), [](const ValveInCycle& valve) {
               return valve.swings >= ringing_swings;
           });
}

bool CycleStudy::failed() const {
    return std::any_of(cycles.begin(), cycles.end(),
                       [](const CycleFigures& cycle) { return cycle.error.has_value(); });
}

double usual_stroke(const damper::SetUp& setup) {
    return std::min(most_usual_stroke, usual_share_of_travel * setup.cartridge.travel);
}

CycleQuestion usual_cycles(const damper::SetUp& setup, damper::RodInto rod_into) {
    CycleQuestion question;
    for (const double frequency : usual_frequencies)
        question.inputs.push_back(
            motion::Input::sine(0.5 * setup.cartridge.travel, usual_stroke(setup), frequency));
    question.rod_into = rod_into;
    return question;
}

InputError cannot_move(const SolveError& reason) {
    return InputError(std::string("valves cannot move: ") + reason.what() +
                      "; quasi-static ones follow the pressure at once");
}

std::vector<damper::Place> left_round(const damper::SetUp& setup, const std::array<double, 4>& lifts,
                                      damper::LiftCache& cache) {
    std::vector<damper::Place> places;
    for (const damper::Place place : damper::all_places) {
        const std::optional<flow::Valve>& valve = setup.valves[place];
        const flow::ValveLaw::Bent bent = valve ? cache.bent(*valve) : nullptr;
        if (!bent || bent->from_opening()) continue;
        const stack::Solution& solution = bent->solution();
        const std::vector<stack::LiftPoint>& points = solution.curve().points;
        const double lift = lifts.at(static_cast<std::size_t>(place));
        const auto reached =
            std::find_if(points.begin(), points.end(),
                         [lift](const stack::LiftPoint& point) { return point.seat_lift >= lift; });
        const double pressure = reached == points.end() ? points.back().pressure : reached->pressure;
        const std::optional<stack::Waves> waves = solution.waves_up_to(pressure);
        if (waves && solution.law().at(waves->pressure).lift < lift && !bent->from(points.back().pressure))
            places.push_back(place);
    }
    return places;
}

double up_to_stop(const flow::Valve& valve, double lift) {
    const stack::Stack& stack = valve.stack;
    return stack.disc && stack.floating ? std::min(lift, stack.floating->travel) : lift;
}

CycleFigures figures_of(const damper::Model& model, const motion::Input& input, damper::RodInto rod_into,
                        motion::Cycle cycle) {
    CycleFigures figures;
    figures.frequency = input.frequency();
    figures.wave = input.wave();
    figures.stroke = input.stroke();
    figures.peak_speed = input.peak_speed();
    figures.middle = 0.5 * (input.least_travel() + input.greatest_travel());
    figures.cycle = std::move(cycle);
    const std::vector<Moment>& moments = figures.cycle.moments;
    add_extremes(figures);
    const std::vector<motion::RodMoment> rod(moments.begin(), moments.end());
    const Strokes strokes{fastest(rod, 1.0), fastest(rod, -1.0)};
    figures.steady_force_compression =
        steady_force(model, input, moments, strokes.compression, 1.0, rod_into);
    figures.steady_force_rebound = steady_force(model, input, moments, strokes.rebound, -1.0, rod_into);
    const auto dead = [&](const std::optional<HalfStroke>& half, double sign) {
        if (!half) return DeadTravel{};
        const bool constant = input.wave() == motion::Wave::triangle || input.wave() == motion::Wave::ramp;
        if (constant) return DeadTravel{first_dead_travel(model, rod_into, rod, *half, sign), std::nullopt};
        return dead_travel(model, rod_into, rod, *half, sign);
    };
    const DeadTravel in = dead(strokes.compression, 1.0);
    const DeadTravel out = dead(strokes.rebound, -1.0);
    figures.dead_travel_compression = in.for_good;
    figures.dead_travel_rebound = out.for_good;
    figures.but_for_dips_compression = in.but_for_dips;
    figures.but_for_dips_rebound = out.but_for_dips;
    const motion::Energies& energy = figures.cycle.energy;
    for (const damper::Place place : damper::all_places) {
        if (!model.setup().valves[place]) continue;
        const auto index = static_cast<std::size_t>(place);
        ValveInCycle valve;
        valve.place = place;
        for (const Moment& moment : moments)
            valve.largest_lift = std::max(valve.largest_lift, moment.valves[index].lift);
        valve.largest_lift = up_to_stop(*model.setup().valves[place], valve.largest_lift);
        add_shutting(valve, model.setup().valves[place]->restitution, moments, strokes, input.periodic());
        valve.energy = energy.valves[index];
        valve.swings = swings(moments, index, valve.largest_lift);
        figures.lost += valve.energy;
        figures.valves.push_back(valve);
    }
    figures.energy = figures.cycle.work;
    figures.base_bleeds = energy.base_bleeds;
    figures.piston_bleeds = energy.piston_bleeds;
    figures.friction = energy.friction;
    figures.cups = energy.cups;
    figures.lost += figures.base_bleeds + figures.piston_bleeds + figures.friction + figures.cups;
    const double duration = moments.back().time - moments.front().time;
    figures.heating = figures.lost / duration;
    constexpr double minute = 60.0;
    figures.temperature_rise = figures.heating * minute / (figures.cycle.oil_mass * oil_heat_capacity);
    return figures;
}

CycleStudy cycle_study(const damper::SetUp& setup, damper::LiftCache& cache, const CycleQuestion& question) {
    CycleStudy study;
    study.rod_into = question.rod_into;
    const damper::Model model = cache.model(setup);
    study.theory = model.theory();
    study.valves.bends = model.bends();
    motion::MovingValves valves; // none: quasi-static
    if (question.valves != motion::Valves::quasi_static) {
        try {
            valves = motion::moving_valves(model, cache);
            study.valves.kind = motion::Valves::moving;
        } catch (const SolveError& error) {
            if (question.valves) throw cannot_move(error);
            study.valves.because = error.what();
        }
    }

    study.cycles.resize(question.inputs.size());
    std::vector<std::vector<damper::Place>> round(question.inputs.size()); // left so, by cycle
    for_each_index(question.inputs.size(), [&](std::size_t i) {
        const motion::Input& input = question.inputs[i];
        motion::CycleOptions options;
        options.rod_into = question.rod_into;
        options.relative_error *= question.errors_allowed;
        options.pressure_error *= question.errors_allowed;
        options.energy_error *= question.errors_allowed;
        options.periodic_within *= question.errors_allowed;
        options.stop = question.stop;
        if (question.progress) options.progress = [&, i](double time) { question.progress(i, time); };
        try {
            CycleFigures figures =
                figures_of(model, input, question.rod_into, run_cycle(model, valves, input, options));
            round[i] = left_round(setup, largest_lifts(figures), cache);
            study.cycles[i] = std::move(figures);
        } catch (const SolveError& error) {
            CycleFigures& none = study.cycles[i];
            none.frequency = input.frequency();
            none.wave = input.wave();
            none.stroke = input.stroke();
            none.peak_speed = input.peak_speed();
            none.middle = 0.5 * (input.least_travel() + input.greatest_travel());
            none.error = error.what();
        }
    });
    for (const damper::Place place : damper::all_places)
        if (std::any_of(round.begin(), round.end(), [place](const std::vector<damper::Place>& places) {
                return std::find(places.begin(), places.end(), place) != places.end();
            }))
            study.valves.left_round.push_back(place);
    if (question.finds_swings && study.valves.kind == motion::Valves::moving && !study.cycles.empty()) {
        const auto fastest = std::max_element(study.cycles.begin(), study.cycles.end(),
                                              [](const CycleFigures& one, const CycleFigures& other) {
                                                  return one.peak_speed < other.peak_speed;
                                              });
        study.swings = swing_onsets(model, valves, fastest->middle, fastest->peak_speed);
    }
    return study;
}

} // namespace valve::study
