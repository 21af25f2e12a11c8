#include <frame/recorder.hpp>
#include <solid/parts.hpp>
#include <solid/solve.hpp>
#include <valve/stack/detail/path.hpp>
#include <valve/stack/solution.hpp>

#include <fmt/format.h>

#include <algorithm>
#include <array>
#include <map>
#include <optional>
#include <stdexcept>
#include <string>
#include <utility>
#include <vector>

namespace valve::validation {
namespace {

using solid::Job;
using solid::SolidPoint;
using stack::Theory;

constexpr double bar = 1e5; // [Pa]
constexpr double mm = 1e-3; // [m]

const Tolerance plates = relative(2e-3, "the solid shears, and its clamp holds the whole face");
const Tolerance stacks = relative(
    7e-3, "the solid shears and tilts by its thickness, and smears a line of contact over an element");

struct Cut {
    double radius_mm;
    double thickness_mm;
};

/// Clamp 6 mm, pressure from 8 mm to a knife-edge seat at 14.5 mm.
stack::Stack clamped(const std::vector<Cut>& cuts, double seat_height_mm = 0.0) {
    stack::Stack stack;
    stack.clamp_radius = stack.bore_radius = 6.0 * mm;
    stack.zone = {8.0 * mm, 14.5 * mm};
    stack.seat = {14.5 * mm, 14.5 * mm, seat_height_mm * mm};
    for (const Cut& cut : cuts)
        stack.shims.push_back({cut.radius_mm * mm, cut.thickness_mm * mm, {}});
    return stack;
}

std::vector<double> bars(std::vector<double> pressures) {
    for (double& pressure : pressures)
        pressure *= bar;
    return pressures;
}

Source source(const Job& job) {
    std::string cuts;
    for (const stack::Shim& shim : job.stack.shims)
        cuts += fmt::format("{}{:.4g}x{:.4g}", cuts.empty() ? "" : ", ", shim.outer_radius / mm,
                            shim.thickness / mm);
    return {
        "dhondt_calculix",
        fmt::format("{}.inp: radii and thicknesses {} mm; CAX8R, one element through the thickness, {:.3g} "
                    "to {:.3g} mm long; NLGEOM, contact surface to surface, {:.0e} MPa/mm, each pressure "
                    "in at least {} increments",
                    job.name, cuts, job.fineness.edge_size / mm, job.fineness.largest_size / mm,
                    1e-9 * job.fineness.penalty, job.fineness.increments + 1)};
}

/// Lift at every pressure at which the seat is open.
void lift_checks(Recorder& recorder, const Job& job, const std::vector<SolidPoint>& points,
                 const Tolerance& tolerance, Theory theory = Theory::large_deflection) {
    const stack::Solution ours(job.stack, {.theory = theory});
    for (const SolidPoint& point : points) {
        if (point.pressure == 0.0 || point.seat_force > 0.0) continue;
        recorder.add({fmt::format("{}, {:.4g} bar, open {:.2g} thicknesses: seat lift", job.name,
                                  point.pressure / bar, point.seat_lift / job.stack.shims.front().thickness),
                      source(job), Kind::computed_reference, point.seat_lift,
                      ours.at(point.pressure).seat_lift, tolerance, "m"});
    }
}

/// Pressure at which a force of contact vanishes, by the parabola p(F) through three points of contact.
double vanishing(const std::array<double, 3>& pressures, const std::array<double, 3>& forces) {
    double pressure = 0.0;
    for (std::size_t i = 0; i < 3; ++i) {
        double weight = 1.0;
        for (std::size_t k = 0; k < 3; ++k)
            if (k != i) weight *= forces[k] / (forces[k] - forces[i]);
        pressure += weight * pressures[i];
    }
    return pressure;
}

/// From the last three pressures at which the seat is closed.
double crack_pressure(const std::vector<SolidPoint>& points) {
    const auto open = std::find_if(points.begin(), points.end(),
                                   [](const SolidPoint& point) { return point.seat_force == 0.0; });
    if (open - points.begin() < 3 || open == points.end())
        throw std::runtime_error("the solid does not open where its crack pressure can be found");
    return vanishing({open[-3].pressure, open[-2].pressure, open[-1].pressure},
                     {open[-3].seat_force, open[-2].seat_force, open[-1].seat_force});
}

/// From the first three pressures at which the shims `pair` touch.
double closing_pressure(const std::vector<SolidPoint>& points, std::pair<int, int> pair) {
    const auto closed = std::find_if(points.begin(), points.end(), [pair](const SolidPoint& point) {
        return point.contact_forces.at(pair) > 0.0;
    });
    if (closed == points.begin() || points.end() - closed < 3)
        throw std::runtime_error("the solid does not close where its closing pressure can be found");
    return vanishing({closed[0].pressure, closed[1].pressure, closed[2].pressure},
                     {closed[0].contact_forces.at(pair), closed[1].contact_forces.at(pair),
                      closed[2].contact_forces.at(pair)});
}

/// The library's pressure of the first event of `kind` between `shims`.
double event_pressure(const Job& job, stack::EventKind kind, const std::vector<int>& shims) {
    const stack::Solution solution(
        job.stack, {Theory::large_deflection, *std::max_element(job.pressures.begin(), job.pressures.end())});
    for (const stack::Event& event : solution.curve().events)
        if (event.kind == kind && event.shims == shims) return event.pressure;
    throw std::runtime_error(fmt::format("{}: the library finds no {} of {} and {}", job.name, name(kind),
                                         shims.front(), shims.back()));
}

/// A seat that stands proud: its force without pressure, and the pressure that opens it.
void seat_checks(Recorder& recorder, const Job& job, const std::vector<SolidPoint>& points) {
    recorder.add({job.name + ", no pressure: seat force", source(job), Kind::computed_reference,
                  points.front().seat_force, stack::Solution(job.stack).at(0.0).seat_force, stacks, "N"});
    recorder.add({job.name + ": crack pressure", source(job), Kind::computed_reference,
                  crack_pressure(points), event_pressure(job, stack::EventKind::crack, {0, 1}), stacks,
                  "Pa"});
}

/// A floated plate dished by its spring, whose seat alone carries it: how far its inner edge hangs below the
/// seat.
void dish_checks(Recorder& recorder, const Job& job, const std::vector<SolidPoint>& points) {
    const stack::Solution ours(job.stack);
    for (const SolidPoint& point : points)
        recorder.add({fmt::format("{}, {:.4g} bar, dished {:.2g} thicknesses: inner edge", job.name,
                                  point.pressure / bar, -point.ring_lift / job.stack.shims.front().thickness),
                      source(job), Kind::computed_reference, point.ring_lift,
                      ours.at(point.pressure).float_lift, stacks, "m"});
}

/// The same stack on a coarse and a fine mesh: how far the solid itself is from its limit.
void fineness_checks(Recorder& recorder, const Job& fine, const std::vector<SolidPoint>& fine_points,
                     const std::vector<SolidPoint>& coarse_points) {
    const Tolerance small = relative(2e-3, "less than a third of what stacks are allowed");
    auto add = [&](const char* what, double finer, double coarser, const char* unit) {
        recorder.add({fmt::format("{}, solid alone: {}", fine.name, what), source(fine),
                      Kind::computed_reference, finer, coarser, small, unit});
    };
    add("seat force without pressure", fine_points.front().seat_force, coarse_points.front().seat_force, "N");
    add("crack pressure", crack_pressure(fine_points), crack_pressure(coarse_points), "Pa");
    add("seat lift at the end", fine_points.back().seat_lift, coarse_points.back().seat_lift, "m");
}

/// The gap of a two-stage stack closes. Solids close a little sooner than plates: by 1.2 % with shims of 0.2
/// mm, by 0.2 to 0.3 % with shims of 0.1 mm, so with the square of the thickness, as tilt and shear would
/// have it, which plates leave out. The limit of no thickness is checked beside the thin stack itself.
void closing_checks(Recorder& recorder, const Job& thin, const std::vector<SolidPoint>& thin_points,
                    const std::vector<SolidPoint>& thick_points) {
    const std::pair<int, int> stages{2, 4};
    const double ours = event_pressure(thin, stack::EventKind::gap_closing, {stages.first, stages.second});
    const double closing = closing_pressure(thin_points, stages);
    recorder.add({thin.name + ": closing pressure", source(thin), Kind::computed_reference, closing, ours,
                  stacks, "Pa"});
    // Twice the thickness deflects by twice as much under 16 times the pressure.
    const double limit = (4.0 * closing - closing_pressure(thick_points, stages) / 16.0) / 3.0;
    recorder.add({thin.name + ", limit of no thickness: closing pressure",
                  {source(thin).key, "extrapolated from shims of 0.2 and 0.1 mm, error ~ thickness²"},
                  Kind::computed_reference,
                  limit,
                  ours,
                  relative(3e-3, "mesh, penalty, and where the force of contact is read as none"),
                  "Pa"});
}

} // namespace

void solid_checks(Recorder& recorder) {
    const Job linear{"linear", clamped({{15, 0.2}}), bars({0.001}), {}};
    const Job single{"single", clamped({{15, 0.2}}), bars({0.5, 1, 2, 4, 6}), {}};
    const Job equal{"equal", clamped({{15, 0.2}, {15, 0.2}, {15, 0.2}}), bars({1, 2, 4, 8, 14}), {}};
    const Job taper{
        "taper", clamped({{15, 0.2}, {13, 0.2}, {11, 0.2}, {9, 0.2}}), bars({1, 2, 4, 8, 16}), {}};
    const Job two_stage{"two-stage",
                        clamped({{15, 0.1}, {15, 0.1}, {9, 0.05}, {14, 0.1}, {11, 0.1}}),
                        bars({0.05, 0.1, 0.15, 0.155, 0.16, 0.4, 1.2}),
                        {}};
    const Job thick_two_stage{"two-stage-thick",
                              clamped({{15, 0.2}, {15, 0.2}, {9, 0.1}, {14, 0.2}, {11, 0.2}}),
                              bars({1.6, 2.4, 2.5, 2.6}),
                              {}};
    const Job preloaded{"preloaded",
                        clamped({{15, 0.2}, {12, 0.2}}, 0.1),
                        bars({0.2, 0.3, 0.4, 1, 2, 4, 8, 12}),
                        {.increments = 2}};
    const Job preloaded_fine{
        "preloaded-fine",
        preloaded.stack,
        bars({0.2, 0.3, 0.4, 4, 12}),
        {.edge_size = 0.05e-3, .largest_size = 0.4e-3, .penalty = 3e16, .increments = 4}};

    // With a spring so soft that its force is constant.
    Job check_plate{"check-plate", clamped({{15, 0.2}}), bars({0.3, 0.6, 0.9, 1.2}), {.increments = 2}};
    check_plate.stack.edge = stack::InnerEdge::free;
    check_plate.stack.floating = stack::Float{.travel = 5.0 * mm,
                                              .spring_rate = 1.0,
                                              .preload = 60.0,
                                              .ring_radius = check_plate.stack.bore_radius,
                                              .spring_radius = check_plate.stack.bore_radius,
                                              .stop_radius = check_plate.stack.bore_radius,
                                              .rests_on = stack::RestsOn::seat};

    // Longest first, so that both processes end at about the same time.
    const std::vector<Job> jobs{preloaded_fine, two_stage,   taper,  equal, thick_two_stage,
                                preloaded,      check_plate, single, linear};
    const std::map<std::string, std::vector<SolidPoint>> solved = solve(jobs, VALVE_SOLID_FOLDER);
    auto of = [&solved](const Job& job) -> const std::vector<SolidPoint>& { return solved.at(job.name); };

    lift_checks(recorder, linear, of(linear), plates, Theory::linear);
    lift_checks(recorder, single, of(single), plates);
    for (const Job& job : {equal, taper, two_stage, preloaded})
        lift_checks(recorder, job, of(job), stacks);
    dish_checks(recorder, check_plate, of(check_plate));
    closing_checks(recorder, two_stage, of(two_stage), of(thick_two_stage));
    seat_checks(recorder, preloaded, of(preloaded));
    fineness_checks(recorder, preloaded_fine, of(preloaded_fine), of(preloaded));
    sector_checks(recorder);
}

} // namespace valve::validation
