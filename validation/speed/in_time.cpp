#include <motion/monotube.hpp>
#include <motion/quarter_car.hpp>
#include <speed/clock.hpp>
#include <speed/rows.hpp>
#include <valve/motion/cycle.hpp>

#include <fmt/format.h>
#include <nlohmann/json.hpp>

#include <algorithm>
#include <cmath>
#include <fstream>
#include <functional>
#include <limits>
#include <optional>
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
    double time = 0.0; ///< [s]
};

Run cycle(double tolerance) {
    const damper::Model model = monotube();
    motion::CycleOptions options;
    options.samples = samples;
    options.least_loops = options.most_loops = 2;
    options.relative_error = tolerance;
    options.pressure_error = 1e5 * tolerance;
    options.energy_error = 10.0 * tolerance;
    options.lead_in = false;
    const motion::Cycle solved = run_cycle(model, {}, motion::Input::sine(0.05, 0.05, 2.0), options);
    Run run;
    for (const motion::Moment& moment : solved.series)
        run.values.push_back(moment.force);
    run.rates = solved.rates;
    return run;
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
        costs.push_back({"ours", distance(run.values, exact), static_cast<double>(run.rates), median(times)});
    }
    return costs;
}

/// The fewest evaluations that reach an error, and the least time.
std::optional<Cost> best(const std::vector<Cost>& costs, double error) {
    std::optional<Cost> found;
    for (const Cost& cost : costs) {
        if (cost.error > error) continue;
        if (!found) found = cost;
        if (cost.rates < found->rates) {
            found->rates = cost.rates;
            found->by = cost.by;
        }
        found->time = std::min(found->time, cost.time);
    }
    return found;
}

void compare(Section& section, const std::string& name, const std::function<Run(double)>& at,
             const json& theirs) {
    std::vector<Cost> costs;
    for (const json& run : theirs.at("runs"))
        costs.push_back({run.at("method"), run.at("error"), run.at("rates"), run.at("time")});
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
        section.notes.push_back(fmt::format("{}, error {:g}: {} {:.0f} right-hand sides, {:.2g} ms; ours "
                                            "{:.0f}, {:.2g} ms.",
                                            name, error, they->by, they->rates, they->time * 1e3, us->rates,
                                            us->time * 1e3));
    }
    section.rows.push_back({fmt::format("{}: at the highest accuracy both differ by", name),
                            distance(at(1e-11).values, theirs.at("values").get<std::vector<double>>()),
                            Row::Goal::at_most, 1e-3});
}

} // namespace

Section against_integrators() {
    Section section{"In time, beside the best of LSODA, BDF and Radau of SciPy at equal error"};
    time_of_command(fmt::format("OMP_NUM_THREADS=1 OPENBLAS_NUM_THREADS=1 {} {} {}", VALVE_PYTHON,
                                VALVE_SPEED_IN_TIME, output));
    std::ifstream file(output);
    const json solved = json::parse(file);
    compare(section, "monotube, two cycles", cycle, solved.at("cycle"));
    compare(section, "quarter car over a half-sine", ride, solved.at("ride"));
    section.notes.push_back(
        "Error: at 80 samples, by the largest value, beside a run of each at its highest accuracy. Ours has "
        "a "
        "chamber more, eleven energies, watched functions and metrics beside the equations that SciPy "
        "solves, and "
        "the model's start is in its time; the right-hand sides of SciPy's are in Python.");
    return section;
}

} // namespace valve::validation::speed
