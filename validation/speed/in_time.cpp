#include <motion/monotube.hpp>
#include <motion/quarter_car.hpp>
#include <motion/two_discs.hpp>
#include <speed/clock.hpp>
#include <speed/rows.hpp>
#include <valve/motion/cycle.hpp>
#include <valve/motion/detail/dynamics.hpp>

#include <fmt/format.h>
#include <nlohmann/json.hpp>

#include <algorithm>
#include <cmath>
#include <fstream>
#include <functional>
#include <limits>
#include <optional>
#include <span>
#include <string>
#include <vector>

namespace valve::validation::speed {
namespace {

using nlohmann::json;

constexpr const char* output = VALVE_SPEED_FOLDER "/in_time.json";
constexpr int samples = 80;

/// At one accuracy: values at the samples, evaluations of the right-hand side.
struct Run {
    std::vector<double> values;
    long rates = 0;
};

/// What an accuracy costs.
struct Cost {
    std::string by;
    double error = 0.0; ///< of the samples, by the largest
    double rates = 0.0;
    double time = 0.0;      ///< [s]
    double calls = 0.0;     ///< of the right-hand side, those for Jacobians by differences included
    double tolerance = 0.0; ///< asked for; of ours
};

motion::CycleOptions two_cycles(double tolerance) {
    motion::CycleOptions options;
    options.samples = samples;
    options.least_loops = options.most_loops = 2;
    options.relative_error = tolerance;
    options.pressure_error = 1e5 * tolerance;
    options.energy_error = 10.0 * tolerance;
    options.lead_in = false;
    return options;
}

Run forces_of(const motion::Cycle& solved) {
    Run run;
    for (const motion::Moment& moment : solved.series)
        run.values.push_back(moment.force);
    run.rates = solved.rates;
    return run;
}

Run cycle(double tolerance) {
    return forces_of(run_cycle(monotube(), {}, motion::Input::sine(0.05, 0.05, 2.0), two_cycles(tolerance)));
}

/// The discs whose equations SciPy solves as they are.
const TwoDiscs& moving_discs() {
    static const TwoDiscs damper = two_discs(12e-3);
    return damper;
}

Run discs(double tolerance) {
    const TwoDiscs& damper = moving_discs();
    return forces_of(run_cycle(damper.model, damper.valves, two_discs_input(), two_cycles(tolerance)));
}

/// What the discs' cycles are made of.
struct Parts {
    double cycles = 0.0;      ///< all of it [s]
    double integration = 0.0; ///< alone, without moments between its steps [s]
    double rate = 0.0;        ///< one evaluation of the right-hand side [s]
    long rates = 0;
};

/// By the integrator alone, as cycles use it; then the right-hand side at the states that it went through.
Parts parts_of_discs(double tolerance) {
    const TwoDiscs& damper = moving_discs();
    const motion::Input input = two_discs_input();
    const motion::CycleOptions options = two_cycles(tolerance);
    struct Passed {
        std::size_t piece;
        double time;
        std::vector<double> state;
        motion::Modes modes;
    };
    std::vector<Passed> passed;
    motion::detail::Dynamics dynamics(damper.model, damper.valves, input, options.rod_into);
    constexpr int highest_order = 5; // this and the next as run_cycle() has them
    constexpr double solved_within = 0.1;
    const auto integrate = [&](bool keeps) {
        std::vector<double> y = dynamics.at_rest();
        dynamics.set(0, {});
        motion::detail::Integrator integrator(dynamics, dynamics.tolerances(options), tolerance,
                                              highest_order, solved_within);
        double time = 0.0;
        integrator.start(time, y, input.longest_step(0));
        const std::size_t pieces = 2 * input.pieces_in_loop();
        for (std::size_t piece = 0; piece < pieces; ++piece) {
            const double end = input.piece(piece).end;
            dynamics.set(piece, dynamics.modes());
            while (time < end) {
                if (keeps) passed.push_back({piece, time, y, dynamics.modes()});
                const motion::detail::StepEnd how = integrator.step(end, time, y);
                const bool root = how == motion::detail::StepEnd::root;
                const bool switched =
                    dynamics.switch_modes(time, y, root ? integrator.signs() : std::span<const int>{});
                if (switched || root) integrator.start(time, y, input.longest_step(0));
            }
        }
        return integrator.effort().rates;
    };
    Parts parts;
    parts.rates = integrate(true);

    constexpr int rounds = 10;
    std::vector<double> rates(dynamics.size());
    const auto evaluate = [&] {
        for (int round = 0; round < rounds; ++round)
            for (const Passed& at : passed) {
                dynamics.set(at.piece, at.modes);
                dynamics.rates(at.time, at.state, rates);
            }
    };
    const std::vector<double> times =
        medians({[&] { discs(tolerance); }, [&] { integrate(false); }, evaluate}, 15);
    parts.cycles = times[0];
    parts.integration = times[1];
    parts.rate = times[2] / static_cast<double>(rounds * passed.size());
    return parts;
}

Run ride(double tolerance) {
    motion::Event event;
    event.kind = motion::EventKind::bump;
    event.height = 5e-3;
    event.length = 0.5;
    event.speed = 10.0;
    event.at = 1.0;
    event.duration = 1.0;
    const motion::Ride solved =
        validation::ride({300.0, 60.0, 16000.0, 1000.0, 190000.0}, event, samples, tolerance);
    Run run;
    for (const motion::RideMoment& moment : solved.series)
        run.values.push_back(moment.travel - solved.series.front().travel);
    run.rates = solved.rates;
    return run;
}

double distance(const std::vector<double>& values, const std::vector<double>& exact) {
    double worst = 0.0;
    double largest = 0.0;
    for (std::size_t i = 0; i < exact.size(); ++i) {
        worst = std::max(worst, std::abs(values[i] - exact[i]));
        largest = std::max(largest, std::abs(exact[i]));
    }
    return worst / largest;
}

std::vector<Cost> ours(const std::function<Run(double)>& at) {
    const std::vector<double> exact = at(1e-11).values;
    std::vector<Cost> costs;
    for (int k = 6; k <= 20; ++k) {
        const double tolerance = std::pow(10.0, -0.5 * k);
        Run run;
        std::vector<double> times;
        for (int i = 0; i < 5; ++i)
            times.push_back(time_of([&] { run = at(tolerance); }));
        const auto rates = static_cast<double>(run.rates);
        costs.push_back({"ours", distance(run.values, exact), rates, median(times), rates, tolerance});
    }
    return costs;
}

/// The fewest evaluations that reach an error, and the least time, whichever accuracy or method has them.
std::optional<Cost> best(const std::vector<Cost>& costs, double error) {
    std::optional<Cost> found;
    for (const Cost& cost : costs) {
        if (cost.error > error) continue;
        if (!found) found = cost;
        if (cost.rates < found->rates) {
            found->rates = cost.rates;
            found->by = cost.by;
        }
        found->calls = std::min(found->calls, cost.calls);
        found->time = std::min(found->time, cost.time);
    }
    return found;
}

/// The costs of ours.
std::vector<Cost> compare(Section& section, const std::string& name, const std::function<Run(double)>& at,
                          const json& theirs) {
    std::vector<Cost> costs;
    for (const json& run : theirs.at("runs"))
        costs.push_back({run.at("method"), run.at("error"), run.at("rates"), run.at("time"),
                         run.contains("calls") ? run.at("calls") : run.at("rates"), 0.0});
    const std::vector<Cost> own = ours(at);
    for (const double error : {1e-3, 1e-4, 1e-5}) {
        const std::optional<Cost> us = best(own, error);
        const std::optional<Cost> they = best(costs, error);
        if (!us || !they) {
            section.notes.push_back(
                fmt::format("{}, error {:g}: not reached by {}.", name, error, us ? "SciPy" : "ours"));
            continue;
        }
        section.rows.push_back({fmt::format("{}, error {:g}: right-hand sides by SciPy's", name, error),
                                us->rates / they->rates, Row::Goal::at_most, 1.5});
        section.rows.push_back({fmt::format("{}, error {:g}: times faster", name, error),
                                they->time / us->time, Row::Goal::more_than, 100.0});
        const std::string all =
            they->calls > they->rates
                ? fmt::format(" (Jacobians by differences counted, any method: {:.0f} at least)", they->calls)
                : "";
        section.notes.push_back(fmt::format("{}, error {:g}: {} {:.0f} right-hand sides{}, {:.2g} ms; ours "
                                            "{:.0f}, {:.2g} ms.",
                                            name, error, they->by, they->rates, all, they->time * 1e3,
                                            us->rates, us->time * 1e3));
    }
    section.rows.push_back({fmt::format("{}: at the highest accuracy both differ by", name),
                            distance(at(1e-11).values, theirs.at("values").get<std::vector<double>>()),
                            Row::Goal::at_most, 1e-3});
    return own;
}

/// How much of the discs' time is not spent on the right-hand side.
void tell_parts(Section& section, const std::string& name, const std::vector<Cost>& own) {
    constexpr double error = 1e-4;
    const Cost* cost = nullptr;
    for (const Cost& one : own)
        if (one.error <= error && (cost == nullptr || one.rates < cost->rates)) cost = &one;
    if (cost == nullptr) return;
    const Parts parts = parts_of_discs(cost->tolerance);
    const double on_rates = parts.rate * static_cast<double>(parts.rates);
    section.rows.push_back({fmt::format("{}, error {:g}: share outside right-hand sides", name, error),
                            1.0 - on_rates / parts.cycles, Row::Goal::at_most, 0.5});
    section.notes.push_back(fmt::format("{}, error {:g}: ours takes {:.3g} ms, steps alone {:.3g} ms; "
                                        "{} right-hand sides of {:.3g} us each.",
                                        name, error, parts.cycles * 1e3, parts.integration * 1e3, parts.rates,
                                        parts.rate * 1e6));
}

} // namespace

Section against_integrators() {
    Section section{"In time, beside the best of LSODA, BDF and Radau of SciPy at equal error"};
    time_of_command(fmt::format("OMP_NUM_THREADS=1 OPENBLAS_NUM_THREADS=1 {} {} {}", VALVE_PYTHON,
                                VALVE_SPEED_IN_TIME, output));
    std::ifstream file(output);
    const json solved = json::parse(file);
    compare(section, "monotube, two cycles", cycle, solved.at("cycle"));
    const std::string moving = "two discs";
    tell_parts(section, moving, compare(section, moving, discs, solved.at("discs")));
    compare(section, "quarter car over a half-sine", ride, solved.at("ride"));
    section.notes.push_back(
        "Error: at 80 samples, by the largest value, beside a run of each at its highest accuracy.");
    section.notes.push_back("The discs are the same equations on both sides, begun anew at every event; the "
                            "other two are textbook equations.");
    section.notes.push_back("Ours has eleven energies, watched functions and metrics beside what SciPy "
                            "solves, and, but for the discs,");
    section.notes.push_back("the model's start in its time; the right-hand sides of SciPy's are in Python.");
    return section;
}

} // namespace valve::validation::speed
