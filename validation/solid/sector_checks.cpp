#include <solid/parts.hpp>
#include <solid/solve.hpp>
#include <valve/core/bracket.hpp>
#include <valve/stack/detail/path.hpp>
#include <valve/stack/detail/round_test.hpp>
#include <valve/stack/solution.hpp>

#include <fmt/format.h>

#include <map>
#include <optional>
#include <stdexcept>
#include <string>
#include <string_view>
#include <utility>
#include <vector>

namespace valve::validation {
namespace {

using solid::SectorJob;
using solid::SectorPoint;
using stack::Theory;

constexpr double bar = 1e5; // [Pa]
constexpr double mm = 1e-3; // [m]

/// Clamp 6 mm, one shim of 15 mm (radii) and 0.2 mm, pressure from 8 mm to 14.5 mm where the seat begins.
SectorJob windowed(const char* name, int windows, double coverage, std::vector<double> bars) {
    SectorJob job{name, {}, std::move(bars), {.edge_size = 0.3 * mm, .largest_size = 1.0 * mm}, {}};
    job.stack.shims = {{15.0 * mm, 0.2 * mm, {}}};
    job.stack.clamp_radius = job.stack.bore_radius = 6.0 * mm;
    job.stack.zone = {8.0 * mm, 14.5 * mm};
    job.stack.seat = {14.5 * mm, 14.5 * mm, 0.0};
    job.stack.windows = windows;
    job.stack.coverage = coverage;
    for (double& pressure : job.pressures)
        pressure *= bar;
    return job;
}

Source source(const SectorJob& job, std::string_view what) {
    return {
        "dhondt_calculix",
        fmt::format("{}.inp: {} of {} round the ring; C3D20R, one element through the thickness, {} round "
                    "the sector, {:.3g} to {:.3g} mm long; NLGEOM",
                    job.name, what, job.stack.windows, job.division.port + job.division.land,
                    job.fineness.edge_size / mm, job.fineness.largest_size / mm)};
}

/// Linear harmonics leave out how waves stretch the shims. That goes with the square of their height over the
/// thickness: 5 % of the mean at RingLift::most_waviness.
Tolerance of_waves(const stack::RingLift& ring) {
    const double share = ring.waviness / stack::RingLift::most_waviness;
    return absolute(
        (5e-3 + 0.05 * share * share) * ring.mean,
        "0.5 % of the mean lift for the solid's shear and mesh, and 5 % of it times the square of the "
        "waves' height over the most they may have");
}

void window_checks(Recorder& recorder, const SectorJob& job, const std::vector<SectorPoint>& points) {
    const stack::Solution solution(job.stack);
    for (const SectorPoint& point : points) {
        const std::optional<stack::RingLift> ring = solution.ring_lift(point.pressure);
        if (!ring) throw std::runtime_error(job.name + ": the harmonics do not hold");
        const auto add = [&](const char* where, double solid, double ours) {
            recorder.add({fmt::format("{}, {:.4g} bar, waves of {:.2g} thicknesses: lift at {}", job.name,
                                      point.pressure / bar, ring->waviness, where),
                          source(job, "half a pitch of ports,"), Kind::computed_reference, solid, ours,
                          of_waves(*ring), "m"});
        };
        add("mid-port", point.mid_port, ring->mid_port);
        add("mid-land", point.mid_land, ring->mid_land);
    }
}

/// Where a round shim under pressure all round buckles into as many waves as the job has windows.
void buckling_check(Recorder& recorder, const SectorJob& job, double solid) {
    stack::Path path(job.stack, Theory::large_deflection, plate::Grading{});
    const valve::Bracket found =
        valve::bisect(0.0, 2.0 * job.pressures.back(), 1e-5, [&](double pressure) -> std::optional<bool> {
            const stack::State* state = path.at(pressure);
            if (state == nullptr) throw std::runtime_error(path.refusal());
            return stack::is_stable(path.problem(), *state, job.stack.windows);
        });
    recorder.add({fmt::format("{}: pressure at which the round shape buckles into {} waves", job.name,
                              job.stack.windows),
                  source(job, "*BUCKLE about the state at the last pressure, half a wave"),
                  Kind::computed_reference, solid, found.high,
                  relative(7e-3, "the solid shears and its factor is extrapolated over the last 3 %"), "Pa"});
}

/// Beyond buckling: ports that cover all but 2 % of the ring, to begin the waves.
void buckled_check(Recorder& recorder, const SectorJob& job, const SectorPoint& solid) {
    const std::optional<stack::UnevenLift> lift = stack::Solution(job.stack).uneven(solid.pressure);
    if (!lift) throw std::runtime_error(job.name + ": round");
    recorder.add(
        {fmt::format("{}, {:.4g} bar, twice the pressure that buckles it: mean of mid-port and mid-land",
                     job.name, solid.pressure / bar),
         source(job, "half a pitch of ports,"), Kind::computed_reference,
         0.5 * (solid.mid_port + solid.mid_land), 0.5 * (lift->mid_port + lift->mid_land),
         relative(0.02, "the solid shears; both are coarse round the ring"), "m"});
}

/// Ports that cover the whole ring, on a sector of as many waves as `waves`.
SectorJob round_shim(const char* name, int waves, double pressure) {
    SectorJob job = windowed(name, waves, 1.0, {pressure});
    job.fineness.increments = 2;
    job.division = {.port = 8, .land = 0};
    return job;
}

} // namespace

void sector_checks(Recorder& recorder) {
    // Contact of quadratic solids takes long: as coarse as will do.
    SectorJob two = windowed("windows-two-shims", 4, 0.6, {1.0});
    two.stack.shims.push_back({13.0 * mm, 0.2 * mm, {}});
    two.fineness.edge_size = 0.6 * mm;
    two.division = {.port = 3, .land = 2};
    const std::vector<SectorJob> jobs{two, windowed("windows-4", 4, 0.6, {0.001, 0.5, 1.0}),
                                      windowed("windows-3", 3, 0.5, {0.001, 0.3}),
                                      windowed("windows-6", 6, 0.5, {1.0, 2.0})};
    SectorJob buckled = windowed("waves-3", 3, 0.98, {1.0, 1.5, 3.1});
    buckled.fineness.increments = 2;
    buckled.division = {.port = 7, .land = 1};
    std::vector<SectorJob> all{buckled}; // longest first
    all.insert(all.end(), jobs.begin(), jobs.end());
    const std::map<std::string, std::vector<SectorPoint>> solved = solve_sectors(all, VALVE_SOLID_FOLDER);
    for (const SectorJob& job : jobs)
        window_checks(recorder, job, solved.at(job.name));
    buckled_check(recorder, buckled, solved.at(buckled.name).back());

    const std::vector<SectorJob> round{round_shim("round-3", 3, 1.5), round_shim("round-4", 4, 1.72)};
    const std::map<std::string, double> pressures = buckling_pressures(round, 0.02 * bar, VALVE_SOLID_FOLDER);
    for (const SectorJob& job : round)
        buckling_check(recorder, job, pressures.at(job.name));
}

} // namespace valve::validation
