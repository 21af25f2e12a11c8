#include <solid/solve.hpp>
#include <speed/clock.hpp>
#include <speed/rows.hpp>
#include <speed/stacks.hpp>
#include <valve/stack/detail/path.hpp>
#include <valve/stack/solution.hpp>

#include <fmt/format.h>

#include <algorithm>
#include <cmath>
#include <fstream>

namespace valve::validation::speed {
namespace {

constexpr double bar = 1e5; // [Pa]

/// The smallest deck that ccx solves: one element under tension.
constexpr const char* tiny_deck = R"(*NODE
1,1.,0.
2,2.,0.
3,2.,1.
4,1.,1.
5,1.5,0.
6,2.,0.5
7,1.5,1.
8,1.,0.5
*ELEMENT, TYPE=CAX8R, ELSET=ALL
1,1,2,3,4,5,6,7,8
*MATERIAL, NAME=STRIP
*ELASTIC
206000.,0.3
*SOLID SECTION, ELSET=ALL, MATERIAL=STRIP
*BOUNDARY
1,2
5,2
2,2
*STEP
*STATIC
*CLOAD
3,2,1.
*END STEP
)";

/// CPU time of ccx on the tiny deck [s].
double start_up() {
    const std::string folder = VALVE_SPEED_FOLDER;
    std::ofstream(folder + "/tiny.inp") << tiny_deck;
    std::vector<double> times;
    for (int i = 0; i < 5; ++i)
        times.push_back(
            time_of_command(fmt::format("cd '{}' && OMP_NUM_THREADS=1 ccx -i tiny >tiny.log 2>&1", folder)));
    return median(times);
}

/// The states at the pressures of `job` and nothing between them, as ccx solves them.
std::vector<stack::LiftPoint> states_alone(const solid::Job& job, stack::Theory theory) {
    stack::Path path(job.stack, theory, plate::Grading{});
    std::vector<stack::LiftPoint> points;
    for (const double pressure : job.pressures)
        points.push_back(path.point(pressure).value());
    return points;
}

void compare(Section& section, const solid::Job& job, double starting) {
    constexpr int repeats = 15; // of ours, before the solid and again after it
    const stack::FollowOptions options{stack::Theory::large_deflection, job.pressures.back()};
    std::vector<stack::LiftPoint> ours;
    std::vector<double> times;
    std::vector<double> whole_times;
    stack::LiftCurve curve;
    auto measure_ours = [&] {
        for (int i = 0; i < repeats; ++i) {
            times.push_back(time_of([&] { ours = states_alone(job, options.theory); }));
            whole_times.push_back(time_of([&] { curve = stack::Solution(job.stack, options).curve(); }));
        }
    };
    measure_ours();
    const double before = children_time();
    const std::vector<solid::SolidPoint> solids = solid::solve({job}, VALVE_SPEED_FOLDER).at(job.name);
    const double solid_time = children_time() - before - starting;
    measure_ours();

    double worst = 0.0;
    for (std::size_t i = 0; i < ours.size(); ++i)
        worst = std::max(worst, std::abs(ours[i].seat_lift / solids[i].seat_lift - 1.0));
    const double time = median(times);
    const double whole = median(whole_times);
    section.rows.push_back({fmt::format("{}, {} pressures: times faster", job.name, job.pressures.size()),
                            solid_time / time, Row::Goal::more_than, 1000.0});
    section.rows.push_back({fmt::format("{}, a point of each one's curve: times faster", job.name),
                            solid_time / static_cast<double>(job.pressures.size()) /
                                (whole / static_cast<double>(curve.points.size()))});
    section.notes.push_back(fmt::format(
        "{}: ccx {:.2f} s, ours {:.2f} ms; ours with {} points, events and limits of stress {:.1f} ms. Lifts "
        "differ by {:.2g} % at most. Ours: medians of {}, half of them before ccx and half after it; "
        "ccx once, each load applied and held, without which its contacts lie elsewhere.",
        job.name, solid_time, 1e3 * time, curve.points.size(), 1e3 * whole, 100.0 * worst, 2 * repeats));
}

std::vector<double> bars(std::vector<double> pressures) {
    for (double& pressure : pressures)
        pressure *= bar;
    return pressures;
}

} // namespace

Section against_solids() {
    Section section{"Axisymmetric solids with contact in CalculiX, as validation/solid solves them"};
    const double starting = start_up();
    section.notes.push_back(fmt::format("Start-up of ccx, taken off: {:.3f} s.", starting));
    compare(section, {"five-shims", five_shims(), bars({0.05, 0.1, 0.15, 0.16, 0.4, 0.8, 1.2}), {}},
            starting);
    compare(section, {"twelve-shims", twelve_shims(), bars({0.25, 0.5, 1, 2, 4}), {}}, starting);
    return section;
}

} // namespace valve::validation::speed
