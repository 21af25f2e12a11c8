#include <notes/variants.hpp>
#include <valve/stack/solution.hpp>

#include <fmt/format.h>

#include <algorithm>
#include <numbers>

namespace valve::validation::notes {
namespace {

/// Area of the ring under the face shim [m²].
double ring_area(const stack::Stack& stack) {
    const double inner = stack.zone.inner_radius;
    const double outer = stack.zone.outer_radius;
    return std::numbers::pi * (outer * outer - inner * inner);
}

/// The fork with no recess: the pressure works over the ports alone.
damper::SetUp without_recess(damper::SetUp fork) {
    for (const damper::Place place : damper::all_places) {
        flow::Valve& valve = fork.valves[place].value();
        valve.stack.coverage =
            std::min(1.0, valve.ports.count * valve.ports.area_each / ring_area(valve.stack));
    }
    return fork;
}

} // namespace

Note coverage_note(Demo& demo, Recorder& recorder) {
    Note note{"6. A recess that joins the ports (as found: coverage 1), or ports alone under the face shim"};
    const std::vector<double> found = tabulate_found(demo, note);
    const damper::SetUp ports_alone = without_recess(demo.fork());
    const std::vector<double> forces = demo.damping_forces(ports_alone, speeds);
    double largest = 0.0;
    std::string line = fmt::format("  {:<36}", "ports alone");
    for (std::size_t k = 0; k < speeds.size(); ++k)
        line += percent(forces[k], found[k], largest);
    note.lines.push_back(line);
    note.verdict = verdict(largest >= demo.half_a_step(),
                           fmt::format("ports alone change the damping force by up to {:.0f} %; say with "
                                       "coverage which it is",
                                       100.0 * largest));
    for (const damper::Place place : damper::all_places) {
        const auto whole = demo.solution(demo.fork().valves[place].value().stack);
        const auto part = demo.solution(ports_alone.valves[place].value().stack);
        recorder.add({std::string(damper::name(place)) + ", ports alone: load area",
                      {"", "that of the ring by the share of the ports"},
                      Kind::computed_reference,
                      whole->curve().load_area * ports_alone.valves[place].value().stack.coverage,
                      part->curve().load_area,
                      relative(1e-12, "rounding"),
                      "m2"});
    }
    return note;
}

} // namespace valve::validation::notes
